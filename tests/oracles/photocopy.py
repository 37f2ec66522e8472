"""Readings stay legible on a photocopy, to an OCR program (tesseract with its
English letters, from Debian): every reading and every end of a fit on the
reports of three engines, in its column, held against the record; and every
decimal figure on sheets of the first stage, and the sizes and windows of the
second, held against pdftotext. What is read is read from the blurred, skewed,
black and white copy; only where to look comes from the page's own words, and
whether to look once more.
"""

import math
import re
from concurrent.futures import ThreadPoolExecutor

import pikepdf
from _jobs import ENGINES, demonstration, opened, verdicts
from _judging import Tally, benchleaf, done
from _paper import pages
from _photocopy import copied, looked_again, read, strip
from _report import figures
from figures import Held, of_fit, of_other, tables

# Columns of the report that hold what was read, by table.
READINGS = {"fits": ("shaft", "bore", "tightest"), "others": ("readings",)}
# Where the ladders of the second stage begin, in points from the left.
LADDERS = 296.0
DECIMAL = re.compile(r"\d+\.\d+$")


def main():
    tally = Tally("photocopy")
    jobs = [demonstration(tally.folder / "demo")]
    jobs += [opened(engine, tally.folder / engine) for engine in ENGINES]
    for job in jobs:
        done(benchleaf("report", job), 0, 1)
        record = verdicts(job)
        sheets = {row["sheet"] for row in record["rows"] if "loosest" in dict(row["steps"][-1]["figures"])}
        done(benchleaf("sheets", job, "--second", "--only", ",".join(sorted(sheets))))
        report(tally, job, record)
        # The forms are the same for every engine: one packet of each stage. Of
        # the second the sizes on record and the windows: its ladders are ruled
        # closer than tesseract tells lines apart, and hold no reading.
        if job is jobs[0]:
            paper(tally, job / "sheets.pdf")
            paper(tally, job / "sheets-second.pdf", until=LADDERS)
    planted(tally, jobs[0])
    tally.finish()


def report(tally, job, record):
    """Columns of the report as the copy gives them, against the record."""
    pdf = job / "report.pdf"
    printed = tables(record, pages(pdf))
    count, where = through_copy(tally, pdf, printed)
    judge = held(record, printed)
    tally.checks += count - len(judge.wrong)
    for what in judge.wrong:
        tally.check(False, f"{job.name} report: {what}")
    print(f"  {job.name} report: {count} figures on {where} pages, {len(judge.wrong)} columns read wrong")


def through_copy(tally, pdf, printed):
    """Puts what was read off the copy in the place of the printed words. How
    many figures that was, on how many pages."""
    lines = {}
    for parts in printed.values():
        for part in parts:
            for column in READINGS.get(part.table, ()):
                own = by_line(part.columns[column])
                for words in own:
                    lines.setdefault(part.page, []).append((part, column, words))
                part.columns[column] = [w for w in part.columns[column] if not any(w in line for line in own)]
    with ThreadPoolExecutor(2) as both:
        for number, found in both.map(lambda page: (page, ocred(tally, pdf, page, lines[page])), sorted(lines)):
            for (part, column, _), seen in zip(lines[number], found):
                part.columns[column] += seen
    count = sum(len(figures(words)) for on in lines.values() for _, _, words in on)
    return count, len(lines)


def ocred(tally, pdf, number, lines):
    copy = copied(pdf, number, tally.folder)
    name = f"{pdf.parent.name}-{pdf.stem}-{number}"
    found = read([strip(copy, words) for _, _, words in lines], tally.folder, name)
    picture = tally.folder / f"{name}-again.png"
    return [looked_again(copy, words, seen, picture) for (_, _, words), seen in zip(lines, found)]


def by_line(words):
    """Lines of figures in a column, with the letter of a fit; a unit beside
    them is not what is asked for."""
    lines = []
    words = [word for word in words if word.text in ("L", "T") or figures([word])]
    for word in sorted(words, key=lambda w: (w.middle, w.left)):
        if lines and abs(lines[-1][0].middle - word.middle) < 2:
            lines[-1].append(word)
        else:
            lines.append([word])
    return [sorted(line, key=lambda w: w.left) for line in lines if figures(line)]


def held(record, printed):
    judge = Held(printed, record)
    for row in record["rows"]:
        if ("fits", row["row"]) in printed:
            of_fit(judge, row, record["scope"])
        else:
            of_other(judge, row)
    return judge


def paper(tally, pdf, until=math.inf):
    """Every decimal figure of a packet of sheets up to that far from the left,
    read off its copy."""
    jobs = []
    for number, page in enumerate(pages(pdf), 1):
        words = [w for w in page.words if DECIMAL.match(w.text) and w.right < until]
        if words:
            jobs.append((number, words))
    with ThreadPoolExecutor(2) as both:
        found = list(both.map(lambda job: ocred(tally, pdf, job[0], [(0, 0, [w]) for w in job[1]]), jobs))
    count = wrong = 0
    for (number, words), seen in zip(jobs, found):
        for word, texts in zip(words, seen):
            count += 1
            text = " ".join(t.text for t in texts)
            wrong += not tally.check(text == word.text, f"{pdf.parent.name}/{pdf.name} page {number}: {word.text} reads {text!r}")
    print(f"  {pdf.parent.name}/{pdf.name}: {count} figures on {len(jobs)} pages, {wrong} read wrong")


def planted(tally, demo):
    """A reading painted over, one printed at four points, one faint grey."""
    record = verdicts(demo)
    source = demo / "report.pdf"
    clean = tables(record, pages(source))
    part = clean["fits", "C1"][0]
    word = next(w for w in part.columns["bore"] if w.text == "1.3753")
    page = pages(source)[part.page - 1]
    box = f"{word.left - 1:.1f} {page.height - word.bottom:.1f} {word.right - word.left + 2:.1f} {word.bottom - word.top:.1f}"
    at = f"{word.left:.1f} {page.height - word.bottom + 3:.1f}"
    for what, marks in {
        "a reading painted over": f"1 g {box} re f",
        "a reading struck through with a broad pen": f"0 g {box} re f",
        "a reading printed at 3 points": f"1 g {box} re f 0 g BT /Bare 3 Tf {at} Td (1.3753) Tj ET",
        "a reading in light grey": f"1 g {box} re f 0.75 g BT /Bare 8 Tf {at} Td (1.3753) Tj ET",
        "another reading in its place": f"1 g {box} re f 0 g BT /Bare 8 Tf {at} Td (1.3758) Tj ET",
    }.items():
        bad = demo / "bad.pdf"
        with pikepdf.open(source) as pdf:
            on = pdf.pages[part.page - 1]
            bare = pikepdf.Dictionary(Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica)
            on.Resources.Font["/Bare"] = pdf.make_indirect(bare)
            on.contents_add(b"q", prepend=True)
            on.contents_add(b"Q " + marks.encode(), prepend=False)
            pdf.save(bad)
        # Where to look is told by the sound page.
        only = {key: [p for p in parts if p.page == part.page] for key, parts in tables(record, pages(source)).items()}
        rows = {name for (table, name), parts in only.items() if table == "fits" and parts}
        through_copy(tally, bad, {key: parts for key, parts in only.items() if key[1] in rows})
        judge = held({**record, "rows": [row for row in record["rows"] if row["row"] in rows]}, only)
        tally.plant([w for w in judge.wrong if w.startswith("C1 bore")], what)


if __name__ == "__main__":
    main()
