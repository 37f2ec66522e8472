"""Random engines, limits and jobs of the second judge."""

from fractions import Fraction
from itertools import product

from _verdict_feelers import Leaves, pair, widest
from _verdict_files import show
from _verdict_fits import FitLimits
from _verdict_readings import FIRST, PLACES, SECOND, Typist
from _verdict_record import Arrived, Feature, Foot, Gauge, Job, Line, Part, unit_of
from _verdict_rules import Four, Rule

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
REFS = ["".join(two) for two in product(LETTERS, repeat=2)]
KINDS = {
    "fit": 34, "size": 8, "reading": 8, "roundness": 7, "taper": 6, "spread": 6, "feeler": 5,
    "count": 2, "recorded": 1,
}
ARRIVED = AMOUNTS = BY_PLACE = REPLACED = True


class Maker(Typist):
    """Makes one job out of dice."""

    def __init__(self, dice, name, unit, scope, guarded):
        self.dice = dice
        self.job = Job(name, unit, Rule(scope, guarded), places=PLACES)
        self.refs = iter(REFS)
        self.parts, self.features = {}, {}

    def make(self):
        self.gauges()
        for kind, times in KINDS.items():
            for _ in range(times):
                self.line(kind)
        self.leaves()
        for line in self.job.lines:
            self.arrive(line)
            self.readings(line)
        self.later()
        return self.job

    # Gauges and feet.

    def gauges(self):
        dice, job = self.dice, self.job
        for name in ("MIC", "TEL", "MICB", "TELB", "IND"):
            unit = job.unit if dice.random() < 0.7 else other(job.unit)
            stated = dice.choice([None, 1, 2, 3]) if dice.random() < 0.8 else None
            step = Fraction(1, 10000) if unit == "in" else Fraction(1, 500)
            job.gauges[name] = Gauge(
                name, unit, None if stated is None else stated * step, name.startswith("TEL")
            )
        job.gauges["BAL"] = Gauge("BAL", "g", dice.choice([None, Fraction(1), Fraction(1, 2)]))
        job.gauges["LEAF"] = Gauge("LEAF", job.unit)
        for sheet, first, second in (("V", FIRST, SECOND), ("W", SECOND, FIRST)):
            job.feet[sheet] = {
                "shaft": Foot("AB", first, ["MIC"]),
                "bore": Foot("CD", second, ["TEL", "MIC"]),
                "read": Foot("AB", first, dice.choice([["IND"], ["MIC"], ["TEL", "MIC"]])),
            }
        job.feet["X"] = {"read": Foot("AB", FIRST, ["BAL"])}
        job.feet["Y"] = {"read": Foot("AB", FIRST, ["LEAF"])}

    # Lines.

    def line(self, kind):
        dice = self.dice
        ref = next(self.refs)
        unit = self.job.unit if dice.random() < 0.75 else other(self.job.unit)
        decimals = 4 if unit == "in" else 3
        sheet = dice.choice("VW")
        line = Line(ref, kind, unit, decimals, sheet=sheet)
        getattr(self, kind)(line)
        if kind in ("fit", "size", "reading", "roundness", "taper") and not line.shares:
            self.to_replace(line)
            self.by_place(line)
        self.job.lines.append(line)

    def to_replace(self, line):
        """Documents say `replace` where they have no limit of wear."""
        if not REPLACED or self.dice.random() >= 0.12:
            return
        if line.kind != "fit":
            line.limits.service_low = line.limits.service_high = None
            line.limits.replace = line.limits.low is not None or line.limits.high is not None
            return
        side = self.dice.choice(["shaft", "bore"])
        line.limits.amounts = tuple(name for name in line.limits.amounts if name != side)
        for limits in (line.limits, *line.grades.values()):
            four = getattr(limits, side)
            four.service_low = four.service_high = None
            four.replace = True
            limits.amounts = line.limits.amounts

    def by_place(self, line):
        """Some of the places have sizes of their own, one or two of them; of
        roundness, taper and readings other limits."""
        if not BY_PLACE or self.dice.random() >= 0.3 or line.limits == Four():
            return
        places = self.dice.sample(range(1, PLACES + 1), self.dice.randint(2, 9))
        both = self.dice.randint(1, len(places))
        for share in (places[:both], places[both:]):
            by = self.few(line, 100, 400) * self.dice.choice([1, -1])
            if line.kind in ("roundness", "taper", "reading"):
                by = self.few(line, 1, 3)
            own = shifted(line.limits, by)
            grades = {name: shifted(grade, by) for name, grade in line.grades.items()}
            line.placed.update((place, (own, grades)) for place in sorted(share))

    def new_part(self, ref, end):
        renewed = self.dice.random() < 0.07
        part = Part(f"p-{end}-{ref.lower()}", renewed)
        self.parts[part.name] = part
        return part

    def new_feature(self, ref, end, kind, planes=None, governs=True):
        dice = self.dice
        count = dice.choice([0, 0, 0, 2, 3]) if planes is None else planes
        feature = Feature(
            f"f-{end}-{ref.lower()}", self.new_part(ref, end), kind, 2,
            ["top", "middle", "skirt"][:count] if count else [],
        )
        if governs and dice.random() < 0.15:
            feature.direction = dice.randint(0, 1)
        if governs and count and dice.random() < 0.5:
            feature.plane = dice.randrange(count)
        self.features[feature.name] = feature
        return feature

    def few(self, line, low, high):
        return self.dice.randint(low, high) * line.step * self.scale(line)

    @staticmethod
    def scale(line):
        return 1 if line.unit == "in" else 2

    def base(self, line):
        low, high = (4000, 30000) if line.unit == "in" else (10000, 80000)
        return self.dice.randint(low, high) * line.step

    def fit(self, line):
        dice = self.dice
        few = lambda low, high: self.few(line, low, high)
        line.shaft = self.new_feature(line.ref, "s", "shaft")
        line.bore = self.new_feature(line.ref, "b", "bore")
        line.average = dice.random() < 0.15
        s1 = self.base(line)
        s2 = s1 + few(0, 10)
        b1 = s2 + few(-16, 16)
        b2 = b1 + few(0, 10)
        least, greatest = b1 - s2, b2 - s1
        line.limits = self.fit_limits(line, s1, s2, b1, b2)
        if dice.random() < 0.3:
            name = f"{show(100 * line.step * self.scale(line), line.decimals)} undersize"
            by = 100 * line.step * self.scale(line)
            # Ground under size, with the bearings that go with it.
            line.grades[name] = shifted(line.limits, -by)

    def fit_limits(self, line, s1, s2, b1, b2):
        dice = self.dice
        few = lambda low, high: self.few(line, low, high)
        chance = lambda share: dice.random() < share
        least, greatest = b1 - s2, b2 - s1
        if chance(0.2):
            # Selective assembly: narrower than the parts make it.
            least = min(least + few(0, 4), greatest)
            greatest = max(least, greatest - few(0, 4))
        fit = Four(least, greatest)
        if chance(0.7):
            fit.service_high = greatest + few(0, 12)
        if chance(0.2):
            fit.service_low = least - few(0, 5)
        shaft, bore = Four(s1, s2), Four(b1, b2)
        if chance(0.55):
            shaft.service_low = s1 - few(0, 8)
        if chance(0.55):
            bore.service_high = b2 + few(0, 8)
        # Limits that the document does not give.
        if chance(0.08):
            fit.high = None
        if chance(0.08):
            fit.low = None
        if chance(0.05):
            fit.service_high = None
            fit.high = None
        if chance(0.05):
            shaft.low = None
        if chance(0.05):
            shaft.high = None
        if chance(0.05):
            bore.low = None
        if chance(0.05):
            bore.high = None
        if chance(0.04):
            shaft.low = shaft.high = None
        amounts = tuple(side for side in ("shaft", "bore") if AMOUNTS and chance(0.2))
        return FitLimits(shaft, bore, fit, amounts)

    def four(self, line, base, width, worn):
        dice = self.dice
        low = base
        four = Four(low, low + self.few(line, 0, width))
        if dice.random() < 0.5:
            four.service_low = four.low - self.few(line, 0, worn)
        if dice.random() < 0.5:
            four.service_high = four.high + self.few(line, 0, worn)
        draw = dice.random()
        if draw < 0.12:
            four.low = four.service_low = None
        elif draw < 0.24:
            four.high = four.service_high = None
        elif draw < 0.32:
            four.low = None
        elif draw < 0.40:
            four.high = None
        return four

    def once_more(self, line):
        """A size of a feature that a fit measures too, in one unit or the
        other, on another sheet."""
        fits = [other for other in self.job.lines if other.kind == "fit" and not other.placed]
        other = self.dice.choice(fits)
        group = self.dice.choice(["shaft", "bore"])
        line.shares, line.feature = (other, group), getattr(other, group)
        four = getattr(other.limits, group)
        moved = lambda v: None if v is None else self.to_unit(v, other, line)
        line.limits = Four(*map(moved, (four.low, four.high, four.service_low, four.service_high)))

    @staticmethod
    def to_unit(value, of, line):
        """To the nearest step of a line in another unit."""
        return round(unit_of(value, of.unit, line.unit) / line.step) * line.step

    def size(self, line):
        if self.dice.random() < 0.3:
            self.once_more(line)
            return
        kind = self.dice.choice(["shaft", "bore", "plain"])
        line.feature = self.new_feature(line.ref, "z", kind, governs=False)
        line.average = self.dice.random() < 0.3
        line.limits = self.four(line, self.base(line), 12, 8)

    def reading(self, line):
        line.labels = self.dice.randint(1, 3)
        line.part = self.new_part(line.ref, "r") if self.dice.random() < 0.7 else None
        line.limits = self.four(line, self.dice.randint(20, 120) * line.step, 20, 10)

    def boxed(self, planes):
        """A line of the job whose feature can be borrowed."""
        found = []
        for line in self.job.lines:
            for feature in line.groups().values():
                own = line.kind in ("fit", "size") and not line.shares
                if own and feature and len(feature.planes) >= planes:
                    found.append((line, feature))
        return self.dice.choice(found)

    def roundness(self, line):
        owner, line.feature = self.boxed(0)
        self.beside(line, owner)
        line.limits = self.upper(line, 2, 5)

    def taper(self, line):
        owner, line.feature = self.boxed(2)
        self.beside(line, owner)
        count = len(line.feature.planes)
        line.planes = tuple(self.dice.sample(range(count), 2))
        line.signed = self.dice.random() < 0.4
        if line.signed:
            low = self.few(line, -4, 2)
            line.limits = Four(low, low + self.few(line, 0, 6))
            if self.dice.random() < 0.4:
                line.limits.service_high = line.limits.high + self.few(line, 0, 3)
            if self.dice.random() < 0.4:
                line.limits.service_low = line.limits.low - self.few(line, 0, 3)
        else:
            line.limits = self.upper(line, 1, 4)

    def beside(self, line, owner):
        """On the sheet of the boxes, in the one unit or the other."""
        line.sheet = owner.sheet
        if self.dice.random() < 0.5:
            line.unit, line.decimals = owner.unit, owner.decimals

    def upper(self, line, low, high):
        dice = self.dice
        four = Four(high=self.few(line, low, high))
        if dice.random() < 0.6:
            four.service_high = four.high + self.few(line, 0, 3)
        if dice.random() < 0.15:
            four.high, four.service_high = None, four.high
        return four

    def spread(self, line):
        line.unit, line.decimals, line.sheet, line.at = "g", 0, "X", False
        line.part = self.new_part(line.ref, "w")
        four = Four(high=Fraction(self.dice.randint(2, 14)))
        if self.dice.random() < 0.5:
            four.service_high = four.high + self.dice.randint(0, 6)
        line.limits = four

    def feeler(self, line):
        line.sheet = "Y"
        line.unit = self.job.unit
        line.decimals = 4 if line.unit == "in" else 3
        line.teeth = self.dice.randint(1, 6)

    def count(self, line):
        line.sheet, line.limits = "Y", self.dice.randint(1, 12)
        line.part = self.new_part(line.ref, "c")
        line.decimals = 0

    def recorded(self, line):
        line.limits = None

    # Leaves.

    def leaves(self):
        dice, job = self.dice, self.job
        inch = job.unit == "in"
        step = Fraction(1, 1000) if inch else Fraction(1, 20)
        half = step / 2
        sizes = sorted({dice.randint(2, 24) * half for _ in range(14)})
        job.leaves = Leaves(sizes, step)
        for line in job.lines:
            if line.kind == "feeler":
                line.limits = self.gap(half)

    def gap(self, half):
        """Limits of a gap for which the shop has its leaves."""
        dice, job = self.dice, self.job
        quarter = half
        for _ in range(500):
            low = dice.randint(4, 14) * quarter
            four = Four(low, low + dice.randint(0, 10) * quarter)
            if dice.random() < 0.4:
                four.service_high = four.high + dice.randint(0, 4) * quarter
            if dice.random() < 0.3:
                four.service_low = max(quarter, four.low - dice.randint(0, 3) * quarter)
            draw = dice.random()
            if draw < 0.1:
                four.low = four.service_low = None
            elif draw < 0.2:
                four.high = four.service_high = None
            elif draw < 0.25 and four.service_high is not None:
                four.high = None
            asked = [widest(job.rule, four), (four.low, four.high)]
            pairs = [pair(ends, job.leaves, job.rule.guarded) for ends in asked]
            if all(pairs) and all(go is None or no is None or go < no for go, no in pairs):
                return four
        raise ValueError("no gap for these leaves")

    def arrive(self, line):
        """Some shafts came to the job at a grade."""
        if line.grades and ARRIVED and self.dice.random() < 0.5:
            places = sorted(self.dice.sample(range(1, PLACES + 1), 3))
            grade = self.dice.choice(list(line.grades))
            self.job.arrived.append(Arrived(line.shaft.name, grade, [str(n) for n in places]))

    def limits_at(self, line, place):
        """Of the grade that a place came with, or none."""
        line = line.here(int(place))
        for arrived in self.job.arrived:
            here = arrived.feature == line.shaft.name and str(place) in arrived.places
            if here and arrived.grade in line.grades:
                return line.grades[arrived.grade]
        return line.limits


def shifted(limits, by):
    """Limits moved by an amount; of a fit the sizes, and not the clearance."""
    if isinstance(limits, FitLimits):
        parts = shifted(limits.shaft, by), shifted(limits.bore, by)
        return FitLimits(*parts, limits.fit, limits.amounts)
    more = lambda value: None if value is None else value + by
    four = limits.low, limits.high, limits.service_low, limits.service_high
    return Four(*map(more, four), replace=limits.replace)


def other(unit):
    return "mm" if unit == "in" else "in"
