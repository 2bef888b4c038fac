"""lifelines, statsmodels and scikit-survival on FOLDER/rows_N.csv: as peers.R."""
import sys, time, warnings
import numpy as np, pandas as pd

warnings.filterwarnings("ignore")
folder, n = sys.argv[1], int(sys.argv[2])
slow = n > 100_000


def race(who, what, times, run):
    clock, busy = [], []
    for _ in range(times):
        a, b = time.perf_counter(), time.process_time()
        run()
        clock.append(time.perf_counter() - a)
        busy.append(time.process_time() - b)
    print(who, what, n, round(float(np.median(clock)), 6), round(float(np.median(busy)), 6), sep="\t", flush=True)


race("pandas", "reading", 3, lambda: pd.read_csv(f"{folder}/rows_{n}.csv"))
for needed in (["stop", "event"], ["stop", "event", "group"], ["stop", "cause"]):
    race("pandas", "reading only " + " ".join(needed), 3, lambda: pd.read_csv(f"{folder}/rows_{n}.csv", usecols=needed))
d = pd.read_csv(f"{folder}/rows_{n}.csv")
xs = ["x1", "x2", "x3", "x4", "x5"]
from lifelines import CoxPHFitter, KaplanMeierFitter
from lifelines.statistics import logrank_test

k = 3 if slow else 5
race("lifelines", "kaplan-meier", k, lambda: KaplanMeierFitter().fit(d["stop"], d["event"]))
g = d["group"] == 1
race("lifelines", "log-rank", k, lambda: logrank_test(d["stop"][g], d["stop"][~g], d["event"][g], d["event"][~g]))
small = d[xs + ["stop", "event"]]
race("lifelines", "cox efron", 1 if slow else 3, lambda: CoxPHFitter().fit(small, "stop", "event"))
late = d[xs + ["start", "stop", "event"]]
race("lifelines", "cox efron start-stop", 1, lambda: CoxPHFitter().fit(late, "stop", "event", entry_col="start")) if not slow else None
paired = d[xs + ["stop", "event", "pair"]]
race("lifelines", "cox efron cluster", 1, lambda: CoxPHFitter().fit(paired, "stop", "event", cluster_col="pair")) if not slow else None
from sksurv.nonparametric import cumulative_incidence_competing_risks, kaplan_meier_estimator

event, stop, cause = d["event"].to_numpy(bool), d["stop"].to_numpy(float), d["cause"].to_numpy(int)
race("scikit-survival", "kaplan-meier", k, lambda: kaplan_meier_estimator(event, stop, conf_type="log-log"))
race("scikit-survival", "aalen-johansen", k, lambda: cumulative_incidence_competing_risks(cause, stop, conf_type="log-log"))
from statsmodels.duration.hazard_regression import PHReg

x = d[xs].to_numpy()
race("statsmodels", "cox efron start-stop", 1, lambda: PHReg(stop, x, status=event.astype(int), entry=d["start"].to_numpy(float), ties="efron").fit()) if not slow else None
race("statsmodels", "cox efron", 1 if slow else 3, lambda: PHReg(stop, x, status=event.astype(int), ties="efron").fit())
if not slow:
    from statsmodels.miscmodels.ordinal_model import OrderedModel

    race("statsmodels", "ordinal", 1, lambda: OrderedModel(d["level"], x, distr="logit").fit(method="bfgs", disp=False))
import resource

# The packages share one process, so this is the largest of them, not each by itself.
print("Python", "most memory of all the above (MB)", n, round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024), sep="\t", flush=True)
