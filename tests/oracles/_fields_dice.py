"""A transcription by dice: every box of a blank one left as it is or filled with what
a person could write there, and lines for what came later."""

import json
import random
import re
import tomllib

WORDS = ["ok", "no wear", "3 of 4", "Ø 12 µm", "λ 0.8", "ход 2", "\"as found\"", "a\\b", "1,894.6 h", "né 1962", "<b>", "(x)", "50 %"]


class Figure(str):
    """Written without quotes."""


def diced(seed, job, blank, fields):
    """The text of a transcription; `fields` has by name how many signs each field of
    the sheets holds, 0 for any number."""
    dice = random.Random(seed)
    told = (job / "job.toml").read_text()
    people = re.findall(r"^\[people\.(\w+)\]", told, re.M)
    gauges = re.findall(r"^\[gauges\.([\w-]+)\]", told, re.M)
    data = tomllib.loads(blank.read_text(), parse_float=str)
    some = lambda: dice.random() < 0.7
    words = lambda: " ".join(dice.choices(WORDS, k=dice.randint(1, 3)))
    day = lambda: Figure(f"2026-{dice.randint(1, 12):02}-{dice.randint(1, 28):02}")
    named = lambda: dice.choice([dice.choice(gauges), dice.sample(gauges, 2)])

    def marks(blank, letters):
        return "".join(dice.choice(letters) if mark == "-" else mark for mark in blank)

    def figure(name):
        if name in fields:
            return Figure(f"{dice.randint(0, 9999)}.{dice.randint(0, 99):02}")
        whole, places = fields.get(f"{name}.whole", 0), fields.get(f"{name}.decimals", 0)
        before = str(dice.randint(0, 10**whole - 1)) if whole else "0"
        behind = "".join(dice.choices("0123456789", k=places))
        return Figure(f"{before}.{behind}" if places else before)

    def boxes(name):
        count = len({other.split(".")[2] for other in fields if other.startswith(f"{name}.")})
        read = [figure(f"{name}.{n}") if some() else "-" for n in range(1, count + 1)]
        return read if any(one != "-" for one in read) else []

    def sign(letter, key, blank):
        own = f"sheet {letter}.{key}"
        done = {"by": dice.choice(people) if some() else "", "on": day() if some() else ""}
        if "gauge" in blank:
            lines = blank["gauge"] if isinstance(blank["gauge"], dict) else None
            done["gauge"] = {line: named() for line in lines} if lines else named() if some() else ""
        if f"{own}.before" in fields:
            done["zero"] = dice.choice(["vv", "vx", "v-", ""])
            done["part-temp"] = Figure(dice.choice(["20.5", "18.0"])) if some() else ""
        return done

    def item(letter, number, blank):
        own = f"{letter} {number}"
        if isinstance(blank, list):
            ticks = {n for n in range(1, len(blank) + 1) if fields[f"{own}.{n}"] == 1}
            return [dice.choice("vxn") if n in ticks else words() if some() else "" for n in range(1, len(blank) + 1)]
        if isinstance(blank, dict):
            count = {"count": Figure(dice.randint(0, 20)) if some() else "-"} if "count" in blank else {}
            return {key: words() if some() else "" for key in blank} | count
        return words() if f"{own}.words" in fields else marks(blank, "vvvxn-")

    rows = {}
    for letter, sheet in data.items():
        if not isinstance(sheet, dict):
            continue
        for key, blank in list(sheet.items()):
            if key in ("number", "printed", "pages"):
                continue
            if key == "remarks":
                sheet[key] = words()
            elif key == "initials":
                sheet[key] = {span: dice.choice(people) for span in blank if some()}
            elif key.isdigit():
                sheet[key] = item(letter, key, blank) if some() else blank
            elif key[0].isupper():
                sheet[key] = {side: marks(old, "vx-") if isinstance(old, str) else boxes(f"{key}.{side}") for side, old in blank.items()}
                rows[key] = [side for side, old in blank.items() if old == []]
            else:
                sheet[key] = sign(letter, key, blank)
    data["again"] = []
    for code in dice.sample(sorted(code for code in rows if rows[code]), 5):
        side = dice.choice(rows[code])
        count = len({name.split(".")[2] for name in fields if name.startswith(f"{code}.{side}.")})
        n = dice.randint(1, count)
        data["again"].append({
            "row": code, "box": f"{side} {n}" if count > 1 else side,
            "read": figure(f"{code}.{side}.{n}") if count > 1 else [figure(f"{code}.{side}.1")],
            "why": dice.choice(["measured again", "reworked", "part changed"]), "by": dice.choice(people), "on": day(),
            "gauge": named(), "zero": dice.choice(["vv", "xv"]), "inspector": dice.choice(people),
        })
    items = [f"{letter} {key}" for letter, sheet in data.items() if isinstance(sheet, dict) for key in sheet if key.isdigit()]
    found = [{"item": one, "what": words(), "done": words(), "by": dice.choice(people), "on": day(), "inspector": dice.choice(people)} for one in dice.sample(items, 3)]
    data["found"] = sorted(found, key=lambda one: one["on"])
    data["left-out"] = [{"item": dice.choice(items), "why": words(), "by": dice.choice(people)}]
    row = dice.choice(sorted(rows))
    data["accepted"] = [{"row": row, "authority": words(), "document": words(), "on": day(), "by": dice.choice(people)}]
    return text(data)


def text(data):
    lines = [f"{key} = {value(one)}" for key, one in data.items() if not isinstance(one, (dict, list))]
    for key, one in data.items():
        if isinstance(one, dict):
            lines += [f"[{key}]", *(f"{inner} = {value(said)}" for inner, said in one.items())]
    for key, one in data.items():
        for event in one if isinstance(one, list) else []:
            lines += [f"[[{key}]]", *(f"{inner} = {value(said)}" for inner, said in event.items())]
    return "\n".join(lines) + "\n"


def value(one):
    if isinstance(one, Figure):
        return str(one)
    if isinstance(one, dict):
        return "{ " + ", ".join(f"{key} = {value(said)}" for key, said in one.items()) + " }"
    if isinstance(one, list):
        return "[" + ", ".join(map(value, one)) + "]"
    return json.dumps(one, ensure_ascii=False) if isinstance(one, str) else str(one)
