"""Writes `agree.bin`, by which the program's tests see that it cuts the same
patches and comes to the same scores as what the nets learned from:

    python agree.py TRAIN-DRAWN.npz WEIGHTS-FOLDER agree.bin

Its figures are drawn by formula: nothing fetched is in it. For each of its
samples, little endian: the piece of a scan (96 by 128 bytes), six doubles (two
of the turn, the middle of the cell in dots, how far aside in millimetres), the
paper's grey (a byte), the two patches (whole, ink) and the scores of the two
nets (ink, whole; 16 of 32 bits each)."""

import struct
import sys
from pathlib import Path

import torch
from cells import Cells, cut, paper_of
from nets import scores
from synth import Bank, Maker

SAMPLES = 10
SEED = 7


def main(drawn, weights, out):
    cells = Cells(Maker("cpu", SEED), Bank([drawn], "cpu"), [1.0])
    layers = torch.load(weights / "layers.pt", weights_only=False, map_location="cpu")
    sample = cells.sample(SAMPLES, [0.5, 0.3, 0.1, 0.1])
    (cx, cy), off, turn, scale = sample["where"]
    grey = sample["grey"].double()
    where = (cx.double(), cy.double()), off.double(), turn.double(), scale.double()
    nothing = torch.zeros(SAMPLES)
    whole, ink = cut(grey, *where, nothing, nothing, nothing)
    paper = paper_of(grey)
    both = [scores(layers["ink"], ink), scores(layers["whole"], whole)]
    a, b = turn.double().cos() * scale.double(), turn.double().sin() * scale.double()
    with out.open("wb") as file:
        for n in range(SAMPLES):
            file.write(bytes(grey[n].byte().flatten().tolist()))
            numbers = (a[n], b[n], cx[n], cy[n], off[n, 0], off[n, 1])
            file.write(struct.pack("<6d", *(float(v) for v in numbers)))
            file.write(bytes([int(paper[n])]))
            for patch in (whole, ink):
                file.write(bytes(patch[n].byte().flatten().tolist()))
            for net in both:
                file.write(struct.pack("<16i", *net[n].tolist()))
    print(sample["digit"].tolist(), [net[:, :12].argmax(1).tolist() for net in both])


if __name__ == "__main__":
    main(sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3]))
