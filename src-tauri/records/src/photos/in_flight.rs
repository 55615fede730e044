//! Several acts at once, since a disk writes four files in little more than the time of one.
//!
//! It knows nothing of what the acts do; each must bear the others beside it.

use std::{
    sync::atomic::{AtomicUsize, Ordering},
    thread,
};

const AT_ONCE: usize = 4;

/// Does one act for each item, four at a time; answers stand in the items' order.
pub(super) fn in_flight<T: Sync, R: Send>(items: &[T], act: &(dyn Fn(&T) -> R + Sync)) -> Vec<R> {
    if items.len() < 2 {
        return items.iter().map(act).collect();
    }
    let next = AtomicUsize::new(0);
    let work = || {
        let mut done = Vec::new();
        loop {
            let at = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(at) else {
                return done;
            };
            done.push((at, act(item)));
        }
    };
    let mut answers: Vec<(usize, R)> = thread::scope(|scope| {
        let workers: Vec<_> = (0..AT_ONCE.min(items.len()))
            .map(|_| scope.spawn(work))
            .collect();
        let mut answers = Vec::with_capacity(items.len());
        for worker in workers {
            match worker.join() {
                Ok(done) => answers.extend(done),
                Err(panic) => std::panic::resume_unwind(panic),
            }
        }
        answers
    });
    answers.sort_by_key(|(at, _)| *at);
    answers.into_iter().map(|(_, answer)| answer).collect()
}

#[cfg(test)]
mod tests {
    use super::in_flight;

    #[test]
    fn answers_stand_in_the_items_order() {
        for count in [0, 1, 2, 3, 4, 5, 100] {
            let items: Vec<u64> = (0..count).collect();
            let squares = in_flight(&items, &|n| n * n);
            let expected: Vec<u64> = items.iter().map(|n| n * n).collect();
            assert_eq!(squares, expected);
        }
    }
}
