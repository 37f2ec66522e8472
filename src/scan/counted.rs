//! A picture that counts what the reader of codes does with it. A picture can be
//! built that keeps the reader busy for minutes: it stops where the work or the
//! patterns that may be corners of codes are too many, the same on any machine.

use image::{GenericImage, GenericImageView, Luma};
use std::cell::Cell;
use std::panic::resume_unwind;
use std::rc::Rc;

/// Patterns of one picture that may be corners of codes. A code has three; of the
/// tests' 42 tries that found one, 41 met three and one met four.
const MOST_CORNERS: u32 = 250;

/// How the reader marks the dots of such a pattern once it is sure of it.
const CORNER: u8 = 2;

/// Dots that are copied in the time that one is asked for.
const COPIED: u64 = 16;

/// The reader was stopped: it has no way of its own to end early.
pub struct Stopped;

/// What may still be done, shared by all copies of a picture.
#[derive(Debug)]
pub struct Work {
    left: Cell<u64>,
    corners: Cell<u32>,
    /// The last dot that was marked was one of a corner.
    marking: Cell<bool>,
}

impl Work {
    /// So many dots asked for or set.
    pub fn new(most: u64) -> Rc<Work> {
        let (corners, marking) = (Cell::new(0), Cell::new(false));
        Rc::new(Work { left: Cell::new(most), corners, marking })
    }

    pub fn left(&self) -> u64 {
        self.left.get()
    }

    fn spend(&self, work: u64) {
        match self.left.get().checked_sub(work) {
            Some(left) => self.left.set(left),
            None => resume_unwind(Box::new(Stopped)),
        }
    }

    fn mark(&self, corner: bool) {
        if corner && !self.marking.get() {
            self.corners.set(self.corners.get() + 1);
            if self.corners.get() > MOST_CORNERS {
                resume_unwind(Box::new(Stopped));
            }
        }
        self.marking.set(corner);
    }
}

/// Shades of grey, counted.
#[derive(Debug)]
pub struct Counted {
    pub width: usize,
    pub height: usize,
    pub dots: Vec<Luma<u8>>,
    pub work: Rc<Work>,
}

impl Counted {
    fn at(&self, x: u32, y: u32) -> usize {
        y as usize * self.width + x as usize
    }
}

impl Clone for Counted {
    fn clone(&self) -> Counted {
        self.work.spend(self.dots.len() as u64 / COPIED);
        let (width, height, work) = (self.width, self.height, self.work.clone());
        Counted { width, height, dots: self.dots.clone(), work }
    }
}

impl GenericImageView for Counted {
    type Pixel = Luma<u8>;

    fn dimensions(&self) -> (u32, u32) {
        (self.width as u32, self.height as u32)
    }

    fn get_pixel(&self, x: u32, y: u32) -> Luma<u8> {
        self.work.spend(1);
        self.dots[self.at(x, y)]
    }
}

impl GenericImage for Counted {
    fn get_pixel_mut(&mut self, x: u32, y: u32) -> &mut Luma<u8> {
        self.work.spend(1);
        let at = self.at(x, y);
        &mut self.dots[at]
    }

    fn put_pixel(&mut self, x: u32, y: u32, dot: Luma<u8>) {
        self.work.spend(1);
        self.work.mark(dot.0[0] == CORNER);
        let at = self.at(x, y);
        self.dots[at] = dot;
    }

    fn blend_pixel(&mut self, x: u32, y: u32, dot: Luma<u8>) {
        self.put_pixel(x, y, dot);
    }
}
