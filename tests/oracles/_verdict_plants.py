"""Faults put into the second judge on purpose, one for each kind of line and
one for each rule that meets another. A fault that changes no verdict of the
rows that were drawn shows that the rows prove nothing about that rule."""

from contextlib import contextmanager
from dataclasses import replace
from fractions import Fraction
from unittest import mock

import _verdict_feelers as feelers
import _verdict_fits as fits
import _verdict_record as record
import _verdict_rules as rules


@contextmanager
def instead(owner, name, other):
    """`other` gets what was there first, then the arguments."""
    before = owner.__dict__[name]
    if isinstance(before, property):
        new = property(lambda self: other(before.fget, self))
    else:
        new = lambda *args, **named: other(before, *args, **named)
    with mock.patch.object(owner, name, new):
        yield


def one_end(skipped):
    def hold(before, bench, name, *rest, **named):
        if name != skipped:
            before(bench, name, *rest, **named)

    return instead(rules.Bench, "hold", hold)


def limits_exclusive():
    def hold(before, bench, name, value, *rest, **named):
        before(bench, name, value + Fraction(1, 10**9), *rest, **named)

    return instead(rules.Bench, "hold", hold)


def of_kind(kind, change):
    """A row of one kind judged otherwise."""

    def judge(before, row, rule, sides):
        verdict = before(row, rule, sides)
        return change(verdict) if row.line.kind == kind else verdict

    return instead(record.Row, "judge", judge)


def blank_recorded(verdict):
    return rules.Verdict(rules.RECORDED) if verdict.state == rules.OPEN else verdict


def with_sides(change):
    """The readings of a row otherwise than they are."""

    def judge(before, row, rule, sides):
        return before(row, rule, {name: change(side) for name, side in sides.items()})

    return instead(record.Row, "judge", judge)


def reused_side(before):
    return replace(before, new=False)


def all_planes(before, rule, four, readings, directions, scope=None):
    return before(rule, four, readings, len(readings.boxes), scope)


def signs(signed):
    def taper(before, rule, four, readings, directions, first, second, _, scope=None):
        return before(rule, four, readings, directions, first, second, signed, scope)

    return instead(rules, "taper", taper)


def greatest_weight(before, rule, four, readings, scope=None):
    own = readings.sets[0]
    from_zero = rules.Set([Fraction(0), *own.boxes], [Fraction(0), *own.squares])
    return before(rule, four, rules.Side([from_zero], [True] * len(from_zero.boxes)), scope)


def not_fewer(before, exact, boxes):
    return before(min(exact, boxes[0]) if boxes[0] is not None else exact, boxes)


def other_leaves(before, ends, leaves, guarded):
    """GO the thinnest leaf inside, NO-GO the thickest, in simple acceptance."""
    return before(ends, leaves, True) or before(ends, leaves, guarded)


def rounded_mean(before, values, average):
    least, greatest = before(values, average)
    if average:
        least = greatest = Fraction(round(least * 1000), 1000)
    return least, greatest


def plain_sum(before, job, foot, unit):
    """Uncertainties added, not their squares."""
    stated = [job.gauges[name] for name in foot.gauges]
    total = sum(
        record.unit_of(g.uncertainty, g.unit, unit) for g in stated if g.uncertainty is not None
    )
    return Fraction(total) ** 2


def one_gauge(before, job, foot, unit):
    """A bore's uncertainty is that of its first gauge alone."""
    return before(job, record.Foot(foot.by, foot.on, foot.gauges[:1]), unit)


def no_squares(before, bench, name, value, new, service, squares, *rest, **named):
    before(bench, name, value, new, service, Fraction(0), *rest, **named)


def zero_for_absent(before, four):
    return {
        name: (Fraction(0) if new is None else new, worn)
        for name, (new, worn) in before(four).items()
    }


def service_alone_is_new(before, bench, name, value, new, service, *rest, **named):
    before(bench, name, value, service if new is None else new, service, *rest, **named)


def ever_service(before, bench, name, value, new, service, squares, side, scope=None, inside=None):
    before(bench, name, value, new, service, squares, side, "service", inside)


def reused(before, group, change):
    new = group.new
    before(group, change)
    group.new = new


def keeps(before, group, change):
    boxes = list(group.boxes)
    before(group, change)
    group.boxes = boxes


def no_last_row(before, wear, bench, counting, limits, mate, average):
    before(wear, bench, counting, limits, None, average)


def beyond_is_new(before, bench, value, new, squares):
    return rules.NEW


def cannot_reach(before, wear, *rest):
    return None


def own_limit_forgotten(before, bench, name, value, new, service, squares, side, scope=None, inside=None):
    if scope == "new" and bench.rule.scope != "new" and name in ("shaft", "bore"):
        return
    before(bench, name, value, new, service, squares, side, scope, inside)


