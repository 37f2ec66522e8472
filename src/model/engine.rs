//! The engine: where its features lie, what they belong to, in which state of
//! assembly they are measured, and what a rework disturbs.

use super::id::{FeatureId, PartId, table};
use super::side::Side;
use super::text::{Number, Text};
use crate::diag::Span;
use crate::quantity::Length;

/// An engine model as a shop describes it.
#[derive(Clone, Debug)]
pub struct Engine {
    pub maker: Text,
    pub model: Text,
    pub unit: Length,
    /// In the order of the file, which is the printing order.
    pub places: Vec<PlaceSet>,
    pub parts: Vec<Part>,
    /// Each makes a sheet, in printing order.
    pub groups: Vec<Group>,
    pub features: Vec<Feature>,
    pub conditions: Vec<Condition>,
    pub reworks: Vec<Rework>,
}

/// The places at which like features occur, in printing order.
#[derive(Clone, Debug)]
pub struct PlaceSet {
    pub id: Text,
    /// The set that it is some places of, an index: those of the link rods among
    /// the cylinders. One code is one place in both.
    pub of: Option<usize>,
    pub places: Vec<Place>,
}

#[derive(Clone, Debug)]
pub struct Place {
    /// Capitals and digits; the row code is the line's reference and this.
    pub code: Text,
    /// In words: propeller end, centre, cylinder 3 exhaust.
    pub name: Text,
    /// How it is reached, where it must be reached through something.
    pub reach: Option<Text>,
}

#[derive(Clone, Debug)]
pub struct Part {
    pub id: Text,
    /// As printed: `camshaft`, `main bearing shells`.
    pub name: Text,
    /// What a single one is called where several sit at places: `tappet body`.
    pub one: Option<Text>,
    pub material: Option<Text>,
    /// Millionths of a length per degree Celsius.
    pub expansion: Option<Number>,
    /// How many the engine has; unless told one, or one at each of its places.
    pub count: u32,
    /// Renewed at every overhaul: reused makes the record fail.
    pub always_renewed: bool,
    /// What kinds of part it is, by their names in the file of kinds: what is
    /// looked at on it and done before it is measured follows from them.
    pub kinds: Vec<Text>,
    /// What is looked at on this part beside that.
    pub look_over: Vec<Text>,
    /// The places at which it is looked at, where it is one part and has
    /// several: the halves of a crankcase.
    pub look_over_at: Option<usize>,
    /// The places at which single parts of this name sit, where they are
    /// renewed or reworked one by one. Absent: one part for all places.
    pub at: Option<usize>,
}

impl Part {
    /// The name of a single one.
    pub fn single(&self) -> &Text {
        self.one.as_ref().unwrap_or(&self.name)
    }
}

/// A heading of the manual's table: parts that are looked over and measured
/// together, on a sheet of their own.
#[derive(Clone, Debug)]
pub struct Group {
    pub id: Text,
    /// Of its sheet: one to three capitals, digits.
    pub letter: Text,
    pub title: Text,
    pub subtitle: Option<Text>,
    /// What is looked over on its sheet. A part stands in one group.
    pub parts: Vec<PartId>,
    /// Printed first.
    pub caution: Option<Text>,
    /// The state of assembly that everything is measured in.
    pub when: Option<usize>,
    /// Work to do before anything is measured, and after all is.
    pub before: Vec<Text>,
    pub after: Vec<Text>,
    /// Printed last.
    pub note: Option<Text>,
}

/// Something measured on a part.
#[derive(Clone, Debug)]
pub struct Feature {
    pub id: Text,
    /// As printed: `camshaft journal`. From the identifier where not given.
    pub name: Text,
    pub part: PartId,
    pub side: Side,
    /// Index into `Engine::places`; absent for a single feature.
    pub at: Option<usize>,
    /// What each direction is, in words, in order A, B, ...; never empty.
    /// Empty words where only a number was given.
    pub directions: Vec<Text>,
    /// Names of the planes; empty where there is one, unnamed.
    pub planes: Vec<Text>,
    /// The direction that alone governs the fit, an index.
    pub governing_direction: Option<usize>,
    /// The plane that alone governs the fit, an index.
    pub governing_plane: Option<usize>,
    /// Index into `Engine::conditions`: measured only in this state.
    pub when: Option<usize>,
    /// What a sheet calls its boxes in place of shaft or bore: `piston`.
    pub called: Option<Text>,
}

