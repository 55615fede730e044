//! Exact subset sum: the pieces that fill a stock most.
//!
//! Formula: all sums that can be reached, piece by piece, each with the piece that reached it
//! first. Exact in steps of the pieces' greatest common measure.
//! Invariant: the pieces chosen never weigh more than the capacity, whatever the grid.

/// Steps that a stock may have before pieces are rounded up for the choice.
const MOST_STEPS: i64 = 1 << 19;

/// A piece to place: its place in the input, its length with one kerf, and its place among all
/// pieces sorted by length and name.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Item {
    pub(super) at: usize,
    pub(super) weight: i64,
    pub(super) rank: usize,
}

/// The step in which sums are counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Grid {
    pub(super) step: i64,
    /// Whether every piece is a whole number of steps.
    pub(super) exact: bool,
}

impl Grid {
    /// The greatest common measure of the weights, or a coarser step where that is too fine.
    pub(super) fn of(weights: impl Iterator<Item = i64>, longest: i64) -> Self {
        let common = weights.fold(0, common_measure).max(1);
        let exact = longest / common <= MOST_STEPS;
        let coarse = longest / MOST_STEPS + 1;
        Self {
            step: if exact { common } else { coarse },
            exact,
        }
    }

    /// Steps of a piece, rounded up: a choice that fits in steps fits.
    pub(super) fn up(self, weight: i64) -> u32 {
        u32::try_from((weight + self.step - 1) / self.step).unwrap_or(u32::MAX)
    }

    /// Steps of a stock, rounded down.
    pub(super) fn down(self, weight: i64) -> u32 {
        u32::try_from(weight.max(0) / self.step).unwrap_or(u32::MAX)
    }
}

const fn common_measure(a: i64, b: i64) -> i64 {
    let (mut a, mut b) = (a, b);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

pub(super) fn weight_of(items: &[Item]) -> i64 {
    items.iter().map(|item| item.weight).sum()
}

/// Takes the pieces that fill the capacity most out of `items`, which are sorted, longest first.
pub(super) fn take_best(items: &mut Vec<Item>, capacity: i64, grid: Grid) -> Vec<Item> {
    let steps: Vec<u32> = items.iter().map(|item| grid.up(item.weight)).collect();
    let mut chosen = closest(&steps, grid.down(capacity)).into_iter().peekable();
    let mut taken = Vec::new();
    let mut kept = Vec::with_capacity(items.len());
    for (at, item) in items.iter().enumerate() {
        if chosen.next_if_eq(&at).is_some() {
            taken.push(*item);
        } else {
            kept.push(*item);
        }
    }
    *items = kept;
    taken
}

/// Places, rising, of the weights whose sum comes closest to the capacity without passing it.
///
/// Equal weights are best given side by side: copies then cost next to nothing.
pub(super) fn closest(weights: &[u32], capacity: u32) -> Vec<usize> {
    const NONE: u32 = u32::MAX;
    let total: u64 = weights.iter().copied().map(u64::from).sum();
    if total <= u64::from(capacity) {
        return (0..weights.len()).collect();
    }
    let mut reached_by = vec![NONE; capacity as usize + 1];
    let mut sums = vec![0_u32];
    let mut best = 0;
    let mut last = None;
    let mut fresh = 0;
    'pieces: for (at, weight) in (0_u32..).zip(weights) {
        // A second copy only reaches further from where the first one newly came.
        let from = if last == Some(*weight) { fresh } else { 0 };
        let known = sums.len();
        for place in from..known {
            let Some(sum) = sums.get(place).and_then(|sum| sum.checked_add(*weight)) else {
                continue;
            };
            match reached_by.get_mut(sum as usize) {
                Some(by) if *by == NONE && sum != 0 => {
                    *by = at;
                    sums.push(sum);
                    best = best.max(sum);
                    if best == capacity {
                        break 'pieces;
                    }
                }
                _ => {}
            }
        }
        (last, fresh) = (Some(*weight), known);
    }
    let mut chosen = Vec::new();
    let mut sum = best;
    while sum > 0 {
        let by = reached_by.get(sum as usize).copied().unwrap_or(NONE);
        let Some(weight) = weights.get(by as usize) else {
            break;
        };
        chosen.push(by as usize);
        sum -= weight;
    }
    chosen.reverse();
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sum_of(weights: &[u32], chosen: &[usize]) -> u32 {
        chosen.iter().map(|at| weights[*at]).sum()
    }

    #[test]
    fn the_closest_sum_is_that_of_all_subsets_tried() {
        // Every subset of small sets with many repeats, made by a fixed rule.
        let mut seed = 7_u32;
        let mut next = |most: u32| {
            seed = seed.wrapping_mul(1_103_515_245).wrapping_add(12_345);
            (seed >> 16) % most
        };
        for _ in 0..300 {
            let mut weights: Vec<u32> = (0..1 + next(9)).map(|_| 1 + next(12) * 3).collect();
            weights.sort_unstable_by(|a, b| b.cmp(a));
            let capacity = next(120);
            let best = (0_u32..1 << weights.len())
                .map(|set| {
                    let of = |at: &usize| set >> at & 1 == 1;
                    let chosen: Vec<usize> = (0..weights.len()).filter(of).collect();
                    sum_of(&weights, &chosen)
                })
                .filter(|sum| *sum <= capacity)
                .max()
                .unwrap();
            let chosen = closest(&weights, capacity);
            assert!(
                chosen.windows(2).all(|pair| pair[0] < pair[1]),
                "{chosen:?}"
            );
            assert_eq!(sum_of(&weights, &chosen), best, "{weights:?} {capacity}");
        }
    }

    #[test]
    fn the_step_is_the_common_measure_unless_too_fine() {
        assert_eq!(
            Grid::of([6_000_000, 4_000_000].into_iter(), 60_000_000_000).step,
            2_000_000
        );
        let fine = Grid::of([7_231_000_001, 7_232_000_000].into_iter(), 60_000_000_000);
        assert!(fine.step > 1 && fine.down(60_000_000_000) <= 1 << 19);
        assert!(i64::from(fine.up(7_231_000_001)) * fine.step >= 7_231_000_001);
    }
}
