//! Limits by place: lines of one reference, each with places of its own, which
//! were one line of the file.

use super::engine::Engine;
use super::id::LineId;
use super::limits::{Limits, Line};

impl Limits {
    /// Every line of that reference: several where limits go by place.
    pub fn lines_of<'a>(&'a self, reference: &'a str) -> impl Iterator<Item = LineId> + 'a {
        let all = self.lines.iter().enumerate();
        let own = all.filter(move |(_, line)| line.reference.as_str() == reference);
        own.map(|(n, _)| LineId(n))
    }

    /// The lines of the file, each once: of those that go by place the first.
    pub fn typed_lines(&self) -> impl Iterator<Item = &Line> {
        let all = self.lines.iter().enumerate();
        let again = |n: usize, line: &Line| {
            n.checked_sub(1).is_some_and(|n| self.lines[n].reference.text == line.reference.text)
        };
        all.filter(move |(n, line)| !again(*n, line)).map(|(_, line)| line)
    }
}

impl Line {
    /// Whether it holds at a place of its set; any of them where none is named.
    pub fn holds_at(&self, place: Option<usize>) -> bool {
        let among = |only: &Vec<usize>| place.is_none_or(|place| only.contains(&place));
        self.only.as_ref().is_none_or(among)
    }

    /// Whether both hold at some place of a set.
    pub fn meets(&self, other: &Line) -> bool {
        let own = |only: &Vec<usize>| only.iter().any(|place| other.holds_at(Some(*place)));
        self.only.as_ref().is_none_or(own)
    }

    /// The codes of its rows: its reference and the place's code.
    pub fn row_codes(&self, engine: &Engine) -> Vec<String> {
        let code = |place: &str| format!("{}{place}", self.reference);
        match self.row_places(engine).and_then(|set| engine.places.get(set)) {
            Some(set) => {
                let places = set.places.iter().enumerate();
                let own = places.filter(|(n, _)| self.holds_at(Some(*n)));
                own.map(|(_, place)| code(place.code.as_str())).collect()
            }
            None => vec![code("")],
        }
    }

    /// The codes of the places that it holds at, where not all of them.
    pub fn places_named(&self, engine: &Engine) -> Option<String> {
        let only = self.only.as_ref()?;
        let set = engine.places.get(self.row_places(engine)?)?;
        let codes = only.iter().filter_map(|n| Some(set.places.get(*n)?.code.to_string()));
        Some(codes.collect::<Vec<_>>().join(", "))
    }
}
