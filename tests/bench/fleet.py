"""Many reports: `table` and `recall` over 10,000 of them.

    python3 tests/bench/fleet.py            10,000 reports, a quarter of an hour to make
    python3 tests/bench/fleet.py 1000       so many

The reports are made by the program itself: copies of the demonstration, each
of another engine, signed by two. They are read from one folder. Time of whole
processes, one run each; work is what all cores did. The first run of `table`
proves every report, the second finds nothing new, the third finds one. Half of
the reports are read besides, to see whether time grows as they do. BENCHLEAF
names the program, else the last one built.
"""

import os
import shutil
import sys
import tempfile
from pathlib import Path

from measuring import once

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "oracles"))
from _fleet import Fleet  # noqa: E402
from _judging import program  # noqa: E402

# Made and put on the shelf at a time, so that no more folders lie about.
AT_ONCE = 200
STEP = 7


def main():
    wanted = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    with tempfile.TemporaryDirectory(prefix="benchleaf-fleet-") as name:
        room = Path(name)
        shelf = made(room, wanted)
        half = room / "half"
        half.mkdir()
        reports = sorted(shelf.iterdir())
        last = room / "last.pdf"
        shutil.move(reports.pop(), last)
        for report in reports[: len(reports) // 2]:
            os.link(report, half / report.name)
        size = sum(report.stat().st_size for report in reports)
        cores = len(os.sched_getaffinity(0))
        print(f"\n{len(reports)} reports, {size / 2**20:.0f} MiB, {cores} cores, {program()}\n")
        print("| run | s | work, s | a report, ms | cores | peak MiB | file, MiB |")
        print("|---|---|---|---|---|---|---|")
        for form in ("csv", "jsonl"):
            out = room / f"fleet.{form}"
            row(f"table, half, {form}", ["table", half, "-o", room / f"half.{form}"], half)
            row(f"table, first, {form}", ["table", shelf, "-o", out], shelf, out)
            row(f"table, second, {form}", ["table", shelf, "-o", out], shelf, out)
            shutil.copy(last, shelf / "last.pdf")
            row(f"table, one more, {form}", ["table", shelf, "-o", out], shelf, out)
            (shelf / "last.pdf").unlink()
        row("recall, half, gauge", ["recall", half, "--gauge", "MIC-2B"], half)
        row("recall, gauge", ["recall", shelf, "--gauge", "MIC-2B"], shelf)
        row("recall, gauge, again", ["recall", shelf, "--gauge", "MIC-2B"], shelf)
        row("recall, batch", ["recall", shelf, "--batch", "B0702"], shelf)


def made(room, wanted):
    """So many reports and one more, in one folder."""
    shelf = room / "shelf"
    shelf.mkdir()
    left = wanted + 1
    n = 0
    while left:
        some = room / f"some-{n}"
        fleet = Fleet(some)
        for _ in range(min(left, AT_ONCE)):
            n += 1
            hours = f"{1000 + STEP * (n % 500)}.5"
            fleet.add(f"TW4-{n:05}", f"{n:05}", hours, 1 + n % 5)
        fleet.make()
        for report in fleet.shelf.iterdir():
            shutil.move(report, shelf / report.name)
        left -= len(fleet.jobs)
        shutil.rmtree(some)
        print(f"{n} of {wanted + 1} made", file=sys.stderr)
    return shelf


def row(what, words, folder, out=None):
    took, work, peak = once([program(), *words])
    count = len(list(folder.iterdir()))
    size = f"{out.stat().st_size / 2**20:.0f}" if out else ""
    each = 1000 * work / count
    print(f"| {what} | {took:.2f} | {work:.2f} | {each:.2f} | {work / took:.2f} | {peak:.0f} | {size} |", flush=True)


if __name__ == "__main__":
    main()
