#!/usr/bin/env python3
"""What outside programs say of the files that tests/archive made.

Run `cargo test` first: it leaves signed, damaged and unsigned reports in
tests/out/archive. Judges: pyHanko, poppler's pdfsig, qpdf, pikepdf's PDF/A
check and openssl. Each judge must also refuse a planted fault, or it proves
nothing.

    pip install 'pikepdf[pdfa]' pyhanko
"""

import datetime
import logging
import pathlib
import re
import subprocess
import sys
import tempfile

import pikepdf
from pikepdf import pdfa
from pyhanko.keys import load_cert_from_pemder
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko.sign.validation.status import SignatureCoverageLevel
from pyhanko_certvalidator import ValidationContext

OUT = pathlib.Path(__file__).resolve().parent.parent / "out" / "archive"
CLAIMED = datetime.datetime(2025, 3, 10, tzinfo=datetime.timezone.utc)
# Signatures in each good file, and whether they carry a time stamp.
GOOD = {
    "one-p256.pdf": (1, False),
    "one-rsa.pdf": (1, False),
    "two-p256.pdf": (2, False),
    "two-rsa.pdf": (2, False),
    "stamped.pdf": (1, True),
    "stamped-two.pdf": (2, True),
}
BAD = ["bad-digit.pdf", "bad-json.pdf", "bad-page.pdf", "bad-file.pdf", "bad-moved.pdf"]
# The demonstration's own report, altered as tests/cli/archived.rs does it.
SHOP_ALTERED = ["reading", "verdict", "page", "moved"]
SHOP_ADDED = ["appended", "replaced"]
CHECKS, PLANTED = [], []


def expect(right, what):
    """A check; what a judge has to refuse or catch is a planted fault."""
    planted = re.search("refuses|catches|caught", what)
    (PLANTED if planted else CHECKS).append(bool(right))
    print("ok  " if right else "BAD ", what)


def hanko(path, stamped=False):
    """One line a signature: whether pyHanko calls it good."""
    root = load_cert_from_pemder(OUT / "ca.pem")
    found = []
    with open(path, "rb") as file:
        for one in PdfFileReader(file).embedded_signatures:
            moment = None if stamped else CLAIMED
            context = ValidationContext([root], allow_fetching=False, moment=moment)
            status = validate_pdf_signature(one, context, context)
            whole = status.coverage in (
                SignatureCoverageLevel.ENTIRE_FILE,
                SignatureCoverageLevel.ENTIRE_REVISION,
            )
            stamp = status.timestamp_validity
            good = status.bottom_line and whole and status.docmdp_ok
            if stamped:
                good = good and stamp is not None and stamp.valid and stamp.trusted
            found.append(bool(good))
    return found


def refused_by_hanko(path):
    try:
        return not all(hanko(path))
    except Exception:
        return True


def pdfsig(path):
    run = subprocess.run(["pdfsig", path], capture_output=True, text=True)
    return re.findall(r"Signature Validation: (.*)", run.stdout)


def qpdf(path):
    return subprocess.run(["qpdf", "--check", path], capture_output=True).returncode


def archival(path):
    """What pikepdf's check says against a file as PDF/A-3b, as words."""
    report = pdfa.validate_written(path, "3b")
    found = [f"{f.rule} {f.where} {f.message}" for f in report.findings]
    return found if report.passed or found else ["not passed"]


def archival_when_signed(path, folder):
    """The same for a signed file. The check knows no forms, so the form is
    taken off first and its widgets made stamps: what they show is judged."""
    bare = folder / "bare.pdf"
    with pikepdf.open(path) as pdf:
        for key in ("/AcroForm", "/Perms"):
            del pdf.Root[key]
        for page in pdf.pages:
            for widget in page.obj.get("/Annots", []):
                widget["/Subtype"] = pikepdf.Name.Stamp
                for key in ("/FT", "/T", "/V"):
                    if key in widget:
                        del widget[key]
        pdf.save(bare, fix_metadata_version=False)
    return archival(bare)


def titles_agree(path):
    """Whether the metadata packet says what the information dictionary does."""
    with pikepdf.open(path) as pdf:
        packet = pdf.open_metadata()
        pairs = [("dc:title", "/Title"), ("pdf:Producer", "/Producer")]
        pairs += [("xmp:CreatorTool", "/Creator"), ("dc:description", "/Subject")]
        return all(str(packet.get(a)) == str(pdf.docinfo.get(b)) for a, b in pairs)


