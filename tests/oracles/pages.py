"""Printed pages read back by programs from outside, for every page of the
sheets and reports of three engines: poppler (text, typefaces, pictures), zbar
(codes of squares), qpdf, pikepdf (PDF/A-3b). Each judge has a planted fault.
"""

import re
import tomllib
from concurrent.futures import ThreadPoolExecutor

import pikepdf
from _jobs import ENGINES, demonstration, opened, verdicts
from _judging import Tally, benchleaf, done
from _paper import Page, archive, codes, off_the_page, overlaps, pages, sound, typefaces
from _report import codes_of_runs

# 10 mm of margin less what a pen's width takes (4-paper: 10 mm elsewhere).
MARGIN = 9.0 / 25.4 * 72
# Words in the outermost column of a table, in points.
FLUSH = 6.0


def main():
    tally = Tally("pages")
    jobs = [demonstration(tally.folder / "demo")]
    jobs += [opened(engine, tally.folder / engine) for engine in ENGINES]
    for job in jobs:
        letter = tally.folder / (job.name + "-letter")
        done(benchleaf("report", job), 0, 1)
        done(benchleaf("sheets", job, "--paper", "Letter", "--out", letter))
        done(benchleaf("report", job, "--paper", "Letter", "--out", letter / "report.pdf"), 0, 1)
        record = verdicts(job)
        # A history is no page of the set: it has no codes.
        rows = ("--line", record["rows"][0]["line"])
        done(benchleaf("history", job, *rows, "-o", job / "history.pdf"), 0, 1)
        history = ("history", job, *rows, "--paper", "Letter", "-o", letter / "history.pdf")
        done(benchleaf(*history), 0, 1)
        known = more_papers(job, letter, record)
        own = boxes_of_their_own(job)
        printed = sorted([*job.glob("*.pdf"), *letter.glob("*.pdf")])
        with ThreadPoolExecutor(2) as both:
            scanned = list(both.map(lambda pdf: scan(tally, pdf), printed))
        for pdf, seen in zip(printed, scanned):
            read = pages(pdf)
            about = f"{pdf.parent.name}/{pdf.name}"
            whole(tally, pdf, about)
            clear(tally, read, about)
            if pdf.name not in ("tags.pdf", "history.pdf"):
                squares(tally, seen, read, record, about)
            # Second-stage sheets hold the rows that are ready, on pages of their own.
            if pdf.name == "sheets.pdf":
                every_row_code(tally, read, record, own, about, own_paper=pdf.parent == job)
            elif pdf.name == "report.pdf":
                every_reading(tally, read, record, own, about)
            elif pdf.name == "sheets-second.pdf" and len(read) > 1:
                every_known_size(tally, read, record, known, about)
            print(f"  {about}: {len(read)} pages")
        if job is jobs[0]:
            second = known
    planted(tally, jobs[0], second)
    tally.finish()


def more_papers(job, letter, record):
    """Second-stage sheets of every fit that is measured, tags, and for one
    engine the blind sheets, on both papers. Of each row, which part is known:
    not the one that the program says is to be measured."""
    known = {}
    fits = {row["sheet"] for row in record["rows"] if "loosest" in figures(row)}
    for paper, room in (("A4", job), ("Letter", letter)):
        to = ("--paper", paper, "--out", room)
        said = done(benchleaf("sheets", job, "--second", "--only", ",".join(sorted(fits)), *to)).stdout
        for mate, rows in re.findall(r"the (shaft|bore)s of ([^\n]+)", said):
            known |= {row: {"shaft": "bore", "bore": "shaft"}[mate] for row in rows.split()}
        done(benchleaf("tags", job, *to))
        if job.name == ENGINES[-1]:
            done(benchleaf("sheets", job, "--blind", *to))
    return known


def figures(row):
    return dict(row["steps"][-1]["figures"])


def every_known_size(tally, read, record, known, about):
    """Each row's sizes on record, the largest and the smallest of the part
    that is known, beside its code."""
    found = bands(read, {name: [name] for name in known})
    tally.check(known, f"{about}: no row on it")
    for row in record["rows"]:
        seen, part = figures(row), known.get(row["row"])
        if part and f"largest {part}" in seen:
            words = found.get(row["row"], set())
            sizes = {seen[f"largest {part}"], seen[f"smallest {part}"]}
            what = f"{about}: {row['row']}: {sorted(sizes - words)} of the {part} is not beside it"
            tally.check(sizes <= words, what)


