//! A job that begins with a family of engines: its parts, features, places,
//! groups and lines, put together of pieces in `limits/like`, with the places
//! worked out from the number of cylinders.

use super::built_in;
use clap::{Args, ValueEnum};

/// The tables of an engine file, in the order in which they are written.
const TABLES: [&str; 6] = ["places", "conditions", "parts", "groups", "features", "reworks"];
/// Of a piece, what is written into the limits.
const LIMITS: &str = "limits";
/// More cylinders have no code of their own that can be read at a glance.
const MOST: u32 = 60;

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Family {
    FlatTwin,
    FlatFour,
    FlatSix,
    InLineFour,
    Radial,
}

#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum UnitWord {
    In,
    Mm,
}

/// A family to begin with, and what is to be known of it.
#[derive(Args)]
pub struct Like {
    /// Begin with the parts, features, groups and lines of a family of engines;
    /// every limit is left for the manual to give.
    #[arg(long, value_name = "FAMILY", conflicts_with_all = ["engine", "limits"])]
    like: Option<Family>,
    /// How many cylinders a radial has, in all of its rows.
    #[arg(long, value_name = "NUMBER", requires = "like")]
    cylinders: Option<u32>,
    /// How many rows a radial has, 1 or 2.
    #[arg(long, value_name = "NUMBER", requires = "like", value_parser = clap::value_parser!(u32).range(1..3))]
    rows: Option<u32>,
    /// What the manual's limits are printed in.
    #[arg(long, value_enum, requires = "like")]
    unit: Option<UnitWord>,
}

/// The two files of a family.
pub struct Files {
    pub engine: String,
    pub limits: String,
}

impl Like {
    /// The files of the family that was asked for; `None` where none was.
    pub fn files(&self) -> Option<Result<Files, String>> {
        let family = self.like?;
        let unit = self.unit.unwrap_or(UnitWord::In);
        Some(self.counts(family).and_then(|counts| put_together(family, counts, unit)))
    }

    /// Cylinders and rows, where the family lets one choose.
    fn counts(&self, family: Family) -> Result<(u32, u32), String> {
        if let Some(cylinders) = family.cylinders() {
            return match (self.cylinders, self.rows) {
                (Some(told), _) if told != cylinders => {
                    Err(format!("this family has {cylinders} cylinders; leave --cylinders out"))
                }
                (_, Some(2)) => Err("only a radial has rows; leave --rows out".to_owned()),
                _ => Ok((cylinders, 1)),
            };
        }
        let Some(cylinders) = self.cylinders else {
            return Err("say how many cylinders the radial has: --cylinders 9".to_owned());
        };
        let rows = self.rows.unwrap_or(1);
        let row = cylinders / rows;
        if cylinders > MOST || row < 3 || !cylinders.is_multiple_of(rows) || row.is_multiple_of(2) {
            let said = if rows == 1 { "3, 5, 7, 9, 11" } else { "6, 10, 14, 18, 22" };
            return Err(format!(
                "{cylinders} cylinders in {}: a row has an odd number of them, 3 or more ({said} in all)",
                if rows == 1 { "one row" } else { "two rows" }
            ));
        }
        Ok((cylinders, rows))
    }
}

impl Family {
    fn cylinders(self) -> Option<u32> {
        match self {
            Family::FlatTwin => Some(2),
            Family::FlatFour | Family::InLineFour => Some(4),
            Family::FlatSix => Some(6),
            Family::Radial => None,
        }
    }

    fn name(self, cylinders: u32, rows: u32) -> String {
        match self {
            Family::FlatTwin => "flat twin".to_owned(),
            Family::FlatFour => "flat four".to_owned(),
            Family::FlatSix => "flat six".to_owned(),
            Family::InLineFour => "in-line four".to_owned(),
            Family::Radial if rows == 2 => format!("radial of {cylinders} in two rows"),
            Family::Radial => format!("radial of {cylinders}"),
        }
    }

    /// How many main bearings such an engine mostly has; the shop counts.
    fn mains(self, rows: u32) -> u32 {
        match self {
            Family::FlatTwin => 2,
            Family::FlatFour => 3,
            Family::FlatSix => 4,
            Family::InLineFour => 5,
            Family::Radial => rows + 1,
        }
    }

    /// Its pieces, in bench order.
    fn pieces(self) -> &'static [&'static str] {
        match self {
            Family::FlatTwin | Family::FlatFour | Family::FlatSix => {
                &["cylinders-places", "case-split", "shafts", "camshaft", "rods"]
            }
            Family::InLineFour => {
                &["cylinders-places", "case-in-line", "shafts", "camshaft", "rods"]
            }
            Family::Radial => {
                &["cylinders-places", "case-radial", "shafts-radial", "rods-radial", "cam-ring"]
            }
        }
    }
}

