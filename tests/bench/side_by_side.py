#!/usr/bin/env python3
"""Speed side by side in one run: the same packet of pages by benchleaf, by typst
and by ReportLab; then how benchleaf grows with rows and with jobs, and what
pictures built against it take.

    python3 tests/bench/side_by_side.py [--rounds N] [--most N] [--all]

Builds the program, installs the others into a folder of their own, writes the
tables to tests/bench/RESULTS.md and prints them. --most bounds rows and jobs of
the growth, --all runs the others' thousand documents too where otherwise twenty
are run. Nothing is asserted: a figure that falls short is printed as it is.

The others are given the words, boxes and lines ready, at their places (the
packet of worksheets), or ready in rows for their own tables (the packet of
tables, without the heads and feet of its pages): reading the job, judging it
and laying it out is benchleaf's alone, as are the archive's form and the files
carried inside. Their sources are written
beforehand and not counted."""

import argparse
import json
import marshal
import os
import platform
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

import growth
import jobs
import pictures
import scans
from measuring import fresh, memory, ms

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
PLACE = ROOT / "tests/out/bench"
FONTS = ROOT / "forms/fonts"
FACES = {
    "Regular": "SourceSans3-Regular.ttf",
    "Bold": "SourceSans3-Bold.ttf",
    "Italic": "SourceSans3-It.ttf",
    "Code": "SourceCodePro-Regular.ttf",
}
# Micrometres from the top: between the head and the foot of a report's page.
BODY = 50_000, 281_000
THOUSAND, SAMPLE = 1000, 20


def at_home():
    """Starts again in an environment that has what is held beside benchleaf."""
    wanted = (HERE / "requirements.txt").read_text()
    python, stamp = PLACE / "venv/bin/python", PLACE / "made-from"
    if Path(sys.prefix) == PLACE / "venv":
        return
    if not stamp.exists() or stamp.read_text() != wanted:
        shutil.rmtree(PLACE, ignore_errors=True)
        subprocess.run([sys.executable, "-m", "venv", PLACE / "venv"], check=True)
        pip = [python, "-m", "pip", "install", "-q", "--disable-pip-version-check"]
        subprocess.run([*pip, "-r", HERE / "requirements.txt"], check=True)
        stamp.write_text(wanted)
    os.execv(python, [python, *sys.argv])


def built():
    """The program, and the bench that works inside one process."""
    subprocess.run(["cargo", "build", "--release", "--locked", "-q"], cwd=ROOT, check=True)
    line = ["cargo", "bench", "--locked", "-q", "--bench", "beside", "--no-run", "--message-format=json"]
    told = subprocess.run(line, cwd=ROOT, check=True, stdout=subprocess.PIPE, text=True).stdout
    made = [json.loads(entry).get("executable") for entry in told.splitlines()]
    made = [path for path in made if path and "beside" in path]
    target = Path(made[-1]).parents[1]
    return target / "benchleaf", made[-1]


# ---- the two packets ----


def marks(beside, job, what):
    told = subprocess.run([beside, "marks", job, what], check=True, stdout=subprocess.PIPE)
    return json.loads(told.stdout)


def boxes(packet):
    """Boxes to write in: what is outlined and not filled, on pages and in stamps."""

    def own(marks):
        return sum(1 for one in marks if one.get("rect") and one["pen"] and not one["fill"])

    stamps = {name: own(marks) for name, marks in packet["stamps"].items()}
    on_pages = sum(own(page["marks"]) for page in packet["pages"])
    stamped = [one["stamp"] for page in packet["pages"] for one in page["marks"] if "stamp" in one]
    return on_pages + sum(stamps[name] for name in stamped)


def rows(packet):
    """The words of every line of print, for the others' own tables: without the
    heads and feet of the pages, in as many columns as most lines have."""
    pages = []
    for page in packet["pages"]:
        found = {}
        for one in page["marks"]:
            if "text" in one and not one["turn"]:
                found.setdefault(one["at"][1], []).append((one["at"][0], one["text"]))
        pages.append([(y, [text for _, text in sorted(found[y])]) for y in sorted(found)])
    lines = [line for lines in pages for y, line in lines if BODY[0] < y < BODY[1]]
    columns = Counter(map(len, lines)).most_common(1)[0][0]
    lines = [line[: columns - 1] + [" ".join(line[columns - 1 :])] for line in lines]
    lines = [line + [""] * (columns - len(line)) for line in lines]
    high = 760 * len(packet["pages"]) / len(lines)
    return {"rows": lines, "widths": [505 / columns] * columns, "high": round(high, 2), "size": 7}


