"""Jobs of random lines and readings, written as TOML and read back as
verdicts: the way of a real job."""

from dataclasses import dataclass, field
from decimal import Decimal

from _jobs import verdicts
from _judging import ROOT, benchleaf, done

PLACES = 40


@dataclass
class Four:
    """Limits of one figure; None where there is none."""

    low: Decimal = None
    high: Decimal = None
    service_low: Decimal = None
    service_high: Decimal = None


@dataclass
class Line:
    ref: str
    kind: str
    average: bool = False
    shaft: Four = None
    bore: Four = None
    fit: Four = None
    limits: Four = None


@dataclass
class Job:
    unit: str
    scope: str
    step: Decimal
    lines: list = field(default_factory=list)
    # Readings by row code and side, as they are typed.
    typed: dict = field(default_factory=dict)
    # Expanded, by gauge: the shaft by MIC, the bore by TEL and MIC.
    uncertainty: dict = field(default_factory=dict)


def run(folder, job):
    (folder / "forms").mkdir(parents=True)
    (folder / "engine.toml").write_text(engine(job))
    (folder / "limits.toml").write_text(limits(job))
    (folder / "job.toml").write_text(
        '[job]\nwork-order = "1"\nengine-serial = "1"\n'
        f'scope = "{job.scope}"\nsecond-person = false\n[shop]\nname = "Outside"\n'
        '[people.AB]\nname = "A. B."\nrole = "inspector"\n'
        '[gauges.MIC]\nname = "micrometer"\nrange = [0, 1000]\ndue = 2030-01-01\n'
        f"{uncertainty(job, 'MIC')}"
        '[gauges.TEL]\nname = "bore gauge"\nrange = [0, 1000]\ndue = 2030-01-01\ntransfer = true\n'
        f"{uncertainty(job, 'TEL')}"
    )
    report = (ROOT / "forms" / "report.toml").read_text()
    (folder / "forms" / "report.toml").write_text(report)
    (folder / "forms" / "lines.toml").write_text(
        '[sheet]\nletter = "Z"\ntitle = "Lines"\norder = 1\nrevision = "1"\n[[block]]\nrest = "Lines"\n'
    )
    done(benchleaf("sheets", folder))
    transcription = folder / "readings.toml"
    transcription.write_text(filled(transcription.read_text(), job))
    return verdicts(folder)


def uncertainty(job, gauge):
    stated = job.uncertainty.get(gauge)
    return f"uncertainty = {stated}\n" if stated is not None else ""


def engine(job):
    spots = ", ".join(f'"{n}"' for n in range(1, PLACES + 1))
    text = [f'[engine]\nmaker = "Outside"\nmodel = "Decimal"\nunit = "{job.unit}"']
    text.append(f"[places.spot]\ncodes = [{spots}]\nnames = [{spots}]")
    for line in job.lines:
        for end, kind in (("s", "shaft"), ("b", "bore")):
            name = f"{end}-{line.ref.lower()}"
            text.append(f'[parts.p-{name}]\n[features.f-{name}]\npart = "p-{name}"')
            text.append(f'kind = "{kind}"\nat = "spot"\ndirections = 2')
    return "\n".join(text) + "\n"


def limits(job):
    text = [
        f'[document]\ntitle = "Random"\nnumber = "1"\nrevision = "1"\nunit = "{job.unit}"\n'
        f'resolution = "{job.step}"'
    ]
    for line in job.lines:
        text.append(f'[[line]]\nref = "{line.ref}"\nname = "line {line.ref}"\nkind = "{line.kind}"')
        if line.average:
            text.append('reduction = "average"')
        if line.kind == "fit":
            text += [part("shaft", "s", line), part("bore", "b", line), fit(line)]
            continue
        if line.kind == "reading":
            text.append('at = "spot"\nlabels = ["A", "B"]')
        else:
            text.append(f'feature = "f-s-{line.ref.lower()}"')
        names = ("new-min", "new-max", "service-min", "service-max")
        four = line.limits
        for name, value in zip(names, (four.low, four.high, four.service_low, four.service_high)):
            if value is not None:
                text.append(f"{name} = {value}")
    for n, line in enumerate(job.lines):
        if line.kind == "roundness":
            # Its boxes are printed on the row of a size.
            text.append(f'[[line]]\nref = "R{line.ref}"\nname = "boxes"\nkind = "size"')
            text.append(f'feature = "f-s-{line.ref.lower()}"\nagreed = "only its boxes"')
    return "\n".join(text) + "\n"


def part(key, end, line):
    four = getattr(line, key)
    wear = four.service_low if key == "shaft" else four.service_high
    worn = f", wear = {wear}" if wear is not None else ""
    feature = f"f-{end}-{line.ref.lower()}"
    return f'{key} = {{ feature = "{feature}", new = [{four.low}, {four.high}]{worn} }}'


def fit(line):
    ends = [f"new = [{signed(line.fit.low)}, {signed(line.fit.high)}]"]
    if line.fit.service_high is not None:
        ends.append(f"service-max = {signed(line.fit.service_high)}")
    if line.fit.service_low is not None:
        ends.append(f"service-min = {signed(line.fit.service_low)}")
    return f"fit = {{ {', '.join(ends)} }}"


def signed(value):
    return f'"{abs(value)}{"L" if value > 0 else "T" if value < 0 else ""}"'


def filled(blank, job):
    """The blank transcription with the readings typed in."""
    out = []
    for line in blank.splitlines():
        key = line.split(" = ")[0]
        if " = { by" in line:
            gauges = '"MIC"' if key == "shaft" else '["TEL", "MIC"]'
            line = f'{key} = {{ by = "AB", on = 2026-01-02, gauge = {gauges} }}'
        elif "." in key and " = []" in line:
            row, side = key.split(".")
            values = job.typed[row.removeprefix("R")][side]
            line = f"{key} = [{', '.join(map(str, values))}]"
        out.append(line)
    return "\n".join(out) + "\n"
