"""Scans placed by the program, held against where the pages really lie: printed
pages turned, scaled, cropped, photographed, upside down and exchanged, each either
placed right or refused by name, never wrong without a word. The truth is the map by
which `_scans.py` bent the page; the boxes are where pikepdf finds the fields."""

import json
import shutil

import numpy as np
from _jobs import ENGINES, demonstration, opened
from _judging import Tally, benchleaf, done
from _scans import at, bent, drawn, jpeg, photocopied, scanned, sheets, through, turned

# A box is placed right where it lies within this, in millimetres, of where it is:
# the nets are made for as much (tests/reading).
NEAR = 0.4
SEED = 20261128


def main():
    tally = Tally("placing")
    jobs = [demonstration(tally.folder / "demo")]
    jobs += [opened(engine, tally.folder / engine) for engine in ENGINES]
    for job in jobs:
        (job / "readings.toml").rename(job / "filled.toml")
    dice = np.random.default_rng(SEED)
    worst, placed, cases = 0.0, 0, 0
    for job, take in zip(jobs, (3, 1, 1)):
        known = sheets(job)
        # The pages with the most boxes, the fewest, and one between.
        order = sorted(known.values(), key=lambda sheet: len(sheet.boxes))
        some = [order[n] for n in np.linspace(0, len(order) - 1, take + 1).astype(int)[1:]]
        truth = scans(job, some, dice)
        said = json.loads(done(benchleaf("compare", job, "--scans", job / "scans", "--json"), 0, 1).stdout)
        for name, (sheet, mapped, must) in truth.items():
            cases += 1
            found = [page for page in said["found"] if page["scan"] == name]
            refused = [page for page in said["refused"] + said["not_matched"] if name in page["scan"]]
            if not found:
                tally.check(refused and not must, f"{job.name} {name}: not placed: {[r['why'] for r in refused]}")
                continue
            placed += 1
            far = astray(found[0], sheet, mapped)
            worst = max(worst, far)
            tally.check(far <= NEAR, f"{job.name} {name}: placed {far:.2f} mm away")
    print(f"  {placed} of {cases} pages placed, the farthest box {worst:.2f} mm away")
    strangers(tally, jobs)
    planted(tally, jobs[0])
    tally.finish()


def scans(job, some, dice):
    """Pictures of pages in every way, and how each page lies: whether it must be
    placed, or may be refused."""
    folder = job / "scans"
    folder.mkdir()
    truth = {}

    def put(name, sheet, picture, mapped, must=True):
        name = f"{sheet.number:02}-{name}"
        if isinstance(picture, bytes):
            name += ".jpg"
            (folder / name).write_bytes(picture)
        else:
            name += ".png"
            picture.save(folder / name)
        truth[name] = sheet, mapped, must

    for sheet in some:
        page = drawn(job / "sheets.pdf", sheet.number)
        wide, high = page.size
        flat = through([(0, 0), (wide, 0), (wide, high), (0, high)], sheet.size)
        for degrees in (-3.0, -0.7, 1.5, 3.0):
            put(f"turned{degrees}", sheet, *scanned_as(turned(page, sheet.size, degrees), dice))
        for scale in (0.94, 1.06):
            put(f"scaled{scale}", sheet, *scanned_as(turned(page, sheet.size, 0.4, scale), dice))
        put("upside-down", sheet, *scanned_as(turned(page, sheet.size, 180.6), dice))
        put("on-its-side", sheet, *scanned_as(turned(page, sheet.size, 89.5), dice))
        for n in range(2):
            lens = [(x + dice.uniform(-0.035, 0.035) * wide + 80, y + dice.uniform(-0.03, 0.03) * high + 90)
                    for x, y in ((0, 0), (wide, 0), (wide, high), (0, high))]
            picture, mapped = bent(page, lens, sheet.size)
            put(f"photographed{n}", sheet, jpeg(scanned(picture, dice, 6, 0.9, 0.8), 70), mapped)
        cut = page.crop((0, 0, wide, int(high * 0.8)))
        put("cropped-below", sheet, scanned(cut, dice), flat, must=False)
        left = 18 / 25.4 * 200
        moved = through([(-left, 0), (wide - left, 0), (wide - left, high), (-left, high)], sheet.size)
        put("cropped-left", sheet, scanned(page.crop((int(left), 0, wide, high)), dice), moved)
        put("photocopied", sheet, photocopied(turned(page, sheet.size, 0.9)[0]), turned(page, sheet.size, 0.9)[1])
    return truth


