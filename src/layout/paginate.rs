//! Blocks down the pages: what cannot be split is a block, and blocks go down a
//! page until the next one has no room.

use std::ops::Range;

use super::length::Len;
use super::mark::{Area, Mark, Point, area, at, moved};
use crate::diag::Diags;

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

impl TooTall {
    /// A fault that names what the block is of.
    pub fn tell(self, of: &str, help: &str, out: &mut Diags) {
        let message = format!("{of}: piece {} is taller than a page", self.block + 1);
        out.fault_nowhere(message, help);
    }
}

impl Anchor {
    pub fn moved(self, by: Point) -> Anchor {
        match self {
            Anchor::Signature(name, at) => {
                Anchor::Signature(name, area(at.x + by.x, at.y + by.y, at.w, at.h))
            }
            other => other,
        }
    }
}

impl Block {
    /// Blocks in one, from left to right, their edges `pitch` apart.
    pub fn abreast(pitch: Len, blocks: impl IntoIterator<Item = Block>) -> Block {
        let mut whole = Block::default();
        for (n, block) in (0..).zip(blocks) {
            whole.height = whole.height.max(block.height);
            whole.add(at(pitch * n, Len::ZERO), block);
        }
        whole
    }

    /// Blocks in one, each under the one before with the white above it.
    pub fn stacked(blocks: impl IntoIterator<Item = Block>) -> Block {
        let mut whole = Block::default();
        for block in blocks {
            if whole.height > Len::ZERO {
                whole.height += block.above;
            }
            let height = whole.height + block.height;
            whole.add(at(Len::ZERO, whole.height), block);
            whole.height = height;
        }
        whole
    }

    /// Blocks in so many columns, down the left one first.
    pub fn in_columns(count: usize, pitch: Len, blocks: Vec<Block>) -> Block {
        let down = blocks.len().div_ceil(count).max(1);
        let mut blocks = blocks.into_iter();
        let columns = (0..count).map(|_| Block::stacked(blocks.by_ref().take(down)));
        Block::abreast(pitch, columns)
    }

    fn add(&mut self, by: Point, block: Block) {
        self.marks.extend(block.marks.into_iter().map(|mark| moved(mark, by)));
        self.anchors.extend(block.anchors.into_iter().map(|anchor| anchor.moved(by)));
    }

    pub fn above(self, above: Len) -> Block {
        Block { above, ..self }
    }

    pub fn kept(self) -> Block {
        Block { keep: true, ..self }
    }

    pub fn under(self, heads: impl Into<Vec<usize>>) -> Block {
        Block { heads: heads.into(), ..self }
    }

    pub fn with(mut self, anchors: impl IntoIterator<Item = Anchor>) -> Block {
        self.anchors.extend(anchors);
        self
    }
}

