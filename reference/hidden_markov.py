"""Reference results of hidden Markov models from hmmlearn (PyPI). Run by ./regenerate; writes
hidden_markov.json and the invented series data/hidden_markov.csv that it fits.

Both sides start from the parameters written under "start" and make the same number of rounds, with
hmmlearn's prior on variances switched off (covars_prior=0), so that both maximise the same likelihood.
"""
import csv, datetime, json, platform
from importlib.metadata import version

import numpy as np
from hmmlearn.hmm import GaussianHMM

SERIES = "data/hidden_markov.csv"


def invent():
    """Two loggers of nine and six days, a sample every 15 minutes: temperature and its change."""
    rng = np.random.default_rng(20261127)
    with open(SERIES, "w", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(["series", "temperature_c", "change_c"])
        for series, days in ((1, 9), (2, 6)):
            temperature, worn = 21.0, False
            for step in range(days * 96):
                hour = step % 96 / 4
                if rng.random() < 0.04:
                    worn = not worn if rng.random() < 0.5 else not 7 < hour < 19
                room = 20.5 + 1.5 * np.sin(2 * np.pi * (hour - 9) / 24)
                level, keep = (33.0, 0.15) if worn else (room, 0.45)
                before = temperature
                temperature = level + (before - level) * keep + rng.normal(0, 0.35)
                writer.writerow([series, round(temperature, 3), round(temperature - before, 3)])


def read():
    with open(SERIES) as file:
        rows = list(csv.DictReader(file))
    lengths = [sum(row["series"] == name for row in rows) for name in ("1", "2")]
    return np.array([[float(row["temperature_c"]), float(row["change_c"])] for row in rows]), lengths


def case(name, kind, x, lengths, rounds, start):
    def model():
        made = GaussianHMM(n_components=len(start["start"]), covariance_type=kind, covars_prior=0.0,
            n_iter=rounds, tol=-np.inf, params="stmc", init_params="")
        made.startprob_, made.transmat_ = np.array(start["start"]), np.array(start["transitions"])
        made.means_, made._covars_ = np.array(start["means"]), np.array(start["covariances"])
        made.n_features = x.shape[1]
        return made

    first = model()
    fitted = model().fit(x, lengths)
    log_path, path = fitted.decode(x, lengths)
    spread = fitted._covars_
    return dict(kind="gaussian", call=f"GaussianHMM(n_components={len(start['start'])}, covariance_type='{kind}', covars_prior=0, "
        f"n_iter={rounds}, tol=-inf, init_params='').fit(x, lengths)", package="hmmlearn " + version("hmmlearn"), data="hidden_markov",
        name=name, covariance=kind, rounds=rounds, columns=int(x.shape[1]), start={key: np.ravel(value).tolist() for key, value in start.items()},
        score_at_start=first.score(x, lengths), history=list(fitted.monitor_.history), score=fitted.score(x, lengths),
        fitted_start=fitted.startprob_.tolist(), fitted_transitions=np.ravel(fitted.transmat_).tolist(),
        fitted_means=np.ravel(fitted.means_).tolist(), fitted_covariances=np.ravel(spread).tolist(),
        path_log_likelihood=log_path, path="".join(str(state) for state in path),
        chances_every_50th_row=np.ravel(fitted.predict_proba(x, lengths)[::50]).tolist())


if __name__ == "__main__":
    invent()
    x, lengths = read()
    two = dict(start=[0.6, 0.4], transitions=[[0.9, 0.1], [0.1, 0.9]])
    three = dict(start=[0.5, 0.3, 0.2], transitions=[[0.9, 0.05, 0.05], [0.1, 0.8, 0.1], [0.05, 0.15, 0.8]])
    cases = [
        case("temperature alone", "diag", x[:, :1], lengths, 25, dict(two, means=[[20.0], [34.0]], covariances=[[4.0], [4.0]])),
        case("temperature and change, no covariance", "diag", x, lengths, 25,
            dict(two, means=[[20.0, 0.0], [34.0, 0.0]], covariances=[[4.0, 2.0], [4.0, 2.0]])),
        case("temperature and change, with covariance", "full", x, lengths, 25,
            dict(two, means=[[20.0, 0.0], [34.0, 0.0]], covariances=[[[4.0, 0.5], [0.5, 2.0]], [[4.0, -0.5], [-0.5, 2.0]]])),
        case("three states with covariance", "full", x, lengths, 40,
            dict(three, means=[[20.0, 0.0], [27.0, 1.0], [34.0, 0.0]], covariances=[[[4.0, 0.0], [0.0, 2.0]]] * 3)),
    ]
    out = dict(provenance=dict(program="Python " + platform.python_version(), packages="hmmlearn " + version("hmmlearn") + ", numpy " + version("numpy"),
        script="reference/hidden_markov.py", date=datetime.date.today().isoformat(),
        data="data/hidden_markov.csv, invented by the script with a fixed seed"), cases=cases)
    with open("hidden_markov.json", "w") as file:
        json.dump(out, file, indent=0)
        file.write("\n")