class Packet:
    """One packet: its job, and what the others are given."""

    def __init__(self, room, beside, job, what, tabled):
        import with_typst

        self.job, self.what = job, what
        self.marks = marks(beside, job, what)
        self.pages, self.boxes = len(self.marks["pages"]), boxes(self.marks)
        given = rows(self.marks) if tabled else self.marks
        given["fonts"] = {face: str(FONTS / file) for face, file in FACES.items()}
        self.given = given
        self.raw, self.source = room / f"{what}.marshal", room / f"{what}.typ"
        self.raw.write_bytes(marshal.dumps(given))
        self.source.write_text(with_typst.source(given))
        self.out = {name: room / f"{what}-{name}.pdf" for name in ("typst", "ReportLab")}
        self.out["benchleaf"] = Path(job) / f"{what}.pdf"

    def lines(self, program):
        python = sys.executable
        return {
            "benchleaf": [program, self.what, self.job],
            "typst": [python, HERE / "with_typst.py", self.source, self.out["typst"], FONTS],
            "ReportLab": [python, HERE / "with_reportlab.py", self.raw, self.out["ReportLab"]],
        }

    def inside(self, beside, rounds):
        """Seconds of each in one process, everything loaded, another work order
        each time."""
        told = subprocess.run(
            [beside, "time", self.job, self.what, str(rounds + 1)], check=True, stdout=subprocess.PIPE, text=True
        )
        whole, alone = zip(*(map(float, line.split()) for line in told.stdout.splitlines()[1:]))
        return {"benchleaf": whole, "benchleaf, pages alone": alone} | others_inside(self, rounds)


def others_inside(packet, rounds):
    import with_reportlab
    import with_typst

    compiler = with_typst.typst.Compiler(font_paths=with_typst.fonts(FONTS))
    with_reportlab.faces(packet.given["fonts"])
    source, raw = packet.source.read_text(), packet.raw.read_bytes()
    times = {"typst": [], "ReportLab": []}
    for n in range(rounds + 1):
        order = f"{n:04}"
        text = source.replace("0417", order).encode()
        start = time.perf_counter()
        compiler.compile(input=text, output=packet.out["typst"], pdf_tags=False)
        times["typst"].append(time.perf_counter() - start)
        given = marshal.loads(raw.replace(b"0417", order.encode()))
        start = time.perf_counter()
        with_reportlab.draw(given, str(packet.out["ReportLab"]))
        times["ReportLab"].append(time.perf_counter() - start)
    return {name: found[1:] for name, found in times.items()}


def letters(pdf):
    """The letters that a reader of the PDF finds, in no order."""
    told = subprocess.run(["pdftotext", "-raw", pdf, "-"], stdout=subprocess.PIPE, text=True).stdout
    return Counter(re.sub(r"\s", "", told))


def beside_table(packet, title, program, beside, rounds, out):
    lines = packet.lines(program)
    whole, inside = fresh(lines, rounds), packet.inside(beside, rounds)
    passed = {name: [took for took, _ in found] for name, found in whole.items()}
    worked = {name: statistics.median(used for _, used in found) for name, found in whole.items()}
    ours = statistics.median(passed["benchleaf"])
    out(f"\n## {title}\n")
    out(f"{packet.pages} pages, {packet.boxes} boxes to write in; {rounds} rounds.\n")
    heads = ["", "whole process, ms", "best", "times ours", "cores' work, ms", "times ours"]
    heads += ["in process, ms", "best", "peak MiB", "KiB"]
    out("| " + " | ".join(heads) + " |")
    out("|---" * len(heads) + "|")
    for name in lines:
        cells = [name, ms(passed[name]), f"{statistics.median(passed[name]) / ours:.1f}"]
        cells += [f"{1000 * worked[name]:.1f}", f"{worked[name] / worked['benchleaf']:.1f}"]
        cells += [ms(inside[name]), f"{memory(lines[name]):.0f}"]
        cells += [f"{packet.out[name].stat().st_size / 1024:.0f}"]
        out("| " + " | ".join(cells) + " |")
    alone = "benchleaf, pages alone"
    out(f"| {alone} | | | | | | {ms(inside[alone])} | | |")
    if shutil.which("pdftotext"):
        ours = letters(packet.out["benchleaf"])
        shares = []
        for name in lines:
            found = (letters(packet.out[name]) & ours).total() / ours.total()
            shares.append(f"{name} {100 * found:.1f} %")
        out(f"\nOf the letters on benchleaf's pages, pdftotext finds on those of: {', '.join(shares)}.")