def scanned_as(turned_page, dice):
    picture, mapped = turned_page
    return scanned(picture, dice), mapped


def astray(found, sheet, mapped):
    """How far the farthest corner of a box lies from where it is, in millimetres."""
    corners = [(x, y) for box in sheet.boxes for x, y, w, h in box.cells for x, y in ((x, y), (x + w, y + h))]
    said = through([tuple(corner) for corner in found["corners"]], sheet.size)
    seen, real = at(said, corners), at(mapped, corners)
    a_millimetre = np.linalg.norm(at(mapped, [(100, 150)])[0] - at(mapped, [(101, 150)])[0])
    return float(np.max(np.linalg.norm(seen - real, axis=1)) / a_millimetre)


def strangers(tally, jobs):
    """What must be refused: another job's page, a sheet of another number, another
    page's lines under a page's code, half a page, a page in a mirror."""
    demo, other = jobs[0], jobs[1]
    known = sheets(demo)
    order = sorted(known.values(), key=lambda sheet: len(sheet.boxes))
    one, two = order[-1], order[-2]
    folder = demo / "strangers"
    folder.mkdir()
    first, second = drawn(demo / "sheets.pdf", one.number), drawn(demo / "sheets.pdf", two.number)
    wide, high = first.size
    drawn(other / "sheets.pdf", next(iter(sheets(other)))).save(folder / "another-job.png")
    pasted = second.copy()
    code = (wide - 260, 0, wide, 250)
    pasted.paste(first.crop(code), code)
    pasted.save(folder / "another-code.png")
    first.transpose(0).save(folder / "mirrored.png")
    stretched = first.resize((int(wide * 1.12), high))
    stretched.paste(first.crop(code), (int(wide * 1.12) - 260, 0))
    stretched.save(folder / "stretched-but-for-its-code.png")
    shifted = first.copy()
    shifted.paste(255, (0, 260, wide, high))
    shifted.paste(first.crop((0, 260, wide, high - 60)), (0, 320))
    shifted.save(folder / "body-lower-by-8-mm.png")
    said = json.loads(done(benchleaf("compare", demo, "--scans", folder, "--json"), 1).stdout)
    for name in sorted(path.name for path in folder.iterdir()):
        placed = [page for page in said["found"] if page["scan"] == name]
        told = [page for page in said["refused"] + said["not_matched"] if name in page["scan"]]
        tally.check(not placed and told, f"{name}: {'placed' if placed else 'not a word'}")
    tally.check(said["boxes"]["on_scans"] == 0, "boxes were read off strangers' pages")
    # A line of the limits is changed: its sheet has another number.
    altered = demo.with_name("altered")
    shutil.copytree(demo, altered)
    limits = altered / "limits.toml"
    text = limits.read_text()
    tally.check("1.3735" in text, "the limits have no 1.3735")
    limits.write_text(text.replace("1.3735", "1.3736"))
    done(benchleaf("sheets", altered), 0, 1)
    pages = altered / "old"
    pages.mkdir()
    for number in known:
        drawn(demo / "sheets.pdf", number).save(pages / f"{number:02}.png")
    said = json.loads(done(benchleaf("compare", altered, "--scans", pages, "--json"), 0, 1).stdout)
    gone = {page["scan"] for page in said["superseded"]}
    tally.check(gone, "no page is of a sheet that has changed since")
    tally.check(not gone & {page["scan"] for page in said["found"]}, "a sheet of another number was read")
    print(f"  strangers refused; {len(gone)} pages of sheets of another number")


def planted(tally, demo):
    """The judge sees a map that is a little wrong."""
    sheet = next(iter(sheets(demo).values()))
    wide, high = 1654, 2339
    corners = [(0, 0), (wide, 0), (wide, high), (0, high)]
    flat = through(corners, sheet.size)
    for what, moved in {
        "a page shifted by half a millimetre": [(x + 4, y) for x, y in corners],
        "a page one per cent too large": [(x * 1.01, y * 1.01) for x, y in corners],
        "a page turned by a third of a degree": [(x - y * 0.006, y + x * 0.006) for x, y in corners],
    }.items():
        tally.plant(astray({"corners": moved}, sheet, flat) > NEAR, what)


if __name__ == "__main__":
    main()
