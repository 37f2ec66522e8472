#!/usr/bin/env python3
"""Time and memory of pictures built to keep the reader of codes busy, as whole
processes: a report of the demonstration that carries one, and its proof.

    python3 tests/bench/pictures.py

writes its table anew into tests/bench/RESULTS.md, where side_by_side.py puts it
too. BENCHLEAF names the program; else it is built. Nothing is asserted."""

import os
import platform
import random
import shutil
import struct
import subprocess
import sys
import tempfile
import zlib
from pathlib import Path

from measuring import once

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
HEAD = "## Pictures built to keep the reader of codes busy"
# Twenty million dots; the largest that is taken (A4 at 800 dots an inch); the
# largest that is tried as it is and not only made smaller; the largest that is
# also tried sharpened and drawn larger.
LARGE, LARGEST, WHOLE, COARSE = 4472, 8192, 4096, 2600
PAGES = 40


def wide(row, times, side):
    """A row with each dot so many times."""
    out = bytearray(times * len(row))
    for n in range(times):
        out[n::times] = row
    return bytes(out[:side])


def noise(side, each=1, lines=False):
    """Rows of chance, each dot a square of so many; as lines all rows alike."""
    chance = random.Random(7)
    row = b""
    for y in range(side):
        if not y or y % each == 0 and not lines:
            row = wide(chance.randbytes(-(-side // each)), each, side)
        yield row


def corners(side, each):
    """Corners of codes (ISO/IEC 18004, 6.3.3), one beside the other."""

    def dot(x, y):
        ring = max(abs(x - 3), abs(y - 3))
        return 0 if x < 7 and y < 7 and ring != 2 else 255

    rows = [wide(bytes(dot(x, y) for x in range(8)) * (side // (8 * each) + 1), each, side) for y in range(8)]
    for y in range(side):
        yield rows[y // each % 8]


def white(side):
    yield from [b"\xff" * side] * side


def packed(rows, head=b""):
    """Deflated, with a byte before each row where a PNG has one."""
    packer = zlib.compressobj(1)
    parts = [packer.compress(head + row) for row in rows]
    return b"".join([*parts, packer.flush()])


def png(side, rows):
    """ISO/IEC 15948, 5: 8 bits of grey."""

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    size = chunk(b"IHDR", struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + size + chunk(b"IDAT", packed(rows, b"\0")) + chunk(b"IEND", b"")


def pages(side):
    """A PDF of pages with a picture each, no two the same: noise that repeats
    within the window of the packing (RFC 1951, 2), so that the file is small."""
    rows = list(noise(side))[: (32 << 10) // side] * side
    rows = rows[: side + PAGES]
    kids = " ".join(f"{3 + 2 * n} 0 R" for n in range(PAGES))
    objects = [b"<</Type/Catalog/Pages 2 0 R>>", f"<</Type/Pages/Count {PAGES}/Kids[{kids}]>>".encode()]
    for n in range(PAGES):
        picture = packed(rows[n : n + side])
        objects.append(
            b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 9 9]/Resources<</XObject<</P %d 0 R>>>>>>" % (4 + 2 * n)
        )
        head = f"/Width {side}/Height {side}/BitsPerComponent 8/ColorSpace/DeviceGray/Filter/FlateDecode"
        head = f"<</Type/XObject/Subtype/Image{head}/Length {len(picture)}>>\nstream\n"
        objects.append(head.encode() + picture + b"\nendstream")
    out, places = bytearray(b"%PDF-1.7\n"), []
    for number, text in enumerate(objects, 1):
        places.append(len(out))
        out += b"%d 0 obj\n" % number + text + b"\nendobj\n"
    table = len(out)
    out += b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    out += b"".join(b"%010d 00000 n \n" % at for at in places)
    out += b"trailer\n<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF" % (len(objects) + 1, table)
    return bytes(out)


def kinds():
    """What each is, how many dots, and its file."""
    yield "no picture", 0, "", None
    for what, rows in (
        ("white", white(LARGE)),
        ("noise", noise(LARGE)),
        ("noise in squares of 2 by 2", noise(LARGE, 2)),
        ("noise in squares of 5 by 5", noise(LARGE, 5)),
        ("lines of any shade", noise(LARGE, 1, True)),
        ("lines 5 dots wide", noise(LARGE, 5, True)),
        ("corners of codes", corners(LARGE, 1)),
        ("corners of codes, 3 dots each", corners(LARGE, 3)),
    ):
        yield what, LARGE**2, ".png", lambda rows=rows: png(LARGE, rows)
    yield "noise, the largest tried as it is", WHOLE**2, ".png", lambda: png(WHOLE, noise(WHOLE))
    yield "noise, the largest taken", LARGEST**2, ".png", lambda: png(LARGEST, noise(LARGEST))
    side = 1600
    yield "corners, tried sharpened too", side**2, ".png", lambda: png(side, corners(side, 1))
    yield "noise, tried sharpened too", COARSE**2, ".png", lambda: png(COARSE, noise(COARSE))
    yield f"noise that repeats, on {PAGES} pages", PAGES * COARSE**2, ".pdf", lambda: pages(COARSE)


def table(room, program, out):
    """A row for each picture."""
    out(f"\n{HEAD}\n")
    out("Whole processes over the demonstration's job: `report` with the picture among its scans, `verify` of")
    out("that report once it is signed. One round each; work is what the cores did.\n")
    out("| picture | million dots | file, MiB | report, s | work, s | peak MiB | verify, s | work, s | peak MiB |")
    out("|---|---|---|---|---|---|---|---|---|")
    key = ROOT / "demo/throw-away-JA.pem"
    for what, dots, end, write in kinds():
        job, report = room / "job", room / "report.pdf"
        subprocess.run([program, "demo", job], check=True, stdout=subprocess.DEVNULL)
        size = 0
        if write:
            scans = job / "originals"
            shutil.rmtree(scans, ignore_errors=True)
            scans.mkdir()
            (scans / f"scan{end}").write_bytes(write())
            size = (scans / f"scan{end}").stat().st_size
        made = once([program, "report", job, "--out", report])
        sign = [program, "sign", report, "--key", key, "--as", "JA"]
        subprocess.run(sign, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        proved = once([program, "verify", report])
        cells = [what, f"{dots / 1e6:.1f}", f"{size / (1 << 20):.1f}"]
        for passed, work, most in (made, proved):
            cells += [f"{passed:.2f}", f"{work:.2f}", f"{most:.0f}"]
        out("| " + " | ".join(cells) + " |")
        shutil.rmtree(job)
        report.unlink()


def main():
    program = os.environ.get("BENCHLEAF")
    if not program:
        import side_by_side

        program, _ = side_by_side.built()
    text = []

    def out(line):
        print(line, flush=True)
        text.append(line + "\n")

    with tempfile.TemporaryDirectory(prefix="benchleaf-") as room:
        table(Path(room), program, out)
    load = ", ".join(f"{part:.1f}" for part in os.getloadavg())
    out(f"\nMeasured by itself: {os.cpu_count()} cores, {platform.system()}; load after the run {load}.")
    results = HERE / "RESULTS.md"
    before = results.read_text().split(f"\n{HEAD}\n")[0]
    results.write_text(before + "".join(text))


if __name__ == "__main__":
    sys.exit(main())
