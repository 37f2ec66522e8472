//! The values of a checked table, by key. A value of the wrong kind was
//! reported by the check and reads as absent here.

use super::check::check;
use super::keys::Shape;
use super::toml::number::{self, blank};
use super::toml::tree::{self, Node, Table, Tree, Value};
use crate::diag::{Diags, Sources, Span};
use crate::model::text::{Number, Text};
use crate::quantity::date::Date;
use crate::quantity::{Exact, Fit};
use std::collections::HashSet;

#[derive(Clone, Copy)]
pub struct Fields<'a> {
    pub table: &'a Table,
    pub at: &'a Span,
    /// The whole file could be read: what is missing is truly missing.
    pub whole: bool,
}

impl<'a> Fields<'a> {
    pub fn of(node: &'a Node) -> Option<Fields<'a>> {
        node.table().map(|table| Fields { table, at: &node.at, whole: true })
    }

    pub fn node(&self, key: &str) -> Option<&'a Node> {
        self.table.get(key).map(|entry| &entry.node)
    }

    /// Where a key is typed, or the table where it is not.
    pub fn place(&self, key: &str) -> &'a Span {
        self.table.get(key).map_or(self.at, |entry| &entry.key.at)
    }

    /// A text; also a figure or a day where those are allowed, as typed. `None`
    /// where it is blank.
    pub fn text(&self, key: &str) -> Option<Text> {
        self.node(key).and_then(word)
    }

    /// One text or several; blank ones are left out.
    pub fn texts(&self, key: &str) -> Option<Vec<Text>> {
        let node = self.node(key)?;
        match &node.value {
            Value::List(list) => Some(list.iter().filter_map(word).collect()),
            _ => Some(word(node).into_iter().collect()),
        }
    }

    pub fn flag(&self, key: &str) -> Option<bool> {
        match self.node(key)?.value {
            Value::Flag(flag) => Some(flag),
            _ => None,
        }
    }

    pub fn whole(&self, key: &str) -> Option<u32> {
        match &self.node(key)?.value {
            Value::Figure(raw) => raw.parse().ok(),
            _ => None,
        }
    }

    /// Several whole numbers.
    pub fn wholes(&self, key: &str) -> Option<Vec<u32>> {
        let Value::List(list) = &self.node(key)?.value else { return None };
        let one = |node: &Node| match &node.value {
            Value::Figure(raw) => raw.parse().ok(),
            _ => None,
        };
        list.iter().map(one).collect()
    }

    /// Which of the choices; the shape's own order.
    pub fn choice<T: Copy>(&self, key: &str, choices: &[(&str, T)]) -> Option<T> {
        let typed = self.text(key)?;
        choices.iter().find(|(name, _)| *name == typed.as_str()).map(|(_, choice)| *choice)
    }

    pub fn day(&self, key: &str) -> Option<(Date, Span)> {
        let node = self.node(key)?;
        match &node.value {
            Value::Date(raw) => Date::read(raw).map(|date| (date, node.at.clone())),
            _ => None,
        }
    }

    pub fn figure(&self, key: &str) -> Option<Number> {
        self.node(key).and_then(typed)
    }

    /// Both of a pair, an absent one as `None`; `read` is `typed` or `fit`.
    pub fn pair(&self, key: &str, read: fn(&Node) -> Option<Number>) -> [Option<Number>; 2] {
        match self.node(key).map(|node| &node.value) {
            Some(Value::List(list)) if list.len() == 2 => [read(&list[0]), read(&list[1])],
            _ => [None, None],
        }
    }

    pub fn table(&self, key: &str) -> Option<Fields<'a>> {
        self.node(key).and_then(Fields::of)
    }

    /// Tables by name, in the order of the file.
    pub fn named(&self, key: &str) -> Vec<(&'a Text, Fields<'a>)> {
        let entries = self.node(key).and_then(Node::table).map_or(&[][..], |table| &table.0);
        entries.iter().filter_map(|entry| Some((&entry.key, Fields::of(&entry.node)?))).collect()
    }

    /// The names of those tables, unreadable ones included.
    pub fn names(&self, key: &str) -> Vec<&'a Text> {
        let entries = self.node(key).and_then(Node::table).map_or(&[][..], |table| &table.0);
        entries.iter().map(|entry| &entry.key).collect()
    }

    pub fn each(&self, key: &str) -> Vec<Fields<'a>> {
        match self.node(key).map(|node| &node.value) {
            Some(Value::List(list)) => list.iter().filter_map(Fields::of).collect(),
            _ => Vec::new(),
        }
    }
}

