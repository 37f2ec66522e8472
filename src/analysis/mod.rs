//! What a shop asks of judged records: compare, what if, wear, recall, parts set
//! aside.

pub mod compare;
pub mod recall;
mod set_aside;
pub mod wear;
pub mod whatif;

pub use set_aside::{Aside, Disposition, set_aside};
