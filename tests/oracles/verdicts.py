"""Twenty thousand rows of every kind of line, judged by rules written apart.

The rules stand in `_verdict_rules.py` and `_verdict_record.py`, in exact
fractions, from the design and not from the program. Random engines, limits,
jobs and transcriptions go the way of a real job, and `check --json` must say
the same of every row: state, sides that are out and by how much, flags,
margin, figures.
"""

import json
import os
import random
from collections import Counter
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import _verdict_files as files
import _verdict_plants as plants
import _verdict_record as record
import _verdict_rules as rules
from _judging import Tally, benchleaf, done
from _verdict_jobs import KINDS, Maker

JOBS, ROWS = int(os.environ.get("JOBS", 24)), 20_000
SEED = int(os.environ.get("SEED", 16_000))


def main():
    tally = Tally("verdicts")
    made = [draw(tally.folder, n) for n in range(JOBS)]
    folders = [folder for folder, _ in made]
    done(benchleaf("sheets", *folders))
    for folder, job in made:
        typed = folder / "readings.toml"
        typed.write_text(files.filled(typed.read_text(), job))
    said = done(benchleaf("check", *folders, "--json"), 0, 1).stdout
    records = [(job, told, record.judged(job)) for (_, job), told in zip(made, objects(said))]

    states, kinds, asked = Counter(), Counter(), 0
    for job, told, expected in records:
        lines = {line.ref: line for line in job.lines}
        seen = {row["row"] for row in told["rows"]}
        tally.same(seen, set(expected), f"rows of {job.name}")
        for row in told["rows"]:
            line = lines[row["line"]]
            states[row["state"]] += 1
            kinds[line.kind] += 1
            asked += compare(tally, job, line, row, *expected[row["row"]])
    rows = sum(states.values())
    print(f"  {rows} rows: {dict(states)}; {asked} taken for slips; {dict(kinds)}")
    tally.check(rows >= ROWS, f"only {rows} rows came back")
    # A row in query has no verdict to hold against the rules: readings are
    # drawn so that few look like slips, and more than these is a fault.
    tally.check(asked < rows / 20, f"{asked} rows of {rows} were taken for slips")
    for state in rules.RANK[:-1]:
        tally.check(states[state] > rows / 50, f"only {states[state]} rows are {state}")

    tally.same(without_rules(kinds_read(tally.folder)), set(), "kinds of line without rules")
    tally.plant(without_rules({"stack"}), "a kind of line without rules")
    for words, fault in plants.FAULTS:
        tally.plant(any(differs(job, expected, fault) for job, _, expected in records), words)
    planted(tally, records)
    tally.finish()


def kinds_read(folder):
    """The kinds of line that the program reads, from its own schema."""
    done(benchleaf("schemas", folder))
    limits = json.loads((folder / "limits.schema.json").read_text())
    lines = limits["properties"]["line"]["items"]["oneOf"]
    kinds = [line["properties"].get("kind", {}) for line in lines]
    return {kind["const"] for kind in kinds if "const" in kind}


def without_rules(kinds):
    """Kinds that none of the jobs has, so that no rule written apart is asked."""
    return set(kinds) - set(KINDS)


def draw(room, n):
    """A job of its own dice: every unit with every scope and rule."""
    dice = random.Random(SEED + n)
    unit, scope = ["in", "mm"][n % 2], ["service", "service", "new"][n % 3]
    job = Maker(dice, f"J{n}", unit, scope, guarded=n % 4 > 1).make()
    folder = room / job.name
    files.write(folder, job)
    return folder, job


def objects(text):
    decoder, at, found = json.JSONDecoder(), 0, []
    while at < len(text.rstrip()):
        value, at = decoder.raw_decode(text, at)
        found.append(value)
        while at < len(text) and text[at].isspace():
            at += 1
    return found


def differs(job, expected, fault):
    """Whether a fault in the rules shows in any row of a job."""
    states = {code: state for code, (_, state) in expected.items()}
    with fault():
        return {code: state for code, (_, state) in record.judged(job).items()} != states


def compare(tally, job, line, row, verdict, state):
    """One row; 1 where it was taken for a slip and nothing was compared."""
    if row["state"] == "query" and row["causes"] and line.kind != "feeler":
        return 1
    if state == rules.HOLD and any(step["state"] == "query" for step in row["steps"][:-1]):
        # A repeat cleared the question: nothing was out, and nothing is held
        # to what was asked about. This judge knows no questions.
        return 1

    def same(told, wanted, what):
        return tally.check(
            told == wanted, lambda: f"{story(job, line, row)}: {what}{told}, should be {wanted}"
        )

    if not same(row["state"], state, "") or not row["steps"] or state == rules.RECORDED:
        return 0
    told_out = furthest(row["out"])
    if mixed(line, row):
        verdict = in_millimetres(verdict)
    out = sides(verdict)
    if [side for side, _ in told_out] == [side for side, _ in out] and all(
        near(told, by) for (_, told), (_, by) in zip(told_out, out)
    ):
        told_out = out
    same(told_out, out, "out: ")
    same(*flags(row, verdict), "flags: ")
    margin = verdict.margin if near(row["margin"], verdict.margin) else row["margin"]
    same(margin, verdict.margin, "margin: ")
    figures = dict(row["steps"][-1]["figures"])
    for name, value in verdict.figures.items():
        if near(figures.get(name), value):
            figures[name] = value
    same(figures, verdict.figures, "figures: ")
    return 0


def mixed(line, row):
    """An inch line that sees readings in millimetres is held in millimetres:
    nothing is divided. The program says so beside the figures."""
    return line.unit == "in" and any("held in mm" in note for note in row["notes"])


