//! Scans of filled sheets: the codes of squares on their pages. Files may come
//! from anyone: sizes are bounded and nothing is drawn from a page but its
//! pictures.

mod code;
mod grey;

use crate::archive::{Picture, pictures};
use crate::report::Scanned;
use grey::Grey;

/// A scan to carry, and what its pages show.
#[derive(Clone, Debug)]
pub struct Scan {
    /// A plain file name without folders.
    pub name: String,
    pub bytes: Vec<u8>,
    pub pages: Vec<Scanned>,
}

/// Looks at files of some names, in the order of their names.
pub fn read(mut files: Vec<(String, Vec<u8>)>) -> Vec<Scan> {
    files.sort();
    let mut patience = Patience::default();
    let each = files.into_iter().map(|(name, bytes)| {
        let pages = scanned(&name, &bytes, &mut patience);
        Scan { name, bytes, pages }
    });
    each.collect()
}

/// What kind of file a scan is, by how it begins.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    Pdf,
    Png,
    Jpeg,
}

impl Kind {
    pub fn of(bytes: &[u8]) -> Option<Kind> {
        match bytes {
            [b'%', b'P', b'D', b'F', b'-', ..] => Some(Kind::Pdf),
            [0x89, b'P', b'N', b'G', ..] => Some(Kind::Png),
            [0xFF, 0xD8, 0xFF, ..] => Some(Kind::Jpeg),
            _ => None,
        }
    }

    pub fn mime(self) -> &'static str {
        match self {
            Kind::Pdf => "application/pdf",
            Kind::Png => "image/png",
            Kind::Jpeg => "image/jpeg",
        }
    }
}

/// What may still be looked at, in dots: a thousand pages of A4 at 150 dots an
/// inch. Common practice, no source.
#[derive(Clone, Copy, Debug)]
struct Patience {
    left: u64,
}

impl Default for Patience {
    fn default() -> Patience {
        Patience { left: 1 << 31 }
    }
}

impl Patience {
    fn spend(&mut self, (width, height): (u32, u32)) -> Result<(), String> {
        let dots = u64::from(width) * u64::from(height);
        if dots > grey::MOST_DOTS {
            return Err(format!(
                "a picture of {width} by {height} dots is too large; scan at 300 dots an inch"
            ));
        }
        self.left = self
            .left
            .checked_sub(dots)
            .ok_or_else(|| "too much to look at before it".to_owned())?;
        Ok(())
    }
}

/// Looks at every page of a scan. A page that shows nothing, or cannot be
/// read, is in the list with the reason.
fn scanned(file: &str, bytes: &[u8], patience: &mut Patience) -> Vec<Scanned> {
    let one = |looked: Looked| {
        let Looked { codes, fault } = looked;
        vec![Scanned { file: file.to_owned(), page: 1, of: 1, codes, fault }]
    };
    match Kind::of(bytes) {
        Some(Kind::Pdf) => pages(file, bytes, patience),
        Some(Kind::Png) => one(Looked::at(grey::png(bytes, &mut |size| patience.spend(size)))),
        Some(Kind::Jpeg) => one(Looked::at(grey::jpeg(bytes, &mut |size| patience.spend(size)))),
        None => one(Looked::at(Err("neither a PDF nor a PNG nor a JPEG picture".to_owned()))),
    }
}

/// What was seen on one page.
#[derive(Default)]
struct Looked {
    codes: Vec<String>,
    fault: Option<String>,
}

impl Looked {
    fn at(grey: Result<Grey, String>) -> Looked {
        match grey {
            Ok(grey) => Looked { codes: code::codes(&grey), fault: None },
            Err(fault) => Looked { codes: Vec::new(), fault: Some(fault) },
        }
    }

    /// A page may be cut into strips.
    fn and(&mut self, other: Looked) {
        for code in other.codes {
            if !self.codes.contains(&code) {
                self.codes.push(code);
            }
        }
        self.fault = self.fault.take().or(other.fault);
    }
}

fn pages(file: &str, bytes: &[u8], patience: &mut Patience) -> Vec<Scanned> {
    let mut looked: Vec<Option<Looked>> = Vec::new();
    let read = pictures(bytes, &mut |page, picture| {
        if looked.len() <= page {
            looked.resize_with(page + 1, || None);
        }
        let seen = Looked::at(grey(&picture, patience));
        looked[page].get_or_insert_default().and(seen);
        true
    });
    let (count, broken) = match read {
        Ok(count) => (count, None),
        Err(refusal) => (looked.len(), Some(refusal.to_string())),
    };
    looked.resize_with(count, || None);
    let mut scans: Vec<Scanned> = looked
        .into_iter()
        .enumerate()
        .map(|(page, looked)| {
            let nothing = || Looked {
                codes: Vec::new(),
                fault: Some("no picture on it: not a scan".to_owned()),
            };
            let Looked { codes, fault } = looked.unwrap_or_else(nothing);
            Scanned { file: file.to_owned(), page: page + 1, of: count, codes, fault }
        })
        .collect();
    if let Some(fault) = broken {
        scans.push(Scanned {
            file: file.to_owned(),
            page: 0,
            of: 0,
            codes: Vec::new(),
            fault: Some(fault),
        });
    }
    scans
}

fn grey(picture: &Picture, patience: &mut Patience) -> Result<Grey, String> {
    let mut allow = |size| patience.spend(size);
    match picture {
        Picture::Jpeg(bytes) => grey::jpeg(bytes, &mut allow),
        Picture::Samples(samples) => grey::samples(samples, &mut allow),
        Picture::Fax { width, height, inverted, packed } => {
            grey::fax((*width, *height), *inverted, packed, &mut allow)
        }
        Picture::NotRead(why) => {
            Err(format!("a picture on it is {why}, not read here; scan as JPEG or PNG"))
        }
    }
}
