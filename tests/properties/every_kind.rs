//! What every kind of line owes, asked of every line of the file that has all
//! of them: a kind that is added stands in that file (`edition.rs`), and is
//! asked here without being named. What nobody can read off a gauge has its box,
//! its scale and its arithmetic, and rests on the gauges that it moves with.

use super::edition::{EVERY, small};
use benchleaf::diag::Diags;
use benchleaf::judge::slips::{Slip, as_typed, question};
use benchleaf::judge::{
    BoxGroup, BoxKind, Context, Contribution, Measure, Provenance, SideReadings, Verdict, check,
    proof,
};
use benchleaf::load::{self, LINE};
use benchleaf::model::Case;
use benchleaf::model::job::Gauge;
use benchleaf::model::limits::Line;
use benchleaf::model::side::Group;
use benchleaf::model::text::{Number, Text};
use benchleaf::quantity::{Exact, Length, Readings, Unit};
use benchleaf::sheet::judge_context;
use std::collections::BTreeSet;

/// Steps between the readings of a row, no two of them as far apart as others.
const APART: [i64; 12] = [0, 7, 31, 83, 151, 263, 401, 577, 797, 1061, 1373, 1753];

fn case() -> Case {
    let files = small(EVERY);
    let mut out = Diags::new();
    load::case(&files, &mut out).unwrap_or_else(|| panic!("{}", out.plain(&files).join("\n")))
}

fn is_comb(group: &&BoxGroup) -> bool {
    matches!(group.shape, BoxKind::Comb { .. })
}

/// A row of a line with a reading in every box, each by a gauge of its own.
struct Row<'a> {
    line: &'a Line,
    cx: Context<'a>,
    groups: Vec<BoxGroup>,
    read: Vec<SideReadings>,
}

impl<'a> Row<'a> {
    /// `None` where no figure is read off a gauge: leaves, words.
    fn of(case: &'a Case, line: &'a Line) -> Option<Row<'a>> {
        let cx = judge_context(case);
        let groups = check(line).groups(&cx);
        let groups: Vec<BoxGroup> = groups.into_iter().filter(|group| is_comb(&group)).collect();
        let mut n = 0;
        let side = |group: &BoxGroup| {
            let BoxKind::Comb { places, .. } = group.shape else { panic!("a comb") };
            let at = n..n + group.labels.len();
            n = at.end;
            let figures = at.clone().map(|n| Exact::whole(1) + Exact::steps(APART[n], places));
            let typed = |value: Exact| {
                let text = format!("{value:.*}", usize::from(places));
                Some(Number { value, text: text.into(), at: line.at.clone() })
            };
            let behind = |gauge| {
                let expanded = Exact::steps(1, line.places + 1);
                vec![Contribution { group: group.key, gauge, expanded }]
            };
            SideReadings {
                key: group.key,
                boxes: figures.clone().map(typed).collect(),
                readings: Readings::new(line.unit.clone(), figures.map(Some).collect()),
                uncertainty: at.map(behind).collect(),
                ..SideReadings::default()
            }
        };
        let read: Vec<SideReadings> = groups.iter().map(side).collect();
        (!read.is_empty()).then_some(Row { line, cx, groups, read })
    }

    fn judged(&self, read: &[SideReadings]) -> Verdict {
        check(self.line).judge(read, &self.cx)
    }

    /// The row with one reading changed.
    fn with(&self, (side, n): (usize, usize), reading: Option<Exact>) -> Vec<SideReadings> {
        let mut read = self.read.clone();
        let mut boxes = read[side].readings.in_unit(&self.line.unit);
        boxes[n] = reading;
        read[side].readings = Readings::new(self.line.unit.clone(), boxes);
        read
    }

    fn boxes(&self) -> impl Iterator<Item = (usize, usize, Exact)> {
        let all = self.read.iter().enumerate();
        all.flat_map(|(side, read)| {
            let boxes = read.readings.in_unit(&self.line.unit).into_iter().enumerate();
            boxes.filter_map(move |(n, reading)| Some((side, n, reading?)))
        })
    }

    fn reads(&self, value: Exact) -> bool {
        self.boxes().any(|(.., reading)| reading == value)
    }

    /// The figures of a verdict that stand on no gauge, and are not a part of a
    /// fit by itself.
    fn worked_out(&self, verdict: &Verdict) -> Vec<Measure> {
        let own = verdict.figures.iter().filter(|figure| !self.reads(figure.value));
        own.map(|figure| figure.name).collect()
    }

    /// The gauges of the readings that a figure moves with.
    fn moves_with(&self, name: Measure, was: &Verdict) -> BTreeSet<(Group, usize)> {
        let step = Exact::steps(1, self.line.places);
        let moves = |side, n, to| {
            self.judged(&self.with((side, n), Some(to))).figure(name) != was.figure(name)
        };
        let boxes = self.boxes();
        let moving = boxes.filter(|(side, n, reading)| {
            moves(*side, *n, *reading + step) || moves(*side, *n, *reading - step)
        });
        let gauge = |(side, n, _): (usize, usize, Exact)| {
            let behind = &self.read[side].uncertainty[n][0];
            (behind.group, behind.gauge)
        };
        moving.map(gauge).collect()
    }
}

