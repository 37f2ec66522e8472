"""Jobs that begin with a family of engines, and their invented limits: what
`benchleaf new --like` writes, its lines given figures by their kind, the
transcription answered inside them."""

import re
import tomllib
from decimal import Decimal

from _judging import ROOT, benchleaf, done

FAMILIES = {
    "flat-twin": ["flat-twin"],
    "flat-six": ["flat-six", "--unit", "mm"],
    "in-line-four": ["in-line-four"],
    "radial-9": ["radial", "--cylinders", "9"],
    "radial-14": ["radial", "--cylinders", "14", "--rows", "2"],
}

JOB = (ROOT / "tests" / "families" / "job.toml").read_text()

READINGS = {
    "in": ("new = [0.0040, 0.0080]\nservice-max = 0.0120\n", "0.0050"),
    "mm": ("new = [0.100, 0.200]\nservice-max = 0.300\n", "0.150"),
    "s": ("new = [12.0, 40.0]\n", "20.0"),
    "1": ("new = [68, 76]\nservice-min = 64\n", "70"),
    "0.1": ("new = [9.0, 10.0]\nservice-min = 8.5\n", "9.5"),
}


def opened(folder, words):
    """A job folder of a family with limits, and the figures for each line."""
    done(benchleaf("new", folder, "--like", *words))
    (folder / "job.toml").write_text(JOB)
    path = folder / "limits.toml"
    kinds = tomllib.loads((folder / "forms" / "kinds.toml").read_text())
    text, good = given(path.read_text(), kinds)
    path.write_text(text)
    done(benchleaf("sheets", folder))
    blank = (folder / "readings.toml").read_text()
    (folder / "readings.toml").write_text(answered(blank, good, Engine(folder)))
    return blank


class Engine:
    """What the engine and limits files say, read by Python's own reader."""

    def __init__(self, folder):
        read = lambda name: tomllib.loads((folder / name).read_text())
        self.engine, self.limits = read("engine.toml"), read("limits.toml")
        self.kinds = read("forms/kinds.toml")
        self.forms = {
            form["sheet"]["letter"]: form
            for form in (read(f"forms/{path.name}") for path in (folder / "forms").glob("*.toml"))
            if "sheet" in form
        }
        self.parts, self.features = self.engine["parts"], self.engine["features"]
        self.lines = [self.meant(line) for table in self.limits["line"] for line in apart(table)]

    def meant(self, line):
        """A line with what it need not say: its kind, and the places of its part."""
        line = {"kind": kind_of(line, self.kinds), **line}
        part = line.get("part", [])
        part = part if isinstance(part, str) else next(iter(part), None)
        own = self.parts[part].get("at") if part else None
        if own and "at" not in line and line["kind"] in ("reading", "spread", "feeler"):
            line["at"] = own
        return line

    def at(self, feature):
        """The places of a feature: its own, or those of its part."""
        feature = self.features[feature]
        return feature.get("at", self.parts[feature["part"]].get("at"))

    def codes(self, name):
        """The codes of a set of places: a range, or a list."""
        codes = self.engine["places"][name]["codes"]
        if isinstance(codes, list):
            return codes
        first, _, last = codes.partition("-")
        return [str(n) for n in range(int(first), int(last or first) + 1)]

    def read_features(self, line):
        """The features that a line's own boxes are of, by the word of the box."""
        if line["kind"] == "fit":
            return {side: line[side]["feature"] for side in ("shaft", "bore")}
        return {}

    def set_of(self, line):
        """The places of its rows; a spread is one row for all of them."""
        match line["kind"]:
            case "fit":
                return self.at(line["shaft"]["feature"])
            case "roundness" | "taper" | "size":
                return self.at(line["feature"])
            case "spread":
                return None
        return line.get("at")

    def rows(self, line):
        """Row codes and the place of each."""
        places = self.set_of(line)
        if places is None:
            return {line["ref"]: None}
        return {line["ref"] + code: code for code in self.codes(places)}

    def boxes(self, line, side):
        """How many boxes one row of a line has."""
        if line["kind"] == "fit":
            feature = self.features[line[side]["feature"]]
            directions = feature.get("directions", 1)
            each = directions if isinstance(directions, int) else len(directions)
            return each * len(feature.get("planes", [1]))
        if line["kind"] == "spread":
            return len(self.codes(line["at"]))
        return len(line.get("labels", [1]))


def apart(table):
    """A line by itself, or those that stand under what they share."""
    shared = {key: value for key, value in table.items() if key != "lines"}
    return [{**shared, **line} for line in table["lines"]] if "lines" in table else [table]


