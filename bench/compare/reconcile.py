"""The same three accounts in numpy: reads requests (JSON, one a line), does the books, weighs every mechanism alone and in pairs,
prints the processor seconds of the books and of the weighing, then one line a person: the probability of a finding and of each
mechanism. Priors and grids stand here once more. Intervals and the diary's own model are left out."""
import json
import math
import sys
import time
from datetime import datetime, timedelta

import numpy as np

READING, CONTENT, PRIME_VAR, HABIT, FIRST = 4.0, 1.0, 0.15, 0.08, 0.5
EARLY, EARLY_UNITS, SLIP = 0.15, 12.0, 1e-6
COMPLETED, LATE, TYPING = 0.12, 0.05, 0.15
MISSED, DOUBLE, GAP, UNWRITTEN, MATERIAL = 0.003, 0.001, 0.30, 0.015, 0.05
CHANGE_MINUTES, ALIKE_MINUTES = 45, 90
MISCOUNT, MISCOUNT_ELSE = (0.985, 0.006, 0.001), 1e-4
NAMES = ["missed", "double", "left_out", "extra", "early", "lost", "change", "gaps", "twice", "misread", "diary", "unknown"]
PRIOR = dict(zip(NAMES, (0.06, 0.015, 0.04, 0.04, 0.03, 0.03, 0.03, 0.09, 0.09, 0.04, 0.08, 0.01)))
SHARES = (0.03, 0.05, 0.08, 0.11, 0.16, 0.23, 0.35, 0.5, 0.75)
LEFT_OUT = (0.15, 0.25, 0.4, 0.55, 0.7, 0.85, 0.97)
EXTRA, SPREAD = (0.12, 0.2, 0.35, 0.6, 1.0, 1.6, 2.5, 4.0), 1.6
EARLY_SHARES, EARLY_REST, EARLY_CELLS = (0.3, 0.6, 0.95), 0.7, 24
GAP_SHARES, ONE, LOST, LOST_MOST = (0.25, 0.5, 0.75, 0.97), 0.8, 0.35, 12
UNKNOWN, UNEVEN = (0.04, 0.06, 0.1, 0.15, 0.22, 0.33, 0.5), 0.3
HOLE, REACH = 5, 1
erf = np.frompyfunc(math.erf, 1, 1)


def below(x, sd):
    return (1 + erf(x / (sd * math.sqrt(2))).astype(float)) / 2


def density(x, sd):
    return np.exp(-(x / sd) ** 2 / 2) / (sd * math.sqrt(2 * math.pi))


def log_gamma(x):
    return np.frompyfunc(math.lgamma, 1, 1)(x).astype(float)


def binomial(n, p):
    k = np.arange(n + 1)
    logs = math.lgamma(n + 1) - log_gamma(k + 1) - log_gamma(n - k + 1)
    return np.exp(logs + k * math.log(p) + (n - k) * math.log1p(-p))


def negative_binomial(mean, size):
    q = 1 - 1 / SPREAD
    r, k = mean * (1 - q) / q, np.arange(size)
    return np.exp(log_gamma(k + r) - math.lgamma(r) - log_gamma(k + 1) + r * math.log(1 - q) + k * math.log(q))


class Table:
    def __init__(self, start, step, values):
        self.start, self.step, self.values = start, step, values
        self.places = start + step * np.arange(len(values))

    def at(self, x, sd=None):
        def line(y):
            return np.interp(y, self.places, self.values, left=SLIP, right=SLIP)
        if sd is None:
            return line(x)
        aside = math.sqrt(3) * sd
        return line(x) * 2 / 3 + (line(x - aside) + line(x + aside)) / 6

    def moved(self, by, weights):
        by, weights = np.asarray(by), np.asarray(weights)
        start = self.start - by.max()
        high = self.start + self.step * (len(self.values) - 1)
        count = math.ceil((high - by.min() - start) / self.step) + 1
        x = start + self.step * np.arange(count)
        return Table(start, self.step, (weights[:, None] * self.at(x[None, :] + by[:, None])).sum(axis=0))


# ---- the books


def when(text):
    return datetime.fromisoformat(text)


class Stretch:
    pass


def several(sizes):
    s = np.array(sizes, dtype=float)
    return (len(s), s.mean(), s.var()) if len(s) else (0, 0.0, 0.0)


