//! The values of fields, one kind after another.

use crate::diag::{Diags, Span};
use crate::load::figure;
use crate::model::engine::Engine;
use crate::model::record::Mark;
use crate::model::text::{Number, Text};
use crate::quantity::date::Date;
use crate::sheet::SheetSet;
use crate::sheet::fields::{DAY, PageOf, ZERO};
use std::collections::{BTreeMap, BTreeSet};

/// What was typed into the fields of sheets.
#[derive(Clone, Debug, Default)]
pub struct TypedIn {
    /// Every field by its name, blank ones too.
    pub values: BTreeMap<String, String>,
    /// On which page each is printed.
    pub pages: BTreeMap<String, String>,
    /// Those of which it was said already that they are wrong.
    pub wrong: BTreeSet<String>,
}

pub struct Taking<'a> {
    pub set: &'a SheetSet,
    pub engine: &'a Engine,
    pub typed: &'a TypedIn,
    pub values: &'a BTreeMap<String, String>,
    pub at: Span,
    pub out: &'a mut Diags,
}

impl<'a> Taking<'a> {
    pub fn get(&self, name: &str) -> Option<&'a str> {
        self.values.get(name).map(|value| value.trim()).filter(|value| !value.is_empty())
    }

    pub fn text(&self, text: &str) -> Text {
        Text { text: text.into(), at: self.at.clone() }
    }

    pub fn worded(&self, name: &str) -> Option<Text> {
        self.get(name).map(|said| self.text(said))
    }

    /// A fault by the page and the name of a field, or of several whose names begin
    /// so; nothing where one of them is said to be wrong already.
    pub fn fault(&mut self, name: &str, what: impl AsRef<str>, help: &str) {
        let own = |other: &&String| {
            other.strip_prefix(name).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'))
        };
        if self.typed.wrong.iter().any(|other| own(&other)) {
            return;
        }
        let first = self.typed.pages.keys().find(own);
        let page = first.and_then(|name| self.typed.pages.get(name));
        let page = page.map(|page| format!("page {page}, ")).unwrap_or_default();
        self.out.fault_nowhere(format!("{page}{name}: {}", what.as_ref()), help);
    }

    /// Names of lines at the foot of pages, by page and line, or by the line alone.
    pub fn lines(&self, prefix: &str, parts: usize) -> Vec<String> {
        let mut found = BTreeSet::new();
        for (name, _) in self.values.range(prefix.to_owned()..) {
            let Some(rest) = name.strip_prefix(prefix) else { break };
            let numbers: Option<Vec<PageOf>> =
                rest.split('.').take(parts).map(PageOf::read).collect();
            found.extend(numbers);
        }
        let name = |numbers: Vec<PageOf>| {
            let numbers: Vec<String> = numbers.iter().map(PageOf::to_string).collect();
            format!("{prefix}{}", numbers.join("."))
        };
        found.into_iter().map(name).collect()
    }

    /// Those of the lines on which anything is written.
    pub fn written(&self, prefix: &str) -> Vec<String> {
        let mut lines = self.lines(prefix, 2);
        lines.retain(|name| {
            let own = format!("{name}.");
            let mut values =
                self.values.range(own.clone()..).take_while(|(name, _)| name.starts_with(&own));
            values.any(|(_, value)| !value.trim().is_empty())
        });
        lines
    }

    /// `26-03-05`, or the whole year.
    pub fn short_day(&mut self, name: &str) -> Option<(Date, Span)> {
        let said = self.get(name)?;
        let century = if said.len() == 8 { "20" } else { "" };
        self.date(name, &format!("{century}{said}"), true)
    }

    /// Names with a comma or a word between.
    pub fn several(&self, name: &str) -> Vec<Text> {
        let said = self.get(name).unwrap_or_default().replace(" and ", ",");
        let each = said.split([',', ';', '+']).map(str::trim).filter(|one| !one.is_empty());
        each.map(|one| self.text(one)).collect()
    }

    pub fn zero(&mut self, name: &str) -> Option<[Mark; 2]> {
        let [before, after] = ZERO.map(|part| self.mark(&format!("{name}.{part}")));
        ([before, after] != [Mark::Blank; 2]).then_some([before, after])
    }

    /// Two digits each of year, month and day.
    pub fn day(&mut self, name: &str) -> Option<(Date, Span)> {
        let parts = DAY.map(|part| self.get(&format!("{name}.{part}")));
        if parts.iter().all(Option::is_none) {
            return None;
        }
        let [year, month, day] = parts.map(|part| part.unwrap_or_default());
        self.date(name, &format!("20{year:0>2}-{month:0>2}-{day:0>2}"), !year.is_empty())
    }

    pub fn date(&mut self, name: &str, said: &str, whole: bool) -> Option<(Date, Span)> {
        let found = Date::read(said).filter(|_| whole);
        if found.is_none() {
            self.fault(name, format!("{said} is no day"), "year, month and day: 26 03 05");
        }
        found.map(|day| (day, self.at.clone()))
    }

    pub fn mark(&mut self, name: &str) -> Mark {
        match self.get(name) {
            None | Some("-") => Mark::Blank,
            Some("v" | "V") => Mark::Ok,
            Some("x" | "X") => Mark::Found,
            Some("n" | "N") => Mark::NotApplicable,
            Some(other) => {
                let other = other.to_owned();
                self.fault(name, format!("\"{other}\" is no mark"), "v, x, n, or nothing");
                Mark::Blank
            }
        }
    }

    /// A figure read digit for digit.
    pub fn figure(&mut self, name: &str, said: &str) -> Option<Number> {
        match figure(said) {
            Ok(value) => Some(Number { value, text: said.into(), at: self.at.clone() }),
            Err((what, help)) => {
                self.fault(name, what, &help);
                None
            }
        }
    }
}
