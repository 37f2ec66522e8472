//! Forms × engine × limits to sheets, rows and codes; sheet numbers; the blank
//! transcription.

mod expand;
mod gauges;
mod head;
mod number;
mod pages;
mod rows;
pub mod second;
mod signs;
mod transcription;
mod types;
mod words;

pub use expand::{expand, setting};
pub use number::plain as plain_number;
pub use pages::Pages;
pub(crate) use signs::sign_key;
pub use transcription::transcription;
pub use types::{
    Columns, GaugeNeed, Head, Index, Item, LineRows, MarksBlock, MarksKind, MeasureBlock,
    PersonLine, RenewItem, Row, Sheet, SheetBlock, SheetSet, SignBox,
};
