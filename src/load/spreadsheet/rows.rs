//! The rows of a table as the lines of a limits file: a tree like that of a
//! TOML file, each of whose places is a cell.

use super::super::keys::{Kind, Shape};
use super::super::kinds::Kinds;
use super::super::lines::LINE;
use super::super::meant::found;
use super::super::toml::tree::{Entry, Node, Table, Value};
use super::cells::{Cell, Row};
use super::columns::{self, COLUMNS, GRADE, Path};
use super::head::{Head, Under};
use super::values::{absent, is_replace, value};
use crate::diag::{Diag, Diags, Severity, Span};
use crate::model::text::Text;
use std::collections::{BTreeMap, BTreeSet};

/// What the cells of one row say, by the keys that lead there.
type Values = BTreeMap<Path, Node>;

struct Line {
    reference: String,
    shape: Option<(&'static str, &'static Shape)>,
    at: Span,
    table: Table,
    grades: Table,
}

struct Rows<'a> {
    head: &'a Head,
    kinds: Option<&'a Kinds>,
    lines: Vec<Line>,
    /// Columns that are needed and not there, each told once.
    told: BTreeSet<Path>,
    /// Some row could not be taken: a line that is not there may be that.
    lost: bool,
}

/// All lines, as a list of tables.
pub fn lines(head: &Head, rows: &[Row], kinds: Option<&Kinds>, out: &mut Diags) -> Node {
    let mut reading = Rows { head, kinds, lines: Vec::new(), told: BTreeSet::new(), lost: false };
    for path in always() {
        reading.lacks(&path, "every row", out);
    }
    for row in rows {
        match row.whole && reading.is_wide(row, out) {
            true => reading.row(row, out),
            false => reading.lost = true,
        }
    }
    if rows.is_empty() {
        out.fault(&head.at, "no row below the columns", "a row for each line of the table");
    }
    let each = reading.lines.into_iter().map(|mut line| {
        if let Some(first) = line.grades.0.first() {
            let at = first.key.at.clone();
            let key = Text { text: GRADE.into(), at: at.clone() };
            let node = Node { at, value: Value::Table(line.grades) };
            line.table.0.push(Entry { key, node });
        }
        Node { at: line.at, value: Value::Table(line.table) }
    });
    Node { value: Value::List(each.collect()), at: head.at.clone() }
}

/// What a line of any kind must have.
fn always() -> Vec<Path> {
    let needed = |shape: &'static Shape, name: &str| {
        shape.key(name).is_some_and(|key| key.needed && !key.implied)
    };
    let of = |column: &columns::Column| match column.path[..] {
        [name] => LINE.kinds.iter().all(|(_, shape)| needed(shape, name)),
        _ => false,
    };
    COLUMNS.iter().filter(|column| of(column)).map(|column| column.path.clone()).collect()
}

