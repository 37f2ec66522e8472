//! Scans of filled sheets: the codes of squares on their pages. Files may come
//! from anyone: sizes are bounded and nothing is drawn from a page but its
//! pictures.

mod code;
mod counted;
mod cut_out;
mod figures;
mod grey;
mod net;
mod page;
mod patch;
pub mod place;

pub use code::{Code, THREAD};
pub use cut_out::{CutOut, FINE};
pub use figures::{Figure, figures};
pub use grey::Grey;
pub use net::Seen;
pub use page::Scanned;
pub use patch::Cell;

use crate::pdf::{Picture, pictures};

/// A scan to carry, and what its pages show.
#[derive(Clone, Debug)]
pub struct Scan {
    /// A plain file name without folders.
    pub name: String,
    pub bytes: Vec<u8>,
    pub pages: Vec<Scanned>,
}

/// Looks at files of some names, in the order of their names.
pub fn read(files: Vec<(String, Vec<u8>)>) -> Vec<Scan> {
    read_within(files, &mut Looks::default())
}

/// The same where other scans are looked at besides.
pub fn read_within(files: Vec<(String, Vec<u8>)>, looks: &mut Looks) -> Vec<Scan> {
    read_with(files, looks, &mut |_| ())
}

/// A picture with codes on it, while it is at hand.
pub struct Shown<'a> {
    pub file: &'a str,
    /// From 1.
    pub page: usize,
    pub picture: &'a Grey,
    pub codes: &'a [Code],
}

