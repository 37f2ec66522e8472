//! Reading a PDF from outside. Written for files that mean harm: every loop
//! and every buffer has a bound, nothing is repaired, and what two programs
//! might read differently is refused.

pub(super) mod alike;
pub(super) mod bounds;
pub(super) mod form;
mod inflate;
mod lex;
pub(super) mod names;
mod object;
pub(super) mod open;
mod pages;
pub(super) mod pictures;
mod table;
pub mod value;

pub use alike::{Alike, Differs, alike, first_difference, packed_there};
pub use bounds::{BOUNDS, Refusal};
pub(crate) use open::{Field, fields};
pub use pages::{media_box, pages};
pub use table::Section;

use std::cell::RefCell;
use std::collections::HashMap;
use std::ops::Range;
use std::rc::Rc;

use inflate::{Budget, unpack};
use lex::Lexer;
use table::Place;
use value::{Dict, Value};

/// The value that stands at a place, whatever else the file holds.
pub fn value_at(bytes: &[u8], at: usize) -> Result<Value, Refusal> {
    Lexer::new(bytes, at).value()
}

/// An opened file.
pub struct File<'a> {
    pub bytes: &'a [u8],
    /// The newest first.
    pub sections: Vec<Section>,
    places: HashMap<u32, Place>,
    budget: Rc<Budget>,
    packs: RefCell<HashMap<u32, Rc<Pack>>>,
}

/// A stream of objects (ISO 32000-1, 7.5.7), unpacked.
struct Pack {
    bytes: Vec<u8>,
    /// Number and place of each object.
    index: Vec<(u32, usize)>,
}

