"""Slips put into transcriptions in its own way, and the program's questions counted.

The readings are typed into whole jobs, the demonstration and two engines that
are not it. Sizes are uniform from new to past the wear limit, one row in seven
is truly out, and one pair in twelve stands 0.0006 to 0.0013 in apart (0.014 to
0.031 mm): other rows than the Rust tests make. What a slip changes, and whether the rules' numbered list can
see it, is worked out here in Python's decimal from the limits file alone.
Signatures of the slips: common practice, no source.
"""

import json
import random
import re
import tomllib
from dataclasses import dataclass
from decimal import Decimal

from _jobs import ENGINES, demonstration, numbered, opened
from _judging import Tally, benchleaf, done

TRANSCRIPTIONS = 60
LOOKALIKES = dict(["17", "71", "38", "83", "49", "94", "06", "60"])
KINDS = ["thimble line", "sleeve turn", "tenth", "whole", "swapped", "misread"]


@dataclass
class Side:
    """One part of a fit: new limits and wear, and the roundness of its pair."""

    low: Decimal
    high: Decimal
    wear: Decimal
    new: bool
    round: Decimal
    limits: tuple
    paired: bool


@dataclass
class Fit:
    codes: list
    shaft: Side
    bore: Side
    least: Decimal
    most: Decimal
    served_least: Decimal
    served: Decimal
    step: Decimal

    def widest(self, key):
        """The widest that a reused part can be and still serve."""
        if key == "shaft":
            low = self.shaft.wear if self.shaft.wear is not None else self.bore.low - self.served
            return low, self.bore.high - self.served_least
        high = self.bore.wear if self.bore.wear is not None else self.shaft.high + self.served
        return self.shaft.low + self.served_least, high


def clearance(text):
    """0.0012T as -0.0012."""
    figure = Decimal(str(text).rstrip("LT "))
    return -figure if str(text).endswith("T") else figure


