"""Derived fits against ISO 286 as carried by the library pressfit.

Shaft and bore limits of random fits become a limits file in millimetres; the
fit that the library publishes must be the one that the program derives.
Source: ISO 286-1 and -2, tables as in pressfit 0.1.0 (its own arithmetic, not
this project's).
"""

import random
import re

import pressfit
from _judging import Tally, benchleaf, done

FITS = 160
HOLES = ["H6", "H7", "H8", "H9", "H10", "H11"]


def draw(dice):
    """Random fits that the library knows, each once."""
    drawn = {}
    while len(drawn) < FITS:
        size = dice.choice([dice.randint(3, 120), dice.randint(12, 80)])
        grade = dice.randint(5, 11)
        spec = f"{size} {dice.choice(HOLES)}/{dice.choice(sorted(pressfit.SHAFT_LETTERS))}{grade}"
        try:
            fit = pressfit.fit(spec)
        except (ValueError, KeyError):
            continue
        ends = (fit.shaft_ei_um, fit.shaft_es_um, fit.hole_ei_um, fit.hole_es_um)
        # Half micrometres (js of an odd grade) are beyond three decimals.
        if all(end == int(end) for end in ends):
            drawn[spec] = fit
    return list(drawn.values())


def micrometres(um):
    """A fit as printed: 0.009 L, 0.042 T, 0.000."""
    um = int(um)
    side = " L" if um > 0 else " T" if um < 0 else ""
    return f"{abs(um) // 1000}.{abs(um) % 1000:03d}{side}"


def size(basic, um):
    whole = round(basic * 1000) + int(um)
    return f"{whole // 1000}.{whole % 1000:03d}"


def engine(count):
    text = ['[engine]', 'maker = "Outside"', 'model = "ISO 286"', 'unit = "mm"']
    for n in range(count):
        text += [f"[parts.shaft-{n}]", f"[parts.hub-{n}]"]
        text += [f"[features.s-{n}]", f'part = "shaft-{n}"', 'kind = "shaft"', "directions = 2"]
        text += [f"[features.b-{n}]", f'part = "hub-{n}"', 'kind = "bore"', "directions = 2"]
    return "\n".join(text) + "\n"


def limits(fits, shift):
    """The limits file; `shift` moves the published ends, in micrometres."""
    text = [
        "[document]",
        'title = "ISO 286"\nnumber = "286"\nrevision = "1"\nunit = "mm"\nresolution = "0.001"',
    ]
    for n, fit in enumerate(fits):
        low, high = (end + more for end, more in zip(fit.clearance_um, shift(n)))
        shaft = [size(fit.size_mm, um) for um in (fit.shaft_ei_um, fit.shaft_es_um)]
        bore = [size(fit.size_mm, um) for um in (fit.hole_ei_um, fit.hole_es_um)]
        ends = [f'"{micrometres(end).replace(" ", "")}"' for end in (low, high)]
        text += [
            "[[line]]",
            f'ref = "{ref(n)}"\nname = "{fit.spec}"\nkind = "fit"',
            f'shaft = {{ feature = "s-{n}", new = [{shaft[0]}, {shaft[1]}] }}',
            f'bore = {{ feature = "b-{n}", new = [{bore[0]}, {bore[1]}] }}',
            f"fit = {{ new = [{ends[0]}, {ends[1]}] }}",
        ]
    return "\n".join(text) + "\n"


def ref(n):
    return f"F{chr(65 + n // 26)}{chr(65 + n % 26)}"


def proofread(tally, fits, name, shift):
    folder = tally.folder / name
    folder.mkdir()
    (folder / "engine.toml").write_text(engine(len(fits)))
    (folder / "limits.toml").write_text(limits(fits, shift))
    return benchleaf("limits", folder / "limits.toml")


def main():
    tally = Tally("fits")
    dice = random.Random(286)
    fits = draw(dice)
    tight = sum(fit.clearance_um[0] < 0 for fit in fits)
    print(f"  {len(fits)} fits of ISO 286, {tight} with a tight end")

    sound = proofread(tally, fits, "sound", lambda n: (0, 0))
    tally.check(sound.returncode == 0, lambda: f"the published fits are refused:\n{sound.stderr[:3000]}")
    said = re.sub(r"\s+", " ", sound.stdout)
    for n, fit in enumerate(fits):
        low, high = map(micrometres, fit.clearance_um)
        tally.check(
            re.search(rf"\b{ref(n)} {re.escape(fit.spec)}: new {low} to {high}", said),
            lambda: f"{fit.spec}: {low} to {high} not printed",
        )

    # One micrometre wider at one end or the other, or both ends moved: each a
    # mistake, and the message names the fit that the parts make.
    shifts = [(-1, 0), (0, 1), (2, 2), (-2, -2)]
    moved = proofread(tally, fits, "moved", lambda n: shifts[n % 4])
    tally.check(moved.returncode == 2, f"moved fits end with {moved.returncode}")
    said = messages(moved.stderr)
    seen = 0
    for n, fit in enumerate(fits):
        low, high = map(micrometres, fit.clearance_um)
        about = [m for m in said if f'"{fit.spec}"' in m or re.search(rf"\b{ref(n)}\b", m)]
        held = any(low in m and high in m for m in about)
        seen += held
        tally.check(held, lambda: f"{fit.spec} moved by {shifts[n % 4]}: {low} to {high} not named in {about}")
    tally.plant(seen == len(fits), f"{len(fits)} published fits moved by a micrometre or two")

    # Narrower inside is selective assembly: said, not refused.
    wide = [fit for fit in fits if fit.clearance_um[1] - fit.clearance_um[0] > 8]
    narrow = proofread(tally, wide, "narrow", lambda n: (2, -2))
    tally.check(narrow.returncode == 0, lambda: f"narrower fits are refused:\n{narrow.stderr[:3000]}")
    times = narrow.stderr.count("selective")
    tally.plant(times >= len(wide), f"{len(wide)} fits narrower than their parts allow, called selective {times} times")
    tally.finish()


def messages(text):
    """Diagnostics, one string each."""
    return re.split(r"\n(?=(?:error|warning|fault|note)\b)", text)


if __name__ == "__main__":
    main()
