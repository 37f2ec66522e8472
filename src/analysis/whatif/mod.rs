//! What would bring a row in: which mate, which new part, which grade, which
//! spare; and what each would reopen. Nothing of it is decided here.

mod reopens;
mod shelf;
mod ways;
mod whole;

pub use reopens::Work;
pub use shelf::{Paired, Shelf, shelf};
pub use ways::Way;
pub use whole::{Fitted, Whole, whole};

use crate::judge::State;
use crate::model::Case;
use crate::record::Judged;
use crate::sheet::{SheetSet, judge_context};

/// A row that is out, with every way to bring it in.
#[derive(Clone, Debug)]
pub struct WhatIf {
    pub code: String,
    /// `camshaft in crankcase, centre`.
    pub name: String,
    /// `out, loose by 0.0002`.
    pub state: String,
    pub ways: Vec<Way>,
}

/// Every row that is out and not accepted, in paper order.
pub fn what_if(case: &Case, set: &SheetSet, judged: &Judged) -> Vec<WhatIf> {
    let cx = judge_context(case);
    let rows = judged.rows_of(set);
    let out = rows.filter(|(_, row)| matches!(row.state, State::Out(_)) && !row.is_accepted());
    out.map(|(at, row)| WhatIf {
        code: row.code.clone(),
        name: at.named(&at.line.name),
        state: row.state.to_string(),
        ways: ways::of_row((case, set), (at, row), &cx),
    })
    .collect()
}
