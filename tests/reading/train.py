"""Makes the weights: `python train.py DATA-FOLDER OUT-FOLDER SECONDS [SEED]`.
The data are what `strokes.py` wrote. SECONDS is how long it may take on one
accelerator, all told; the last third is with rounded numbers."""

import sys
import time
from pathlib import Path

import torch
import torch.nn.functional as F
from cells import Cells
from nets import DIGIT_ROWS, Net, Rounded, packed, scores
from synth import Bank, Maker

SEED = 20260305
BATCH = 2048
# Samples kept to learn from again, and how often a new batch's worth is drawn.
POOL, AGAIN = 800_000, 3
MIX = [0.58, 0.26, 0.09, 0.07]
SHARES = {"mnist": 0.72, "faces": 0.13, "drawn": 0.15}


def bank(folder, part, device):
    return Bank([folder / f"{part}-{name}.npz" for name in SHARES], device)


def loss(scored, sample):
    digits = F.cross_entropy(scored[:, :DIGIT_ROWS], sample["digit"])
    return digits + 0.3 * F.cross_entropy(scored[:, DIGIT_ROWS:], sample["letter"])


class Pool:
    """The last samples made: making one takes longer than learning from it."""

    def __init__(self, cells):
        self.cells, self.size, self.at, self.made = cells, 0, 0, 0
        self.kept = {}

    def more(self):
        with torch.no_grad():
            sample = self.cells.sample(BATCH, MIX)
        self.made += BATCH
        for name in ("whole", "ink", "digit", "letter"):
            values = sample[name].to(torch.uint8)
            if name not in self.kept:
                self.kept[name] = values.new_zeros((POOL, *values.shape[1:]))
            end = min(self.at + BATCH, POOL)
            self.kept[name][self.at : end] = values[: end - self.at]
        self.size = max(self.size, end)
        self.at = end % POOL

    def some(self):
        maker = self.cells.m
        which = maker.pick(BATCH, self.size)
        some = {name: values[which] for name, values in self.kept.items()}
        return {
            "whole": some["whole"].float(),
            "ink": some["ink"].float(),
            "digit": some["digit"].long(),
            "letter": some["letter"].long(),
        }


def learn(nets, pool, seconds, rate, what):
    groups = [p for net in nets.values() for p in net.parameters()]
    optimiser = torch.optim.AdamW(groups, lr=rate, weight_decay=1e-4)
    start, step, sums = time.monotonic(), 0, []
    while (gone := (time.monotonic() - start) / seconds) < 1:
        up = min(1.0, (step + 1) / 200)
        now = rate * up * (0.5 + 0.5 * torch.cos(torch.tensor(gone * torch.pi)).item())
        for group in optimiser.param_groups:
            group["lr"] = max(now, rate / 500)
        if step % AGAIN == 0:
            pool.more()
        sample = pool.some()
        total = sum(loss(net(sample[view]), sample) for view, net in nets.items())
        optimiser.zero_grad(set_to_none=True)
        total.backward()
        torch.nn.utils.clip_grad_norm_(groups, 5.0)
        optimiser.step()
        step += 1
        sums.append(total.detach())
        if step % 500 == 0:
            mean = torch.stack(sums).mean().item() / 2
            sums = []
            print(f"{what} {step} {gone:.3f} loss {mean:.4f}", flush=True)
    return step


def looked_at(layers, cells, count, mix, device):
    """Scores in whole numbers of made samples, with what was in them."""
    kept = {
        "digit": [],
        "letter": [],
        "kind": [],
        "how": [],
        "source": [],
        "figure": [],
        "whole": [],
        "ink": [],
    }
    while count > 0:
        n = min(count, 2048)
        sample = cells.sample(n, mix)
        for view, net in layers.items():
            kept[view].append(scores(net, sample[view]).int().cpu())
        kept["source"].append(cells.bank.source[sample["figure"]].cpu())
        for name in ("digit", "letter", "kind", "how", "figure"):
            kept[name].append(sample[name].cpu())
        count -= n
    return {name: torch.cat(parts) for name, parts in kept.items()}


def faster(maker):
    """Drawing goes over the same dots many times: put into one pass where the
    compiler can."""
    torch._dynamo.config.suppress_errors = True
    for name in ("segments", "figure", "blurred", "jpeg"):
        setattr(maker, name, torch.compile(getattr(maker, name), dynamic=False))


def main(folder, out, seconds, seed):
    began = time.monotonic()
    device = "cuda" if torch.cuda.is_available() else "cpu"
    torch.manual_seed(seed)
    torch.backends.cuda.matmul.allow_tf32 = True
    torch.backends.cudnn.allow_tf32 = True
    train = bank(folder, "train", device)
    cells = Cells(Maker(device, seed), train, list(SHARES.values()))
    nets = {"whole": Net().to(device), "ink": Net().to(device)}
    if device == "cuda":
        faster(cells.m)
    pool = Pool(cells)
    for _ in range(20):
        pool.more()
    seconds -= time.monotonic() - began
    print("ready, seconds left:", seconds)
    count = learn(nets, pool, seconds * 0.66, 3e-3, "floats")
    print("steps", count)
    for net in nets.values():
        net.eval()
    with torch.no_grad():
        sample = pool.some()
        nets = {view: Rounded(net, sample[view]).to(device) for view, net in nets.items()}
    torch.backends.cuda.matmul.allow_tf32 = False
    torch.backends.cudnn.allow_tf32 = False
    print("steps", learn(nets, pool, seconds * 0.34, 4e-4, "rounded"))
    layers = {view: net.whole_numbers() for view, net in nets.items()}
    print("rendered", pool.made)
    (out / "digits.bin").write_bytes(packed([layers["ink"], layers["whole"]]))
    torch.save(layers, out / "layers.pt")
    torch.save({view: net.state_dict() for view, net in nets.items()}, out / "rounded.pt")


if __name__ == "__main__":
    seed = int(sys.argv[4]) if len(sys.argv) > 4 else SEED
    main(Path(sys.argv[1]), Path(sys.argv[2]), float(sys.argv[3]), seed)