/// The same, and shows each picture that has a code: one is at hand at a time.
pub fn read_with(
    mut files: Vec<(String, Vec<u8>)>,
    looks: &mut Looks,
    show: &mut dyn FnMut(Shown<'_>),
) -> Vec<Scan> {
    files.sort();
    let all = looks.for_one();
    let mut budget = PixelBudget { page: A_PAGE, all };
    let each = files.into_iter().map(|(name, bytes)| {
        let pages = scanned(&name, &bytes, &mut budget, show);
        Scan { name, bytes, pages }
    });
    let scans = each.collect();
    looks.spend(all, budget.all);
    scans
}

/// What may still be looked at in reports that are carried within each other:
/// of each as much as of one alone, of all together so many times as much.
#[derive(Debug)]
pub struct Looks {
    left: Left,
    /// Pages that may still be found by their lines and read box by box.
    pub pages: usize,
}

const TOGETHER: u64 = 4;

/// Ten sets of the demonstration, a third of a second each. Common practice, no
/// source.
const PAGES: usize = 400;

impl Default for Looks {
    fn default() -> Looks {
        let left = Left { dots: IN_ALL.dots * TOGETHER, work: IN_ALL.work * TOGETHER };
        Looks { left, pages: PAGES }
    }
}

impl Looks {
    fn for_one(&self) -> Left {
        let Left { dots, work } = self.left;
        Left { dots: IN_ALL.dots.min(dots), work: IN_ALL.work.min(work) }
    }

    fn spend(&mut self, before: Left, after: Left) {
        self.left.dots -= before.dots - after.dots;
        self.left.work -= before.work - after.work;
    }
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

/// What may still be looked at.
#[derive(Clone, Copy, Debug)]
struct Left {
    dots: u64,
    /// Dots that the reader of codes asks for or sets.
    work: u64,
}

/// A thousand pages of A4 at 150 dots an inch, each with a code that the first
/// look finds. Common practice, no source.
const IN_ALL: Left = Left { dots: 1 << 31, work: 1 << 34 };

/// A page of A4 at 800 dots an inch, and every look at one of 300
/// (`tests/bench/RESULTS.md` says how long the worst of pictures takes).
const A_PAGE: Left = Left { dots: grey::MOST_DOTS, work: 1 << 29 };

/// What may still be looked at of the page and in all.
#[derive(Clone, Copy, Debug)]
struct PixelBudget {
    page: Left,
    all: Left,
}

impl PixelBudget {
    fn turn_over(&mut self) {
        self.page = A_PAGE;
    }

    fn at_an_end(&self) -> bool {
        self.all.dots == 0 || self.all.work == 0
    }

    /// Looks for codes within what is left.
    fn codes(&mut self, grey: &Grey) -> code::Codes {
        let most = self.page.work.min(self.all.work);
        let mut left = most;
        let codes = code::codes(grey, &mut left);
        self.page.work -= most - left;
        self.all.work -= most - left;
        codes
    }

    fn spend(&mut self, (width, height): (u32, u32)) -> Result<(), String> {
        let dots = u64::from(width) * u64::from(height);
        if dots > grey::MOST_DOTS {
            return Err(format!(
                "a picture of {width} by {height} dots is too large; scan at 300 dots an inch"
            ));
        }
        if dots > self.page.dots {
            return Err("too much to look at on one page".to_owned());
        }
        if dots > self.all.dots {
            // What is smaller is not looked at either: what is left out does
            // not hang on the order of the pages.
            self.all.dots = 0;
            return Err(TOO_MUCH.to_owned());
        }
        self.page.dots -= dots;
        self.all.dots -= dots;
        Ok(())
    }
}

/// Of a page that is not looked at any more.
const TOO_MUCH: &str = "too much to look at before it";

/// Looks at every page of a scan. A page that shows nothing, or cannot be
/// read, is in the list with the reason.
fn scanned(
    file: &str,
    bytes: &[u8],
    budget: &mut PixelBudget,
    show: &mut dyn FnMut(Shown<'_>),
) -> Vec<Scanned> {
    let one = |looked: Looked| {
        let Looked { codes, fault } = looked;
        vec![Scanned { file: file.to_owned(), page: 1, of: 1, codes, fault }]
    };
    budget.turn_over();
    let grey = match Kind::of(bytes) {
        Some(Kind::Pdf) => return pages(file, bytes, budget, show),
        Some(Kind::Png) => grey::png(bytes, &mut |size| budget.spend(size)),
        Some(Kind::Jpeg) => grey::jpeg(bytes, &mut |size| budget.spend(size)),
        None => Err("neither a PDF nor a PNG nor a JPEG picture".to_owned()),
    };
    one(Looked::at(grey, budget, (file, 1), show))
}

/// What was seen on one page.
#[derive(Clone, Default)]
struct Looked {
    codes: Vec<String>,
    fault: Option<String>,
}

impl Looked {
    fn at(
        grey: Result<Grey, String>,
        budget: &mut PixelBudget,
        (file, page): (&str, usize),
        show: &mut dyn FnMut(Shown<'_>),
    ) -> Looked {
        let picture = match grey {
            Ok(grey) => grey,
            Err(fault) => return Looked { codes: Vec::new(), fault: Some(fault) },
        };
        let code::Codes { codes, fault } = budget.codes(&picture);
        if !codes.is_empty() {
            show(Shown { file, page, picture: &picture, codes: &codes });
        }
        Looked { codes: codes.into_iter().map(|code| code.text).collect(), fault }
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

fn pages(
    file: &str,
    bytes: &[u8],
    budget: &mut PixelBudget,
    show: &mut dyn FnMut(Shown<'_>),
) -> Vec<Scanned> {
    let mut looked: Vec<Option<Looked>> = Vec::new();
    // What each picture showed: a picture may be on many pages.
    let mut shown: Vec<Looked> = Vec::new();
    let read = pictures(bytes, &mut |page, picture| {
        if looked.len() <= page {
            budget.turn_over();
            looked.resize_with(page + 1, || None);
        }
        let seen = match picture {
            Picture::Again(nth) => shown.get(nth).cloned().unwrap_or_default(),
            picture => {
                let grey = grey(&picture, budget);
                shown.push(Looked::at(grey, budget, (file, page + 1), show));
                shown.last().cloned().unwrap_or_default()
            }
        };
        looked[page].get_or_insert_default().and(seen);
        !budget.at_an_end()
    });
    let reached = if budget.at_an_end() { looked.len() } else { usize::MAX };
    let (count, broken) = match read {
        Ok(0) => (0, Some("no page in it".to_owned())),
        Ok(count) => (count, None),
        Err(refusal) if looked.is_empty() => (0, Some(refusal.to_string())),
        Err(refusal) => (looked.len(), Some(format!("not read further: {refusal}"))),
    };
    looked.resize_with(count, || None);
    let mut scans: Vec<Scanned> = looked
        .into_iter()
        .enumerate()
        .map(|(page, looked)| {
            let why = if page < reached { "no picture on it: not a scan" } else { TOO_MUCH };
            let nothing = || Looked { codes: Vec::new(), fault: Some(why.to_owned()) };
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

fn grey(picture: &Picture, budget: &mut PixelBudget) -> Result<Grey, String> {
    let mut allow = |size| budget.spend(size);
    match picture {
        Picture::Jpeg(bytes) => grey::jpeg(bytes, &mut allow),
        Picture::Samples(samples) => grey::samples(samples, &mut allow),
        Picture::Fax { width, height, inverted, packed } => {
            grey::fax((*width, *height), *inverted, packed, &mut allow)
        }
        Picture::Again(_) => Err("shown before".to_owned()),
        Picture::NotRead(why) => {
            Err(format!("a picture on it is {why}, not read here; scan as JPEG or PNG"))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_one_report_takes_is_not_left_for_those_within_it() {
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, 30, 30);
        encoder.set_color(png::ColorType::Grayscale);
        let mut writer = encoder.write_header().expect("in memory");
        writer.write_image_data(&[255; 900]).expect("in memory");
        writer.finish().expect("in memory");
        let left = Left { dots: 1_500, work: IN_ALL.work };
        let mut looks = Looks { left, pages: PAGES };
        let mut look = || {
            let scans = read_within(vec![("white.png".to_owned(), bytes.clone())], &mut looks);
            scans[0].pages[0].fault.clone()
        };
        assert_eq!(look(), None);
        assert_eq!(look().as_deref(), Some(TOO_MUCH));
        assert_eq!(look().as_deref(), Some(TOO_MUCH));
    }
}
