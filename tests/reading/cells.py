"""Whole samples: what a cell may hold, and the patch that is cut of its scan."""

import math

import torch
import torch.nn.functional as F
from synth import (
    ACROSS,
    CELL_H,
    CELL_W,
    DOWN,
    DPMM,
    EMPTY,
    HEIGHT,
    OTHER,
    WIDER,
    WIDTH,
)  # fmt: skip

DIGIT, NOTHING_SINGLE, NOTHING, LETTER = range(4)
# Of the classes of the second head: L, T, another thing, nothing.
LETTER_L, LETTER_T, NO_LETTER, NO_INK = range(4)
# Two figures on one another that only look like one of them.
ALIKE = {
    (0, 8),
    (3, 8),
    (6, 8),
    (9, 8),
    (1, 4),
    (1, 7),
    (1, 9),
    (1, 6),
    (5, 6),
    (1, 3),
    (0, 6),
    (0, 9),
    (4, 9),
}
# How a box comes not to hold a single digit.
STRUCK, OVERWRITTEN, MARKED, ERASED, TWO = range(5)
# Levels (`src/scan/patch.rs`).
PAPER, NTH_DARKEST, LEAST = 0.75, 12, 64


class Cells:
    def __init__(self, maker, bank, sources):
        """`sources` gives each of the bank's files its share."""
        self.m, self.bank = maker, bank
        device = maker.device
        self.pools = {}
        for c in [*range(10), 12, 13]:
            for nth, _ in enumerate(sources):
                pool = ((bank.of == c) & (bank.source == nth)).nonzero()[:, 0]
                self.pools[c, nth] = pool
        self.share = torch.tensor(sources, device=device).float()
        other = [
            [d for d in range(10) if d != c and (c, d) not in ALIKE and (d, c) not in ALIKE]
            for c in range(10)
        ]
        least = min(map(len, other))
        self.least = least
        self.other = [torch.tensor(row, device=device) for row in other]

    def which(self, classes):
        """A figure of each class, the source by its share where it has any."""
        n = len(classes)
        out = torch.zeros(n, dtype=torch.long, device=classes.device)
        drawn = torch.multinomial(self.share, n, replacement=True, generator=self.m.g)
        dice = self.m.u(n)
        for (c, nth), pool in self.pools.items():
            on = (classes == c) & (drawn == nth)
            if len(pool) == 0:
                others = (self.pools[c, k] for k in range(len(self.share)))
                pool = next((other for other in others if len(other)), None)
            if pool is None:
                continue
            chosen = pool[(dice * len(pool)).long().clamp(max=len(pool) - 1)]
            out = torch.where(on, chosen, out)
        return out

    def waves(self, n):
        m = self.m
        return m.smooth(n, 4, 3), m.smooth(n, 4, 3), m.smooth(n, 4, 3)

    def sample(self, n, mix):
        """Patches and what they hold; `mix` is the share of the four kinds."""
        m, bank = self.m, self.bank
        device = m.device
        kind = torch.multinomial(
            torch.tensor(mix, device=device), n, replacement=True, generator=m.g
        )
        how = torch.multinomial(
            torch.tensor([0.3, 0.27, 0.2, 0.1, 0.13], device=device),
            n,
            replacement=True,
            generator=m.g,
        )
        single = kind == NOTHING_SINGLE
        struck, over, marked = (single & (how == k) for k in (STRUCK, OVERWRITTEN, MARKED))
        erased, two = single & (how == ERASED), single & (how == TWO)
        digit = m.pick(n, 10)
        letter = m.pick(n, 2)
        classes = torch.where(kind == LETTER, 12 + letter, digit)

        turn = torch.where(m.chance(n, 0.7), 0.012 * m.normal(n), m.u(n, -0.055, 0.055))
        dpmm = DPMM * m.u(n, 0.95, 1.05)
        cx, cy = WIDTH / 2 + m.u(n, -4, 4), HEIGHT / 2 + m.u(n, -4, 4)
        c, s = turn.cos()[:, None, None], turn.sin()[:, None, None]
        at = lambda v: v[:, None, None]  # noqa: E731
        dx, dy = (m.xs - at(cx)) / at(dpmm), (m.ys - at(cy)) / at(dpmm)
        x = dx * c + dy * s + CELL_W / 2
        y = dy * c - dx * s + CELL_H / 2

        a = m.place(n, self.waves(n))
        b = m.place(n, self.waves(n))
        for name in ("half", "raw", "cut"):
            b[name] = a[name]
        b["half"] = a["half"] * m.u(n, 0.9, 1.5)
        for name, jitter in (("x", 0.35), ("y", 0.35)):
            b[name] = torch.where(over, a[name] + jitter * m.normal(n).clamp(-2, 2), b[name])
        b["tall"] = torch.where(over, a["tall"] * m.u(n, 0.85, 1.2), b["tall"])
        small = m.u(n, 2.8, 5.5)
        gap = m.u(n, 1.0, 1.45)
        for place, sign in ((a, -1), (b, 1)):
            place["tall"] = torch.where(two, small * m.u(n, 0.85, 1.15), place["tall"])
            place["aspect"] = torch.where(
                two, place["aspect"] * m.u(n, 0.55, 0.95), place["aspect"]
            )
            place["x"] = torch.where(two, CELL_W / 2 + sign * gap + m.normal(n) * 0.1, place["x"])
        second = torch.zeros_like(digit)
        dice = m.u(n)
        for k in range(10):
            pool = self.other[k]
            chosen = pool[(dice * len(pool)).long().clamp(max=len(pool) - 1)]
            second = torch.where(digit == k, chosen, second)
        second = torch.where(two, m.pick(n, 10), second)
        main = self.which(classes)
        ink = m.figure(bank, main, x, y, a)
        ink = ink * at((kind != NOTHING) & ~marked)
        b_ink = m.figure(bank, self.which(second), x, y, b)
        ghost = torch.where(m.chance(n, 0.06), m.u(n, 0.02, 0.1), 0.0)
        ink = torch.maximum(ink, b_ink * at(torch.where(over | two, torch.ones_like(ghost), ghost)))
        # Rubbed out in part, from any side.
        angle = m.u(n, 0, 2 * math.pi)
        side = (x - at(a["x"])) * at(angle.cos()) + (y - at(a["y"])) * at(angle.sin())
        gone = torch.sigmoid((side - at(m.u(n, -0.9, 0.2))) / 0.15)
        left = 1 - gone * at(m.u(n, 0.7, 0.97))
        smear = m.smooth(n, 8, 6).clamp(0, 1.5) * gone * at(m.u(n, 0.0, 0.15))
        ink = torch.where(at(erased), (ink * left).maximum(smear), ink)
        # A pen that skips.
        skips = m.smooth(n, 14, 10) > 1.6
        ink = torch.where(at(m.chance(n, 0.12)) & skips, ink * 0.15, ink)

        lines = torch.where((struck)[:, None, None], m.strike(n), m.marks(n))
        drawn = m.segments(x, y, lines, a["half"] * m.u(n, 0.8, 1.3))
        ink = torch.maximum(ink, drawn * at(struck | marked))
        # What stands in the cells beside comes over at times.
        sides = m.place(n, self.waves(n))
        for name in ("half", "raw", "cut"):
            sides[name] = a[name]
        step = CELL_W + torch.where(m.chance(n, 0.3), 1.6, 0.0)
        for sign in (-1, 1):
            there = m.chance(n, 0.6)
            sides["x"] = (
                CELL_W / 2 + sign * step + m.normal(n).clamp(-2, 2) * 0.5 - sign * m.u(n, 0, 0.4)
            )
            beside = m.figure(bank, self.which(m.pick(n, 10)), x, y, sides)
            ink = torch.maximum(ink, beside * at(there))
        specks = torch.full((n, 4, 4), math.nan, device=device)
        for nth in range(4):
            px, py = m.u(n, -1, CELL_W + 1), m.u(n, -1, CELL_H + 1)
            speck = torch.stack([px, py, px + m.normal(n) * 0.15, py + m.normal(n) * 0.15], -1)
            specks[:, nth] = torch.where(m.chance(n, 0.12)[:, None], speck, math.nan)
        dirt = m.segments(x, y, specks, m.u(n, 0.03, 0.14)) * at(m.u(n, 0.2, 1))
        ink = torch.maximum(ink, dirt)
        grey = m.scanned(ink, m.printed(n, x, y), n, m.chance(n, 0.35))

        # Where registration takes the cell to be.
        near = m.normal(n, 2) * 0.13
        wide = torch.stack([m.u(n, -0.4, 0.4), m.u(n, -0.4, 0.4)], -1)
        off = torch.where(m.chance(n, 0.75)[:, None], near, wide).clamp(-0.4, 0.4)
        turned = turn + 0.003 * m.normal(n)
        scale = dpmm * (1 + 0.004 * m.normal(n))
        other = torch.where(m.chance(n, 0.8), m.u(n, 0.7, 1.2), 0.0)
        beside = torch.where(m.chance(n, 0.5), m.u(n, 20, 200), 0.0)
        nothing = kind == NOTHING
        level = torch.where(nothing, beside, 0.0)
        aside = torch.where(m.chance(n, 0.8), m.normal(n), m.u(n, -4, 12)).round()
        whole, ink_alone = cut(grey, (cx, cy), off, turned, scale, other, level, aside)
        digit_head = torch.where(kind == DIGIT, digit, OTHER)
        digit_head = torch.where(nothing, EMPTY, digit_head)
        letter_head = torch.where(kind == LETTER, letter, NO_LETTER)
        letter_head = torch.where(nothing, NO_INK, letter_head)
        return {
            "whole": whole, "ink": ink_alone, "digit": digit_head, "letter": letter_head,
            "kind": kind, "how": torch.where(single, how, -1), "figure": main, "grey": grey,
            "where": ((cx, cy), off, turned, scale),
        }  # fmt: skip


