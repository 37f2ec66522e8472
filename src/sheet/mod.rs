//! Forms × engine × limits to sheets, rows and codes; sheet numbers; the blank
//! transcription.

mod blind;
mod expand;
pub mod fields;
mod gauges;
mod head;
mod left_out;
mod number;
mod pages;
mod reference;
mod rows;
pub mod second;
mod sign_off;
mod table;
mod tags;
mod texts;
mod transcription;
mod typed;
mod typed_later;
mod typed_values;
mod types;

pub use blind::blind;
pub use expand::{expand, judge_context};
pub use number::{plain as plain_number, short as short_number};
pub use pages::{INDEX, Pages};
pub use reference::{Reference, is_set};
pub use sign_off::needs_gauge;
pub use tags::{Tag, tags};
pub use transcription::{printed, transcription};
pub use typed::typed;
pub use types::{
    At, Column, Columns, GaugeNeed, Head, Hold, Index, Item, LineRows, MarksBlock, MarksKind,
    MeasureBlock, PersonLine, RenewItem, Row, RowId, Sheet, SheetBlock, SheetSet, SignBox,
    TableBlock, holds, span,
};