impl<'a> File<'a> {
    /// Reads the table of objects; objects are read when they are asked for.
    pub fn open(bytes: &'a [u8]) -> Result<File<'a>, Refusal> {
        File::within(bytes, Rc::new(Budget::new(bytes.len())))
    }

    fn within(bytes: &'a [u8], budget: Rc<Budget>) -> Result<File<'a>, Refusal> {
        if bytes.len() > BOUNDS.file {
            return Err(Refusal::Bound { what: "bytes", most: BOUNDS.file });
        }
        if !bytes.starts_with(b"%PDF-") {
            return Err(Refusal::NotPdf);
        }
        let table = table::table(bytes, &budget)?;
        Ok(File {
            bytes,
            sections: table.sections,
            places: table.places,
            budget,
            packs: RefCell::default(),
        })
    }

    pub fn trailer(&self) -> &Dict {
        // There is always one section: opening fails without.
        &self.sections[0].trailer
    }

    pub fn catalog(&self) -> Result<Dict, Refusal> {
        self.dict(self.trailer().get("Root"))?.ok_or_else(|| self.broken("its catalog is missing"))
    }

    pub fn broken(&self, what: &'static str) -> Refusal {
        let at = self.sections.first().map_or(0, |s| s.at);
        Refusal::Broken { what, at }
    }

    /// The number behind the highest that is in use.
    pub fn next_number(&self) -> u32 {
        let highest = self.places.keys().max().copied().unwrap_or_default();
        let size = self.trailer().int("Size").unwrap_or_default();
        u32::try_from(size).unwrap_or_default().max(highest + 1)
    }

    /// The object of a number; null where there is none.
    pub fn object(&self, number: u32, generation: u16) -> Result<Value, Refusal> {
        match self.places.get(&number) {
            Some(Place::At(at, g)) if *g == generation => self.at(number, *at, 0).map(|o| o.value),
            Some(Place::Packed(pack, nth)) if generation == 0 => self.packed(number, *pack, *nth),
            _ => Ok(Value::Null),
        }
    }

    /// Where an object lies in the file, if by itself.
    pub fn extent(&self, number: u32) -> Result<Option<Range<usize>>, Refusal> {
        match self.places.get(&number) {
            Some(Place::At(at, _)) => {
                let end = self.at(number, *at, 0)?.end;
                Ok(Some(*at..end))
            }
            _ => Ok(None),
        }
    }

    /// Where the objects that lie in the file by themselves begin, in the file's
    /// order, with their numbers.
    pub fn starts(&self) -> Vec<(usize, u32)> {
        let places = self.places.iter().filter_map(|(number, place)| match place {
            Place::At(at, _) => Some((*at, *number)),
            Place::Packed(..) | Place::Free => None,
        });
        let mut starts: Vec<(usize, u32)> = places.collect();
        starts.sort_unstable();
        starts
    }

    /// Follows references to what they stand for.
    pub fn resolve(&self, value: &Value) -> Result<Value, Refusal> {
        let mut value = value.clone();
        for _ in 0..16 {
            let Value::Ref(number, generation) = value else {
                return Ok(value);
            };
            value = self.object(number, generation)?;
        }
        match value {
            Value::Ref(object, _) => Err(Refusal::Cycle { object }),
            other => Ok(other),
        }
    }

    /// The value of a key, or null.
    pub fn entry(&self, dict: &Dict, key: &str) -> Result<Value, Refusal> {
        dict.get(key).map_or(Ok(Value::Null), |v| self.resolve(v))
    }

    pub fn dict(&self, value: Option<&Value>) -> Result<Option<Dict>, Refusal> {
        let Some(value) = value else { return Ok(None) };
        match self.resolve(value)? {
            Value::Dict(dict) | Value::Stream(dict, _) => Ok(Some(dict)),
            _ => Ok(None),
        }
    }

    /// The list of a key; none where it is missing.
    pub fn list(&self, dict: &Dict, key: &str) -> Result<Vec<Value>, Refusal> {
        match self.entry(dict, key)? {
            Value::List(list) => Ok(list),
            _ => Ok(Vec::new()),
        }
    }

    /// Unpacks a stream.
    pub fn unpacked(&self, dict: &Dict, range: &Range<usize>) -> Result<Vec<u8>, Refusal> {
        let packed = self.bytes.get(range.clone()).unwrap_or_default();
        unpack(dict, packed, range.start, &self.budget)
    }

    /// Unpacks the samples of one picture, from a budget of its own: a scan of
    /// many pages is read picture by picture and never kept.
    pub fn picture(&self, dict: &Dict, range: &Range<usize>) -> Result<Vec<u8>, Refusal> {
        let packed = self.bytes.get(range.clone()).unwrap_or_default();
        unpack(dict, packed, range.start, &Budget::for_picture())
    }

    /// Inflates bytes that another filter is to read afterwards.
    pub fn inflated(&self, packed: &[u8], at: usize) -> Result<Vec<u8>, Refusal> {
        let dict = Dict::default().with("Filter", "FlateDecode");
        unpack(&dict, packed, at, &Budget::for_picture())
    }

    fn at(&self, number: u32, at: usize, depth: u8) -> Result<object::Placed, Refusal> {
        let length = |other: u32| match self.places.get(&other) {
            // A length is a number by itself: never through another stream.
            Some(Place::At(at, _)) if depth == 0 && other != number => {
                let found = self.at(other, *at, 1).ok()?;
                match found.value {
                    Value::Int(n) => usize::try_from(n).ok(),
                    _ => None,
                }
            }
            Some(Place::Packed(pack, nth)) if depth == 0 && other != number => {
                match self.packed(other, *pack, *nth).ok()? {
                    Value::Int(n) => usize::try_from(n).ok(),
                    _ => None,
                }
            }
            _ => None,
        };
        let placed = object::read(self.bytes, at, &length)?;
        self.budget.read(placed.end.saturating_sub(at))?;
        if placed.number != number {
            let what = "its table of objects leads to another object";
            return Err(Refusal::Broken { what, at });
        }
        if let Some(Place::At(_, generation)) = self.places.get(&number)
            && *generation != placed.generation
        {
            let what = "its table of objects leads to another object";
            return Err(Refusal::Broken { what, at });
        }
        Ok(placed)
    }

    fn packed(&self, number: u32, pack: u32, nth: usize) -> Result<Value, Refusal> {
        let pack = self.pack(pack)?;
        let wrong = || self.broken("an object is missing where the table has it");
        let (found, at) = pack.index.get(nth).copied().ok_or_else(wrong)?;
        if found != number {
            return Err(wrong());
        }
        let mut lexer = Lexer::new(&pack.bytes, at);
        let value = lexer.value()?;
        self.budget.read(lexer.at - at)?;
        Ok(value)
    }

    fn pack(&self, number: u32) -> Result<Rc<Pack>, Refusal> {
        if let Some(pack) = self.packs.borrow().get(&number) {
            return Ok(Rc::clone(pack));
        }
        let wrong = || self.broken("a stream of objects is written wrongly");
        let Some(Place::At(at, _)) = self.places.get(&number) else {
            return Err(wrong());
        };
        // Depth 1: its length must not lie in a stream of objects.
        let Value::Stream(dict, range) = self.at(number, *at, 1)?.value else {
            return Err(wrong());
        };
        let bytes = self.unpacked(&dict, &range)?;
        let count = dict.int("N").and_then(|n| usize::try_from(n).ok());
        let first = dict.int("First").and_then(|n| usize::try_from(n).ok());
        let (Some(count), Some(first)) = (count, first) else {
            return Err(wrong());
        };
        if dict.name("Type") != Some(b"ObjStm") || count > BOUNDS.objects || first > bytes.len() {
            return Err(wrong());
        }
        let mut lexer = Lexer::new(&bytes, 0);
        let mut index = Vec::new();
        for _ in 0..count {
            let number = u32::try_from(lexer.whole()?).map_err(|_| wrong())?;
            let at = usize::try_from(lexer.whole()?).map_err(|_| wrong())?;
            let at = first.checked_add(at).filter(|at| *at <= bytes.len());
            index.push((number, at.ok_or_else(wrong)?));
        }
        let pack = Rc::new(Pack { bytes, index });
        self.packs.borrow_mut().insert(number, Rc::clone(&pack));
        Ok(pack)
    }
}
