//! Who may sign a report, where, and with which words: what `sign` writes and
//! what a proof expects to find.

use crate::layout::length::Len;
use crate::layout::mark::Area;
use crate::model::Case;
use crate::model::job::Person;
use crate::pages::report::SignPlace;
use crate::sign::{Moment, Placement, Places, Signer, Signing};

/// A person of the job with a place on the sign-off page.
#[derive(Clone, Debug)]
pub struct Signatory<'a> {
    person: &'a Person,
    what_for: String,
    own: Placement,
    /// The places of the others, in the order of the page.
    later: Vec<Placement>,
}

impl Signatory<'_> {
    /// As it is handed to [`crate::sign::sign`].
    pub fn signing(&self, claimed: Moment) -> Signing<'_> {
        let number = self.person.certificate.as_ref();
        Signing {
            signer: Signer {
                name: self.person.name.as_str(),
                role: self.person.role.word(),
                certificate_number: number.map_or("", |number| number.as_str()),
                claimed,
                what_for: &self.what_for,
            },
            places: Places { own: self.own, later: &self.later },
        }
    }
}

/// A person as the job's places have it; `None` where there is no place.
pub fn signatory<'a>(person: &'a Person, places: &[SignPlace]) -> Option<Signatory<'a>> {
    let name = person.name.as_str();
    let own = places.iter().find(|place| place.name == name).map(placement)?;
    let later = places.iter().filter(|place| place.name != name).map(placement).collect();
    let what_for = format!("the sheets that carry {}", person.initials);
    Some(Signatory { person, what_for, own, later })
}

/// All who may sign a job's report.
pub fn signatories<'a>(case: &'a Case, places: &[SignPlace]) -> Vec<Signatory<'a>> {
    case.job.people.iter().filter_map(|person| signatory(person, places)).collect()
}

fn placement(place: &SignPlace) -> Placement {
    Placement { page: place.page, area: within(place.area) }
}

/// Clear of the frame that is printed around a signature's place.
fn within(area: Area) -> Area {
    let clear = Len::mm(1.4);
    Area { x: area.x + clear, y: area.y + clear, w: area.w - clear * 2, h: area.h - clear * 2 }
}
