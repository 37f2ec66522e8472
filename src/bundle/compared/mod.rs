//! The scans of the filled sheets as one more pair of eyes: figures that seem to
//! stand on paper against those that were typed. It changes no value, fills no box
//! and is nobody's signature; whatever it says, verdicts and status are the same.

mod held;
mod places;

use super::read::printed;
use crate::diag::Diags;
use crate::model::record::{Again, Boxes as Typed, Record, Why};
use crate::report::Stray;
use crate::report::compared::{BoxSeen, Compared, FoundPage, Made, Odd, OddBox};
use crate::scan::place::{Placed, place};
use crate::scan::{
    CutOut, Figure, Looks, Scan, Scanned, Seen, Shown, figures, read_with, read_within,
};
use crate::sheet::{Pages, Reference, SheetSet};
use held::{Held, Looked, held};
use places::{BoxName, BoxedPage, FigureBox, boxed_pages};
use std::collections::{BTreeMap, BTreeSet};

/// Reads scans, and holds them against what was typed, where anything was.
pub fn read_compared(
    (set, record): (&SheetSet, Option<&Record>),
    files: Vec<(String, Vec<u8>)>,
    looks: &mut Looks,
) -> (Vec<Scan>, Option<Compared>) {
    let record = record.filter(|record| !files.is_empty() && any_typed(record));
    // What cannot be laid out is told where the pages are asked for.
    let comparer = record.and_then(|record| Comparer::new(set, record, &mut Diags::new()));
    let Some(comparer) = comparer else { return (read_within(files, looks), None) };
    let (scans, found) = comparer.over(files, looks, &mut Diags::new());
    (scans, found.map(|found| found.compared))
}

/// What was found on scans.
pub struct Found {
    pub compared: Compared,
    /// Where everything is printed.
    pub pages: Pages,
    /// A piece of the scan for each box that is odd, where pieces are wanted.
    pub pieces: Vec<Option<CutOut>>,
}

impl Looked for Figure {
    fn seen(&self) -> Seen {
        Figure::seen(self)
    }

    fn leans_empty(&self) -> bool {
        Figure::leans_empty(self)
    }

    fn may_be(&self, digit: u8) -> bool {
        Figure::may_be(self, digit)
    }
}

/// A page of a scan: its file, and which page of it from 1.
type ScanPage = (String, usize);

/// Compares scans, one picture after another, as they are read.
pub struct Comparer<'a> {
    set: &'a SheetSet,
    record: &'a Record,
    /// On the job's own paper, and on the other.
    papers: [Vec<BoxedPage>; 2],
    /// The readings as they were typed first.
    typed: BTreeMap<BoxName, &'a str>,
    boxes: BTreeMap<BoxName, Known>,
    /// The codes of pages that were found.
    placed: BTreeSet<String>,
    /// Where each was found.
    found: Vec<(ScanPage, FoundPage)>,
    /// Those that were not, with the page and why.
    refused: Vec<(ScanPage, String, String)>,
    /// Pieces of the scans that show odd boxes, where they are wanted.
    pieces: Option<BTreeMap<BoxName, CutOut>>,
    /// Pages that may still be looked at.
    left: usize,
}

/// Pieces that are kept at the most.
const PIECES: usize = 400;

/// What is known of a box; of several scans that show it, an odd one counts first.
struct Known {
    held: Held,
    settled: Option<String>,
    scan: ScanPage,
    /// It was not found on its page.
    lost: bool,
}

impl Known {
    fn rank(&self) -> u8 {
        match (&self.held, self.lost) {
            (Held::Odd(_), _) => 0,
            (Held::Alike | Held::Blank, _) => 1,
            (Held::Unread, false) => 2,
            (Held::Unread, true) => 3,
        }
    }
}

