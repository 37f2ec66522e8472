"""Every number that the record holds is printed at its row: each reading, each
figure worked out of them, each margin, amount, chance and uncertainty, in the
column where it belongs, on the reports of three engines and on one with rows
out and in query, A4 and Letter. Words by pdftotext (poppler), the record by
`check --json`; the tables' heads are all that is known of the layout.
"""

import copy
import re
import tomllib
from decimal import ROUND_HALF_UP, Decimal

from _jobs import ENGINES, demonstration, opened, verdicts
from _judging import Tally, benchleaf, done
from _paper import pages
from _report import OF_ITEMS, codes_of_runs, figures, fit, rows, signed

NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def main():
    tally = Tally("figures")
    jobs = [demonstration(tally.folder / "demo")]
    jobs += [opened(engine, tally.folder / engine) for engine in ENGINES]
    first = tally.folder / "demo-first"
    done(benchleaf("unpack", jobs[0] / "report-first.pdf", first))
    counted = 0
    for job in [*jobs, first]:
        record = verdicts(job)
        for paper in ("A4", "Letter"):
            report = job / f"printed-{paper}.pdf"
            done(benchleaf("report", job, "--arithmetic", "--paper", paper, "--out", report), 0, 1)
            printed = tables(record, pages(report))
            numbers, wrong = held(record, printed)
            counted += numbers
            tally.checks += numbers - len(wrong)
            for what in wrong:
                tally.check(False, f"{job.name} {paper}: {what}")
            print(f"  {job.name} {paper}: {numbers} numbers of the record, {len(wrong)} not at their row")
        carried(tally, job)
    record = verdicts(jobs[0])
    planted(tally, record, tables(record, pages(jobs[0] / "printed-A4.pdf")))
    read = pages(jobs[0] / "printed-A4.pdf")
    for page in read:
        page.words = [word for word in page.words if word.text != "DEMO-I-012"]
    tally.plant(lacking(jobs[0], read), "the inspector's certificate number lost")
    planted_out(tally, verdicts(first), pages(first / "printed-A4.pdf"))
    print(f"  {counted} numbers in all")
    tally.finish()


def lacking(job, read):
    """What a record of maintenance has to say and this report does not: the
    work and its data, dates, who did it with role and number, signatures'
    room, and that it is no release (14 CFR 43.9(a) and 43.13(a), 145.A.50 and
    145.A.55; from memory. Local law decides.)"""
    told = tomllib.loads((job / "job.toml").read_text())
    document = tomllib.loads((job / "limits.toml").read_text())["document"]
    filled = tomllib.loads((job / "readings.toml").read_text())
    wanted = [told["job"]["work-order"], told["job"]["engine-serial"], told["shop"]["name"]]
    wanted += [document["number"], document["title"], f"rev {document['revision']}"]
    sheets = [sheet for sheet in filled.values() if isinstance(sheet, dict)]
    signs = [sign for sheet in sheets for sign in sheet.values() if isinstance(sign, dict) and "on" in sign]
    for initials in {sign["by"] for sign in signs} & told["people"].keys():
        person = told["people"][initials]
        wanted += [person["name"], person["role"], initials, str(person.get("certificate", ""))]
    changes = filled.get("change", [])
    wanted += [str(entry[key]) for entry in changes for key in ("number", "document", "on") if key in entry]
    wanted += ["signature", "date, year month day", "It is not a release"]
    flat = re.sub(r"\s+", " ", " ".join(word.text for page in read for word in page.words))
    return [text for text in map(str, wanted) if text not in flat]


def carried(tally, job):
    for paper in ("A4", "Letter"):
        lost = lacking(job, pages(job / f"printed-{paper}.pdf"))
        tally.check(not lost, f"{job.name} {paper}: the report does not say {lost}")


