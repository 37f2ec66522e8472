"""The table of many reports, read by DuckDB and by polars.

The questions of demo/records.md are put word for word by DuckDB. What they and
plain sums give is held against what `check --json`, `wear` and `recall` say of
the same reports, in exact decimals.
"""

import json
import re
from collections import Counter
from decimal import Decimal

import duckdb
import pikepdf
import polars
from _fleet import Fleet, retyped
from _judging import ROOT, Tally, benchleaf, done

CHAPTER = ROOT / "demo" / "records.md"
HOURS = ["1894.6", "2535.1", "3100.0", "3650.5"]
SERIALS = ["TW4-00317", "TW4-00322", "TW4-00401"]
# Read by another micrometer, three tenths of a thousandth larger.
BIASED = "TW4-00401"
OFFSET = 3


def main():
    tally = Tally("table")
    fleet = Fleet(tally.folder)
    for place, serial in enumerate(SERIALS):
        for n, hours in enumerate(HOURS):
            fleet.add(serial, f"{5000 + 10 * place + n}", hours, len(HOURS) - n, worn(serial, n))
    fleet.make()
    for form in ("csv", "jsonl"):
        made = done(benchleaf("table", "shelf", "-o", f"fleet.{form}", folder=tally.folder))
        tally.check("12 reports added" in made.stdout, f"{form}: {made.stdout}")
    told = {job.name: checked(job) for job, _ in fleet.jobs}
    sums(tally, told)
    asked = questions(tally.folder / "fleet.csv")
    wear(tally, fleet, asked)
    outs(tally, told, asked)
    bias(tally, asked)
    margins(tally, told, asked)
    recall(tally, asked)
    planted(tally, fleet, told)
    tally.finish()


def worn(serial, n):
    """What is typed for an engine's n-th job: a main journal and a tappet's
    guide worn a step each time, and a gauge of one shop that reads large."""

    def change(text):
        text = retyped(text, "M3.shaft", -n)
        text = retyped(text, "T2EX.bore", n)
        if serial == BIASED:
            head = re.search(r"^\[M\].*?^shaft = .*?$", text, re.M | re.S)
            text = text.replace(head[0], head[0].replace('"MIC-3"', '"MIC-3B"'), 1)
            for row in ("M1", "M2", "M3"):
                text = retyped(text, f"{row}.shaft", OFFSET)
        return text

    return change


def checked(job):
    return json.loads(done(benchleaf("check", "--json", job), 0, 1).stdout)


def blocks():
    return re.findall(r"```sql\n(.*?)```", CHAPTER.read_text(), re.S)


def questions(path):
    """The answers to the chapter's questions, in its order."""
    con = duckdb.connect()
    answers = {"con": con}
    names = ["latest", "sides", "wear", "outs", "bias", "margins", "batches"]
    for name, block in zip(names, blocks(), strict=True):
        result = con.execute(block.replace("fleet.csv", str(path)))
        heads = [column[0] for column in result.description]
        answers[name] = [dict(zip(heads, row)) for row in result.fetchall()]
    return answers


def own_sums(told):
    """States and the sum of the margins of each job."""
    sums = {}
    for name, verdicts in told.items():
        states = Counter(row["state"] for row in verdicts["rows"])
        margins = sum(Decimal(row["margin"] or 0) for row in verdicts["rows"])
        sums[verdicts["job"]] = (len(verdicts["rows"]), dict(states), margins)
    return sums


def by_duckdb(source):
    con = duckdb.connect()
    rows = con.execute(
        f"SELECT job, state, count(*), sum(coalesce(CAST(margin AS DECIMAL(14,7)), 0)) "
        f"FROM {source} WHERE entry = 'row' GROUP BY ALL"
    ).fetchall()
    return gathered(rows)


def by_polars(frame):
    rows = frame.filter(polars.col("entry") == "row").with_columns(
        polars.col("margin").fill_null("0").cast(polars.Decimal(14, 7))
    )
    grouped = rows.group_by("job", "state").agg(polars.len(), polars.col("margin").sum())
    return gathered(grouped.rows())


def gathered(rows):
    sums = {}
    for job, state, count, margin in rows:
        number, states, total = sums.get(job, (0, {}, Decimal(0)))
        sums[job] = (number + count, {**states, state: count}, total + margin)
    return sums


