"""A printed PDF as programs from outside read it: words with their places
(pdftotext), codes of squares (zbar over pdftoppm), typefaces (pdffonts)."""

import html
import re
import subprocess
from dataclasses import dataclass

from _judging import outside


@dataclass(frozen=True)
class Word:
    """A word and its box, in points from the upper left corner."""

    text: str
    left: float
    top: float
    right: float
    bottom: float

    @property
    def middle(self):
        return (self.top + self.bottom) / 2

    @property
    def inked(self):
        """Top and bottom of figures and capitals: a box is as high as its
        typeface's ascent and descent, which they don't fill."""
        high = self.bottom - self.top
        return self.top + 0.25 * high, self.bottom - 0.25 * high


@dataclass
class Page:
    width: float
    height: float
    words: list


WORD = re.compile(
    r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>'
)


def pages(pdf):
    """Every page of a PDF with its words, by pdftotext -bbox."""
    text = outside("pdftotext", "-bbox", pdf, "-").stdout.decode()
    found = []
    for part in text.split("<page ")[1:]:
        size = re.match(r'width="([\d.]+)" height="([\d.]+)"', part)
        words = [
            Word(html.unescape(m[5]), *(float(m[n]) for n in range(1, 5)))
            for m in WORD.finditer(part)
        ]
        found.append(Page(float(size[1]), float(size[2]), words))
    return found


def off_the_page(page, margin):
    """Words nearer to an edge than the margin, in points."""
    return [
        word
        for word in page.words
        if word.left < margin
        or word.right > page.width - margin
        or word.inked[0] < margin
        or word.inked[1] > page.height - margin
    ]


def overlaps(page):
    """Pairs of words whose letters meet."""
    boxes = [(*word.inked, word.left + 0.4, word.right - 0.4, word) for word in page.words]
    boxes.sort(key=lambda box: box[0])
    met = []
    for n, (top, bottom, left, right, word) in enumerate(boxes):
        for other in boxes[n + 1 :]:
            if other[0] >= bottom:
                break
            if other[2] < right and left < other[3]:
                met.append((word, other[4]))
    return met


def codes(pdf, folder, first=None, last=None):
    """What zbar reads on each page at 150 dots an inch in greys, by page."""
    stem = folder / "scan"
    for old in folder.glob("scan*"):
        old.unlink()
    some = [*(["-f", first] if first else []), *(["-l", last] if last else [])]
    outside("pdftoppm", "-r", 150, "-gray", *some, pdf, stem)
    scans = sorted(folder.glob("scan*"))
    read = {}
    for scan in scans:
        number = int(re.search(r"-(\d+)\.", scan.name)[1])
        read[number] = zbar(scan)
        scan.unlink()
    return read


def zbar(picture):
    ran = subprocess.run(
        ["zbarimg", "-q", "--raw", "-Sdisable", "-Sqrcode.enable", str(picture)],
        capture_output=True,
        check=False,
    )
    return ran.stdout.decode().split()


def typefaces(pdf):
    """Name, embedded, subset, with a way back to letters, of each typeface."""
    lines = outside("pdffonts", pdf).stdout.decode().splitlines()[2:]
    faces = []
    for line in lines:
        marks = re.search(r"\b(yes|no)\s+(yes|no)\s+(yes|no)\s+\d+\s+\d+\s*$", line)
        faces.append((line.split()[0], *(mark == "yes" for mark in marks.groups())))
    return faces


def sound(pdf):
    """What qpdf has to say; nothing where the file is in order."""
    ran = outside("qpdf", "--check", pdf)
    return "" if ran.returncode == 0 else (ran.stdout + ran.stderr).decode(errors="replace")


def archive(pdf):
    """What pikepdf has to say against PDF/A-3b."""
    from pikepdf import pdfa

    report = pdfa.validate_written(str(pdf), "3b")
    return "" if report.passed else "; ".join(map(str, report.findings[:5]))
