"""Arithmetic and verdicts of 10,000 random rows against Python's decimal.

The rows go the way of a real job: limits and readings as TOML, `check --json`
back. The rules are written down once more here, from the trade's rules and not
from the program: a fit is bore less shaft, both ends are judged, limits are
inclusive, an absent service limit is the new one of that side.
"""

import random
from collections import Counter
from decimal import Decimal

from _judging import Tally
from _rows import PLACES, Four, Job, Line, run

JOBS, FITS, SIZES, ROUND, READINGS = 10, 18, 3, 2, 2
NEW, SERVICE, OUT = "within new limits", "within service limits", "out"
WORST = [NEW, SERVICE, OUT]


def main():
    tally = Tally("arithmetic")
    dice = random.Random(10_000)
    asked = rows = 0
    states = Counter()
    for n in range(JOBS):
        job = draw(dice, unit=["in", "mm"][n % 2], scope=["service", "service", "new"][n % 3])
        record = run(tally.folder / f"job-{n}", job)
        mine = {line.ref for line in job.lines}
        for row in record["rows"]:
            if row["line"] not in mine:
                continue
            rows += 1
            asked += judge_row(tally, job, row)
            states[row["state"]] += 1
        if n == 0:
            planted(tally, job, record)
    tally.check(rows >= 10_000, f"{rows} rows came back")
    tally.check(asked < rows / 20, f"{asked} rows of {rows} were taken for slips")
    for state in (NEW, SERVICE, OUT):
        tally.check(states[state] > rows / 10, f"only {states[state]} rows are {state}")
    print(f"  {rows} rows: {dict(states)}; those in query have no verdict")
    tally.finish()


def draw(dice, unit, scope):
    """A job of random lines and readings, many at or beside a limit."""
    job = Job(unit, scope, Decimal("0.0001") if unit == "in" else Decimal("0.001"))
    far = 10 if unit == "in" else 6
    for n in range(FITS + SIZES + ROUND + READINGS):
        ref = "A" + chr(65 + n)
        if n < FITS:
            line = fit_line(dice, ref, job.step, far, average=n % 6 == 5)
        elif n < FITS + SIZES:
            line = plain_line(dice, ref, "size", job.step, average=n % 3 == 2)
        elif n < FITS + SIZES + ROUND:
            line = plain_line(dice, ref, "roundness", job.step)
        else:
            line = plain_line(dice, ref, "reading", job.step)
        job.lines.append(line)
        for place in range(1, PLACES + 1):
            job.typed[f"{ref}{place}"] = readings(dice, line, job.step)
    return job


def fit_line(dice, ref, step, far, average):
    few = lambda low, high: dice.randint(low, high) * step
    s1 = dice.randint(4000, 30000) * step
    s2 = s1 + few(3, 12)
    b1 = s2 + few(-8, 20)
    b2 = b1 + few(4, 12)
    least, greatest = b1 - s2, b2 - s1
    fit = Four(least, greatest)
    if dice.random() < 0.75:
        fit.service_high = greatest + few(0, 15)
    if dice.random() < 0.2:
        fit.service_low = least - few(0, 4)
    wear = lambda: dice.random() < 0.6
    shaft = Four(s1, s2, service_low=s1 - few(0, far) if wear() else None)
    bore = Four(b1, b2, service_high=b2 + few(0, far) if wear() else None)
    return Line(ref, "fit", average, shaft, bore, fit)


def plain_line(dice, ref, kind, step, average=False):
    few = lambda low, high: dice.randint(low, high) * step
    if kind == "roundness":
        return Line(ref, kind, limits=Four(high=few(2, 4), service_high=few(4, 6)))
    low = dice.randint(4000, 30000) * step if kind == "size" else few(40, 90)
    four = Four(low, low + few(4, 20))
    if dice.random() < 0.5:
        four.service_low = four.low - few(0, 6)
    if dice.random() < 0.5:
        four.service_high = four.high + few(0, 6)
    if dice.random() < 0.2:
        four.low = four.service_low = None
    elif dice.random() < 0.2:
        four.high = four.service_high = None
    return Line(ref, kind, average, limits=four)