/// A state of assembly that must be reached before measuring.
#[derive(Clone, Debug)]
pub struct Condition {
    pub id: Text,
    pub name: Text,
    /// What is to be done, each with its own tick.
    pub steps: Vec<Text>,
    /// The gauge that they are done with: a torque wrench.
    pub with: Option<Text>,
    /// States that the engine cannot be in at the same time, by their names.
    pub excludes: Vec<Text>,
    /// Only measured in: when the engine is put together its steps are not printed,
    /// as the form has its own words for them or the state is passed through.
    pub measuring_only: bool,
}

/// What a piece of work on a part reopens.
#[derive(Clone, Debug)]
pub struct Rework {
    pub id: Text,
    /// As printed: `journal ground undersize`.
    pub name: Text,
    pub part: PartId,
    /// The work is the change of the part itself.
    pub part_changed: bool,
    pub reopens: Vec<Reopens>,
    pub at: Span,
}

/// One thing that is to be measured or looked over again.
#[derive(Clone, Debug)]
pub enum Reopens {
    /// Readings of a feature.
    Feature(FeatureId),
    /// A line of the limits, by its reference.
    Line(Text),
    /// A block of a form, by its identifier.
    Block(Text),
}

impl Place {
    /// Whether a list of places is of this one: an empty list is of them all.
    pub fn is_among(&self, codes: &[Text]) -> bool {
        codes.is_empty() || codes.iter().any(|code| code.text == self.code.text)
    }
}

impl Feature {
    /// The labels of all its boxes, in paper order.
    pub fn labels(&self) -> Vec<String> {
        (0..self.boxes()).map(|n| self.label(n)).collect()
    }

    /// Boxes to fill for this feature at one place: planes by directions.
    pub fn boxes(&self) -> usize {
        self.directions.len() * self.planes.len().max(1)
    }

    /// Plane and direction of box `n`, counted plane by plane.
    pub fn plane_direction(&self, n: usize) -> (usize, usize) {
        (n / self.directions.len(), n % self.directions.len())
    }

    /// Whether box `n` counts for the fit.
    pub fn governs(&self, n: usize) -> bool {
        let (plane, direction) = self.plane_direction(n);
        self.governing_plane.is_none_or(|p| p == plane)
            && self.governing_direction.is_none_or(|d| d == direction)
    }

    /// The label of box `n`: `A`, `B`, or `top A` where there are planes.
    pub fn label(&self, n: usize) -> String {
        let (plane, direction) = self.plane_direction(n);
        let letter = char::from(b'A' + u8::try_from(direction.min(25)).unwrap_or(25));
        match self.planes.get(plane) {
            Some(plane) if self.directions.len() > 1 => format!("{plane} {letter}"),
            Some(plane) => plane.to_string(),
            None => letter.to_string(),
        }
    }
}

impl Engine {
    /// Whether the part that carries this feature is renewed at every overhaul.
    pub fn renews(&self, feature: FeatureId) -> bool {
        let part = self.features.get(feature.0).and_then(|feature| self.parts.get(feature.part.0));
        part.is_some_and(|part| part.always_renewed)
    }

    /// The place of a row, where single parts of this name sit there; `None`
    /// where one part serves all places.
    pub fn place_of(&self, part: PartId, row: Option<(usize, usize)>) -> Option<(usize, usize)> {
        let ((set, n), own) = (row?, self.parts[part].at?);
        if set == own {
            return row;
        }
        // A row at some places of the set that the parts sit at.
        let some = self.places.get(set).filter(|some| some.of == Some(own))?;
        let code = &some.places.get(n)?.code;
        let at = self.places.get(own)?.places.iter().position(|place| place.code.text == code.text);
        at.map(|at| (own, at))
    }

    pub fn part(&self, id: &str) -> Option<PartId> {
        self.parts.iter().position(|part| part.id.as_str() == id).map(PartId)
    }

    pub fn feature(&self, id: &str) -> Option<FeatureId> {
        self.features.iter().position(|feature| feature.id.as_str() == id).map(FeatureId)
    }

    /// The group on whose sheet the part is looked over.
    pub fn group_of(&self, part: PartId) -> Option<usize> {
        self.groups.iter().position(|group| group.parts.contains(&part))
    }

    /// Parts that are of one of the kinds, in the order of the file.
    pub fn parts_of(&self, kinds: &[Text]) -> Vec<PartId> {
        let of = |part: &Part| {
            part.kinds.iter().any(|own| kinds.iter().any(|kind| kind.text == own.text))
        };
        (0..self.parts.len()).filter(|n| of(&self.parts[*n])).map(PartId).collect()
    }

    pub fn place_set(&self, id: &str) -> Option<usize> {
        self.places.iter().position(|set| set.id.as_str() == id)
    }

    pub fn condition(&self, id: &str) -> Option<usize> {
        self.conditions.iter().position(|condition| condition.id.as_str() == id)
    }
}

table!(Feature, FeatureId);
table!(Part, PartId);
