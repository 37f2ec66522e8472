"""The rules of feelers, written apart from the program: GO and NO-GO, and a
bracket between two leaves for every tooth."""

from dataclasses import dataclass
from fractions import Fraction

from _verdict_rules import NEW, OPEN, OUT, QUERY, SERVICE, Rule, Verdict, service, worst


@dataclass
class Leaves:
    """A shop's leaves, least first, and the step of a common set."""

    sizes: list
    step: Fraction


def pair(ends_, leaves, guarded):
    least, greatest = ends_
    go = no_go = None
    if least is not None:
        near = [s for s in leaves.sizes if (s >= least if guarded else s <= least)]
        go = (min(near) if guarded else max(near)) if near else None
        if go is None or (not guarded and least - go > leaves.step):
            return None
    if greatest is not None:
        near = [s for s in leaves.sizes if (s <= greatest if guarded else s >= greatest)]
        no_go = (max(near) if guarded else min(near)) if near else None
        if no_go is None or (not guarded and no_go - greatest > leaves.step):
            return None
    return go, no_go


def widest(rule, four):
    """The limits that a job holds a gap against."""
    if rule.scope == "new":
        return service(four.service_low, four.low), service(four.service_high, four.high)
    return service(four.low, four.service_low), service(four.high, four.service_high)


def feeler(rule, four, leaves, teeth):
    """`teeth`: for each a list of (leaf, entered), blank ones left out."""
    verdict = every_tooth(rule, four, leaves, teeth)
    if verdict.state == OUT and rule.scope == "new":
        other = every_tooth(Rule("service", rule.guarded), four, leaves, teeth)
        verdict.inside_service = other.state in (NEW, SERVICE)
    return verdict


def every_tooth(rule, four, leaves, teeth):
    least, greatest = widest(rule, four)
    asked = pair((least, greatest), leaves, rule.guarded)
    if asked is None:
        # A leaf that is wanting proves nothing.
        return Verdict(OPEN)
    new = pair((four.low, four.high), leaves, rule.guarded)
    # A side that has a service limit alone is never better than service.
    alone = (four.low is None and least is not None) or (four.high is None and greatest is not None)
    states, out, lows, highs = [], set(), [], []
    for marks in teeth:
        entered = max((leaf for leaf, went in marks if went), default=None)
        refused = min((leaf for leaf, went in marks if not went), default=None)
        lows.append(entered)
        highs.append(refused)
        if entered is not None and refused is not None and entered >= refused:
            states.append(QUERY)
        elif refused is not None and least is not None and refused <= least:
            states.append(OUT)
            out.add(("under", None))
        elif entered is not None and greatest is not None and entered > greatest:
            states.append(OUT)
            out.add(("over", None))
        elif not proven(entered, refused, *asked) or not tried(marks, asked):
            states.append(OPEN)
        elif new is not None and not alone and proven(entered, refused, *new):
            states.append(NEW)
        else:
            states.append(SERVICE)
    figures = {}
    if all(value is not None for value in lows):
        figures["entered everywhere"] = min(lows)
    if all(value is not None for value in highs):
        figures["refused everywhere"] = max(highs)
    verdict = Verdict(worst(states), sorted(out), figures=figures)
    if verdict.state in (NEW, SERVICE) and not rule.guarded:
        # Leaves beside the limits, not on them: said.
        low, high = figures.get("entered everywhere"), figures.get("refused everywhere")
        verdict.beside = (least is not None and low < least) or (
            greatest is not None and high > greatest
        )
    return verdict


def tried(marks, asked):
    """A printed box that is blank never passes, whatever else was tried."""
    return {leaf for leaf in asked if leaf is not None} <= {leaf for leaf, _ in marks}


def proven(entered, refused, go, no_go):
    return (go is None or (entered is not None and entered >= go)) and (
        no_go is None or (refused is not None and refused <= no_go)
    )
