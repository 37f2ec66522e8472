//! What was changed behind a signature: two states of a file compared by what
//! they hold, not by their bytes.

use std::collections::{BTreeMap, HashSet};
use std::fmt;

use crate::archive::open::{Field, carried_names, fields};
use crate::archive::pages::{inherited, pages};
use crate::archive::read::File;
use crate::archive::read::value::{Dict, Value, shown};
use crate::archive::refusal::Refusal;

/// Something that is not a further signature.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Change {
    PagesAdded {
        count: usize,
    },
    PagesRemoved {
        count: usize,
    },
    PagesMoved,
    /// Index of the page, from 0.
    Page {
        page: usize,
    },
    CarriedAdded {
        name: String,
    },
    CarriedRemoved {
        name: String,
    },
    CarriedReplaced {
        name: String,
    },
    /// A field of the form, or a signature in it.
    Field {
        name: String,
    },
    /// Title, author or another part of the description.
    Titles,
    /// Another key of the catalog.
    Other {
        key: String,
    },
    /// No field of the form leads to this signature any more.
    TakenOut,
    /// A further signature, where the first signer allowed none.
    NotAllowed,
}

impl fmt::Display for Change {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Change::PagesAdded { count: 1 } => write!(f, "a page was added"),
            Change::PagesAdded { count } => write!(f, "{count} pages were added"),
            Change::PagesRemoved { count: 1 } => write!(f, "a page was taken out"),
            Change::PagesRemoved { count } => write!(f, "{count} pages were taken out"),
            Change::PagesMoved => write!(f, "pages were put in another order"),
            Change::Page { page } => write!(f, "page {} was changed", page + 1),
            Change::CarriedAdded { name } => write!(f, "the carried file {name} was added"),
            Change::CarriedRemoved { name } => write!(f, "the carried file {name} was taken out"),
            Change::CarriedReplaced { name } => write!(f, "the carried file {name} was replaced"),
            Change::Field { name } => write!(f, "the field {name} was changed"),
            Change::Titles => write!(f, "the title or another description was changed"),
            Change::Other { key } => write!(f, "the catalog's part {key} was changed"),
            Change::TakenOut => write!(f, "this signature was taken out of the form"),
            Change::NotAllowed => {
                write!(f, "a signature was added, which the first signer did not allow")
            }
        }
    }
}

/// Everything but further signatures that differs between two states. Where
/// somebody said what may follow (`limited`), a further signature must be in a
/// place that was there.
pub fn changes(old: &File<'_>, new: &File<'_>, limited: bool) -> Result<Vec<Change>, Refusal> {
    let mut compared = Compared { old, new, alike: HashSet::new(), changes: Vec::new() };
    let (before, now) = (old.catalog()?, new.catalog()?);
    let added = compared.form(&before, &now)?;
    if limited && !added.is_empty() {
        compared.changes.push(Change::NotAllowed);
    }
    compared.pages(&added)?;
    compared.carried(&before, &now)?;
    compared.catalog(&before, &now)?;
    let info = |file: &File<'_>| file.trailer().get("Info").cloned().unwrap_or(Value::Null);
    if !compared.same(info(old), info(new))? {
        compared.changes.push(Change::Titles);
    }
    Ok(compared.changes)
}

struct Compared<'f, 'a> {
    old: &'f File<'a>,
    new: &'f File<'a>,
    /// Pairs of objects known to be alike, or that are compared elsewhere.
    alike: HashSet<(u32, u32)>,
    changes: Vec<Change>,
}

impl Compared<'_, '_> {
    /// Whether two values stand for the same thing, through all that they
    /// refer to. A pair that is met again is taken as alike until it is shown
    /// otherwise.
    fn same(&mut self, one: Value, other: Value) -> Result<bool, Refusal> {
        let mut met = HashSet::new();
        let mut waiting = vec![(one, other)];
        while let Some((one, other)) = waiting.pop() {
            if let (Value::Ref(a, _), Value::Ref(b, _)) = (&one, &other)
                && (self.alike.contains(&(*a, *b)) || !met.insert((*a, *b)))
            {
                continue;
            }
            let (one, other) = (self.old.resolve(&one)?, self.new.resolve(&other)?);
            match (one, other) {
                (Value::Stream(a, r), Value::Stream(b, s)) => {
                    if self.old.bytes.get(r) != self.new.bytes.get(s) {
                        return Ok(false);
                    }
                    pair_up(a, b, &mut waiting);
                }
                (Value::Dict(a), Value::Dict(b)) => pair_up(a, b, &mut waiting),
                (Value::List(a), Value::List(b)) => {
                    if a.len() != b.len() {
                        return Ok(false);
                    }
                    waiting.extend(a.into_iter().zip(b));
                }
                (a, b) if a != b => return Ok(false),
                _ => {}
            }
        }
        self.alike.extend(met);
        Ok(true)
    }