def readings(dice, line, step):
    """Boxes by name; a pair never so far apart that it looks like a slip."""
    near = lambda: dice.randint(0, 3) * step
    if line.kind == "fit":
        lowest = held(line.shaft.service_low, line.shaft.low)
        small = lowest + dice.randint(-2, 12) * step
        small = min(small, line.shaft.high)
        if dice.random() < 0.5:
            aim = held(line.fit.service_high, line.fit.high) + dice.randint(-2, 2) * step
        else:
            aim = line.fit.low + dice.randint(-1, 14) * step
        large = max(small + aim, line.bore.low)
        return {"shaft": pair(dice, small, small + near()), "bore": pair(dice, large - near(), large)}
    four = line.limits
    if line.kind == "roundness":
        at = dice.randint(4000, 9000) * step
        return {"read": pair(dice, at, at + dice.randint(0, 4) * step)}
    low = held(four.service_low, four.low)
    high = held(four.service_high, four.high)
    low = high - 20 * step if low is None else low
    high = low + 20 * step if high is None else high
    at = dice.choice([low, high - 2 * step, (low + high) // step / 2 // 1 * step])
    at += dice.randint(-2, 2) * step
    return {"read": pair(dice, at, at + near())}


def pair(dice, one, other):
    return [one, other] if dice.random() < 0.5 else [other, one]


def held(service, new):
    """An absent service limit is the new one of that side."""
    return new if service is None else service


# The rules, once more.


def expected(line, scope, typed):
    """The worst state, and how far out each that is out."""
    if line.kind == "fit":
        return of_fit(line, scope, typed["shaft"], typed["bore"])
    values = next(iter(typed.values()))
    if line.kind == "roundness":
        least = greatest = max(values) - min(values)
    else:
        least, greatest = ends(values, line.average)
    return worst([low_side(least, line.limits, scope), high_side(greatest, line.limits, scope)])


def ends(values, average):
    if average:
        mean = sum(values) / len(values)
        return mean, mean
    return min(values), max(values)


def low_side(value, four, scope):
    return high_side(
        -value, Four(high=minus(four.low), service_high=minus(four.service_low)), scope
    )


def minus(limit):
    return None if limit is None else -limit


def high_side(value, four, scope):
    """Against the greatest limits; None where there is none."""
    new, service = four.high, held(four.service_high, four.high)
    if scope == "new" and new is not None:
        service = new
    if service is None:
        return None, None
    if value > service:
        return OUT, value - service
    return (NEW if new is not None and value <= new else SERVICE), None


def of_fit(line, scope, shaft, bore):
    s_least, s_most = ends(shaft, line.average)
    b_least, b_most = ends(bore, line.average)
    parts = [
        low_side(b_least - s_most, line.fit, scope),
        high_side(b_most - s_least, line.fit, scope),
        part_side(s_least, line.shaft.low, line.shaft.service_low, s_most > line.shaft.high, scope),
        part_side(-b_most, -line.bore.high, minus(line.bore.service_high), b_least < line.bore.low, scope),
    ]
    if scope == "new":
        parts.append(high_side(s_most, Four(high=line.shaft.high), scope))
        parts.append(low_side(b_least, Four(low=line.bore.low), scope))
    return worst(parts)


def part_side(value, new, wear, beyond_other_side, scope):
    """The side that wears: beyond new it is judged by its wear limit, without
    one by the fit, and then never better than service; the same for a reused
    part beyond new on the side that wear cannot reach."""
    if scope == "new":
        return (OUT, new - value) if value < new else (NEW, None)
    if wear is not None and value < wear:
        return OUT, wear - value
    return (SERVICE if value < new or beyond_other_side else NEW), None


def worst(parts):
    parts = [part for part in parts if part[0] is not None]
    state = max((part[0] for part in parts), key=WORST.index)
    return state, sorted(by for _, by in parts if by is not None)


def judge_row(tally, job, row):
    """Sizes always; the fit and the verdict unless the row is in query: what is
    not judged has no figure that looks judged."""
    line = next(line for line in job.lines if line.ref == row["line"])
    typed, seen = job.typed[row["row"]], row["steps"][-1]
    figures = {name: Decimal(value) for name, value in seen["figures"]}
    for name, value in figures_of(line, typed).items():
        if row["state"] == "query" and name in ("loosest", "tightest"):
            value = None
        tally.same(figures.get(name), value, f"{row['row']} {name} of {said(typed)}")
    if row["state"] == "query":
        return 1
    state, by = expected(line, job.scope, typed)
    tally.same(row["state"], state, f"{row['row']} ({row['limits']}) {said(typed)}")
    amounts = sorted(Decimal(amount) for _, amount in row["out"])
    tally.same(amounts, by, f"{row['row']} ({row['limits']}) {said(typed)}: out by")
    return 0


def figures_of(line, typed):
    if line.kind != "fit" or line.average:
        return {}
    shaft, bore = typed["shaft"], typed["bore"]
    return {
        "loosest": max(bore) - min(shaft),
        "tightest": min(bore) - max(shaft),
        "smallest shaft": min(shaft),
        "largest bore": max(bore),
    }


def said(typed):
    return ", ".join(f"{key} {' '.join(map(str, values))}" for key, values in typed.items())


def planted(tally, job, record):
    """Each kind of wrong answer, put into a record that is right."""
    judge = Tally("planted")
    rows = [row for row in record["rows"] if row["line"] in {"AA", "AB"}]
    judge.SHOWN = 0
    inside = next(row for row in rows if row["state"] in (NEW, SERVICE))
    beyond = next(row for row in rows if row["state"] == OUT)

    def seen(row, key, value):
        before = judge.wrong
        judge_row(judge, job, dict(row, **{key: value}))
        return judge.wrong > before

    tally.plant(seen(inside, "state", OUT), "a row that is in called out")
    tally.plant(seen(beyond, "state", SERVICE), "a row that is out called in")
    amount = [[side, str(Decimal(by) + job.step)] for side, by in beyond["out"]]
    tally.plant(seen(beyond, "out", amount), "out by one step too many")
    step = inside["steps"][-1]
    wrong = [[name, str(Decimal(value) + Decimal("0.00000001"))] for name, value in step["figures"]]
    tally.plant(seen(inside, "steps", [dict(step, figures=wrong)]), "figures with a binary float's error")
    judge.room.cleanup()


if __name__ == "__main__":
    main()