def books(r):
    entries = sorted(r["diary"], key=lambda e: (when(e["when"]), e["units"]))
    for e in entries:
        e["at"] = when(e["when"])
    uses = r["cartridges"]
    for u in uses:
        u["o"], u["e"] = when(u["opened"]), when(u["ended"]) if "ended" in u else None
        u["mine"] = []
    for e in entries:
        fits = [u for u in uses if u["o"] - timedelta(minutes=CHANGE_MINUTES) <= e["at"] and (u["e"] is None or e["at"] <= u["e"])]
        if fits:
            max(fits, key=lambda u: u["o"])["mine"].append(e)
    days = {}
    for e in entries:
        days[e["at"].date()] = days.get(e["at"].date(), 0) + 1
    first_day, last_day = min(days), max(days)
    prime, first_prime, unit = r["prime_units"], r["new_cartridge_prime_units"], r["strength_units_per_ml"] / 100
    orders = [(datetime.fromisoformat(o["from"]).date(), o["doses_units"]) for o in r["ordered"]]

    def ordered(day):
        found = orders[0][1]
        for begin, doses in orders:
            if begin <= day:
                found = doses
        return found

    first_opened = min(u["o"] for u in uses)
    out = []
    for u in sorted(uses, key=lambda u: u["o"]):
        end = u["e"]
        over = end and (u.get("end") == "period over" or
                        ("end" not in u and (end.date() - u["o"].date()).days >= r["in_use_days"]))
        used_up, rest = False, None
        readings = [x for x in u.get("readings", []) if (end is None or when(x["when"]) <= end)
                    and when(x["when"]).date() <= last_day + timedelta(days=REACH)]
        if end and "rest_units" in u:
            until, rest = end, u["rest_units"]
        elif end and not over:
            until, used_up = end, True
        elif readings:
            until, rest = when(readings[-1]["when"]), readings[-1]["left_units"]
        else:
            continue
        if rest is not None and rest > u["units"]:
            continue
        if u["o"].date() + timedelta(days=1) < first_day or last_day + timedelta(days=REACH) < until.date():
            continue
        empty, day, hole = 0, u["o"].date() + timedelta(days=1), False
        while day < until.date():
            empty = 0 if day in days or not ordered(day) else empty + 1
            hole |= empty >= HOLE
            day += timedelta(days=1)
        if hole:
            continue
        mine = [e for e in u["mine"] if e["at"] <= until]
        primes = [e.get("primed_units", first_prime if i == 0 else prime) for i, e in enumerate(mine)]
        doses = [e["units"] + p for e, p in zip(mine, primes)]
        s = Stretch()
        s.claimed = sum(doses)
        s.expected, s.read, s.level = u["units"] - s.claimed, not used_up, rest
        s.need = min(max(ordered(until.date())) + prime, r["cartridge_units"], u["units"])
        s.content, s.unit, s.prime = r["cartridge_units"], unit, prime
        s.doses, s.primes = several(doses), several([p for p in primes if p > 0])
        gaps, day = [], u["o"].date()
        while day <= until.date():
            noon = datetime(day.year, day.month, day.day, 12, tzinfo=u["o"].tzinfo)
            if u["o"] <= noon <= until:
                due = ordered(day)
                gaps += [sum(due) / len(due) + prime] * max(0, len(due) - days.get(day, 0))
            day += timedelta(days=1)
        s.gaps = several(gaps)
        alike, paired = [], set()
        for i, one in enumerate(mine):
            for j in range(i + 1, len(mine) if i not in paired else 0):
                if mine[j]["at"] - one["at"] > timedelta(minutes=ALIKE_MINUTES):
                    break
                if j not in paired and all(mine[j].get(key) == one.get(key) for key in ("units", "slot")):
                    paired.add(j)
                    alike.append(mine[j]["units"] + mine[j].get("primed_units", prime))
                    break
        s.alike = several(alike)
        n = len(doses)
        variance = (PRIME_VAR * prime ** 2 + TYPING * unit ** 2) * n + (HABIT * prime * n) ** 2
        variance += (CONTENT * unit) ** 2 + (0 if used_up else (READING * unit) ** 2) + (FIRST * first_prime) ** 2
        s.sd = math.sqrt(variance)
        s.begins, s.ends = u["o"] > first_opened, end is not None and until == end
        s.completed = s.need if s.begins else 0
        out.append(s)
    missing = None
    if r.get("sealed_counts") and r["dispensed"]:
        count = r["sealed_counts"][-1]
        used = r["sealed_before"] + sum(d["cartridges"] for d in r["dispensed"]) - count["cartridges"]
        missing = used - len(uses)
    return out, missing


