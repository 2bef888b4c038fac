"""The clinic of `cargo bench -p caseload --bench caseload` in simpy, one process per child.

Usage: python caseload_simpy.py [runs]. See README.md beside this file for what differs.
"""

import heapq
import itertools
import math
import random
import sys
import time

import simpy

DAYS = 260 * 7
PER_YEAR = 200.0
CAST, THEATRE, BRACE = 0, 1, 2
# Places by weekday, Monday 0.
PLACES = [{1: 18, 4: 18}, {3: 6}, {0: 40, 2: 40}]
ABSENCE = [0.03, 0.05, 0.03]
NO_SHOW, REBOOK = 0.08, 7
INTERVAL, WINDOW = 7, (5, 10)
TENOTOMY_CAST, TENOTOMY_WINDOW = 21, (14, 28)
REVIEWS, LATER = (7, 42, 84), 91
UNTIL = 5 * 365.25
RELAPSE = ((0.25, 0.204), (2.0, 0.121), (4.0, 0.068))
SECOND = 0.88
LOST_CASTING = 0.019
LOST_A_DAY = -math.log(1 - 0.145) / (4.75 * 365.25)


class Clinic:
    """Waiting lines by service; each day the first in line are given the places of the day."""

    def __init__(self, env, rng):
        self.env, self.rng = env, rng
        self.lines = [[], [], []]
        self.ticket = itertools.count()
        self.used = [0, 0, 0]
        self.first_waits = []
        self.late = self.ended = 0
        env.process(self.days())

    def join(self, service, rank):
        """An event that succeeds when a place is given; class and day due decide the order."""
        event = self.env.event()
        entry = [rank, self.env.now, next(self.ticket), event]
        heapq.heappush(self.lines[service], entry)
        return event, entry

    def days(self):
        while True:
            # After everybody due today has joined.
            yield self.env.timeout(0.5)
            weekday = int(self.env.now) % 7
            for service in (THEATRE, BRACE, CAST):
                places = PLACES[service].get(weekday, 0)
                if places and self.rng.random() < ABSENCE[service]:
                    places = 0
                line = self.lines[service]
                while places and line:
                    entry = heapq.heappop(line)
                    if entry[3] is None:
                        continue
                    places -= 1
                    self.used[service] += 1
                    entry[3].succeed()
            yield self.env.timeout(0.5)


def planned(service, cast_on, target, window):
    """The clinic day in the window nearest to the target."""
    days = [d for d in range(cast_on + window[0], cast_on + window[1] + 1) if PLACES[service].get(d % 7)]
    return min(days, key=lambda d: (abs(d - cast_on - target), d), default=cast_on + target)


def relapse_day(rng, born, today, episode):
    left, age = rng.expovariate(1.0), (today - born) / 365.25
    for n, (_, rate) in enumerate(RELAPSE):
        until = RELAPSE[n + 1][0] if n + 1 < len(RELAPSE) else math.inf
        if age >= until:
            continue
        rate *= SECOND if episode > 1 else 1.0
        if left <= rate * (until - age):
            return born + (age + left / rate) * 365.25
        left -= rate * (until - age)
        age = until
    return math.inf


def until(env, day):
    return env.timeout(max(0, day - env.now))


def turn(env, clinic, service, rank):
    """Waits for a place and comes, sooner or later."""
    while True:
        event, _ = clinic.join(service, rank)
        yield event
        if clinic.rng.random() >= NO_SHOW:
            return
        yield until(env, int(env.now) + REBOOK)


def place_or_holding(env, clinic, service, cast_on):
    """A theatre or brace place; while it is missing, holding casts."""
    yield until(env, planned(service, cast_on, INTERVAL, WINDOW))
    got = env.process(turn(env, clinic, service, 0))
    hold = next((d for d in range(cast_on + WINDOW[1], int(env.now), -1) if PLACES[CAST].get(d % 7)), int(env.now) + 1)
    while not got.triggered:
        yield got | until(env, hold)
        if got.triggered:
            break
        event, entry = clinic.join(CAST, 0)
        yield got | event
        if not event.triggered:
            entry[3] = None
            break
        cast_on = int(env.now)
        hold = planned(CAST, cast_on, INTERVAL, WINDOW)
    return cast_on


def off(clinic, cast_on, today, last):
    clinic.ended += 1
    clinic.late += today - cast_on > last


def child(env, clinic, rng):
    born = int(env.now) - rng.choice((24, 24, 100, 400))
    casts = max(1, round(rng.gammavariate(14.4, 5.6 / 14.4)))
    tenotomy = rng.random() < 0.75
    leaves = rng.randrange(casts) if rng.random() < LOST_CASTING else None
    episode, lost = 1, None
    referred = int(env.now)
    while True:
        yield until(env, int(env.now) + 1)
        cast_on = None
        for number in range(casts):
            if cast_on is not None:
                yield until(env, planned(CAST, cast_on, INTERVAL, WINDOW))
            yield from turn(env, clinic, CAST, 1 if cast_on is None else 0)
            if episode == 1 and leaves == number:
                return
            if cast_on is None and episode == 1:
                clinic.first_waits.append(int(env.now) - referred)
            elif cast_on is not None:
                off(clinic, cast_on, int(env.now), WINDOW[1])
            cast_on = int(env.now)
        if tenotomy:
            cast_on = yield from place_or_holding(env, clinic, THEATRE, cast_on)
            off(clinic, cast_on, int(env.now), WINDOW[1])
            cast_on = int(env.now)
            yield until(env, planned(BRACE, cast_on, TENOTOMY_CAST, TENOTOMY_WINDOW))
            yield from turn(env, clinic, BRACE, 0)
            off(clinic, cast_on, int(env.now), TENOTOMY_WINDOW[1])
        else:
            cast_on = yield from place_or_holding(env, clinic, BRACE, cast_on)
            off(clinic, cast_on, int(env.now), WINDOW[1])
        fitted = int(env.now)
        lost = lost or fitted + rng.expovariate(LOST_A_DAY)
        relapse = relapse_day(rng, born, fitted, episode)
        while True:
            now = int(env.now)
            due = next((fitted + d for d in REVIEWS if fitted + d > now), now + LATER)
            yield until(env, min(due, max(born + UNTIL, now + 1)))
            yield from turn(env, clinic, BRACE, 1)
            if lost <= env.now:
                return
            if relapse <= env.now:
                break
            if env.now - born >= UNTIL:
                return
        episode += 1
        casts, tenotomy = rng.choice((2, 3)), rng.random() < 0.5


def referrals(env, clinic, rng):
    while True:
        yield env.timeout(rng.expovariate(PER_YEAR / 365.25))
        # Days are whole; a child referred in the course of a day is due on the next.
        env.process(arrive(env, clinic, rng))


def arrive(env, clinic, rng):
    yield until(env, math.floor(env.now) + 1)
    yield from child(env, clinic, rng)


def main():
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    for run in range(runs):
        rng = random.Random(run)
        began, busy = time.perf_counter(), time.process_time()
        env = simpy.Environment()
        clinic = Clinic(env, rng)
        env.process(referrals(env, clinic, rng))
        env.run(until=DAYS)
        took, busy = time.perf_counter() - began, time.process_time() - busy
        waits = clinic.first_waits
        print(
            f"simpy run {run + 1}: {took:.2f} s, {busy:.2f} s of processor; places used {clinic.used}; "
            f"mean wait {sum(waits) / max(1, len(waits)):.1f} days; "
            f"casts past their window {100 * clinic.late / max(1, clinic.ended):.1f} %"
        )


if __name__ == "__main__":
    main()
