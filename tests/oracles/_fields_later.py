"""What came after the sheets, as a person types it into the lines of a page: each on
the first free line of its own sheet, else of another, else on a further page."""

import re

WHY = {"measured again": "M", "reworked": "R", "part changed": "P"}


class Lines:
    """The lines of one sort that nobody has written on yet."""

    def __init__(self, names):
        self.names = set(names)
        found = {}
        for name in names:
            line = re.match(r"(sheet (\w+)\.(again|found|changed|also)\.(R?\d+)\.(\d+))\.", name)
            if line:
                page = int(line[4].lstrip("R")) + 1000 * line[4].startswith("R")
                found[line[1]] = (line[3], line[2], page, int(line[5]))
        self.free = sorted(found, key=found.get)
        self.of = found

    def take(self, what, letter, anywhere=False):
        """The next line, `None` where there is none."""
        own = [line for line in self.free if self.of[line][:2] == (what, letter)]
        own += [line for line in self.free if self.of[line][0] == what] if anywhere else []
        if own:
            self.free.remove(own[0])
        return own[0] if own else None


def later(data, lines):
    """Values by the names of fields, and the letters of sheets that had no free
    line for something of theirs."""
    values, lacking = {}, []

    def put(line, **parts):
        for part, said in parts.items():
            name = f"{line}.{part.replace('_', ' ')}"
            if said not in ("", None):
                assert name in lines.names, name
                assert name not in values, name
                values[name] = said

    sheets = {letter: sheet for letter, sheet in data.items() if isinstance(sheet, dict) and "number" in sheet}
    for letter, sheet in sheets.items():
        for side, signed in sheet.items():
            for one in signed if isinstance(signed, list) and isinstance(signed[-1], dict) else []:
                if "rows" in one:
                    line = lines.take("also", letter)
                    gauge = one.get("gauge", "")
                    gauge = gauge if isinstance(gauge, str) else ", ".join(gauge)
                    zero = dict(zip(("before", "after"), one.get("zero", "")))
                    put(line, side=side, rows=", ".join(one["rows"]), by=one.get("by"), date=day(one), gauge=gauge, **zero)
    for one in data.get("again", []):
        letter = next(letter for letter, sheet in sheets.items() if one["row"] in sheet)
        again(put, lines, lacking, letter, one)
    for one in data.get("found", []):
        line = lines.take("found", one["item"].split()[0], True)
        put(line, kind="X", of=" ".join([one["item"], one.get("place", "")]).strip(), what=one["what"],
            done=one.get("done"), by=one.get("by"), date=day(one), inspector=one.get("inspector"))
    for one in data.get("left-out", []):
        line = lines.take("found", one["item"].split()[0], True)
        put(line, kind="n", of=one["item"], what=one.get("why"), inspector=one.get("by"))
    for one in data.get("accepted", []):
        line = lines.take("found", "A", True)
        put(line, kind="A", of=one["row"], what=one.get("authority"), done=one.get("document"), by=one.get("by"), date=day(one))
    for one in data.get("outside", []):
        line = lines.take("found", "A", True)
        done = "; ".join([one.get("certificate", ""), one.get("result", "")]).rstrip("; ")
        put(line, kind="S", of=one["what"], what=one.get("who"), done=done, date=day(one))
    for one in data.get("change", []):
        first = one.get("redone", ["A"])[0].split()[0]
        line = lines.take("changed", first, True)
        put(line, kind=WHY[one["why"]], part=" ".join([one["part"], *one.get("places", [])]), rework=one.get("rework"),
            what=one.get("what"), by=one.get("by"), date=day(one), inspector=one.get("inspector"), number=one.get("number"),
            batch=one.get("batch"), document=one.get("document", one.get("data")), redone=", ".join(one.get("redone", [])))
    return values, lacking


def day(one):
    return str(one["on"])[2:] if one.get("on") else ""


def again(put, lines, lacking, letter, one):
    """A line for each box, or one for all where a line takes values of any shape."""
    read = one["read"] if isinstance(one["read"], list) else [one["read"]]
    key, _, number = one["box"].partition(" ")
    shared = dict(row=one["row"], why=WHY[one["why"]], by=one.get("by"), date=day(one), inspector=one.get("inspector"))
    gauge = one.get("gauge", "")
    shared["gauge"] = gauge if isinstance(gauge, str) else ", ".join(gauge)
    shared |= dict(zip(("before", "after"), one.get("zero", "")))
    line = None
    for n, figure in enumerate(read, 1):
        line = lines.take("again", letter)
        if line is None:
            lacking.append(letter)
            continue
        box = f"{key} {number or n}" if number or len(read) > 1 else key
        if f"{line}.value" in lines.names:
            put(line, box=key if not number else box, value=" ".join(map(str, read)), **shared)
            return
        whole, _, behind = str(figure).partition(".")
        put(line, box=box, whole=whole, decimals=behind, **shared)
