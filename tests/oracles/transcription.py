"""Every TOML file that the program writes or ships, by Python's reader, which
knows TOML 1.0 and nothing later (tomllib, Python 3.11)."""

import re
import tomllib

from _jobs import ENGINES, demonstration, opened, verdicts
from _judging import ROOT, Tally


def read(text):
    """The values, or why not."""
    try:
        return tomllib.loads(text), ""
    except tomllib.TOMLDecodeError as why:
        return None, str(why)


def main():
    tally = Tally("transcription")
    shipped = [p for room in ("forms", "limits", "demo", "tests/engines") for p in sorted((ROOT / room).rglob("*.toml"))
               # Pieces of the families are files only when put together.
               if p.parent.name != "like"]
    for path in shipped:
        _, why = read(path.read_text())
        tally.check(not why, f"{path.name}: {why}")

    jobs = [demonstration(tally.folder / "demo")]
    jobs += [opened(engine, tally.folder / engine) for engine in ENGINES]
    for job in jobs:
        for path in sorted(job.glob("*.toml")):
            _, why = read(path.read_text())
            tally.check(not why, f"{job.name}/{path.name}: {why}")
        table = tomllib.loads((job / "limits.toml").read_text())
        derived = {line["ref"] for line in table["line"] if line["kind"] in ("roundness", "taper")}
        blank(tally, (job / "blank.toml").read_text(), verdicts(job), derived, job.name)

    text = (jobs[0] / "blank.toml").read_text()
    line = next(line for line in text.splitlines() if line.startswith("work = {"))
    for what, fault in {
        "a table in braces over two lines, TOML 1.1": line.replace(", ", ",\n", 1),
        "a comma before the brace, TOML 1.1": line.replace(" }", ", }", 1),
        "a key given twice": f"{line}\n{line}",
        "an escape that is not one": 'work = "\\q"',
    }.items():
        tally.plant(read(text.replace(line, fault, 1))[1], what)
    tally.finish()


def blank(tally, text, record, derived, about):
    """The blank transcription asks for every row that has boxes of its own,
    under its sheet, and nothing in it is filled in."""
    values, why = read(text)
    if not tally.check(values is not None, f"{about}: {why}"):
        return
    tally.same(values["sheet-set"], record["sheet_set"], f"{about}: number of the set")
    for sheet in record["sheets"]:
        table = values.get(sheet["letter"], {})
        tally.same(table.get("number"), sheet["number"], f"{about}: number of sheet {sheet['letter']}")
    typed = {}
    for row in record["rows"]:
        if row["line"] in derived:
            unasked = row["row"] not in values.get(row["sheet"], {})
            tally.check(unasked, f"{about}: {row['row']} is worked out from another row's boxes")
            continue
        keys = {side["boxes"] for step in row["steps"] for side in step["readings"] if side["typed"]}
        typed[row["row"]] = (row["sheet"], keys)
    for row, (sheet, keys) in typed.items():
        asked = values.get(sheet, {}).get(row, {})
        tally.check(keys <= asked.keys(), f"{about}: {row} asks for {sorted(asked)}, the record has {sorted(keys)}")
        for key, boxes in asked.items():
            empty = boxes == [] or isinstance(boxes, str) and re.fullmatch(r"[- ]*", boxes)
            tally.check(empty, f"{about}: {row}.{key} is not blank: {boxes!r}")


if __name__ == "__main__":
    main()
