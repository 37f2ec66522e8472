//! Forms × engine × limits to sheets, rows and codes; sheet numbers; the blank
//! transcription.

mod types;

pub use types::{
    Columns, GaugeNeed, Head, Index, Item, LineRows, MarksBlock, MarksKind, MeasureBlock,
    PersonLine, RenewItem, Row, Sheet, SheetBlock, SheetSet, SignBox,
};
