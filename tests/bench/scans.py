#!/usr/bin/env python3
"""Time and memory of figures read off scans, as whole processes on one core: the
demonstration's sheets drawn by poppler, of which nothing is filled in, against a
transcription in which everything is typed.

    python3 tests/bench/scans.py        prints the table

side_by_side.py writes it into tests/bench/RESULTS.md. BENCHLEAF names the program;
else it is built. Nothing is asserted."""

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

from measuring import once

# Dots an inch, and how many pages of the set.
SCANS = ((200, 1), (300, 1), (200, 38))
# A page with as many boxes as pages have.
FULL = 11


def table(room, program, out):
    """A row for each scan."""
    out("\n## Figures read off scans, on one core\n")
    out("`compare --scans` of the demonstration's sheets, and `check` of the same job beside it.\n")
    out("| pages | dots an inch | s | work, s | a page, s | peak MiB |")
    out("|---|---|---|---|---|---|")
    job = room / "job"
    subprocess.run([program, "demo", job], check=True, stdout=subprocess.DEVNULL)
    cores = os.sched_getaffinity(0)
    # What is started has its parent's cores.
    os.sched_setaffinity(0, {min(cores)})
    without = once([program, "check", job])
    out(f"| none, `check` | | {without[0]:.2f} | {without[1]:.2f} | | {without[2]:.0f} |")
    for dots, pages in SCANS:
        folder = room / f"{dots}-{pages}"
        folder.mkdir()
        first, last = (FULL, FULL) if pages == 1 else (1, pages)
        draw = ["pdftoppm", "-gray", "-png", "-r", str(dots), "-f", str(first), "-l", str(last)]
        subprocess.run([*draw, job / "sheets.pdf", folder / "page"], check=True)
        took, work, peak = once([program, "compare", job, "--scans", folder])
        out(f"| {pages} | {dots} | {took:.2f} | {work:.2f} | {work / pages:.2f} | {peak:.0f} |")
        shutil.rmtree(folder)
    os.sched_setaffinity(0, cores)
    shutil.rmtree(job)


def main():
    program = os.environ.get("BENCHLEAF")
    if not program:
        import side_by_side

        program, _ = side_by_side.built()
    with tempfile.TemporaryDirectory(prefix="benchleaf-") as room:
        table(Path(room), program, print)


if __name__ == "__main__":
    main()
