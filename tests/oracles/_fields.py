"""What a transcription says, field by field, and forms that nobody should take."""

import re

import pikepdf
from pikepdf import Array, Dictionary, Name, String


def wanted(data, names):
    """Values by the names of fields, from a transcription in its long form."""
    values = {}

    def put(name, value):
        if value not in ("", "-", None):
            assert name in names, name
            values[name] = value

    for letter, sheet in data.items():
        if not isinstance(sheet, dict) or not letter[0].isupper():
            continue
        for key, value in sheet.items():
            if key in ("number", "printed", "pages", "second"):
                continue
            if key == "remarks":
                put(f"sheet {letter}.remarks.{last_page(names, letter)}.1", value)
            elif key == "initials":
                for span, by in value.items():
                    put(f"{letter} {span}.initials", by)
            elif key.isdigit():
                item(put, names, f"{letter} {key}", value)
            elif key[0].isupper():
                row(put, names, key, value)
            else:
                signed(put, names, f"sheet {letter}.{key}", value)
    return values


def last_page(names, letter):
    pages = [int(name.split(".")[2]) for name in names if name.startswith(f"sheet {letter}.remarks.")]
    return max(pages)


def signed(put, names, own, sign):
    # Whoever signed for some rows alone has a line of his own.
    sign = next(one for one in sign if "rows" not in one) if isinstance(sign, list) else sign
    put(f"{own}.by", sign.get("by", ""))
    if sign.get("on"):
        year, month, day = str(sign["on"]).split("-")
        for part, digits in (("year", year[2:]), ("month", month), ("day", day)):
            put(f"{own}.{part}", digits)
    gauges = sign.get("gauge", "")
    listed = lambda gauges: gauges if isinstance(gauges, str) else ", ".join(gauges)
    lines = [name for name in names if name.startswith(f"{own}.gauge.")]
    if isinstance(gauges, dict):
        for line, gauge in gauges.items():
            put(f"{own}.gauge.{line}", listed(gauge))
    elif lines:
        # One for all is the same for each line that asks for its own.
        for line in lines:
            put(line, listed(gauges))
    else:
        put(f"{own}.gauge", listed(gauges))
    for part, mark in zip(("before", "after"), sign.get("zero", "")):
        put(f"{own}.{part}", mark)
    put(f"{own}.temp", str(sign.get("part-temp", "")))


def item(put, names, own, value):
    if isinstance(value, dict):
        for part, words in value.items():
            put(f"{own}.{part}", str(words))
    elif f"{own}.words" in names:
        put(f"{own}.words", str(value))
    elif isinstance(value, list):
        for n, cell in enumerate(value, 1):
            put(f"{own}.{n}", str(cell))
    elif value == "none":
        put(f"{own}.1", value)
    else:
        for n, mark in enumerate(value.replace(" ", ""), 1):
            put(f"{own}.{n}", mark)


def row(put, names, code, value):
    for group, boxes in value.items():
        if group in ("go", "nogo"):
            for n, mark in enumerate(boxes.replace(" ", ""), 1):
                put(f"{code}.{group}.{n}", mark)
        elif group == "leaves":
            lines = sorted({name.rsplit(".", 1)[0] for name in names if re.match(r"\w+ leaves\.", name)})
            for line, (tooth, leaf, told) in zip(free(lines), boxes):
                for part, said in (("row", code), ("tooth", str(tooth)), ("leaf", leaf)):
                    put(f"{line}.{part}", said)
                put(f"{line}.{told}", True)
        elif group != "na":
            for n, figure in enumerate(boxes if isinstance(boxes, list) else [boxes], 1):
                reading(put, names, f"{code}.{group}.{n}", str(figure))


def free(lines):
    return [line for line in lines if line.startswith("G leaves")] or lines


def reading(put, names, own, figure):
    if figure in ("-", ""):
        return
    if own in names:
        put(own, figure)
        return
    whole, _, behind = figure.partition(".")
    # Where a comb has no cell before its point nothing is written there.
    if f"{own}.whole" in names:
        put(f"{own}.whole", whole)
    put(f"{own}.decimals", behind)


