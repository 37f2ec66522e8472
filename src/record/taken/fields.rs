//! The values of fields, one kind after another.

use crate::diag::{Diags, Span};
use crate::load::figure;
use crate::model::record::Mark;
use crate::model::text::{Number, Text};
use crate::quantity::date::Date;
use crate::sheet::SheetSet;
use crate::sheet::fields::{DAY, ZERO};
use std::collections::BTreeMap;

pub struct Taking<'a> {
    pub set: &'a SheetSet,
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

    pub fn fault(&mut self, name: &str, what: impl AsRef<str>, help: &str) {
        self.out.fault_nowhere(format!("{name}: {}", what.as_ref()), help);
    }

    /// Names of lines at the foot of pages, by page and line.
    pub fn lines(&self, prefix: &str, parts: usize) -> Vec<String> {
        let mut found = std::collections::BTreeSet::new();
        for (name, _) in self.values.range(prefix.to_owned()..) {
            let Some(rest) = name.strip_prefix(prefix) else { break };
            let numbers: Option<Vec<u32>> =
                rest.split('.').take(parts).map(|part| part.parse().ok()).collect();
            found.extend(numbers);
        }
        let name = |numbers: Vec<u32>| {
            let numbers: Vec<String> = numbers.iter().map(u32::to_string).collect();
            format!("{prefix}{}", numbers.join("."))
        };
        found.into_iter().map(name).collect()
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
