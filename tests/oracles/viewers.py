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

Of a file that was altered and that `verify` finds nothing wrong with, each
viewer must show what it shows of the untouched one, every dot in the same
colour. Of those made here that is one: the report packed by another compressor.
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
# An altered file and the untouched one (tests/cli/archived.rs); nobody signed.
PACKED, WHOLE = "packed.pdf", "whole.pdf"
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
    run = ["pdftoppm", "-r", str(DPI), "-png", path, folder / "page"]
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
        pages.append(page.render(scale=DPI / 72).to_pil())
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
    """What each viewer shows of a file: coloured pages and the letters on them."""
    found = {}
    for viewer, show in VIEWERS.items():
        folder = TALLY.folder / f"{name}-{viewer}"
        pages, words = show(OUT / name, folder)
        pages = [numpy.asarray(page.convert("RGB")) for page in pages]
        found[viewer] = (pages, [text.replace("\u00ad", "").split() for text in words])
    return found


def counted(words, other):
    """How often each word stands on a page, or each letter where poppler is one
    of the two: it puts runs together in its own way."""
    return [collections.Counter("".join(page) if other else page) for page in words]


def ink(page, size):
    """The mean ink of each square in grey, on a page cut to a size."""
    height, width = (edge - edge % SQUARE for edge in size)
    grey = numpy.asarray(Image.fromarray(page).convert("L"), dtype=numpy.int16)
    squares = 255 - grey[:height, :width]
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
        edges = list(zip(a.shape[:2], b.shape[:2]))
        size = tuple(min(edge) for edge in edges)
        if max(abs(x - y) for x, y in edges) > 1:
            found.append(f"page {n + 1}: {a.shape} and {b.shape} dots")
            continue
        most = float(numpy.abs(ink(a, size) - ink(b, size)).max())
        if most > MOST:
            found.append(f"page {n + 1}: ink differs by {most:.0f}")
    return found


def same(one, other):
    """Whether one viewer shows two files alike, each dot in the same colour."""
    return len(one[0]) == len(other[0]) and all(
        a.shape == b.shape and (a == b).all() for a, b in zip(one[0], other[0])
    )


def taken(name):
    """Whether `verify` finds nothing wrong with a file, signed or not."""
    said = json.loads(_judging.benchleaf("verify", OUT / name, "--json").stdout)
    return all(one["good"] for one in said["findings"] + said["signatures"])


def otherwise(untouched, altered):
    """The viewers that show an altered file other than the untouched one."""
    return [viewer for viewer in VIEWERS if not same(untouched[viewer], altered[viewer])]


def accepted():
    """What `verify` takes is shown as the untouched file is, and would be seen
    if one viewer showed another dot, another colour or another page."""
    untouched, altered = shown(WHOLE), shown(PACKED)
    differ = (OUT / PACKED).read_bytes() != (OUT / WHOLE).read_bytes()
    TALLY.check(differ, f"{PACKED} is another file than {WHOLE}")
    for name in (WHOLE, PACKED):
        TALLY.check(taken(name), f"verify finds nothing wrong with {name}")
    for viewer in VIEWERS:
        alike = same(untouched[viewer], altered[viewer])
        TALLY.check(alike, f"{viewer} shows {PACKED} as it shows {WHOLE}")
        pages, words = altered[viewer]
        dot = pages[-1].copy()
        at = tuple(numpy.argwhere(dot.min(axis=2) < 255)[-1]) + (2,)
        dot[at] ^= 1
        for what, other in (("a dot", [*pages[:-1], dot]), ("a page", pages[:-1])):
            found = otherwise(untouched, {**altered, viewer: (other, words)})
            TALLY.plant(found == [viewer], f"{what} shown otherwise by {viewer}")


def main():
    accepted()
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
        fooled = otherwise(report, attack)
        TALLY.check(fooled, f"{name} is real: some viewer shows other pages")
        print(f"  {name}: shown otherwise by {', '.join(fooled)}")
        ran = _judging.benchleaf("verify", OUT / name)
        TALLY.check(ran.returncode in (1, 2), f"verify refuses {name}: {ran.returncode}")
        TALLY.check(ran.returncode == 2 or not taken(name), f"verify finds {name} wrong")
        for one, other in PAIRS:
            if one in fooled:
                found = apart(attack[one], report[other], one == "poppler")
                TALLY.plant(found, f"{name} in {one}, the report in {other}: {found[:1]}")
    TALLY.finish()


if __name__ == "__main__":
    main()
