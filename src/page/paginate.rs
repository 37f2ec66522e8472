//! Blocks down the pages: what cannot be split is a block, and blocks go down a
//! page until the next one has no room.

use std::ops::Range;

use super::length::Len;
use super::mark::{Area, Mark, Point};
use super::pen::{at, moved};

/// A full-width piece of a page that is never split. Its marks are measured
/// from its own top left corner.
#[derive(Clone, Debug, Default)]
pub struct Block {
    pub height: Len,
    pub marks: Vec<Mark>,
    /// White above it, left out at the top of a page.
    pub above: Len,
    /// Never the last of a page: the next block comes with it.
    pub keep: bool,
    /// Stand before it where it begins a page, see [`Blocks::repeated`].
    pub heads: Vec<usize>,
    /// Drawn in its place where it begins a page.
    pub at_top: Option<Box<Block>>,
    /// Stands after it where a page ends there, see [`Blocks::repeated`].
    pub foot: Option<usize>,
    pub anchors: Vec<Anchor>,
}

/// What is found again where its block was put.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Something to fill in, by a name that the caller gives it.
    Field(String),
    /// Level and title.
    Bookmark(u8, String),
    /// Room for the visible signature of a person, inside the block.
    Signature(String, Area),
}

/// Blocks in order, and what is repeated on further pages.
#[derive(Clone, Debug, Default)]
pub struct Blocks {
    pub list: Vec<Block>,
    repeats: Vec<Block>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Part {
    Block(usize),
    AtTop(usize),
    Repeat(usize),
}

/// What stands on a page, and how far down.
#[derive(Clone, Debug, Default)]
pub struct PageFill {
    parts: Vec<(Len, Part)>,
    /// Where the last one ends.
    pub filled: Len,
}

/// A block taller than a whole page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooTall {
    pub block: usize,
}

impl Block {
    pub fn above(self, above: Len) -> Block {
        Block { above, ..self }
    }

    pub fn kept(self) -> Block {
        Block { keep: true, ..self }
    }

    pub fn under(self, heads: &[usize]) -> Block {
        Block { heads: heads.to_vec(), ..self }
    }

    pub fn with(mut self, anchors: impl IntoIterator<Item = Anchor>) -> Block {
        self.anchors.extend(anchors);
        self
    }
}

impl Blocks {
    /// Keeps a block for repeating at the top or foot of pages; gives back its
    /// number.
    pub fn repeated(&mut self, block: Block) -> usize {
        self.repeats.push(block);
        self.repeats.len() - 1
    }

    /// Puts a head that stays with what follows, and keeps its short form for
    /// further pages; gives back the number of that.
    pub fn headed(&mut self, above: Len, head: impl Fn(bool) -> Block) -> usize {
        self.push(head(false).above(above).kept());
        self.repeated(head(true))
    }

    pub fn push(&mut self, block: Block) {
        self.list.push(block);
    }

    /// Height of all blocks on one page without end.
    pub fn height(&self) -> Len {
        self.list.iter().map(|block| block.above + block.height).sum()
    }

    /// Height of what is repeated around a block that has a page to itself.
    pub fn around(&self, block: &Block) -> Len {
        block.heads.iter().chain(&block.foot).map(|n| self.repeats[*n].height).sum()
    }

    /// Blocks that stay together: from `start` through the last that keeps.
    fn chain(&self, start: usize) -> Range<usize> {
        let rest = &self.list[start..];
        let kept = rest.iter().take_while(|block| block.keep).count();
        start..start + (kept + 1).min(rest.len())
    }

    /// Puts a page's blocks with their top left corner at the point. A block
    /// is drawn once; only what is repeated is copied.
    pub fn put(&mut self, fill: &PageFill, point: Point, marks: &mut Vec<Mark>) {
        for (down, part) in &fill.parts {
            let by = at(point.x, point.y + *down);
            let drawn = match part {
                Part::Repeat(n) => self.repeats[*n].marks.clone(),
                Part::Block(n) => std::mem::take(&mut self.list[*n].marks),
                Part::AtTop(n) => self.list[*n].at_top.take().map_or_else(Vec::new, |b| b.marks),
            };
            marks.extend(drawn.into_iter().map(|mark| moved(mark, by)));
        }
    }

