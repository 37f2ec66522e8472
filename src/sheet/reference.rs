//! What the code of squares on a page says: which page of which sheet of which
//! set, and the sheet's own number, so that a page of an earlier set can be
//! known again.

use std::fmt;

/// Longer than any code of a page.
const LONGEST: usize = 40;

/// `7F3K-92QD/C/1/4T7X`. At most twenty capitals and figures where letter and
/// page are short: the smallest code of squares holds them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reference {
    /// Number of the set; its first half is the job's.
    pub set: String,
    /// Letter of the sheet, with `.2` for its second stage.
    pub sheet: String,
    /// Of the sheet, from 1.
    pub page: usize,
    /// A second person's, printed with a B behind the page.
    pub blind: bool,
    /// A page more for remarks, printed with an R behind its number: counted from
    /// 1 by itself.
    pub remarks: bool,
    /// The sheet's own number, or the code of a second-stage sheet's sizes;
    /// the index and a report have none.
    pub own: Option<String>,
}

impl Reference {
    /// `None` for what is on no page.
    pub fn read(text: &str) -> Option<Reference> {
        if text.len() > LONGEST {
            return None;
        }
        let parts: Vec<&str> = text.split('/').collect();
        let (set, sheet, page, own) = match parts.as_slice() {
            [set, sheet, page] => (set, sheet, page, None),
            [set, sheet, page, own] => (set, sheet, page, Some(own)),
            _ => return None,
        };
        let (page, blind, remarks) = match page.strip_suffix(['B', 'R']) {
            Some(number) => (number, page.ends_with('B'), page.ends_with('R')),
            None => (*page, false, false),
        };
        let letter = sheet.strip_suffix(".2").unwrap_or(sheet);
        let whole = is_set(set)
            && !letter.is_empty()
            && letter.chars().all(symbol)
            && page.chars().all(|c| c.is_ascii_digit())
            && own.is_none_or(|own| own.len() == 4 && own.chars().all(symbol));
        Some(Reference {
            set: (*set).to_owned(),
            sheet: (*sheet).to_owned(),
            page: page.parse().ok().filter(|_| whole)?,
            blind,
            remarks,
            own: own.map(|own| (*own).to_owned()),
        })
    }

    /// The same page of another set.
    pub fn in_set(&self, set: &str) -> Reference {
        Reference { set: set.to_owned(), ..self.clone() }
    }

    /// Of this set or of an earlier or later one of the same job.
    pub fn is_of_job(&self, set: &str) -> bool {
        let job = |set: &str| set.split_once('-').map(|(job, _)| job.to_owned());
        job(&self.set) == job(set)
    }
}

impl fmt::Display for Reference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let kind = match (self.blind, self.remarks) {
            (true, _) => "B",
            (false, true) => "R",
            (false, false) => "",
        };
        write!(f, "{}/{}/{}{kind}", self.set, self.sheet, self.page)?;
        self.own.as_ref().map_or(Ok(()), |own| write!(f, "/{own}"))
    }
}

/// `7F3K-92QD`.
pub fn is_set(text: &str) -> bool {
    let half = |half: &str| half.len() == 4 && half.chars().all(symbol);
    text.split_once('-').is_some_and(|(job, issue)| half(job) && half(issue))
}

fn symbol(c: char) -> bool {
    c.is_ascii_digit() || c.is_ascii_uppercase()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_printed_is_read_back() {
        for text in [
            "7F3K-92QD/C/1/4T7X",
            "7F3K-92QD/INDEX/2",
            "7F3K-92QD/GN/12B/4T7X",
            "7F3K-92QD/GN/2R/4T7X",
            "7F3K-92QD/C.2/1/NS1J",
        ] {
            let read = Reference::read(text).expect("a page");
            assert_eq!(read.to_string(), text);
            assert!(read.is_of_job("7F3K-0000") && !read.is_of_job("8F3K-92QD"));
        }
        for text in [
            "",
            "lunch",
            "7F3K-92QD/C",
            "7F3K-92QD/C/x/4T7X",
            "7F3K-92QD/C/1/4T7",
            "7F3K-92QD//1",
            "7F3K-92QD/.2/1/4T7X",
            "7F3K-92QD/C/1/4T7X/1",
            "7F3K-92QD/c/1",
            "7F3K/C/1",
            "7F3K-92QD/C/99999999999999999999999",
            "7F3K-92QD/C/B",
            "7F3K-92QD/C/1BR/4T7X",
        ] {
            assert_eq!(Reference::read(text), None, "{text}");
        }
    }
}