impl<'a> Comparer<'a> {
    /// `None` with the faults in `out` where the sheets cannot be laid out.
    pub fn new(set: &'a SheetSet, record: &'a Record, out: &mut Diags) -> Option<Comparer<'a>> {
        Some(Comparer {
            set,
            record,
            papers: boxed_pages(set, out)?,
            typed: typed(record),
            boxes: BTreeMap::new(),
            placed: BTreeSet::new(),
            found: Vec::new(),
            refused: Vec::new(),
            pieces: None,
            left: 0,
        })
    }

    /// The same, with a piece of the scan for each box that is odd.
    pub fn cutting(self) -> Comparer<'a> {
        Comparer { pieces: Some(BTreeMap::new()), ..self }
    }

    /// Reads scans, as many of their pages as may still be looked at; nothing was
    /// found, with the faults in `out`, where the sheets cannot be laid out.
    pub fn over(
        mut self,
        files: Vec<(String, Vec<u8>)>,
        looks: &mut Looks,
        out: &mut Diags,
    ) -> (Vec<Scan>, Option<Found>) {
        self.left = looks.pages;
        let scans = read_with(files, looks, &mut |shown| self.show(&shown));
        looks.pages = self.left;
        let found = printed(self.set, self.record, &scans, out).map(|pages| {
            let (compared, pieces) = self.done(&scans, &pages);
            Found { compared, pages, pieces }
        });
        (scans, found)
    }

    /// Looks at a picture while it is at hand.
    fn show(&mut self, shown: &Shown<'_>) {
        let papers = std::mem::take(&mut self.papers);
        for code in shown.codes {
            let Some(now) = self.of_set(&code.text) else { continue };
            let pages =
                papers.iter().filter_map(|pages| pages.iter().find(|page| page.reference == now));
            let mut refusal = None;
            for page in pages {
                if self.left == 0 {
                    let why = "there are more pages than are compared".to_owned();
                    refusal = Some((page.label.clone(), why));
                    break;
                }
                self.left -= 1;
                match place(shown.picture, code, &page.printed) {
                    Ok(placed) => {
                        self.page(shown, page, &placed);
                        refusal = None;
                        break;
                    }
                    Err(why) => refusal = refusal.or(Some((page.label.clone(), why))),
                }
            }
            if let Some((label, why)) = refusal {
                self.refused.push(((shown.file.to_owned(), shown.page), label, why));
            }
        }
        self.papers = papers;
    }

    /// The code as this set prints it: a page of an earlier set of the same job is
    /// this one where its sheet's number is the same.
    fn of_set(&self, text: &str) -> Option<String> {
        let reference = Reference::read(text)?;
        let own = !reference.blind && !reference.remarks && reference.is_of_job(&self.set.number);
        own.then(|| reference.in_set(&self.set.number).to_string())
    }

    fn page(&mut self, shown: &Shown<'_>, page: &BoxedPage, placed: &Placed) {
        self.placed.insert(page.reference.clone());
        let (width, height) = page.printed.size;
        let corners = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)];
        let corners = corners.map(|(x, y)| placed.map.at(x, y));
        let found = FoundPage {
            page: page.label.clone(),
            sheet: page.sheet.clone(),
            scan: String::new(),
            corners: corners.map(|(x, y)| (x.round() as i64, y.round() as i64)),
        };
        self.found.push(((shown.file.to_owned(), shown.page), found));
        for figure in &page.boxes {
            let scan = (shown.file.to_owned(), shown.page);
            let at = placed.about(shown.picture, &page.printed, figure.area);
            let known = match &at {
                Some(at) => {
                    let cells = figure.whole.iter().chain(&figure.decimals);
                    let cells: Vec<_> = cells.copied().collect();
                    let looked = figures(shown.picture, at, &cells);
                    let (held, settled) = self.held(&looked, figure);
                    Known { held, settled, scan, lost: false }
                }
                None => Known { held: Held::Unread, settled: None, scan, lost: true },
            };
            let worse = |before: &Known| known.rank() < before.rank();
            if self.boxes.get(&figure.name).is_none_or(worse) {
                if let (Some(pieces), Some(at), Held::Odd(_)) = (&mut self.pieces, &at, &known.held)
                    && pieces.len() < PIECES
                {
                    let piece = CutOut::of(shown.picture, at, figure.area);
                    pieces.insert(figure.name.clone(), piece);
                }
                self.boxes.insert(figure.name.clone(), known);
            }
        }
    }

    /// What comes of a box, and what settles it where it is odd.
    fn held(&self, looked: &[Figure], figure: &FigureBox) -> (Held, Option<String>) {
        let (whole, typed) = (figure.whole.len(), self.typed.get(&figure.name).copied());
        let found = held(looked, whole, typed);
        match found {
            // A row that does not apply may be struck through.
            Held::Odd(Odd::Struck | Odd::Written) if typed.is_none() && self.left_out(figure) => {
                (Held::Blank, None)
            }
            Held::Odd(Odd::Struck) => {
                let why = later(self.record, &figure.name).next().map(|again| again.why.0.word());
                (found, why.map(str::to_owned))
            }
            Held::Odd(_) => {
                let mut put_right = later(self.record, &figure.name)
                    .filter(|again| again.why.0 == Why::Mistyped)
                    .filter_map(|again| reading(again, &figure.name));
                // It was typed again, and that the paper may say.
                let settles =
                    |typed: &&str| !matches!(held(looked, whole, Some(typed)), Held::Odd(_));
                let right = put_right.find(settles);
                (found, right.map(|typed| format!("mistyped, typed again as {typed}")))
            }
            found => (found, None),
        }
    }

    fn left_out(&self, figure: &FigureBox) -> bool {
        let mut rows = self.record.sheets.iter().flat_map(|sheet| &sheet.rows);
        rows.any(|row| row.code.as_str() == figure.name.row && row.not_applicable.is_some())
    }

    /// All that was found, once the last picture was shown; `scans` are those that
    /// were read, `pages` where each row is printed.
    fn done(self, scans: &[Scan], pages: &Pages) -> (Compared, Vec<Option<CutOut>>) {
        let all = scans.iter().flat_map(|scan| &scan.pages);
        let known = |(file, page): &ScanPage| {
            let scanned: Option<&Scanned> =
                all.clone().find(|scanned| scanned.file == *file && scanned.page == *page);
            scanned.map_or_else(|| file.clone(), Scanned::place)
        };
        let second = second(self.record);
        let mut pieces = Vec::new();
        let [own, _] = &self.papers;
        let mut found = Compared {
            typed: any_typed(self.record),
            pages: own.len(),
            placed: own.iter().filter(|page| self.placed.contains(&page.reference)).count(),
            ..Compared::default()
        };
        found.found = self
            .found
            .iter()
            .map(|(scan, page)| FoundPage { scan: known(scan), ..page.clone() })
            .collect();
        let refused = self.refused.iter().filter(|(_, label, _)| {
            // Seen well on another scan.
            let placed = |page: &&BoxedPage| self.placed.contains(&page.reference);
            !own.iter().filter(placed).any(|page| page.label == *label)
        });
        found.refused = refused
            .map(|(scan, label, why)| Stray {
                scan: format!("page {label}, {}", known(scan)),
                why: why.clone(),
            })
            .collect();
        for (page, figure) in own.iter().flat_map(|page| page.boxes.iter().map(move |b| (page, b)))
        {
            found.boxes.all += 1;
            let Some(box_of) = self.boxes.get(&figure.name) else { continue };
            let typed = self.typed.get(&figure.name).copied();
            let label = Some(pages.row(&figure.name.row)).filter(|label| !label.is_empty());
            let label = label.unwrap_or(&page.label);
            let made = match &box_of.held {
                Held::Alike => Made::Alike,
                Held::Blank => Made::Empty,
                Held::Unread if box_of.lost => Made::Lost,
                Held::Unread => Made::Unread,
                // What was typed stands on the second stage's paper.
                Held::Odd(Odd::Empty) if second.contains(&figure.name.row) => Made::Second,
                // Before anything is typed nothing is said of what a box holds.
                Held::Odd(Odd::Written) if !found.typed => Made::Unread,
                Held::Odd(_) => Made::Odd,
            };
            let counts = &mut found.boxes;
            counts.shown += 1;
            *match made {
                Made::Alike => &mut counts.alike,
                Made::Empty => &mut counts.empty,
                Made::Odd => &mut counts.odd,
                Made::Unread => &mut counts.unread,
                Made::Lost => &mut counts.lost,
                Made::Second => &mut counts.second,
            } += 1;
            let (row, side) = (figure.name.row.clone(), figure.name.group.word().to_owned());
            let number = figure.name.index + 1;
            found.each.push(BoxSeen {
                page: label.to_owned(),
                row: row.clone(),
                side: side.clone(),
                number,
                name: figure.told.clone(),
                made,
            });
            let Held::Odd(odd) = box_of.held.clone() else { continue };
            if made == Made::Odd {
                let cut = self.pieces.as_ref().and_then(|pieces| pieces.get(&figure.name));
                pieces.push(cut.cloned());
                found.odd.push(OddBox {
                    page: label.to_owned(),
                    sheet: page.sheet.clone(),
                    row,
                    side,
                    number,
                    name: figure.told.clone(),
                    scan: known(&box_of.scan),
                    odd,
                    typed: typed.map(str::to_owned),
                    settled: box_of.settled.clone(),
                });
            }
        }
        (found, pieces)
    }
}