def whole(tally, pdf, about):
    """The file as such: its structure, its typefaces, its kind."""
    tally.check(not sound(pdf), lambda: f"{about}: qpdf: {sound(pdf)[:400]}")
    # The judge knows no forms: archive.py takes them off signed files first.
    wrong = "" if "signed" in pdf.name else archive(pdf)
    tally.check(not wrong, f"{about}: PDF/A-3b: {wrong[:400]}")
    faces = typefaces(pdf)
    tally.check(faces, f"{about}: no typeface")
    for name, embedded, subset, letters in faces:
        tally.check(embedded and subset and letters, f"{about}: typeface {name} is not wholly inside")


def clear(tally, read, about):
    """No word over another, none off the page."""
    for number, page in enumerate(read, 1):
        tally.check(page.words, f"{about} page {number}: empty")
        out = off_the_page(page, MARGIN)
        tally.check(not out, lambda: f"{about} page {number}: in the margin: {[w.text for w in out[:6]]}")
        met = overlaps(page)
        tally.check(not met, lambda: f"{about} page {number}: over one another: {[(a.text, b.text) for a, b in met[:4]]}")


def scan(tally, pdf):
    folder = tally.folder / f"scan of {pdf.parent.name} {pdf.stem}"
    folder.mkdir()
    return codes(pdf, folder)


def squares(tally, seen, read, record, about):
    """Each page has one code that names the set and the page."""
    tally.same(len(seen), len(read), f"{about}: pages scanned")
    said = []
    for number, texts in sorted(seen.items()):
        right = len(texts) == 1 and re.fullmatch(squares_say(record), texts[0])
        tally.check(right, f"{about} page {number}: zbar reads {texts}")
        said += texts
        beside = {word.text for word in read[number - 1].words}
        tally.check(set(texts) <= beside, f"{about} page {number}: {texts} is not printed beside the code")
    tally.same(len(set(said)), len(said), f"{about}: codes that differ")


def squares_say(record):
    """Set, sheet, page, and the sheet's own number; the index and a report have
    none, a second-stage sheet has that of its sizes."""
    sheets = "|".join(f"{sheet['letter']}/\\d+B?/{sheet['number']}" for sheet in record["sheets"])
    return rf"{record['sheet_set']}/({sheets}|INDEX/\d+B?|REPORT/\d+|[A-Z0-9]+\.2/\d+/[0-9A-Z]{{4}})"


def boxes_of_their_own(job):
    """Rows with boxes: out of round and taper use those of another row."""
    sheets = tomllib.loads((job / "blank.toml").read_text())
    return {row for sheet in sheets.values() if isinstance(sheet, dict) for row in sheet}


def every_row_code(tally, read, record, own, about, own_paper=True):
    """Each row with boxes stands on the page that the record names; on other
    paper than the job's, on one of the pages."""
    words = [{word.text for word in page.words} for page in read]
    if not own_paper:
        words = [set().union(*words)] * len(words)
    for row in record["rows"]:
        if row["row"] in own and row["page"]:
            there = row["row"] in words[int(row["page"]) - 1]
            tally.check(there, f"{about}: {row['row']} is not on page {row['page']}")


def bands(read, names):
    """For each row code in the first column: all words down to the next one. Names
    have the rows that each stands for."""
    found = {}
    for page in read:
        edge = min((w.left for w in page.words if w.text in names), default=None)
        if edge is None:
            continue
        heads = sorted(
            (w for w in page.words if w.text in names and w.left < edge + FLUSH),
            key=lambda word: word.middle,
        )
        for head, after in zip(heads, [*heads[1:], None]):
            end = after.middle if after else page.height
            half = (head.bottom - head.top) / 2
            inside = {w.text.strip(",;:") for w in page.words if head.middle - half < w.middle < end - half}
            for name in names[head.text]:
                found.setdefault(name, set()).update(inside)
    return found


def every_name(record):
    """Rows by what the report calls them: by their codes, and several of a line from
    one to another."""
    return {row["row"]: [row["row"]] for row in record["rows"]} | codes_of_runs(record)


def missing_readings(record, own, found):
    """Readings that the record holds and no band of their row shows."""
    lost = []
    for row in record["rows"]:
        if row["row"] not in own:
            continue
        for step in row["steps"]:
            for side in step["readings"]:
                for typed in side["typed"]:
                    number = typed and re.fullmatch(r"-?\d+(\.\d+)?", typed)
                    if number and typed not in found.get(row["row"], ()):
                        lost.append((row["row"], side["boxes"], typed))
    return lost