    /// Compares the form, and gives the objects of the signatures added.
    fn form(&mut self, before: &Dict, now: &Dict) -> Result<HashSet<u32>, Refusal> {
        let (old, new) = (fields(self.old)?, fields(self.new)?);
        let mut added = HashSet::new();
        for field in &new {
            let known = old.iter().any(|f| f.object == field.object && f.object.is_some());
            if known {
                continue;
            }
            match (field.object, &field.signature) {
                (Some(object), Some(_)) if self.plain(field)? => {
                    added.insert(object);
                }
                _ => self.field(&field.name),
            }
        }
        // The pages that a field names are compared by themselves.
        let list = |file: &File<'_>, catalog: &Dict| -> Result<(Dict, Vec<Value>), Refusal> {
            let form = file.dict(catalog.get("AcroForm"))?.unwrap_or_default();
            let fields = file.list(&form, "Fields")?;
            Ok((form, fields))
        };
        let (old_form, old_fields) = list(self.old, before)?;
        let (new_form, new_fields) = list(self.new, now)?;
        self.mark_pages()?;
        for (at, one) in old_fields.iter().enumerate() {
            let other = new_fields.get(at).cloned().unwrap_or(Value::Null);
            if self.filled_in(one, &other, &old, &new)? {
                continue;
            }
            if !self.same(one.clone(), other)? {
                let name = old.get(at).map_or(String::new(), |f| f.name.clone());
                self.field(&name);
            }
        }
        for extra in new_fields.iter().skip(old_fields.len()) {
            if !matches!(extra, Value::Ref(object, _) if added.contains(object)) {
                self.field("without a signature");
            }
        }
        let rest = |form: Dict| without(form, &["Fields", "SigFlags"]);
        if !self.same(rest(old_form), rest(new_form))? {
            self.field("as a whole");
        }
        Ok(added)
    }

    /// Whether a field that was empty now holds a signature and is otherwise
    /// as it was, but for its look.
    fn filled_in(
        &mut self,
        one: &Value,
        other: &Value,
        old: &[Field],
        new: &[Field],
    ) -> Result<bool, Refusal> {
        let (Value::Ref(object, _), true) = (one, one == other) else {
            return Ok(false);
        };
        let signed = |fields: &[Field]| {
            let mut fields = fields.iter().filter(|f| f.object == Some(*object));
            fields.next().map(|f| f.signature.is_some())
        };
        if signed(old) != Some(false) || signed(new) != Some(true) {
            return Ok(false);
        }
        let before = self.old.dict(Some(one))?.unwrap_or_default();
        let now = self.new.dict(Some(other))?.unwrap_or_default();
        let rest = |dict| without(dict, &["V", "AP"]);
        let same = self.same(rest(before), rest(now))?;
        if same {
            // Its page shows it too, and is compared by itself.
            self.alike.insert((*object, *object));
        }
        Ok(same)
    }

    /// A signature added does nothing but show itself.
    fn plain(&self, field: &Field) -> Result<bool, Refusal> {
        let object = field.object.unwrap_or_default();
        let dict = self.new.dict(Some(&Value::Ref(object, 0)))?;
        let dict = dict.unwrap_or_default();
        let fresh = self.old.object(object, 0)? == Value::Null;
        Ok(fresh && dict.get("A").is_none() && dict.get("AA").is_none())
    }

    fn field(&mut self, name: &str) {
        let change = Change::Field { name: name.to_string() };
        if !self.changes.contains(&change) {
            self.changes.push(change);
        }
    }

    fn mark_pages(&mut self) -> Result<(), Refusal> {
        let old: HashSet<u32> = pages(self.old)?.iter().map(|p| p.0).collect();
        let both = pages(self.new)?.into_iter().map(|p| p.0);
        let both = both.filter(|number| old.contains(number));
        self.alike.extend(both.map(|number| (number, number)));
        Ok(())
    }

    fn pages(&mut self, added: &HashSet<u32>) -> Result<(), Refusal> {
        let (old, new) = (pages(self.old)?, pages(self.new)?);
        let numbers = |pages: &[(u32, u16, Dict)]| pages.iter().map(|p| p.0).collect::<Vec<_>>();
        let (before, now) = (numbers(&old), numbers(&new));
        let missing = |from: &[u32], of: &[u32]| {
            let from: HashSet<&u32> = from.iter().collect();
            of.iter().filter(|n| !from.contains(n)).count()
        };
        let (more, fewer) = (missing(&before, &now), missing(&now, &before));
        if more > 0 {
            self.changes.push(Change::PagesAdded { count: more });
        }
        if fewer > 0 {
            self.changes.push(Change::PagesRemoved { count: fewer });
        }
        if more + fewer == 0 && before != now {
            self.changes.push(Change::PagesMoved);
        }
        let by_number: BTreeMap<u32, &Dict> = new.iter().map(|(n, _, d)| (*n, d)).collect();
        for (page, (number, _, one)) in old.iter().enumerate() {
            let Some(other) = by_number.get(number) else {
                continue;
            };
            if !self.page(one, other, added)? {
                self.changes.push(Change::Page { page });
            }
        }
        Ok(())
    }

    fn page(&mut self, one: &Dict, other: &Dict, added: &HashSet<u32>) -> Result<bool, Refusal> {
        for key in ["Resources", "MediaBox", "CropBox", "Rotate"] {
            let before = inherited(self.old, one, key)?;
            if !self.same(before, inherited(self.new, other, key)?)? {
                return Ok(false);
            }
        }
        let before = self.old.list(one, "Annots")?;
        let now = self.new.list(other, "Annots")?;
        let extra = now.get(before.len()..);
        let signatures = |v: &Value| matches!(v, Value::Ref(number, 0) if added.contains(number));
        if !extra.is_some_and(|extra| extra.iter().all(signatures)) {
            return Ok(false);
        }
        let kept = now[..before.len()].to_vec();
        if !self.same(before.into(), kept.into())? {
            return Ok(false);
        }
        let rest = |page: &Dict| without(page.clone(), &["Annots", "Parent", "Resources"]);
        self.same(rest(one), rest(other))
    }

    fn carried(&mut self, before: &Dict, now: &Dict) -> Result<(), Refusal> {
        let old: BTreeMap<_, _> = carried_names(self.old, before)?.into_iter().collect();
        let mut new: BTreeMap<_, _> = carried_names(self.new, now)?.into_iter().collect();
        for (name, one) in old {
            let Some(other) = new.remove(&name) else {
                let name = shown(&name);
                self.changes.push(Change::CarriedRemoved { name });
                continue;
            };
            if !self.same(one, other)? {
                let name = shown(&name);
                self.changes.push(Change::CarriedReplaced { name });
            }
        }
        for name in new.keys().map(|name| shown(name)) {
            self.changes.push(Change::CarriedAdded { name });
        }
        Ok(())
    }

    fn catalog(&mut self, before: &Dict, now: &Dict) -> Result<(), Refusal> {
        // Compared by themselves, or only there to keep a signature checkable.
        const APART: [&str; 5] = ["Pages", "AcroForm", "DSS", "Extensions", "Names"];
        let keys = before.0.iter().chain(&now.0).map(|(key, _)| key.clone());
        let keys: std::collections::BTreeSet<Vec<u8>> = keys.collect();
        for key in keys.iter().map(|key| String::from_utf8_lossy(key)) {
            if APART.contains(&key.as_ref()) {
                continue;
            }
            let value = |dict: &Dict| dict.get(&key).cloned().unwrap_or(Value::Null);
            if !self.same(value(before), value(now))? {
                // A replaced file is in the list of files too.
                let told = key == "AF" && self.changes.iter().any(of_carried);
                if key == "Metadata" {
                    self.changes.push(Change::Titles);
                } else if !told {
                    let key = key.into_owned();
                    self.changes.push(Change::Other { key });
                }
            }
        }
        let names = |file: &File<'_>, catalog: &Dict| -> Result<Value, Refusal> {
            let names = file.dict(catalog.get("Names"))?.unwrap_or_default();
            Ok(without(names, &["EmbeddedFiles"]))
        };
        let (one, other) = (names(self.old, before)?, names(self.new, now)?);
        if !self.same(one, other)? {
            let key = "Names".to_string();
            self.changes.push(Change::Other { key });
        }
        Ok(())
    }
}

fn of_carried(change: &Change) -> bool {
    matches!(
        change,
        Change::CarriedAdded { .. }
            | Change::CarriedRemoved { .. }
            | Change::CarriedReplaced { .. }
    )
}

fn without(mut dict: Dict, keys: &[&str]) -> Value {
    dict.0.retain(|(key, _)| !keys.iter().any(|k| k.as_bytes() == key));
    Value::Dict(dict)
}

/// The values of each key of either, a missing one being null.
fn pair_up(a: Dict, b: Dict, waiting: &mut Vec<(Value, Value)>) {
    let mut rest: BTreeMap<Vec<u8>, Value> = b.0.into_iter().collect();
    for (key, value) in a.0 {
        let other = rest.remove(&key).unwrap_or(Value::Null);
        waiting.push((value, other));
    }
    waiting.extend(rest.into_values().map(|value| (Value::Null, value)));
}
