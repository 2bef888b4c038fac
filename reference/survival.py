"""Reference results of survival and regression from Python. Run by ./regenerate; writes survival_py.json.

lifelines, scikit-survival and scikit-learn, each on data sets that R answers too (survival.json,
regression.json), so that where they differ from R it shows. What differs, and whom ours follows, stands
in README.md next to this file.
"""
import csv, datetime, json, os, platform, warnings
from importlib.metadata import version

import numpy as np
import pandas as pd

warnings.filterwarnings("ignore")
cases = []


def read(name):
    return pd.read_csv(f"data/{name}.csv")


def keep(package, kind, call, data, **rest):
    cases.append(dict(kind=kind, call=call, package=f"{package} {version(package)}", data=data, **rest))


def plain(values):
    return [float(value) for value in np.asarray(values, dtype=float).ravel()]


def lifelines_curves():
    from lifelines import KaplanMeierFitter, NelsonAalenFitter
    from lifelines.utils import restricted_mean_survival_time

    for data, time, event, start in (("six", "time", "event", None), ("freireich_6mp", "time_weeks", "event", None), ("lung", "time", "event", None),
                                     ("veteran", "time", "status", None), ("ovarian", "futime", "fustat", None), ("invented", "stop", "event", "start")):
        d = read(data)
        fit = KaplanMeierFitter().fit(d[time], d[event], entry=None if start is None else d[start])
        ends = sorted(set(d[time]))
        survival = fit.survival_function_["KM_estimate"].loc[ends]
        limits = fit.confidence_interval_survival_function_.loc[ends]
        keep("lifelines", "km", "KaplanMeierFitter().fit(time, event, entry=start)", data, time=time, event=event, start=start, times=plain(ends),
             surv=plain(survival), lower=plain(limits.iloc[:, 0]), upper=plain(limits.iloc[:, 1]))
        if start is None:
            hazard = [NelsonAalenFitter(nelson_aalen_smoothing=spread).fit(d[time], d[event]).cumulative_hazard_.iloc[:, 0].loc[ends] for spread in (False, True)]
            keep("lifelines", "hazard", "NelsonAalenFitter(nelson_aalen_smoothing=False, then True).fit(time, event)", data, time=time, event=event,
                 times=plain(ends), together=plain(hazard[0]), one_by_one=plain(hazard[1]))
            until = float(max(ends)) * 0.9
            keep("lifelines", "rmst", "restricted_mean_survival_time(fit, t)", data, time=time, event=event, until=until,
                 rmst=float(restricted_mean_survival_time(fit, t=until)))


def lifelines_tests():
    from lifelines.statistics import multivariate_logrank_test

    for data, time, event, by in (("freireich", "time_weeks", "event", "arm"), ("veteran", "time", "status", "celltype"), ("lung", "time", "event", "sex"),
                                  ("miller_aml", "time_weeks", "event", "arm")):
        d = read(data)
        test = multivariate_logrank_test(d[time], d[by], d[event])
        keep("lifelines", "logrank", "multivariate_logrank_test(time, group, event)", data, time=time, event=event, by=by,
             chi2=float(test.test_statistic), p=float(test.p_value))


def lifelines_cox():
    from lifelines import CoxPHFitter

    for data, time, event, start, strata, cluster, x in (("freireich_coded", "time_weeks", "event", None, None, None, ["control"]),
                                                ("lung", "time", "event", None, None, None, ["age", "sex", "ph_ecog"]),
                                                ("ovarian", "futime", "fustat", None, None, None, ["age", "rx", "ecog_ps"]),
                                                ("veteran", "time", "status", None, "cell", None, ["karno", "trt", "age"]),
                                                ("retinopathy", "time_months", "event", None, None, "id", ["treated", "age_at_dx", "risk"]),
                                                ("invented", "stop", "event", "start", None, None, ["x1", "x2", "x3"])):
        d = read(data)
        d = d[[c for c in (time, event, start, strata, cluster) if c] + x].dropna().astype(float)
        fit = CoxPHFitter().fit(d, time, event, entry_col=start, strata=strata, cluster_col=cluster, fit_options={"precision": 1e-14, "r_precision": 1e-15})
        keep("lifelines", "cox", "CoxPHFitter().fit(d, time, event, entry_col, strata, cluster_col, fit_options={'precision': 1e-14, 'r_precision': 1e-15})",
             data, time=time, event=event, start=start, strata=strata, cluster=cluster, x=x, coef=plain(fit.params_), se=plain(fit.standard_errors_), loglik=float(fit.log_likelihood_))


def scikit_survival():
    from sksurv.linear_model import CoxPHSurvivalAnalysis
    from sksurv.nonparametric import cumulative_incidence_competing_risks
    from sksurv.util import Surv

    for data, time, event, x in (("ovarian", "futime", "fustat", ["age", "rx", "ecog_ps"]), ("lung", "time", "event", ["age", "sex", "ph_ecog"])):
        for ties in ("efron", "breslow"):
            d = read(data)[[time, event] + x].dropna()
            y = Surv.from_arrays(d[event].to_numpy(bool), d[time].to_numpy(float))
            fit = CoxPHSurvivalAnalysis(ties=ties, tol=1e-16, n_iter=200).fit(d[x].to_numpy(float), y)
            keep("scikit-survival", "cox_coef", f"CoxPHSurvivalAnalysis(ties='{ties}', tol=1e-16, n_iter=200).fit(x, y)", data, time=time, event=event,
                 x=x, ties=ties, coef=plain(fit.coef_))
    for data, time, cause in (("mgus2", "etime", "cause"), ("invented", "stop", "cause")):
        d = read(data)
        times, curves = cumulative_incidence_competing_risks(d[cause].to_numpy(int), d[time].to_numpy(float))
        keep("scikit-survival", "aj", "cumulative_incidence_competing_risks(cause, time)", data, time=time, cause=cause, times=plain(times),
             incidence=[plain(curve) for curve in curves[1:]])


def scikit_learn():
    from sklearn.linear_model import LogisticRegression

    d = read("invented")
    x = ["x1", "x2", "x3"]
    fit = LogisticRegression(C=np.inf, solver="newton-cholesky", tol=1e-14, max_iter=1000).fit(d[x].to_numpy(float), d["event"])
    keep("scikit-learn", "logistic", "LogisticRegression(C=inf, solver='newton-cholesky', tol=1e-14).fit(x, event)", "invented", y="event", x=x,
         coef=plain([fit.intercept_[0], *fit.coef_[0]]))


def scikit_learn_kappa():
    from sklearn.metrics import cohen_kappa_score

    d = read("two_raters")
    for weights in (None, "linear", "quadratic"):
        keep("scikit-learn", "kappa", f"cohen_kappa_score(one, two, weights={weights!r})", "two_raters", weights=weights or "none",
             value=float(cohen_kappa_score(d["one"], d["two"], weights=weights)))


if __name__ == "__main__":
    for part in (lifelines_curves, lifelines_tests, lifelines_cox, scikit_survival, scikit_learn, scikit_learn_kappa):
        part()
    packages = ", ".join(f"{name} {version(name)}" for name in ("lifelines", "scikit-survival", "scikit-learn", "numpy", "pandas"))
    provenance = dict(program="Python " + platform.python_version(), packages=packages, script="reference/survival.py",
        date=os.environ.get("DATE") or datetime.date.today().isoformat(), data="reference/data/PROVENANCE.csv names the origin of every data set; each case names its own call and data set")
    with open("survival_py.json", "w") as file:
        json.dump(dict(provenance=provenance, cases=cases), file, separators=(",", ":"))
        file.write("\n")
