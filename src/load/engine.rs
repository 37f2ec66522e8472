//! The engine file: places, parts, features, conditions and reworks.

use super::engine_keys::ENGINE;
use super::fields::{Fields, all_texts, file, spoken, twice, typed};
use super::forms::letter_fits;
use super::places::places;
use super::suggest::Known;
use super::toml::number;
use super::toml::tree::Value;
use crate::diag::{Diag, Diags, Severity, Sources};
use crate::model::engine::{Condition, Engine, Feature, Group, Part, PlaceSet, Reopens, Rework};
use crate::model::id::{FeatureId, PartId};
use crate::model::side::Side;
use crate::model::text::Text;
use crate::quantity::Length;

const SIDES: &[(&str, Side)] =
    &[("shaft", Side::Shaft), ("bore", Side::Bore), ("plain", Side::Only)];
/// More directions have no letter of their own.
const DIRECTIONS: u32 = 26;

/// Reads an engine file. `None` where it has any fault.
pub fn engine(files: &Sources, name: &str, out: &mut Diags) -> Option<Engine> {
    file(files, name, &ENGINE, out, |fields, out| {
        let head = fields.table("engine");
        let places = places(&fields, out);
        let reader = Reader::new(fields, out);
        let parts = reader.parts(&places, out);
        let groups = reader.groups(&parts, out);
        let features = reader.features(&parts, out);
        let conditions = reader.conditions(out);
        let reworks = reader.reworks(out);
        let head = head?;
        let (maker, model) = (head.text("maker")?, head.text("model")?);
        let unit = Length::read(head.text("unit")?.as_str())?;
        Some(Engine { maker, model, unit, places, parts, groups, features, conditions, reworks })
    })
}

/// What the tables of the file call one another.
struct Reader<'a> {
    fields: Fields<'a>,
    places: Known,
    parts: Known,
    features: Known,
    conditions: Known,
}