impl FromIterator<Block> for Blocks {
    fn from_iter<I: IntoIterator<Item = Block>>(blocks: I) -> Blocks {
        Blocks { list: blocks.into_iter().collect(), repeats: Vec::new() }
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

    pub fn repeat(&self, n: usize) -> &Block {
        &self.repeats[n]
    }

    /// All that is to be drawn.
    pub fn marks(&self) -> impl Iterator<Item = &Mark> {
        let at_top = self.list.iter().filter_map(|block| block.at_top.as_deref());
        let blocks = self.list.iter().chain(at_top).chain(&self.repeats);
        blocks.flat_map(|block| &block.marks)
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

    /// The anchors on a page whose blocks have their top left corner at the
    /// point.
    pub fn anchors(&self, fill: &PageFill, point: Point) -> impl Iterator<Item = Anchor> {
        fill.parts.iter().flat_map(move |(down, part)| {
            let anchors = match part {
                Part::Block(n) | Part::AtTop(n) => self.list[*n].anchors.clone(),
                Part::Repeat(_) => Vec::new(),
            };
            anchors.into_iter().map(move |anchor| anchor.moved(at(point.x, point.y + *down)))
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
/// Blocks that stay together and are taller than a page are broken between
/// them. The last block stays with the tail.
///
/// # Errors
/// [`TooTall`] for a block that no page can hold.
pub fn paginate(
    blocks: &Blocks,
    room: Len,
    from: Option<Len>,
    tail: Len,
) -> Result<Vec<PageFill>, TooTall> {
    let page = PageFill { filled: from.unwrap_or_default(), ..PageFill::default() };
    let top = from.is_none();
    let mut pages = Filling { blocks, room, tail, full: Vec::new(), page, top, foot: None };
    let mut next = 0;
    while next < blocks.list.len() {
        let mut chain = blocks.chain(next);
        if pages.height(chain.clone(), true) > room {
            // Nothing holds the whole chain: a block by itself.
            chain.end = next + 1;
        }
        next = chain.end;
        if !pages.top && pages.page.filled + pages.height(chain.clone(), false) > room {
            pages.turn();
        }
        for n in chain {
            pages.put(n)?;
        }
    }
    if pages.page.filled + tail > room {
        pages.turn();
    }
    pages.full.push(pages.page);
    Ok(pages.full)
}

struct Filling<'a> {
    blocks: &'a Blocks,
    room: Len,
    tail: Len,
    full: Vec<PageFill>,
    /// The one in hand.
    page: PageFill,
    /// Nothing that takes room stands on it.
    top: bool,
    /// Of the last block, should the page end there.
    foot: Option<usize>,
}

impl Filling<'_> {
    /// What a chain takes of a page, at its top with its heads.
    fn height(&self, chain: Range<usize>, top: bool) -> Len {
        let tail = if chain.end == self.blocks.list.len() { self.tail } else { Len::ZERO };
        let blocks = &self.blocks.list[chain];
        let repeated = |n: &usize| self.blocks.repeats[*n].height;
        let foot: Len = blocks.last().and_then(|block| block.foot).iter().map(repeated).sum();
        let height = blocks.iter().map(|block| block.above + block.height).sum::<Len>();
        let Some(first) = blocks.first().filter(|_| top) else {
            return height + foot + tail;
        };
        let at_top = first.at_top.as_ref().map_or(first.height, |block| block.height);
        let heads: Len = first.heads.iter().map(repeated).sum();
        heads + at_top + height - first.above - first.height + foot + tail
    }

    fn turn(&mut self) {
        if let Some(foot) = self.foot.take() {
            self.part(Part::Repeat(foot), self.blocks.repeats[foot].height);
        }
        self.full.push(std::mem::take(&mut self.page));
        self.top = true;
    }

    fn put(&mut self, n: usize) -> Result<(), TooTall> {
        let block = &self.blocks.list[n];
        let (mut part, mut height) = (Part::Block(n), block.height);
        let top = self.top;
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
        self.top &= self.page.filled == Len::ZERO;
        let foot = self.foot.filter(|_| top).map_or(Len::ZERO, |n| self.blocks.repeats[n].height);
        if self.page.filled + foot > self.room { Err(TooTall { block: n }) } else { Ok(()) }
    }

    fn part(&mut self, part: Part, height: Len) {
        self.page.parts.push((self.page.filled, part));
        self.page.filled += height;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn block(height: f64) -> Block {
        Block { height: Len::mm(height), ..Block::default() }
    }

    fn pages(blocks: &Blocks, from: Option<f64>, tail: f64) -> Vec<Vec<Part>> {
        let from = from.map(Len::mm);
        let fills = paginate(blocks, Len::mm(100.0), from, Len::mm(tail)).expect("none too tall");
        let parts = |fill: &PageFill| fill.parts.iter().map(|(_, part)| *part).collect();
        fills.iter().map(parts).collect()
    }

    #[test]
    fn a_chain_taller_than_a_page_is_broken_between_its_blocks() {
        let mut blocks = Blocks::default();
        blocks.push(block(20.0));
        for _ in 0..3 {
            blocks.push(block(40.0).kept());
        }
        blocks.push(block(10.0));
        use Part::Block as B;
        assert_eq!(pages(&blocks, None, 0.0), [vec![B(0), B(1)], vec![B(2), B(3), B(4)]]);
        // The last block goes on with the tail, which has a page at the most.
        assert_eq!(pages(&blocks, None, 60.0).last(), Some(&vec![B(4)]));
        assert_eq!(pages(&blocks, None, 95.0).last(), Some(&vec![]));
        blocks.list[2].height = Len::mm(100.1);
        let found = paginate(&blocks, Len::mm(100.0), None, Len::ZERO);
        assert_eq!(found.err(), Some(TooTall { block: 2 }));
        // Nor does one with the foot that goes under it.
        blocks.list[2].height = Len::mm(98.0);
        blocks.list[2].foot = Some(blocks.repeated(block(2.1)));
        let found = paginate(&blocks, Len::mm(100.0), None, Len::ZERO);
        assert_eq!(found.err(), Some(TooTall { block: 2 }));
    }

    #[test]
    fn heads_stand_where_a_page_begins_and_a_foot_where_it_ends() {
        let mut blocks = Blocks::default();
        let [head, foot] = [10.0, 5.0].map(|height| blocks.repeated(block(height)));
        blocks.push(block(0.0).kept());
        for _ in 0..4 {
            let tall = block(40.0).above(Len::mm(1.0)).under([head]);
            blocks.push(Block { foot: Some(foot), ..tall });
        }
        blocks.list[4].height = Len::mm(60.0);
        blocks.list[4].at_top = Some(Box::new(block(85.0)));
        blocks.push(block(5.1).under([head]));
        use Part::{AtTop, Block as B, Repeat as R};
        let begun = [R(head), B(1), B(2), R(foot)];
        // Nothing is at the top of a page that others have begun.
        let all = pages(&blocks, Some(50.0), 0.0);
        assert_eq!(all[0], [B(0), B(1), R(foot)]);
        assert_eq!(all[1], [R(head), B(2), B(3), R(foot)]);
        let all = pages(&blocks, None, 0.0);
        assert_eq!(all[0], [&[B(0)][..], &begun].concat());
        assert_eq!(all[1], [R(head), B(3), R(foot)]);
        assert_eq!(all[2..], [vec![R(head), AtTop(4), R(foot)], vec![R(head), B(5)]]);
        // With its foot the first block has no room there.
        assert_eq!(pages(&blocks, Some(55.0), 0.0)[0], []);
        blocks.list.drain(..5);
        assert_eq!(pages(&blocks, Some(55.0), 0.0), [[B(0)]]);
        // Two that one page would hold without the head.
        blocks.push(block(50.0).under([head]).kept());
        blocks.push(block(45.0));
        assert_eq!(pages(&blocks, None, 0.0), [vec![R(head), B(0), B(1)], vec![B(2)]]);
    }
}