def every_reading(tally, read, record, own, about):
    """Each number that the record holds is printed at its row."""
    names = {row["row"] for row in record["rows"]}
    found = bands(read, every_name(record))
    for name in sorted(names):
        tally.check(name in found, f"{about}: row {name} is not in the report")
    lost = missing_readings(record, own, found)
    held = sum(len(side["typed"]) for row in record["rows"] for step in row["steps"] for side in step["readings"])
    tally.checks += max(held - len(lost), 0)
    for row, boxes, typed in lost:
        tally.check(False, f"{about}: {row} {boxes} {typed} is not at its row")


def planted(tally, demo, known):
    """Each judge on something that is wrong."""
    report, room = demo / "report.pdf", tally.folder
    record, own = verdicts(demo), boxes_of_their_own(demo)
    read = pages(report)

    bad = room / "bad.pdf"
    text = report.read_bytes()
    bad.write_bytes(text[: len(text) * 2 // 3])
    tally.plant(sound(bad), "qpdf: the last third of the file lost")

    with pikepdf.open(report) as pdf:
        del pdf.Root.OutputIntents
        pdf.save(bad)
    tally.plant(archive(bad), "pikepdf: no output intent")
    with pikepdf.open(report) as pdf:
        del pdf.Root.Metadata
        pdf.save(bad)
    tally.plant(archive(bad), "pikepdf: no metadata")

    over(report, bad, b"BT /Bare 9 Tf 80 600 Td (M) Tj ET")
    tally.plant(not all(face[1] for face in typefaces(bad)), "pdffonts: a typeface that is not inside")
    tally.plant(archive(bad), "pikepdf: a typeface that is not inside")

    word = next(w for w in read[0].words if len(w.text) > 6)
    where = f"{word.left + 2:.1f} {read[0].height - word.bottom + 2:.1f}"
    over(report, bad, f"BT /Bare 9 Tf {where} Td (overprint) Tj ET".encode())
    tally.plant(overlaps(pages(bad)[0]), "pdftotext: a word over another")
    over(report, bad, f"BT /Bare 9 Tf {read[0].width - 12:.1f} 400 Td (edge) Tj ET".encode())
    tally.plant(off_the_page(pages(bad)[0], MARGIN), "pdftotext: a word over the edge")

    scans = room / "one scan"
    scans.mkdir()
    seen = codes(report, scans, 1, 1)
    over(report, bad, f"1 g {read[0].width / 2} {read[0].height / 2} 600 600 re f".encode())
    tally.plant(seen[1] and not codes(bad, scans, 1, 1)[1], "zbar: the code painted over")

    found = bands(read, every_name(record))
    whole = not missing_readings(record, own, found)
    digit = dict(found, C1={w for w in found["C1"] if w != "1.3753"})
    tally.plant(whole and missing_readings(record, own, digit), "pdftotext: a reading lost from its row")
    crossed = dict(found, C1=found["T1IN"], T1IN=found["C1"])
    tally.plant(whole and missing_readings(record, own, crossed), "pdftotext: readings at each other's rows")
    second = pages(demo / "sheets-second.pdf")
    lost = [Page(p.width, p.height, [w for w in p.words if w.text != "1.3732"]) for p in second]
    judge = Tally("planted")
    every_known_size(judge, lost, record, known, "planted")
    tally.plant(judge.wrong, "pdftotext: a size on record lost from a second-stage sheet (the line above)")
    sheets = pages(demo / "sheets.pdf")
    without = [Page(p.width, p.height, [w for w in p.words if w.text != "C2"]) for p in sheets]
    judge = Tally("planted")
    every_row_code(judge, without, record, own, "planted")
    tally.plant(judge.wrong, "pdftotext: a row code that is not printed (the line above)")


def over(source, target, marks):
    """The first page with these marks painted over it."""
    with pikepdf.open(source) as pdf:
        page = pdf.pages[0]
        bare = pikepdf.Dictionary(
            Type=pikepdf.Name.Font, Subtype=pikepdf.Name.Type1, BaseFont=pikepdf.Name.Helvetica
        )
        page.Resources.Font["/Bare"] = pdf.make_indirect(bare)
        page.contents_add(b"q", prepend=True)
        page.contents_add(b"Q " + marks, prepend=False)
        pdf.save(target)


if __name__ == "__main__":
    main()
