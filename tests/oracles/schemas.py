"""The schemas that `benchleaf schemas` writes, by a general JSON Schema
validator (PyPI `jsonschema`, draft 7): they are schemas, every file that ships
or is printed fits its own, and what the reader refuses as a key or a kind of
value they refuse too."""

import json
import re
import tomllib

import jsonschema

from _jobs import ENGINES, demonstration, opened
from _judging import ROOT, Tally, benchleaf, done

CASES = ROOT / "tests" / "cases"
INVALID = ROOT / "tests" / "load" / "invalid"
# What a schema can see: keys, and kinds of value. Names that refer to nothing,
# figures that contradict one another and days that are none it cannot.
SEEN = re.compile(
    r"is not a key of|: [a-z-]+ is missing;|is not a choice for| is a (?:figure|text|list|table)[,;]"
    r"|(?:true or false|a list of texts|a table|a figure without quotes), such as|a block that holds nothing"
)


FAULTS = [
    ("engine", 'kind = "shaft"', 'kind = "axle"'),
    ("limits", 'kind  = "fit"', 'kind  = "fitt"'),
    ("limits", "[[line]]", "[[line]]\nwear-limit = 1"),
    ("job", "second-person = true", 'second-person = "yes"'),
    ("readings", "C2.shaft = [", 'C2.shaft = ["ok", '),
]
# Lines that do not name their kind, and lines under what they share.
SHORT_FAULTS = [
    ("limits", 'bore  = { feature = "cam-bore" }', ""),
    ("limits", 'way   = "spring-load"', 'way   = "spring-load"\nref = "S"'),
    ("limits", 'name = "link rod twist",', 'name = "link rod twist", wear-limit = 1,'),
]


def plain(value):
    """As an editor hands it to a validator: days as strings."""
    if isinstance(value, dict):
        return {key: plain(each) for key, each in value.items()}
    if isinstance(value, list):
        return [plain(each) for each in value]
    return value if isinstance(value, (str, bool, int, float)) else value.isoformat()


def which(path):
    """The schema of a file, by its name and folder."""
    stem = path.stem.removeprefix("new-")
    if path.parent.name == "forms":
        return stem if stem in ("report", "kinds") else "form"
    if path.parent.name == "limits":
        return stem if stem == "engine" else "limits"
    return {"blank": "readings", "new-job": "job"}.get(stem, stem.split("-")[0])


def main():
    tally = Tally("schemas")
    done(benchleaf("schemas", tally.folder))
    judges = {}
    for path in sorted(tally.folder.glob("*.schema.json")):
        schema = json.loads(path.read_text())
        try:
            jsonschema.Draft7Validator.check_schema(schema)
            why = ""
        except jsonschema.SchemaError as error:
            why = error.message
        tally.check(not why, f"{path.name} is no schema: {why}")
        judges[path.name.split(".")[0]] = jsonschema.Draft7Validator(schema)
    tally.same(sorted(judges), ["engine", "form", "job", "kinds", "limits", "readings", "report", "spares"], "schemas")

    jobs = [demonstration(tally.folder / "demo")]
    jobs += [opened(engine, tally.folder / engine) for engine in ENGINES]
    radial = tally.folder / "radial"
    done(benchleaf("new", radial, "--like", "radial", "--cylinders", "9"))
    paths = [path for room in ("forms", "limits") for path in sorted((ROOT / room).glob("*.toml"))]
    paths += sorted((CASES / "base").rglob("*.toml"))
    paths += [path for job in jobs for path in sorted(job.rglob("*.toml")) if path.name != "sheets-second.toml"]
    # Its job file is still to be filled in.
    paths += [path for path in sorted(radial.rglob("*.toml")) if path.name != "job.toml"]
    for path in paths:
        fits(tally, judges, path)
    refused(tally, judges)
    planted(tally, judges, jobs[0], FAULTS)
    planted(tally, judges, radial, SHORT_FAULTS)
    tally.finish()


def wrong(judge, text):
    """What the schema has against a file, the first of it."""
    return next((error.message for error in judge.iter_errors(plain(tomllib.loads(text)))), "")


def fits(tally, judges, path):
    kind = which(path)
    if kind not in judges:
        tally.check(False, f"{path}: no schema for {kind}")
        return
    why = wrong(judges[kind], path.read_text())
    tally.check(not why, lambda: f"{path.parent.name}/{path.name} as {kind}: {why[:300]}")


def refused(tally, judges):
    """The bad inputs of the tests whose messages are about keys and kinds."""
    count = 0
    for path in sorted(INVALID.glob("*.txt")):
        kind = path.stem
        base = CASES / "base" / f"{'forms/camshaft' if kind == 'forms' else kind}.toml"
        if kind == "report":
            continue
        for title, edits, messages in cases(path.read_text()):
            if not SEEN.search("\n".join(messages)):
                continue
            try:
                why = wrong(judges["form" if kind == "forms" else kind], made(base.read_text(), edits))
            except tomllib.TOMLDecodeError:
                continue
            count += 1
            tally.check(why, f"{kind}, {title}: fits its schema")
    tally.check(count > 25, f"only {count} bad inputs were held against the schemas")


def cases(text):
    """Title, lines that make it and messages of each bad input of a list
    (tests/load/cases.rs says how they are written)."""
    for one in re.split(r"^== ", text, flags=re.M)[1:]:
        title, *lines = one.splitlines()
        yield title, [line for line in lines if line[:1] in ("-", "+", "=")], [line for line in lines if line[:1] == "!"]


def made(base, edits):
    """The text of the bad file."""
    said = [(line[0], re.sub(r"\\u\{(\w+)\}", lambda code: chr(int(code[1], 16)), line[2:])) for line in edits]
    if said[0][0] == "=":
        return "\n".join(line for _, line in said[1:])
    for gone, put in re.findall(r"(-+)(\+*)", "".join(sign for sign, _ in said)):
        lines = [line for _, line in said[: len(gone) + len(put)]]
        said = said[len(lines) :]
        before, after = "\n".join(lines[: len(gone)]), "\n".join(lines[len(gone) :])
        # What is taken away whole takes its line end along.
        found = f"\n{base}".replace(f"\n{before}\n", f"\n{after}\n" if put else "\n", 1)
        assert found != f"\n{base}", before
        base = found[1:]
    return base


def planted(tally, judges, job, faults):
    for name, line, fault in faults:
        text = (job / f"{name}.toml").read_text()
        found = re.search(re.escape(line).replace("\\ ", " *"), text)
        if not tally.check(found, f"{name}.toml has no {line}"):
            continue
        tally.plant(wrong(judges[name], text.replace(found[0], fault, 1)), f"{name}.toml: {fault!r}")


if __name__ == "__main__":
    main()