def tables(record, read):
    """Rows as printed, by table and code."""
    codes = {row["row"] for row in record["rows"]}
    items = {item["item"].replace(" ", "") for item in record["items"]}
    # Items in order stand in the line of their sheet.
    items |= {item["item"].split(" ")[0] for item in record["items"]}
    found = {}
    # A line of several places has its name and its limits over them.
    lines = {row["line"] for row in record["rows"]}
    # Rows of a table that say the same are told together: `CL 7-9`.
    together = spans(record)
    # Rows of a line that have nothing to say of their own, too: `RT1-4`.
    runs = codes_of_runs(record)
    for row in rows(read, codes | items | lines | set(together) | set(runs)):
        row.names = runs.get(row.name, [])
        own = items if row.table in OF_ITEMS else codes
        names = together.get(row.name, []) if row.table in OF_ITEMS else runs.get(row.name, [])
        for name in names or [row.name] if names or row.name in own else []:
            found.setdefault((row.table, name), []).append(row)
    return found


def spans(record):
    """The items from one to another of a sheet, by how the two are named."""
    letters = {}
    for item in record["items"]:
        letter, number = item["item"].split(" ")
        letters.setdefault(letter, []).append(int(number))
    return {
        f"{letter}{first}-{last}": [f"{letter}{n}" for n in range(first, last + 1)]
        for letter, numbers in letters.items()
        for first in numbers
        for last in numbers
        if first < last
    }


class Held:
    """Numbers asked for, and those that are not where they belong."""

    def __init__(self, printed, record):
        self.printed = printed
        self.rows = {row["row"]: row for row in record["rows"]}
        self.numbers = 0
        self.wrong = []

    def column(self, table, name, column, how=None):
        """Figures of a column of a row; a row that breaks over pages is one."""
        parts = self.printed.get((table, name), [])
        return [text for part in parts for text in (how or figures)(part.columns[column])]

    def same(self, seen, wanted, what):
        self.numbers += len(wanted)
        if seen != wanted:
            self.wrong.append(f"{what}: {seen}, should be {wanted}")

    def among(self, seen, wanted, what):
        """Each at least as often as it is wanted."""
        self.numbers += len(wanted)
        rest = list(seen)
        for text in wanted:
            if text in rest:
                rest.remove(text)
            else:
                self.wrong.append(f"{what}: no {text} in {seen}")


def held(record, printed):
    judge = Held(printed, record)
    for row in record["rows"]:
        if ("fits", row["row"]) in printed:
            of_fit(judge, row, record["scope"])
        elif ("others", row["row"]) in printed:
            of_other(judge, row)
        else:
            judge.wrong.append(f"row {row['row']} is in no table")
            continue
        state(judge, row)
        worked(judge, row)
        superseded(judge, row)
    for item in record["items"]:
        of_item(judge, item)
    return judge.numbers, judge.wrong


def of_fit(judge, row, scope):
    """Both extremes of each part and both ends of the fit, a line each, as
    often as there are steps. Where averages are judged, the columns have the
    extremes of what was typed, and the averages stand under the bar."""
    name = row["row"]
    wanted = {"shaft": [], "bore": [], "tightest": []}
    for step in row["steps"]:
        values = dict(step["figures"])
        for column, keys in {
            "shaft": ("largest shaft", "smallest shaft"),
            "bore": ("smallest bore", "largest bore"),
        }.items():
            if f"average {column}" in values:
                typed = next(side["typed"] for side in step["readings"] if side["boxes"] == column)
                ends = sorted(filter(None, typed), key=Decimal, reverse=column == "shaft")
                wanted[column] += [ends[0], ends[-1]]
                average = values[f"average {column}"]
                judge.among(judge.column("fits", name, "where"), [average], f"{name} {column}")
            else:
                wanted[column] += [values[key] for key in keys if key in values]
        wanted["tightest"] += [fit(values[key]) for key in ("tightest", "loosest") if key in values]
    for column, texts in wanted.items():
        how = signed if column == "tightest" else figures
        judge.same(judge.column("fits", name, column, how), texts, f"{name} {column}")
    limit = ceiling(row["limits"], scope)
    last = dict(row["steps"][-1]["figures"])
    if limit and "loosest" in last and row["state"].startswith("within"):
        margin = str(limit - Decimal(last["loosest"]))
        judge.same(judge.column("fits", name, "margin")[-1:], [margin], f"{name} margin")


