"""Reference results of agreement from Python. Run by ./regenerate; writes agreement_py.json.

statsmodels for two raters, irrCAC for any number (it needs numpy below 2, so it may live in an
environment of its own: PYTHON_IRR names its interpreter).
"""
import csv, datetime, json, os, platform, subprocess, sys
from importlib.metadata import version


def columns(name):
    with open(f"data/{name}.csv") as file:
        rows = list(csv.DictReader(file))
    return {key: [int(row[key]) for row in rows] for key in rows[0]}


def several():
    import pandas as pd
    from irrCAC.raw import CAC

    data = pd.DataFrame(columns("ratings")).replace(-1, float("nan"))
    cases = []
    for weights in ("identity", "linear", "quadratic"):
        for name in ("gwet", "fleiss"):
            est = getattr(CAC(data, weights=weights, digits=15), name)()["est"]
            cases.append(dict(kind="several", call=f"CAC(ratings, weights='{weights}', digits=15).{name}()", package="irrCAC " + version("irrCAC"),
                data="ratings", chance=name, weights=weights, value=est["coefficient_value"], se=est["se"],
                lower=est["confidence_interval"][0], upper=est["confidence_interval"][1], observed=est["pa"], expected=est["pe"]))
    return cases


def two():
    import numpy as np
    from statsmodels.stats.inter_rater import cohens_kappa

    data = columns("two_raters")
    table = np.zeros((5, 5))
    for one, other in zip(data["one"], data["two"]):
        table[one, other] += 1
    cases = []
    for weights in (None, "linear", "quadratic"):
        r = cohens_kappa(table, wt=weights)
        cases.append(dict(kind="kappa", call=f"cohens_kappa(table, wt={weights!r})", package="statsmodels " + version("statsmodels"),
            data="two_raters", weights=weights or "none", value=r.kappa, se=r.std_kappa, null_se=r.std_kappa0, z=r.z_value, p=r.pvalue_two_sided,
            lower=r.kappa_low, upper=r.kappa_upp))
    return cases


if __name__ == "__main__":
    if sys.argv[1:] == ["several"]:
        print(json.dumps(several()))
        sys.exit()
    irr = os.environ.get("PYTHON_IRR", sys.executable)
    cases = two() + json.loads(subprocess.run([irr, __file__, "several"], check=True, capture_output=True, text=True).stdout)
    provenance = dict(program="Python " + platform.python_version(), packages=", ".join(sorted({case["package"] for case in cases})),
        script="reference/agreement.py", date=str(datetime.date.today()),
        data="reference/data/PROVENANCE.csv names the origin of every data set; each case names its own call and data set")
    with open("agreement_py.json", "w") as file:
        json.dump(dict(provenance=provenance, cases=cases), file, indent=0, allow_nan=False)
    print("agreement_py", len(cases), "cases")
