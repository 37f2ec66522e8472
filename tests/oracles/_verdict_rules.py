"""The rules of judging, written apart from the program: from its design alone.

Exact fractions throughout. A figure and its unit go together: what is judged
is first brought to the unit of its line, an inch being 25.4 millimetres.
"""

from dataclasses import dataclass, field, replace
from fractions import Fraction

NEW, SERVICE = "within new limits", "within service limits"
OPEN, OUT, HOLD, QUERY, RECORDED = "open", "out", "hold", "query", "recorded"
# What is worse stands later.
RANK = [NEW, SERVICE, OPEN, OUT, HOLD, QUERY]


@dataclass
class Four:
    """Limits of one figure; None where there is none."""

    low: Fraction = None
    high: Fraction = None
    service_low: Fraction = None
    service_high: Fraction = None
    # Nothing but a new part serves.
    replace: bool = False

    def sides(self):
        """New and service limits of each side, the low one turned over."""
        return {
            "low": (minus(self.low), minus(self.service_low)),
            "high": (self.high, self.service_high),
        }


@dataclass
class Verdict:
    state: str
    # Which side is out, and by how much; None where nothing is subtracted.
    out: list = field(default_factory=list)
    # What equals a limit that it is held against.
    at: list = field(default_factory=list)
    not_wear: set = field(default_factory=set)
    close: bool = False
    margin: Fraction = None
    figures: dict = field(default_factory=dict)
    inside_service: bool = False
    # Proven by leaves that lie beside the limits.
    beside: bool = False


@dataclass
class Rule:
    """How a job judges: its scope, and whether limits are drawn in."""

    scope: str
    guarded: bool


@dataclass
class Set:
    """Readings of one feature as they were taken on one sheet."""

    boxes: list  # None where blank
    squares: list  # for each box, of its gauges' expanded uncertainties, summed

    @property
    def whole(self):
        return all(value is not None for value in self.boxes)


@dataclass
class Side:
    """The readings of one part of a row, as they stand: its own boxes first,
    then those of other lines on the same feature."""

    sets: list
    governing: list  # whether each box counts for the fit
    new: bool = False
    reworked: bool = False  # to no grade
    unused: bool = False  # new, of whatever grade; not worked on to one
    mean: bool = False  # its mean is judged, not its extremes

    @property
    def boxes(self):
        return self.sets[0].boxes

    @property
    def whole(self):
        return self.sets[0].whole

    @property
    def present(self):
        return [v for one in self.sets for v in one.boxes if v is not None]

    @property
    def counting(self):
        return [
            v
            for one in self.sets
            for v, counts in zip(one.boxes, self.governing)
            if counts and v is not None
        ]

    def averaged(self):
        """Where a mean is asked for, a part of another set makes none."""
        sets = [one for n, one in enumerate(self.sets) if n == 0 or one.whole]
        return replace(self, sets=sets, mean=True)

    def turned(self):
        """With every sign changed."""
        sets = [Set([minus(v) for v in one.boxes], one.squares) for one in self.sets]
        return replace(self, sets=sets)

    def pairs(self, there=None):
        """Readings with the squares of their uncertainties; `there` tells
        which boxes count."""
        return [
            (box, u)
            for one in self.sets
            for n, (box, u) in enumerate(zip(one.boxes, one.squares))
            if box is not None and (there is None or there(n))
        ]

    def governs(self, n):
        return self.governing[n]

    def of(self, value, rule, there=None):
        """The square of the uncertainty of this reading, the least or the
        greatest of those that count; of a mean the greatest of all, since a
        gauge errs alike at each reading."""
        if self.mean:
            return max(u for _, u in self.pairs())
        return unsure(value, self.pairs(there), rule)


def unsure(extreme, pairs, rule):
    """The square of the uncertainty of an extreme of several figures: of those
    alike the greatest. Where limits are drawn in, every figure counts that may
    be the extreme as well: one whose expanded uncertainty covers what it is
    short of it (JCGM 106:2012, from memory: the guard band is of the measurand;
    which of two such figures is the extreme is not known). The rules do not say
    so: decided by that nothing bad passes unseen."""
    reach = lambda u: u if rule.guarded else 0
    return max(u for figure, u in pairs if (figure - extreme) ** 2 <= reach(u))


def minus(value):
    return None if value is None else -value


def replaced(verdict, parts):
    """A document may say only `replace`: what was used is out, whatever it
    measures. `parts` are their word, their limits and their readings."""
    for word, four, side in parts:
        measured = any(value is not None for value in side.boxes)
        if four is not None and four.replace and measured and not side.unused:
            verdict.state = OUT if verdict.state == RECORDED else worst([verdict.state, OUT])
            verdict.out = [*verdict.out, (f"{word} not new", None)]
    return verdict


def service(new, worn):
    """An absent service limit is the new one of that side."""
    return new if worn is None else worn


def worst(states):
    return max(states, key=RANK.index) if states else RECORDED


