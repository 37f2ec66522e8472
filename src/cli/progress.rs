//! How far a call with several jobs is: one line on a terminal, written over
//! itself and gone at the end. Nothing where standard error is no terminal.

use super::say::{Held, Over};

pub struct Progress {
    jobs: usize,
    told: usize,
    wrong: usize,
    over: Over,
}

impl Progress {
    pub fn new(jobs: usize) -> Progress {
        let progress = Progress { jobs, told: 0, wrong: 0, over: Over::new() };
        progress.over.show(&progress.line());
        progress
    }

    /// Says what a finished job had to say, and counts it.
    pub fn tell(&mut self, held: &Held, wrong: bool) {
        self.told += 1;
        self.wrong += usize::from(wrong);
        self.over.show("");
        held.tell();
        self.over.show(&self.line());
    }

    /// Takes the line off.
    pub fn end(&self) {
        self.over.show("");
    }

    fn line(&self) -> String {
        let Progress { jobs, told, wrong, .. } = self;
        match wrong {
            0 => format!("{told} of {jobs}"),
            wrong => format!("{told} of {jobs}, {wrong} wrong"),
        }
    }
}