/// Asks of every line of the file; how many were asked.
fn asked(of: impl Fn(&Row, &Verdict) -> bool) -> usize {
    let case = case();
    let rows = case.limits.lines.iter().filter_map(|line| Row::of(&case, line));
    rows.filter(|row| of(row, &row.judged(&row.read))).count()
}

#[test]
fn every_kind_is_asked() {
    let case = case();
    let there: BTreeSet<&str> = case.limits.lines.iter().map(Line::kind_word).collect();
    assert_eq!(there, LINE.kinds.iter().map(|(kind, _)| *kind).collect());
    let chapter = include_str!("../../limits/README.md");
    for kind in there {
        let told = [format!("`{kind}`"), format!("\"{kind}\"")];
        assert!(told.iter().any(|told| chapter.contains(told)), "limits/README.md: {kind}");
    }
}

/// A scale over boxes is of what is read there; a figure that is worked out has
/// a box to write it in, and its scale stands over that.
#[test]
fn scales_and_boxes_are_of_what_is_judged() {
    let asked = asked(|row, verdict| {
        let reference = &row.line.reference;
        let kind = check(row.line);
        let worked = row.worked_out(verdict);
        let answers = kind.answers(&row.cx);
        assert_eq!(worked.is_empty(), answers.is_empty(), "{reference}: {worked:?} {answers:?}");
        let scales = kind.limits(&row.cx).scales;
        let own = verdict.held.iter().any(|held| !matches!(held.name, Measure::Part(_)));
        let over = |of: Option<Group>| scales.iter().any(|scale| scale.over == of);
        assert_eq!(over(None), own && !worked.is_empty(), "{reference}: a scale over {worked:?}");
        for group in &row.groups {
            let by_itself = match row.line.fit() {
                Some(_) => true,
                None => own && worked.is_empty(),
            };
            assert_eq!(over(Some(group.key)), by_itself, "{reference}: a scale over {}", group.key);
        }
        own
    });
    assert!(asked >= 14, "{asked}");
}

/// Whoever checks a figure by hand finds how it came about, and is not told to
/// read again what no gauge shows.
#[test]
fn what_is_worked_out_shows_how() {
    let asked = asked(|row, verdict| {
        let worked = row.worked_out(verdict);
        for name in &worked {
            let steps = verdict.steps.iter().filter(|step| step.starts_with(&name.to_string()));
            let mut steps = steps.peekable();
            assert!(steps.peek().is_some(), "{}: no step for the {name}", row.line.reference);
            for step in steps {
                assert!(step.contains(" = "), "{}: {step}", row.line.reference);
            }
            assert_ne!(name.subject(), "reading", "{}: {name}", row.line.reference);
        }
        !worked.is_empty()
    });
    assert!(asked >= 9, "{asked}");
}

/// The uncertainty that a figure is held under is that of the readings it rests
/// on: those, and no others, that it moves with. An average has its least
/// certain reading's.
#[test]
fn a_figure_is_held_under_the_gauges_it_moves_with() {
    let asked = asked(|row, verdict| {
        let own = |name: &Measure| !matches!(name, Measure::Part(_) | Measure::Average(_));
        let held = verdict.held.iter().filter(|held| own(&held.name));
        let mut any = false;
        for held in held {
            let behind: Vec<_> = held.budget.iter().map(|one| (one.group, one.gauge)).collect();
            let single: BTreeSet<_> = behind.iter().copied().collect();
            assert_eq!(behind.len(), single.len(), "{}: {behind:?}", row.line.reference);
            let moving = row.moves_with(held.name, verdict);
            assert_eq!(single, moving, "{}: {}", row.line.reference, held.name);
            any = true;
        }
        any
    });
    assert!(asked >= 14, "{asked}");
}

/// Blank never passes, and the box is named where a row has several of its own.
#[test]
fn a_blank_box_is_named() {
    let asked = asked(|row, _| {
        for (side, n, _) in row.boxes() {
            let group = &row.groups[side];
            let verdict = row.judged(&row.with((side, n), None));
            if !group.governs[n] {
                continue;
            }
            assert!(!verdict.state.passes(), "{}: {}", row.line.reference, verdict.state);
            let named = format!("blank: {}", group.labels[n]);
            let said = verdict.notes.iter().any(|note| note.contains(&named));
            let several = group.own && group.labels.len() > 1;
            assert!(said || !several, "{}: {named}: {:?}", row.line.reference, verdict.notes);
        }
        row.groups.iter().any(|group| group.own && group.labels.len() > 1)
    });
    assert!(asked >= 9, "{asked}");
}