def reused_side_of_rework(before, wear, bench, most, limits, strict, side):
    """A reworked part beyond new where wear cannot reach judged as reused."""
    as_new = bench.rule.scope == "new" or wear.side.new
    before(wear, bench, most, limits, as_new, side)


def appended(before, group, again):
    """A mistyped figure counts as a reading of its own."""
    why = "measured again" if again.why == "mistyped" else again.why
    before(group, record.Again(**{**vars(again), "why": why}))


def base_limits(before, row):
    return row.line.here(row.place).limits


def everywhere_alike(before, line, place):
    """The limits of one place held at all of them."""
    return line


def kept(before, verdict, parts):
    """A used part serves where the document says `replace`."""
    return verdict


def ungoverned(before, feature):
    return [True] * feature.boxes


def wear_of_governing(before, readings):
    return readings.counting


def alone(before, group, unit):
    """A line sees its own readings and no other's."""
    found = before(group, unit)
    return replace(found, sets=found.sets[:1])


# What is wrong, and how it is put in.
FAULTS = [
    ("fit: the tightest end is not judged", lambda: one_end("tightest")),
    ("fit: the loosest end is not judged", lambda: one_end("loosest")),
    ("size: a box that is blank passes", lambda: of_kind("size", lambda v: rules.Verdict(rules.NEW) if v.state == rules.OPEN else v)),
    ("roundness: across planes", lambda: instead(rules, "roundness", all_planes)),
    ("taper: every line signed", lambda: signs(True)),
    ("taper: no line signed", lambda: signs(False)),
    ("reading: the low side is not judged", lambda: one_end("low")),
    ("spread: the greatest weight alone", lambda: instead(rules, "spread", greatest_weight)),
    ("feeler: GO and NO-GO inside the limits under simple acceptance", lambda: instead(feelers, "pair", other_leaves)),
    ("count: more is as good", lambda: instead(rules, "count", not_fewer)),
    ("recorded: a blank passes", lambda: of_kind("recorded", blank_recorded)),
    ("limits exclusive", limits_exclusive),
    ("units compared as bare numbers", lambda: instead(record, "unit_of", lambda before, value, of, to: value)),
    ("a line sees its own boxes alone", lambda: instead(record.Group, "side", alone)),
    ("every reading governs", lambda: instead(record.Feature, "governing", ungoverned)),
    ("a wear limit held against governing readings alone", lambda: instead(rules.Side, "present", wear_of_governing)),
    ("grades forgotten", lambda: instead(record.Row, "limits", base_limits)),
    ("limits by place forgotten", lambda: instead(record.Line, "here", everywhere_alike)),
    ("a used part kept where it is to be replaced", lambda: instead(rules, "replaced", kept)),
    ("a new part held to service limits", lambda: instead(record.Group, "change", reused)),
    ("two new parts held to the service fit", lambda: with_sides(reused_side)),
    ("a changed part keeps its readings", lambda: instead(record.Group, "change", keeps)),
    ("no limit is drawn in, none is close", lambda: instead(rules.Bench, "hold", no_squares)),
    ("uncertainties added, not their squares", lambda: instead(record, "squares", plain_sum)),
    ("a bore's uncertainty is that of one gauge", lambda: instead(record, "squares", one_gauge)),
    ("a mean is rounded", lambda: instead(fits, "ends", rounded_mean)),
    ("an absent limit is zero", lambda: instead(rules.Four, "sides", zero_for_absent)),
    ("a service limit alone makes new", lambda: instead(rules.Bench, "hold", service_alone_is_new)),
    ("scope new judged as service", lambda: instead(rules.Bench, "hold", ever_service)),
    ("the last row of the ranges forgotten while a mate is blank", lambda: instead(fits.Wear, "against", no_last_row)),
    ("beyond new judged by the fit is as good as new", lambda: instead(rules.Bench, "rank", beyond_is_new)),
    ("the side that wear cannot reach forgotten", lambda: instead(fits.Wear, "cannot", cannot_reach)),
    ("a reworked part that is not worn judged by its fit", lambda: instead(fits.Wear, "cannot", reused_side_of_rework)),
    ("a part's own new limit forgotten where the fit has none", lambda: instead(rules.Bench, "hold", own_limit_forgotten)),
    ("repeats that differ agree", lambda: instead(record.Group, "differs", lambda before, group: False)),
    ("an out made a pass by the same hand", lambda: instead(record.Row, "passed", lambda before, *rest: False)),
    ("a figure mistyped counts as a repeat", lambda: instead(record.Group, "put", appended)),
]
