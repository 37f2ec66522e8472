"""The sheets with fields, filled in by programs that are not ours: PyPI `pikepdf`
and `pypdf`, and pdf.js under Node. What `benchleaf take` makes of each is what
was typed by hand; the blank one is PDF/A-3b as pikepdf's validator sees it, its
form aside, which that validator does not know: the typeface and the looks of the
fields are put on pages of their own for it. Poppler draws every figure inside its
printed cell. Files that are wrong or mean harm are refused by name."""

import json
import logging
import re
import shutil
import tomllib

import pikepdf
import pypdf
from pikepdf import Array, Dictionary, Name, String, pdfa
from PIL import Image, ImageChops

from _fields import hostile, wanted
from _fields_dice import diced
from _fields_later import Lines, later
from _jobs import ENGINES, demonstration, opened
from _judging import ROOT, Tally, benchleaf, done, outside

# Looks of words that no field is judged by.
logging.getLogger("pypdf").setLevel(logging.ERROR)
logging.getLogger("fontTools").setLevel(logging.ERROR)
VIEWER = ROOT / "tests" / "oracles" / "pdfjs"


def main():
    tally = Tally("fields")
    jobs = {"demo": demonstration(tally.folder / "demo")}
    jobs |= {engine: opened(engine, tally.folder / engine) for engine in ENGINES}
    for name, job in jobs.items():
        done(benchleaf("sheets", job, "--fill"))
        blank = job / "fill.pdf"
        archive(tally, name, blank)
        typed = on_paper(job, names(blank), name == "demo")
        papers, values = written(job, typed)
        for paper in papers[1:]:
            archive(tally, f"{name}, further pages", paper)
        for fill in (by_pikepdf, by_pypdf, by_pdfjs):
            filled = [tally.folder / f"{name}-{fill.__name__}-{n}.pdf" for n in range(len(papers))]
            made = [fill(paper, path, own(paper, values)) for paper, path in zip(papers, filled)]
            if tally.check(all(made), f"{name}: not filled {fill.__name__}"):
                round_trip(tally, job, typed, filled, f"{name} {fill.__name__}")
        by_dice(tally, name, job)
        if name == "demo":
            inside(tally, blank, tally.folder)
            complete(tally, job)
    again(tally, jobs["demo"])
    refused(tally, jobs["demo"], jobs["two-in"])
    tally.finish()


def written(job, typed):
    """The files that have a field for everything typed, further pages where the
    lines of a sheet are full, and the values by the names of the fields."""
    data = tomllib.loads(typed.read_text(), parse_float=str)
    papers = [job / "fill.pdf"]
    first = names(papers[0])
    values, lacking = later(data, Lines(first))
    if lacking:
        letters = sorted(set(lacking))
        done(benchleaf("sheets", job, "--fill", "--remarks", ",".join(letters)))
        papers.append(job / f"fill-remarks-{'-'.join(letters)}.pdf")
        values, lacking = later(data, Lines([*first, *names(papers[1])]))
        assert not lacking, lacking
    return papers, values | wanted(data, first)


def by_dice(tally, name, job):
    """Whatever a person could write, put in by each of the programs."""
    with pikepdf.open(job / "fill.pdf") as pdf:
        most = {name: int(field.get("/MaxLen", 0)) for name, field in fields(pdf)}
    for seed, fill in enumerate((by_pikepdf, by_pypdf, by_pdfjs)):
        typed = job / f"dice-{seed}.toml"
        typed.write_text(diced(f"{name} {seed}", job, job / "blank.toml", most))
        papers, values = written(job, typed)
        filled = [tally.folder / f"{name}-dice-{seed}-{n}.pdf" for n in range(len(papers))]
        made = [fill(paper, path, own(paper, values)) for paper, path in zip(papers, filled)]
        if tally.check(all(made), f"{name}: not filled {fill.__name__}"):
            round_trip(tally, job, typed, filled, f"{name} by dice, {fill.__name__}")


def own(paper, values):
    there = names(paper)
    return {name: value for name, value in values.items() if name in there}


