"""A job of the second judge in the program's files: engine, limits, job,
forms, and the transcription filled in."""

from _judging import ROOT
from _verdict_record import Change


def show(value, decimals):
    """A figure with all its digits."""
    scaled = value * 10**decimals
    if scaled != int(scaled):
        raise ValueError(f"{value} has more than {decimals} decimals")
    digits = f"{abs(int(scaled)):0{decimals + 1}d}"
    text = digits if not decimals else f"{digits[:-decimals]}.{digits[-decimals:]}"
    return f"-{text}" if scaled < 0 else text


def as_fit(value, decimals):
    """L loose, T tight."""
    letter = "L" if value > 0 else "T" if value < 0 else ""
    return f'"{show(abs(value), decimals)}{letter}"'


def listed(texts):
    return "[" + ", ".join(f'"{text}"' for text in texts) + "]"


def write(folder, job):
    (folder / "forms").mkdir(parents=True)
    report = (ROOT / "forms" / "report.toml").read_text()
    (folder / "forms" / "report.toml").write_text(report)
    for n, letter in enumerate(job.feet):
        refs = listed(line.ref for line in job.lines if line.sheet == letter)
        (folder / "forms" / f"{letter.lower()}.toml").write_text(
            f'[sheet]\nletter = "{letter}"\ntitle = "Lines {letter}"\norder = {n + 1}\nrevision = "1"\n'
            f"[[block]]\nmeasure = {refs}\n"
        )
    (folder / "engine.toml").write_text(engine(job))
    (folder / "limits.toml").write_text(limits(job))
    (folder / "job.toml").write_text(job_file(job))


def engine(job):
    spots = listed(range(1, job.places + 1))
    text = [f'[engine]\nmaker = "Outside"\nmodel = "Second judge"\nunit = "{job.unit}"']
    text.append(f"[places.spot]\ncodes = {spots}\nnames = {spots}")
    parts, features = {}, {}
    for line in job.lines:
        for feature in line.groups().values():
            if feature:
                features[feature.name] = feature
                parts[feature.part.name] = feature.part
        if line.part:
            parts[line.part.name] = line.part
    for part in parts.values():
        text.append(f'[parts.{part.name}]\nat = "spot"\ncount = {job.places}')
        if part.renewed:
            text.append('renewed = "always"')
    for feature in features.values():
        text.append(f'[features.{feature.name}]\npart = "{feature.part.name}"\nkind = "{feature.kind}"')
        text.append(f'at = "spot"\ndirections = {feature.directions}')
        if feature.planes:
            text.append(f"planes = {listed(feature.planes)}")
        governing = []
        if feature.direction is not None:
            governing.append(f"direction = {feature.direction + 1}")
        if feature.plane is not None:
            governing.append(f'plane = "{feature.planes[feature.plane]}"')
        if governing:
            text.append(f"governing = {{ {', '.join(governing)} }}")
    for rework in job.reworks.values():
        text.append(f'[reworks.{rework.name}]\nname = "{rework.name}"\npart = "{rework.part}"')
        text.append(f"reopens = {listed(rework.reopens)}")
        if rework.changed:
            text.append("part-changed = true")
    return "\n".join(text) + "\n"


def limits(job):
    document = "0.0001" if job.unit == "in" else "0.001"
    text = [
        f'[document]\ntitle = "Random"\nnumber = "1"\nrevision = "1"\nunit = "{job.unit}"\n'
        f'resolution = "{document}"'
    ]
    for line in job.lines:
        text.append(f'[[line]]\nref = "{line.ref}"\nname = "line {line.ref}"\nkind = "{line.kind}"')
        if not given(line):
            text.append('agreed = "only recorded"')
        if line.kind not in ("count", "recorded") and (line.unit != job.unit):
            text.append(f'unit = "{line.unit}"\nresolution = "{show(line.step, line.decimals)}"')
        if line.average:
            text.append('reduction = "average"')
        if line.signed:
            text.append("signed = true")
        if line.kind == "fit":
            text += fit_lines(line, "line") + by_place(line)
            continue
        if line.feature:
            text.append(f'feature = "{line.feature.name}"')
        elif line.part:
            text.append(f'part = "{line.part.name}"')
        if line.kind == "taper":
            names = [line.feature.planes[n] for n in line.planes]
            text.append(f"planes = {listed(names)}")
        if line.kind in ("reading", "spread", "feeler", "count", "recorded"):
            text.append('at = "spot"')
        if line.kind == "reading" and line.labels > 1:
            text.append(f"labels = {listed('ABCDEF'[: line.labels])}")
        if line.kind == "feeler":
            text.append(f"teeth = {line.teeth}")
        text += own_limits(line) + by_place(line)
    return "\n".join(text) + "\n"