/// Pieces that every family has, after its own.
const ALL: [&str; 4] = ["cylinders", "valves", "oil", "drives"];

fn put_together(
    family: Family,
    (cylinders, rows): (u32, u32),
    unit: UnitWord,
) -> Result<Files, String> {
    let blower = (family == Family::Radial).then_some("blower");
    let pieces = family.pieces().iter().copied().chain(ALL).chain(blower).chain(["renewed"]);
    let mut tables: [String; TABLES.len()] = Default::default();
    let (mut engine, mut limits) =
        (piece("engine-head")?.to_owned(), piece("limits-head")?.to_owned());
    for name in pieces {
        let mut table = Some(0);
        for line in piece(name)?.lines() {
            let head = line.strip_prefix('[').and_then(|rest| rest.strip_suffix(']'));
            if let Some(head) = head.filter(|head| *head == LIMITS || TABLES.contains(head)) {
                table = TABLES.iter().position(|table| *table == head);
                continue;
            }
            // Empty lines stand between tables, and between the lines of limits.
            let into = match table {
                Some(_) if line.is_empty() => continue,
                Some(n) => &mut tables[n],
                None => &mut limits,
            };
            into.push_str(line);
            into.push('\n');
        }
        if table.is_none() {
            limits.push('\n');
        }
    }
    let written: Vec<String> =
        TABLES.iter().zip(&tables).map(|(name, text)| format!("[{name}]\n{text}")).collect();
    engine.push_str(&written.join("\n"));
    let said = words(family, cylinders, rows, unit);
    let said = |text: String| said.iter().fold(text, |text, (word, with)| text.replace(word, with));
    Ok(Files { engine: said(engine), limits: said(limits).trim_end().to_owned() + "\n" })
}

fn piece(name: &str) -> Result<&'static str, String> {
    let path = format!("like/{name}.toml");
    built_in::limits(&path).ok_or_else(|| format!("{path} is not carried in the program"))
}

/// What the pieces leave open.
fn words(family: Family, cylinders: u32, rows: u32, unit: UnitWord) -> Vec<(&'static str, String)> {
    let mains = family.mains(rows);
    let all = || 1..=cylinders;
    let codes = |codes: Vec<String>| {
        let quoted: Vec<String> = codes.iter().map(|code| format!("\"{code}\"")).collect();
        format!("[{}]", quoted.join(", "))
    };
    let plain =
        |of: &dyn Fn(&u32) -> bool| codes(all().filter(|n| of(n)).map(|n| n.to_string()).collect());
    // One number a row: of two, odd cylinders stand in one row and even ones in
    // the other (common practice, no source).
    let is_master = |n: &u32| *n <= rows;
    // Cylinder 1 stands upright and the others follow around the shaft: those
    // past a quarter turn on either side hang.
    let hangs = |n: &u32| {
        let turned = (n - 1) * 4;
        turned > cylinders && turned < cylinders * 3
    };
    let barrels = match family {
        Family::Radial => "\"barrels\", \"hanging-cylinders\"",
        _ => "\"barrels\"",
    };
    let [unit, step, load] = match unit {
        UnitWord::In => ["in", "0.0001", "lbf"],
        UnitWord::Mm => ["mm", "0.001", "N"],
    };
    vec![
        ("@family@", family.name(cylinders, rows)),
        ("@unit@", unit.to_owned()),
        ("@step@", step.to_owned()),
        ("@load@", load.to_owned()),
        ("@cylinders@", cylinders.to_string()),
        ("@valves@", codes(all().flat_map(|n| [format!("{n}IN"), format!("{n}EX")]).collect())),
        ("@masters@", plain(&is_master)),
        ("@links@", plain(&|n| !is_master(n))),
        ("@hanging@", plain(&hangs)),
        ("@rows@", if rows == 2 { "1-2" } else { "1" }.to_owned()),
        ("@mains@", mains.to_string()),
        ("@cam-bearings@", mains.to_string()),
        ("@main-shells@", (2 * mains).to_string()),
        ("@rod-shells@", (2 * cylinders).to_string()),
        ("@rod-bolts@", (2 * cylinders).to_string()),
        ("@barrels@", barrels.to_owned()),
        ("@circlips@", (2 * cylinders).to_string()),
    ]
}
