"""What the finished nets answer about made samples:

    python dump.py WEIGHTS-FOLDER OUT.npz COUNT SEED FILE=SHARE ...

The files are figures that `strokes.py` wrote; of COUNT samples two thirds show
one digit. The answers are kept, not judged: `table.py` does that."""

import sys
from pathlib import Path

import numpy as np
import torch
import train
from cells import Cells
from synth import Bank, Maker


def main(weights, out, count, seed, files):
    device = "cuda" if torch.cuda.is_available() else "cpu"
    bank = Bank([name for name, _ in files], device)
    cells = Cells(Maker(device, seed), bank, [share for _, share in files])
    letters = 0.06 if len(bank.letters) else 0.0
    layers = torch.load(weights / "layers.pt", weights_only=False)
    with torch.no_grad():
        kept = train.looked_at(layers, cells, count, [0.64, 0.2, 0.1, letters], device)
    small = {}
    for name, values in kept.items():
        wide = torch.int16 if name in ("whole", "ink", "figure") else torch.int8
        small[name] = values.clamp(-32000, 32000).to(wide).numpy()
    np.savez_compressed(out, **small)


if __name__ == "__main__":
    files = [(name, float(share)) for name, share in (a.split("=") for a in sys.argv[5:])]
    main(Path(sys.argv[1]), sys.argv[2], int(sys.argv[3]), int(sys.argv[4]), files)