def complete(tally, job):
    """The demonstration filled in through its fields alone is as complete as the one
    that was typed, and every verdict, question and reading is the same."""
    typed = on_paper(job, names(job / "fill.pdf"), False)
    papers, values = written(job, typed)
    filled = [job / f"complete-{n}.pdf" for n in range(len(papers))]
    for paper, path in zip(papers, filled):
        by_pikepdf(paper, path, own(paper, values))
    into = job / "complete.toml"
    done(benchleaf("take", job, *filled, "--into", into))
    kept = (job / "readings.toml").read_text()
    said = []
    for text in (typed.read_text(), into.read_text()):
        (job / "readings.toml").write_text(text)
        told = json.loads(done(benchleaf("check", job, "--json")).stdout)
        ran = benchleaf("report", job, "--complete")
        tally.same(ran.returncode, 0, f"a complete report: {ran.stderr[-1000:]}")
        tally.check("record complete" in ran.stdout, lambda: ran.stdout[-1000:])
        said.append(told)
    (job / "readings.toml").write_text(kept)
    one, other = said
    tally.same(one["status"], "complete", "the typed one")
    tally.same(other["status"], "complete", "the one from fields")
    for part in ("rows", "items", "sheets", "asks"):
        for first, second in zip(one[part], other[part], strict=True):
            name = first.get("row", first.get("item", first.get("letter"))) if isinstance(first, dict) else part
            tally.same(second, first, f"{part} {name}")
    states = {row["row"]: row["state"] for row in other["rows"]}
    for row, state in (("C2", "within service limits"), ("C3", "within new limits"), ("M2", "within service limits")):
        tally.same(states[row], state, f"the demonstration's {row}")
    # A reading that was not typed in keeps it from being complete.
    one = next(name for name in values if name.startswith("M1.shaft.1"))
    by_pikepdf(papers[0], filled[0], {name: value for name, value in own(papers[0], values).items() if not name.startswith("M1.shaft")})
    short = job / "short.toml"
    done(benchleaf("take", job, *filled, "--into", short))
    (job / "readings.toml").write_text(short.read_text())
    tally.plant(benchleaf("report", job, "--complete").returncode != 0, f"nothing typed at {one}")
    (job / "readings.toml").write_text(kept)


def names(path):
    with pikepdf.open(path) as pdf:
        return {name: field for name, field in fields(pdf)}


def fields(pdf):
    """Every field that holds a value, by its whole name."""
    waiting = [("", field) for field in pdf.Root.AcroForm.Fields]
    while waiting:
        above, field = waiting.pop()
        name = f"{above}.{field.T}" if above else str(field.T)
        if "/Kids" in field:
            waiting += [(name, kid) for kid in field.Kids]
        else:
            yield name, field


def archive(tally, name, path):
    """Valid but for the form, which the validator says it does not know; then
    with the form's own parts where it looks at them."""
    report = pdfa.validate_written(path, "3b")
    rules = sorted({(finding.rule, finding.kind) for finding in report.findings})
    tally.same(rules, [("pikepdf:schema-Catalog", "unsupported")], f"{name}: what PDF/A-3b has against it")
    shown = path.with_name("shown.pdf")
    for spoil in (False, True):
        with pikepdf.open(path) as pdf:
            laid_open(pdf, spoil)
            pdf.save(shown, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.disable)
        found = [f"{f.rule} {f.message}" for f in pdfa.validate_written(shown, "3b").findings]
        if spoil:
            tally.plant(found, f"{name}: the fields' typeface without its widths")
        else:
            tally.same(found, [], f"{name}: typeface and looks of the fields")
    with pikepdf.open(path) as pdf:
        tally.check("/NeedAppearances" not in pdf.Root.AcroForm, f"{name}: NeedAppearances")
        for field_name, field in fields(pdf):
            flags = int(field.get("/F", 0))
            tally.check(flags == 4, f"{name}: {field_name} is not printed and seen")
            tally.check(not {"/A", "/AA", "/MK"} & set(field.keys()), f"{name}: {field_name} acts")
            tally.check(str(field.get("/TU", "")), f"{name}: {field_name} is heard as nothing")
            seen = any(int(edge) for edge in field.Rect)
            tally.check(not seen or "/N" in field.AP, f"{name}: {field_name} has no looks")


