//! The archive: signing, checking, hostile files. What outside programs say of
//! the same files is asked by `tests/oracles/archive.py`.

mod hostile;
mod keys;
mod press;
mod sign;
mod stamp;
mod tamper;
