"""A page as a photocopier gives it, and what an OCR program reads of it: drawn
at 300 dots an inch, turned by a degree, blurred by an eighth of a millimetre,
then black or white and nothing between. (What a worn office copier does:
common practice, no source.)"""

import math
import os
import re
import subprocess
from dataclasses import dataclass

from _judging import outside
from _report import figures
from PIL import Image, ImageFilter

DOTS = 300
SKEW = 1.0
BLUR = 0.125
# Of 255: what is darker comes out black.
CUT = 150
# White about each strip, in dots; tesseract wants a margin.
GAP = 40
# Strips on one picture: tesseract takes none taller than 32,767 dots.
AT_ONCE = 60
# What a figure is made of, and the letter of a fit.
FIGURES = "0123456789.,-LT"


@dataclass(frozen=True)
class Seen:
    """A word as it was read off a copy."""

    text: str


def copied(pdf, number, folder):
    """One page, photocopied."""
    stem = folder / f"{pdf.parent.name}-{pdf.stem}-{number}"
    outside("pdftoppm", "-r", DOTS, "-gray", "-f", number, "-l", number, "-singlefile", pdf, stem)
    drawn = stem.with_name(stem.name + ".pgm")
    with Image.open(drawn) as page:
        copy = page.rotate(SKEW, resample=Image.Resampling.BICUBIC, fillcolor=255)
    drawn.unlink()
    copy = copy.filter(ImageFilter.GaussianBlur(BLUR / 25.4 * DOTS))
    return copy.point([0] * CUT + [255] * (256 - CUT))


def turned(copy, x, y):
    """Where a point of the page, in points, lies on the copy, in dots."""
    turn = math.radians(SKEW)
    middle = copy.width / 2, copy.height / 2
    x, y = x / 72 * DOTS - middle[0], y / 72 * DOTS - middle[1]
    return (
        middle[0] + x * math.cos(turn) + y * math.sin(turn),
        middle[1] - x * math.sin(turn) + y * math.cos(turn),
    )


def strip(copy, words, times=2):
    """The piece of the copy where a line of words stands, not straightened;
    made twice as large, which adds nothing that the copy had lost: tesseract
    is made for larger type than 8 points."""
    left, right = min(w.left for w in words) - 0.8, max(w.right for w in words) + 0.8
    top, bottom = min(w.top for w in words), max(w.bottom for w in words)
    corners = [turned(copy, x, y) for x in (left, right) for y in (top, bottom)]
    box = (
        min(x for x, _ in corners),
        min(y for _, y in corners),
        max(x for x, _ in corners),
        max(y for _, y in corners),
    )
    piece = copy.crop(tuple(round(edge) for edge in box))
    return piece.resize((times * piece.width, times * piece.height), Image.Resampling.BICUBIC)


def looked_again(copy, words, seen, picture):
    """A line that does not read as printed is looked at again, alone and larger,
    then as one who knows that a figure stands there: it is legible where one look
    reads it right."""
    wanted = figures(words)
    for times, letters in ((3, None), (4, None), (2, FIGURES), (3, FIGURES)):
        if figures(seen) == wanted:
            return seen
        again = alone(strip(copy, words, times), picture, letters)
        if figures(again) == wanted:
            return again
    # Figures that stand close may read as one: each alone.
    if len(words) > 1:
        return [found for word in words for found in looked_again(copy, [word], [], picture)]
    return seen


def read(strips, folder, name):
    """The words of each strip, by tesseract."""
    return [words for at in range(0, len(strips), AT_ONCE) for words in together(strips[at : at + AT_ONCE], folder, name)]


def together(strips, folder, name):
    """Strips one under another on one picture."""
    width = max(piece.width for piece in strips) + 2 * GAP
    tops, height = [], GAP
    for piece in strips:
        tops.append(height)
        height += piece.height + GAP
    sheet = Image.new("L", (width, height), 255)
    for piece, top in zip(strips, tops):
        sheet.paste(piece, (GAP, top))
    picture = folder / f"{name}.png"
    sheet.save(picture, dpi=(DOTS, DOTS))
    words = [[] for _ in strips]
    for left, top, high, text in ocr(picture, 6):
        middle = top + high / 2
        at = max((n for n, start in enumerate(tops) if start - GAP / 2 <= middle), default=0)
        words[at].append((left, text))
    # A line that was passed over is shown once more, alone.
    for n, piece in enumerate(strips):
        if not words[n]:
            words[n] = one_line(piece, picture)
    picture.unlink()
    return [parted(line) for line in words]


def alone(piece, picture, letters):
    """The words of one strip by itself."""
    words = parted(one_line(piece, picture, letters))
    picture.unlink()
    return words


def one_line(piece, picture, letters=None):
    # As a line, with white about it; with its letters known as one word, close.
    gap = 0 if letters else GAP
    sheet = Image.new("L", (piece.width + 2 * gap, piece.height + 2 * gap), 255)
    sheet.paste(piece, (gap, gap))
    sheet.save(picture, dpi=(DOTS, DOTS))
    how = 8 if letters else 7
    return [(left, text) for left, _, _, text in ocr(picture, how, letters)]


def parted(line):
    return [Seen(part) for _, text in sorted(line) for part in apart(text)]


def apart(text):
    """A letter that stands close to its figure is read as one word with it."""
    glued = re.fullmatch(r"(-?\d[\d.]*)([A-Za-z]+[,;]?)", text)
    return glued.groups() if glued else (text,)


def ocr(picture, lines, letters=None):
    """Words with their places, of a block of lines (6) or of one (7) or of a
    word (8), of those letters alone where some are given; one thread, for two run
    side by side."""
    only = ["-c", f"tessedit_char_whitelist={letters}"] if letters else []
    ran = subprocess.run(
        ["tesseract", str(picture), "-", "--psm", str(lines), "--dpi", str(DOTS), *only, "tsv"],
        capture_output=True,
        text=True,
        check=False,
        env=dict(os.environ, OMP_THREAD_LIMIT="1"),
    )
    for line in ran.stdout.splitlines()[1:]:
        cells = line.split("\t")
        if len(cells) == 12 and cells[11].strip():
            yield int(cells[6]), int(cells[7]), int(cells[9]), cells[11].strip()