def given(line):
    """Whether a line has any limit, or needs none."""
    if line.kind in ("count", "recorded"):
        return True
    fours = [line.limits.shaft, line.limits.bore, line.limits.fit] if line.kind == "fit" else [line.limits]
    ends = [end for four in fours for end in (four.low, four.high, four.service_low, four.service_high)]
    return any(end is not None for end in ends) or any(four.replace for four in fours)


def own_limits(line):
    if line.kind == "count":
        return [f"exact = {line.limits}"]
    if line.kind == "recorded":
        return []
    four = line.limits
    named = zip(
        ("new-min", "new-max", "service-min", "service-max"),
        (four.low, four.high, four.service_low, four.service_high),
    )
    text = [f"{name} = {show(v, line.decimals)}" for name, v in named if v is not None]
    return text + (['service = "replace"'] if four.replace else [])


def by_place(line):
    """Limits of some places, those that are alike in one table. Of a fit the
    clearance stands there only where it is another."""
    text, told = [], []
    for place, limits in line.placed.items():
        if any(limits is other for other in told):
            continue
        told.append(limits)
        places = [str(n) for n, other in line.placed.items() if other is limits]
        table = f'line.places."{" ".join(places)}"'
        text.append(f"[{table}]")
        here = line.here(place)
        if line.kind != "fit":
            text += own_limits(here)
            continue
        text += fit_lines(here, table, named=False, clear=here.limits.fit != line.limits.fit)
        if line.grades and not here.grades:
            text.append("grades = {}")
    return text


def fit_lines(line, table, named=True, clear=True):
    text = []
    for side in ("shaft", "bore"):
        feature = f'feature = "{getattr(line, side).name}"' if named else ""
        text.append(f"{side} = {{ {(feature + part(line, line.limits, side)).lstrip(', ')} }}")
    if clear:
        text.append(f"fit = {{ {clearance(line)} }}")
    for name, grade in line.grades.items():
        text.append(f'[{table}.grades."{name}"]')
        text += [f"{side} = {{ {part(line, grade, side).lstrip(', ')} }}" for side in ("shaft", "bore")]
    return text


def part(line, limits, side):
    four = getattr(limits, side)
    new, wear = (four.low, four.service_low) if side == "shaft" else (four.high, four.service_high)
    named = [("new-min", four.low), ("new-max", four.high)]
    if side in limits.amounts and new is not None and wear not in (None, new):
        named.append(("wear-amount", abs(new - wear)))
    else:
        named.append(("wear", wear))
    text = "".join(f", {n} = {show(v, line.decimals)}" for n, v in named if v is not None)
    return text + (', service = "replace"' if four.replace else "")


def clearance(line):
    four = line.limits.fit
    named = zip(
        ("new-min", "new-max", "service-min", "service-max"),
        (four.low, four.high, four.service_low, four.service_high),
    )
    return ", ".join(f"{name} = {as_fit(v, line.decimals)}" for name, v in named if v is not None)


def job_file(job):
    text = [
        f'[job]\nwork-order = "{job.name}"\nengine-serial = "{job.name}"\n'
        f'scope = "{job.rule.scope}"\nrule = "{"guarded" if job.rule.guarded else "simple"}"\n'
        'second-person = false\n[shop]\nname = "Outside"'
    ]
    for who, role in (("AB", "mechanic"), ("CD", "mechanic"), ("EF", "inspector")):
        text.append(f'[people.{who}]\nname = "{who}"\nrole = "{role}"')
    for gauge in job.gauges.values():
        text.append(f'[gauges.{gauge.name}]\nname = "{gauge.name}"\ndue = 2030-01-01')
        text.append(f'unit = "{gauge.unit}"')
        if gauge.uncertainty is not None:
            text.append(f"uncertainty = {show(gauge.uncertainty, 4)}")
        if gauge.transfer:
            text.append("transfer = true")
    leaves = ", ".join(show(size, 4 if job.unit == "in" else 3) for size in job.leaves.sizes)
    text.append(f"[feelers]\nleaves = [{leaves}]")
    for arrived in job.arrived:
        text.append(f'[[arrived]]\nfeature = "{arrived.feature}"\ngrade = "{arrived.grade}"')
        text.append(f"places = {listed(arrived.places)}")
    return "\n".join(text) + "\n"