def sums(tally, told):
    wanted = own_sums(told)
    folder = tally.folder
    csv, lines = folder / "fleet.csv", folder / "fleet.jsonl"
    seen = {
        "DuckDB, CSV": by_duckdb(f"read_csv('{csv}', all_varchar = true)"),
        "DuckDB, JSON Lines": by_duckdb(f"read_json('{lines}', format = 'newline_delimited')"),
        "polars, CSV": by_polars(polars.read_csv(csv, infer_schema=False)),
        "polars, JSON Lines": by_polars(polars.read_ndjson(lines, infer_schema_length=None)),
    }
    for what, own in seen.items():
        for job, wants in wanted.items():
            tally.same(own.get(job), wants, f"{what}, job {job}")


def told_wear(fleet, earlier, later):
    """What `wear` says of two reports: `C1 shaft` to wear and rate."""
    old, new = (fleet.shelf / f"job-{order}.pdf" for order in (earlier, later))
    said = done(benchleaf("wear", old, new), 0, 1).stdout
    found = {}
    for line in said.splitlines():
        parts = re.match(r"(\S+) (shaft|bore|read) +.*: [\d. ]+ to [\d. ]+, (.*)$", line)
        if parts:
            rate = re.match(r"worn ([\d.]+), ([\d.]+) per 100 h", parts[3])
            found[parts[1], parts[2]] = (Decimal(rate[1]), Decimal(rate[2])) if rate else None
    return found


def wear(tally, fleet, asked):
    rows = asked["con"].execute(
        "SELECT serial, earlier, job, code, side, kind, wear, run FROM worn "
        "JOIN (SELECT DISTINCT job, code, kind FROM latest) USING (job, code)"
    ).fetchall()
    pairs = {}
    for serial, earlier, job, code, side, kind, lost, run in rows:
        key = (code, side if kind == "fit" else "read")
        pairs.setdefault((serial, earlier, job), {})[key] = (lost, run)
    tally.same(len(pairs), len(SERIALS) * (len(HOURS) - 1), "pairs of jobs")
    lines = Counter()
    for (serial, earlier, job), seen in pairs.items():
        wanted = told_wear(fleet, earlier, job)
        apart = sorted(set(seen) ^ set(wanted))
        tally.same(apart, [], f"sides compared of {earlier} or of the other alone, {job}")
        for key, want in wanted.items():
            lost, run = seen.get(key, (None, None))
            if want is None:
                tally.check(lost is not None and lost < 0, f"{job} {key}: {lost}, should be none")
                continue
            tally.same(lost, want[0], f"{job} {key}: wear")
            # Printed to the nearest at one decimal beyond the readings.
            near = lost is not None and abs(lost * 100 / run - want[1]) <= Decimal("0.000005")
            tally.check(near, f"{job} {key}: {lost} in {run} h, {want[1]} told")
            lines[key] += 1
    tally.check(len(lines) > 50, f"only {len(lines)} sides were compared")
    # A step in 640.5, 564.9 and 550.5 h, by hand: the mean of three rates.
    journal = next(r for r in asked["wear"] if (r["line"], r["side"]) == ("M", "shaft"))
    rates = [100 * 0.0001 / run for run in (640.5, 564.9, 550.5)]
    tally.check(abs(journal["fastest"] - max(rates)) < 1e-6, f"fastest journal: {journal}")
    tally.check("M3" in journal["which"], f"which journal: {journal}")


def outs(tally, told, asked):
    left = Counter(
        row["row"] for v in told.values() for row in v["rows"] if row["state"] == "out"
    )
    found = Counter()
    for verdicts in told.values():
        for row in verdicts["rows"]:
            before = []
            for step in row["steps"]:
                if step["why"] in ("reworked", "part changed"):
                    break
                before.append(step)
            if before and before[-1]["state"].startswith("out"):
                found[row["row"]] += 1
    seen = {row["code"]: (row["out_as_found"], row["out_as_left"]) for row in asked["outs"]}
    wanted = {code: (count, left.get(code, 0)) for code, count in found.items()}
    tally.same(seen, wanted, "rows most often out")
    tally.check(wanted.get("C2", (0, 0))[0] == 12, f"C2 is out in every job: {wanted}")


def bias(tally, asked):
    own = next((row for row in asked["bias"] if row["gauge"] == "MIC-3B"), None)
    tally.check(own is not None, "MIC-3B is not among the gauges")
    # Everybody else read the same three journals by MIC-3.
    wanted = OFFSET / 10_000
    tally.check(own and abs(own["bias"] - wanted) < 1e-6, f"MIC-3B: {own}, should be {wanted}")


