//! How a command ended.

/// What the exit status says of a command.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Outcome {
    Done,
    /// Done, and something is out, in query, on hold or open.
    Exceptions,
    /// The input or the command is wrong.
    Wrong,
}
