"""Jobs for the bench: real input for benchleaf, of an invented engine, of the
sizes that are to be measured."""

import re
import shutil
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXY"

LIMITS = """[document]
file = "L-B"
title = "Bench limits"
number = "BL-1"
revision = "1"
unit = "in"
resolution = "0.0001"
"""
FIT = """
[[line]]
ref = "{ref}"
name = "shaft {ref} in housing"
kind = "fit"
shaft = {{ feature = "shaft-{low}", new = [1.3725, 1.3735], wear = 1.3715 }}
bore = {{ feature = "bore-{low}", new = [1.3745, 1.3760], wear = 1.3770 }}
fit = {{ new = ["0.0010L", "0.0035L"], service = "0.0050L" }}
page = "table {ref}"
"""
FEATURES = """
[features.shaft-{low}]
part = "shafts"
kind = "shaft"
at = "station"
directions = 2{planes}

[features.bore-{low}]
part = "housings"
kind = "bore"
at = "station"
directions = 2{planes}
"""
READING = """
[[line]]
ref = "{ref}"
name = "play {ref}"
kind = "reading"
{at}part = "shafts"
new = [0.0030, 0.0080]
service-max = 0.0120
page = "table {ref}"
"""
FORM = """[sheet]
letter = "{ref}"
title = "Stations, sheet {ref}"
order = {order}
revision = "1"
"""
LOOK = """
[[block]]
look-over = "Stations"
at = "station"
items = [{items}]
"""
MEASURE = """
[[block]]
measure = ["{ref}"]
"""
SECTIONS = ["exceptions", "sign-off", "people", "limits", "gauges", "readings"]
# Worksheets of about twelve pages and at least 2,400 boxes; a record of about
# forty pages of tables.
WORKSHEETS = {"places": 25, "looked": 10, "readings": 1}
RECORD = {"places": 100, "readings": 10}
NOTES = [
    "gear: no cracks, teeth sound; bolts locked",
    "lobes: no spalling, worn crown or scores",
    "journals: no scores, heat or rust; oilways open",
    "housing: fretting, cracks from the stud holes",
    "seats: burnt, pounded, loose in the head",
    "threads: pulled, crossed, worn; helical inserts",
    "oilways: blown through, plugs renewed",
    "faces: flat, no nicks, no old sealant",
    "dowels: tight, not sheared, none left out",
]


def write(folder, places, looked=0, fits=0, readings=0, planes=2, work_order="0417"):
    """A job with so many sheets of each kind; every row is at each
    of the places, beside sheets to look over a single one."""
    folder = Path(folder)
    (folder / "forms").mkdir(parents=True)
    codes = ", ".join(f'"{n + 1}"' for n in range(places))
    names = ", ".join(f'"station {n + 1}"' for n in range(places))
    engine = (
        '[engine]\nmaker = "Tarnwick Motor Works"\nmodel = "TW4-H8"\nunit = "in"\n\n'
        f"[places.station]\ncodes = [{codes}]\nnames = [{names}]\n\n"
        '[parts.shafts]\nmaterial = "steel"\n\n[parts.housings]\nmaterial = "aluminium"\n'
    )
    heights = ", ".join(f'"{c}"' for c in "abcdefgh"[:planes])
    heights = f"\nplanes = [{heights}]" if planes > 1 else ""
    limits = LIMITS
    kinds = ["look"] * looked + ["fit"] * fits + ["reading"] * readings
    for n, kind in enumerate(kinds):
        first, last = divmod(n, len(LETTERS))
        ref = (LETTERS[first - 1] if first else "") + LETTERS[last]
        form = FORM.format(ref=ref, order=n + 1)
        if kind == "look":
            form += LOOK.format(items=", ".join(f'"{note}"' for note in NOTES))
        else:
            form += MEASURE.format(ref=ref)
        if kind == "fit":
            engine += FEATURES.format(low=ref.lower(), planes=heights)
            limits += FIT.format(ref=ref, low=ref.lower())
        if kind == "reading":
            at = "" if looked else 'at = "station"\n'
            limits += READING.format(ref=ref, at=at)
        (folder / "forms" / f"{n:02}.toml").write_text(form)
    (folder / "engine.toml").write_text(engine)
    (folder / "limits.toml").write_text(limits)
    job = (ROOT / "demo/job.toml").read_text().replace('"0417"', f'"{work_order}"')
    (folder / "job.toml").write_text(job)
    (folder / "forms/report.toml").write_text(report())
    return folder


def report():
    """The standard report's form, with its tables and without its arithmetic."""
    whole = (ROOT / "forms/report.toml").read_text()
    head, *sections = whole.split("[[section]]")
    kept = [s for s in sections if re.search(r'show\s*=\s*"(.*)"', s)[1] in SECTIONS]
    return "[[section]]".join([head, *kept])


def fill(folder):
    """Types a reading into every box of a blank transcription."""
    path = Path(folder) / "readings.toml"
    count = 0

    def reading(found):
        nonlocal count
        count += 1
        return f"{found[1]} = [0.{40 + count * 7 % 37:04}]"

    text = path.read_text()
    text = re.sub(r"^(\w+\.read) = \[\]", reading, text, flags=re.M)
    text = re.sub(
        r'read = \{ by = "", on = "", gauge = (""|\{[^}]*\}), zero = "--", part-temp = "" \}',
        'read = { by = "RW", on = 2026-03-02, gauge = "DI-1", zero = "vv" }',
        text,
    )
    text = text.replace('check = { by = "", on = "" }', 'check = { by = "JA", on = 2026-03-03 }')
    path.write_text(text)


def copies(folder, into, count):
    """The same job many times under other work orders; what does not differ is one file."""
    folder, into = Path(folder), Path(into)
    made = []
    for n in range(count):
        one = into / f"job-{n:05}"
        one.mkdir(parents=True)
        for path in [p for p in folder.rglob("*.toml") if p.name not in ("job.toml",)]:
            here = one / path.relative_to(folder)
            here.parent.mkdir(exist_ok=True)
            here.hardlink_to(path)
        job = (folder / "job.toml").read_text()
        job = re.sub(r'work-order += +".*"', f'work-order = "{n:05}"', job)
        (one / "job.toml").write_text(job)
        made.append(str(one))
    return made


def away(folder):
    shutil.rmtree(folder, ignore_errors=True)