def in_millimetres(verdict):
    by = record.MILLIMETRES
    return replace(
        verdict,
        out=[(side, None if amount is None else amount * by) for side, amount in verdict.out],
        margin=None if verdict.margin is None else verdict.margin * by,
        figures={name: value * by for name, value in verdict.figures.items()},
    )


def furthest(out):
    """Of one side the furthest, where two limits of it are passed."""
    found = {}
    for side, by in out:
        if by is None or side not in found or Decimal(by) > Decimal(found[side]):
            found[side] = by
    return sorted(found.items(), key=str)


def sides(verdict):
    """What is out is told beneath a hold too."""
    return sorted(verdict.out, key=str)


def flags(row, verdict):
    named = ("loosest", "tightest", "shaft", "bore")
    at = {f"{n} at limit" if n in named else "at limit" for n in verdict.at}
    close = {"close"} if verdict.close else set()
    close |= {"inside service"} if verdict.inside_service else set()
    close |= {"go / no-go"} if verdict.beside else set()
    told = {spoken(flag, verdict) for flag in row["flags"]}
    if verdict.inside_service is None:
        told.discard("inside service")
    return told, at | close | {f"{n} not wear: ask for a cause" for n in verdict.not_wear}


def spoken(flag, verdict):
    """`accepted by go / no-go, proven 0.0015 to 0.006`, its figures checked."""
    head, _, span = flag.partition(", proven ")
    if head != "accepted by go / no-go":
        return flag
    wanted = [verdict.figures.get(f"{word} everywhere") for word in ("entered", "refused")]
    told = [Fraction(word) for word in span.split() if word[0].isdigit()]
    return "go / no-go" if told == [value for value in wanted if value is not None] else flag


def near(told, wanted):
    """A mean is printed rounded; all else with every digit."""
    if told is None or wanted is None:
        return told is wanted
    digits = len(told.partition(".")[2])
    whole = (wanted * 10**digits).denominator == 1
    return Fraction(told) == wanted if whole else abs(Fraction(told) - wanted) <= Fraction(1, 10**digits)


def planted(tally, records):
    """Wrong answers, put into a record that is right."""
    job, told, expected = records[0]
    lines = {line.ref: line for line in job.lines}

    def seen(wanted, change):
        for row in told["rows"]:
            verdict, state = expected[row["row"]]
            if row["state"] == state and wanted(row):
                judge = Tally("planted")
                judge.SHOWN = 0
                compare(judge, job, lines[row["line"]], {**row, **change(row)}, verdict, state)
                judge.room.cleanup()
                return judge.wrong > 0
        return False

    passes = lambda row: row["state"] in (rules.NEW, rules.SERVICE) and row["margin"]
    beyond = lambda row: row["state"] == rules.OUT and row["out"][0][1]
    # What a binary float would make of it.
    more = lambda by: str(Decimal(by) + Decimal("0.00000001"))

    def flagged(row):
        return {"flags": [] if "at limit" in row["flags"] else [*row["flags"], "at limit"]}

    def figured(row):
        step = row["steps"][-1]
        figures = [[name, more(value)] for name, value in step["figures"]]
        return {"steps": [{**step, "figures": figures}]}

    wrong = [
        ("a row that is in called out", passes, lambda row: {"state": rules.OUT}),
        ("a row that is out called in", beyond, lambda row: {"state": rules.SERVICE}),
        ("out by a float's error more", beyond, lambda row: {"out": [[s, more(by)] for s, by in row["out"]]}),
        ("out on another side", beyond, lambda row: {"out": [["other", by] for _, by in row["out"]]}),
        ("a margin with a float's error", passes, lambda row: {"margin": more(row["margin"])}),
        ("a flag too many, or none", passes, flagged),
        ("figures with a float's error", passes, figured),
    ]
    for words, wanted, change in wrong:
        tally.plant(seen(wanted, change), words)


def story(job, line, row):
    """What was typed for a row, and what the program made of it."""
    code, rule = row["row"], job.rule
    told = [f"{job.name} {rule.scope}{' guarded' if rule.guarded else ''} {code} {line.kind}"]
    told += [row["limits"], "average" if line.average else ""]
    if line.kind == "fit":
        for name, four in (("shaft", line.limits.shaft), ("bore", line.limits.bore)):
            feature = getattr(line, name)
            told.append(f"{name} {plain(list(vars(four).values()))} governs {feature.governing()}")
            told.append("renewed" if feature.part.renewed else "")
    if line.kind == "feeler":
        told.append(f"leaves {plain(job.leaves.sizes)} asked {plain(list(job.asked[line.ref]))}")
    told.append(f"typed {plain(job.typed.get(code) or job.tried.get(code))}")
    parts = {group.part.name for group in line.groups().values() if group}
    parts |= {line.part.name} if line.part else set()
    for event in job.events():
        if isinstance(event, record.Again) and event.row == code:
            told.append(f"| {event.why} {event.group} {event.index} {plain(event.values)} {event.foot}")
        elif isinstance(event, record.Change) and event.part in parts:
            if code[len(line.ref) :] in event.places:
                told.append(f"| change {event.part} {event.why} {event.grade} {event.on}")
    last = row["steps"][-1] if row["steps"] else {}
    told.append(f"|| flags {row['flags']} asks {row['asks']} notes {row['notes']}")
    told.append(f"last {last.get('state')} {last.get('worked')}")
    return " ".join(filter(None, told))


def plain(value):
    """Figures a person can read."""
    if isinstance(value, dict):
        return {key: plain(one) for key, one in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(one) for one in value]
    return f"{float(value):.6g}" if isinstance(value, Fraction) else value


if __name__ == "__main__":
    main()
