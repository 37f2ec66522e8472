"""A shop's reports of many engines: copies of the demonstration, each with
readings, hours, days and a serial of its own, made and signed by the program.
"""

import re
import shutil
from concurrent.futures import ThreadPoolExecutor

from _jobs import demonstration
from _judging import ROOT, benchleaf, done

FILES = ["engine.toml", "limits.toml", "job.toml"]
HOURS = "1,894.6 h since new"
SERIAL = "TW4-00317"
ORDER = "0417"


class Fleet:
    """Folders of jobs, and a shelf of their signed reports."""

    def __init__(self, folder):
        self.folder = folder
        self.shelf = folder / "shelf"
        self.shelf.mkdir(parents=True)
        self.base = demonstration(folder / "base")
        self.jobs = []
        for initials in ("RW", "JA"):
            # A key that others can read is complained of.
            key = ROOT / "demo" / f"throw-away-{initials}.pem"
            self.key(initials).write_bytes(key.read_bytes())
            self.key(initials).chmod(0o600)

    def key(self, initials):
        return self.folder / f"{initials}.pem"

    def add(self, serial, order, hours, years, change=str):
        """A job, some years before the demonstration's. `change` is given the
        transcription and gives back what was typed in this job."""
        job = self.folder / f"job-{order}"
        shutil.copytree(self.base / "forms", job / "forms")
        for name in FILES:
            text = (self.base / name).read_text()
            if name == "job.toml":
                text = once(text, SERIAL, serial)
                text = once(text, f'"{ORDER}"', f'"{order}"')
                text += twin(text, "MIC-3", "MIC-3B")
                text = before(once(text, HOURS, f"{hours} h since new"), years)
            (job / name).write_text(text)
        readings = change(before((self.base / "readings.toml").read_text(), years))
        self.jobs.append((job, readings))
        return job

    def make(self):
        """Sheets, transcriptions, reports and signatures, on all cores."""
        folders = [job for job, _ in self.jobs]
        done(benchleaf("sheets", *folders))
        for job, readings in self.jobs:
            blank = job / "readings.toml"
            blank.write_text(numbered(readings, blank.read_text()))
            (job / "sheets.pdf").unlink()
        done(benchleaf("report", "--final", *folders))
        with ThreadPoolExecutor() as pool:
            list(pool.map(self.sign, folders))

    def sign(self, job):
        report = job / "report.pdf"
        for initials in ("RW", "JA"):
            key = self.key(initials)
            done(benchleaf("sign", report, "--key", key, "--as", initials))
        shutil.move(report, self.shelf / f"{job.name}.pdf")


PRINTED = re.compile(r"^(?:number|printed|pages) = .*$", re.M)


def numbered(filled, blank):
    """A transcription of one set with the numbers of another."""
    own = {part[1 : part.index("]")]: PRINTED.findall(part) for part in sheets(blank)[1:]}
    out = sheets(filled)
    for n, part in enumerate(out[1:], 1):
        lines = own.get(part[1 : part.index("]")])
        if lines is not None:
            first, rest = part.split("\n", 1)
            out[n] = "\n".join([first, *lines, re.sub(PRINTED.pattern + r"\n", "", rest, flags=re.M)])
    set_number = re.search(r"^sheet-set = .*$", blank, re.M)[0]
    return re.sub(r"^sheet-set = .*$", set_number, "".join(out), count=1, flags=re.M)


def sheets(text):
    """What stands before the first table, and each table."""
    return re.split(r"^(?=\[)", text, flags=re.M)


def twin(text, gauge, name):
    """Another gauge like one of the job's."""
    own = re.search(rf"^\[gauges\.{gauge}\]\n(.*?)(?=^\[|\Z)", text, re.M | re.S)
    serial = re.sub(r'^serial(\s*)= "(.*)"$', r'serial\1= "\2-B"', own[1], flags=re.M)
    return f"\n[gauges.{name}]\n{serial}"


def once(text, old, new):
    assert text.count(old) == 1, f"{old} stands {text.count(old)} times"
    return text.replace(old, new)


def before(text, years):
    return re.sub(r"\b20(\d\d)(?=-\d\d-\d\d)", lambda year: f"20{int(year[1]) - years:02}", text)


def retyped(text, row, by):
    """The row's readings, so many steps of its last digit larger."""

    def moved(figure):
        digits = figure[0].replace(".", "")
        return f"{int(digits) + by:0{len(digits)}}"[:-4] + "." + f"{int(digits) + by:05}"[-4:]

    line = re.search(rf"^{re.escape(row)} = \[.*\]$", text, re.M)
    return text.replace(line[0], re.sub(r"\d+\.\d{4}", moved, line[0]), 1)
