//! Which of several readings of one thing stand: a later one takes an earlier one's place.
//!
//! Invariant: later is what the record's order of cause says: a reading that names another as what
//! it follows, the device's own chain, a later round. Clocks and arrival play no part. Where
//! nothing says which of two came later, or two orders contradict, both stand, and the caller takes
//! the one that errs to the safe side. A correction by `over` is no repeat: it is one line already, and
//! stands in the order where the line began.

use crate::entry::At;
use crate::ids::{DeviceId, Hash};
use crate::job::{Fact, Job, Told};

/// The facts that no later one takes the place of; all of them are of one thing.
///
/// `round` sorts the rounds in which they were taken; all alike where there are none.
pub(super) fn standing<'f, T, C, R: Ord>(
    job: &Job<'_>,
    facts: &[&'f Fact<T, C>],
    round: impl Fn(&Told<T, C>) -> R,
) -> Vec<&'f Fact<T, C>> {
    if facts.len() < 2 {
        return facts.to_vec();
    }
    let tips = |fact: &&Fact<T, C>| -> Vec<(R, Line)> {
        let tips = fact.tips.iter();
        tips.map(|told| (round(told), Line::of(job, told)))
            .collect()
    };
    let all: Vec<Vec<(R, Line)>> = facts.iter().map(tips).collect();
    let replaces = |new: &Vec<(R, Line)>, old: &Vec<(R, Line)>| {
        let later = |old: &(R, Line)| new.iter().any(|new| later(job, new, old));
        !old.is_empty() && old.iter().all(later)
    };
    let stands = |old: &Vec<(R, Line)>| !all.iter().any(|new| replaces(new, old));
    let both = facts.iter().zip(&all);
    both.filter(|(_, tips)| stands(tips))
        .map(|(fact, _)| *fact)
        .collect()
}

/// Whether an order says that `new` came after `old`, and none says the opposite.
fn later<R: Ord>(job: &Job<'_>, new: &(R, Line), old: &(R, Line)) -> bool {
    let ((of_new, new), (of_old, old)) = (new, old);
    (new.follows(job, old) || of_new > of_old) && !old.follows(job, new) && of_new >= of_old
}

/// Whether what one word tells was read after what another tells, by its basis or by its device's
/// chain. What was read first stands at the beginning of a line: a correction puts right what was
/// read, and not when.
pub(super) fn follows<A, B, C, D>(job: &Job<'_>, new: &Told<A, B>, old: &Told<C, D>) -> bool {
    Line::of(job, new).follows(job, &Line::of(job, old))
}

/// Whether one word was said knowing of another: it follows it, or rests on a later entry of the
/// other's device, whose chain brings the earlier ones along.
pub(super) fn knew<A, B, C, D>(job: &Job<'_>, new: &Told<A, B>, old: &Told<C, D>) -> bool {
    Line::of(job, new).knew(job, Entry::of(old))
}

/// An entry by its place in its device's chain.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Entry {
    pub(super) id: Hash,
    pub(super) device: DeviceId,
    pub(super) n: u64,
}

impl Entry {
    pub(super) fn of<T, C>(told: &Told<T, C>) -> Self {
        Entry {
            id: told.id,
            device: told.device,
            n: told.n,
        }
    }
}

/// An entry that corrects nothing, with what it rests on.
#[derive(Clone, Debug)]
struct First {
    entry: Entry,
    at: At,
    basis: Vec<Hash>,
}

impl First {
    fn follows(&self, job: &Job<'_>, old: Entry) -> bool {
        self.basis.contains(&old.id) || self.chained(job, old)
    }

    fn chained(&self, job: &Job<'_>, old: Entry) -> bool {
        let chain = self.entry.device == old.device && !job.forked.contains(&old.device);
        chain && self.entry.n > old.n
    }