# ---- weighing


def table_of(s):
    step = s.sd / 8
    widest = 0 if s.read else s.need + EARLY_UNITS * s.unit
    start = (s.expected - s.level if s.read else s.expected) - widest - 8 * s.sd
    x = start + step * np.arange(math.ceil((widest + 16 * s.sd) / step) + 1)
    level = s.expected - x
    if s.read:
        values = density(s.level - level, s.sd)
    else:
        values = sum(share * (below(level, s.sd) - below(level - width, s.sd)) / width
                     for share, width in ((1 - EARLY, s.need), (EARLY, s.need + EARLY_UNITS * s.unit)))
    t = Table(start, step, np.maximum(SLIP, values))
    n, mean, _ = s.doses
    if s.completed > 0:
        t = t.moved([0] + [-s.completed * (i + 0.5) / 6 for i in range(6)], [1 - COMPLETED] + [COMPLETED / 6] * 6)
    begin, end = LATE * s.begins, LATE * s.ends
    if n:
        t = t.moved([0, mean, -mean], [1 - begin - end, begin, end])
    if s.gaps[0]:
        due = s.doses[0] + s.gaps[0]
        weights = binomial(s.gaps[0], min(GAP, UNWRITTEN * due / s.gaps[0]))
        keep = (weights > SLIP) | (np.arange(len(weights)) == 0)
        keep = np.cumprod(keep).astype(bool)
        t = t.moved(s.gaps[1] * np.arange(len(weights))[keep], weights[keep])
    if not n:
        return t
    missed, twice = min(0.2, MISSED * n), min(0.1, DOUBLE * n)
    return t.moved([0, -mean, mean], [1 - missed - twice, missed, twice])


def counted(things, rates, sign):
    n, mean, variance = things
    if n == 0:
        return None
    j = np.arange(n + 1)
    sd = np.sqrt(variance * j * (n - j) / (n - 1)) if n > 1 else np.zeros(2)
    return sign * j * mean, sd, np.array([binomial(n, p) for p in rates])


def support(s, name):
    if name in ("missed", "double"):
        return counted(s.doses, SHARES, -1 if name == "missed" else 1)
    if name == "left_out":
        return counted(s.primes, LEFT_OUT, -1)
    if name == "gaps":
        return counted(s.gaps, GAP_SHARES, 1)
    if name == "twice":
        return counted(s.alike, GAP_SHARES, -1)
    if name == "extra":
        if s.doses[0] == 0:
            return None
        size = int(s.content / s.prime) + 1
        weights = np.array([negative_binomial(rate * s.doses[0], size) for rate in EXTRA])
        return s.prime * np.arange(size), np.zeros(size), weights
    if s.read:
        return None
    cell = EARLY_REST * s.content / EARLY_CELLS
    effect = np.concatenate([[0], cell * (np.arange(EARLY_CELLS) + 0.5)])
    sd = np.concatenate([[0], np.full(EARLY_CELLS, cell / math.sqrt(12))])
    weights = np.array([[1 - share] + [share / EARLY_CELLS] * EARLY_CELLS for share in EARLY_SHARES])
    return effect, sd, weights


def log_sum(logs):
    most = np.max(logs)
    return most + math.log(np.exp(logs - most).sum())


def events(ratios):
    n, total = len(ratios), ratios.sum()
    return total / n, (total ** 2 - (ratios ** 2).sum()) / (n * (n - 1)) if n > 1 else 0.0, 1.0 if n < 2 else ONE


