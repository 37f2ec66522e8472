"""The rules of fits, written apart from the program: both ends of the
clearance, the two parts, what wear can reach and what it cannot."""

from dataclasses import dataclass
from fractions import Fraction

from _verdict_rules import NEW, SERVICE, Bench, Four, Side, ends, minus, service


@dataclass
class FitLimits:
    shaft: Four  # service_low is the wear limit
    bore: Four  # service_high is the wear limit
    fit: Four
    # Parts whose wear limit the document gives as an amount from new.
    amounts: tuple = ()


def fit(rule, limits, shaft, bore, average):
    bench = Bench(rule)
    figures = {}
    both = shaft.whole and bore.whole
    ends_of = {}
    if average:
        shaft, bore = shaft.averaged(), bore.averaged()
    for name, side in (("shaft", shaft), ("bore", bore)):
        if side.counting:
            ends_of[name] = ends(side.counting, average)
            if average:
                figures[f"average {name}"] = ends_of[name][0]
            else:
                figures[f"smallest {name}"], figures[f"largest {name}"] = ends_of[name]
            if average and not side.whole:
                # The mean of a part is not known while a box is blank.
                del ends_of[name]
    if len(ends_of) == 2:
        (s_least, s_most), (b_least, b_most) = ends_of["shaft"], ends_of["bore"]
        loosest, tightest = b_most - s_least, b_least - s_most
        figures["loosest"], figures["tightest"] = loosest, tightest
        # Two new parts make a new fit.
        scope = "new" if shaft.new and bore.new else None
        sides = limits.fit.sides()
        squares = bore.of(b_most, rule, bore.governs) + shaft.of(s_least, rule, shaft.governs)
        bench.hold("loosest", loosest, *sides["high"], squares, "loose", scope)
        squares = bore.of(b_least, rule, bore.governs) + shaft.of(s_most, rule, shaft.governs)
        bench.hold("tightest", -tightest, *sides["low"], squares, "tight", scope)
    if "shaft" in ends_of:
        four = limits.shaft
        wear = Wear("shaft", four.low, four.high, four.service_low, shaft)
        wear.against(bench, ends_of["shaft"], limits, None if both else limits.bore.low, average)
    if "bore" in ends_of:
        four = limits.bore
        # Turned over, a bore wears as a shaft does.
        wear = Wear(
            "bore", minus(four.high), minus(four.low), minus(four.service_high), bore.turned()
        )
        least, most = ends_of["bore"]
        wear.against(
            bench, (-most, -least), limits, None if both else minus(limits.shaft.high), average
        )
    for name, side, wear, word in (
        ("shaft", shaft, minus(limits.shaft.service_low), "shaft small"),
        ("bore", bore.turned(), limits.bore.service_high, "bore large"),
    ):
        if name not in ends_of and side.present and wear is not None and not average:
            # No box that governs is filled in; the metal that is left is held.
            metal = min(side.present)
            bench.hold(name, -metal, None, wear, side.of(metal, rule), word, "service")
    return bench.verdict(figures, not both)


@dataclass
class Wear:
    """A part that wears toward small: a shaft, or a bore turned over."""

    name: str
    worn_new: Fraction  # the new limit on the side that wears
    other_new: Fraction  # the new limit on the side that wear cannot reach
    wear: Fraction
    side: Side

    def against(self, bench, counting, limits, mate, average):
        strict = bench.rule.scope == "new" or self.side.new
        least, most = counting
        small, large = ("small", "large") if self.name == "shaft" else ("large", "small")
        self.wears(bench, least, limits, mate, strict, f"{self.name} {small}", average)
        self.cannot(bench, most, limits, strict or self.side.reworked, f"{self.name} {large}")

    def wears(self, bench, least, limits, mate, strict, side, average):
        new, wear = minus(self.worn_new), minus(self.wear)
        of_least = self.side.of(least, bench.rule, self.side.governs)
        # What governs is the fit, not the metal that is left: a wear limit is
        # held against every reading, each under the gauges that took it.
        metal = ends(self.side.present, average)[0]
        of_metal = self.side.of(metal, bench.rule)
        more = wear is not None and (metal < least or of_metal > of_least)
        greatest = service(limits.fit.high, limits.fit.service_high)
        if strict:
            scope = None if new is None else "new"
            bench.hold(self.name, -least, new, wear, of_least, side, scope)
            inside = None if new is None else NEW
        else:
            floors = [] if wear is None else [wear]
            if mate is not None and greatest is not None:
                # The last row of the ranges, while the mate is not known.
                floors.append(greatest - mate)
            if not floors and greatest is None and new is not None:
                # No fit to judge it by: its own new limit, strictly.
                bench.hold(self.name, -least, new, None, of_least, side, "new")
                return
            inside = SERVICE if new is None else bench.rank(-least, new, of_least)
            bench.touch(self.name, -least, new)
            if floors:
                floor = min(floors)
                bench.hold(self.name, -least, None, floor, of_least, side, "service", inside)
            elif new is not None:
                bench.states.append(inside)
        if more:
            bench.hold(self.name, -metal, None, wear, of_metal, side, "service", inside)

    def cannot(self, bench, most, limits, strict, side):
        """The side that wear cannot reach."""
        new = self.other_new
        if new is None:
            return
        squares = self.side.of(most, bench.rule, self.side.governs)
        if most > new:
            bench.not_wear.add(self.name)
        least = service(limits.fit.low, limits.fit.service_low)
        if strict or least is None:
            bench.hold(self.name, most, new, None, squares, side, "new")
        else:
            bench.touch(self.name, most, new)
            bench.states.append(bench.rank(most, new, squares))
