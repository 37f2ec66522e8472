"""The table of results, by source of hands, with the margins that stand in
`src/scan/net.rs`:

    python table.py NAME=ANSWERS.npz ...

The answers are what `dump.py` kept. Intervals are of 95 %, by Clopper and
Pearson; samples that show one figure in many ways are taken as if each were of
its own, so they are somewhat too narrow."""

import re
import sys
from pathlib import Path

import numpy as np
from scipy.stats import beta

NET = Path(__file__).parents[2] / "src" / "scan" / "net.rs"
KINDS = ["struck out", "overwritten", "tick, cross, dash, scribble", "half erased", "two in a cell"]
SEED = 20260305


def margins():
    text = NET.read_text()
    names = ("ACCEPTED", "EXCLUDED", "EXCLUDED_TOGETHER")
    found = [re.search(rf"const {name}: i32 = ([\d_]+);", text) for name in names]
    return [int(match[1].replace("_", "")) for match in found]


def share(hits, of):
    """Of ten thousand, with its interval."""
    if of == 0:
        return "none"
    low = beta.ppf(0.025, hits, of - hits + 1) if hits else 0.0
    high = beta.ppf(0.975, hits + 1, of - hits) if hits < of else 1.0
    return f"{hits / of:.2%} ({low:.2%} to {high:.2%}; {hits} of {of})"


def agreed(scores, margin):
    best = scores.argmax(-1)
    ordered = np.sort(scores, -1)
    sure = (ordered[..., -1] - ordered[..., -2] >= margin).all(0) & (best[0] == best[1])
    return np.where(sure, best[0], -1)


def excluded(scores, typed, each, together):
    rows = np.arange(scores.shape[1])
    own = scores[:, rows, typed]
    others = scores.copy()
    others[:, rows, typed] = -(10**6)
    lead = others.max(-1) - own
    return (lead >= each).all(0) & (lead.sum(0) >= together)


def report(name, path):
    accepted, each, together = margins()
    kept = np.load(path)
    rng = np.random.default_rng(SEED)
    both = np.stack([kept["ink"], kept["whole"]]).astype(int)
    kind, truth = kept["kind"], kept["digit"].astype(int)
    scores, letters = both[:, :, :12], both[:, :, 12:]
    seen = agreed(scores, accepted)
    one = np.nonzero(kind == 0)[0]
    digit = truth[one]
    taken = (seen[one] >= 0) & (seen[one] < 10)
    wrong = taken & (seen[one] != digit)
    print(f"## {name}: {len(one)} cells with one digit, {len(set(kept['figure'][one]))} figures")
    print("accepted:", share(taken.sum(), len(one)))
    print("accepted wrongly, of the accepted:", share(wrong.sum(), taken.sum()))
    print("seen as empty:", share((seen[one] == 11).sum(), len(one)))
    print("seen as no digit:", share((seen[one] == 10).sum(), len(one)))
    alarm = excluded(scores[:, one], digit, each, together)
    print("typed rightly and excluded, by digit:", share(alarm.sum(), len(one)))
    fives = rng.permutation(len(one))[: len(one) // 5 * 5].reshape(-1, 5)
    print("readings of five typed rightly, alarmed:", share(alarm[fives].any(1).sum(), len(fives)))
    slip = (digit + rng.integers(1, 10, len(one))) % 10
    caught = excluded(scores[:, one], slip, each, together)
    print("single-digit slips caught:", share(caught.sum(), len(one)))
    pairs = rng.permutation(len(one))[: len(one) // 2 * 2].reshape(-1, 2)
    pairs = pairs[digit[pairs[:, 0]] != digit[pairs[:, 1]]]
    first = excluded(scores[:, one[pairs[:, 0]]], digit[pairs[:, 1]], each, together)
    second = excluded(scores[:, one[pairs[:, 1]]], digit[pairs[:, 0]], each, together)
    print("transpositions caught:", share((first | second).sum(), len(pairs)))
    for a, b in ((1, 7), (7, 1), (4, 9), (9, 4), (3, 5), (0, 6)):
        on = one[digit == a]
        if len(on):
            over = excluded(scores[:, on], np.full(len(on), b), each, together)
            print(f"  {a} on paper, {b} typed, caught: {over.mean():.1%}")
    other = kind == 1
    as_digit = (seen >= 0) & (seen < 10)
    print("not one digit, accepted as one:", share(as_digit[other].sum(), other.sum()))
    for how, word in enumerate(KINDS):
        on = kept["how"] == how
        print(f"  {word}:", share(as_digit[on].sum(), on.sum()))
    empty = kind == 2
    print("empty, accepted as a digit:", share(as_digit[empty].sum(), empty.sum()))
    print("empty, seen as empty:", share((seen[empty] == 11).sum(), empty.sum()))
    letter = kind == 3
    if letter.any():
        said = agreed(letters, accepted)
        true = kept["letter"].astype(int)
        right = said[letter] == true[letter]
        amiss = (said[letter] < 2) & (said[letter] >= 0) & ~right
        print("L or T accepted:", share(right.sum(), letter.sum()))
        print("L or T accepted wrongly:", share(amiss.sum(), letter.sum()))
        swap = 1 - true[letter]
        print(
            "L for T caught:",
            share(excluded(letters[:, letter], swap, each, together).sum(), letter.sum()),
        )
        fair = excluded(letters[:, letter], true[letter], each, together)
        print("L or T typed rightly, excluded:", share(fair.sum(), letter.sum()))
    worst = {}
    for a, b in zip(digit[wrong], seen[one][wrong], strict=True):
        worst[f"{a} as {b}"] = worst.get(f"{a} as {b}", 0) + 1
    print(
        "misread:", ", ".join(f"{w} ({n})" for w, n in sorted(worst.items(), key=lambda p: -p[1]))
    )


if __name__ == "__main__":
    for argument in sys.argv[1:]:
        report(*argument.split("=", 1))
        print()
