//! Several jobs in one call: every core works, and each job is told whole, in
//! the order given.

use super::job;
use super::outcome::Outcome;
use super::progress::Progress;
use super::say::{Held, hold};
use std::collections::{BTreeMap, HashSet};
use std::num::NonZero;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;

/// How many jobs a core may be ahead of the first that is not told yet: what
/// is held in memory does not grow with the number of jobs.
const AHEAD: usize = 8;

/// As much as the first thread of a program has where it is not told.
const STACK: usize = 8 << 20;

/// Does the same to each of several jobs. One bad job stops none of the others;
/// the worst outcome is that of all.
pub fn each<F>(jobs: &[PathBuf], one: F) -> Outcome
where
    F: Fn(&Path) -> Result<Outcome, Outcome> + Sync,
{
    let one = |dir: &Path| one(dir).unwrap_or_else(|outcome| outcome);
    match jobs {
        [only] => one(only),
        several => {
            let mut progress = Progress::new(several.len());
            let mut worst = Outcome::Done;
            let tell = |(held, outcome): Told| {
                progress.tell(&held, outcome == Outcome::Wrong);
                worst = worst.max(outcome);
            };
            Queue::new(several, cores(several), tell).run(told(one));
            progress.end();
            worst
        }
    }
}

/// What a job has to say, and how it ended.
type Told = (Held, Outcome);

/// Holds back what the work on a job says; where it falls, that is said.
fn told(one: impl Fn(&Path) -> Outcome + Sync) -> impl Fn(&Path) -> Told + Sync {
    move |dir| {
        let (outcome, held) = hold(|| {
            let done = catch_unwind(AssertUnwindSafe(|| one(dir)));
            done.unwrap_or_else(|_| failed(dir))
        });
        (held, outcome)
    }
}

/// What the same work makes of each of many files, handed on in their order as
/// soon as it is there, so that only a few are in memory at a time; `None` where
/// the work fell.
pub fn streamed<R: Send>(
    files: &[PathBuf],
    one: impl Fn(&Path) -> R + Sync,
    mut tell: impl FnMut(&Path, Option<R>) + Send,
) {
    let mut paths = files.iter();
    let tell = |made: Option<R>| {
        if let Some(path) = paths.next() {
            tell(path, made);
        }
    };
    let cores = thread::available_parallelism().map_or(1, NonZero::get).min(files.len());
    let work = |path: &Path| catch_unwind(AssertUnwindSafe(|| one(path))).ok();
    Queue::new(files, cores, tell).run(work);
}

/// What the same work makes of each of many things, in their order, shared among
/// the processors; `None` where it fell.
pub fn shared<T: Sync, R: Send>(things: &[T], one: impl Fn(&T) -> R + Sync) -> Vec<Option<R>> {
    let cores = thread::available_parallelism().map_or(1, NonZero::get);
    let share = things.len().div_ceil(cores).max(1);
    let mut done: Vec<Option<R>> = things.iter().map(|_| None).collect();
    thread::scope(|scope| {
        for (things, done) in things.chunks(share).zip(done.chunks_mut(share)) {
            let one = &one;
            scope.spawn(move || {
                for (thing, done) in things.iter().zip(done) {
                    *done = catch_unwind(AssertUnwindSafe(|| one(thing))).ok();
                }
            });
        }
    });
    done
}

/// Cores to work with: one where a folder is named twice, so that the second
/// time finds what the first has written.
fn cores(jobs: &[PathBuf]) -> usize {
    let mut seen = HashSet::new();
    let apart = jobs.iter().all(|dir| seen.insert(dir.canonicalize().unwrap_or(dir.clone())));
    let cores = thread::available_parallelism().map_or(1, NonZero::get);
    if apart { cores.min(jobs.len()) } else { 1 }
}

/// The jobs as they are given out and told.
struct Queue<'a, T, R> {
    jobs: &'a [PathBuf],
    cores: usize,
    turn: Mutex<Turn<T, R>>,
    room: Condvar,
}

struct Turn<T, R> {
    /// The next to be given out.
    next: usize,
    /// The first that is not told yet.
    told: usize,
    /// What was made of later ones.
    held: BTreeMap<usize, R>,
    tell: T,
}