def paper_of(grey):
    samples = grey[:, ::3, ::3].reshape(len(grey), -1)
    return samples.kthvalue(int(samples.shape[1] * PAPER), dim=1).values


def cut(grey, centre, off, turn, scale, other, beside, aside):
    """As `src/scan/patch.rs`; the cells beside are stood for by a level, and
    what lies about the cell by a change of the paper's grey."""
    n, device = len(grey), grey.device
    w, h = CELL_W * (1 + 2 * WIDER), CELL_H * (1 + 2 * WIDER)
    i = (torch.arange(ACROSS * 3, device=device).to(grey.dtype) + 0.5) / 3 / ACROSS - 0.5
    j = (torch.arange(DOWN * 3, device=device).to(grey.dtype) + 0.5) / 3 / DOWN - 0.5
    mx = (i * w)[None, None, :] + off[:, 0, None, None]
    my = (j * h)[None, :, None] + off[:, 1, None, None]
    c, s = turn.cos()[:, None, None], turn.sin()[:, None, None]
    k = scale[:, None, None]
    px = (mx * c - my * s) * k + centre[0][:, None, None]
    py = (mx * s + my * c) * k + centre[1][:, None, None]
    grid = torch.stack([px / (WIDTH - 1) * 2 - 1, py / (HEIGHT - 1) * 2 - 1], -1)
    dots = F.grid_sample(grey[:, None], grid, padding_mode="border", align_corners=True)
    dots = F.avg_pool2d(dots, 3)[:, 0]
    paper = (paper_of(grey) + aside).clamp(0, 255)
    raw = (paper[:, None, None] - dots + 0.5).floor().clamp(0, 255)
    inner = raw[:, 7:25, 6:18].reshape(n, -1)
    dark = inner.topk(NTH_DARKEST, dim=1).values[:, -1]
    dark = torch.maximum(torch.maximum(dark, (dark * other).floor()), beside.floor())
    level = (dark * 5 / 4).floor().clamp(LEAST, 255)[:, None, None]
    whole = ((raw * 255 + (level / 2).floor()) / level).floor().clamp(max=255)
    return whole, without_lines(whole)