# ---- a thousand in one call ----


def thousand(packet, room, program, everything, out):
    """The packet a thousand times: benchleaf in one call; the others in a loop,
    a process each and within one process, from twenty."""
    many = jobs.copies(packet.job, room / "thousand", THOUSAND)
    start = time.perf_counter()
    subprocess.run([program, packet.what, *many], check=True, stdout=subprocess.DEVNULL)
    ours = time.perf_counter() - start
    peak = memory([program, packet.what, *many])
    jobs.away(room / "thousand")
    out(f"\n## {THOUSAND:,} jobs of {packet.pages} pages in one call\n")
    out("| | s | times benchleaf | how |")
    out("|---|---|---|---|")
    out(f"| benchleaf, all cores | {ours:.1f} | 1.0 | measured, {peak:.0f} MiB at the most |")
    rounds = THOUSAND if everything else SAMPLE
    how = "measured" if everything else f"from {rounds}"
    lines = {name: line for name, line in packet.lines(program).items() if name != "benchleaf"}
    alone = fresh(lines, rounds)
    loop = {f"{name}, a process each": [took for took, _ in alone[name]] for name in alone}
    again = others_inside(packet, rounds)
    loop |= {f"{name}, in one process": found for name, found in again.items()}
    for name, found in loop.items():
        whole = sum(found) / len(found) * THOUSAND
        out(f"| {name} | {whole:.1f} | {whole / ours:.1f} | {how} |")


# ---- the whole run ----


def machine():
    cpu = ""
    if Path("/proc/cpuinfo").exists():
        found = re.search(r"model name\s*: (.*)", Path("/proc/cpuinfo").read_text())
        cpu = found[1] if found else ""
    load = ", ".join(f"{part:.1f}" for part in os.getloadavg())
    return f"{os.cpu_count()} cores {cpu}, {platform.system()}; load before the run {load}"


def versions(program):
    own = subprocess.run([program, "--version"], stdout=subprocess.PIPE, text=True).stdout.strip()
    pins = re.findall(r"^(reportlab|typst)==(.*)$", (HERE / "requirements.txt").read_text(), re.M)
    return ", ".join([own, *(f"{name} {version}" for name, version in pins)])


def main():
    at_home()
    asked = argparse.ArgumentParser(description="speed side by side")
    asked.add_argument("--rounds", type=int, default=20)
    asked.add_argument("--most", type=int, default=10_000)
    asked.add_argument("--all", action="store_true")
    asked = asked.parse_args()
    program, beside = built()
    text = []

    def out(line):
        print(line, flush=True)
        text.append(line + "\n")

    out("# Speed side by side\n")
    out("Written by `python3 tests/bench/side_by_side.py`, which says what is compared.\n")
    out(f"{machine()}. {versions(program)}.")
    with tempfile.TemporaryDirectory(prefix="benchleaf-") as room:
        room = Path(room)
        sheets = jobs.write(room / "sheets", **jobs.WORKSHEETS)
        subprocess.run([program, "sheets", sheets], check=True, stdout=subprocess.DEVNULL)
        packet = Packet(room, beside, sheets, "sheets", False)
        beside_table(packet, "A packet of worksheets, everything at its place", program, beside, asked.rounds, out)
        record = jobs.write(room / "record", **jobs.RECORD)
        subprocess.run([program, "sheets", record], check=True, stdout=subprocess.DEVNULL)
        jobs.fill(record)
        subprocess.run([program, "report", record], check=True, stdout=subprocess.DEVNULL)
        tables = Packet(room, beside, record, "report", True)
        beside_table(tables, "A record in tables, the others with their own", program, beside, asked.rounds, out)
        thousand(packet, room, program, asked.all, out)
        growth.rows(room / "rows", program, asked.most, out)
        growth.jobs_in_one_call(room / "jobs", program, asked.most, out)
        (room / "pictures").mkdir()
        pictures.table(room / "pictures", program, out)
        (room / "scans").mkdir()
        scans.table(room / "scans", program, out)
    (HERE / "RESULTS.md").write_text("".join(text))


if __name__ == "__main__":
    main()