/// A gauge of that unit which reads to 2.
fn gauge(unit: &Unit, at: &Text) -> Gauge {
    let end = |text: &str| {
        let value = Exact::read(text).expect("a figure");
        Number { value, text: text.into(), at: at.at.clone() }
    };
    Gauge {
        id: Text { text: "G-1".into(), at: at.at.clone() },
        name: at.clone(),
        serial: None,
        transfer: false,
        range: Some((end("0"), end("2"))),
        unit: Some(unit.clone()),
        resolution: None,
        uncertainty: None,
        expansion: None,
        certificate: None,
        due: None,
    }
}

/// A digit lost, and a reading that its gauge cannot show, are asked about
/// wherever figures are read off a gauge: not where things are counted.
#[test]
fn digits_and_range_are_asked_about() {
    let asked = asked(|row, _| {
        let line = row.line;
        let gauges = [gauge(&line.unit, &line.name)];
        let cx = Context { gauges: &gauges, ..row.cx };
        let own = |side: &usize| row.groups[*side].own && row.groups[*side].unit == line.unit;
        let mut any = false;
        for side in (0..row.read.len()).filter(own) {
            for (text, slip) in
                [("1.0", Slip::Digits), ("7", Slip::Digits), ("7", Slip::GaugeRange)]
            {
                let mut read = row.read.clone();
                for side in &mut read {
                    let by =
                        Provenance { gauges: vec![gauges[0].id.clone()], ..Default::default() };
                    side.sources = vec![by; side.boxes.len()];
                }
                let typed = read[side].boxes.last_mut().and_then(Option::as_mut).expect("a box");
                typed.value = Exact::read(text).expect("a figure");
                typed.text = text.into();
                if typed.text.len() == 1 && line.places == 0 && slip == Slip::Digits {
                    continue;
                }
                let said = question(line, &read, &cx, &|read| as_typed(read, line));
                let found = said.iter().any(|asked| asked.slip == slip);
                assert!(found, "{}: {text}, {slip} not among {said:?}", line.reference);
                any = true;
            }
        }
        any
    });
    assert!(asked >= 10, "{asked}");
}

/// A service limit tighter than the new one is seen on a line of every kind
/// that has both.
#[test]
fn exchanged_columns_are_seen() {
    let mut seen = BTreeSet::new();
    for block in EVERY.split("[[line]]").skip(1) {
        let typed = |key: &str| block.split(&format!("\n{key} = ")).nth(1)?.lines().next();
        let (Some(new), Some(service)) = (typed("new-max"), typed("service-max")) else { continue };
        let ends =
            |new, service| (format!("\nnew-max = {new}\n"), format!("\nservice-max = {service}\n"));
        let ((was_new, was_service), (new, service)) = (ends(new, service), ends(service, new));
        let turned = block.replacen(&was_new, &new, 1).replacen(&was_service, &service, 1);
        assert_ne!(turned, block);
        let files = small(&EVERY.replacen(block, &turned, 1));
        let mut out = Diags::new();
        let case =
            load::case(&files, &mut out).unwrap_or_else(|| panic!("{:?}", out.plain(&files)));
        out.append(proof(&case.limits, &case.engine));
        let quoted = |n: usize| block.split('"').nth(n).expect("a word");
        let (reference, kind) = (quoted(1), quoted(5));
        let said = out.plain(&files);
        let of = |line: &String| {
            [": ", " at "].iter().any(|then| line.contains(&format!("line {reference}{then}")))
                && line.contains("is tighter than its new")
        };
        assert!(said.iter().any(of), "{reference}: {said:#?}");
        seen.insert(kind);
    }
    let limited = |kind: &&str| !["fit", "count", "recorded"].contains(kind);
    let all = LINE.kinds.iter().map(|(kind, _)| *kind).filter(limited);
    assert_eq!(seen, all.collect());
}

/// A row read in millimetres is judged as the same row read in inches.
#[test]
fn the_unit_of_a_reading_decides_nothing() {
    let asked = asked(|row, verdict| {
        if row.line.unit.length() != Some(Length::Inch) {
            return false;
        }
        let mm = Unit::Length(Length::Millimetre);
        let read: Vec<_> = row.read.iter().map(|side| side.in_unit(&mm)).collect();
        let turned = row.judged(&read);
        assert_eq!(turned.state.word(), verdict.state.word(), "{}", row.line.reference);
        let margin = verdict.margin.map(Exact::inches_to_mm);
        assert_eq!(turned.margin, margin, "{}", row.line.reference);
        true
    });
    assert!(asked >= 13, "{asked}");
}
