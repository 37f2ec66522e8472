//! What the lines of a limits file need not say themselves: several lines under
//! what they share, the kind and the gauge of a line from its way of measuring,
//! its places from its part. It is put into the tree before anything is read, so
//! that all that goes by what was typed, two editions compared or a sheet's
//! number, goes by what a line says in the end.

use super::check::{check, wrong_kind};
use super::fields::said;
use super::forms::KINDS_FILE;
use super::keys::{Key, Kind, required};
use super::kinds::{Kinds, Way};
use super::lines::LINE;
use super::suggest::Known;
use super::toml::tree::{Entry, LARGEST, Node, Table, Tree, Value};
use crate::diag::{Diags, Span};
use crate::model::engine::Engine;
use crate::model::text::Text;

/// What a line may go by beside itself.
#[derive(Clone, Copy)]
pub struct Meant<'a> {
    /// `None` where the file of kinds has a fault of its own.
    pub kinds: Option<&'a Kinds>,
    pub engine: Option<&'a Engine>,
}

impl Meant<'_> {
    /// Every line of the file with all that it means.
    pub fn spelled_out(&self, tree: &mut Tree, out: &mut Diags) {
        self.each_line(tree, out);
        let mut left = LARGEST;
        for line in lines(tree) {
            let before = line.0.len();
            self.gauge(line);
            self.places(line);
            let meant = line.0.iter().skip(before).filter_map(|entry| said(&entry.node));
            let Some(rest) = left.checked_sub(meant.map(str::len).sum()) else {
                let at = line.0.first().map(|entry| entry.key.at.clone());
                at.into_iter().for_each(|at| too_much(&at, out));
                return;
            };
            left = rest;
        }
    }

    /// Every line by itself, and of a kind.
    pub fn each_line(&self, tree: &mut Tree, out: &mut Diags) {
        apart(tree, out);
        lines(tree).for_each(|line| self.kind(line, out));
        let unread = |line: &Table| {
            let kind = &line.get("kind")?.node;
            matches!(kind.value, Value::Unread).then(|| kind.at.clone())
        };
        let first = lines(tree).find_map(|line| unread(line));
        if let (None, Some(at)) = (self.kinds, first) {
            let message = format!("{KINDS_FILE} has a fault, and this way says the kind of line");
            out.fault(&at, message, "mend that file first; the others like it are not told");
        }
    }

    /// A line with a shaft and a bore is a fit; any other is what its way says.
    fn kind(&self, line: &mut Table, out: &mut Diags) {
        if line.get("kind").is_some() {
            return;
        }
        if let (Some(shaft), Some(_)) = (line.get("shaft"), line.get("bore")) {
            let at = shaft.key.at.clone();
            return put(line, "kind", Node { at, value: Value::Text("fit".into()) });
        }
        let Some(way) = line.get("way").map(|entry| entry.node.clone()) else { return };
        let value = match (&way.value, self.kinds) {
            (Value::Text(_), Some(kinds)) if kinds.revision.is_none() => return,
            (Value::Text(name), Some(kinds)) => match found(kinds, name) {
                Some(way) => match way.lines.first() {
                    Some(kind) => Value::Text(kind.text.clone()),
                    None => return,
                },
                None => {
                    let known = kinds.ways.iter().map(|way| &way.id);
                    let name = Text { text: name.clone(), at: way.at.clone() };
                    Known::new("way of measuring", known).find(&name, out);
                    Value::Unread
                }
            },
            // Told already.
            _ => Value::Unread,
        };
        put(line, "kind", Node { at: way.at, value });
    }

    fn gauge(&self, line: &mut Table) {
        let Some(way) = line.get("way").map(|entry| entry.node.clone()) else { return };
        let Value::Text(name) = &way.value else { return };
        let Some(with) = self.kinds.and_then(|kinds| found(kinds, name)?.with.as_ref()) else {
            return;
        };
        if key(line, "with").is_some() && line.get("with").is_none() {
            let value = Value::Text(with.text.clone());
            put(line, "with", Node { at: way.at, value });
        }
    }

    /// One reading at each place where single parts of the name sit. A count is
    /// of all of them together.
    fn places(&self, line: &mut Table) {
        let untyped = |key: &&Key| key.implied && line.get("at").is_none();
        let Some(key) = key(line, "at").filter(untyped) else { return };
        let Some(part) = line.get("part").and_then(|entry| first(&entry.node)) else { return };
        let Node { at, value } = part.clone();
        let value = match (value, self.engine) {
            (Value::Text(name), Some(engine)) => {
                let part = engine.part(&name).map(|part| &engine.parts[part]);
                match part.map(|part| part.at) {
                    Some(Some(set)) => Value::Text(engine.places[set].id.text.clone()),
                    Some(None) => return,
                    // An unknown part is told where it is looked for.
                    None => Value::Unread,
                }
            }
            // Nobody can tell.
            _ if key.needed => Value::Unread,
            _ => return,
        };
        put(line, "at", Node { at, value });
    }
}

