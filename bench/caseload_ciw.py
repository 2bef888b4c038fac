"""The clinic of `cargo bench -p caseload --bench caseload` in ciw, as far as stations and servers go.

Usage: python caseload_ciw.py [runs]. See README.md beside this file for what differs.
"""

import math
import random
import sys
import time

import ciw

DAYS = 260 * 7
PER_YEAR = 200.0
NO_SHOW = 0.08
# Stations: cast places, theatre places, brace places, and between them waits without places.
CAST, THEATRE, BRACE, BETWEEN_CASTS, AFTER_CASTS, TENOTOMY_CAST, BETWEEN_REVIEWS, AGAIN = range(1, 9)
FULL, DAY_OF_WORK = math.inf, 0.5


def weekly(places):
    """Servers by schedule: so many on each weekday for the first half of the day, then none."""
    numbers, ends = [], []
    for day in range(7):
        numbers += [places.get(day, 0), 0]
        ends += [day + DAY_OF_WORK, day + 1]
    return ciw.Schedule(numbers_of_servers=numbers, shift_end_dates=ends, preemption=False)


class Between(ciw.dists.Distribution):
    """Time until the next place is due."""

    def __init__(self, kind):
        self.kind = kind

    def sample(self, t=None, ind=None):
        if self.kind == "reviews":
            since = t - ind.fitted
            due = next((day for day in (7, 42, 84) if day > since + 0.6), None)
            return due - since if due else 91
        return 21 if self.kind == "tenotomy" else 7


class Work(ciw.dists.Distribution):
    """A place is taken for the rest of the half day."""

    def sample(self, t=None, ind=None):
        return max(1e-6, math.floor(t) + DAY_OF_WORK - t - 1e-3) if t - math.floor(t) < DAY_OF_WORK else 1e-6


class Way(ciw.routing.NodeRouting):
    """Where a child goes from a station."""

    def next_node(self, ind):
        node = self.node.id_number
        return self.simulation.nodes[step(ind, node, self.simulation.current_time)]


def begin(ind, t):
    if hasattr(ind, "casts"):
        return
    ind.born = t - random.choice((24, 24, 100, 400))
    ind.casts = max(1, round(random.gammavariate(14.4, 5.6 / 14.4)))
    ind.tenotomy = random.random() < 0.75
    ind.leaves = random.random() < 0.019
    ind.fitted, ind.seen = None, t
    ind.episode = 1


def hazard(age):
    return 0.204 if age < 2 else 0.121 if age < 4 else 0.068


def step(ind, node, t):
    begin(ind, t)
    out = -1
    if node == CAST:
        if random.random() < NO_SHOW:
            return BETWEEN_CASTS
        if ind.leaves:
            return out
        ind.casts -= 1
        return BETWEEN_CASTS if ind.casts > 0 else AFTER_CASTS
    if node == BETWEEN_CASTS:
        return CAST
    if node == AFTER_CASTS:
        return THEATRE if ind.tenotomy else BRACE
    if node == THEATRE:
        return AFTER_CASTS if random.random() < NO_SHOW else TENOTOMY_CAST
    if node in (TENOTOMY_CAST, BETWEEN_REVIEWS, AGAIN):
        return BRACE
    return after_brace(ind, t)


def after_brace(ind, t):
    if random.random() < NO_SHOW:
        return AGAIN
    if ind.fitted is None:
        ind.fitted = ind.seen = t
        return BETWEEN_REVIEWS
    years, ind.seen = (t - ind.seen) / 365.25, t
    age = (t - ind.born) / 365.25
    if age >= 5 or random.random() < 1 - math.exp(-0.033 * years):
        return -1
    factor = 0.88 if ind.episode > 1 else 1.0
    if random.random() < 1 - math.exp(-hazard(age) * factor * years):
        ind.episode += 1
        ind.casts, ind.tenotomy = random.choice((2, 3)), random.random() < 0.5
        ind.fitted = None
        return CAST
    return BETWEEN_REVIEWS


def network():
    none = None
    return ciw.create_network(
        arrival_distributions=[ciw.dists.Exponential(PER_YEAR / 365.25)] + [none] * 7,
        service_distributions=[Work(), Work(), Work()] + [Between(kind) for kind in ("casts", "after", "tenotomy", "reviews", "again")],
        number_of_servers=[weekly({1: 18, 4: 18}), weekly({3: 6}), weekly({0: 40, 2: 40})] + [FULL] * 5,
        routing=ciw.routing.NetworkRouting(routers=[Way() for _ in range(8)]),
    )


def main():
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    for run in range(runs):
        ciw.seed(run)
        began, busy = time.perf_counter(), time.process_time()
        simulation = ciw.Simulation(network())
        simulation.simulate_until_max_time(DAYS)
        took, busy = time.perf_counter() - began, time.process_time() - busy
        records = simulation.get_all_records()
        used = [sum(1 for record in records if record.node == node) for node in (CAST, THEATRE, BRACE)]
        print(f"ciw run {run + 1}: {took:.2f} s, {busy:.2f} s of processor; places used {used}")


if __name__ == "__main__":
    main()