def ceiling(words, scope):
    """The greatest clearance of a fit, from its limits in words: `new 0.0010 L to
    0.0035 L, service to 0.0050 L`, or where nothing is held on the other side
    `new 0.0035 L max`."""
    ends = dict(re.findall(r"(new|service)\b(?:[^,]*? to)? (\d\S*(?: [LT])?)", words))
    text = ends.get("new") if "new" in scope else ends.get("service", ends.get("new"))
    digits, _, side = (text or "").partition(" ")
    return (Decimal(digits) * (-1 if side == "T" else 1)) if digits else None


def of_run(judge, part, names):
    """Rows told together: their readings in order, what they are judged on and
    the least of their margins."""
    told = [judge.rows[name] for name in names]
    what = f"{names[0]} to {names[-1]}"
    steps = [step for row in told for step in row["steps"]]
    judge.same([len(steps)], [len(names)], f"{what} are read once")
    wanted = [text for step in steps for side in step["readings"] for text in side["typed"] if text]
    values = [value for step in steps for key, value in step["figures"] if key not in ("reading", "number")]
    if all(word.text != "same" for word in part.columns["readings"]):
        judge.same(part.figures("readings"), [t for t in wanted if NUMBER.fullmatch(t)], f"{what} readings")
    judge.among([*part.figures("judged"), *part.figures("readings")], values, f"{what} judged on")
    margins = [row["margin"] for row in told if row["margin"]]
    judge.same(part.figures("margin"), [min(margins, key=Decimal)] if margins else [], f"{what} margin")
    states = {row["state"] for row in told}
    words = " ".join(word.text for word in part.columns["state"])
    judge.same([words], sorted(states), f"{what} state")


def of_other(judge, row):
    """Readings as typed, then what they are judged on."""
    name = row["row"]
    first = judge.printed[("others", name)][0]
    if first.names:
        if name == first.names[0]:
            of_run(judge, first, first.names)
        return
    seen = judge.column("others", name, "readings")
    on = judge.column("others", name, "judged")
    wanted, values = [], []
    for step in row["steps"]:
        wanted += [text for side in step["readings"] for text in side["typed"] if text]
        values += [value for key, value in step["figures"] if key not in ("reading", "number")]
    # A negative taper is told as the choke beside it.
    reversed_ = [w.text for part in judge.printed[("others", name)] for w in part.columns["judged"]]
    if reversed_[-1:] == ["reversed"]:
        other = reversed_[1].strip(",")
        figures_of = [str(-Decimal(value)) for value in values]
        judge.among(judge.column("others", other, "judged"), figures_of, f"{name} as {other}")
        return
    parts = judge.printed[("others", name)]
    borrowed = any(w.text == "same" for part in parts for w in part.columns["readings"])
    # Leaves leave marks, not figures.
    if wanted and not borrowed:
        judge.same(seen, [text for text in wanted if NUMBER.fullmatch(text)], f"{name} readings")
    # What the leaves prove is told among the readings, the rest beside them.
    judge.among([*on, *seen], values, f"{name} judged on")
    if row["margin"] and row["state"].startswith("within"):
        judge.same(judge.column("others", name, "margin")[-1:], [row["margin"]], f"{name} margin")


def state(judge, row):
    """By how much it is out, and the chance where it is close."""
    table = "fits" if ("fits", row["row"]) in judge.printed else "others"
    # What a hold stands in the place of is not printed as an amount.
    wanted = [by for _, by in row["out"] if by and row["state"] == "out"]
    # On paper a chance is a whole per cent.
    percent = lambda chance: str((Decimal(chance) * 100).quantize(Decimal(1), ROUND_HALF_UP))
    wanted += [percent(row["chance"])] if row["chance"] else []
    judge.among(judge.column(table, row["row"], "state"), wanted, f"{row['row']} state")