def foot(foot):
    return (
        f'{{ by = "{foot.by}", on = {foot.on}, gauge = {listed(foot.gauges)}, zero = "vv" }}'
    )


def figures(line, values):
    return "[" + ", ".join('"-"' if v is None else show(v, line.decimals) for v in values) + "]"


def filled(blank, job):
    """The blank transcription with everything typed in."""
    by_ref = {line.ref: line for line in job.lines}
    out, letter = [], None
    for text in blank.splitlines():
        key = text.split(" = ")[0].strip()
        if text.startswith("["):
            letter = text[1 : text.index("]")]
        if " = { by" in text and key in job.feet.get(letter, {}):
            text = f"{key} = {foot(job.feet[letter][key])}"
        elif " = { by" in text:
            text = f'{key} = {{ by = "AB", on = 2026-03-04 }}'
        elif "." in key and not text.startswith("#") and " = " in text:
            row, group = key.split(".")
            line = by_ref[row.rstrip("0123456789")]
            if group in ("go", "nogo"):
                text = marks(job, line, row, group)
            else:
                text = f"{key} = {figures(line, job.typed[row][group])}"
        out.append(text)
    return "\n".join(out) + "\n" + later(job, by_ref)


def marks(job, line, row, group):
    """Marks of GO or NO-GO; further leaves stand with GO."""
    asked = dict(zip(("go", "nogo"), job.asked[line.ref]))
    typed = ""
    for tooth in job.tried[row]:
        entered = [went for leaf, went in tooth if leaf == asked[group]]
        if not entered:
            typed += "-"
        else:
            typed += "v" if entered[0] == (group == "go") else "x"
    text = f'{row}.{group} = "{typed}"'
    first = "go" if asked["go"] is not None else "nogo"
    more = [
        f'[{n + 1}, {show(leaf, 4 if job.unit == "in" else 3)}, "{"entered" if went else "refused"}"]'
        for n, tooth in enumerate(job.tried[row])
        for leaf, went in tooth
        if leaf not in asked.values()
    ]
    if group == first and more:
        text += f"\n{row}.leaves = [{', '.join(more)}]"
    return text


def later(job, by_ref):
    text = []
    for event in job.events():
        text += changed(event) if isinstance(event, Change) else again(event, by_ref)
    return "\n".join(text) + "\n"


def changed(change):
    text = [f'[[change]]\npart = "{change.part}"\nplaces = {listed(change.places)}']
    text.append(f'why = "{change.why}"\nwhat = "work"\nby = "{change.by}"\non = {change.on}')
    if change.rework:
        text.append(f'rework = "{change.rework}"')
    if change.why == "part changed":
        text.append('number = "N-1"\nbatch = "B-1"\ndocument = "D-1"')
    else:
        text.append('data = "OM 1"')
    if change.grade:
        text.append(f'grade = "{change.grade}"')
    return text


def again(entry, by_ref):
    line = by_ref[entry.row.rstrip("0123456789")]
    box = entry.group if entry.index is None else f"{entry.group} {entry.index + 1}"
    read = figures(line, entry.values) if entry.index is None else show(entry.values[0], line.decimals)
    text = [f'[[again]]\nrow = "{entry.row}"\nbox = "{box}"\nread = {read}']
    text.append(f'why = "{entry.why}"\nby = "{entry.foot.by}"\non = {entry.foot.on}')
    text.append(f"gauge = {listed(entry.foot.gauges)}\nzero = \"vv\"")
    if entry.inspector:
        text.append(f'inspector = "{entry.inspector}"')
    return text