/// The lines that stand together under what they share, each by itself.
fn apart(tree: &mut Tree, out: &mut Diags) {
    let whole = tree.whole;
    let Some(list) = listed(tree) else { return };
    if list.iter().all(|node| several(node).is_none()) {
        return;
    }
    let typed = std::mem::take(list);
    for node in typed {
        match several(&node) {
            Some((shared, lines)) => each(shared, lines, (&node.at, whole), list, out),
            None => list.push(node),
        }
    }
}

/// As much as a file may hold.
fn too_much(at: &Span, out: &mut Diags) {
    let message = format!("lines that mean more than {} MiB", LARGEST >> 20);
    out.fault(at, message, "no document has so many: look whether it is the right file");
}

/// A table that gives several lines: itself, and their entry.
fn several(node: &Node) -> Option<(&Table, &Entry)> {
    let (key, _) = LINE.several?;
    let table = node.table()?;
    Some((table, table.get(key)?))
}

fn each(
    shared: &Table,
    lines: &Entry,
    (at, whole): (&Span, bool),
    into: &mut Vec<Node>,
    out: &mut Diags,
) {
    let Some((name, shape)) = LINE.several else { return };
    let own = shared.0.iter().filter(|entry| entry.key.as_str() != name).cloned();
    let own = Table(own.collect());
    check(&own, at, shape, whole, out);
    let key: Key = required(name, Kind::EachOf(&LINE), "[{ ref = \"EC\", name = \"...\" }]");
    let Value::List(list) = &lines.node.value else {
        if !matches!(lines.node.value, Value::Unread) {
            wrong_kind(&key, &lines.node, out);
        }
        return;
    };
    if list.is_empty() {
        out.fault(&lines.node.at, format!("{name} without a line"), key.typed());
    }
    // Each has all of it, as if it were typed there.
    let length = |entry: &Entry| entry.node.at.end.saturating_sub(entry.key.at.start);
    let shared: usize = own.0.iter().map(length).sum();
    if shared.saturating_mul(list.len()) > LARGEST {
        return too_much(&lines.key.at, out);
    }
    for node in list {
        let mut node = node.clone();
        if let Value::Table(line) = &mut node.value {
            let missing = own.0.iter().filter(|entry| shape.key(entry.key.as_str()).is_some());
            let missing: Vec<Entry> =
                missing.filter(|entry| line.get(entry.key.as_str()).is_none()).cloned().collect();
            line.0.extend(missing);
        }
        into.push(node);
    }
}

fn listed(tree: &mut Tree) -> Option<&mut Vec<Node>> {
    let Value::Table(root) = &mut tree.root.value else { return None };
    let entry = root.0.iter_mut().find(|entry| entry.key.as_str() == "line")?;
    match &mut entry.node.value {
        Value::List(list) => Some(list),
        _ => None,
    }
}

fn lines(tree: &mut Tree) -> impl Iterator<Item = &mut Table> {
    listed(tree).into_iter().flatten().filter_map(|node| match &mut node.value {
        Value::Table(table) => Some(table),
        _ => None,
    })
}

/// The key of a line's kind, where it has one.
fn key(line: &Table, name: &str) -> Option<&'static Key> {
    LINE.kind(text(line, "kind")?)?.key(name)
}

fn text<'a>(line: &'a Table, name: &str) -> Option<&'a str> {
    said(&line.get(name)?.node)
}

/// The first of several texts, or the only one.
fn first(node: &Node) -> Option<&Node> {
    match &node.value {
        Value::List(list) => list.first(),
        _ => Some(node),
    }
}

pub fn found<'a>(kinds: &'a Kinds, way: &str) -> Option<&'a Way> {
    kinds.ways.iter().find(|known| known.id.as_str() == way)
}

fn put(line: &mut Table, name: &str, node: Node) {
    let key = Text { text: name.into(), at: node.at.clone() };
    line.0.push(Entry { key, node });
}