/// The readings of all boxes as they were typed first.
fn typed(record: &Record) -> BTreeMap<BoxName, &str> {
    let mut typed = BTreeMap::new();
    for row in record.sheets.iter().flat_map(|sheet| &sheet.rows) {
        for group in &row.groups {
            let Typed::Readings(readings) = &group.boxes else { continue };
            for (index, reading) in readings.iter().enumerate() {
                let Some(reading) = reading else { continue };
                let name = BoxName { row: row.code.to_string(), group: group.key.0, index };
                typed.entry(name).or_insert(&*reading.text);
            }
        }
    }
    typed
}

/// Entries that name the box, or all boxes of its side.
fn later<'r>(record: &'r Record, name: &BoxName) -> impl Iterator<Item = &'r Again> {
    record.again.iter().filter(move |again| {
        again.row.as_str() == name.row
            && again.key.0 == name.group
            && again.index.is_none_or(|index| index == name.index)
    })
}

fn reading<'r>(again: &'r Again, name: &BoxName) -> Option<&'r str> {
    let Typed::Readings(readings) = &again.boxes else { return None };
    let at = if again.index.is_some() { 0 } else { name.index };
    readings.get(at)?.as_ref().map(|reading| &*reading.text)
}

fn any_typed(record: &Record) -> bool {
    let rows = record.sheets.iter().flat_map(|sheet| &sheet.rows);
    rows.flat_map(|row| &row.groups).any(|group| group.boxes.is_filled())
}

/// Rows that were typed from a second-stage sheet: `K4TX shaft: C1 7Q4T, C2 88F2`.
fn second(record: &Record) -> BTreeSet<String> {
    let named = record.sheets.iter().flat_map(|sheet| &sheet.second);
    let rows = named.filter_map(|named| named.as_str().split_once(':'));
    let rows = rows.flat_map(|(_, rows)| rows.split(','));
    rows.filter_map(|row| row.split_whitespace().next().map(str::to_owned)).collect()
}
