"""Which readings of a row stand, by the rules: what was typed first, what was
typed again and why, and what was changed or reworked since."""

from fractions import Fraction
from math import ceil

import _verdict_feelers as feelers
import _verdict_fits as fits
import _verdict_rules as rules
from _verdict_job import (  # noqa: F401
    Again,
    Arrived,
    Box,
    Change,
    Feature,
    Foot,
    Gauge,
    Job,
    Line,
    Part,
    Rework,
)
from _verdict_rules import HOLD, NEW, OPEN, OUT, SERVICE, Side, worst

MILLIMETRES = Fraction("25.4")


def unit_of(value, of, to):
    """A length in another unit; inches times 25.4 are millimetres."""
    if of == to:
        return value
    if (of, to) == ("in", "mm"):
        return value * MILLIMETRES
    if (of, to) == ("mm", "in"):
        return value / MILLIMETRES
    raise ValueError(f"{of} is never {to}")


def covering(gauge, unit):
    """A gauge's uncertainty in the unit of a reading. Millimetres have no exact
    inches: the least millionth that covers them, never a smaller uncertainty
    than is stated. The rules don't say so: nothing bad passes unseen."""
    exact = unit_of(gauge.uncertainty, gauge.unit, unit)
    return exact if gauge.unit == unit else Fraction(ceil(exact * 10**6), 10**6)


def squares(job, foot, unit):
    """The squares of the uncertainties of all gauges named, summed."""
    total = Fraction(0)
    for name in foot.gauges:
        gauge = job.gauges[name]
        if gauge.uncertainty is not None:
            total += covering(gauge, unit) ** 2
    return total


class Group:
    """The boxes of one group of a row, with their chain."""

    def __init__(self, job, line, place, group, feature):
        self.job, self.line, self.place, self.group = job, line, place, group
        # Groups of other lines on the same feature at the same place.
        self.others = []
        # Roundness and taper of these boxes.
        self.shapes = []
        self.feature = feature
        self.part = feature.part if feature else line.part
        foot = job.feet[line.sheet][group]
        typed = job.typed[f"{line.ref}{place or str()}"][group]
        self.boxes = [None if v is None else Box(v, foot) for v in typed]
        self.new = bool(self.part and self.part.renewed)
        self.grade, self.reworked = None, False
        self.unused = self.new
        self.first = foot
        # A change that no reading has named yet.
        self.unnamed = False
        for arrived in job.arrived:
            if feature and arrived.feature == feature.name and str(place) in arrived.places:
                self.grade = arrived.grade

    def concerns(self, change):
        return (
            self.part is not None
            and self.part.name == change.part
            and (change.places is None or self.place is None or str(self.place) in change.places)
        )

    def disturbed(self, change):
        """Whether a change takes this group's readings with it."""
        table = self.job.reworks.get(change.rework) if change.rework else None
        if table is None and (change.why == "part changed" or change.grade):
            only = [
                r
                for r in self.job.reworks.values()
                if r.part == change.part and r.changed == (change.why == "part changed")
            ]
            table = only[0] if len(only) == 1 else None
        if table is None:
            return True
        named = {f"line {self.line.ref}"}
        if self.feature:
            named.add(f"feature {self.feature.name}")
        return bool(named & set(table.reopens))

    def change(self, change):
        # What was read on a later day is of the part as it is now.
        self.boxes = [
            box if box is not None and box.foot.on > change.on else None for box in self.boxes
        ]
        # Only a reading that gives its reason makes a new part state: one that
        # was merely measured again leaves the row open.
        self.unnamed = self.first.on <= change.on
        if change.why == "part changed" or change.grade:
            self.new, self.grade, self.reworked = True, change.grade, False
            self.unused = change.why == "part changed"
        else:
            # Work to no grade leaves a new part new, a graded one at its grade.
            self.reworked = True

    def put(self, again):
        """A later entry takes the place of what stood in its boxes."""
        if again.why in ("reworked", "part changed"):
            self.unnamed = False
        indices = range(len(self.boxes)) if again.index is None else [again.index]
        for index, value in zip(indices, again.values):
            box = self.boxes[index]
            if value is None or (box is None and again.why == "mistyped"):
                # What the paper says of a part that has gone is no reading.
                continue
            if box is None or again.why in ("reworked", "part changed"):
                self.boxes[index] = Box(value, again.foot)
            elif again.why == "mistyped":
                # The same reading, as the paper has it.
                self.boxes[index] = Box(value, box.foot, box.earlier)
            else:
                self.boxes[index] = Box(value, again.foot, [*box.earlier, box])

    def differs(self):
        """Whether a repeat agrees with none that was there before. Where a
        gauge states nothing, nothing can be said."""
        for box in self.boxes:
            said = [] if box is None else [self.agree(box, one) for one in box.earlier]
            if False in said and True not in said:
                return True
        return False

    def agree(self, box, other):
        both = [squares(self.job, one.foot, self.line.unit) for one in (box, other)]
        return (box.value - other.value) ** 2 <= sum(both) if all(both) else None

    def set(self, unit):
        """The readings that stand, in the unit of the line that judges."""
        own = self.line.unit
        factor = unit_of(Fraction(1), own, unit) ** 2 if own != unit else 1
        return rules.Set(
            [None if b is None else unit_of(b.value, own, unit) for b in self.boxes],
            [Fraction(0) if b is None else self.unsure(b) * factor for b in self.boxes],
        )

    def unsure(self, box):
        return squares(self.job, box.foot, self.line.unit)

    def side(self, unit):
        governing = self.feature.governing() if self.feature else [True] * len(self.boxes)
        sets = [self.set(unit), *(other.set(unit) for other in self.others)]
        return Side(sets, governing, self.new, self.reworked, self.unused)


