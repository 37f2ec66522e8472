//! The transcription held against the sheets: rows with their history, verdicts,
//! findings.

mod changes;
pub mod disturbed;
mod findings;
mod gauges;
mod grades;
pub mod history;
mod holds;
mod index;
mod items;
mod judge;
pub mod questions;
mod readings;
mod resolve;
mod resolve_signs;
mod rows;
mod second;
mod shared;
mod sign_offs;
mod tables;
mod taken;
mod temperature;
mod types;
pub mod uncertainty;
mod words;

pub use disturbed::{Disturbed, in_time};
pub use index::{RecordIndex, who};
pub use judge::judge;
pub use resolve::{item_code, resolve};
pub use second::{Ready, ready, sheets_typed};
pub use sign_offs::is_begun;
pub use taken::{TypedIn, taken};
pub use types::{History, Issue, Judged, JudgedItem, RowHistory, Status, Step};
pub use uncertainty::together;
pub use words::{flags, inside, said, state_word, state_words, why_word};