    /// The anchors on a page, each with how far down its block stands.
    pub fn anchors<'b>(&'b self, fill: &'b PageFill) -> impl Iterator<Item = (Len, &'b Anchor)> {
        fill.parts.iter().flat_map(|(down, part)| {
            let anchors = match part {
                Part::Block(n) | Part::AtTop(n) => self.list[*n].anchors.as_slice(),
                Part::Repeat(_) => &[],
            };
            anchors.iter().map(|anchor| (*down, anchor))
        })
    }
}

impl PageFill {
    pub fn is_empty(&self) -> bool {
        self.parts.is_empty()
    }
}

/// Puts blocks on pages of `room`, the last of which keeps `tail` free at its
/// foot. The first page is filled already as far as `from`, or is a new one.
/// Blocks that stay together and are taller than a page begin on a new one and
/// are broken between them. The last block stays with the tail.
///
/// # Errors
/// [`TooTall`] for a block that no page can hold.
pub fn paginate(
    blocks: &Blocks,
    room: Len,
    from: Option<Len>,
    tail: Len,
) -> Result<Vec<PageFill>, TooTall> {
    let first = PageFill { filled: from.unwrap_or_default(), ..PageFill::default() };
    let mut pages = Pages { blocks, room, tail, filled: Vec::new(), page: first, foot: None };
    let mut top = from.is_none();
    let mut next = 0;
    while next < blocks.list.len() {
        let chain = blocks.chain(next);
        next = chain.end;
        if !pages.fit(chain.clone(), top) {
            pages.turn();
            top = true;
        }
        for n in chain {
            if !pages.fit(n..n + 1, top) {
                pages.turn();
                top = true;
            }
            pages.put(n, top)?;
            top &= pages.page.filled == Len::ZERO;
        }
    }
    if pages.page.filled + tail > room {
        pages.turn();
    }
    pages.filled.push(pages.page);
    Ok(pages.filled)
}

struct Pages<'a> {
    blocks: &'a Blocks,
    room: Len,
    tail: Len,
    /// Full pages, and the one in hand.
    filled: Vec<PageFill>,
    page: PageFill,
    /// Of the last block, should the page end there.
    foot: Option<usize>,
}

impl Pages<'_> {
    /// At the top of a page everything must do.
    fn fit(&self, chain: Range<usize>, top: bool) -> bool {
        let tail = if chain.end == self.blocks.list.len() { self.tail } else { Len::ZERO };
        let blocks = &self.blocks.list[chain];
        let height: Len = blocks.iter().map(|block| block.above + block.height).sum();
        let foot = blocks.last().and_then(|block| block.foot);
        let foot = foot.map_or(Len::ZERO, |foot| self.blocks.repeats[foot].height);
        top || self.page.filled + height + foot + tail <= self.room
    }

    fn turn(&mut self) {
        if let Some(foot) = self.foot.take() {
            self.part(Part::Repeat(foot), self.blocks.repeats[foot].height);
        }
        self.filled.push(std::mem::take(&mut self.page));
    }

    fn put(&mut self, n: usize, top: bool) -> Result<(), TooTall> {
        let block = &self.blocks.list[n];
        let (mut part, mut height) = (Part::Block(n), block.height);
        if top {
            for head in &block.heads {
                self.part(Part::Repeat(*head), self.blocks.repeats[*head].height);
            }
            if let Some(at_top) = &block.at_top {
                (part, height) = (Part::AtTop(n), at_top.height);
            }
        } else {
            self.page.filled += block.above;
        }
        self.part(part, height);
        self.foot = block.foot;
        if top && self.page.filled > self.room { Err(TooTall { block: n }) } else { Ok(()) }
    }

    fn part(&mut self, part: Part, height: Len) {
        self.page.parts.push((self.page.filled, part));
        self.page.filled += height;
    }
}