/// Every text of a list, empty ones too.
pub fn all_texts(node: &Node) -> Vec<Text> {
    let Value::List(list) = &node.value else {
        return Vec::new();
    };
    let text = |node: &Node| match &node.value {
        Value::Text(text) => Some(Text { text: text.clone(), at: node.at.clone() }),
        _ => None,
    };
    list.iter().filter_map(text).collect()
}

/// A word that stands twice where each stands once.
pub fn twice(words: &[Text], what: &str, out: &mut Diags) {
    let mut seen = HashSet::new();
    for word in words {
        if !seen.insert(word.as_str()) {
            out.fault(&word.at, format!("the {what} {word} stands twice"), "each once");
        }
    }
}

/// An identifier in words.
pub fn spoken(id: &Text) -> Text {
    Text { text: id.as_str().replace('-', " ").into(), at: id.at.clone() }
}

/// A text as it is typed, a blank one too.
pub fn said(node: &Node) -> Option<&str> {
    match &node.value {
        Value::Text(text) => Some(text),
        _ => None,
    }
}

pub fn word(node: &Node) -> Option<Text> {
    match &node.value {
        Value::Text(text) if blank(text) => None,
        Value::Text(text) | Value::Figure(text) | Value::Date(text) => {
            Some(Text { text: text.clone(), at: node.at.clone() })
        }
        _ => None,
    }
}

/// A figure by its digits, or what is wrong with it and what would be right.
pub fn figure(said: &str) -> Result<Exact, (String, String)> {
    number::read(said)
}

/// A figure; `None` for anything else, `"-"` among it.
pub fn typed(node: &Node) -> Option<Number> {
    match &node.value {
        Value::Figure(raw) => {
            let value = number::read(raw).ok()?;
            Some(Number { value, text: raw.clone(), at: node.at.clone() })
        }
        _ => None,
    }
}

/// A limit of a fit, its side in the sign.
pub fn fit(node: &Node) -> Option<Number> {
    match &node.value {
        Value::Text(text) | Value::Figure(text) => {
            let value = Fit::read(text).ok()?.0;
            Some(Number { value, text: text.clone(), at: node.at.clone() })
        }
        _ => None,
    }
}

/// Reads one file: its text to a tree, the tree against its shape, then what
/// `reader` makes of it. `None` where anything of the file is at fault.
pub fn file<T>(
    files: &Sources,
    name: &str,
    shape: &Shape,
    out: &mut Diags,
    reader: impl FnOnce(Fields<'_>, &mut Diags) -> Option<T>,
) -> Option<T> {
    let before = out.faults();
    let tree = tree_of(files, name, shape, out)?;
    of_tree(&tree, shape, before, out, reader)
}

/// The tree of one file, which must be there.
pub fn tree_of(files: &Sources, name: &str, shape: &Shape, out: &mut Diags) -> Option<Tree> {
    let Some((name, text)) = files.0.get_key_value(name) else {
        let help = format!("{} belongs beside the others", shape.name);
        out.fault_nowhere(format!("{name} is missing"), help);
        return None;
    };
    tree::read(name, text, out)
}

/// The same of a tree that is there already; `before` are the faults before it
/// was made.
pub fn of_tree<T>(
    tree: &Tree,
    shape: &Shape,
    before: usize,
    out: &mut Diags,
    reader: impl FnOnce(Fields<'_>, &mut Diags) -> Option<T>,
) -> Option<T> {
    let (table, at) = (tree.root.table()?, &tree.root.at);
    check(table, at, shape, tree.whole, out);
    let read = reader(Fields { table, at, whole: tree.whole }, out);
    if read.is_none() && out.faults() == before {
        let message = format!("this cannot be read as {}", shape.name);
        out.fault(at, message, "compare it with a file that can");
    }
    read.filter(|_| out.faults() == before)
}
