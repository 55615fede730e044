//! Several acts at once, since a disk or a shared folder writes four files in little more than the
//! time of one.
//!
//! It knows nothing of what the acts do; each must bear the others beside it. Photos and the shared
//! folder's files go this way.

use std::{
    sync::atomic::{AtomicUsize, Ordering},
    thread,
};

/// How many acts are done at the same time.
pub const AT_ONCE: usize = 4;

/// Does one act for each item, [`AT_ONCE`] at a time; answers stand in the items' order.
///
/// `None` stands for items that were not begun because `stop` said so. A panic of an act comes out
/// here.
pub fn in_flight<T: Sync, R: Send>(
    items: &[T],
    stop: &(dyn Fn() -> bool + Sync),
    act: &(dyn Fn(&T) -> R + Sync),
) -> Vec<Option<R>> {
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        while !stop() {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(at) else { break };
            done.push((at, act(item)));
        }
        done
    };
    let mut answers: Vec<Option<R>> = Vec::new();
    answers.resize_with(items.len(), || None);
    let mut place = |done: Vec<(usize, R)>| {
        for (at, answer) in done {
            if let Some(slot) = answers.get_mut(at) {
                *slot = Some(answer);
            }
        }
    };
    if items.len() < 2 {
        place(work());
        return answers;
    }
    thread::scope(|scope| {
        let workers: Vec<_> = (0..AT_ONCE.min(items.len()))
            .map(|_| scope.spawn(work))
            .collect();
        for worker in workers {
            match worker.join() {
                Ok(done) => place(done),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
    });
    answers
}

/// The same to the end: nothing stops it.
pub(crate) fn all_in_flight<T: Sync, R: Send>(
    items: &[T],
    act: &(dyn Fn(&T) -> R + Sync),
) -> Vec<R> {
    let answers = in_flight(items, &|| false, act);
    answers.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::{all_in_flight, in_flight};
    use std::sync::atomic::{AtomicUsize, Ordering};

    #[test]
    fn answers_stand_in_the_items_order() {
        for count in [0, 1, 2, 3, 4, 5, 100] {
            let items: Vec<u64> = (0..count).collect();
            let squares = all_in_flight(&items, &|n| n * n);
            let expected: Vec<u64> = items.iter().map(|n| n * n).collect();
            assert_eq!(squares, expected);
        }
    }

    #[test]
    fn what_was_begun_is_answered_after_a_stop_and_nothing_else_is_begun() {
        let items: Vec<usize> = (0..100).collect();
        assert!(
            in_flight(&items, &|| true, &|n| *n)
                .iter()
                .all(Option::is_none)
        );
        let begun = AtomicUsize::new(0);
        let stop = || begun.load(Ordering::SeqCst) >= 10;
        let answers = in_flight(&items, &stop, &|n| {
            begun.fetch_add(1, Ordering::SeqCst);
            *n
        });
        let answered: Vec<usize> = answers.into_iter().flatten().collect();
        assert_eq!(answered.len(), begun.load(Ordering::SeqCst));
        assert!((10..=13).contains(&answered.len()), "{answered:?}");
    }
}
