//! Work for two hands: where there is much to do, a second thread does its
//! share. What comes out is the same and in the same order.

use std::panic::resume_unwind;
use std::thread::{ScopedJoinHandle, scope};

/// Fewer rows are done before a second thread has begun.
pub const MANY: usize = 200;

/// Two works that do not need each other, side by side where there is `much` of
/// either.
pub fn both<A, B: Send>(
    much: bool,
    one: impl FnOnce() -> A,
    other: impl FnOnce() -> B + Send,
) -> (A, B) {
    if !much {
        return (one(), other());
    }
    scope(|scope| {
        let other = scope.spawn(other);
        (one(), done(other))
    })
}

/// The same work on each of the things, in their order; fewer than `many` are
/// done before a second thread has begun.
pub fn each<T: Send, R: Send>(
    many: usize,
    mut things: Vec<T>,
    work: impl Fn(T) -> R + Sync,
) -> Vec<R> {
    let much = things.len() >= many;
    let rest = things.split_off(if much { things.len() / 2 } else { things.len() });
    let (mut first, rest) = both(
        much,
        || things.into_iter().map(&work).collect::<Vec<R>>(),
        || rest.into_iter().map(&work).collect::<Vec<R>>(),
    );
    first.extend(rest);
    first
}

/// A second thread's panic is the caller's.
fn done<T>(hand: ScopedJoinHandle<'_, T>) -> T {
    hand.join().unwrap_or_else(|fault| resume_unwind(fault))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_order_stays() {
        let doubled: Vec<usize> = (0..101).map(|n| n * 2).collect();
        assert_eq!(each(2, (0..101).collect(), |n| n * 2), doubled);
        assert_eq!(each(102, (0..101).collect(), |n| n * 2), doubled);
        assert!(each(0, Vec::new(), |n: usize| n).is_empty());
        assert_eq!(both(true, || 1, || 2), (1, 2));
    }

    #[test]
    #[should_panic(expected = "planted")]
    fn what_one_hand_fails_on_fails() {
        each(2, vec![1, 2], |n| assert_ne!(n, 2, "planted"));
    }
}
