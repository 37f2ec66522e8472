//! TOML as it is typed: tokens, values and what a mechanic mistyped.

mod bare;
mod chunk;
mod lexer;
mod mistakes;
pub(super) mod number;
pub mod tree;
mod value;

pub(super) use lexer::comments;