impl Rows<'_> {
    /// As many cells as there are columns: a row with more or fewer has lost or
    /// gained a separator, and its cells stand under others' names.
    fn is_wide(&self, row: &Row, out: &mut Diags) -> bool {
        let (cells, width) = (row.cells.len(), self.head.columns.len());
        if cells == width {
            return true;
        }
        let Some(at) = row.cells.get(width).or(row.cells.last()) else { return true };
        let message = format!("{cells} cells where the columns are {width}");
        let help = match cells > width {
            true => "a text with commas stands in quotes; a figure has a point",
            false => "an empty cell for each that is absent",
        };
        out.fault(&at.at, message, help);
        false
    }

    fn row(&mut self, row: &Row, out: &mut Diags) {
        let Some(first) = row.cells.first() else { return };
        let mut cells: Vec<(usize, &Cell)> = Vec::new();
        for (cell, under) in row.cells.iter().zip(&self.head.columns) {
            match under {
                Under::Column(column) => cells.push((*column, cell)),
                Under::NoName if !cell.text.is_empty() => {
                    let help = "name the column in the row that names the others";
                    out.fault(&cell.at, format!("{} under no name", cell.text), help);
                }
                Under::NoName | Under::Own | Under::Unknown => {}
            }
        }
        let text = |name: &str| {
            let found = cells.iter().find(|(column, _)| COLUMNS[*column].path == [name]);
            found.map(|(_, cell)| *cell).filter(|cell| !absent(&cell.text))
        };
        let (reference, kind, grade) = (text("ref"), text("kind"), text(GRADE));
        let at = reference.unwrap_or(first).at.clone();
        let filled: Vec<(usize, &Cell)> =
            cells.iter().filter(|(_, cell)| !absent(&cell.text)).copied().collect();
        if let Some(grade) = grade {
            return self.grade((reference, kind, grade), &filled, out);
        }
        let mut values = self.values(&filled, out);
        let small = match kind {
            Some(kind) => Some(kind.text.to_lowercase()),
            None => self.meant(&mut values),
        };
        let shape = small.and_then(|small| {
            LINE.kinds
                .iter()
                .find(|(known, _)| *known == small)
                .map(|(known, shape)| (*known, *shape))
        });
        if let (Some((known, _)), Some(Value::Text(word))) =
            (shape, values.get_mut(&vec!["kind"]).map(|node| &mut node.value))
        {
            *word = known.into();
        }
        let mut missing = Vec::new();
        match shape {
            Some((_, shape)) => {
                self.belong(shape, &filled, out);
                needs(shape, &[], &values, &mut missing);
            }
            None => {
                let paths = always().into_iter().chain([vec!["kind"]]);
                missing = paths.filter(|path| !values.contains_key(path)).collect();
            }
        }
        for path in missing {
            let who = shape.map_or("a line", |(_, shape)| shape.name);
            self.missing(&path, who, (row, &at), out);
        }
        let table = match shape {
            Some((_, shape)) => table(shape, &[], &values),
            None => table(LINE.kinds[0].1, &[], &values),
        };
        let reference = reference.map(|cell| cell.text.clone()).unwrap_or_default();
        self.lines.push(Line { reference, shape, at, table, grades: Table::default() });
    }

    /// The kind of a row that names none: a fit's, or what its way says.
    fn meant(&self, values: &mut Values) -> Option<String> {
        let path = |path: &[&'static str]| path.to_vec();
        let (fit, way) = (path(&["shaft", "feature"]), path(&["way"]));
        let (kind, at) = if let Some(shaft) = values.get(&fit)
            && values.contains_key(&path(&["bore", "feature"]))
        {
            ("fit", shaft.at.clone())
        } else {
            let Node { at, value: Value::Text(way) } = values.get(&way)? else { return None };
            (found(self.kinds?, way)?.lines.first()?.as_str(), at.clone())
        };
        values.insert(path(&["kind"]), Node { at, value: Value::Text(kind.into()) });
        Some(kind.to_owned())
    }

    /// A row of a grade belongs to the line of its reference above it.
    fn grade(
        &mut self,
        (reference, kind, grade): (Option<&Cell>, Option<&Cell>, &Cell),
        filled: &[(usize, &Cell)],
        out: &mut Diags,
    ) {
        let mut values = self.values(filled, out);
        for path in [vec!["ref"], vec!["kind"], vec![GRADE]] {
            values.remove(&path);
        }
        let Some(reference) = reference else {
            let help = "the ref of the line that has this grade";
            return out.fault(&grade.at, "a grade without a ref", help);
        };
        let same = |line: &&mut Line| line.reference == reference.text;
        let Some(line) = self.lines.iter_mut().find(same) else {
            if self.lost {
                return;
            }
            let message = format!("there is no line {} above this grade", reference.text);
            return out.fault(&reference.at, message, "the line itself first, then its grades");
        };
        let Some((own, shape)) = line.shape else { return };
        if let Some(kind) = kind.filter(|kind| !kind.text.eq_ignore_ascii_case(own)) {
            let message = format!("a grade of kind {} on a line of kind {own}", kind.text);
            out.fault(&kind.at, message, format!("{own}, or leave it out"));
        }
        let Some(Kind::Named(inner)) = shape.key(GRADE).map(|key| key.kind) else {
            let message = format!("{} has no grades", shape.name);
            return out.fault(&grade.at, message, "a fit or a size has");
        };
        if let Some(first) = line.grades.get(&grade.text) {
            let message = format!("the grade {} of {} stands twice", grade.text, line.reference);
            let diag = Diag::at(Severity::Fault, &grade.at, message, "keep one of the two");
            return out.push(diag.also(first.key.at.clone(), "the first"));
        }
        let key = Text { text: grade.text.as_str().into(), at: grade.at.clone() };
        let value = Value::Table(table(inner, &[], &values));
        line.grades.0.push(Entry { key, node: Node { at: grade.at.clone(), value } });
        let common = |column: usize| {
            [&["ref"][..], &["kind"], &[GRADE]].contains(&&COLUMNS[column].path[..])
        };
        let rest: Vec<_> = filled.iter().filter(|(column, _)| !common(*column)).copied().collect();
        self.belong(inner, &rest, out);
    }

    fn values(&self, filled: &[(usize, &Cell)], out: &mut Diags) -> Values {
        let mut values = Values::new();
        for (column, cell) in filled {
            let column = &COLUMNS[*column];
            match replaced(&column.path, cell) {
                Some(path) => {
                    let value = Value::Text(cell.text.to_lowercase().into());
                    values.entry(path).or_insert(Node { at: cell.at.clone(), value });
                }
                None => {
                    values.insert(column.path.clone(), value(column.key, cell, out));
                }
            }
        }
        values
    }

    /// Every cell that is filled is one that such a line has.
    fn belong(&self, shape: &'static Shape, filled: &[(usize, &Cell)], out: &mut Diags) {
        for (column, cell) in filled {
            let column = &COLUMNS[*column];
            if columns::key(shape, &column.path).is_none() {
                let message = format!("{} has no {}", shape.name, column.name);
                out.fault(&cell.at, message, "empty the cell, or look at the kind of the line");
            }
        }
    }

    fn missing(&mut self, path: &Path, who: &str, (row, at): (&Row, &Span), out: &mut Diags) {
        if self.lacks(path, &format!("row {}", row.number), out) {
            return;
        }
        let Some(column) = columns::at(path) else { return };
        let cell = self.head.columns.iter().position(|other| *other == Under::Column(column));
        let at = cell.and_then(|cell| row.cells.get(cell)).map_or(at, |cell| &cell.at);
        let Some(column) = COLUMNS.get(column) else { return };
        let help = format!("such as {}", column.key.example.trim_matches('"'));
        out.fault(at, format!("{who} without its {}", column.name), help);
    }

    /// Whether a column is not there at all; told once.
    fn lacks(&mut self, path: &Path, who: &str, out: &mut Diags) -> bool {
        let column = columns::at(path);
        if column.is_some_and(|column| self.head.columns.contains(&Under::Column(column))) {
            return false;
        }
        // It may be the one whose name was not understood.
        if let Some(column) = column.and_then(|column| COLUMNS.get(column))
            && self.head.whole
            && self.told.insert(path.clone())
        {
            let message = format!("the column {} is missing", column.name);
            out.fault(&self.head.at, message, format!("add it: {who} needs it"));
        }
        true
    }
}

