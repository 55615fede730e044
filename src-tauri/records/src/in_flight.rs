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
    use super::{AT_ONCE, all_in_flight, in_flight};
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::sync::{Condvar, Mutex};
    use std::time::Duration;

    /// How long acts wait for one another before the test fails.
    const PATIENCE: Duration = Duration::from_secs(20);

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

    #[test]
    fn four_acts_are_done_at_once_and_never_more() {
        assert_eq!(AT_ONCE, 4);
        let items: Vec<usize> = (0..100 * AT_ONCE).collect();
        let (now, most) = (AtomicUsize::new(0), AtomicUsize::new(0));
        let (begun, told) = (Mutex::new(0), Condvar::new());
        all_in_flight(&items, &|n| {
            most.fetch_max(now.fetch_add(1, Ordering::SeqCst) + 1, Ordering::SeqCst);
            // No act ends before all of its four are under way: so they meet, and a fifth would too.
            let mut begun = begun.lock().unwrap();
            *begun += 1;
            told.notify_all();
            let alone = |begun: &mut usize| *begun < (n / AT_ONCE + 1) * AT_ONCE;
            let waited = told.wait_timeout_while(begun, PATIENCE, alone).unwrap();
            assert!(!waited.1.timed_out(), "fewer than four were begun");
            now.fetch_sub(1, Ordering::SeqCst);
        });
        assert_eq!(most.load(Ordering::SeqCst), AT_ONCE);
    }
}
