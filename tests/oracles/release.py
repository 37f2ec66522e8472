"""What goes with a release: the bill of materials by CycloneDX's own validator
(PyPI `cyclonedx-python-lib`, the specification's JSON schema 1.5), its licences
by cargo-deny, which reads them by itself; the texts; the packed crate."""

import copy
import json
import re
import subprocess
import sys
import tarfile
import tomllib

from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator

from _judging import ROOT, Tally

DENY = ROOT / "tests" / ".venv" / "bin" / "cargo-deny"
judge = JsonStrictValidator(SchemaVersion.V1_5)


def wrong(bill):
    return judge.validate_str(json.dumps(bill))


def main():
    tally = Tally("release")
    made = subprocess.run([sys.executable, ROOT / "tests" / "release", tally.folder], capture_output=True, text=True)
    if not tally.check(made.returncode == 0, f"tests/release: {made.stderr[-2000:]}"):
        tally.finish()
    bill = json.loads((tally.folder / "sbom.cdx.json").read_text())
    tally.check(not wrong(bill), f"sbom.cdx.json: {wrong(bill)}")
    named = {(each["name"], each["version"]): each for each in bill["components"]}
    tally.check(len(named) > 100, f"only {len(named)} crates")

    lock = tomllib.loads((ROOT / "Cargo.lock").read_text())
    sums = {(each["name"], each["version"]): each.get("checksum") for each in lock["package"]}
    for key, each in named.items():
        tally.same(each["hashes"][0]["content"], sums.get(key), f"checksum of {key}")
    own = tomllib.loads((ROOT / "Cargo.toml").read_text())["dependencies"]
    names = {name for name, _ in named}
    for name in own:
        tally.check(name in names, f"{name} of Cargo.toml is not in the bill")

    licensed(tally, bill["components"])
    text = (tally.folder / "LICENCES.txt").read_text()
    for name, version in named:
        tally.check(f"\n{name} {version}: " in text, f"LICENCES.txt has no {name} {version}")
    for kind in ("SIL OPEN FONT LICENSE Version 1.1", "Permission is hereby granted, free of charge"):
        tally.check(kind in text, f"LICENCES.txt has no text {kind!r}")
    packed(tally)
    planted(tally, bill)
    tally.finish()


def licensed(tally, components):
    """Every licence in an expression is one that cargo-deny found for it."""
    ran = subprocess.run([DENY, "--all-features", "list", "-f", "json", "-l", "crate"], cwd=ROOT, capture_output=True, text=True)
    seen = {
        tuple(key.split(" ")[:2]): set(found["licenses"] if isinstance(found, dict) else found)
        for key, found in json.loads(ran.stdout).items()
    }
    held = 0
    for each in components:
        told = seen.get((each["name"], each["version"]))
        if told is None:
            # A crate of a machine that .deny.toml does not name.
            continue
        held += 1
        expression = each["licenses"][0]["expression"]
        parts = set(re.split(r"\s+(?:OR|AND)\s+|[()]", expression)) - {""}
        tally.check(parts & told, f"{each['name']}: {expression}, by cargo-deny {sorted(told)}")
    tally.check(held > 100, f"cargo-deny knows only {held} of the crates")


def packed(tally):
    """The crate holds the program and its data, and nothing of the tests."""
    path = next(tally.folder.glob("*.crate"))
    with tarfile.open(path) as crate:
        names = {name.split("/", 1)[1] for name in crate.getnames()}
    for name in ("Cargo.lock", "src/main.rs", "src/build.rs", "forms/report.toml", "forms/fonts/sRGB.icc", "demo/engine.toml", "LICENSE"):
        tally.check(name in names, f"the packed crate has no {name}")
    tally.check(not any(name.startswith("tests/") for name in names), "the packed crate carries tests")


def planted(tally, bill):
    faulty = copy.deepcopy(bill)
    del faulty["components"][0]["name"]
    tally.plant(wrong(faulty), "a crate without a name")
    faulty = copy.deepcopy(bill)
    faulty["components"][1]["hashes"][0]["content"] = "not a digest"
    tally.plant(wrong(faulty), "a digest that is none")
    faulty = copy.deepcopy(bill)
    faulty["components"].append(faulty["components"][0])
    tally.plant(wrong(faulty), "a crate twice")


if __name__ == "__main__":
    main()