# Where the frame's lines stand in a patch that is cut aright, in dots.
LEFT, RIGHT, TOP, BOTTOM, ASIDE = 2, 21, 3, 28, 2


def without_lines(whole):
    """The frame's lines taken out: across each, no darker than what stands on
    both its sides leads to expect."""
    across = erased(whole, LEFT, RIGHT, 6, DOWN - 6)
    return erased(across.mT, TOP, BOTTOM, 5, ACROSS - 5).mT


def erased(dots, low, high, first, last):
    """The pair of upright lines, where they are darkest together."""
    best_at, best = None, None
    columns = dots[:, first:last].sum(1)
    for aside in (0, -1, 1, -2, 2):
        sum_ = columns[:, low + aside] + columns[:, high + aside]
        if best is None:
            best, best_at = sum_, torch.zeros_like(sum_)
        else:
            better = sum_ > best
            best = torch.where(better, sum_, best)
            best_at = torch.where(better, float(aside), best_at)
    out = dots
    for aside in (-2, -1, 0, 1, 2):
        changed = dots.clone()
        for line in (low + aside, high + aside):
            before = dots[:, :, line - 2] if line >= 2 else None
            after = dots[:, :, line + 2] if line + 2 < dots.shape[2] else None
            before = after if before is None else before
            after = before if after is None else after
            for step in (-1, 0, 1):
                if not 0 <= line + step < dots.shape[2]:
                    continue
                expected = ((before * (2 - step) + after * (2 + step) + 2) / 4).floor()
                changed[:, :, line + step] = torch.minimum(dots[:, :, line + step], expected)
        out = torch.where((best_at == aside)[:, None, None], changed, out)
    return out
