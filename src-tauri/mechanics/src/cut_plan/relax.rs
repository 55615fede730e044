//! The linear relaxation over cutting patterns, column by column.
//!
//! Formula: least Σx with Σ a·x ≥ demand over all patterns `a`; a new pattern comes from a
//! knapsack over the dual prices (Gilmore and Gomory, "A linear programming approach to the
//! cutting-stock problem", Operations Research 9, 1961, 849–859).
//! Prices are handed out as whole numbers, so that a bound made of them can be checked exactly:
//! rounding here can weaken it but never make it wrong. Ends after a fixed number of rounds.

use super::knapsack::{Kind, best_pattern};

/// The value of a whole reel in dual prices.
pub(super) const ONE: u64 = 1_000_000_000;

/// What the relaxation gives.
pub(super) struct Relaxed {
    /// Price of each kind, in parts of [`ONE`].
    pub(super) prices: Vec<u64>,
    /// Patterns in use (how many of each kind) and how often.
    pub(super) patterns: Vec<(Vec<u32>, f64)>,
}

/// Solves the relaxation; every kind must fit the capacity and be wanted at least once.
pub(super) fn relax(kinds: &[Kind], capacity: u32) -> Relaxed {
    let mut basis: Vec<Row> = kinds
        .iter()
        .enumerate()
        .map(|(at, kind)| Row::alone(at, *kind, capacity, kinds.len()))
        .collect();
    let rounds = 50 * kinds.len() + 200;
    let mut prices = whole_prices(&basis, kinds.len());
    for _ in 0..rounds {
        let Some((pattern, value)) = best_pattern(kinds, &prices, capacity) else {
            break;
        };
        // Prices are cut to whole parts, which a pattern of some dozens of pieces may sum up.
        if value <= ONE + 100 || !enter(&mut basis, &pattern) {
            break;
        }
        prices = whole_prices(&basis, kinds.len());
    }
    Relaxed {
        prices,
        patterns: basis
            .into_iter()
            .map(|row| (row.pattern, row.times))
            .collect(),
    }
}

/// A pattern of the basis, how often it is cut, and its row of the inverse.
struct Row {
    pattern: Vec<u32>,
    times: f64,
    inverse: Vec<f64>,
}

impl Row {
    fn alone(at: usize, kind: Kind, capacity: u32, kinds: usize) -> Self {
        let most = (capacity / kind.size.max(1)).min(kind.count).max(1);
        let unit = |place: usize| place == at;
        Self {
            pattern: (0..kinds).map(|n| if unit(n) { most } else { 0 }).collect(),
            times: f64::from(kind.count) / f64::from(most),
            inverse: (0..kinds)
                .map(|n| if unit(n) { 1.0 / f64::from(most) } else { 0.0 })
                .collect(),
        }
    }
}

fn whole_prices(basis: &[Row], kinds: usize) -> Vec<u64> {
    let mut prices = vec![0.0; kinds];
    for row in basis {
        for (price, part) in prices.iter_mut().zip(&row.inverse) {
            *price += part;
        }
    }
    // Between 0 and 1, as a pattern of one piece alone is worth no more than a reel.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss
    )]
    let whole = |price: f64| (price.clamp(0.0, 1.0) * ONE as f64) as u64;
    prices.into_iter().map(whole).collect()
}

/// Brings a pattern into the basis; says whether it could.
fn enter(basis: &mut [Row], pattern: &[u32]) -> bool {
    let column: Vec<f64> = basis
        .iter()
        .map(|row| {
            row.inverse
                .iter()
                .zip(pattern)
                .map(|(part, count)| part * f64::from(*count))
                .sum()
        })
        .collect();
    let leaving = basis
        .iter()
        .zip(&column)
        .enumerate()
        .filter(|(_, (_, step))| **step > 1e-9)
        .map(|(at, (row, step))| (at, row.times / step, *step))
        .min_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
    let Some((leaving, times, pivot)) = leaving else {
        return false;
    };
    let Some(row) = basis.get_mut(leaving) else {
        return false;
    };
    row.pattern = pattern.to_vec();
    row.times = times;
    for part in &mut row.inverse {
        *part /= pivot;
    }
    let entered = row.inverse.clone();
    for (at, (row, step)) in basis.iter_mut().zip(&column).enumerate() {
        if at == leaving || *step == 0.0 {
            continue;
        }
        row.times = (row.times - times * step).max(0.0);
        for (part, new) in row.inverse.iter_mut().zip(&entered) {
            *part -= step * new;
        }
    }
    true
}
