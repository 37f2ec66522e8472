"""Scanned cells of combs, made on the accelerator: figures written into printed
cells, scanned at 200 dots an inch, and cut out as `src/scan/patch.rs` does."""

import math

import numpy as np
import torch
import torch.nn.functional as F

OTHER, EMPTY, L, T = 10, 11, 12, 13
# The printed cell, in millimetres (`src/pages/boxes.rs`), and the pen's weights.
CELL_W, CELL_H = 5.6, 8.6
POINTS = 25.4 / 72
# The piece of a scan that is drawn about one cell.
WIDTH, HEIGHT, DPMM = 96, 128, 200 / 25.4
# The patch (`src/scan/patch.rs`).
ACROSS, DOWN, WIDER = 24, 32, 0.15
SQUARE, TALL = 96, 72  # of the thinned figures (`strokes.py`)
FAR = 20.0  # the greatest distance from a stroke that is kept
LUMINANCE = [
    [16, 11, 10, 16, 24, 40, 51, 61],
    [12, 12, 14, 19, 26, 58, 60, 55],
    [14, 13, 16, 24, 40, 57, 69, 56],
    [14, 17, 22, 29, 51, 87, 80, 62],
    [18, 22, 37, 56, 68, 109, 103, 77],
    [24, 35, 55, 64, 81, 104, 113, 92],
    [49, 64, 78, 87, 103, 121, 120, 101],
    [72, 92, 95, 98, 112, 100, 103, 99],
]  # fmt: skip  (ITU-T T.81, table K.1)


class Bank:
    """Figures with the distance of every dot from the pen's line."""

    def __init__(self, paths, device):
        of, thin, grey, has, lost, source = [], [], [], [], [], []
        for nth, path in enumerate(paths):
            kept = np.load(path)
            of.append(kept["of"])
            thin.append(np.unpackbits(kept["thin"], axis=-1)[..., :SQUARE])
            grey.append(kept["grey"])
            has.append(kept["has"])
            lost.append(kept["lost"])
            source.append(np.full(len(kept["of"]), nth))
        self.device = device
        self.of = torch.from_numpy(np.concatenate(of)).long().to(device)
        self.grey = torch.from_numpy(np.concatenate(grey)).to(device)
        self.has = torch.from_numpy(np.concatenate(has)).to(device)
        self.lost = torch.from_numpy(np.concatenate(lost)).to(device)
        self.source = torch.from_numpy(np.concatenate(source)).to(device)
        all_thin = np.concatenate(thin)
        self.far = torch.empty((len(all_thin), SQUARE, SQUARE), dtype=torch.uint8, device=device)
        for start in range(0, len(all_thin), 2048):
            part = torch.from_numpy(all_thin[start : start + 2048]).to(device).bool()
            self.far[start : start + 2048] = (distance(part) * 12).round().clamp(0, 255).byte()
        self.by = [(self.of == c).nonzero()[:, 0] for c in range(14)]
        self.digits = (self.of < 10).nonzero()[:, 0]
        self.letters = (self.of >= 12).nonzero()[:, 0]


def distance(thin):
    """From each dot to the nearest of the line, up to FAR (by rows, then columns)."""
    big = FAR * FAR
    square = torch.where(thin, 0.0, big).float()
    reach = int(FAR)
    for axis in (1, 2):
        out = square.clone()
        for step in range(1, reach + 1):
            for sign in (-1, 1):
                moved = torch.roll(square, sign * step, dims=axis)
                edge = [slice(None)] * 3
                edge[axis] = slice(0, step) if sign > 0 else slice(-step, None)
                moved[tuple(edge)] = big
                out = torch.minimum(out, moved + step * step)
        square = out
    return square.sqrt().clamp(max=FAR)


