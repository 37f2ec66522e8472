"""The packet by ReportLab: the same words, boxes and lines at the same places,
or the same words in its own tables.

python with_reportlab.py PACKET OUT.pdf; PACKET is what side_by_side.py wrote."""

import marshal
import sys

from reportlab.lib.pagesizes import A4
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import LongTable, SimpleDocTemplate, TableStyle

PT = 72 / 25400  # of a micrometre


def faces(fonts):
    for face, path in fonts.items():
        pdfmetrics.registerFont(TTFont(face, path))


def mark(canvas, high, one, stamps):
    def y(um):
        return (high - um) * PT

    if "text" in one:
        words(canvas, one, y)
    elif "stamp" in one:
        canvas.saveState()
        canvas.translate(one["at"][0] * PT, y(one["at"][1]))
        canvas.doForm(stamps[one["stamp"]])
        canvas.restoreState()
    elif "line" in one:
        pen(canvas, one)
        (a, b), (c, d) = one["line"]
        canvas.line(a * PT, y(b), c * PT, y(d))
    elif "rect" in one:
        pen(canvas, one)
        a, b, w, h = one["rect"]
        stroke = one["pen"] is not None
        canvas.rect(a * PT, y(b + h), w * PT, h * PT, int(stroke), int(one["fill"]))
    elif "path" in one:
        pen(canvas, one)
        path = canvas.beginPath()
        for step in one["path"]:
            points = [v for a, b in step[1:] for v in (a * PT, y(b))]
            {"m": path.moveTo, "l": path.lineTo, "c": path.curveTo, "h": path.close}[step[0]](*points)
        canvas.drawPath(path, int(one["pen"] is not None), int(one["fill"]))


def pen(canvas, one):
    if one["pen"]:
        weight, dashed = one["pen"]
        canvas.setLineWidth(weight * PT)
        canvas.setDash([4.5, 2.8] if dashed else [])


def words(canvas, one, y):
    canvas.setFont(one["face"], one["size"] * PT)
    x = one["at"][0] * PT
    if one["white"]:
        canvas.setFillGray(1)
    draw = {"Left": canvas.drawString, "Centre": canvas.drawCentredString, "Right": canvas.drawRightString}
    draw[one["align"]](x, y(one["at"][1]), one["text"])
    if one["white"]:
        canvas.setFillGray(0)


def placed(packet, out):
    canvas = Canvas(out, pagesize=A4, pageCompression=1)
    names = {}
    for n, (name, marks) in enumerate(packet["stamps"].items()):
        names[name] = f"stamp{n}"
        canvas.beginForm(names[name], -10000, -10000, 10000, 10000)
        for one in marks:
            mark(canvas, 0, one, names)
        canvas.endForm()
    for page in packet["pages"]:
        for one in page["marks"]:
            mark(canvas, page["size"][1], one, names)
        canvas.showPage()
    canvas.save()


def tables(packet, out):
    table = LongTable(packet["rows"], colWidths=packet["widths"], rowHeights=packet["high"])
    table.setStyle(
        TableStyle(
            [
                ("FONT", (0, 0), (-1, -1), "Regular", packet["size"]),
                ("LINEBELOW", (0, 0), (-1, -1), 0.5, "black"),
                ("TOPPADDING", (0, 0), (-1, -1), 0),
                ("BOTTOMPADDING", (0, 0), (-1, -1), 1),
                ("LEFTPADDING", (0, 0), (-1, -1), 1),
                ("RIGHTPADDING", (0, 0), (-1, -1), 1),
            ]
        )
    )
    doc = SimpleDocTemplate(out, pagesize=A4, leftMargin=57, rightMargin=28, topMargin=34, bottomMargin=34)
    doc.build([table])


def draw(packet, out):
    (tables if "rows" in packet else placed)(packet, out)


if __name__ == "__main__":
    with open(sys.argv[1], "rb") as file:
        read = marshal.load(file)
    faces(read["fonts"])
    draw(read, sys.argv[2])
