//! The lines of the table as text: JSON Lines or CSV, each line one line of
//! text whatever its cells hold. Names `csv` beside the reader of limits.

use super::cells::Cell;
use super::columns::{Holds, KEY, SCHEMA, columns};
use csv::WriterBuilder;
use serde::{Serialize, Serializer};

/// How the table is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// A JSON object a line; what is absent is null.
    JsonLines,
    /// A head and a line each; what is absent is empty (RFC 4180, lines ended
    /// by a line feed alone).
    Csv,
}

impl Form {
    /// By the ending of a file's name.
    pub fn of_ending(ending: &str) -> Option<Form> {
        match ending.to_ascii_lowercase().as_str() {
            "jsonl" | "ndjson" => Some(Form::JsonLines),
            "csv" => Some(Form::Csv),
            _ => None,
        }
    }

    /// A line with its line feed.
    pub(super) fn line(self, cells: &[Cell]) -> String {
        match self {
            Form::JsonLines => {
                // A map of texts always serialises.
                let text = serde_json::to_string(&Named(cells)).unwrap_or_default();
                format!("{text}\n")
            }
            Form::Csv => {
                let named = columns().iter().zip(cells);
                let cells: Vec<String> = named
                    .map(|(column, cell)| {
                        in_a_cell(cell.as_deref().unwrap_or_default(), column.holds)
                    })
                    .collect();
                joined(&cells)
            }
        }
    }

    /// The digest of the report that a line is of; `None` where it is none of
    /// such a table.
    fn digest(self, line: &str) -> Option<&str> {
        let [schema, digest] = KEY.map(|part| part.name);
        let rest = match self {
            Form::JsonLines => {
                line.strip_prefix(&format!("{{\"{schema}\":\"{SCHEMA}\",\"{digest}\":\""))?
            }
            Form::Csv => line.strip_prefix(&format!("{SCHEMA},"))?,
        };
        let (digest, rest) = rest.split_at_checked(64)?;
        let ended = match self {
            Form::JsonLines => rest.starts_with("\",") && rest.ends_with("}\n"),
            Form::Csv => rest.starts_with(',') && rest.ends_with('\n'),
        };
        (ended && digest.bytes().all(|byte| byte.is_ascii_hexdigit())).then_some(digest)
    }
}

/// The cells by the names of their columns.
struct Named<'a>(&'a [Cell]);

impl Serialize for Named<'_> {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(columns().iter().map(|column| &column.name).zip(self.0))
    }
}

/// What stands above the lines: in a CSV file the names of the columns.
pub fn head(form: Form) -> String {
    match form {
        Form::JsonLines => String::new(),
        Form::Csv => {
            joined(&columns().iter().map(|column| column.name.clone()).collect::<Vec<_>>())
        }
    }
}

/// The digest that a line of a table which is there already names, or why the
/// table is none of this form. `n` counts from 0.
pub fn known(form: Form, n: usize, line: &str) -> Result<Option<&str>, &'static str> {
    if n == 0 && form == Form::Csv {
        return if line == head(form) { Ok(None) } else { Err("its columns are others") };
    }
    form.digest(line).map(Some).ok_or("is no line of such a table, or is cut short")
}

/// No line breaks; in a text nothing that a spreadsheet would work out.
fn in_a_cell(text: &str, holds: Holds) -> String {
    let plain: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    let words = matches!(holds, Holds::Text | Holds::Texts);
    if words && plain.starts_with(['=', '+', '-', '@']) { format!("'{plain}") } else { plain }
}

fn joined(cells: &[String]) -> String {
    let mut writer = WriterBuilder::new().from_writer(Vec::new());
    // Nothing but memory is written to.
    let written = writer.write_record(cells);
    let bytes = written.ok().and_then(|()| writer.into_inner().ok()).unwrap_or_default();
    String::from_utf8(bytes).unwrap_or_default()
}