class Bench:
    """Collects what the ends of a row come to."""

    def __init__(self, rule):
        self.rule = rule
        self.states, self.out, self.at, self.not_wear = [], [], [], set()
        self.close, self.margins = False, []

    def hold(self, name, value, new, service, squares, side, scope=None, inside=None):
        """A figure against the greatest limits of one side. A low side comes
        turned over. `inside` is what it is where it passes, if that hangs on
        something else than these limits."""
        scope = scope or self.rule.scope
        limit = new if new is not None and (scope == "new" or service is None) else service
        if limit is None:
            return
        room = limit - value
        self.margins.append(room)
        self.close |= room * room < squares
        # New limits are held against in both scopes, service limits in one.
        self.touch(name, value, new, limit)
        if room < 0:
            self.out.append((side, -room))
            self.states.append(OUT)
        elif self.rule.guarded and room * room < squares:
            self.states.append(HOLD)
        else:
            self.states.append(inside or self.rank(value, new, squares))

    def touch(self, name, value, *limits):
        if any(limit is not None and value == limit for limit in limits):
            self.at.append(name)

    def rank(self, value, new, squares):
        """New, or only serviceable: missing the drawn-in new limit is enough."""
        if new is None or value > new:
            return SERVICE
        short = self.rule.guarded and (new - value) ** 2 < squares
        return SERVICE if short else NEW

    def verdict(self, figures, blank):
        states = self.states + ([OPEN] if blank else [])
        # Of one side the furthest.
        out = {}
        for side, by in self.out:
            out[side] = max(by, out.get(side, by))
        return Verdict(
            worst(states), sorted(out.items()), sorted(self.at), self.not_wear,
            self.close, min(self.margins, default=None), figures,
        )


def ends(values, average):
    """Least and greatest, or the mean twice."""
    if average:
        mean = sum(values, Fraction(0)) / len(values)
        return mean, mean
    return min(values), max(values)


def figure(rule, four, least, greatest, blank, figures, scope=None, words=("under", "over")):
    """A figure that has a least and a greatest, each with the square of its
    uncertainty, against four limits."""
    bench = Bench(rule)
    sides = four.sides()
    if least is not None:
        bench.hold("low", -least[0], *sides["low"], least[1], words[0], scope)
    if greatest is not None:
        bench.hold("high", greatest[0], *sides["high"], greatest[1], words[1], scope)
    return bench.verdict(figures, blank)


def size(rule, four, side, average, scope=None):
    """One feature's readings."""
    if not side.present:
        return Verdict(OPEN)
    if average:
        side = side.averaged()
    least, greatest = ends(side.present, average)
    figures = {"average": least} if average else {"smallest": least, "largest": greatest}
    if average and not side.whole:
        # The mean is not known while a box is blank.
        return Verdict(OPEN, figures=figures)
    ends_of = [(value, side.of(value, rule)) for value in (least, greatest)]
    return figure(rule, four, *ends_of, not side.whole, figures, scope, ("small", "large"))


def reading(rule, four, side, scope=None):
    """Direct readings."""
    if not side.present:
        return Verdict(OPEN)
    least, greatest = ends(side.present, False)
    figures = {"smallest": least, "largest": greatest}
    if len(side.boxes) == 1:
        figures = {"reading": least}
    ends_of = [(value, side.of(value, rule)) for value in (least, greatest)]
    return figure(rule, four, *ends_of, not side.whole, figures, scope)


def apart(rule, side, one, other, there=None):
    """A difference of two readings, with the uncertainty of both."""
    return one - other, side.of(one, rule, there) + side.of(other, rule, there)


def planes(boxes, count):
    """Boxes plane by plane; `count` of them in each."""
    return [boxes[n : n + count] for n in range(0, len(boxes), count)]


def by_plane(side, directions):
    """For each plane and direction all readings that were taken there, with
    the squares of their uncertainties."""
    own = [planes(list(zip(one.boxes, one.squares)), directions) for one in side.sets]
    return [
        [[pair for pair in there if pair[0] is not None] for there in zip(*plane)]
        for plane in zip(*own)
    ]


def roundness(rule, four, side, directions, scope=None):
    found = []
    for n, plane in enumerate(by_plane(side, directions)):
        present = [value for there in plane for value, _ in there]
        if len(present) > 1:
            here = lambda box, n=n: box // directions == n
            found.append(apart(rule, side, max(present), min(present), here))
    most = None
    if found:
        greatest = max(by for by, _ in found)
        most = greatest, unsure(greatest, found, rule)
    figures = {} if most is None else {"roundness": most[0]}
    # Further readings can only widen it: a least limit waits for all.
    return figure(rule, four, most if side.whole else None, most, not side.whole, figures, scope)


def taper(rule, four, side, directions, first, second, signed, scope=None):
    measured = by_plane(side, directions)
    found = [
        (one - other, u + v)
        for tops, bottoms in zip(measured[first], measured[second])
        for one, u in tops
        for other, v in bottoms
    ]
    own = planes(side.boxes, directions)
    blank = None in own[first] or None in own[second]
    if not found:
        return Verdict(OPEN)
    if not signed:
        found = [(abs(by), squares) for by, squares in found]
    least, greatest = min(found)[0], max(found)[0]
    figures = {"least taper": least, "most taper": greatest}
    ends_of = [(end, unsure(end, found, rule)) for end in (least, greatest)]
    return figure(rule, four, *ends_of, blank, figures, scope)


def spread(rule, four, side, scope=None):
    """A spread needs a reading at every place; what is there may be too far
    apart already."""
    if len(side.present) < 2:
        return Verdict(OPEN)
    found = apart(rule, side, max(side.present), min(side.present))
    least = found if side.whole else None
    return figure(rule, four, least, found, not side.whole, {"spread": found[0]}, scope)


def count(exact, boxes):
    if boxes[0] is None:
        return Verdict(OPEN)
    verdict = Verdict(NEW if boxes[0] == exact else OUT, figures={"number": boxes[0]})
    if verdict.state == OUT:
        verdict.out = [(f"{boxes[0]}, not {exact}", None)]
    return verdict