class Maker:
    def __init__(self, device, seed):
        self.device = device
        self.g = torch.Generator(device=device)
        self.g.manual_seed(seed)
        ys, xs = torch.meshgrid(
            torch.arange(HEIGHT, device=device).float(),
            torch.arange(WIDTH, device=device).float(),
            indexing="ij",
        )
        self.xs, self.ys = xs[None], ys[None]
        k = torch.arange(8, device=device).float()
        basis = torch.cos((2 * k[None] + 1) * k[:, None] * math.pi / 16) / 2
        basis[0] /= math.sqrt(2)
        self.basis = basis
        self.table = torch.tensor(LUMINANCE, device=device).float()

    def u(self, n, low=0.0, high=1.0):
        return torch.rand(n, generator=self.g, device=self.device) * (high - low) + low

    def normal(self, *shape):
        return torch.randn(*shape, generator=self.g, device=self.device)

    def chance(self, n, p):
        return self.u(n) < p

    def pick(self, n, most):
        return torch.randint(0, most, (n,), generator=self.g, device=self.device)

    def smooth(self, n, rows, columns):
        """Noise of low frequency over the piece, about 0, of spread 1."""
        small = self.normal(n, 1, rows, columns)
        size = (HEIGHT, WIDTH)
        return F.interpolate(small, size, mode="bicubic", align_corners=True)[:, 0]

    # Drawing: where the ink is, 0 to 1, over the piece in millimetres.

    def figure(self, bank, which, x, y, place):
        """Ink of figures; `place` says where each stands and how it is written."""
        c, s = place["turn"].cos()[:, None, None], place["turn"].sin()[:, None, None]
        at = lambda name: place[name][:, None, None]  # noqa: E731
        dx, dy = x - at("x"), y - at("y")
        dx, dy = dx * c + dy * s, dy * c - dx * s
        dx = (dx + dy * at("slant")) / at("aspect")
        unit = TALL / at("tall")
        gx = dx * unit + SQUARE / 2 + place["wave_x"] * at("shake")
        gy = dy * unit + SQUARE / 2 + place["wave_y"] * at("shake")
        grid = torch.stack([(gx + 0.5) / SQUARE * 2 - 1, (gy + 0.5) / SQUARE * 2 - 1], -1)
        far = bank.far[which].float()[:, None] / 12
        sampled = F.grid_sample(far, grid, padding_mode="border", align_corners=False)[:, 0]
        outside = ((grid.abs() - 1).clamp(min=0) * SQUARE / 2).norm(dim=-1)
        millimetres = (sampled + outside) / unit
        pen = torch.sigmoid((at("half") * (1 + 0.25 * place["press"]) - millimetres) / 0.035)
        # As the collection has it, thick: 20 dots high in 28.
        grid28 = torch.stack([dx, dy], -1) / at("tall")[..., None] * 20 / 14
        grey = bank.grey[which].float()[:, None] / 255
        thick = F.grid_sample(grey, grid28, padding_mode="zeros", align_corners=False)[:, 0]
        thick = torch.sigmoid((thick - at("cut")) * 9)
        use = (bank.lost[which] | bank.has[which] & place["raw"])[:, None, None]
        return torch.where(use, thick, pen)

    def place(self, n, waves):
        mm = self.u(n, 3.4, 7.9)
        mm = torch.where(self.chance(n, 0.75), 4.2 + 2.6 * self.u(n), mm)
        wave_x, wave_y, press = waves
        return {
            "x": CELL_W / 2 + 0.45 * self.normal(n).clamp(-2, 2),
            "y": CELL_H / 2 + 0.5 * self.normal(n).clamp(-2.2, 2.2) * (9.6 - mm) / 4,
            "turn": 0.09 * self.normal(n).clamp(-2.5, 2.5),
            "slant": 0.16 * self.normal(n).clamp(-2.2, 2.2),
            "aspect": (0.17 * self.normal(n).clamp(-2, 2)).exp(),
            "tall": mm,
            "half": torch.where(self.chance(n, 0.8), self.u(n, 0.11, 0.26), self.u(n, 0.1, 0.42)),
            "shake": (self.u(n) ** 2) * 2.6,
            "wave_x": wave_x,
            "wave_y": wave_y,
            "press": press,
            "cut": self.u(n, 0.3, 0.7),
            "raw": self.chance(n, 0.3),
        }

    def segments(self, x, y, ends, half):
        """Ink of straight strokes: `ends` is n × strokes × 4, none where NaN."""
        ink = torch.zeros_like(x)
        for nth in range(ends.shape[1]):
            ax, ay, bx, by = (ends[:, nth, k, None, None] for k in range(4))
            vx, vy = bx - ax, by - ay
            t = ((x - ax) * vx + (y - ay) * vy) / (vx * vx + vy * vy + 1e-6)
            t = t.clamp(0, 1)
            away = torch.hypot(x - ax - t * vx, y - ay - t * vy)
            one = torch.sigmoid((half[:, None, None] - away) / 0.035)
            ink = torch.maximum(ink, torch.nan_to_num(one, nan=0.0))
        return ink

    def strike(self, n):
        """One to three lines right through."""
        count = 1 + self.pick(n, 3)
        kind = self.pick(n, 4)
        ends = torch.full((n, 8, 4), math.nan, device=self.device)
        for nth in range(3):
            y = CELL_H / 2 + self.normal(n) * 0.9 + (nth - 1) * 0.5
            rise = torch.where(kind == 0, self.normal(n) * 0.4, self.u(n, 1.5, 4.0))
            rise = torch.where(kind == 2, -rise, rise)
            rise = torch.where((kind == 3) & (nth == 1), -rise, rise)
            reach = self.u(n, 2.1, 3.3)
            x = CELL_W / 2 + self.normal(n) * 0.25
            line = torch.stack([x - reach, y + rise, x + reach, y - rise], -1)
            ends[:, nth] = torch.where((nth < count)[:, None], line, math.nan)
        return ends

    def marks(self, n):
        """A tick, a cross, a plus, a dash or a scribble."""
        kind = self.pick(n, 6)
        ends = torch.full((n, 8, 4), math.nan, device=self.device)
        r = lambda low, high: self.u(n, low, high)  # noqa: E731
        ax, ay = r(0.6, 1.8), r(3.5, 6.0)
        bx, by = ax + r(0.5, 1.4), ay + r(1.0, 2.4)
        cx, cy = bx + r(1.6, 3.6), by - r(3.0, 6.5)
        tick = [[ax, ay, bx, by], [bx, by, cx, cy]]
        mx, my, h, w = r(2.2, 3.4), r(3.3, 5.3), r(1.2, 3.4), r(1.2, 2.4)
        cross = [[mx - w, my - h, mx + w, my + h], [mx + w, my - h * r(0.8, 1.2), mx - w, my + h]]
        h, w = r(0.9, 2.0), r(0.9, 2.2)
        plus = [[mx, my - h, mx, my + h], [mx - w, my, mx + w, my]]
        dash = [[mx - w, my, mx + w, my + self.normal(n) * 0.25]]
        for nth, kinds in enumerate(([tick, cross, plus, dash], [tick, cross, plus])):
            for which, strokes in enumerate(kinds):
                line = torch.stack(strokes[nth], -1)
                ends[:, nth] = torch.where((kind == which)[:, None], line, ends[:, nth])
        # A scribble goes to and fro.
        many = 4 + self.pick(n, 5)
        wide, high = r(1.0, 2.8), r(1.5, 3.8)
        before = None
        flip = self.chance(n, 0.5)
        for nth in range(8):
            side = 1.0 if nth % 2 else -1.0
            px = side * wide * r(0.4, 1.0)
            py = high * (2 * (nth + r(-0.6, 0.6)) / many - 1)
            px, py = torch.where(flip, py * 0.7, px), torch.where(flip, px * 1.3, py)
            now = torch.stack([CELL_W / 2 + px, CELL_H / 2 + py], -1)
            if before is not None:
                on = (kind >= 4) & (nth <= many)
                line = torch.cat([before, now], -1)
                ends[:, nth - 1] = torch.where(on[:, None], line, ends[:, nth - 1])
            before = now
        return ends

    def printed(self, n, x, y):
        """Ink of the frame, its dividers, the point and words near the comb."""
        soft = 0.03
        weights = torch.tensor([0.7, 1.4, 0.5], device=self.device) * POINTS / 2
        frame = weights[(self.chance(n, 0.25)).long()]
        ink = torch.zeros_like(x)
        left_end, right_end = self.chance(n, 0.35), self.chance(n, 0.35)
        low = torch.where(left_end, 0.0, -CELL_W)[:, None, None]
        high = torch.where(right_end, CELL_W, 2 * CELL_W)[:, None, None]
        f = frame[:, None, None]
        for level in (0.0, CELL_H):
            away = torch.maximum((y - level).abs(), torch.maximum(low - x, x - high))
            ink = torch.maximum(ink, torch.sigmoid((f - away) / soft))
        within = torch.maximum(-y, y - CELL_H)
        for at, end in ((0.0, left_end), (CELL_W, right_end)):
            half = torch.where(end, frame, weights[2])[:, None, None]
            away = torch.maximum((x - at).abs(), within)
            ink = torch.maximum(ink, torch.sigmoid((half - away) / soft))
        for at, end in ((-1.6, left_end), (CELL_W + 1.6, right_end)):
            more = (end & self.chance(n, 0.5))[:, None, None]
            sign = -1 if at < 0 else 1
            away = torch.maximum((x - at).abs(), within)
            edge = torch.sigmoid((f - away) / soft)
            along = torch.maximum(sign * (at - x), torch.zeros_like(x))
            for level in (0.0, CELL_H):
                on = torch.sigmoid((f - torch.maximum((y - level).abs(), along)) / soft)
                edge = torch.maximum(edge, on)
            dot = torch.hypot(x - at + sign * 0.8, y - CELL_H + 0.6)
            edge = torch.maximum(edge, torch.sigmoid((0.5 - dot) / soft))
            ink = torch.maximum(ink, edge * more)
        words = torch.full((n, 6, 4), math.nan, device=self.device)
        base = torch.where(self.chance(n, 0.6), self.u(n, -2.6, -0.9), CELL_H + self.u(n, 1.3, 2.5))
        shown = self.chance(n, 0.3)
        start = self.u(n, -2.0, 4.0)
        for nth in range(6):
            x0 = start + nth * 0.75
            y0, x1, y1 = base - self.u(n, -0.9, 0.9), x0 + self.u(n, -0.4, 0.4), base
            line = torch.stack([x0, y0, x1, y1 + self.u(n, -0.2, 0.2)], -1)
            words[:, nth] = torch.where(shown[:, None], line, math.nan)
        return torch.maximum(ink, self.segments(x, y, words, self.u(n, 0.06, 0.12)))

    def scanned(self, ink, print_ink, n, faint):
        """Grey, as a scanner or a copier gives it."""
        paper = self.u(n, 205, 255)
        pencil = self.u(n, 120, 190)
        dark = torch.where(faint, pencil, self.u(n, 15, 120))
        grain = (1 + 0.35 * self.normal(n, HEIGHT, WIDTH)).clamp(0.15, 1)
        ink = torch.where(faint[:, None, None], ink * grain, ink)
        c = lambda v: v[:, None, None]  # noqa: E731
        # Ink lets paper through as much as its own grey says of paper at 230.
        grey = c(paper) * (1 - ink * c(1 - dark / 230))
        black = self.u(n, 5, 90)
        grey = torch.minimum(grey, c(paper) * (1 - print_ink * c(1 - black / 230)))
        shade = self.smooth(n, 2, 2) * c(torch.where(self.chance(n, 0.3), self.u(n, 0, 0.1), 0.01))
        edge = (self.xs * c(self.u(n, -1, 1)) + self.ys * c(self.u(n, -1, 1))) / 40
        edge = torch.sigmoid((edge - c(self.normal(n))) * c(self.u(n, 1, 6)))
        shadow = c(torch.where(self.chance(n, 0.08), self.u(n, 0.05, 0.3), 0.0))
        grey = grey * (1 + shade.clamp(-0.2, 0.2)) * (1 - shadow * edge)
        grey = self.blurred(
            grey, torch.where(self.chance(n, 0.8), self.u(n, 0.3, 0.9), self.u(n, 0.3, 1.6))
        )
        spread = torch.where(self.chance(n, 0.7), self.u(n, 0, 5), self.u(n, 0, 12))
        grey = grey + c(spread) * self.normal(n, HEIGHT, WIDTH)
        copied = self.chance(n, 0.13)
        cut = c(paper * torch.where(faint, self.u(n, 0.8, 0.9), self.u(n, 0.55, 0.82)))
        steep = c(torch.where(self.chance(n, 0.6), 0.5, self.u(n, 3, 25)))
        copy = 250 * torch.sigmoid((grey - cut) / steep)
        grey = torch.where(c(copied), copy, grey).clamp(0, 255).round()
        return torch.where(c(self.chance(n, 0.7)), self.jpeg(grey, self.u(n, 60, 92)), grey)

    def blurred(self, grey, spread):
        k = torch.arange(-4, 5, device=self.device).float()
        kernel = torch.exp(-(k[None] ** 2) / (2 * spread[:, None] ** 2))
        kernel = kernel / kernel.sum(1, keepdim=True)
        padded = F.pad(grey[:, None], (4, 4, 4, 4), mode="replicate")[:, 0]
        rows = torch.zeros_like(padded[:, :, 8:])
        out = torch.zeros_like(grey)
        for step in range(9):
            part = kernel[:, step, None, None]
            rows = rows + part * padded[:, :, step : step + grey.shape[2]]
        for step in range(9):
            part = kernel[:, step, None, None]
            out = out + part * rows[:, step : step + grey.shape[1]]
        return out

    def jpeg(self, grey, quality):
        """Luminance as T.81 codes it; tables scaled as the usual library does
        (common practice, no source)."""
        scale = torch.where(quality < 50, 5000 / quality, 200 - 2 * quality)
        table = ((self.table[None] * scale[:, None, None] + 50) / 100).floor().clamp(1, 255)
        n = len(grey)
        blocks = (grey - 128).view(n, HEIGHT // 8, 8, WIDTH // 8, 8).permute(0, 1, 3, 2, 4)
        freq = self.basis @ blocks @ self.basis.T
        freq = (freq / table[:, None, None]).round() * table[:, None, None]
        back = self.basis.T @ freq @ self.basis
        return (back.permute(0, 1, 3, 2, 4).reshape(n, HEIGHT, WIDTH) + 128).round().clamp(0, 255)