def laid_open(pdf, spoil):
    """The typeface shown on the first page and every look drawn there, without a
    form, so that the validator looks at them."""
    font = pdf.Root.AcroForm.DR.Font.F
    if spoil:
        font.Widths = Array([0] * len(font.Widths))
    looks = {}
    for _, field in fields(pdf):
        for look in ([] if "/AP" not in field else [field.AP.N] if isinstance(field.AP.N, pikepdf.Stream) else field.AP.N.values()):
            looks[look.objgen] = look
    page = pdf.pages[0]
    page.obj.Resources.Font.FORM = font
    draw = "".join(f" /LOOK{n} Do" for n in range(len(looks)))
    if "/XObject" not in page.obj.Resources:
        page.obj.Resources.XObject = Dictionary()
    for n, look in enumerate(looks.values()):
        page.obj.Resources.XObject[f"/LOOK{n}"] = look
    page.contents_add(f"q BT /FORM 9 Tf 9 9 Td (RW 0123456789 .-) Tj ET{draw} Q".encode())
    del pdf.Root.AcroForm
    for other in pdf.pages:
        if "/Annots" in other.obj:
            del other.obj.Annots


def on_paper(job, names, more):
    """What the paper has room for: no zero of a gauge that needs none, no check that
    nobody asks for, no note beside a reading taken again. With `more`, also what
    the demonstration lacks: a second person for one side, an out accepted, work
    sent out, a row that does not apply."""
    text = (job / "readings.toml").read_text()
    lines, letter = [], ""
    for line in text.splitlines():
        letter = line[1:].split("]")[0] if re.match(r"\[\w+\]", line) else letter
        key = line.split(" ")[0]
        if key == "check" and f"sheet {letter}.check.by" not in names or key == "note":
            continue
        if "zero = " in line and f"sheet {letter}.{key}.before" not in names:
            line = re.sub(r', zero = "\w*"', "", line)
        if more and letter == "T" and key == "shaft":
            line = f'shaft = [{line.split("=", 1)[1]}, {ANOTHER}]'
        lines.append(line)
    path = job / ("more.toml" if more else "typed.toml")
    path.write_text("\n".join(lines) + "\n" + (LATER if more else ""))
    return path


ANOTHER = '{ by = "TD", on = 2026-03-04, gauge = ["MIC-1"], zero = "vx", rows = ["T3IN", "T3EX", "T4IN"] }'
LATER = """
[[accepted]]
row = "TL2EX"
authority = "the maker's letter"
document = "LT-9"
by = "JA"
on = 2026-03-09
[[outside]]
what = "crankshaft balanced"
who = "Hollin Grinding"
certificate = "HG-4410"
on = 2026-03-04
result = "within 2 g"
"""


def by_pikepdf(blank, filled, values):
    with pikepdf.open(blank) as pdf:
        for name, field in fields(pdf):
            if name not in values:
                continue
            if field.FT == Name.Btn:
                field.V = field.AS = Name.Yes
            else:
                field.V = String(values[name])
        pdf.save(filled)
    return True


def by_pypdf(blank, filled, values):
    writer = pypdf.PdfWriter(clone_from=pypdf.PdfReader(blank))
    ticked = {name: "/Yes" if value is True else value for name, value in values.items()}
    for page in writer.pages:
        if "/Annots" in page:
            writer.update_page_form_field_values(page, ticked, auto_regenerate=False)
    writer.write(filled)
    return True


def by_pdfjs(blank, filled, values):
    told = filled.with_suffix(".json")
    told.write_text(json.dumps(values))
    ran = outside("node", VIEWER / "fill.mjs", blank, told, filled, cwd=VIEWER)
    if ran.returncode:
        print(ran.stderr.decode()[-2000:])
    return ran.returncode == 0


