"""Hours of wear of 1,000 child-years: ours beside hmmlearn, on the same samples, in the same run.

    python3 -m venv ~/hidden && ~/hidden/bin/pip install hmmlearn
    ~/hidden/bin/python bench/wear_hmmlearn.py FOLDER [YEARS] [YEARS_OF_HMMLEARN]

FOLDER takes some 300 MB for 1,000 years. hmmlearn fits two Gaussian states to the temperature of each
year by itself (its defaults: 10 rounds at most) and decodes them; ours fits its levels, time constants
and rates to each year, smooths, and sums the hours of every day. Where YEARS_OF_HMMLEARN is below YEARS
its time is scaled up, and the output says so. Reading the files is not timed on either side. One thread
each, numerical libraries held to one; ours with all threads stands beside it.
"""
import os, subprocess, sys, time

for name in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import warnings

import numpy as np
from hmmlearn.hmm import GaussianHMM

warnings.filterwarnings("ignore")
import logging

logging.getLogger("hmmlearn").setLevel(logging.CRITICAL)
folder = sys.argv[1]
years = int(sys.argv[2]) if len(sys.argv) > 2 else 1000
theirs = min(years, int(sys.argv[3]) if len(sys.argv) > 3 else years)
os.makedirs(folder, exist_ok=True)
root = os.path.join(os.path.dirname(os.path.abspath(__file__)), "..")
bench = ["cargo", "bench", "-q", "-p", "forecast", "--bench", "wear", "--"]
if not os.path.exists(os.path.join(folder, f"year_{years - 1}.f64")):
    subprocess.run(bench + ["write", os.path.abspath(folder), str(years)], cwd=root, check=True)
out = subprocess.run(bench + ["race", os.path.abspath(folder), str(years)], cwd=root, check=True, capture_output=True, text=True).stdout
_, _, single, parallel, hours = out.split()[-5:]
series = [np.fromfile(os.path.join(folder, f"year_{seed}.f64"), dtype="<f8").reshape(-1, 1) for seed in range(theirs)]
clock, busy = time.perf_counter(), time.process_time()
for x in series:
    GaussianHMM(n_components=2, covariance_type="diag", random_state=1).fit(x).predict(x)
clock, busy = time.perf_counter() - clock, time.process_time() - busy
scaled = clock * years / theirs
print(f"child-years {years}, samples {35040 * years:,}")
print(f"ours, one thread      {float(single):9.2f} s   (mean {hours} hours a day worn)")
print(f"ours, all threads     {float(parallel):9.2f} s")
print(f"hmmlearn, one thread  {scaled:9.2f} s   (processor {busy * years / theirs:.2f} s)" + ("" if theirs == years else f", scaled up from {theirs} years"))
print(f"ratio, one thread each {scaled / float(single):.1f}; ours with all threads {scaled / float(parallel):.1f}")