/// Where `replace` in the column of a limit belongs.
fn replaced(path: &Path, cell: &Cell) -> Option<Path> {
    let (last, above) = path.split_last()?;
    let limit = ["wear", "service"].iter().any(|word| last.starts_with(word));
    if !limit || !is_replace(&cell.text) {
        return None;
    }
    let word = [above, &["service"]].concat();
    let key = COLUMNS.iter().find(|column| column.path == word)?.key;
    matches!(key.kind, Kind::Choice(_) | Kind::Other(_, [_, Kind::Choice(_)])).then_some(word)
}

fn needs(shape: &'static Shape, above: &[&'static str], values: &Values, missing: &mut Vec<Path>) {
    for key in shape.rows() {
        let path = [above, &[key.name]].concat();
        match key.kind {
            Kind::Table(inner)
                if key.needed || values.keys().any(|other| other.starts_with(&path)) =>
            {
                needs(inner, &path, values, missing);
            }
            Kind::Table(_) => {}
            _ if key.needed && !key.implied && !values.contains_key(&path) => missing.push(path),
            _ => {}
        }
    }
}

/// What is said of one table, in the order of its keys; two ends of one pair
/// together.
fn table(shape: &'static Shape, above: &[&'static str], values: &Values) -> Table {
    let mut entries = Vec::new();
    let mut put = |name: &str, at: &Span, node: Node| {
        entries.push(Entry { key: Text { text: name.into(), at: at.clone() }, node });
    };
    for key in shape.rows() {
        let path = [above, &[key.name]].concat();
        if let Kind::Table(inner) = key.kind {
            let inner = table(inner, &path, values);
            if let Some(at) = inner.0.first().map(|entry| entry.key.at.clone()) {
                put(key.name, &at, Node { at: at.clone(), value: Value::Table(inner) });
            }
        } else if let Some([low, high]) = pair(shape, above, key.name, values) {
            let list = Value::List(vec![low.clone(), high.clone()]);
            put(key.name, &low.at, Node { at: low.at.clone(), value: list });
        } else if let Some(node) = values.get(&path) {
            let base = key.name.strip_suffix("-min").or(key.name.strip_suffix("-max"));
            if base.is_none_or(|base| pair(shape, above, base, values).is_none()) {
                put(key.name, &node.at, node.clone());
            }
        }
    }
    Table(entries)
}

/// Both ends of a key that may be a pair, where both are there and nothing else
/// is said of it.
fn pair<'a>(
    shape: &Shape,
    above: &[&'static str],
    name: &str,
    values: &'a Values,
) -> Option<[&'a Node; 2]> {
    let key = shape.key(name)?;
    let pairs = matches!(key.kind, Kind::Pair | Kind::FitPair | Kind::Other(_, [Kind::Pair, ..]));
    if !pairs || values.contains_key(&[above, &[key.name]].concat()) {
        return None;
    }
    let end = |end: &str| {
        let single = shape.key(&format!("{name}-{end}"))?.name;
        values.get(&[above, &[single]].concat())
    };
    Some([end("min")?, end("max")?])
}