impl<'a, R: Send, T: FnMut(R) + Send> Queue<'a, T, R> {
    fn new(jobs: &'a [PathBuf], cores: usize, tell: T) -> Queue<'a, T, R> {
        let turn = Turn { next: 0, told: 0, held: BTreeMap::new(), tell };
        Queue { jobs, cores, turn: Mutex::new(turn), room: Condvar::new() }
    }

    /// Does all of them.
    fn run(self, one: impl Fn(&Path) -> R + Sync) {
        let work = || self.work(&one);
        thread::scope(|scope| {
            for _ in 1..self.cores {
                // Where no thread is to be had, the others do its work.
                let _ = thread::Builder::new().stack_size(STACK).spawn_scoped(scope, work);
            }
            work();
        });
    }

    fn work(&self, one: &(impl Fn(&Path) -> R + Sync)) {
        while let Some(n) = self.take() {
            self.give(n, one(&self.jobs[n]));
        }
    }

    /// The next job, as soon as it is not too far ahead.
    fn take(&self) -> Option<usize> {
        let mut turn = self.lock();
        while turn.next < self.jobs.len() && turn.next >= turn.told + AHEAD * self.cores {
            turn = self.room.wait(turn).unwrap_or_else(PoisonError::into_inner);
        }
        let n = turn.next;
        turn.next = (n + 1).min(self.jobs.len());
        (n < self.jobs.len()).then_some(n)
    }

    /// Tells a job that is done, or keeps it until those before it are told.
    fn give(&self, n: usize, made: R) {
        let turn = &mut *self.lock();
        turn.held.insert(n, made);
        while let Some(made) = turn.held.remove(&turn.told) {
            turn.told += 1;
            (turn.tell)(made);
        }
        self.room.notify_all();
    }

    fn lock(&self) -> MutexGuard<'_, Turn<T, R>> {
        self.turn.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

/// A fault of the program, which has said so itself.
fn failed(dir: &Path) -> Outcome {
    job::wrong(&format!("{}: the program failed on this job; please report it", dir.display()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::say::{complain, line};
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::time::Duration;

    fn names(count: usize) -> Vec<PathBuf> {
        (0..count).map(|n| PathBuf::from(format!("no-such-folder-{n}"))).collect()
    }

    fn number(dir: &Path) -> usize {
        let name = dir.to_string_lossy().into_owned();
        name.rsplit('-').next().and_then(|n| n.parse().ok()).expect("a number")
    }

    /// What four threads tell of forty jobs, and the worst outcome.
    fn forty(one: impl Fn(usize) -> Outcome + Sync) -> (String, Outcome) {
        let mut said = String::new();
        let jobs = names(40);
        let mut worst = Outcome::Done;
        let tell = |(held, outcome): Told| {
            held.texts().for_each(|text| said.push_str(text));
            worst = worst.max(outcome);
        };
        Queue::new(&jobs, 4, tell).run(told(|dir| one(number(dir))));
        (said, worst)
    }

    #[test]
    fn jobs_are_told_whole_and_in_order_however_long_one_takes() {
        let (said, worst) = forty(|n| {
            line!("{n} a");
            thread::sleep(Duration::from_millis(if n % 7 == 0 { 10 } else { 0 }));
            complain!("{n} b");
            if n == 20 { Outcome::Exceptions } else { Outcome::Done }
        });
        let wanted: String = (0..40).map(|n| format!("{n} a\n{n} b\n")).collect();
        assert_eq!((said, worst), (wanted, Outcome::Exceptions));
    }

    #[test]
    fn a_job_that_the_program_fails_on_stops_no_other() {
        let (said, worst) = forty(|n| {
            assert_ne!(n, 13, "planted");
            line!("{n}");
            Outcome::Done
        });
        assert_eq!(worst, Outcome::Wrong);
        assert_eq!(said.lines().count(), 40);
        let failed = said.lines().nth(13).expect("forty lines");
        assert!(failed.contains("no-such-folder-13: the program failed"), "{failed}");
    }

    #[test]
    fn a_slow_first_job_holds_the_others_back() {
        let furthest = AtomicUsize::new(0);
        let seen = AtomicUsize::new(0);
        let jobs = names(400);
        Queue::new(&jobs, 4, |_| ()).run(|dir| {
            furthest.fetch_max(number(dir), Ordering::SeqCst);
            if number(dir) == 0 {
                thread::sleep(Duration::from_millis(100));
                seen.store(furthest.load(Ordering::SeqCst), Ordering::SeqCst);
            }
            Outcome::Done
        });
        assert_eq!(furthest.into_inner(), 399);
        let seen = seen.into_inner();
        assert!(seen < AHEAD * 4, "{seen} was begun while the first was not told");
    }

    #[test]
    fn a_folder_named_twice_is_done_by_one_thread() {
        let here = |name: &str| PathBuf::from(name);
        assert_eq!(cores(&[here("src"), here("forms"), here("src/../src")]), 1);
    }

    #[test]
    fn one_that_falls_leaves_the_others_in_their_order() {
        for count in 0..9 {
            let things: Vec<usize> = (0..count).collect();
            let found = shared(&things, |n| {
                assert_ne!(*n, 3, "planted");
                n * 2
            });
            let wanted: Vec<_> = (0..count).map(|n| (n != 3).then_some(n * 2)).collect();
            assert_eq!(found, wanted);
        }
    }
}
