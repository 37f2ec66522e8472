//! Bands into pages: heads repeated, what belongs together kept together.

use std::sync::Arc;

use super::SignPlace;
use super::band::{Band, Strip, moved};
use crate::page::length::Len;
use crate::page::mark::{Area, Bookmark, Mark, Point};

/// Where text may stand on the pages of a section.
#[derive(Clone, Copy, Debug)]
pub struct Room {
    pub left: Len,
    pub top: Len,
    pub bottom: Len,
}

/// The text of a page, without its head and foot.
#[derive(Debug)]
pub struct Leaf {
    /// Whose title the head shows.
    pub section: usize,
    /// The section began on an earlier page.
    pub continued: bool,
    pub marks: Vec<Mark>,
}

/// All pages so far.
#[derive(Debug, Default)]
pub struct Flow {
    pub leaves: Vec<Leaf>,
    pub bookmarks: Vec<Bookmark>,
    pub signs: Vec<SignPlace>,
    y: Len,
    top: Len,
    foot: Option<Arc<Strip>>,
}

impl Flow {
    /// Lays the bands of a section, on a new page where asked.
    pub fn section(&mut self, section: usize, bands: Vec<Band>, room: Room, new_page: bool) {
        let mut place = Place { flow: self, section, room, begun: false };
        if new_page || place.flow.leaves.is_empty() {
            place.turn();
        }
        let mut unit = Vec::new();
        for band in bands {
            let ends = !band.keep;
            unit.push(band);
            if ends {
                place.unit(std::mem::take(&mut unit));
            }
        }
        place.unit(unit);
    }
}

/// The section in hand.
struct Place<'a> {
    flow: &'a mut Flow,
    section: usize,
    room: Room,
    /// Some band of the section stands on a page.
    begun: bool,
}

impl Place<'_> {
    /// Bands that stay together; a unit taller than a page is broken between
    /// its bands.
    fn unit(&mut self, unit: Vec<Band>) {
        let whole: Len = unit.iter().map(|band| band.gap + band.strip.height).sum();
        let last = unit.last().map_or(Len::ZERO, foot_height);
        if !self.fits(whole + last) {
            self.turn();
        }
        for band in unit {
            if !self.fits(band.gap + band.strip.height + foot_height(&band)) {
                self.turn();
            }
            self.band(band);
        }
    }

    /// At the top of a page everything must do.
    fn fits(&self, height: Len) -> bool {
        self.at_top() || self.flow.y + height <= self.room.bottom
    }

    fn at_top(&self) -> bool {
        self.flow.y == self.flow.top
    }

    fn turn(&mut self) {
        if let Some(foot) = self.flow.foot.take() {
            let strip = Strip::clone(&foot);
            self.strip(strip);
        }
        // A page has about as many marks as the one before it.
        let marks = self.flow.leaves.last().map_or(0, |leaf| leaf.marks.len() + 16);
        self.flow.leaves.push(Leaf {
            section: self.section,
            continued: self.begun,
            marks: Vec::with_capacity(marks),
        });
        self.flow.y = self.room.top;
        self.flow.top = self.room.top;
    }

    fn band(&mut self, band: Band) {
        let mut strip = band.strip;
        if self.at_top() {
            for head in band.heads.iter().flat_map(|heads| heads.iter()) {
                self.strip(head.clone());
            }
            strip = band.at_top.unwrap_or(strip);
        } else {
            self.flow.y += band.gap;
        }
        let page = self.flow.leaves.len().saturating_sub(1);
        if let Some((level, title)) = band.bookmark {
            self.flow.bookmarks.push(Bookmark { level, title, page });
        }
        if let Some((name, area)) = band.sign {
            let (x, y) = (area.x + self.room.left, area.y + self.flow.y);
            let area = Area { x, y, ..area };
            self.flow.signs.push(SignPlace { name, page, area });
        }
        self.flow.foot = band.foot;
        self.strip(strip);
        self.begun = true;
    }

    fn strip(&mut self, strip: Strip) {
        let by = Point { x: self.room.left, y: self.flow.y };
        if let Some(leaf) = self.flow.leaves.last_mut() {
            let marks = strip.marks.into_iter().map(|mark| moved(mark, by));
            leaf.marks.extend(marks);
        }
        self.flow.y += strip.height;
    }
}

fn foot_height(band: &Band) -> Len {
    band.foot.as_ref().map_or(Len::ZERO, |foot| foot.height)
}
