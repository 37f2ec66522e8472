//! Slabs down the pages: what cannot be split is a slab, and slabs go down a
//! page until the next one has no room.

use std::ops::Range;

use crate::page::length::Len;
use crate::page::mark::Mark;
use crate::page::pen::{Canvas, Piece, at};
use crate::sheet::Row;

/// A full-width piece of a page that is never split. Its marks are measured
/// from its own top left corner.
#[derive(Clone, Debug, Default)]
pub struct Slab {
    pub height: Len,
    pub marks: Vec<Mark>,
    /// Room above, but for the top of a page.
    pub above: Len,
    /// Never the last of a page: the next slab comes with it.
    pub keep: bool,
    /// Of [`Strip::heads`]: what is repeated where this slab begins a page.
    pub head: Option<usize>,
    pub holds: Vec<Held>,
}

/// What is found again by its page: a row by its code, an item by its number.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Held {
    Row(String),
    Item(u32),
}

/// The slabs of a sheet in order.
#[derive(Clone, Debug, Default)]
pub struct Strip {
    pub slabs: Vec<Slab>,
    pub heads: Vec<Slab>,
}

/// One of a strip's slabs or heads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    Slab(usize),
    Head(usize),
}

/// A page's share: what stands on it and at which height.
#[derive(Clone, Debug, Default)]
pub struct Share {
    pub parts: Vec<(Len, Part)>,
    /// Where the last one ends.
    pub filled: Len,
}

/// A slab taller than a whole page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TooTall {
    pub slab: usize,
}

impl Slab {
    pub fn of(piece: Piece) -> Slab {
        Slab { height: piece.height, marks: piece.marks, ..Slab::default() }
    }

    pub fn above(self, above: Len) -> Slab {
        Slab { above, ..self }
    }

    pub fn kept(self) -> Slab {
        Slab { keep: true, ..self }
    }

    pub fn rows(mut self, rows: &[Row]) -> Slab {
        let codes = rows.iter().map(|row| Held::Row(row.code.clone()));
        self.holds.extend(codes);
        self
    }

    pub fn items(mut self, numbers: impl IntoIterator<Item = u32>) -> Slab {
        self.holds.extend(numbers.into_iter().map(Held::Item));
        self
    }

    pub fn under(self, head: usize) -> Slab {
        Slab { head: Some(head), ..self }
    }
}

impl Strip {
    /// Keeps a head for repeating; gives back its number.
    pub fn head(&mut self, head: Slab) -> usize {
        self.heads.push(head);
        self.heads.len() - 1
    }

    pub fn push(&mut self, slab: Slab) {
        self.slabs.push(slab);
    }

    /// What a share points at.
    pub fn part(&self, part: Part) -> &Slab {
        match part {
            Part::Slab(n) => &self.slabs[n],
            Part::Head(n) => &self.heads[n],
        }
    }

    /// Slabs that stay together: from `start` through the last that keeps.
    fn chain(&self, start: usize) -> Range<usize> {
        let rest = &self.slabs[start..];
        let kept = rest.iter().take_while(|slab| slab.keep).count();
        start..start + (kept + 1).min(rest.len())
    }

    fn head_of(&self, slab: usize) -> Option<usize> {
        self.slabs[slab].head.filter(|head| *head < self.heads.len())
    }

    /// Height of the chain, at the top of a page with its head.
    fn chain_height(&self, chain: &Range<usize>, top: bool) -> Len {
        let slabs = &self.slabs[chain.clone()];
        let height: Len = slabs.iter().map(|slab| slab.above + slab.height).sum();
        if !top || slabs.is_empty() {
            return height;
        }
        let head = self.head_of(chain.start).map_or(Len::ZERO, |head| self.heads[head].height);
        height - slabs[0].above + head
    }

    /// Pours the slabs into pages of `room`, the last of which keeps `tail`
    /// free at its foot. The last slab stays with the tail.
    ///
    /// # Errors
    /// [`TooTall`] for a slab that no page can hold.
    pub fn pour(&self, room: Len, tail: Len) -> Result<Vec<Share>, TooTall> {
        let mut pages = vec![Share::default()];
        let mut next = 0;
        let tail_of = |chain: &Range<usize>| match chain.end == self.slabs.len() {
            true => tail,
            false => Len::ZERO,
        };
        while next < self.slabs.len() {
            let mut chain = self.chain(next);
            if self.chain_height(&chain, true) + tail_of(&chain) > room {
                // Nothing holds the whole chain: a slab by itself.
                chain = next..next + 1;
                if self.chain_height(&chain, true) > room {
                    return Err(TooTall { slab: next });
                }
            }
            next = chain.end;
            let tail = tail_of(&chain);
            self.place(&mut pages, chain, room - tail);
        }
        if pages.last().is_some_and(|page| page.filled + tail > room) {
            pages.push(Share::default());
        }
        Ok(pages)
    }

    fn place(&self, pages: &mut Vec<Share>, chain: Range<usize>, room: Len) {
        let full = pages.last().is_some_and(|page| {
            let top = page.parts.is_empty();
            !top && page.filled + self.chain_height(&chain, top) > room
        });
        if full {
            pages.push(Share::default());
        }
        let Some(page) = pages.last_mut() else {
            return;
        };
        for n in chain {
            if !page.parts.is_empty() {
                page.filled += self.slabs[n].above;
            } else if let Some(head) = self.head_of(n) {
                page.parts.push((page.filled, Part::Head(head)));
                page.filled += self.heads[head].height;
            }
            page.parts.push((page.filled, Part::Slab(n)));
            page.filled += self.slabs[n].height;
        }
    }

    /// Puts a page's share with its top left corner at the point.
    pub fn put(&self, share: &Share, sketch: &mut Canvas<'_>, x: Len, y: Len) {
        for (down, part) in &share.parts {
            sketch.put(self.part(*part).marks.iter().cloned(), at(x, y + *down));
        }
    }
}

/// The tallest piece that is made of several rows.
const TALL: Len = Len::mm(120.0);

/// Draws items together, at most so many at a time and fewer where that grows
/// tall, never fewer than `least` on purpose.
pub fn parcels<T>(
    mut items: &[T],
    most: usize,
    least: usize,
    draw: impl Fn(&[T]) -> Piece,
) -> Vec<(&[T], Piece)> {
    let mut parcels = Vec::new();
    while !items.is_empty() {
        let mut count = most.min(items.len());
        let mut piece = draw(&items[..count]);
        while piece.height > TALL && count > least {
            count = (count / 2).max(least);
            piece = draw(&items[..count]);
        }
        parcels.push((&items[..count], piece));
        items = &items[count..];
    }
    parcels
}
