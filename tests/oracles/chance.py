"""The chance of being inside a limit against scipy's normal distribution.

A gauge states its expanded uncertainty U, k = 2 (JCGM 100:2008, 6.2; from
memory); those of a fit combine by root sum of squares; the chance is one-sided
and normal (JCGM 106:2012, 7; from memory). It is told where the margin is less
than the combined U.
"""

import random
from decimal import Decimal

from _judging import Tally
from _rows import PLACES, Four, Job, Line, run
from scipy.stats import norm

JOBS = 6
STEP = Decimal("0.0001")
LIMIT = Decimal("0.0200")


def main():
    tally = Tally("chance")
    dice = random.Random(106)
    close = 0
    for n in range(JOBS):
        job, margins = draw(dice)
        if n == 0:
            # The design's own figures: 0.0003 inside with 0.0001 and 0.0003.
            job.uncertainty = {"MIC": Decimal("0.0001"), "TEL": Decimal("0.0003")}
        record = run(tally.folder / f"job-{n}", job)
        for row in record["rows"]:
            close += judge(tally, job, row, margins[row["row"]])
        if n == 0:
            planted(tally, job, record, margins)
    tally.check(close > 60, f"only {close} rows were close to their limit")
    tally.finish()


def draw(dice):
    """A fit so wide that only its loose end is near, at margins of a few
    steps on either side of the greatest clearance."""
    shaft, bore = Decimal("2.0000"), Decimal("2.0100")
    line = Line(
        "AA",
        "fit",
        shaft=Four(shaft - 30 * STEP, shaft, service_low=shaft - 330 * STEP),
        bore=Four(bore, bore + 30 * STEP, service_high=bore + 330 * STEP),
        fit=Four(bore - shaft, bore - shaft + 60 * STEP, service_high=LIMIT),
    )
    job = Job("in", "service", STEP, [line])
    job.uncertainty = {name: dice.randint(1, 6) * STEP for name in ("MIC", "TEL")}
    margins = {}
    for place in range(1, PLACES + 1):
        margin = dice.randint(-5, 8) * STEP
        small = shaft - dice.randint(30, 60) * STEP
        large = small + LIMIT - margin
        job.typed[f"AA{place}"] = {"shaft": [small, small], "bore": [large, large]}
        margins[f"AA{place}"] = margin
    return job, margins


def judge(tally, job, row, margin):
    """1 where the row is close."""
    spread = 2 * job.uncertainty["MIC"] ** 2 + job.uncertainty["TEL"] ** 2
    close = margin**2 < spread
    name = f"{row['row']} with {margin} to its limit and {job.uncertainty}"
    told = [flag for flag in row["flags"] if flag.startswith("close")]
    tally.same(bool(told), close, f"{name}: close")
    if not close:
        tally.same(row["chance"], None, f"{name}: chance")
        return 0
    wanted = norm.cdf(2 * float(margin) / float(spread) ** 0.5)
    seen = row["chance"]
    near = seen is not None and abs(float(seen) - wanted) <= 0.00005 + 1e-9
    tally.check(near, f"{name}: chance {seen}, should be {wanted:.5f}")
    return 1


def planted(tally, job, record, margins):
    judging = Tally("planted")
    judging.SHOWN = 0
    row = next(r for r in record["rows"] if r["chance"] and 0.2 < float(r["chance"]) < 0.98)
    for what, change in {
        "the other tail": {"chance": f"{1 - float(row['chance']):.4f}"},
        "the last digit": {"chance": f"{float(row['chance']) + 0.0002:.4f}"},
        "no word of being close": {"flags": []},
    }.items():
        before = judging.wrong
        judge(judging, job, dict(row, **change), margins[row["row"]])
        tally.plant(judging.wrong > before, what)
    judging.room.cleanup()


if __name__ == "__main__":
    main()