def margins(tally, told, asked):
    by_row = {}
    for name, verdicts in sorted(told.items()):
        for row in verdicts["rows"]:
            if row["margin"] is not None:
                key = (verdicts["serial"], row["row"])
                by_row.setdefault(key, []).append(row["margin"])
    falls = {
        key: all_
        for key, all_ in by_row.items()
        if len(all_) >= 3 and all(Decimal(b) < Decimal(a) for a, b in zip(all_, all_[1:]))
    }
    seen = {(row["serial"], row["code"]): row["margins"] for row in asked["margins"]}
    tally.same(seen, falls, "margins that shrink")
    tally.check(any(code == "T2EX" for _, code in falls), f"T2EX shrinks: {sorted(falls)}")


def recalled(folder, *words):
    """The reports that `recall` names."""
    said = done(benchleaf("recall", "shelf", *words, folder=folder), 0, 1).stdout
    return set(re.findall(r"^shelf/(\S+\.pdf): job", said, re.M))


def recall(tally, asked):
    con = asked["con"]
    for row in asked["batches"]:
        named = recalled(tally.folder, "--batch", row["batch"])
        tally.same(row["reports"], len(named), f"batch {row['batch']}")
    tally.check(len(asked["batches"]) > 5, "few batches")
    for gauge in ("MIC-2B", "MIC-3", "MIC-3B", "SPR-1", "MIC-77"):
        rows = con.execute(
            "SELECT DISTINCT report FROM latest WHERE list_contains(string_split(gauges, '; '), ?)",
            [gauge],
        ).fetchall()
        named = recalled(tally.folder, "--gauge", gauge)
        tally.same({row[0] for row in rows}, named, f"gauge {gauge}")
    for revision in ("7", "8"):
        rows = con.execute("SELECT DISTINCT report FROM latest WHERE revision = ?", [revision])
        named = recalled(tally.folder, "--limits", revision)
        tally.same({row[0] for row in rows.fetchall()}, named, f"revision {revision}")


def planted(tally, fleet, told):
    """Faults that these checks must see, and one that the table must."""
    folder = tally.folder
    wanted = own_sums(told)
    source = "read_csv('{}', all_varchar = true)"

    def differs(text):
        altered = folder / "altered.csv"
        altered.write_text(text)
        return by_duckdb(source.format(altered)) != wanted

    text = (folder / "fleet.csv").read_text()
    lines = text.splitlines(keepends=True)
    row = next(n for n, line in enumerate(lines) if ",row,M3," in line and ",0.00" in line)
    tally.plant(differs("".join(lines[:row] + lines[row + 1 :])), "a line taken out")
    state = lines[row].replace("within service limits", "within new limits")
    state = state if state != lines[row] else lines[row].replace("within new limits", "out", 1)
    tally.plant(differs("".join([*lines[:row], state, *lines[row + 1 :]])), "another state")
    tally.plant(differs("".join([*lines, lines[row]])), "a line twice")
    # A signed report whose verdicts say that every row is new.
    source_pdf = fleet.shelf / "job-5000.pdf"
    with pikepdf.open(source_pdf) as pdf:
        name = "verdicts.json"
        spec = pdf.attachments[name]
        verdicts = spec.get_file().read_bytes()
        forged = verdicts.replace(b'"within service limits"', b'"within new limits"')
        pdf.attachments[name] = pikepdf.AttachedFileSpec(
            pdf, forged, filename=name, mime_type="application/json",
            relationship=pikepdf.Name.Data,
        )
        pdf.save(fleet.shelf / "forged.pdf")
    ran = benchleaf("table", "shelf", "-o", "fleet.csv", folder=folder)
    table = polars.read_csv(folder / "fleet.csv", infer_schema=False)
    own = table.filter(polars.col("report") == "forged.pdf")
    seen = own.height > 0 and set(own["verified"]) == {"not good"} or "forged.pdf" in ran.stderr
    tally.plant(ran.returncode == 1 and seen, "forged verdicts")
    asked = questions(folder / "fleet.csv")
    again = asked["con"].execute("SELECT count(DISTINCT digest) FROM latest").fetchone()[0]
    tally.same(again, len(wanted), "reports that count after a forgery")
    tally.plant(differs((folder / "fleet.csv").read_text()) or own.height == 0, "every report counted")


if __name__ == "__main__":
    main()