    fn knew(&self, job: &Job<'_>, old: Entry) -> bool {
        let own = self.entry.device == old.device && !job.forked.contains(&old.device);
        if own {
            // Nobody knows of what his own device says later.
            return self.follows(job, old);
        }
        let mut basis = self.basis.iter().filter_map(|id| job.reader.view.entry(id));
        let mut by_chain = || {
            !job.forked.contains(&old.device)
                && basis.any(|entry| entry.body.device == old.device && entry.body.n >= old.n)
        };
        self.follows(job, old) || by_chain()
    }
}

/// A word with all that it corrects.
#[derive(Clone, Debug)]
pub(super) struct Line {
    /// The entries that it begins with.
    first: Vec<First>,
    /// All its words.
    words: Vec<Hash>,
}

impl Line {
    pub(super) fn of<T, C>(job: &Job<'_>, told: &Told<T, C>) -> Self {
        let mut line = Self::from(job, told.id);
        if line.first.is_empty() {
            // What it corrects is not here: it stands where it was said itself.
            line.first.push(First {
                entry: Entry::of(told),
                at: told.at,
                basis: told.basis.clone(),
            });
        }
        line
    }

    /// Of an entry whose beginning is here; none where it is not.
    pub(super) fn of_entry(job: &Job<'_>, entry: Hash) -> Option<Self> {
        Some(Self::from(job, entry)).filter(|line| !line.first.is_empty())
    }

    fn from(job: &Job<'_>, word: Hash) -> Self {
        let mut line = Line {
            first: Vec::new(),
            words: Vec::new(),
        };
        let mut open = vec![word];
        while let Some(id) = open.pop() {
            if line.words.contains(&id) {
                continue;
            }
            line.words.push(id);
            let Some(found) = job.reader.view.entry(&id) else {
                continue;
            };
            let body = &found.body;
            if body.over.is_empty() {
                let (device, n) = (body.device, body.n);
                line.first.push(First {
                    entry: Entry { id, device, n },
                    at: body.at,
                    basis: body.basis.clone(),
                });
            }
            open.extend(&body.over);
        }
        line
    }

    /// When its first word was said.
    pub(super) fn at(&self) -> Option<At> {
        self.first
            .iter()
            .map(|first| first.at)
            .min_by_key(|at| at.ms)
    }

    /// Whether it was read after another; after all of it, where that puts several readings right.
    pub(super) fn follows(&self, job: &Job<'_>, old: &Line) -> bool {
        let of_one = old.first.len() == 1;
        let after = |new: &First| {
            (of_one && old.words.iter().any(|word| new.basis.contains(word)))
                || old.first.iter().all(|old| new.follows(job, old.entry))
        };
        self.first.iter().all(after)
    }

    /// Whether it was read knowing of another: whoever read had the other's word, or a later one of its
    /// device.
    pub(super) fn knew_line(&self, job: &Job<'_>, old: &Line) -> bool {
        let knew = |new: &First| old.first.iter().all(|old| new.knew(job, old.entry));
        self.follows(job, old) || self.first.iter().all(knew)
    }

    /// Whether it was read after another on one device.
    pub(super) fn chained_after(&self, job: &Job<'_>, old: &Line) -> bool {
        let after = |new: &First| old.first.iter().all(|old| new.chained(job, old.entry));
        self.first.iter().all(after)
    }

    /// Whether it was read knowing of one entry.
    pub(super) fn knew(&self, job: &Job<'_>, old: Entry) -> bool {
        self.first.iter().all(|first| first.knew(job, old))
    }
}

/// What is said of one end, opening or bay, as far as it stands; `here` leaves out words on another
/// piece.
#[must_use]
pub fn standing_at<'f, T, C, P: PartialEq>(
    job: &Job<'_>,
    facts: &'f [(P, Fact<T, C>)],
    place: &P,
    here: impl Fn(&Told<T, C>) -> bool,
) -> Vec<&'f Fact<T, C>> {
    let of: Vec<&Fact<T, C>> = facts
        .iter()
        .filter(|(at, fact)| at == place && fact.tips.iter().any(&here))
        .map(|(_, fact)| fact)
        .collect();
    standing(job, &of, |_| ())
}
