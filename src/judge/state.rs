//! States of a row and the flags beside them.

use super::measure::Measure;
use crate::model::side::Side;
use crate::quantity::Exact;
use std::fmt;

/// What is out, in words that print: `loose`, `tight`, `small`, `large`, ...
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Beyond {
    /// `loose`, `tight`, `shaft small`, `bore large`, `over`, `under`, ...
    pub side: String,
    /// By how much; absent where nothing can be subtracted (a count, a mark).
    pub by: Option<Exact>,
}

/// A row's state, printed as words.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum State {
    /// Recorded only, or no limit.
    Recorded,
    /// Not applicable, with a reason.
    NotApplicable,
    New,
    Service,
    Open,
    Out(Vec<Beyond>),
    Hold,
    /// A reading looks like a slip: nothing is judged.
    Query,
}

/// What stands beside a state.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Flag {
    /// A fit end or a part equals a limit it is held against; which.
    AtLimit(Measure),
    /// Nearer to a limit than the uncertainty.
    Close,
    /// Beyond new on the side that wear cannot reach; which part.
    NotWear(Side),
    /// Out under new scope, yet inside service.
    InsideService,
    /// Accepted by go and no-go leaves that lie beside the limits; what they
    /// prove: `0.0015 to 0.006`.
    GoNoGo(String),
}

impl State {
    /// Worst first: query, hold, out, open, service, new. `recorded` and
    /// `n.a.` have no rank and give way to any other.
    pub fn rank(&self) -> u8 {
        match self {
            State::Recorded | State::NotApplicable => 0,
            State::New => 1,
            State::Service => 2,
            State::Open => 3,
            State::Out(_) => 4,
            State::Hold => 5,
            State::Query => 6,
        }
    }

    /// The worse of two; what is out in both is out with all of it.
    pub fn worse(self, other: State) -> State {
        match (self, other) {
            (State::Out(mut mine), State::Out(others)) => {
                others.into_iter().for_each(|beyond| {
                    if !mine.contains(&beyond) {
                        mine.push(beyond);
                    }
                });
                State::Out(mine)
            }
            (mine, other) if other.rank() > mine.rank() => other,
            (mine, _) => mine,
        }
    }

    /// Whether a final report can hold it.
    pub fn passes(&self) -> bool {
        matches!(self, State::New | State::Service | State::Recorded | State::NotApplicable)
    }

    /// The state without its figures, for machines.
    pub fn word(&self) -> &'static str {
        match self {
            State::Recorded => "recorded",
            State::NotApplicable => "n.a.",
            State::New => "within new limits",
            State::Service => "within service limits",
            State::Open => "open",
            State::Out(_) => "out",
            State::Hold => "hold",
            State::Query => "query",
        }
    }
}

impl fmt::Display for State {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.word())?;
        if let State::Out(beyonds) = self {
            for (n, beyond) in beyonds.iter().enumerate() {
                out.write_str(if n == 0 { ", " } else { "; " })?;
                out.write_str(&beyond.side)?;
                if let Some(by) = beyond.by {
                    write!(out, " by {by}")?;
                }
            }
        }
        Ok(())
    }
}

impl fmt::Display for Flag {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Flag::AtLimit(of @ (Measure::Loosest | Measure::Tightest | Measure::Part(_))) => {
                write!(out, "{of} at limit")
            }
            Flag::AtLimit(_) => out.write_str("at limit"),
            Flag::Close => out.write_str("close"),
            Flag::NotWear(part) => write!(out, "{part} not wear: ask for a cause"),
            Flag::InsideService => out.write_str("inside service"),
            Flag::GoNoGo(proven) => write!(out, "accepted by go / no-go, proven {proven}"),
        }
    }
}
