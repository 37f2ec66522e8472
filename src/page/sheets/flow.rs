//! Slabs down the pages: what cannot be split is a slab, and slabs go down a
//! page until the next one has no room.

use crate::page::length::Len;
use crate::page::mark::Mark;
use crate::page::pen::{Piece, Sketch, at};
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

/// A page's share: slabs with the height each stands at.
#[derive(Clone, Debug, Default)]
pub struct Share {
    pub slabs: Vec<(Len, Slab)>,
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

    /// Slabs that stay together: from `start` through the last that keeps.
    fn chain(&self, start: usize) -> &[Slab] {
        let rest = &self.slabs[start..];
        let kept = rest.iter().take_while(|slab| slab.keep).count();
        &rest[..(kept + 1).min(rest.len())]
    }

    fn head_of(&self, slab: &Slab) -> Option<&Slab> {
        slab.head.and_then(|head| self.heads.get(head))
    }

    /// Height of the chain, at the top of a page with its head.
    fn chain_height(&self, chain: &[Slab], top: bool) -> Len {
        let head = chain.first().and_then(|slab| self.head_of(slab));
        let head = head.map_or(Len::ZERO, |head| head.height);
        let slabs: Len = chain.iter().map(|slab| slab.above + slab.height).sum();
        match (top, chain.first()) {
            (true, Some(first)) => slabs - first.above + head,
            _ => slabs,
        }
    }

    /// Pours the slabs into pages of `room`, the last of which keeps `tail`
    /// free at its foot. The last slab stays with the tail.
    ///
    /// # Errors
    /// [`TooTall`] for a slab that no page can hold.
    pub fn pour(&self, room: Len, tail: Len) -> Result<Vec<Share>, TooTall> {
        let mut pages = vec![Share::default()];
        let mut next = 0;
        while next < self.slabs.len() {
            let mut chain = self.chain(next);
            let last = next + chain.len() == self.slabs.len();
            let tail = if last { tail } else { Len::ZERO };
            if self.chain_height(chain, true) + tail > room {
                // Nothing holds the whole chain: a slab by itself.
                chain = &self.slabs[next..=next];
                if self.chain_height(chain, true) > room {
                    return Err(TooTall { slab: next });
                }
            }
            let whole = next + chain.len() == self.slabs.len();
            let tail = if whole { tail } else { Len::ZERO };
            self.place(&mut pages, chain, room, tail);
            next += chain.len();
        }
        let full = pages.last().is_some_and(|page| page.filled + tail > room);
        if full {
            pages.push(Share::default());
        }
        Ok(pages)
    }

    fn place(&self, pages: &mut Vec<Share>, chain: &[Slab], room: Len, tail: Len) {
        let fresh = |page: &Share| page.slabs.is_empty();
        let fits = pages.last().is_some_and(|page| {
            let height = self.chain_height(chain, fresh(page));
            page.filled + height + tail <= room
        });
        if !fits && pages.last().is_some_and(|page| !fresh(page)) {
            pages.push(Share::default());
        }
        let Some(page) = pages.last_mut() else {
            return;
        };
        for slab in chain {
            if !page.slabs.is_empty() {
                page.filled += slab.above;
            } else if let Some(head) = self.head_of(slab) {
                page.slabs.push((page.filled, head.clone()));
                page.filled += head.height;
            }
            page.slabs.push((page.filled, slab.clone()));
            page.filled += slab.height;
        }
    }
}

impl Share {
    /// Puts the slabs with the top left corner of the share at the point.
    pub fn put(self, sketch: &mut Sketch<'_>, x: Len, y: Len) {
        for (down, slab) in self.slabs {
            sketch.put(slab.marks, at(x, y + down));
        }
    }
}
