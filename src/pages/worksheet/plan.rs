//! A sheet whose blocks stand on their pages already.

use super::Layout;
use crate::layout::canvas::mm;
use crate::layout::length::Len;
use crate::layout::mark::Point;
use crate::layout::paginate::{Anchor, Blocks, PageFill};
use crate::pages::boxes::Comb;
use crate::sheet::{Pages, Reference, SignBox};

/// A sheet whose pages are known and not yet drawn.
#[derive(Default)]
pub struct Plan<'a> {
    pub letter: String,
    pub title: &'a str,
    pub subtitle: String,
    /// Under the sheet set: `form C, revision 1`.
    pub form: String,
    /// The sheet's own number; the index has none.
    pub number: Option<&'a str>,
    /// Of a second-stage sheet: which sizes it is valid with, and their code.
    pub valid: Option<(String, &'a str)>,
    pub signs: &'a [SignBox],
    /// Whether it has boxes, which may be measured again.
    pub rows: bool,
    /// Whether anything is marked.
    pub marks: bool,
    /// The comb of a value measured again, where one has room for all.
    pub again: Option<Comb>,
    /// Pages more for remarks: lines, and nothing else.
    pub overflow: bool,
    /// The most rows of one side of it, which several may have measured.
    pub also: usize,
    /// Whether its pages have lines for what happens beside the boxes.
    pub later: bool,
    /// The most lines for remarks on a page.
    pub remarks: i32,
    pub blocks: Blocks,
    pub fills: Vec<PageFill>,
    /// Heights of head and foot.
    pub top: Len,
    pub foot: Len,
}

/// Between the head and the first block, and above the foot.
pub const GAP: Len = mm(1.6);

impl<'a> Plan<'a> {
    pub fn pages(&self) -> usize {
        self.fills.len()
    }

    /// Notes on which page of the set everything of the sheet is.
    pub fn tell_pages(&self, lay: &Layout<'_>, first: usize, pages: &mut Pages) {
        pages.put_sheet(&self.letter, &first.to_string());
        for (n, fill) in self.fills.iter().enumerate() {
            let page = (first + n).to_string();
            pages.put_printed(&page, &self.letter, &self.reference(lay, n + 1));
            for anchor in self.blocks.anchors(fill, Point::default()) {
                if let Anchor::Field(name) = anchor {
                    pages.put_field(&name, &page);
                }
            }
        }
    }

    pub fn bookmark(&self) -> String {
        match (&self.valid, self.number) {
            (Some((_, code)), _) => format!("{}  {}, {code}", self.letter, self.title),
            (None, Some(_)) => format!("{}  {}", self.letter, self.title),
            (None, None) => self.title.to_string(),
        }
    }

    /// What the code on a page of the sheet says.
    pub fn reference(&self, lay: &Layout<'_>, page: usize) -> String {
        let code = self.valid.as_ref().map(|(_, code)| *code);
        let reference = Reference {
            set: lay.set.number.clone(),
            // A small code of squares has no middle dot.
            sheet: self.letter.replace('·', "."),
            page,
            blind: code.is_none() && lay.set.head.blind,
            remarks: self.overflow,
            own: code.or(self.number).map(str::to_owned),
        };
        reference.to_string()
    }
}