def round_trip(tally, job, typed, filled, what):
    into = filled[0].with_suffix(".toml")
    ran = benchleaf("take", job, *filled, "--into", into)
    if not tally.check(ran.returncode == 0, lambda: f"{what}: {ran.stdout[-1500:]}{ran.stderr[-1500:]}"):
        return
    ran = benchleaf("compare", typed, into, "--job", job)
    last = ran.stdout.strip().splitlines()[-1] if ran.stdout.strip() else ran.stderr
    tally.check(ran.returncode == 0, lambda: f"{what}: {ran.stdout[-3000:]}{ran.stderr[-1000:]}")
    tally.check(re.match(r"no differences; \d{3,} boxes alike", last), lambda: f"{what}: {last}")
    for old, new, why in PLANTS:
        first = typed.read_text().replace(old, new)
        if first != typed.read_text():
            planted = typed.with_name("planted.toml")
            planted.write_text(first)
            ran = benchleaf("compare", planted, into, "--job", job)
            tally.plant(ran.returncode == 1, f"{what}: {why}")


PLANTS = [
    ("M1.shaft = [2.2478", "M1.shaft = [2.2479", "one digit of a reading"),
    ("[13.0", "[13.1", "one digit of a reading"),
    ("read      = 1.3757", "read      = 1.3755", "one digit of a box measured again"),
    ("pipe replaced", "pipe kept", "what was done about a defect"),
    ('"CL 16"', '"CL 15"', "what was looked over again"),
    ('rows = ["T3IN", "T3EX", "T4IN"]', 'rows = ["T3IN", "T3EX"]', "whose rows are whose"),
    ("HG-4410", "HG-4401", "a certificate"),
]


def inside(tally, blank, folder):
    """What poppler draws of all that pypdf filled in lies where it is printed: each
    digit in its cell, words over their line, on pages with each sort of line."""
    with pikepdf.open(blank) as pdf:
        pages = [[(path(field), [float(edge) for edge in field.Rect]) for field in page.obj.get("/Annots", [])] for page in pdf.pages]
        cells = {name: int(field.get("/MaxLen", 0)) for name, field in fields(pdf) if field.FT == Name.Tx}
        height = float(pdf.pages[0].mediabox[3])
    for sort in ("C2.bore", ".changed.", ".found.", ".also.", "RN 1."):
        page = next(n for n, own in enumerate(pages) if any(sort in name for name, _ in own))
        rects = {name: rect for name, rect in pages[page] if name in cells and rect[2] > rect[0]}
        said = {name: "8" * cells[name] if cells[name] > 1 else "n" if cells[name] else "Hg" for name in rects}
        filled = folder / "drawn.pdf"
        by_pypdf(blank, filled, said)
        one, other = (drawn(pdf, page, folder / stem) for pdf, stem in ((blank, "blank"), (filled, "filled")))
        difference = ImageChops.difference(one, other).point(lambda grey: 255 if grey > 60 else 0)
        scale = one.height / height
        for name, (left, low, right, high) in rects.items():
            box = [round(left * scale), round((height - high) * scale), round(right * scale), round((height - low) * scale)]
            count = max(cells[name], 1)
            wide = (right - left) * scale / count
            for n in range(count):
                cell = difference.crop((round(box[0] + n * wide), box[1], round(box[0] + (n + 1) * wide), box[3]))
                ink = cell.getbbox()
                tally.check(ink and (count == 1 or ink[0] > 0 and ink[2] < cell.width), lambda: f"{name}, {n + 1} is not in its place: {ink}")
            difference.paste(0, (box[0] - 1, box[1] - 1, box[2] + 1, box[3] + 1))
        tally.check(difference.getbbox() is None, f"{sort}: drawn outside every place: {difference.getbbox()}")
        # The same with one field missed out.
        missed = next(iter(rects))
        by_pypdf(blank, filled, {name: value for name, value in said.items() if name != missed})
        left, low, right, high = rects[missed]
        place = (round(left * scale), round((height - high) * scale), round(right * scale), round((height - low) * scale))
        bare = ImageChops.difference(one, drawn(filled, page, folder / "missed")).point(lambda grey: 255 if grey > 60 else 0)
        tally.plant(bare.crop(place).getbbox() is None, f"{sort}: nothing written at {missed}")


