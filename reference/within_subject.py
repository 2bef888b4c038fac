"""Reference results of the error of one measurement from Python. Run by ./regenerate; writes within_subject.json.

The residual mean square of statsmodels' analysis of variance, and limits by scipy's chi-squared.
"""
import csv, datetime, json, platform
from importlib.metadata import version


def rows():
    with open("data/repeated.csv") as file:
        return [(row["subject"], float(row["value"])) for row in csv.DictReader(file)]


def case(confidence):
    import pandas as pd
    from scipy.stats import chi2
    from statsmodels.formula.api import ols
    from statsmodels.stats.anova import anova_lm

    # A subject with one measurement has no residual; it is left out so that the counts are those of the others.
    data = pd.DataFrame(rows(), columns=["subject", "value"])
    data = data.groupby("subject").filter(lambda group: len(group) > 1)
    residual = anova_lm(ols("value ~ C(subject)", data).fit()).loc["Residual"]
    df, squares, tail = residual["df"], residual["sum_sq"], (1 - confidence) / 2
    return dict(kind="within", call=f"anova_lm(ols('value ~ C(subject)', repeated).fit()), chi2.ppf at {confidence}",
        package=f"statsmodels {version('statsmodels')}, scipy {version('scipy')}", data="repeated", confidence=confidence,
        subjects=int(data["subject"].nunique()), df=df, sd=float(residual["mean_sq"] ** 0.5),
        lower=float((squares / chi2.ppf(1 - tail, df)) ** 0.5), upper=float((squares / chi2.ppf(tail, df)) ** 0.5))


def quantile(p, df):
    from scipy.stats import chi2

    return dict(kind="chi2_quantile", call=f"chi2.ppf({p}, {df})", package="scipy " + version("scipy"), data="none",
        p=p, df=df, value=float(chi2.ppf(p, df)))


if __name__ == "__main__":
    cases = [case(confidence) for confidence in (0.9, 0.95, 0.99)]
    cases += [quantile(p, df) for p in (1e-6, 0.025, 0.5, 0.975, 1 - 1e-6) for df in (1, 2, 7, 60, 1000)]
    provenance = dict(program="Python " + platform.python_version(), packages=cases[0]["package"],
        script="reference/within_subject.py", date=str(datetime.date.today()),
        data="reference/data/PROVENANCE.csv names the origin of every data set; each case names its own call and data set")
    with open("within_subject.json", "w") as file:
        json.dump(dict(provenance=provenance, cases=cases), file, indent=0, allow_nan=False)
    print("within_subject", len(cases), "cases")