def fits(folder, listed):
    """The fits whose rows have a pair of boxes a side, by reference."""
    engine = tomllib.loads((folder / "engine.toml").read_text(), parse_float=Decimal)
    limits = tomllib.loads((folder / "limits.toml").read_text(), parse_float=Decimal)
    step = Decimal(str(limits["document"]["resolution"]))
    inch = limits["document"]["unit"] == "in"
    found = {}
    for line in limits["line"]:
        if line["kind"] != "fit" or line.get("reduction") or "unit" in line:
            continue
        sides = [side(engine, limits, line[key], inch) for key in ("shaft", "bore")]
        codes = [row["row"] for row in listed if row["line"] == line["ref"]]
        if None in sides or not codes:
            continue
        ends, served = [clearance(end) for end in line["fit"]["new"]], line["fit"].get("service")
        served = clearance(line["fit"].get("service-max", served or line["fit"]["new"][1]))
        least = clearance(line["fit"].get("service-min", line["fit"]["new"][0]))
        fit = Fit(codes, *sides, *ends, least, served, step)
        # A reading that no gauge named covers is a query of its own.
        sizes = [*fit.widest("shaft"), *fit.widest("bore")]
        frame = 1 if inch else 25
        if len({size // frame for size in sizes}) == 1:
            found[line["ref"]] = fit
    return found


def side(engine, limits, part, inch):
    feature = engine["features"][part["feature"]]
    several = feature.get("directions", 1)
    count = several if isinstance(several, int) else len(several)
    if count != 2 or feature.get("planes") or feature.get("governing"):
        return None
    limit, judged = None, None
    for line in limits["line"]:
        if line["kind"] == "roundness" and line["feature"] == part["feature"]:
            judged = (line.get("new-max"), line.get("service-max"))
            limit = judged[0] if judged[0] is not None else judged[1]
    limit = limit if limit is not None else Decimal("0.0005" if inch else "0.012")
    owner = engine["parts"][feature["part"]]
    new = owner.get("renewed") == "always"
    return Side(*part["new"], part.get("wear"), new, limit, judged, True)


def part_state(part, readings, shaft):
    """new, service or out; a part always renewed must be new."""
    least, greatest = min(readings), max(readings)
    if part.low <= least and greatest <= part.high:
        return "new"
    if part.new:
        return "out"
    worn = part.wear is not None and (least < part.wear if shaft else greatest > part.wear)
    return "out" if worn else "service"


def verdicts(fit, readings):
    """The words of the row, its parts and the rows that use its readings."""
    shaft, bore = readings["shaft"], readings["bore"]
    tight, loose = min(bore) - max(shaft), max(bore) - min(shaft)
    if fit.least <= tight and loose <= fit.most:
        state = "new"
    elif fit.shaft.new and fit.bore.new:
        state = "out"
    else:
        state = "service" if fit.served_least <= tight and loose <= fit.served else "out"
    states = [state, part_state(fit.shaft, shaft, True), part_state(fit.bore, bore, False)]
    worst = max(states, key=["new", "service", "out"].index)
    return {"row": (worst, *states), "shaft": round_state(fit.shaft, shaft), "bore": round_state(fit.bore, bore)}


def round_state(part, readings):
    if part.limits is None:
        return ("none",)
    new, service = part.limits
    apart = max(readings) - min(readings)
    if new is not None and apart <= new:
        return ("new",)
    most = service if service is not None else new
    return ("service",) if apart <= most else ("out",)


def changed(one, other, key):
    """Whether a question about a side may change anything. Two outs are both
    outs, and a row out either way is not hidden behind its roundness."""

    def differ(a, b):
        return a != b and not a[0] == b[0] == "out"

    if one["row"][0] == other["row"][0] == "out":
        return False
    return differ(one["row"], other["row"]) or differ(one[key], other[key])


def drawn(dice, fit):
    """Readings of a row: new, worn, and one in seven past its limits."""
    past = dice.random() < 1 / 7
    while True:
        readings = sized(dice, fit)
        if past == (verdicts(fit, readings)["row"][0] == "out"):
            return readings


def sized(dice, fit):
    steps = lambda value: int(value / fit.step)
    wear = steps(Decimal("0.0020") if fit.step == Decimal("0.0001") else Decimal("0.050"))
    scale = 1 if fit.step == Decimal("0.0001") else Decimal("2.4")
    out = {}
    for key, part in (("shaft", fit.shaft), ("bore", fit.bore)):
        low, high = steps(part.low), steps(part.high)
        at = dice.randint(low, high)
        if not part.new and dice.random() < 0.5:
            at = dice.randint(low - wear, low) if key == "shaft" else dice.randint(high, high + wear)
        tenths = dice.choice([0, 1]) if part.new else dice.choice([0, 0, 1, 1, 2, 2, 3, 3, 4, 5, 5, None])
        apart = int((dice.randint(6, 13) if tenths is None else tenths) * scale)
        pair = [at, at + apart] if key == "bore" else [at - apart, at]
        dice.shuffle(pair)
        out[key] = [fit.step * n for n in pair]
    return out


def slipped(dice, kind, value, step):
    """The reading as somebody slips; None where it cannot be slipped so."""
    inch = step == Decimal("0.0001")
    by = {"thimble line": "0.0010", "sleeve turn": "0.0250", "tenth": "0.1000", "whole": "1.0000"}
    mm = {"thimble line": "0.010", "sleeve turn": "0.500", "tenth": "1.000", "whole": "25.000"}
    if kind in by:
        other = value + dice.choice([1, -1]) * Decimal((by if inch else mm)[kind])
        return other if other > 0 else None
    text = list(str(value))
    digits = [n for n, letter in enumerate(text) if letter.isdigit()]
    if kind == "swapped":
        pairs = [(a, b) for a, b in zip(digits, digits[1:]) if text[a] != text[b]]
        a, b = dice.choice(pairs) if pairs else (0, 0)
        text[a], text[b] = text[b], text[a]
    else:
        some = [n for n in digits if text[n] in LOOKALIKES]
        if not some:
            return None
        at = dice.choice(some)
        text[at] = LOOKALIKES[text[at]]
    other = Decimal("".join(text))
    return other if other != value else None


def knowable(fit, key, at, readings, true):
    """The rules' second and third: a pair too far apart, which the slip undone
    brings together inside the part's widest limits, or no pair at all."""
    part = getattr(fit, key)
    mate = readings[key][1 - at]
    apart = abs(readings[key][at] - mate)
    if apart > 5 * part.round:
        return True
    near = Decimal("0.0003") if fit.step == Decimal("0.0001") else Decimal("0.008")
    low, high = fit.widest(key)
    undone = {**readings, key: [true if n == at else value for n, value in enumerate(readings[key])]}
    return (
        apart > part.round
        and abs(true - mate) <= near
        and low <= true <= high
        and changed(verdicts(fit, readings), verdicts(fit, undone), key)
    )


def hides(dice, fit, readings, keys):
    """Of a row truly out: a thimble line in one box that makes it pass."""
    if verdicts(fit, readings)["row"][0] != "out":
        return None
    line = 10 * fit.step
    every = [(key, at, by) for key in keys for at in (0, 1) for by in (line, -line)]
    dice.shuffle(every)
    for key, at, by in every:
        value = readings[key][at]
        boxes = [value + by if m == at else v for m, v in enumerate(readings[key])]
        if verdicts(fit, {**readings, key: boxes})["row"][0] != "out":
            return "thimble line that hides an out", key, at, value, value + by
    return None


def typed(text, rows):
    for code, readings in rows.items():
        for key, values in readings.items():
            boxes = ", ".join(map(str, values))
            text, count = re.subn(rf"(?m)^{code}\.{key} = \[.*\]", f"{code}.{key} = [{boxes}]", text)
            assert count == 1, (code, key, count)
    return text


def asked(folder):
    """Which rows are in query."""
    ran = done(benchleaf("check", folder, "--json"), 0, 1)
    return {row["row"] for row in json.loads(ran.stdout)["rows"] if row["state"] == "query"}


@dataclass
class Count:
    changing: int = 0
    asked: int = 0
    knowable: int = 0
    missed: int = 0
    hiding: int = 0
    hidden: int = 0
    seen: int = 0


def seed(tally, folder, dice, counts, plain, missed):
    """A job's transcriptions, each first as it is and then with slips."""
    path, job = folder / "readings.toml", folder / "job.toml"
    words = re.sub(r'(?m)^(rule +=) "guarded"', r'\1 "simple"', job.read_text())
    words = re.sub(r'(?m)^(scope +=) "new"', r'\1 "service"', words)
    # Simple acceptance asks for a leaf under the least gap.
    job.write_text(words.replace("leaves = [0.0015, 0.002,", "leaves = [0.001, 0.0015, 0.002,"))
    text = re.split(r"(?m)^(?=\[\[)", path.read_text())[0]
    # The numbers of the sheets as they are under these words.
    path.unlink()
    done(benchleaf("sheets", folder))
    text = numbered(text, path.read_text())
    path.write_text(text)
    listed = json.loads(done(benchleaf("check", folder, "--json"), 0, 1).stdout)["rows"]
    table = fits(folder, listed)
    for _ in range(TRANSCRIPTIONS):
        true = {code: drawn(dice, fit) for fit in table.values() for code in fit.codes}
        where = {code: fit for fit in table.values() for code in fit.codes}
        path.write_text(typed(text, true))
        told = asked(folder)
        for code, readings in true.items():
            plain_row(where[code], readings, code in told, plain)
        # Every other row, so that neighbours cannot seem exchanged.
        slips, rows = {}, dict(true)
        for code in list(true)[dice.randrange(2) :: 2]:
            # All is drawn before anything is left out: the same slips come to
            # any version of the program.
            fit, kind, at = where[code], dice.choice(KINDS), dice.randrange(2)
            keys = [key for key in ("shaft", "bore") if not getattr(fit, key).new]
            if not keys:
                continue
            key = dice.choice(keys)
            value = true[code][key][at]
            other = slipped(dice, kind, value, fit.step)
            hiding = hides(dice, fit, true[code], keys)
            if hiding:
                kind, key, at, value, other = hiding
            if code in told:
                continue
            if other is not None:
                boxes = [other if m == at else v for m, v in enumerate(true[code][key])]
                rows[code], slips[code] = {**true[code], key: boxes}, (kind, key, at, value)
        path.write_text(typed(text, rows))
        told = asked(folder)
        for code, (kind, key, at, value) in slips.items():
            fit = where[code]
            one, other = verdicts(fit, true[code]), verdicts(fit, rows[code])
            can = knowable(fit, key, at, rows[code], value)
            count = counts.setdefault(kind, Count())
            tally.check(code in told or not can, lambda: f"{folder.name} {code} {kind}: {rows[code]}, truly {value}, not asked")
            if can and code not in told:
                missed.append((folder.name, code, kind))
            if not changed(one, other, key):
                continue
            count.changing += 1
            count.asked += code in told
            count.knowable += can
            count.missed += can and code not in told
            if one["row"][0] == "out" and other["row"][0] != "out":
                count.hiding += 1
                count.hidden += code not in told
                count.seen += can and code not in told
    path.write_text(text)
    return table


def plain_row(fit, readings, told, plain):
    """A row without a slip: clean, serviceable with pairs far apart, or out."""
    state = verdicts(fit, readings)["row"][0]
    wide = any(abs(a - b) > part.round for part, (a, b) in ((fit.shaft, readings["shaft"]), (fit.bore, readings["bore"])))
    name = "out" if state == "out" else "serviceable, pairs far apart" if wide else "clean"
    rows, questioned = plain.get(name, (0, 0))
    plain[name] = (rows + 1, questioned + told)


def main():
    tally = Tally("slips")
    dice = random.Random(20260309)
    counts, plain, missed = {}, {}, []
    jobs = [opened(engine, tally.folder / engine) for engine in ENGINES]
    jobs.append(demonstration(tally.folder / "demo"))
    for folder in jobs:
        table = seed(tally, folder, dice, counts, plain, missed)
        tally.check(len(table) > 3, f"{folder.name}: only {len(table)} fits")
    for kind, c in sorted(counts.items()):
        print(
            f"  {kind}: {c.asked} of {c.changing} that change a verdict are asked about; "
            f"{c.missed} of {c.knowable} that the list can see are missed"
        )
    hiding = sum(c.hiding for c in counts.values())
    hidden, seen = (sum(getattr(c, what) for c in counts.values()) for what in ("hidden", "seen"))
    print(f"  {hidden} of {hiding} slips that hide a row truly out are not asked about; the list can see {seen} of them")
    for name, (rows, questioned) in sorted(plain.items()):
        print(f"  {name}: {questioned} of {rows} rows without a slip are questioned")
    changing = sum(c.changing for c in counts.values())
    tally.check(changing > 600, f"only {changing} slips change a verdict")
    clean, wrongly = plain["clean"]
    tally.check(wrongly * 1000 <= clean * 3, f"{wrongly} of {clean} clean rows are questioned")
    planted(tally, jobs[0])
    tally.finish()


def planted(tally, folder):
    """A slip that nobody asks about, and one that is asked about, told apart."""
    path = folder / "readings.toml"
    text = path.read_text()
    listed = json.loads(done(benchleaf("check", folder, "--json"), 0, 1).stdout)["rows"]
    fit = next(fit for fit in fits(folder, listed).values() if not fit.bore.new)
    code = fit.codes[0]
    true = {"shaft": [fit.shaft.low] * 2, "bore": [fit.bore.high] * 2}
    turn = {**true, "bore": [fit.bore.high, fit.bore.high + 500 * fit.step]}
    path.write_text(typed(text, {code: turn}))
    seen = code in asked(folder) and knowable(fit, "bore", 1, turn, fit.bore.high)
    path.write_text(typed(text, {code: true}))
    tally.plant(seen and code not in asked(folder), "a turn of the sleeve put in, and taken out")
    line = {**true, "bore": [fit.bore.high, fit.bore.high + fit.step]}
    tally.plant(not knowable(fit, "bore", 1, line, fit.bore.high), "a step that no rule can see")


if __name__ == "__main__":
    main()