def drawn(path, page, stem):
    outside("pdftoppm", "-gray", "-r", 150, "-f", page + 1, "-l", page + 1, "-singlefile", path, stem)
    return Image.open(f"{stem}.pgm")


def path(field):
    name = []
    while field is not None:
        name.append(str(field.T))
        field = field.get("/Parent")
    return ".".join(reversed(name))


LINES = {
    "sheet L.found.1.1": {"kind": "X", "of": "3 L6", "what": "nut binds", "by": "TD"},
    "sheet K.found.1.1": {"kind": "S", "of": "crack test", "what": "Saltmere", "done": "S-1"},
    "sheet L.changed.1.1": {"kind": "P", "part": "camshaft", "what": "new", "by": "RW", "date": "26-03-12"},
    "sheet T.also.2.1": {"side": "shaft", "rows": "T1IN to T2IN", "by": "JA"},
    "sheet C.again.1.1": {"row": "C2", "box": "shaft 1", "whole": "1", "decimals": "3719", "why": "M", "by": "JA"},
}


def again(tally, job):
    """Half-filled is fine; taken once more, it says what changed and writes
    nothing."""
    blank, half, whole = job / "fill.pdf", job / "half.pdf", job / "whole.pdf"
    into = job / "half.toml"
    first = {"C2.shaft.1.whole": "1", "C2.shaft.1.decimals": "3718", "T1IN.bore.1.decimals": "8754"}
    by_pikepdf(blank, half, first)
    done(benchleaf("take", job, half, "--into", into))
    text = into.read_text()
    tally.check("C2 = [[1.3718, \"-\"], []]" in text, "the half of C2")
    tally.check("T1IN = [[], [0.8754, \"-\"]]" in text, "a figure below one with nothing before its point")
    more = {"C2.shaft.2.whole": "1", "C2.shaft.2.decimals": "3716"}
    for line, parts in LINES.items():
        more |= {f"{line}.{part}": said for part, said in parts.items()}
    by_pikepdf(blank, whole, first | more)
    ran = benchleaf("take", job, whole, "--into", into)
    tally.same(ran.returncode, 1, "taken once more")
    tally.check("C2 shaft 2" in ran.stdout and "1.3716" in ran.stdout, lambda: ran.stdout)
    for said in ("found L 3 L6", "change camshaft", "again C2 shaft 1", "outside", "sheet T shaft T1EX T1IN T2IN"):
        tally.check(said in ran.stdout, lambda: f"{said} is not told: {ran.stdout}")
    tally.check(into.read_text() == text, "what was there was written to")


def refused(tally, job, other):
    count = 0
    typed = sorted(path.name for path in job.iterdir())
    for what, words, make in hostile(job / "fill.pdf", other / "fill.pdf"):
        path = job / "hostile.pdf"
        make(path)
        into = job / "never.toml"
        ran = benchleaf("take", job, path, "--into", into)
        count += 1
        told = ran.stdout + ran.stderr
        tally.same(ran.returncode, 2, f"{what}: {told[-300:]}")
        tally.check(re.search(words, told), lambda: f"{what} is not named: {told[-400:]}")
        tally.check(not into.exists(), f"{what}: something was written")
        path.unlink()
    tally.check(count >= 40, f"only {count} files were refused")
    tally.same(sorted(path.name for path in job.iterdir()), typed, "files left behind")
    sound = job / "sound.pdf"
    shutil.copy(job / "fill.pdf", sound)
    tally.plant(benchleaf("take", job, sound, "--into", job / "sound.toml").returncode == 0, "a file that is sound is taken")


if __name__ == "__main__":
    main()