class Row:
    """A row of a line with boxes of its own."""

    def __init__(self, job, line, place):
        self.job, self.line, self.place = job, line, place
        self.code = f"{line.ref}{place if place is not None else ''}"
        self.groups = {
            name: Group(job, line, place, name, feature)
            for name, feature in line.groups().items()
        }
        # Groups in which an out was made a pass by somebody who may not.
        self.unseen = set()

    def limits(self):
        line = self.line.here(self.place)
        grades = [g.grade for g in self.groups.values() if g.grade]
        if grades and grades[0] in line.grades:
            return line.grades[grades[0]]
        return line.limits

    def enter(self, again):
        group = self.groups[again.group]
        before, shapes = self.verdict(), [shape.verdict() for shape in group.shapes]
        old = list(group.boxes)
        group.put(again)
        after = self.verdict()
        if again.why == "measured again":
            # A further repeat, or a new part, clears what was before.
            self.unseen.discard(again.group)
            if self.passed(again, before, after, old):
                self.unseen.add(again.group)
            for shape, was in zip(group.shapes, shapes):
                shape.unseen = self.passed(again, was, shape.verdict(), old)

    def passed(self, again, before, after, old):
        """An out made a pass by the same hand and gauge, or without an
        inspector."""
        if before.state != OUT or after.state not in (NEW, SERVICE, OPEN):
            return False
        read = old if again.index is None else [old[again.index]]
        same = any(
            one is not None and one.foot.by == again.foot.by and one.foot.gauges == again.foot.gauges
            for one in read
        )
        return same or again.inspector is None

    def verdict(self):
        sides = {name: group.side(self.line.unit) for name, group in self.groups.items()}
        verdict = self.judge(self.job.rule, sides)
        return served(verdict, lambda rule: self.judge(rule, sides), self.job.rule, sides)

    def judge(self, rule, sides):
        line = self.line
        limits = self.limits()
        if line.kind == "fit":
            verdict = fits.fit(rule, limits, sides["shaft"], sides["bore"], line.average)
            parts = [(name, getattr(limits, name), side) for name, side in sides.items()]
            return rules.replaced(verdict, parts)
        side = sides["read"]
        scope = "new" if side.new else None
        if line.kind == "size":
            verdict = rules.size(rule, limits, side, line.average, scope)
            return rules.replaced(verdict, [("part", limits, side)])
        if line.kind == "reading":
            verdict = rules.reading(rule, limits, side, scope)
            return rules.replaced(verdict, [("part", limits, side)])
        if line.kind == "spread":
            return rules.spread(rule, limits, side, scope)
        if line.kind == "count":
            return rules.count(limits, side.boxes)
        if line.kind == "recorded":
            return rules.Verdict(rules.RECORDED if side.whole else OPEN)
        raise ValueError(line.kind)

    def state(self, verdict):
        """With what waits beside it."""
        held = self.unseen or any(group.differs() for group in self.groups.values())
        unnamed = any(group.unnamed for group in self.groups.values())
        beside = [HOLD] * bool(held) + [OPEN] * unnamed
        return worst([verdict.state, *beside]) if beside else verdict.state