impl<'a> Reader<'a> {
    fn new(fields: Fields<'a>, out: &mut Diags) -> Reader<'a> {
        let known = |what, key, out: &mut Diags| {
            let names = fields.names(key);
            for name in &names {
                identifier(name, out);
            }
            Known::new(what, names.into_iter()).complete(fields.whole)
        };
        let places = known("set of places", "places", out);
        let parts = known("part", "parts", out);
        let features = known("feature", "features", out);
        let conditions = known("condition", "conditions", out);
        known("rework", "reworks", out);
        known("group", "groups", out);
        Reader { fields, places, parts, features, conditions }
    }

    fn parts(&self, places: &[PlaceSet], out: &mut Diags) -> Vec<Part> {
        let part = |(id, part): (&Text, Fields<'_>)| {
            let at = part.text("at").and_then(|at| self.places.find(&at, out));
            let set = at.and_then(|at| places.get(at));
            let count = count(&part, set, out);
            Part {
                id: id.clone(),
                name: part.text("name").unwrap_or_else(|| spoken(id)),
                one: part.text("one"),
                material: part.text("material"),
                expansion: part.node("expansion").and_then(typed),
                count,
                always_renewed: part.text("renewed").is_some(),
                kinds: part.texts("kinds").unwrap_or_default(),
                look_over: part.texts("look-over").unwrap_or_default(),
                look_over_at: part.text("look-over-at").and_then(|at| self.places.find(&at, out)),
                at,
            }
        };
        self.fields.named("parts").into_iter().map(part).collect()
    }

    fn groups(&self, parts: &[Part], out: &mut Diags) -> Vec<Group> {
        let mut seen: Vec<Option<Text>> = vec![None; parts.len()];
        let group = |(id, fields): (&Text, Fields<'_>)| {
            let named = fields.texts("parts").unwrap_or_default();
            let mut parts = Vec::new();
            for name in &named {
                let Some(part) = self.parts.find(name, out) else { continue };
                if let Some(first) = seen.get_mut(part).and_then(|seen| seen.replace(name.clone()))
                {
                    let message = format!("the part {name} stands in two groups");
                    let help = "the one on whose sheet it is looked over";
                    let fault = Diag::at(Severity::Fault, &name.at, message, help);
                    out.push(fault.also(first.at, "the first"));
                }
                parts.push(PartId(part));
            }
            let letter = fields.text("letter")?;
            letter_fits(&letter, out);
            Some(Group {
                id: id.clone(),
                letter,
                title: fields.text("title")?,
                subtitle: fields.text("subtitle"),
                parts,
                when: fields.text("when").and_then(|when| self.conditions.find(&when, out)),
                caution: fields.text("caution"),
                before: fields.texts("before").unwrap_or_default(),
                after: fields.texts("after").unwrap_or_default(),
                note: fields.text("note"),
            })
        };
        self.fields.named("groups").into_iter().filter_map(group).collect()
    }

    fn features(&self, parts: &[Part], out: &mut Diags) -> Vec<Feature> {
        let named = self.fields.named("features").into_iter();
        named.filter_map(|(id, feature)| self.feature((id, feature), parts, out)).collect()
    }

    fn feature(
        &self,
        (id, fields): (&Text, Fields<'_>),
        parts: &[Part],
        out: &mut Diags,
    ) -> Option<Feature> {
        let directions = directions(id, &fields, out);
        let planes = fields.texts("planes").unwrap_or_default();
        twice(&planes, "plane", out);
        let governing = fields.table("governing");
        let direction = governing.and_then(|g| g.whole("direction"));
        let when = fields.text("when").and_then(|when| self.conditions.find(&when, out));
        let part = fields.text("part").and_then(|part| self.parts.find(&part, out));
        let own = part.and_then(|part| parts.get(part));
        let at = match fields.text("at") {
            Some(at) => self.places.find(&at, out),
            None if fields.node("at").is_some() => None,
            None => own.and_then(|part| part.at),
        };
        if direction.is_some_and(|n| n == 0 || n as usize > directions.len()) {
            let place = governing.map_or(fields.at, |g| g.place("direction"));
            let message = format!("the feature has no direction {}", direction.unwrap_or(0));
            out.fault(place, message, format!("1 to {}", directions.len()));
        }
        let plane = governing.and_then(|g| g.text("plane"));
        let governing_plane =
            plane.and_then(|plane| Known::new("plane", planes.iter()).find(&plane, out));
        Some(Feature {
            id: id.clone(),
            name: fields.text("name").unwrap_or_else(|| spoken(id)),
            part: PartId(part?),
            side: fields.choice("kind", SIDES)?,
            at,
            directions,
            planes,
            governing_direction: direction.and_then(|n| (n as usize).checked_sub(1)),
            governing_plane,
            when,
            called: fields.text("called"),
        })
    }

    fn conditions(&self, out: &mut Diags) -> Vec<Condition> {
        let condition = |(id, fields): (&Text, Fields<'_>)| {
            let steps = fields.texts("steps").unwrap_or_default();
            if steps.is_empty() && fields.node("steps").is_some() {
                out.fault(
                    fields.place("steps"),
                    "a condition without steps",
                    "say what is to be done",
                );
            }
            Some(Condition {
                id: id.clone(),
                name: fields.text("name")?,
                steps,
                with: fields.text("with"),
                excludes: self.excluded(&fields, out),
                measuring_only: fields.flag("measuring-only").unwrap_or(false),
            })
        };
        self.fields.named("conditions").into_iter().filter_map(condition).collect()
    }

    fn excluded(&self, state: &Fields<'_>, out: &mut Diags) -> Vec<Text> {
        let named = state.texts("excludes").unwrap_or_default();
        named.into_iter().filter(|name| self.conditions.find(name, out).is_some()).collect()
    }

    fn reworks(&self, out: &mut Diags) -> Vec<Rework> {
        let rework = |(id, fields): (&Text, Fields<'_>)| {
            let part = fields.text("part").and_then(|part| self.parts.find(&part, out));
            let reopens = fields.texts("reopens").unwrap_or_default();
            let reopens = reopens.into_iter().filter_map(|word| self.reopens(word, out)).collect();
            let part_changed = fields.flag("part-changed").unwrap_or(false);
            let (name, at) = (fields.text("name")?, fields.at.clone());
            Some(Rework { id: id.clone(), name, part: PartId(part?), part_changed, reopens, at })
        };
        self.fields.named("reworks").into_iter().filter_map(rework).collect()
    }

    fn reopens(&self, word: Text, out: &mut Diags) -> Option<Reopens> {
        let (kind, name) = word.as_str().split_once(' ').unwrap_or((word.as_str(), ""));
        let named = Text { text: name.trim().into(), at: word.at.clone() };
        match kind {
            _ if named.as_str().is_empty() => {
                let help = "\"feature cam-journal\", \"line EC\" or \"block tappet-faces\"";
                out.fault(&word.at, format!("\"{word}\" names nothing to reopen"), help);
                None
            }
            "feature" => self.features.find(&named, out).map(|n| Reopens::Feature(FeatureId(n))),
            "line" => Some(Reopens::Line(named)),
            "block" => Some(Reopens::Block(named)),
            _ => {
                let help = "a feature, a line or a block: \"feature cam-journal\"";
                out.fault(&word.at, format!("\"{kind}\" cannot be reopened"), help);
                None
            }
        }
    }
}

/// How many of a part the engine has: as many at each of its places, one where
/// nothing is said.
fn count(part: &Fields<'_>, set: Option<&PlaceSet>, out: &mut Diags) -> u32 {
    let places = set.map_or(1, |set| u32::try_from(set.places.len()).unwrap_or(u32::MAX));
    let Some(count) = part.whole("count") else { return places };
    let place = part.place("count");
    match set {
        _ if count == 0 => {
            out.fault(place, "a part of which there are none", "1 or more, or no such part");
        }
        Some(set) if places > 0 && !count.is_multiple_of(places) => {
            let message =
                format!("{count} of a part that sits at the {places} places of {}", set.id);
            out.fault(place, message, format!("{places}, or as many more at each place"));
        }
        _ => {}
    }
    count
}

/// Identifiers are lower case, digits and hyphens.
fn identifier(name: &Text, out: &mut Diags) {
    let fits = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-';
    if name.as_str().is_empty() || !name.as_str().bytes().all(fits) {
        let tidy: String =
            name.as_str().to_lowercase().split(['_', ' ', '.']).collect::<Vec<_>>().join("-");
        out.fault(
            &name.at,
            format!("the name {name} is more than small letters, digits and hyphens"),
            tidy,
        );
    }
}

/// One unnamed direction, a number of them, or each in words.
fn directions(id: &Text, fields: &Fields<'_>, out: &mut Diags) -> Vec<Text> {
    let unnamed = |count: u32| {
        let word = Text { text: "".into(), at: id.at.clone() };
        vec![word; count.max(1) as usize]
    };
    let Some(node) = fields.node("directions") else {
        return unnamed(1);
    };
    let words = all_texts(node);
    match &node.value {
        Value::Unread => unnamed(1),
        Value::Figure(raw) if number::digits(raw) => match raw.parse() {
            Ok(count @ 1..=DIRECTIONS) => unnamed(count),
            _ => {
                out.fault(&node.at, format!("{raw} directions"), format!("1 to {DIRECTIONS}"));
                unnamed(1)
            }
        },
        Value::List(list)
            if words.len() == list.len() && (1..=DIRECTIONS as usize).contains(&words.len()) =>
        {
            words
        }
        _ => {
            let help =
                "a number, or what each is: [\"in line with the dowel\", \"at right angles\"]";
            out.fault(&node.at, "directions that are neither counted nor named", help);
            unnamed(1)
        }
    }
}
