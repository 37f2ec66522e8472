//! How far a call with several jobs is: one line on a terminal, written over
//! itself and gone at the end. Nothing where standard error is no terminal.

use super::say::Held;
use std::io::{IsTerminal, Write};

/// Back to the start of the line, and the line emptied (ECMA-48: CR, EL).
const EMPTY: &str = "\r\u{1b}[K";

pub struct Progress {
    jobs: usize,
    told: usize,
    wrong: usize,
    shown: bool,
}

impl Progress {
    pub fn new(jobs: usize) -> Progress {
        let progress = Progress { jobs, told: 0, wrong: 0, shown: std::io::stderr().is_terminal() };
        progress.show(&progress.line());
        progress
    }

    /// Says what a finished job had to say, and counts it.
    pub fn tell(&mut self, held: &Held, wrong: bool) {
        self.told += 1;
        self.wrong += usize::from(wrong);
        self.show(EMPTY);
        held.tell();
        self.show(&self.line());
    }

    /// Takes the line off.
    pub fn end(&self) {
        self.show(EMPTY);
    }

    fn show(&self, text: &str) {
        if self.shown {
            // A terminal that is gone is no fault of the jobs.
            let _ = std::io::stderr().write_all(text.as_bytes());
        }
    }

    fn line(&self) -> String {
        let Progress { jobs, told, wrong, .. } = self;
        match wrong {
            0 => format!("{told} of {jobs}"),
            wrong => format!("{told} of {jobs}, {wrong} wrong"),
        }
    }
}