def good_files(folder):
    for name, (count, stamped) in GOOD.items():
        path = OUT / name
        expect(hanko(path, stamped) == [True] * count, f"pyHanko calls {name} good")
        said = pdfsig(path)
        expect(said == ["Signature is Valid."] * count, f"pdfsig calls {name} valid")
        expect(qpdf(path) == 0, f"qpdf finds {name} in order")
        wrong = archival_when_signed(path, folder)
        expect(not wrong, f"{name} is PDF/A-3b by pikepdf, its form aside: {wrong}")
        expect(titles_agree(path), f"{name} says the same in XMP and Info")


def bad_files():
    for name in BAD:
        path = OUT / name
        expect(refused_by_hanko(path), f"pyHanko refuses {name}")
    for name in ["bad-digit.pdf", "bad-json.pdf", "bad-moved.pdf"]:
        said = pdfsig(OUT / name)
        expect("Signature is Valid." not in said, f"pdfsig refuses {name}")


def shop():
    """The demonstration's report: its throw-away certificates vouch for
    themselves, so pyHanko is asked whether it is intact and whole."""
    good = OUT / "shop-good.pdf"
    said = pdfsig(good)
    expect(said == ["Signature is Valid."] * 2, "pdfsig calls the demonstration valid")
    expect(intact(good) == [True, True], "pyHanko calls the demonstration intact")
    expect(qpdf(good) == 0, "qpdf finds the demonstration in order")
    for name in SHOP_ALTERED:
        path = OUT / f"shop-{name}.pdf"
        expect("Signature is Valid." not in pdfsig(path), f"pdfsig refuses shop-{name}.pdf")
    for name in SHOP_ALTERED + SHOP_ADDED:
        path = OUT / f"shop-{name}.pdf"
        expect(not all(intact(path)), f"pyHanko refuses shop-{name}.pdf")
    wrong = archival(OUT / "shop-originals.pdf")
    expect(not wrong, f"a report with scans is PDF/A-3b by pikepdf: {wrong}")


def intact(path):
    """One line a signature: whether it stands over an unchanged document."""
    found = []
    try:
        with open(path, "rb") as file:
            for one in PdfFileReader(file).embedded_signatures:
                context = ValidationContext(
                    [one.signer_cert], allow_fetching=False, moment=CLAIMED
                )
                status = validate_pdf_signature(one, context, context)
                found.append(bool(status.intact and status.valid and status.docmdp_ok))
    except Exception:
        return [False]
    return found or [False]


def one_byte(folder):
    """A turned byte anywhere under a signature is refused by both."""
    whole = (OUT / "one-p256.pdf").read_bytes()
    start = whole.index(b"/Contents <")
    for at in (100, start - 500, len(whole) - 200):
        path = folder / "turned.pdf"
        path.write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])
        expect(refused_by_hanko(path), f"pyHanko refuses byte {at} turned")
        said = pdfsig(path)
        expect("Signature is Valid." not in said, f"pdfsig refuses byte {at} turned")


def increments():
    """The report stays in the signed file, which has one header."""
    report = (OUT / "unsigned.pdf").read_bytes()
    for name in ["two-p256.pdf", "two-rsa.pdf"]:
        whole = (OUT / name).read_bytes()
        expect(whole.startswith(report), f"the report is a prefix of {name}")
        expect(whole.count(b"%PDF-") == 1, f"{name} has one header")


def cms(folder):
    """The signature is plain CMS that openssl checks by itself."""
    for name in ["one-p256.pdf", "one-rsa.pdf"]:
        whole = (OUT / name).read_bytes()
        numbers = re.search(rb"/ByteRange \[(\d+) (\d+) (\d+) (\d+)\]", whole)
        _, first, second, length = map(int, numbers.groups())
        sealed = bytes.fromhex(whole[first + 1 : second - 1].decode())
        size = 4 + int.from_bytes(sealed[2:4], "big")
        (folder / "content").write_bytes(whole[:first] + whole[second : second + length])
        (folder / "sealed.der").write_bytes(sealed[:size])
        check = ["openssl", "cms", "-verify", "-inform", "DER", "-binary"]
        check += ["-in", folder / "sealed.der", "-content", folder / "content"]
        check += ["-CAfile", OUT / "ca.pem", "-attime", "1741530600", "-purpose", "any"]
        run = subprocess.run(check + ["-out", "/dev/null"], capture_output=True)
        expect(run.returncode == 0, f"openssl cms verifies {name}: {run.stderr[:200]}")
        (folder / "content").write_bytes(b"x" + whole[1:first] + whole[second:])
        run = subprocess.run(check + ["-out", "/dev/null"], capture_output=True)
        expect(run.returncode != 0, f"openssl cms refuses other content of {name}")


