"""The packet by typst: the same words, boxes and lines at the same places, or
the same words in its own tables.

python with_typst.py SOURCE.typ OUT.pdf FONTS; `source` makes the source."""

import sys

import typst

FAMILY = {
    "Regular": ("Source Sans 3", "regular", "normal"),
    "Bold": ("Source Sans 3", "bold", "normal"),
    "Italic": ("Source Sans 3", "regular", "italic"),
    "Code": ("Source Code Pro", "regular", "normal"),
}

# The upper edge of a text is its baseline: a run stands where its mark says.
PLACED = """#set page(width: {wide}mm, height: {high}mm, margin: 0pt)
#set text(top-edge: "baseline", bottom-edge: "baseline", kerning: false, ligatures: false)
#let um = 0.001mm
#let f = (Regular: text.with(font: "Source Sans 3"), Bold: text.with(font: "Source Sans 3", weight: "bold"), Italic: text.with(font: "Source Sans 3", style: "italic"), Code: text.with(font: "Source Code Pro"))
#let L(x, y, t) = place(dx: x * um, dy: y * um, t)
#let C(x, y, t) = place(dx: x * um - 100mm, dy: y * um, box(width: 200mm, align(center, t)))
#let R(x, y, t) = place(dx: x * um - 200mm, dy: y * um, box(width: 200mm, align(right, t)))
#let l(a, b, c, d, w, s) = place(line(start: (a * um, b * um), end: (c * um, d * um), stroke: (thickness: w * um, dash: s)))
#let r(x, y, w, h, p, i) = place(dx: x * um, dy: y * um, rect(width: w * um, height: h * um, stroke: p, fill: i))
"""
TABLES = """#set page(paper: "a4", margin: (left: 20mm, right: 10mm, y: 12mm))
#set text(font: "Source Sans 3", size: {size}pt)
#table(columns: ({columns}), rows: {high}pt, inset: 1pt, stroke: (bottom: 0.5pt), align: bottom,
{rows})
"""


def quoted(text):
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def pen(one):
    return "none" if not one["pen"] else f"{one['pen'][0]} * um"


def mark(one, stamps):
    if "text" in one:
        x, y = one["at"]
        white = ", fill: white" if one["white"] else ""
        text = f"(f.{one['face']})(size: {one['size']} * um{white}, {quoted(one['text'])})"
        return f"{one['align'][0]}({x}, {y}, {text})"
    if "stamp" in one:
        x, y = one["at"]
        return f"L({x}, {y}, {stamps[one['stamp']]})"
    if "line" in one:
        (a, b), (c, d) = one["line"]
        weight, dashed = one["pen"]
        return f"l({a}, {b}, {c}, {d}, {weight}, {quoted('dashed' if dashed else 'solid')})"
    if "rect" in one:
        a, b, w, h = one["rect"]
        return f"r({a}, {b}, {w}, {h}, {pen(one)}, {'black' if one['fill'] else 'none'})"
    if "path" in one:
        steps = []
        for step in one["path"]:
            points = ", ".join(f"({a} * um, {b} * um)" for a, b in step[1:])
            name = {"m": "move", "l": "line", "c": "cubic", "h": "close"}[step[0]]
            steps.append(f"curve.{name}({points})")
        fill = "black" if one["fill"] else "none"
        return f"place(curve(stroke: {pen(one)}, fill: {fill}, {', '.join(steps)}))"
    return ""


def placed(packet):
    wide, high = (um / 1000 for um in packet["pages"][0]["size"])
    parts = [PLACED.format(wide=wide, high=high)]
    stamps = {}
    for n, (name, marks) in enumerate(packet["stamps"].items()):
        stamps[name] = f"s{n}"
        parts.append(f"#let s{n} = {{\n" + "\n".join(mark(one, stamps) for one in marks) + "\n}\n")
    pages = []
    for page in packet["pages"]:
        pages.append("#{\n" + "\n".join(mark(one, stamps) for one in page["marks"]) + "\n}\n")
    return "".join(parts) + "#pagebreak()\n".join(pages)


def tables(packet):
    rows = [", ".join(quoted(cell) for cell in row) for row in packet["rows"]]
    return TABLES.format(
        size=packet["size"],
        columns=", ".join(f"{w}pt" for w in packet["widths"]),
        high=packet["high"],
        rows=",\n".join(rows),
    )


def source(packet):
    return tables(packet) if "rows" in packet else placed(packet)


def fonts(folder):
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[folder])


if __name__ == "__main__":
    compiler = typst.Compiler(sys.argv[1], font_paths=fonts(sys.argv[3]))
    compiler.compile(output=sys.argv[2], pdf_tags=False)
