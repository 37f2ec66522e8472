"""The tables of a printed report as pdftotext places their words: which words
stand in which column beside which row code. Knows the heads of the tables and
nothing else of the program."""

import re
from dataclasses import dataclass, field

# The first word of each column's head, by table.
TABLES = {
    "fits": ("row", "shaft", "bore", "tightest", "where", "margin", "state"),
    "others": ("row", "what,", "readings", "judged", "margin", "state"),
    "worked": ("row", "worked"),
    "exceptions": ("row", "page", "what", "state", "why,"),
    "superseded": ("row", "boxes", "was", "first", "replaced", "then", "why,"),
    "near": ("row", "what,", "figure", "limit", "left", "how"),
    "items": ("item", "what", "record"),
    "found": ("item", "looked", "place", "found", "done", "by"),
    "renewed": ("item", "part,", "renewed", "part", "serial", "source", "record"),
    "directives": ("item", "number,", "applies", "how", "when", "recurring,", "by"),
    "major": ("item", "of", "part", "serial"),
    "cracks": ("item", "of", "report", "result", "demagnetised"),
    "sent": ("item", "part,", "vendor,", "release", "result"),
}
# Those whose rows are items of a sheet.
OF_ITEMS = ("items", "found", "renewed", "directives", "major", "cracks", "sent")
FIGURE = re.compile(r"-?\d+(\.\d+)?$")


@dataclass
class Row:
    """What is printed from one row code to the next, a list of words a column."""

    table: str
    name: str
    page: int
    top: float
    bottom: float
    columns: dict = field(default_factory=dict)
    edges: dict = field(default_factory=dict)
    names: list = field(default_factory=list)

    def figures(self, column):
        """Numbers in a column, in reading order."""
        return figures(self.columns.get(column, []))


def figures(words):
    texts = (word.text.strip(",;:()") for word in words)
    return [text for text in texts if FIGURE.match(text)]


def heads(page):
    """Heads of tables on a page: name, height, where each column begins."""
    found = []
    for first in page.words:
        if first.text not in ("row", "item"):
            continue
        line = sorted(
            (w for w in page.words if abs(w.middle - first.middle) < 2 and w.left >= first.left),
            key=lambda word: word.left,
        )
        for name, columns in TABLES.items():
            edges, rest = {}, list(line)
            for column in columns:
                at = next((n for n, word in enumerate(rest) if word.text == column), None)
                if at is None:
                    break
                edges[column] = rest[at].left
                rest = rest[at + 1 :]
            if len(edges) == len(columns):
                found.append((name, first, edges))
    return found


def rows(read, names):
    """Every row of every table. `names` are the codes that may begin one."""
    found = []
    for number, page in enumerate(read, 1):
        tables = sorted(heads(page), key=lambda head: head[1].top)
        for n, (table, first, edges) in enumerate(tables):
            end = ending(page, first, tables[n + 1 :])
            inside = [w for w in page.words if first.bottom < w.middle < end]
            starts = begun(inside, first.left, edges, names)
            stops = [*(word.top for _, word in starts[1:]), end]
            for (name, word), stop in zip(starts, stops):
                row = Row(table, name, number, word.top, stop, edges=edges)
                own = [w for w in inside if word.top - 1 < w.middle < stop - 1]
                row.columns = columned(own, edges)
                found.append(row)
    return found


def ending(page, first, after):
    """Where a table ends: at the next, at a heading of a section, at the foot."""
    foot = [w.top for w in page.words if w.text == "report" and w.left < first.left + 40 and w.top > page.height * 0.85]
    section = [
        w.top
        for w in page.words
        if w.text == "section" and w.top > first.bottom and w.left > page.width * 0.7
    ]
    return min([*foot, *section, *(head[1].top for head in after), page.height])


def begun(inside, edge, edges, names):
    """Row codes at the left edge: `C1`, or `TL 3` in two words."""
    second = sorted(edges.values())[1]
    starts = []
    for word in inside:
        if abs(word.left - edge) > 2:
            continue
        beside = [w for w in inside if abs(w.middle - word.middle) < 2 and edge < w.left < second - 1]
        whole = "".join(w.text for w in sorted([word, *beside], key=lambda w: w.left) if w.left < second - 1)
        for name in (whole, word.text):
            if name in names:
                starts.append((name, word))
                break
    return sorted(starts, key=lambda start: start[1].top)


def columned(words, edges):
    """Words by the column that they begin in, line by line."""
    starts = sorted(edges.items(), key=lambda edge: edge[1])
    columns = {name: [] for name, _ in starts}
    for word in sorted(words, key=lambda w: (round(w.middle / 3), w.left)):
        own = [name for name, left in starts if left - 2 <= word.left]
        if own:
            columns[own[-1]].append(word)
    return columns


def signed(words):
    """Figures of fits with their letter: L is loose, T is tight."""
    texts = [word.text for word in words]
    out = []
    for text, after in zip(texts, [*texts[1:], ""]):
        if FIGURE.match(text):
            out.append(f"{text} {after}" if after in ("L", "T") else text)
    return out


def fit(value):
    """A signed figure as it is printed: -0.0012 is 0.0012 T."""
    digits = value.lstrip("-")
    if not digits.strip("0."):
        return digits
    return f"{digits} {'T' if value.startswith('-') else 'L'}"


def codes_of_runs(record):
    """The rows from one to another of a line, by how the two are named."""
    lines = {}
    for row in record["rows"]:
        lines.setdefault(row["line"], []).append(row["row"])
    return {
        f"{codes[first]}-{codes[last].removeprefix(line)}": codes[first : last + 1]
        for line, codes in lines.items()
        for first in range(len(codes))
        for last in range(first + 1, len(codes))
    }