def hostile(blank, other):
    """Name, what must be said of it, and what makes the file."""
    def change(work, **how):
        def make(path):
            with pikepdf.open(blank) as pdf:
                work(pdf)
                pdf.save(path, **how)
        return make

    def field(pdf, name):
        kids = pdf.Root.AcroForm.Fields
        for part in name.split("."):
            found = next(kid for kid in kids if str(kid.T) == part)
            kids = found.get("/Kids", [])
        return found

    def value(name, text):
        return change(lambda pdf: field(pdf, name).__setattr__("V", text))

    def key(name, slot, what):
        return change(lambda pdf: field(pdf, name).__setitem__(slot, what(pdf)))

    def script(pdf):
        return Dictionary(S=Name.JavaScript, JS=String("app.alert(1)"))

    def gone(pdf):
        one = field(pdf, "C2.bore.1.decimals")
        kids = one.Parent.Kids
        one.Parent.Kids = Array([kid for kid in kids if kid.objgen != one.objgen])
        for page in pdf.pages:
            if "/Annots" in page.obj:
                page.obj.Annots = Array([a for a in page.obj.Annots if a.objgen != one.objgen])

    def renamed(pdf):
        field(pdf, "C2.bore.1.decimals").T = String("decimal")

    def doubled(pdf):
        one = field(pdf, "C2.bore.2.decimals")
        one.T = String("whole")

    def added(pdf):
        one = Dictionary(FT=Name.Tx, T=String("Z9"), V=String("1"), Type=Name.Annot, Subtype=Name.Widget, Rect=Array([0, 0, 9, 9]))
        pdf.Root.AcroForm.Fields.append(pdf.make_indirect(one))

    def further(pdf):
        field(pdf, "sheet L.found.1").T = String("R999")

    def unlisted(pdf):
        one = Dictionary(FT=Name.Tx, T=String("C2"), V=String("1"), Type=Name.Annot, Subtype=Name.Widget, Rect=Array([0, 0, 9, 9]))
        pdf.pages[3].obj.Annots.append(pdf.make_indirect(one))

    def comment(kind):
        def work(pdf):
            one = Dictionary(Type=Name.Annot, Subtype=Name(kind), Rect=Array([0, 0, 9, 9]), Contents=String("1.3757"))
            pdf.pages[3].obj.Annots.append(pdf.make_indirect(one))
        return change(work)

    def signature(pdf):
        one = Dictionary(FT=Name.Sig, T=String("signed"), Type=Name.Annot, Subtype=Name.Widget, Rect=Array([0, 0, 0, 0]))
        pdf.Root.AcroForm.Fields.append(pdf.make_indirect(one))

    def cycle(pdf):
        pdf.Root.AcroForm.Fields.append(field(pdf, "C2"))

    def deep(pdf):
        node = pdf.make_indirect(Dictionary(FT=Name.Tx, T=String("end")))
        for n in range(80):
            node = pdf.make_indirect(Dictionary(T=String(f"d{n}"), Kids=Array([node])))
        pdf.Root.AcroForm.Fields.append(node)

    def direct(pdf):
        pdf.Root.AcroForm.Fields.append(Dictionary(FT=Name.Tx, T=String("bare")))

    def root(slot, what):
        return change(lambda pdf: pdf.Root.__setitem__(slot, what(pdf)))

    def no_form(pdf):
        del pdf.Root.AcroForm

    def js_names(pdf):
        return Dictionary(JavaScript=Dictionary(Names=Array([String("a"), script(pdf)])))

    def bytes_of(work):
        def make(path):
            path.write_bytes(work(blank.read_bytes()))
        return make

    bore = "C2.bore.1.decimals"
    yield "a field that is missing", r"C2\.bore\.1\.decimals is missing", change(gone)
    yield "a field of another name", r"no sheet has a field C2\.bore\.1\.decimal\b", change(renamed)
    yield "two fields of one name", r"C2\.bore\.2\.whole: two fields", change(doubled)
    yield "a field too many", r"no sheet has a field Z9", change(added)
    yield "a field that is not listed", r"page 4: a field on the page", change(unlisted)
    yield "another job's set", r"filled on set", lambda path: path.write_bytes(other.read_bytes())
    yield "another set's number", r"filled on set 7F3K-92QD", value("set.number", String("7F3K-92QD"))
    yield "an older sheet", r"sheet C is K4TX there", value("sheet C.number", String("K4TX"))
    yield "no number of the set", r"no field set\.number", key("set.number", "/T", lambda pdf: String("sets"))
    yield "a script that runs on opening", r"the document: a script", root("/OpenAction", script)
    yield "a script of the document", r"the document: a script", root("/AA", lambda pdf: Dictionary(WC=script(pdf)))
    yield "a script by name", r"the document: a script", root("/Names", js_names)
    yield "a script of a field", r"C2\.bore\.1\.decimals: a script", key(bore, "/AA", lambda pdf: Dictionary(K=script(pdf)))
    yield "an action of a field", r"C2\.bore\.1\.decimals: a script", key(bore, "/A", script)
    yield "an action of a group", r"C2\.bore: a script", key("C2.bore", "/AA", lambda pdf: Dictionary(C=script(pdf)))
    yield "a script of a page", r"page 4: a script", change(lambda pdf: pdf.pages[3].obj.__setitem__("/AA", Dictionary(O=script(pdf))))
    yield "an XFA form", r"XFA", change(lambda pdf: pdf.Root.AcroForm.__setitem__("/XFA", pdf.make_stream(b"<xdp/>")))
    yield "a signature", r"signed: a signature", change(signature)
    for kind in ("/FreeText", "/Ink", "/Stamp", "/Link", "/Square"):
        yield f"a comment, {kind}", r"page 4: a comment", comment(kind)
    yield "no form", r"it has no fields", change(no_form)
    yield "a field twice in the tree", r"leads back to itself", change(cycle)
    yield "a tree too deep", r"damaged PDF|leads back", change(deep)
    yield "a field that is no object", r"no object by itself", change(direct)
    yield "rich text", r"decimals: rich text", key(bore, "/RV", lambda pdf: String("<b>3757</b>"))
    yield "a value that is a name", r"decimals: a value that is no plain text", value(bore, Name("/1.3757"))
    yield "a value that is a number", r"decimals: a value that is no plain text", value(bore, 3757)
    yield "a value that is a stream", r"decimals: a value that is no plain text", key(bore, "/V", lambda pdf: pdf.make_stream(b"3757"))
    yield "a kind of field that no sheet has", r"decimals: a kind of field", key(bore, "/FT", lambda pdf: Name.Ch)
    yield "a text of two lines", r"words: a text of several lines", value("A 1.words", String("one\ntwo"))
    yield "a text that does not print", r"words: a text of several lines", value("A 1.words", String("one\u202etwo"))
    yield "a text without end", r"bytes in a field", value("A 1.words", String("a" * 5000))
    yield "digits beyond the cells", r"C2\.bore\.1\.decimals holds `37571`", value(bore, String("37571"))
    yield "letters for digits", r"C2\.bore\.1\.decimals holds `37S7`: digits only", value(bore, String("37S7"))
    yield "a point within a cell", r"digits only", value(bore, String("3.75"))
    yield "digits of another script", r"digits only", value(bore, String("٣٧٥٧"))
    yield "nothing before the point", r"C2\.bore\.1: nothing stands before the point", value(bore, String("3757"))
    yield "nothing behind the point", r"C2\.bore\.1: nothing stands behind the point", value("C2.bore.1.whole", String("1"))
    yield "a mark that is none", r"C 1\.1: \"w\" is no mark", value("C 1.1", String("w"))
    yield "half a day", r"sheet C\.bore: .* is no day", value("sheet C.bore.month", String("03"))
    yield "a line that is of nothing", r"page 7, sheet L\.found\.1\.1\.of: nothing says", value("sheet L.found.1.1.what", String("a crack"))
    yield "a part that the engine lacks", r"page 7, sheet L\.changed\.1\.1\.part: no part \"wings\"", value("sheet L.changed.1.1.part", String("wings"))
    yield "a side that the sheet lacks", r"page 13, sheet T\.also\.2\.1\.side: \"work\" is no side", value("sheet T.also.2.1.side", String("work"))
    yield "two letters for one", r"page 7, sheet L\.found\.1\.1\.kind holds `XX`: 1 at most", value("sheet L.found.1.1.kind", String("XX"))
    yield "a further page that nobody printed", r"the field sheet L\.again\.R1\.\S+ is missing", change(further)
    yield "a password", r"encrypted", change(lambda pdf: None, encryption=pikepdf.Encryption(owner="a", user=""))
    yield "a file cut short", r"PDF", bytes_of(lambda data: data[: len(data) // 2])
    yield "no PDF", r"not a PDF", bytes_of(lambda data: b"sheet-set = \"7F3K-92QD\"\n")
    yield "an empty file", r"not a PDF|empty", bytes_of(lambda data: b"")
