"""Changing any one part of an engine reopens exactly what names it.

Jobs of five families, answered to a final record; then each part in turn is
changed, everywhere and at the last of its places, and `check --json` must tell
open the rows and items that the rule written apart in `_reopened.py` names: no
row less, no row more.
"""

import json

import _reopened as rule
from _families import FAMILIES, Engine, opened
from _judging import Tally, benchleaf, done

CHANGE = """
[[change]]
part     = "{part}"
{places}why      = "part changed"
what     = "new"
number   = "N-1"
batch    = "B-1"
document = "D-1"
by       = "RW"
on       = 2026-03-09
"""


def main():
    tally = Tally("reopens")
    changes = 0
    for name, words in FAMILIES.items():
        folder = tally.folder / name
        paper = rule.Paper(opened(folder, words))
        engine = Engine(folder)
        typed = folder / "readings.toml"
        full = typed.read_text()
        tally.same(told(folder)["status"], "complete", name)
        seen = {}
        for part in engine.parts:
            for place in [None, *places(engine, part)]:
                where = f'places   = ["{place}"]\n' if place else ""
                typed.write_text(full + CHANGE.format(part=part, places=where))
                seen[part, place] = opened_again(told(folder))
                changes += 1
        for (part, place), (rows, items) in seen.items():
            what = f"{name}, {part} changed" + (f" at {place}" if place else "")
            tally.same(rows, rule.rows(engine, part, place), f"{what}: rows")
            if place is None:
                tally.same(items, rule.items(engine, paper, part), f"{what}: items")
        plant(tally, name, engine, paper, seen)
    tally.check(changes > 300, f"only {changes} changes were made")
    print(f"  {changes} changes of parts of {len(FAMILIES)} engines")
    tally.finish()


def places(engine, part):
    """The last of the places at which single parts of a name sit."""
    at = engine.parts[part].get("at")
    return engine.codes(at)[-1:] if at else []


def told(folder):
    return json.loads(done(benchleaf("check", folder, "--json"), 0, 1).stdout)


def opened_again(told):
    """Rows and items that are open."""
    rows = {row["row"] for row in told["rows"] if row["state"] == "open"}
    return rows, {item["item"] for item in told["items"] if item["state"] == "open"}


def plant(tally, name, engine, paper, seen):
    """Faults on purpose: each must be told apart from what the program does."""

    def caught(change):
        return any(
            rows != change(part, place, rule.rows(engine, part, place))
            for (part, place), (rows, _) in seen.items()
        )

    first = lambda rows: set(sorted(rows)[1:])
    tally.plant(caught(lambda part, place, rows: first(rows)), f"{name}: a row forgotten")
    everywhere = lambda part, place, rows: rule.rows(engine, part)
    tally.plant(caught(everywhere), f"{name}: a change at one place taken for all")
    other = {part: line for line in engine.lines for part in rule.listed(line, "part")[1:]}
    without = lambda part, place, rows: rows - set(engine.rows(other[part])) if part in other else rows
    tally.plant(caught(without), f"{name}: a part named beside another forgotten")
    part = next(part for part in engine.parts if seen[part, None][1])
    items = rule.items(engine, paper, part)
    tally.plant(seen[part, None][1] != first(items), f"{name}: an item forgotten")


main()
