"""What changing a part reopens, from the files of a job and the design: every
row and item that names the part, and nothing else.

A row names the parts of its features, else those of its line. An item of a
look-over is of the part that its block is titled by; a step before measuring is
of the parts whose lines it stands before; what is done or written after is of
the group's parts of that kind; an item of a standard form is of the parts of
its kinds; a crack test and a renewed part are of the part that they name.
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


def clusters(engine, letter):
    """Lines measured in one block: of one way, or of one feature."""
    made = []
    for line in lines_on(engine, letter):
        used = set(engine.read_features(line).values()) | set(listed(line, "feature"))
        for cluster in made:
            if any(
                line.get("way") == other.get("way") if line.get("way") or other.get("way")
                else used & other_used
                for other, other_used in cluster
            ):
                cluster.append((line, used))
                break
        else:
            made.append([(line, used)])
    return [[line for line, _ in cluster] for cluster in made]


def steps(engine, letter, part, title):
    """The steps before measuring that stand before lines of a part: each is
    printed once a sheet, before the first lines that ask for it."""
    group = next((g for g in engine.engine["groups"].values() if g["letter"] == letter), None)
    if group is None or title not in ("Before measuring", "Before reading"):
        return set()
    said, named = set(), set()
    own = listed(group, "before")
    said |= set(own)
    if part in listed(group, "parts"):
        named |= set(own)
    for cluster in clusters(engine, letter):
        parts = [p for line in cluster for p in parts_of_line(engine, line)[: 2 if line["kind"] == "fit" else 1]]
        asked = [step for p in parts for kind in kinds_of(engine, p)
                 for step in listed(engine.kinds["kinds"][kind], "before")]
        ways = [line["way"] for line in cluster if "way" in line]
        asked += listed(engine.kinds["ways"][ways[0]], "before") if ways else []
        sides = {engine.features[f]["kind"] for line in cluster
                 for f in engine.read_features(line).values()}
        asked += [step for side in sides for step in listed(engine.kinds["measuring"], side)]
        fresh = set(asked) - said
        said |= fresh
        if part in parts:
            named |= fresh
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
