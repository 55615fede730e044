//! The pattern of most value that one stock can hold: a bounded knapsack by branch and bound.
//!
//! Exact in whole numbers; gives up, and says so, after a fixed number of steps.

const MOST_STEPS: u32 = 400_000;

/// Pieces of one size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Kind {
    pub(super) size: u32,
    pub(super) count: u32,
}

struct Choice {
    at: usize,
    size: u64,
    count: u32,
    value: u64,
}

struct Search {
    steps: u32,
    /// Every value is a whole number of these.
    unit: u64,
    chosen: Vec<(usize, u32)>,
    best: Vec<(usize, u32)>,
    best_value: u64,
}

/// How many of each kind make the most value within the capacity, and that value.
///
/// `values` stand beside `kinds`. Nothing where the search was given up.
pub(super) fn best_pattern(
    kinds: &[Kind],
    values: &[u64],
    capacity: u32,
) -> Option<(Vec<u32>, u64)> {
    let mut choices: Vec<Choice> = kinds
        .iter()
        .zip(values)
        .enumerate()
        .filter(|(_, (kind, value))| **value > 0 && kind.count > 0 && kind.size <= capacity)
        .map(|(at, (kind, value))| Choice {
            at,
            size: u64::from(kind.size.max(1)),
            count: kind.count,
            value: *value,
        })
        .collect();
    choices.sort_by(|a, b| {
        let (left, right) = (a.value * b.size, b.value * a.size);
        right.cmp(&left).then(a.at.cmp(&b.at))
    });
    let mut search = Search {
        steps: 0,
        unit: choices
            .iter()
            .fold(0, |unit, choice| common_measure(unit, choice.value))
            .max(1),
        chosen: Vec::new(),
        best: Vec::new(),
        best_value: 0,
    };
    search.go(&choices, u64::from(capacity), 0);
    if search.steps >= MOST_STEPS {
        return None;
    }
    let mut pattern = vec![0; kinds.len()];
    for (at, count) in search.best {
        if let Some(place) = pattern.get_mut(at) {
            *place = count;
        }
    }
    Some((pattern, search.best_value))
}

impl Search {
    fn go(&mut self, choices: &[Choice], room: u64, value: u64) {
        if value > self.best_value {
            self.best_value = value;
            self.best.clone_from(&self.chosen);
        }
        let Some((first, rest)) = choices.split_first() else {
            return;
        };
        let most_value = value + first.value * room / first.size;
        if most_value - most_value % self.unit <= self.best_value {
            return;
        }
        let most = u64::from(first.count).min(room / first.size);
        for count in (0..=most).rev() {
            self.steps += 1;
            if self.steps >= MOST_STEPS {
                return;
            }
            let taken = u32::try_from(count).unwrap_or(u32::MAX);
            if count > 0 {
                self.chosen.push((first.at, taken));
            }
            self.go(rest, room - count * first.size, value + count * first.value);
            if count > 0 {
                self.chosen.pop();
            }
        }
    }
}

const fn common_measure(a: u64, b: u64) -> u64 {
    let (mut a, mut b) = (a, b);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_best_pattern_is_that_of_all_patterns_tried() {
        let kinds = [(7, 3), (5, 2), (4, 9), (1, 2)].map(|(size, count)| Kind { size, count });
        let values = [70, 52, 41, 9];
        for capacity in 0..60 {
            let mut best = 0;
            for a in 0..=3_u32 {
                for b in 0..=2 {
                    for c in 0..=9 {
                        for d in 0..=2 {
                            if 7 * a + 5 * b + 4 * c + d <= capacity {
                                best = best.max(70 * a + 52 * b + 41 * c + 9 * d);
                            }
                        }
                    }
                }
            }
            let (pattern, value) = best_pattern(&kinds, &values, capacity).unwrap();
            assert_eq!(value, u64::from(best));
            let size: u32 = pattern.iter().zip(kinds).map(|(n, k)| n * k.size).sum();
            let worth: u64 = pattern
                .iter()
                .zip(values)
                .map(|(n, v)| u64::from(*n) * v)
                .sum();
            assert!(size <= capacity && worth == value);
        }
    }
}
