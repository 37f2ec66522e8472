"""A job as the second judge sees it: gauges, parts, features, lines, and what
was typed of them."""

from dataclasses import dataclass, field, replace
from fractions import Fraction

import _verdict_feelers as feelers
import _verdict_rules as rules


@dataclass
class Gauge:
    name: str
    unit: str
    uncertainty: Fraction = None  # expanded, in its own unit
    transfer: bool = False


@dataclass
class Foot:
    """Who, when and with what."""

    by: str
    on: str
    gauges: list


@dataclass
class Box:
    """A reading of one box, and those of the same part that it replaced."""

    value: Fraction
    foot: Foot
    earlier: list = field(default_factory=list)


@dataclass
class Part:
    name: str
    renewed: bool = False


@dataclass
class Feature:
    name: str
    part: Part
    kind: str
    directions: int
    planes: list
    direction: int = None  # that governs, from 0
    plane: int = None

    @property
    def boxes(self):
        return self.directions * max(1, len(self.planes))

    def governing(self):
        """For each box, plane by plane, whether it counts for the fit."""
        return [
            (self.direction is None or n % self.directions == self.direction)
            and (self.plane is None or n // self.directions == self.plane)
            for n in range(self.boxes)
        ]


@dataclass
class Line:
    ref: str
    kind: str
    unit: str
    decimals: int
    limits: object = None  # FitLimits, Four, or the exact number
    average: bool = False
    signed: bool = False
    shaft: Feature = None
    bore: Feature = None
    feature: Feature = None
    part: Part = None
    at: bool = True
    labels: int = 1
    teeth: int = 0
    planes: tuple = None  # of a taper, by number
    grades: dict = field(default_factory=dict)
    sheet: str = "V"
    # The line and group whose feature it measures once more.
    shares: tuple = None
    # Limits and grades of some places, by place, in the place of the line's.
    placed: dict = field(default_factory=dict)

    def here(self, place):
        """The line with the limits that hold at a place."""
        if place not in self.placed:
            return self
        limits, grades = self.placed[place]
        return replace(self, limits=limits, grades=grades, placed={})

    @property
    def step(self):
        return Fraction(1, 10**self.decimals)

    def groups(self):
        """Names of the groups of boxes, with their feature or None."""
        if self.kind == "fit":
            return {"shaft": self.shaft, "bore": self.bore}
        return {"read": self.feature}


@dataclass
class Again:
    row: str
    group: str
    index: int  # None for the whole group
    values: list
    why: str
    foot: Foot
    inspector: str


@dataclass
class Change:
    part: str
    places: list
    why: str
    rework: str
    on: str
    by: str
    grade: str = None


@dataclass
class Arrived:
    """A feature that came to the job at a grade."""

    feature: str
    grade: str
    places: list


@dataclass
class Rework:
    name: str
    part: str
    changed: bool
    reopens: list


@dataclass
class Job:
    name: str
    unit: str
    rule: rules.Rule
    gauges: dict = field(default_factory=dict)
    lines: list = field(default_factory=list)
    reworks: dict = field(default_factory=dict)
    places: int = 12
    # Feet by sheet and group of boxes.
    feet: dict = field(default_factory=dict)
    # Readings by row and group, as first typed; None for a blank.
    typed: dict = field(default_factory=dict)
    # Leaves tried, by row, a list a tooth.
    tried: dict = field(default_factory=dict)
    leaves: feelers.Leaves = None
    # GO and NO-GO by line.
    asked: dict = field(default_factory=dict)
    arrived: list = field(default_factory=list)
    changes: list = field(default_factory=list)
    again: list = field(default_factory=list)

    def events(self):
        """Changes and later entries, day by day."""
        told = [(change.on, 0, change) for change in self.changes]
        told += [(again.foot.on, 1, again) for again in self.again]
        return [event for _, _, event in sorted(told, key=lambda one: one[:2])]
