//! The course of a row over the jobs of its engine: its figures as found and as
//! left, and the limits that each job held them against.

use super::sections::last_day;
use super::table::{Moment, Proven, Verified, Worked, ends};
use crate::analysis::wear::said_hours;
use crate::judge::State;
use crate::model::job::Scope;
use crate::quantity::date::Date;
use crate::quantity::{Exact, Fit, Unit};
use crate::record::RowHistory;
use std::collections::BTreeMap;

/// Which rows are wanted: all of the line, or the one row.
#[derive(Clone, Debug, Default)]
pub struct Wanted {
    pub line: Option<String>,
    pub row: Option<String>,
}

/// One row of one engine.
#[derive(Clone, Debug)]
pub struct Course {
    pub engine: String,
    pub serial: String,
    pub code: String,
    /// `camshaft in crankcase, centre`
    pub what: String,
    pub unit: Unit,
    /// Its figures are clearances: they print with L or T.
    pub fits: bool,
    pub places: u8,
    /// In the order of `by_hours`, or of their days.
    pub points: Vec<Point>,
}

/// One job of it.
#[derive(Clone, Debug)]
pub struct Point {
    pub job: String,
    pub hours: Option<Exact>,
    pub on: Option<Date>,
    pub verified: Verified,
    /// How many have signed, and the digest: which of two reports of one job is
    /// the later.
    pub order: (usize, String),
    pub limits: Bands,
    /// As the report prints them.
    pub words: String,
    pub found: Option<Reading>,
    pub left: Option<Reading>,
}

/// The limits of one job's scope, each of them as it is held against.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Bands {
    pub new: [Option<Exact>; 2],
    /// The least and the greatest that is accepted.
    pub accepted: [Option<Exact>; 2],
}

/// What a row was at one time.
#[derive(Clone, Debug)]
pub struct Reading {
    pub least: Exact,
    pub most: Exact,
    pub state: State,
}

impl Course {
    /// Whether every job says its hours since new.
    pub fn by_hours(&self) -> bool {
        self.points.iter().all(|point| point.hours.is_some())
    }

    /// A figure as it is printed.
    pub fn show(&self, figure: Exact) -> String {
        match self.fits {
            true => Fit(figure).show(self.places),
            false => format!("{figure:.*}", usize::from(self.places)),
        }
    }

    /// `0.0035 to 0.0036 L`
    pub fn show_both(&self, reading: &Reading) -> String {
        let [least, most] = [reading.least, reading.most].map(|figure| self.show(figure));
        if least == most {
            return most;
        }
        match least.rsplit_once(' ') {
            Some((figure, side)) if most.ends_with(side) => format!("{figure} to {most}"),
            _ => format!("{least} to {most}"),
        }
    }

    /// What is one row, whichever report tells of it.
    fn key(&self) -> (String, String, String, Unit, bool) {
        let Course { engine, serial, code, unit, .. } = self;
        (engine.clone(), serial.clone(), code.clone(), unit.clone(), self.fits)
    }
}

impl Reading {
    /// It may be drawn: a reading in question is no figure yet.
    pub fn is_sure(&self) -> bool {
        self.state != State::Query
    }
}

/// What one report says of the rows that are wanted. Rows without any figure
/// have none.
pub fn courses(worked: Worked<'_>, proven: &Proven, wanted: &Wanted) -> Vec<Course> {
    let rows = worked.judged.rows_of(worked.set).filter(|(at, row)| {
        let line = &worked.case.limits.lines[at.line.line];
        let is = |wanted: &Option<String>, own: &str| {
            wanted.as_ref().is_none_or(|wanted| wanted.eq_ignore_ascii_case(own))
        };
        is(&wanted.line, line.reference.as_str()) && is(&wanted.row, &row.code)
    });
    rows.filter_map(|row| course(worked, proven, row)).collect()
}

fn course(worked: Worked<'_>, proven: &Proven, (at, row): RowHistory) -> Option<Course> {
    let Worked { case, set, .. } = worked;
    let line = &case.limits.lines[at.line.line];
    let ends = ends(case, (at, row));
    let reading = |moment: &Moment| {
        let (least, most) = moment.ends?;
        Some(Reading { least, most, state: moment.step.verdict.state.clone() })
    };
    let found = ends.found.as_ref().and_then(reading);
    let left = ends.left.as_ref().and_then(reading);
    if found.is_none() && left.is_none() {
        return None;
    }
    let [new_min, new_max, service_min, service_max] = ends.limits;
    let new = [new_min, new_max];
    let accepted = match case.job.scope {
        Scope::New => new,
        Scope::Service => [service_min.or(new_min), service_max.or(new_max)],
    };
    let point = Point {
        job: set.head.job.clone(),
        hours: said_hours(case).since_new,
        on: case.record.as_ref().and_then(last_day),
        verified: proven.verified,
        order: (proven.signed_by.len(), proven.digest.clone()),
        limits: Bands { new, accepted },
        words: at.line.limits.clone(),
        found,
        left,
    };
    Some(Course {
        engine: set.head.engine.clone(),
        serial: set.head.serial.clone(),
        code: row.code.clone(),
        what: at.named(line.name.as_str()),
        unit: ends.unit,
        fits: line.fit().is_some(),
        places: line.places,
        points: vec![point],
    })
}

/// The courses of many reports, each row once: engine by engine, the rows as
/// they are printed. Of several reports of a job the one counts that is good,
/// and of those the last.
pub fn joined(all: Vec<Course>) -> Vec<Course> {
    let (mut joined, mut known): (Vec<Course>, BTreeMap<_, usize>) = Default::default();
    for course in all {
        match known.get(&course.key()) {
            Some(n) => course.points.into_iter().for_each(|point| joined[*n].take(point)),
            None => {
                known.insert(course.key(), joined.len());
                joined.push(course);
            }
        }
    }
    for course in &mut joined {
        let by_hours = course.by_hours();
        course.points.sort_by(|a, b| {
            let hours = if by_hours { a.hours.cmp(&b.hours) } else { std::cmp::Ordering::Equal };
            hours.then(a.on.cmp(&b.on)).then(a.job.cmp(&b.job))
        });
    }
    // An engine's rows stay together whatever the order of the reports.
    joined.sort_by(|a, b| (&a.engine, &a.serial).cmp(&(&b.engine, &b.serial)));
    joined
}

impl Course {
    fn take(&mut self, point: Point) {
        let same = self.points.iter_mut().find(|own| own.job == point.job);
        match same {
            Some(own) if own.counts_less(&point) => *own = point,
            Some(_) => {}
            None => self.points.push(point),
        }
    }
}

impl Point {
    fn counts_less(&self, other: &Point) -> bool {
        let rank =
            |point: &Point| (point.verified == Verified::Good, point.on, point.order.clone());
        rank(self) < rank(other)
    }
}
