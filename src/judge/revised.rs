//! What differs between two editions of a limits file, in words.

use crate::model::line::{Four, Kind, Limits, Line, PartLimits};
use crate::model::typed::{Limit, Word};

/// A figure of a line and what it is called: `service, greatest`.
type Figures = Vec<(String, Option<String>)>;

/// Every difference, the document first, then line by line in the newer order.
pub fn revised(old: &Limits, new: &Limits) -> Vec<String> {
    let mut said = Vec::new();
    let document = |limits: &Limits| {
        let document = &limits.document;
        [
            ("title", document.title.to_string()),
            ("number", document.number.to_string()),
            ("revision", document.revision.to_string()),
            ("date", document.date.as_ref().map(Word::to_string).unwrap_or_default()),
            ("unit", document.unit.word().to_owned()),
            ("resolution, decimals", document.places.to_string()),
        ]
    };
    for ((what, was), (_, is)) in document(old).into_iter().zip(document(new)) {
        said.extend(changed(&format!("document {what}"), Some(was), Some(is)));
    }
    for line in &new.lines {
        let title = format!("{} {}", line.reference, line.name);
        match old.line(line.reference.as_str()).map(|n| &old.lines[n]) {
            None => said.push(format!("{title}: a new line")),
            Some(was) => self::line(&title, was, line, &mut said),
        }
    }
    for line in old.lines.iter().filter(|line| new.line(line.reference.as_str()).is_none()) {
        said.push(format!("{} {}: the line is withdrawn", line.reference, line.name));
    }
    said
}

fn line(title: &str, was: &Line, is: &Line, said: &mut Vec<String>) {
    let (old, new) = (figures(was), figures(is));
    let mut names: Vec<&String> = new.iter().map(|(name, _)| name).collect();
    names.extend(
        old.iter().map(|(name, _)| name).filter(|name| !new.iter().any(|(n, _)| n == *name)),
    );
    let of = |all: &Figures, name: &String| {
        all.iter().find(|(known, _)| known == name).and_then(|(_, figure)| figure.clone())
    };
    for name in names {
        said.extend(changed(&format!("{title}: {name}"), of(&old, name), of(&new, name)));
    }
}

fn changed(what: &str, was: Option<String>, is: Option<String>) -> Option<String> {
    let filled = |text: Option<String>| text.filter(|text| !text.is_empty());
    match (filled(was), filled(is)) {
        (was, is) if was == is => None,
        (Some(was), Some(is)) => Some(format!("{what} was {was}, is {is}")),
        (Some(was), None) => Some(format!("{what} was {was}, is no longer given")),
        (None, Some(is)) => Some(format!("{what} was not given, is {is}")),
        (None, None) => None,
    }
}

fn figures(line: &Line) -> Figures {
    let word = |word: &Option<Word>| word.as_ref().map(Word::to_string);
    let mut all: Figures = vec![
        ("name".to_owned(), Some(line.name.to_string())),
        ("kind".to_owned(), Some(line.kind_word().to_owned())),
        ("page".to_owned(), word(&line.page)),
        ("agreed".to_owned(), word(&line.agreed)),
        ("unit".to_owned(), Some(line.unit.to_string())),
        ("decimals".to_owned(), Some(line.places.to_string())),
    ];
    match &line.kind {
        Kind::Fit(fit) => {
            part(&mut all, "shaft", &fit.shaft);
            part(&mut all, "bore", &fit.bore);
            let ends = [
                "fit, new, tightest",
                "fit, new, loosest",
                "fit, service, tightest",
                "fit, service, loosest",
            ];
            let show = |limit: &Limit| limit.fit().show(line.places);
            four(&mut all, ends, &fit.fit, show);
            for grade in &fit.grades {
                let sides = [("shaft", &grade.shaft), ("bore", &grade.bore)];
                for (side, own) in
                    sides.into_iter().filter_map(|(side, own)| Some((side, own.as_ref()?)))
                {
                    part(&mut all, &format!("grade {}, {side}", grade.name), own);
                }
            }
        }
        Kind::Size(size) => {
            plain(&mut all, &size.limits);
            for grade in &size.grades {
                let mut own = Figures::new();
                plain(&mut own, &grade.limits);
                let of = |what: String| format!("grade {}, {what}", grade.name);
                all.extend(own.into_iter().map(|(what, figure)| (of(what), figure)));
            }
        }
        Kind::Reading(reading) => {
            plain(&mut all, &reading.limits);
            all.push(("read with".to_owned(), word(&reading.with)));
        }
        Kind::Count(count) => all.push(("count".to_owned(), Some(count.exact.to_string()))),
        _ => line.four().into_iter().for_each(|four| plain(&mut all, four)),
    }
    all
}

fn plain(all: &mut Figures, limits: &Four) {
    let ends = ["new, least", "new, greatest", "service, least", "service, greatest"];
    four(all, ends, limits, |limit| limit.text.to_string());
}

fn four(all: &mut Figures, ends: [&str; 4], limits: &Four, show: impl Fn(&Limit) -> String) {
    let each = [&limits.new_min, &limits.new_max, &limits.service_min, &limits.service_max];
    all.extend(
        ends.into_iter().zip(each).map(|(end, limit)| (end.to_owned(), limit.as_ref().map(&show))),
    );
}

fn part(all: &mut Figures, side: &str, part: &PartLimits) {
    let each = [
        ("new, least", &part.new_min),
        ("new, greatest", &part.new_max),
        ("wear limit", &part.wear),
    ];
    let shown = |limit: &Option<Limit>| limit.as_ref().map(|limit| limit.text.to_string());
    all.extend(each.into_iter().map(|(end, limit)| (format!("{side}, {end}"), shown(limit))));
}
