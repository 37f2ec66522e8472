"""What changing a part reopens, from the files of a job and the design: every
row and item that names the part, and nothing else.

A row names the parts of its features, else those of its line. An item of a
look-over is of the part that its block is titled by; a step before measuring is
of the parts whose lines it stands before; what is done or written after is of
the group's parts of that kind; an item of a standard form is of the parts of
its kinds; a crack test, a row of the major parts and a renewed part are of the part that
they name.
"""

import re


class Paper:
    """The blank transcription: sheets, titled blocks, numbered items."""

    def __init__(self, blank):
        self.blocks, sheet, title = [], None, None
        for line in blank.splitlines():
            if head := re.match(r"\[(\w+)\]", line):
                sheet, title = head[1], None
            elif line.startswith("# ") and sheet:
                title = line[2:]
            elif item := re.match(r'(\d+) = .*?  # (.*)', line):
                self.put(sheet, title, int(item[1]), item[2])

    def put(self, sheet, title, number, text):
        last = self.blocks[-1] if self.blocks else None
        if not last or last[:2] != (sheet, title):
            self.blocks.append((sheet, title, {}))
        self.blocks[-1][2][number] = text


def parts_of_line(engine, line):
    """The parts that it is read on."""
    features = engine.features
    if line["kind"] == "fit":
        return [features[line[side]["feature"]]["part"] for side in ("shaft", "bore")]
    if "feature" in line:
        return [features[line["feature"]]["part"]]
    return listed(line, "part")


def listed(table, key):
    value = table.get(key, [])
    return [value] if isinstance(value, str) else value


def rows(engine, part, place=None):
    """The rows that name a part, at one of its places or at all."""
    own = engine.parts[part].get("at")
    named = set()
    for line in engine.lines:
        if part not in parts_of_line(engine, line):
            continue
        at = engine.set_of(line)
        some = at and engine.engine["places"][at].get("of")
        single = place is not None and own and own in (at, some)
        named |= {row for row, code in engine.rows(line).items() if not single or code == place}
    return named


def group_of(engine, part):
    return next((g for g in engine.engine["groups"].values() if part in listed(g, "parts")), None)


def kinds_of(engine, part):
    return listed(engine.parts[part], "kinds")


def name_of(engine, part):
    return engine.parts[part].get("name", part.replace("-", " "))


def single_of(engine, part):
    """What one of its places is called in a table of single parts."""
    return engine.parts[part].get("one", name_of(engine, part))


def items(engine, paper, part):
    """The items that name a part, by sheet and number."""
    named = set()
    group = group_of(engine, part)
    for sheet, title, block in paper.blocks:
        said = title.partition(": ")[0]
        for number, text in block.items():
            own = (
                sheet == (group or {}).get("letter") and said == capital(name_of(engine, part))
                or sheet == "CL" and said.startswith("Crack tests")
                and text.startswith(name_of(engine, part) + ", ")
                or sheet == "A" and said == "Major parts" and (text + ", ").startswith(single_of(engine, part) + ", ")
                or sheet == "RN" and text.startswith(name_of(engine, part) + ",")
                or text in steps(engine, sheet, part, said)
                or text in afterwards(engine, sheet, part, said)
                or kinds_of_item(engine, sheet, text) & set(kinds_of(engine, part))
            )
            if own:
                named.add(f"{sheet} {number}")
    return named


def capital(text):
    return text[:1].upper() + text[1:]


def kinds_of_item(engine, sheet, text):
    """The kinds that a standard form says an item is of."""
    for block in engine.forms.get(sheet, {}).get("block", []):
        if block.get("once"):
            continue
        for item, kinds in zip(block.get("items", []), block.get("each-kinds", [])):
            if item == text:
                return set(kinds.split())
    return set()


def lines_on(engine, letter):
    """The lines of a group's sheet, in the order of the limits."""
    groups = engine.engine["groups"]
    for line in engine.lines:
        home = line.get("group")
        if home is None:
            found = (group_of(engine, part) for part in parts_of_line(engine, line))
            home = next((group["letter"] for group in found if group), None)
        else:
            home = groups[home]["letter"] if home in groups else None
        if home == letter:
            yield line


def steps(engine, letter, part, title):
    """The steps before measuring that are of a part: those that its kinds ask
    for, and its group's. How one measures is of no part."""
    group = next((g for g in engine.engine["groups"].values() if g["letter"] == letter), None)
    if group is None or title not in ("Before measuring", "Before reading"):
        return set()
    named = set(listed(group, "before")) if part in listed(group, "parts") else set()
    for line in lines_on(engine, letter):
        if part in parts_of_line(engine, line)[: 2 if line["kind"] == "fit" else 1]:
            for kind in kinds_of(engine, part):
                named |= set(listed(engine.kinds["kinds"][kind], "before"))
    return named


def afterwards(engine, letter, part, title):
    """What is done or written once all is measured, of a kind of the part."""
    group = group_of(engine, part)
    if not group or group["letter"] != letter:
        return set()
    named = set()
    for kind in kinds_of(engine, part):
        table = engine.kinds["kinds"][kind]
        if title == table.get("after-title", "After measuring"):
            named |= set(listed(table, "after"))
        if title == table.get("write-title", "Write down"):
            named |= set(listed(table, "write"))
    if title == "After measuring":
        named |= set(listed(group, "after"))
    return named