def weigh(stretches, missing):
    plain = [table_of(s) for s in stretches]
    changed = [t.moved([-s.content + s.need * (i + 0.5) / 6 for i in range(6)], [1 / 6] * 6) for t, s in zip(plain, stretches)]
    lines = np.repeat(np.arange(1, 9), 2) * 10.0
    falls = 0.75 ** np.repeat(np.arange(8), 2)
    moves = lines * np.tile([-1, 1], 8)
    misread = [t.moved(moves * s.unit, falls / falls.sum()) if s.read else None for t, s in zip(plain, stretches)]
    read = np.array([s.read for s in stretches])
    off = lambda d: MISCOUNT[abs(d)] if abs(d) < 3 else MISCOUNT_ELSE

    def count(lost, changes):
        if missing is None:
            return 1.0
        if not lost:
            return off(missing - changes)
        return sum((1 - LOST) * LOST ** (c - 1) * off(missing - changes - c) for c in range(1, LOST_MOST + 1))

    hypotheses = []

    def add(names, log_evidence):
        hypotheses.append((names, math.prod(PRIOR[n] / (1 - PRIOR[n]) for n in names), log_evidence))

    def change_log(values, lost):
        one, two, single = events(values[1] / values[0])
        return math.log(single * one * count(lost, 1) + (1 - single) * two * count(lost, 2))

    def misread_log(values):
        one, two, single = events((values[2] / values[0])[read])
        return math.log(single * one + (1 - single) * two)

    def at_all(k, effect, sd):
        return [t.at(effect, sd) if t else np.zeros_like(effect) for t in (plain[k], changed[k], misread[k])]

    def with_lost(names, log_evidence):
        add(names, log_evidence + math.log(count(False, 0)))
        if missing is not None:
            add(names + ("lost",), log_evidence + math.log(count(True, 0)))

    nothing = np.array([[v[0] for v in at_all(k, np.zeros(1), np.zeros(1))] for k in range(len(stretches))]).T
    base = np.log(nothing[0]).sum()
    with_lost((), base)
    add(("change",), base + change_log(nothing, False))
    if missing is not None:
        add(("change", "lost"), base + change_log(nothing, True))
    if read.any():
        with_lost(("misread",), base + misread_log(nothing))
    rated = {}
    matter = sum(s.gaps[0] * s.gaps[1] for s in stretches) >= MATERIAL * sum(s.claimed for s in stretches)
    for name in ("missed", "double", "left_out", "extra", "early", "gaps", "twice"):
        if name == "gaps" and not matter:
            continue
        supports = [support(s, name) for s in stretches]
        rates = max((len(x[2]) for x in supports if x), default=0)
        if rates == 0:
            continue
        values = np.empty((rates, 3, len(stretches)))
        for k, x in enumerate(supports):
            values[:, :, k] = nothing[:, k] if x is None else (x[2] @ np.array(at_all(k, x[0], x[1])).T)
        values[:, 0] = np.maximum(values[:, 0], SLIP)
        logs = np.log(values[:, 0]).sum(axis=1) - math.log(rates)
        rated[name] = (supports, rates, values)
        with_lost((name,), log_sum(logs))
        add((name, "change"), log_sum(logs + [change_log(v, False) for v in values]))
        if read.any():
            add((name, "misread"), log_sum(logs + [misread_log(v) for v in values]) + math.log(count(False, 0)))
    names = list(rated)
    for a, first in enumerate(names):
        for second in names[a + 1:]:
            (xs, xr, xv), (ys, yr, yv) = rated[first], rated[second]
            logs = np.zeros((xr, yr))
            for k, (x, y) in enumerate(zip(xs, ys)):
                if x is None or y is None:
                    cells = np.broadcast_to(yv[None, :, 0, k] if x is None else xv[:, None, 0, k], (xr, yr))
                else:
                    g = plain[k].at(x[0][:, None] + y[0][None, :], np.hypot(x[1][:, None], y[1][None, :]))
                    cells = x[2] @ (g - SLIP) @ y[2].T + SLIP
                logs += np.log(np.maximum(cells, SLIP))
            add((first, second), log_sum(logs.ravel()) - math.log(xr * yr) + math.log(count(False, 0)))
    logs = []
    for share in UNKNOWN:
        for sign in (-1, 1):
            effects = [sign * share * s.claimed for s in stretches]
            logs.append(sum(math.log(t.at(e, UNEVEN * abs(e))) for t, e in zip(plain, effects)) - math.log(2 * len(UNKNOWN)))
    add(("unknown",), log_sum(np.array(logs)) + math.log(count(False, 0)))
    most = max(h[2] for h in hypotheses)
    mass = np.array([h[1] * math.exp(h[2] - most) for h in hypotheses])
    mass /= mass.sum()
    finding = sum(m for m, h in zip(mass, hypotheses) if set(h[0]) - {"misread"})
    return [finding] + [sum(m for m, h in zip(mass, hypotheses) if name in h[0]) for name in NAMES]


requests = [json.loads(line) for line in open(sys.argv[1])]
began = time.process_time()
kept = [books(r) for r in requests]
books_took = time.process_time() - began
began = time.process_time()
answers = [weigh(*one) for one in kept]
print(books_took, time.process_time() - began)
for answer in answers:
    print(*(f"{p:.12f}" for p in answer))
