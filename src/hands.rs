//! Work for two hands: where there is much to do, a second thread does its
//! share. What comes out is the same and in the same order.
//!
//! Only a thread that called [`two`], or one of its helpers, has a second hand.
//! Several jobs at once have a hand each and no more.

use std::hint::spin_loop;
use std::num::NonZero;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::available_parallelism;

use rayon_core::{ThreadPoolBuilder, Yield, current_thread_index, join, spawn, yield_now};

/// Fewer rows are done by one hand.
pub const MANY: usize = 200;

/// Fewer pages, or contents of pages, are done by one hand.
pub const PAGES: usize = 8;

/// How often a hand without work looks for some before it goes to sleep: some
/// six milliseconds long. A core that fell asleep is up again after one to three
/// on a virtual machine, which is as long as most of what there is to do.
const LOOKS: u32 = 100_000;

/// As much as the first thread of a program has where it is not told.
const STACK: usize = 8 << 20;

/// Index of the thread that asked for a second hand.
const FIRST: usize = 0;

/// Gives this thread a second hand for the rest of the program. Nothing comes of
/// it where one was given before or the machine has none.
pub fn two() {
    if available_parallelism().map_or(1, NonZero::get) < 2 {
        return;
    }
    let hands = ThreadPoolBuilder::new().num_threads(2).use_current_thread().stack_size(STACK);
    if hands.build_global().is_ok() {
        spawn(|| {
            if current_thread_index() != Some(FIRST) {
                wait(&AtomicBool::new(false));
            }
        });
    }
}

/// Two works that do not need each other, side by side where there is `much` of
/// either.
pub fn both<A: Send, B: Send>(
    much: bool,
    one: impl FnOnce() -> A + Send,
    other: impl FnOnce() -> B + Send,
) -> (A, B) {
    if !much || current_thread_index().is_none() {
        return (one(), other());
    }
    let done = AtomicBool::new(false);
    let first = || {
        let one = one();
        wait(&done);
        one
    };
    join(first, || {
        let _done = Done(&done);
        other()
    })
}

/// The same work on each of the things, in their order; fewer than `many` are
/// done by one hand. There are several lots, so that both hands end together.
pub fn each<T: Send, R: Send>(many: usize, things: Vec<T>, work: impl Fn(T) -> R + Sync) -> Vec<R> {
    let count = things.len();
    if count < many {
        return things.into_iter().map(work).collect();
    }
    let lot = count.div_ceil(LOTS);
    let mut left = things.into_iter();
    let mut taken = Vec::new();
    while left.len() > 0 {
        taken.push(left.by_ref().take(lot).collect());
    }
    let mut done = Vec::with_capacity(count);
    lots(taken, &work).into_iter().for_each(|lot| done.extend(lot));
    done
}

/// Lots that one work on many things is done in.
const LOTS: usize = 16;

fn lots<T: Send, R: Send>(mut some: Vec<Vec<T>>, work: &(impl Fn(T) -> R + Sync)) -> Vec<Vec<R>> {
    if some.len() <= 1 {
        return some.into_iter().map(|lot| lot.into_iter().map(work).collect()).collect();
    }
    let rest = some.split_off(some.len() / 2);
    let (mut first, rest) = both(true, || lots(some, work), || lots(rest, work));
    first.extend(rest);
    first
}

/// Does what there is to do until `done`, or until there was nothing for long.
fn wait(done: &AtomicBool) {
    let mut looks = 0;
    while !done.load(Ordering::Acquire) && looks < LOOKS {
        looks = if yield_now() == Some(Yield::Executed) { 0 } else { looks + 1 };
        spin_loop();
    }
}

/// Says so also where the work failed.
struct Done<'a>(&'a AtomicBool);

impl Drop for Done<'_> {
    fn drop(&mut self) {
        self.0.store(true, Ordering::Release);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// With one hand and with two.
    fn either(test: impl Fn() + Send + Sync) {
        test();
        let hands = ThreadPoolBuilder::new().num_threads(2).build().expect("two threads");
        hands.install(test);
    }

    #[test]
    fn the_order_stays() {
        either(|| {
            for count in 0..50 {
                let doubled: Vec<usize> = (0..count).map(|n| n * 2).collect();
                assert_eq!(each(2, (0..count).collect(), |n| n * 2), doubled);
                assert_eq!(each(count + 1, (0..count).collect(), |n| n * 2), doubled);
            }
            assert_eq!(both(true, || 1, || 2), (1, 2));
        });
    }

    #[test]
    fn who_asked_for_a_second_hand_has_one() {
        if available_parallelism().map_or(1, NonZero::get) < 2 {
            return;
        }
        let begun = AtomicBool::new(false);
        let met = || (0..5000).any(|_| begun.load(Ordering::Acquire) || doze());
        let asked = || {
            two();
            both(true, met, || begun.store(true, Ordering::Release)).0
        };
        assert!(std::thread::scope(|scope| scope.spawn(asked).join().expect("no panic")));
    }

    fn doze() -> bool {
        std::thread::sleep(std::time::Duration::from_millis(1));
        false
    }

    #[test]
    #[should_panic(expected = "planted")]
    fn what_one_hand_fails_on_fails() {
        let hands = ThreadPoolBuilder::new().num_threads(2).build().expect("two threads");
        hands.install(|| each(2, vec![1, 2], |n| assert_ne!(n, 2, "planted")));
    }
}
