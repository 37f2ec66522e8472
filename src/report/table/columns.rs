//! The columns of the table of many reports, in their order.

use crate::model::side::Side;
use std::sync::LazyLock;

/// Name of the form of the table; a change that breaks a reader changes it.
pub const SCHEMA: &str = "benchleaf-rows-1";

/// What stands in a cell where anything does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    Text,
    /// Several texts, `; ` between them.
    Texts,
    /// An exact decimal.
    Figure,
    /// Exact decimals, a space between them, `-` for a blank box.
    Figures,
    Count,
    /// `2026-03-02`
    Date,
}

impl Holds {
    pub fn word(self) -> &'static str {
        match self {
            Holds::Text => "text",
            Holds::Texts => "texts",
            Holds::Figure => "figure",
            Holds::Figures => "figures",
            Holds::Count => "count",
            Holds::Date => "date",
        }
    }
}

/// A column by its name, or by the end of it.
pub struct Part {
    pub name: &'static str,
    pub holds: Holds,
    pub meaning: &'static str,
}

/// A column of the table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Column {
    pub name: String,
    pub holds: Holds,
    pub meaning: String,
}

const fn part(name: &'static str, holds: Holds, meaning: &'static str) -> Part {
    Part { name, holds, meaning }
}

/// The first two columns: a line begins with them, by which it is known again.
pub const KEY: [Part; 2] = [
    part("schema", Holds::Text, "`benchleaf-rows-1`"),
    part("digest", Holds::Text, "SHA-256 of the report's file"),
];

pub const REPORT: [Part; 20] = [
    part("report", Holds::Text, "the report's file below the folder"),
    part(
        "verified",
        Holds::Text,
        "`good`; `unsigned`, nothing wrong and nobody has signed; `not good`",
    ),
    part("fault", Holds::Text, "what is not good, the first of it"),
    part("signed_by", Holds::Texts, "who signed, by their certificates; the good signatures alone"),
    part("vouched", Holds::Text, "`yes` where every signer is vouched for by an `--anchor`"),
    part(
        "record",
        Holds::Text,
        "SHA-256 of the verdicts worked out anew: the same record, the same",
    ),
    part(
        "status",
        Holds::Text,
        "`draft`, `incomplete`, `complete`, and `final` where all have signed",
    ),
    part("recorded_on", Holds::Date, "the last day in the record"),
    part("job", Holds::Text, "work order"),
    part("engine", Holds::Text, "maker and model"),
    part("serial", Holds::Text, "the engine's serial number"),
    part("hours", Holds::Text, "the engine's hours as the job says them"),
    part("hours_since_new", Holds::Figure, "the figure before `since new` in them"),
    part("hours_since_overhaul", Holds::Figure, "the figure before `since overhaul`"),
    part("limits_file", Holds::Text, "the shop's number of the limits file"),
    part("document", Holds::Text, "title and number of the limits document"),
    part("revision", Holds::Text, "its revision"),
    part("scope", Holds::Text, "`to service limits` or `to new limits`"),
    part("rule", Holds::Text, "the decision rule in words"),
    part("sheet_set", Holds::Text, "number of the job's set of sheets"),
];

