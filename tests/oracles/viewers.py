#!/usr/bin/env python3
"""What viewers show of a signed report, and of the files that attack it.

Run `cargo test` first: it leaves the demonstration's signed report and the
attacks on it in tests/out/archive. Viewers: poppler (pdftoppm, pdftotext),
PDFium (pypdfium2) and pdf.js (pdfjs-dist under Node, as tests/oracles/pdfjs
pins it). All three must show the report alike: the same letters on each page,
and the same ink in the same places. Each attack must be real, which is that at
least one viewer shows other pages than it does of the report; and `verify` must
refuse it. A viewer that is shown an attack as if it were the report must be
told apart from the others, or the comparison proves nothing.
"""

import collections
import json
import pathlib
import subprocess

import numpy
import pypdfium2
from PIL import Image

import _judging

HERE = pathlib.Path(__file__).resolve().parent
OUT = HERE.parent / "out" / "archive"
REPORT = "shop-good.pdf"
# As tests/cli/attacks.rs names them.
ATTACKS = ["attack-comment.pdf", "attack-tree.pdf", "attack-before.pdf"]
DPI = 72
# Squares of so many dots are compared by the mean of their ink, since each
# viewer draws edges in its own greys; 255 is black throughout.
SQUARE = 6
MOST = 100
# Pages with the block of a signature, whose letters only poppler gives.
BLOCKS = set()
TALLY = _judging.Tally("viewers")


def poppler(path, folder):
    folder.mkdir()
    run = ["pdftoppm", "-r", str(DPI), "-gray", "-png", path, folder / "page"]
    subprocess.run(run, check=True, capture_output=True)
    pages = [Image.open(one) for one in sorted(folder.glob("*.png"))]
    words = subprocess.run(["pdftotext", path, "-"], check=True, capture_output=True)
    words = words.stdout.decode().split("\f")[:-1]
    return pages, words


def pdfium(path, _):
    pages, words = [], []
    file = pypdfium2.PdfDocument(path)
    # Fields are drawn only where asked for.
    file.init_forms()
    for page in file:
        pages.append(page.render(scale=DPI / 72, grayscale=True).to_pil())
        words.append(page.get_textpage().get_text_range())
        if pypdfium2.raw.FPDFPage_GetAnnotCount(page) > 0:
            BLOCKS.add(len(words))
    return pages, words


def pdfjs(path, folder):
    run = ["node", HERE / "pdfjs" / "show.mjs", path, folder, str(DPI)]
    subprocess.run(run, check=True, capture_output=True)
    words = json.loads((folder / "words.json").read_text())
    pages = [Image.open(folder / f"{n + 1}.png") for n in range(len(words))]
    return pages, words


VIEWERS = {"poppler": poppler, "pdfium": pdfium, "pdf.js": pdfjs}
PAIRS = [("poppler", "pdfium"), ("poppler", "pdf.js"), ("pdfium", "pdf.js")]


def shown(name):
    """What each viewer shows of a file: grey pages and the letters on them."""
    found = {}
    for viewer, show in VIEWERS.items():
        folder = TALLY.folder / f"{name}-{viewer}"
        pages, words = show(OUT / name, folder)
        pages = [numpy.asarray(page.convert("L"), dtype=numpy.int16) for page in pages]
        found[viewer] = (pages, [text.replace("\u00ad", "").split() for text in words])
    return found


def counted(words, other):
    """How often each word stands on a page, or each letter where poppler is one
    of the two: it puts runs together in its own way."""
    return [collections.Counter("".join(page) if other else page) for page in words]


def ink(page, size):
    """The mean ink of each square, on a page cut to a size."""
    height, width = (edge - edge % SQUARE for edge in size)
    squares = 255 - page[:height, :width]
    squares = squares.reshape(height // SQUARE, SQUARE, width // SQUARE, SQUARE)
    return squares.mean(axis=(1, 3))


def apart(one, other, poppler):
    """How two viewers differ, in words; empty where they show the same.
    `poppler` where it is the first of the two."""
    (pages, words), (others, other_words) = one[:2], other[:2]
    if len(pages) != len(others):
        return [f"{len(pages)} and {len(others)} pages"]
    found = []
    both = zip(counted(words, poppler), counted(other_words, poppler))
    for n, (a, b) in enumerate(both):
        block = poppler and n + 1 in BLOCKS
        if b - a or a - b and not block:
            found.append(f"page {n + 1}: words {dict((a - b) + (b - a))}")
    for n, (a, b) in enumerate(zip(pages, others)):
        size = tuple(min(edges) for edges in zip(a.shape, b.shape))
        if max(abs(x - y) for x, y in zip(a.shape, b.shape)) > 1:
            found.append(f"page {n + 1}: {a.shape} and {b.shape} dots")
            continue
        most = float(numpy.abs(ink(a, size) - ink(b, size)).max())
        if most > MOST:
            found.append(f"page {n + 1}: ink differs by {most:.0f}")
    return found


def same(one, other):
    """Whether one viewer shows two files dot for dot alike."""
    return len(one[0]) == len(other[0]) and all(
        a.shape == b.shape and (a == b).all() for a, b in zip(one[0], other[0])
    )


def main():
    report = shown(REPORT)
    TALLY.check(len(report["pdfium"][0]) > 5, "the report has pages")
    TALLY.check(len(BLOCKS) == 1, "the signatures show on one page")
    for one, other in PAIRS:
        found = apart(report[one], report[other], one == "poppler")
        TALLY.check(not found, f"{one} and {other} show the report alike: {found[:5]}")
    ran = _judging.benchleaf("verify", OUT / REPORT)
    TALLY.check(ran.returncode == 0, "verify calls the report good")
    for name in ATTACKS:
        attack = shown(name)
        fooled = [viewer for viewer in VIEWERS if not same(report[viewer], attack[viewer])]
        TALLY.check(fooled, f"{name} is real: some viewer shows other pages")
        print(f"  {name}: shown otherwise by {', '.join(fooled)}")
        ran = _judging.benchleaf("verify", OUT / name)
        TALLY.check(ran.returncode in (1, 2), f"verify refuses {name}: {ran.returncode}")
        for one, other in PAIRS:
            if one in fooled:
                found = apart(attack[one], report[other], one == "poppler")
                TALLY.plant(found, f"{name} in {one}, the report in {other}: {found[:1]}")
    TALLY.finish()


if __name__ == "__main__":
    main()
