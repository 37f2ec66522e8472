"""Jobs to judge: the demonstration, and two engines that are not it."""

import json
import re

from _judging import ROOT, benchleaf, done

ENGINES = ["six-mm", "two-in"]


def demonstration(folder):
    """The demonstration's job folder, made by the program."""
    done(benchleaf("demo", folder))
    return folder


def opened(engine, folder):
    """A job folder of one of the engines of the tests, its sheets printed and
    its transcription filled in."""
    files = ROOT / "tests" / "engines" / engine
    done(
        benchleaf(
            "new", folder, "--engine", files / "engine.toml",
            "--limits", files / "limits.toml", "--job", files / "job.toml",
            "--forms", files.parent / "old-forms",
        )
    )
    done(benchleaf("sheets", folder))
    filled = files / "readings.toml"
    transcription = folder / "readings.toml"
    (folder / "blank.toml").write_text(transcription.read_text())
    if filled.exists():
        transcription.write_text(numbered(filled.read_text(), transcription.read_text()))
    return folder


def numbered(filled, blank):
    """A filled transcription with the numbers that the blank one carries."""
    lines = {"": re.search(r"^sheet-set = .*$", blank, re.M)[0]}
    for part in re.split(r"^(?=\[\w+\])", blank, flags=re.M)[1:]:
        letter = re.match(r"\[(\w+)\]", part)[1]
        lines[letter] = "\n".join(re.findall(r"^(?:number|printed) = .*$", part, re.M))
    out, letter = [], ""
    for line in filled.splitlines():
        head = re.match(r"\[(\w+)\]", line)
        if head:
            letter = head[1]
        if line.startswith("sheet-set"):
            line = lines[""]
        elif line.startswith("printed"):
            continue
        elif line.startswith("number") and letter in lines:
            line = lines[letter]
        out.append(line)
    return "\n".join(out) + "\n"


def verdicts(folder):
    """What check --json says of a job."""
    return json.loads(done(benchleaf("check", folder, "--json"), 0, 1).stdout)