def kind_of(line, kinds):
    """What a line is: what it says, a fit by its two sides, or what its way says."""
    if "kind" in line:
        return line["kind"]
    return "fit" if "shaft" in line and "bore" in line else kinds["ways"][line["way"]]["lines"][0]


def given(text, kinds):
    """The limits with figures, and what is read for each line."""
    unit = re.search(r'^unit *= "(\w+)"', text, re.M)[1]
    head, *blocks = text.split("[[line]]\n")
    out, good = [head], {}
    for n, block in enumerate(blocks):
        own, rest = (block + "\n").split("\n\n", 1) if "\n\n" in block else (block.rstrip(), "")
        table = tomllib.loads(own)
        for line in apart(table):
            if kind_of(line, kinds) == "fit":
                own, read = fit(own, unit, n)
            else:
                limits, read = direct(line, kind_of(line, kinds), unit)
                row = f'{{ ref = "{line["ref"]}",'
                own = "\n".join(
                    text.replace(" },", f", {limits.strip().replace(chr(10), ', ')} }},") if row in text else text
                    for text in own.split("\n")
                ) if "lines" in table else f"{own}\n{limits}"
            good[line["ref"]] = read
        out.append(own + "\n" + rest)
    return "[[line]]\n".join(out), good


def direct(line, kind, unit):
    """Limits of a line that is no fit, and what is read inside them."""
    match kind:
        case "reading":
            of = line.get("unit")
            key = of if of == "s" else line.get("resolution", "1") if of else unit
            limits, figure = READINGS[key]
            return limits, (figure, figure)
        case "spread":
            return "new-max = 7\n", ("500", "500")
    return f'new-max = {"0.0005" if unit == "in" else "0.010"}\n', None


def fit(own, unit, n):
    size = Decimal(1) + n * Decimal("0.137") if unit == "in" else Decimal(25) + n * Decimal("1.37")
    step = Decimal("0.0005" if unit == "in" else "0.010")
    places = Decimal("0.0001" if unit == "in" else "0.001")
    at = lambda steps: str((size + steps * step).quantize(places))
    loose = lambda steps: f'"{(steps * step).quantize(places)}L"'
    sides = {"shaft": f"new = [{at(0)}, {at(2)}]", "bore": f"new = [{at(4)}, {at(6)}]"}
    for side, limits in sides.items():
        own = re.sub(rf"^({side} *= {{ feature = \"[^\"]*\")", rf"\1, {limits}", own, flags=re.M)
    own += f"\nfit   = {{ new = [{loose(2)}, {loose(6)}], service = {loose(8)} }}\n"
    return own, (at(1), at(5))


def answered(blank, good, engine):
    """Every box inside its limits, every tick made, every signature given."""
    lines, turn = [], 0
    line_of = {row: line for line in engine.lines for row in engine.rows(line)}
    for line in blank.splitlines():
        if line.startswith(("#", "[")) or " = " not in line:
            lines.append(line)
            continue
        key, rest = line.split(" = ", 1)
        value, _, comment = rest.partition("  # ")
        if key in ("number", "printed", "pages", "sheet-set", "remarks", "initials"):
            pass
        elif "." in key:
            row, group = key.split(".")
            turn += 1
            figure = good[line_of[row]["ref"]][group == "bore"]
            count = engine.boxes(line_of[row], group)
            value = f"[{', '.join(nudged(figure, turn + n) for n in range(count))}]"
        elif value.startswith("["):
            value = value.replace('""', '"seen"').replace('"-"', '"v"')
        elif value.startswith("{ by"):
            inspector = key == "check" or key.startswith("hold")
            value = value.replace('by = ""', f'by = "{"JA" if inspector else "RW"}"')
            value = value.replace('on = ""', "on = 2026-03-02")
            value = re.sub(r'gauge = (""|\{[^}]*\})', 'gauge = "MIC"', value)
            value = value.replace('"--"', '"vv"')
            value = value.replace('part-temp = ""', "part-temp = 20.0").replace(
                'gauge-temp = ""', "gauge-temp = 20.0"
            )
        elif value.startswith("{"):
            count = comment.rsplit(", ", 1)[-1].removesuffix(" to renew")
            value = re.sub(r"count = [^,}]+", f"count = {count} ", value)
            value = re.sub(r'"[^"]*"', '"seen"', value)
        elif value == '""':
            value = '"seen"'
        else:
            value = value.replace("-", "v")
        lines.append(f"{key} = {value}")
    return "\n".join(lines) + "\n"


def nudged(figure, turn):
    """The same, or one digit more: a copied column would be asked about."""
    own = Decimal(figure)
    return str(own + (turn % 2) * Decimal(1).scaleb(own.as_tuple().exponent))
