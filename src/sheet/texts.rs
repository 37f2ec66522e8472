//! What the forms' texts can say: every template, and the names it can use.

use crate::judge::Range;
use crate::model::Case;
use crate::model::form::Content;
use crate::model::id::FeatureId;
use crate::model::limits::Line;
use crate::model::side::Side;
use crate::model::text::Text;
use crate::template::Values;

/// Every template of the forms, for compiling in one batch.
pub fn texts(case: &Case) -> Vec<&Text> {
    let mut texts: Vec<&Text> = Vec::new();
    for form in &case.forms.forms {
        texts.push(&form.title);
        texts.extend(&form.subtitle);
        for block in &form.blocks {
            match &block.content {
                Content::LookOver { title, items, .. } | Content::Write { title, items, .. } => {
                    texts.push(title);
                    texts.extend(items);
                }
                Content::Steps { title, items, with, .. } => {
                    texts.push(title);
                    texts.extend(items);
                    texts.extend(with);
                }
                Content::Measure { title, note, .. } => {
                    texts.extend(title);
                    texts.extend(note);
                }
                Content::Table(table) => {
                    texts.push(&table.title);
                    texts.extend(&table.rows);
                    texts.extend(table.heads.iter().map(|head| &head.text));
                }
                Content::Rest { title } | Content::Renew { title, .. } => texts.push(title),
                Content::Caution { text } | Content::Note { text } => texts.push(text),
                Content::Condition { .. } => {}
            }
        }
    }
    // What the engine and the limits say on a sheet is no template.
    texts.retain(|text| text.at.file.starts_with("forms/"));
    texts
}

/// The names that a form's text can use.
pub fn context(case: &Case) -> Values {
    let (engine, job, document) = (&case.engine, &case.job, &case.limits.document);
    let mut context = Values::new();
    for (name, text) in [
        ("engine.maker", engine.maker.to_string()),
        ("engine.model", engine.model.to_string()),
        ("engine.serial", job.serial.to_string()),
        ("engine.unit", engine.unit.to_string()),
        ("job.work_order", job.work_order.to_string()),
        ("job.hours", job.hours.as_ref().map(Text::to_string).unwrap_or_default()),
        ("job.owner", job.owner.as_ref().map(Text::to_string).unwrap_or_default()),
        ("job.shop", job.shop.name.to_string()),
        // Each sheet has its own.
        ("measuring.bore", String::new()),
        ("limits.title", document.title.to_string()),
        ("limits.number", document.number.to_string()),
        ("limits.revision", document.revision.to_string()),
    ] {
        context.put(name, text);
    }
    for part in &engine.parts {
        let id = part.id.as_str().replace('-', "_");
        context.put(format!("count.{id}"), part.count.to_string());
    }
    context
}

/// The grades of a line in words, told where a part came to the job with one.
pub fn graded(case: &Case, line: &Line, grades: &[(String, Vec<Range>)]) -> Vec<String> {
    let names = |n: usize| {
        let of_fit = line.fit().into_iter().flat_map(move |fit| {
            let sides = fit.features().into_iter();
            sides.flat_map(move |(side, feature)| {
                fit.grades[n].names(side).map(move |name| (feature, name))
            })
        });
        let of_size = line.size().map(|size| (size.feature, size.grades[n].name.as_str()));
        of_fit.chain(of_size).collect()
    };
    let one = |(n, grade): (usize, &(String, Vec<Range>))| {
        let names: Vec<(FeatureId, &str)> = names(n);
        let came = case.job.arrived.iter().filter(|arrived| {
            let feature = case.engine.feature(arrived.feature.as_str());
            names.iter().any(|(of, name)| Some(*of) == feature && *name == arrived.grade.as_str())
        });
        let came = came.map(|arrived| {
            let at: Vec<&str> = arrived.places.iter().map(Text::as_str).collect();
            let at = if at.is_empty() { String::new() } else { format!(" at {}", at.join(" ")) };
            format!("; the {} came at this grade{at}", arrived.feature)
        });
        grade_in_words(grade) + &came.collect::<String>()
    };
    grades.iter().enumerate().map(one).collect()
}

/// A grade's ranges on one line: `grade 0.006 undersize: shaft no smaller than
/// 2.2420 new, 2.2400 wear limit; bore no larger than ...`.
fn grade_in_words((name, ranges): &(String, Vec<Range>)) -> String {
    let mut ends: Vec<(Side, bool)> = Vec::new();
    for range in ranges {
        if !ends.contains(&(range.side, range.floor)) {
            ends.push((range.side, range.floor));
        }
    }
    let each = ends.into_iter().map(|(side, floor)| {
        let own = ranges.iter().filter(|range| range.side == side && range.floor == floor);
        let own = own.map(|range| {
            let at = range.at.map_or_else(|| "cannot be stated:".to_owned(), |at| at.to_string());
            format!("{at} {}", range.word.trim_start_matches("other side: "))
        });
        let no = if floor { "no smaller than" } else { "no larger than" };
        let side = if side == Side::Only { String::new() } else { format!("{side} ") };
        format!("{side}{no} {}", own.collect::<Vec<_>>().join(", "))
    });
    format!("grade {name}: {}", each.collect::<Vec<_>>().join("; "))
}
