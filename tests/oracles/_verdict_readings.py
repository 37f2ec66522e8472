"""Random readings of a job and what came later, biased to the edges: at a
limit, one last digit beyond, equal, blank, read again, changed, reworked."""

from fractions import Fraction

from _verdict_feelers import pair, widest
from _verdict_record import Again, Change, Foot, Rework
from _verdict_rules import service

PLACES = 12
# Days of a job: sheets first, then what came later.
FIRST, BETWEEN, SECOND = "2026-03-02", "2026-03-03", "2026-03-04"
LATER = ["2026-03-06", "2026-03-09", "2026-03-11", "2026-03-13", "2026-03-16"]


class Typist:
    """Fills in the readings of a job; what makes its lines is its heir."""

    def readings(self, line):
        job, dice = self.job, self.dice
        if line.kind in ("roundness", "taper"):
            return
        for place in range(1, PLACES + 1) if line.at else [None]:
            code = f"{line.ref}{place if place else ''}"
            if line.kind == "feeler":
                job.tried[code] = self.try_leaves(line)
            elif line.kind == "fit":
                job.typed[code] = self.fit_readings(line, self.limits_at(line, place))
            else:
                job.typed[code] = {"read": self.plain_readings(line, place)}
            for group, values in job.typed.get(code, {}).items():
                if dice.random() < 0.03:
                    blank = range(len(values)) if dice.random() < 0.5 else [dice.randrange(len(values))]
                    for n in blank:
                        values[n] = None

    def beside_limit(self, line, limits, spare):
        """At a limit, one last digit beyond or inside, or somewhere between."""
        dice = self.dice
        limits = [limit for limit in limits if limit is not None]
        if not limits:
            return spare
        if dice.random() < 0.7:
            return dice.choice(limits) + dice.randint(-1, 1) * line.step
        low, high = min(limits), max(limits)
        return low + dice.randint(-1, max(1, int((high - low) / line.step) + 1)) * line.step

    def spread_out(self, line, count, least, greatest):
        """`count` readings with these ends, in any order."""
        dice = self.dice
        width = int((greatest - least) / line.step)
        values = [least, greatest] + [least + dice.randint(0, width) * line.step for _ in range(count)]
        values = values[:count] if count > 1 else [dice.choice([least, greatest])]
        dice.shuffle(values)
        return values

    def near(self, line):
        return self.dice.choice([0, 0, 1, 1, 2, 3, 4]) * line.step * (1 if line.unit == "in" else 2)

    def fit_readings(self, line, limits):
        dice = self.dice
        s, b, f = limits.shaft, limits.bore, limits.fit
        near = self.near(line), self.near(line)
        aims = [f.low, f.high, f.service_low, f.service_high]
        spare_s = service(s.low, s.service_low)
        if spare_s is None:
            spare_s = s.high if s.high is not None else self.spare(limits)
        fitted = dice.random() < 0.6
        small = self.beside_limit(line, [s.low, s.high, s.service_low], spare_s)
        if dice.random() < 0.3 and s.high is not None:
            # The largest beside its limit.
            small = s.high + dice.randint(-1, 1) * line.step - near[0]
        shaft = small, small + near[0]
        spare_b = service(b.high, b.service_high)
        if spare_b is None:
            spare_b = small + service(f.low or Fraction(0), None)
        if fitted:
            aim = self.beside_limit(line, aims, Fraction(0))
            loose = aim in (f.high, f.service_high) or dice.random() < 0.5
            if loose:
                bore = shaft[0] + aim - near[1], shaft[0] + aim
            else:
                bore = shaft[1] + aim, shaft[1] + aim + near[1]
        else:
            large = self.beside_limit(line, [b.low, b.high, b.service_high], spare_b)
            bore = (large - near[1], large)
        edges = {"shaft": self.widest_shaft(limits), "bore": self.widest_bore(limits)}
        typed = {}
        for name, ends in (("shaft", shaft), ("bore", bore)):
            feature = getattr(line, name)
            values = self.spread_out(line, feature.boxes, *ends)
            counting = [n for n, counts in enumerate(feature.governing()) if counts]
            typed[name] = self.unasked(values, counting, edges[name])
        return typed

    @staticmethod
    def widest_shaft(limits):
        """Where a shaft that is wholly beyond is asked about: its new limit
        on the side that wear cannot reach, its widest on the other."""
        s, b, f = limits.shaft, limits.bore, limits.fit
        greatest = service(f.high, f.service_high)
        low = s.service_low
        if low is None and b.low is not None and greatest is not None:
            low = b.low - greatest
        return [low, s.high]

    @staticmethod
    def widest_bore(limits):
        s, b, f = limits.shaft, limits.bore, limits.fit
        greatest = service(f.high, f.service_high)
        high = b.service_high
        if high is None and s.high is not None and greatest is not None:
            high = s.high + greatest
        return [b.low, high]

    def unasked(self, values, counting, edges):
        """A part wholly beyond its limits looks like a slip of every box, and
        a row in query has no verdict: mostly one box stays at the edge."""
        low, high = edges
        if self.dice.random() < 0.04:
            return values
        n = self.dice.choice(counting)
        if high is not None and all(values[i] > high for i in counting):
            values[n] = high
        if low is not None and all(values[i] < low for i in counting):
            values[n] = low
        return values

    @staticmethod
    def spare(limits):
        b, f = limits.bore, limits.fit
        edge = b.low if b.low is not None else b.high if b.high is not None else b.service_high
        return edge - (service(f.low, f.service_low) or Fraction(0))

    def beside_other(self, line, place):
        """What the other line read, a step off here and there."""
        other, group = line.shares
        typed = self.job.typed[f"{other.ref}{place}"][group]
        middle = next((v for v in typed if v is not None), service(line.limits.low, line.limits.high))
        off = lambda: self.dice.choice([0, 0, 0, 1, -1]) * line.step
        read = lambda v: self.to_unit(middle if v is None else v, other, line) + off()
        return [read(value) for value in typed]

    def plain_readings(self, line, place):
        line = line.here(int(place)) if place else line
        dice, four = self.dice, line.limits
        if line.shares:
            return self.beside_other(line, place)
        if line.kind == "count":
            return [Fraction(max(0, four + dice.choice([0, 0, 0, -1, 1])))]
        if line.kind == "recorded":
            return [dice.randint(1000, 9000) * line.step]
        if line.kind == "spread":
            aim = dice.choice([v for v in (four.high, four.service_high) if v is not None])
            width = max(0, int(aim) + dice.randint(-1, 1))
            least = Fraction(dice.randint(300, 900))
            return self.spread_out(line, PLACES, least, least + width)
        count = line.feature.boxes if line.kind == "size" else line.labels
        limits = [four.low, four.high, four.service_low, four.service_high]
        near = self.near(line)
        at = self.beside_limit(line, limits, Fraction(1))
        least, greatest = (at, at + near) if dice.random() < 0.5 else (at - near, at)
        if least < 0:
            least = Fraction(0)
        values = self.spread_out(line, count, least, max(least, greatest))
        if line.kind == "size":
            edges = [service(four.low, four.service_low), service(four.high, four.service_high)]
            values = self.unasked(values, range(count), edges)
        return values

    def try_leaves(self, line):
        """For each tooth GO, NO-GO and now and then a further leaf."""
        dice, job = self.dice, self.job
        go, no_go = pair(widest(job.rule, line.limits), job.leaves, job.rule.guarded)
        job.asked[line.ref] = go, no_go
        sizes = job.leaves.sizes
        every = dice.random()
        teeth = []
        for _ in range(line.teeth):
            marks = []
            # The gap as it is: what enters is not thicker.
            gap = dice.choice(sizes) + dice.choice([0, 1]) * job.leaves.step / 8
            if every < 0.7:
                wide = [s for s in sizes if (go is None or s >= go) and (no_go is None or s < no_go)]
                gap = dice.choice(wide) if wide else gap
            for leaf in {go, no_go} - {None}:
                if dice.random() < 0.985:
                    marks.append((leaf, leaf <= gap))
            for _ in range(dice.choice([0, 0, 0, 1, 2])):
                leaf = dice.choice(sizes)
                if leaf not in (go, no_go):
                    marks.append((leaf, leaf <= gap if dice.random() < 0.98 else leaf > gap))
            teeth.append(marks)
        return teeth

    # What came later.

    def later(self):
        for line in self.job.lines:
            if line.kind in ("fit", "size", "reading"):
                self.later_of(line)

    def later_of(self, line):
        dice, job = self.dice, self.job
        for place in range(1, PLACES + 1):
            draw = dice.random()
            code = f"{line.ref}{place}"
            group = dice.choice(list(line.groups()))
            if draw < 0.025:
                # A chain: read again, the part changed, and read again.
                self.repeat(line, code, group, LATER[0])
                self.renew(line, code, place, group)
                self.repeat(line, code, group, LATER[4])
            elif draw < 0.06:
                self.repeat(line, code, group, LATER[0])
                if dice.random() < 0.3:
                    self.repeat(line, code, group, LATER[1])
            elif draw < 0.13:
                self.renew(line, code, place, group)

    def hand(self, group, other_hand=True):
        """Another person, another gauge."""
        if not other_hand:
            return None
        gauges = {"shaft": ["MICB"], "bore": ["TELB", "MICB"], "read": ["MICB"]}[group]
        return gauges

    def repeat(self, line, code, group, on):
        dice, job = self.dice, self.job
        why = dice.choice(["mistyped", "measured again", "measured again"])
        old, before = self.standing(line, code, group)
        if any(value is None for value in old):
            return
        if why == "mistyped":
            values = self.fresh(line, code[len(line.ref) :], group)
            foot, inspector = Foot("CD", on, before.gauges), "EF"
        else:
            values = [value + dice.choice([0, 0, 1, -1, 2, -2]) * line.step for value in old]
            same = dice.random() < 0.3
            foot = Foot(before.by if same else "EF", on, before.gauges if same else self.hand(group))
            inspector = "EF" if dice.random() < 0.8 else None
        index = None
        if len(values) > 1 and dice.random() < 0.4:
            # One box alone.
            index = dice.randrange(len(values))
            values = [values[index]]
        job.again.append(Again(code, group, index, values, why, foot, inspector))

    def standing(self, line, code, group):
        """What was read last in all boxes, and by whom."""
        for again in reversed(self.job.again):
            if (again.row, again.group) == (code, group) and again.index is None:
                return again.values, again.foot
        return self.job.typed[code][group], self.job.feet[line.sheet][group]

    def fresh(self, line, place, group, limits=None):
        if line.kind == "fit":
            return self.fit_readings(line, limits or self.limits_at(line, place))[group]
        return self.plain_readings(line, place)

    def renew(self, line, code, place, group):
        """A part changed, or reworked to a grade, at one place."""
        dice, job = self.dice, self.job
        feature = line.groups()[group]
        part = feature.part if feature else line.part
        if part is None:
            return
        grade = None
        why = "part changed"
        if line.here(place).grades and group == "shaft" and dice.random() < 0.6:
            grade, why = dice.choice(list(line.grades)), "reworked"
        elif feature and dice.random() < 0.2:
            why = "reworked"
        rework = None
        reopens = [f"feature {feature.name}"] if feature else [f"line {line.ref}"]
        if why == "reworked" or dice.random() < 0.5:
            rework = f"{'changed' if why == 'part changed' else 'worked'}-{part.name}"
            job.reworks[rework] = Rework(rework, part.name, why == "part changed", reopens)
        on = dice.choice([LATER[2], LATER[2], LATER[2], BETWEEN])
        job.changes.append(Change(part.name, [str(place)], why, rework, on, "CD", grade))
        if on == LATER[2] and dice.random() < 0.8:
            limits = line.here(place).grades[grade] if grade else None
            values = self.fresh(line, place, group, limits)
            job.again.append(
                Again(code, group, None, values, why, Foot("CD", LATER[3], self.hand(group)), "EF")
            )