def no_signing_time():
    """PAdES forbids the attribute: the time stands in /M."""
    signing_time = bytes.fromhex("06092a864886f70d010905")
    for name in ["one-p256.pdf", "one-rsa.pdf"]:
        with open(OUT / name, "rb") as file:
            signature = PdfFileReader(file).embedded_signatures[0]
            contents = bytes(signature.pkcs7_content)
            expect(signing_time not in contents, f"{name} has no signing-time attribute")
            expect("/M" in signature.sig_object, f"{name} has its time in /M")


def planted(folder):
    """The PDF/A check and qpdf catch what is planted in the unsigned report."""
    report = OUT / "unsigned.pdf"
    wrong = archival(report)
    expect(not wrong, f"the unsigned report is PDF/A-3b by pikepdf: {wrong}")

    def plant(what, change):
        path = folder / "planted.pdf"
        with pikepdf.open(report) as pdf:
            change(pdf)
            pdf.save(path, fix_metadata_version=False)
        expect(bool(archival(path)), f"pikepdf catches {what}")
        return path

    def drop_font(pdf):
        for one in pdf.objects:
            if isinstance(one, pikepdf.Dictionary) and "/FontFile2" in one:
                del one["/FontFile2"]

    def drop_relationship(pdf):
        for one in pdf.objects:
            if isinstance(one, pikepdf.Dictionary) and "/AFRelationship" in one:
                del one["/AFRelationship"]

    def show(pdf, flags):
        name = pikepdf.Name
        look = pdf.make_stream(b"", Type=name.XObject, Subtype=name.Form, BBox=[0, 0, 9, 9])
        look = pikepdf.Dictionary(N=look)
        kind = {"Type": name.Annot, "Subtype": name.Stamp}
        stamp = pikepdf.Dictionary(**kind, Rect=[0, 0, 9, 9], F=flags, AP=look)
        pdf.pages[0].obj["/Annots"] = pikepdf.Array([pdf.make_indirect(stamp)])

    def drop_intent(pdf):
        del pdf.Root["/OutputIntents"]

    plant("no output intent", drop_intent)
    plant("a font that is not embedded", drop_font)
    plant("an attachment without relationship", drop_relationship)
    plant("a mark on the page that does not print", lambda pdf: show(pdf, 2))

    other = folder / "other.pdf"
    with pikepdf.open(report) as pdf:
        pdf.docinfo["/Title"] = "Something else"
        pdf.save(other, fix_metadata_version=False)
    expect(not titles_agree(other), "a title that differs from XMP is caught")

    broken = folder / "broken.pdf"
    whole = report.read_bytes()
    at = whole.rindex(b"startxref")
    broken.write_bytes(whole[:at] + b"startxref\n17\n%%EOF")
    expect(qpdf(broken) != 0, "qpdf catches a broken cross-reference")


def text():
    """The block can be searched, in both alphabets."""
    run = subprocess.run(["pdftotext", OUT / "two-p256.pdf", "-"], capture_output=True)
    shown = run.stdout.decode()
    for name in ["Ada Miller", "Иван Жуков", "certificate number 4471"]:
        expect(name in shown, f"pdftotext finds {name}")
    fonts = subprocess.run(["pdffonts", OUT / "two-p256.pdf"], capture_output=True, text=True)
    rows = fonts.stdout.splitlines()[2:]
    expect(rows and all(" yes yes yes " in row for row in rows), "every font is embedded")


def main():
    logging.disable(logging.CRITICAL)
    if not (OUT / "two-p256.pdf").exists():
        sys.exit("run the archive tests first: they leave the files in tests/out/archive")
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        good_files(folder)
        bad_files()
        shop()
        one_byte(folder)
        increments()
        cms(folder)
        no_signing_time()
        planted(folder)
        text()
    print(
        f"archive: {len(CHECKS)} checks, {CHECKS.count(False)} wrong; "
        f"{PLANTED.count(True)} of {len(PLANTED)} planted faults caught"
    )
    sys.exit(0 if all(CHECKS + PLANTED) else 1)


if __name__ == "__main__":
    main()