def worked(judge, row):
    """The arithmetic: every number of its lines, in their order."""
    lines = [line for step in row["steps"] for line in step["worked"]]
    texts = judge.printed.get(("worked", row["row"]), [])
    numbers = lambda words: NUMBER.findall(" ".join(words))
    seen = numbers(w.text for part in texts for w in part.columns["worked"])
    judge.among(seen, numbers(row["steps"][-1]["worked"]), f"{row['row']} worked")
    if any("uncertainty" in line for line in lines):
        # Of one gauge alone the expanded uncertainty is its own.
        budget = [part["expanded"] for part in row["steps"][-1]["budget"]]
        total = [row["steps"][-1]["uncertainty"]] if len(budget) > 1 else []
        judge.among(seen, budget + total, f"{row['row']} uncertainty")


def superseded(judge, row):
    """What a later reading replaced stands beside it."""
    steps = row["steps"]
    lent = ("fits", row["row"]) not in judge.printed and ("superseded", row["row"]) not in judge.printed
    if len(steps) < 2 or lent:
        return
    was, now = [], []
    for before, after in zip(steps, steps[1:]):
        for old, new in zip(before["readings"], after["readings"]):
            if old["typed"] != new["typed"]:
                was += [text for text in old["typed"] if text]
                now += [text for text in new["typed"] if text]
    judge.among(judge.column("superseded", row["row"], "was"), was, f"{row['row']} was")
    judge.among(judge.column("superseded", row["row"], "replaced"), now, f"{row['row']} replaced by")


def of_item(judge, item):
    """Numbers in what was written beside an item."""
    name = item["item"].replace(" ", "")
    wanted = NUMBER.findall(item["says"])
    if not wanted:
        return
    parts = [judge.printed.get((table, name), []) for table in OF_ITEMS]
    if not any(parts):
        parts = [judge.printed.get(("items", item["item"].split(" ")[0]), [])]
    words = [w.text for some in parts for part in some for column in list(part.columns)[1:] for w in part.columns[column]]
    judge.among(NUMBER.findall(" ".join(words)), wanted, f"item {item['item']}")


def planted(tally, record, printed):
    """Each kind of number, taken from its place or put into another."""

    def seen(what, change):
        other = {key: [copy.copy(part) for part in parts] for key, parts in printed.items()}
        for parts in other.values():
            for part in parts:
                part.columns = {name: list(words) for name, words in part.columns.items()}
        change(other)
        tally.plant(held(record, other)[1], what)

    def without(table, name, column, text):
        def change(other):
            for part in other[table, name]:
                part.columns[column] = [w for w in part.columns[column] if w.text.strip(",;:") != text]

        return change

    def exchanged(other):
        other["fits", "C1"], other["fits", "T1IN"] = other["fits", "T1IN"], other["fits", "C1"]

    def across(other):
        columns = other["fits", "M1"][0].columns
        columns["shaft"], columns["bore"] = columns["bore"], columns["shaft"]

    seen("a reading not printed, though the arithmetic has it", without("fits", "C1", "bore", "1.3753"))
    seen("the letter of a fit lost", without("fits", "C1", "tightest", "L"))
    seen("two rows' figures exchanged", exchanged)
    seen("shaft and bore exchanged", across)
    seen("a reading of another line lost", without("others", "EK", "readings", "0.0095"))
    seen("what is judged lost", without("others", "WP", "judged", "4"))
    seen("a choke's figure lost, told nowhere else", without("others", "BC2", "judged", "0.0011"))
    seen("a margin lost", without("others", "EK", "margin", "0.0045"))
    seen("a chance lost", without("fits", "C2", "state", "90"))
    seen("an uncertainty lost", without("worked", "C2", "worked", "0.00034"))
    seen("a superseded reading lost", without("superseded", "TL2EX", "was", "9.8"))
    seen("a figure written beside an item lost", without("items", "TR8", "record", "2730"))
    seen("a whole row lost", lambda other: other.pop(("fits", "C3")))


def planted_out(tally, record, read):
    printed = tables(record, read)
    for part in printed["fits", "C2"]:
        part.columns["state"] = [w for w in part.columns["state"] if w.text.strip(",;") != "0.0002"]
    tally.plant(held(record, printed)[1], "by how much a row is out, lost")


if __name__ == "__main__":
    main()