pub const ROW: [Part; 23] = [
    part(
        "entry",
        Holds::Text,
        "`row`; `renewed`, a part always renewed; `change`, a part changed or reworked",
    ),
    part(
        "code",
        Holds::Text,
        "the row's code, of a renewed part the item's, of a change the part's",
    ),
    part("sheet", Holds::Text, "letter of the sheet"),
    part("line", Holds::Text, "the line's ref in the limits file"),
    part("kind", Holds::Text, "the line's kind: `fit`, `size`, `reading`, ..."),
    part("name", Holds::Text, "the line's name, or the part's"),
    part("place", Holds::Text, "the place's name, or the codes of a change's places"),
    part(
        "read_of",
        Holds::Text,
        "`shaft` or `bore`: what the readings of a row without a mate are the size of",
    ),
    part("unit", Holds::Text, "of every figure of the row"),
    part("limits", Holds::Text, "the limits in words"),
    part(
        "new_min",
        Holds::Figure,
        "least new limit of the figure that the row is judged by; a tight fit is negative",
    ),
    part("new_max", Holds::Figure, "greatest new limit"),
    part("service_min", Holds::Figure, "least service limit, where the document gives one"),
    part("service_max", Holds::Figure, "greatest service limit, likewise"),
    part("state", Holds::Text, "what the record holds: `out`, `within new limits`, ..."),
    part("flags", Holds::Texts, "`close`, `loosest at limit`, ..."),
    part("beyond", Holds::Texts, "which limits are passed and by how much: `loose 0.0002`"),
    part("margin", Holds::Figure, "to the nearest limit, negative where out"),
    part("chance", Holds::Figure, "of being inside, where close"),
    part("accepted", Holds::Text, "on which data an out was accepted"),
    part("asks", Holds::Texts, "what else stands in the way: `hold: initials missing`"),
    part("steps", Holds::Count, "how often the row was written"),
    part("gauges", Holds::Texts, "every gauge that the row was read with, in any step"),
];

/// Of the row as it was found, and as it was left.
pub const MOMENT: [Part; 7] = [
    part(
        "why",
        Holds::Text,
        "empty for the first readings; `mistyped`, `measured again`, `reworked`, `part changed`",
    ),
    part("what", Holds::Text, "what was done or noted"),
    part("who", Holds::Text, "who, when and with what, as the report has it"),
    part("state", Holds::Text, "the state of these readings"),
    part(
        "least",
        Holds::Figure,
        "least figure that the row is judged by: tightest, smallest, lowest reading",
    ),
    part("most", Holds::Figure, "greatest figure: loosest, largest, highest reading"),
    part("margin", Holds::Figure, "to the nearest limit, negative where out"),
];

/// Of one side of it.
pub const SIDE: [Part; 7] = [
    part(
        "",
        Holds::Figures,
        "readings as they are judged, box by box, at 20 °C where a temperature was taken",
    ),
    part(
        "typed",
        Holds::Text,
        "the same digit for digit as typed; ticks and crosses (`v x`) and further leaves",
    ),
    part("least", Holds::Figure, "smallest of the readings"),
    part("most", Holds::Figure, "largest of them"),
    part("by", Holds::Texts, "initials"),
    part("on", Holds::Date, "day, the last where there are several"),
    part("gauges", Holds::Texts, "gauges by their names in the job"),
];

pub const PARTS: [Part; 4] = [
    part("part_count", Holds::Text, "how many were renewed"),
    part(
        "part_number",
        Holds::Texts,
        "part number; of a row those that the readings as left are of",
    ),
    part("part_batch", Holds::Texts, "serial or batch, likewise"),
    part("part_document", Holds::Texts, "source document or data, likewise"),
];

/// When: the word in a column's name, and in words.
const MOMENTS: [(&str, &str); 2] = [("found", "as found"), ("left", "as left")];

pub const SIDES: [Side; 3] = [Side::Shaft, Side::Bore, Side::Only];

/// Every column in order.
pub fn columns() -> &'static [Column] {
    static COLUMNS: LazyLock<Vec<Column>> = LazyLock::new(all);
    &COLUMNS
}

fn all() -> Vec<Column> {
    let plain = |part: &Part| Column {
        name: part.name.to_owned(),
        holds: part.holds,
        meaning: part.meaning.to_owned(),
    };
    let mut columns: Vec<Column> = KEY.iter().chain(&REPORT).chain(&ROW).map(plain).collect();
    for (when, words) in MOMENTS {
        columns.extend(MOMENT.iter().map(|part| Column {
            name: format!("{when}_{}", part.name),
            holds: part.holds,
            meaning: format!("{words}: {}", part.meaning),
        }));
        for side in SIDES {
            columns.extend(SIDE.iter().map(|part| Column {
                name: format!("{when}_{side}_{}", part.name).trim_end_matches('_').to_owned(),
                holds: part.holds,
                meaning: format!("{words}, {side}: {}", part.meaning),
            }));
        }
    }
    columns.extend(PARTS.iter().map(plain));
    columns
}