class Shape:
    """A row of roundness or taper, judged on the boxes of another."""

    def __init__(self, job, line, group):
        self.job, self.line, self.group = job, line, group
        # An out was made a pass by somebody who may not.
        self.unseen = False

    def verdict(self):
        sides = {"read": self.group.side(self.line.unit)}
        judge = lambda rule: shape(self.line, rule, sides)
        return served(judge(self.job.rule), judge, self.job.rule, sides)

    def state(self, verdict):
        # A reading that waits for somebody waits here too.
        held = self.unseen or self.group.differs()
        beside = [HOLD] * bool(held) + [OPEN] * self.group.unnamed
        return worst([verdict.state, *beside]) if beside else verdict.state


def served(verdict, again, rule, sides):
    """New scope: noted where what is out is inside service. Of a new part in
    either scope the rules don't say; None is not compared."""
    if any(side.new for side in sides.values()):
        verdict.inside_service = None
    elif verdict.state == OUT and rule.scope == "new":
        other = again(rules.Rule("service", rule.guarded))
        verdict.inside_service = other.state in (NEW, SERVICE)
    return verdict


def owner(job, line):
    """Roundness and taper have no boxes: the first line that measures their
    feature, in the order of the sheets, has."""
    sheets = list(job.feet)
    for other in sorted(job.lines, key=lambda line: sheets.index(line.sheet)):
        for name, feature in other.groups().items():
            if feature is line.feature and other.kind in ("fit", "size"):
                return other, name
    raise ValueError(line.ref)


def shape(line, rule, sides):
    """Roundness or taper, of the boxes of another line."""
    side = sides["read"]
    scope = "new" if side.new else None
    if line.kind == "roundness":
        verdict = rules.roundness(rule, line.limits, side, line.feature.directions, scope)
    else:
        verdict = rules.taper(
            rule, line.limits, side, line.feature.directions, *line.planes, line.signed, scope
        )
    return rules.replaced(verdict, [("part", line.limits, side)])


def table(job):
    """Every row that has boxes, with what came later, day by day."""
    rows, sharing = {}, {}
    for line in job.lines:
        if line.kind in ("roundness", "taper", "feeler"):
            continue
        for place in range(1, job.places + 1) if line.at else [None]:
            row = Row(job, line, place)
            rows[row.code] = row
            for group in row.groups.values():
                if group.feature:
                    sharing.setdefault((group.feature.name, place), []).append(group)
    for line in job.lines:
        for place in range(1, job.places + 1) if line.kind in ("roundness", "taper") else []:
            other, name = owner(job, line)
            group = rows[f"{other.ref}{place}"].groups[name]
            group.shapes.append(Shape(job, line.here(place), group))
    for groups in sharing.values():
        for group in groups:
            group.others = [other for other in groups if other is not group]
    for event in job.events():
        if isinstance(event, Again):
            rows[event.row].enter(event)
            continue
        for row in rows.values():
            for name, group in row.groups.items():
                if group.concerns(event) and group.disturbed(event):
                    group.change(event)
                    row.unseen.discard(name)
                    for shape in group.shapes:
                        shape.unseen = False
    return rows


def judged(job):
    """Every row's verdict and what waits beside it: code -> (verdict, state)."""
    found, rows = {}, table(job)
    for row in rows.values():
        verdict = row.verdict()
        found[row.code] = (verdict, row.state(verdict))
        for group in row.groups.values():
            for shape in group.shapes:
                verdict = shape.verdict()
                found[f"{shape.line.ref}{row.place}"] = (verdict, shape.state(verdict))
    for line in job.lines:
        for place in range(1, job.places + 1):
            code = f"{line.ref}{place}"
            if line.kind == "feeler":
                verdict = feelers.feeler(job.rule, line.limits, job.leaves, job.tried[code])
                found[code] = (verdict, verdict.state)
    return found
