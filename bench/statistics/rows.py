"""Writes FOLDER/rows_N.csv: invented rows that every program of the race reads.

Columns: start, stop, event, cause, pair, group, x1 to x5; times in whole days, about half censored.
"""
import sys
import numpy as np


def write(folder, n):
    dice = np.random.default_rng(n)
    x = dice.uniform(-1, 1, (n, 5)).round(3)
    eta = x @ (0.2 * np.arange(1, 6))
    time = np.ceil(dice.exponential(800 / np.exp(eta)))
    limit = 1 + dice.integers(0, 1500, n)
    event = (time <= limit).astype(int)
    stop = np.minimum(time, limit).astype(int)
    start = np.minimum((dice.uniform(size=n) * stop).astype(int), stop - 1)
    cause = event * (1 + (dice.uniform(size=n) < 0.3))
    level = np.digitize(eta + dice.logistic(size=n), [-2, -0.5, 0.5, 2])
    table = np.column_stack([start, stop, event, cause, np.arange(n) // 2, x[:, 0] > 0, x, level])
    head = "start,stop,event,cause,pair,group,x1,x2,x3,x4,x5,level"
    np.savetxt(f"{folder}/rows_{n}.csv", table, fmt="%g", delimiter=",", header=head, comments="")


if __name__ == "__main__":
    for n in sys.argv[2:]:
        write(sys.argv[1], int(n))
