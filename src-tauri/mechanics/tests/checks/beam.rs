//! A tensioned beam by finite elements, the second method beside the closed forms.
//!
//! Cubic Hermite elements with geometric stiffness and consistent mass (any textbook on finite
//! elements). Frequencies by counting negative pivots of K − ω²·M (Sylvester's law of inertia)
//! and halving.

use std::f64::consts::TAU;

/// Stiffness and mass in bands: row i holds columns i … i + 3.
pub(crate) struct Beam {
    stiffness: Vec<[f64; 4]>,
    mass: Vec<[f64; 4]>,
}

impl Beam {
    /// Both ends held straight; SI units.
    pub(crate) fn clamped(l: f64, m: f64, t: f64, ei: f64, elements: usize) -> Self {
        let h = l / elements as f64;
        let (b, g, c) = (ei / h.powi(3), t / (30.0 * h), m * h / 420.0);
        let bend = [
            [12.0, 6.0 * h, -12.0, 6.0 * h],
            [6.0 * h, 4.0 * h * h, -6.0 * h, 2.0 * h * h],
            [-12.0, -6.0 * h, 12.0, -6.0 * h],
            [6.0 * h, 2.0 * h * h, -6.0 * h, 4.0 * h * h],
        ];
        let pull = [
            [36.0, 3.0 * h, -36.0, 3.0 * h],
            [3.0 * h, 4.0 * h * h, -3.0 * h, -h * h],
            [-36.0, -3.0 * h, 36.0, -3.0 * h],
            [3.0 * h, -h * h, -3.0 * h, 4.0 * h * h],
        ];
        let weigh = [
            [156.0, 22.0 * h, 54.0, -13.0 * h],
            [22.0 * h, 4.0 * h * h, 13.0 * h, -3.0 * h * h],
            [54.0, 13.0 * h, 156.0, -22.0 * h],
            [-13.0 * h, -3.0 * h * h, -22.0 * h, 4.0 * h * h],
        ];
        let free = 2 * (elements - 1);
        let mut beam = Self {
            stiffness: vec![[0.0; 4]; free],
            mass: vec![[0.0; 4]; free],
        };
        for element in 0..elements {
            for i in 0..4 {
                for j in i..4 {
                    // The first node's two unknowns are held, so numbering starts after them.
                    let (Some(row), Some(column)) = (
                        (2 * element + i).checked_sub(2),
                        (2 * element + j).checked_sub(2),
                    ) else {
                        continue;
                    };
                    if column < free {
                        beam.stiffness[row][column - row] += b * bend[i][j] + g * pull[i][j];
                        beam.mass[row][column - row] += c * weigh[i][j];
                    }
                }
            }
        }
        beam
    }

    /// Adds a mass at the middle node; the number of elements must be even.
    pub(crate) fn with_mass_at_middle(mut self, mass: f64) -> Self {
        let nodes = self.mass.len() / 2;
        self.mass[2 * (nodes / 2)][0] += mass;
        self
    }

    /// Frequencies below ω²: negative pivots of K − ω²·M.
    fn below(&self, square: f64) -> usize {
        let mut rows: Vec<[f64; 4]> = self
            .stiffness
            .iter()
            .zip(&self.mass)
            .map(|(k, m)| std::array::from_fn(|j| k[j] - square * m[j]))
            .collect();
        let mut negative = 0;
        for i in 0..rows.len() {
            let row = rows[i];
            if row[0] < 0.0 {
                negative += 1;
            }
            for p in 1..4 {
                if i + p >= rows.len() {
                    break;
                }
                let factor = row[p] / row[0];
                for q in p..4 {
                    rows[i + p][q - p] -= factor * row[q];
                }
            }
        }
        negative
    }

    /// The n-th frequency in hertz.
    pub(crate) fn frequency(&self, number: usize) -> f64 {
        let (mut low, mut high) = (0.0, 1.0);
        while self.below(high) < number {
            high *= 4.0;
        }
        for _ in 0..80 {
            let middle = f64::midpoint(low, high);
            if self.below(middle) >= number {
                high = middle;
            } else {
                low = middle;
            }
        }
        f64::midpoint(low, high).sqrt() / TAU
    }
}
