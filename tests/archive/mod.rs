//! The archive: signing, checking, hostile files. What outside programs say of
//! the same files is asked by `tests/oracles/archive.py`.

pub mod alter;
mod attacks;
pub mod build;
pub mod chains;
pub mod hostile;
mod keys;
pub mod seals;
mod sign;
pub mod stamp;
mod stamp_chains;
pub mod tamper;
mod within;
