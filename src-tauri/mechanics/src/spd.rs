//! Small symmetric positive definite systems, by Cholesky. At most a few dozen unknowns.

/// A square matrix, row by row.
pub(crate) type Matrix = Vec<Vec<f64>>;

/// The lower factor of a symmetric positive definite matrix; nothing where it is not one.
pub(crate) fn factor(matrix: &[Vec<f64>]) -> Option<Matrix> {
    let mut lower: Matrix = Vec::with_capacity(matrix.len());
    for (i, row) in matrix.iter().enumerate() {
        let mut new: Vec<f64> = Vec::with_capacity(i + 1);
        for (j, value) in row.iter().enumerate().take(i + 1) {
            let other = lower.get(j).unwrap_or(&new);
            let known: f64 = new.iter().zip(other).take(j).map(|(a, b)| a * b).sum();
            let rest = value - known;
            if j < i {
                new.push(rest / other.get(j)?);
            } else if rest > 0.0 {
                new.push(rest.sqrt());
            } else {
                return None;
            }
        }
        lower.push(new);
    }
    Some(lower)
}

/// Solves L·Lᵀ·x = right.
pub(crate) fn solve(lower: &[Vec<f64>], right: &[f64]) -> Vec<f64> {
    let mut x: Vec<f64> = Vec::with_capacity(right.len());
    for (row, value) in lower.iter().zip(right) {
        let known: f64 = row.iter().zip(&x).map(|(a, b)| a * b).sum();
        x.push((value - known) / row.last().copied().unwrap_or(1.0));
    }
    for i in (0..x.len()).rev() {
        let below: f64 = lower
            .iter()
            .zip(&x)
            .skip(i + 1)
            .filter_map(|(row, x)| Some(row.get(i)? * x))
            .sum();
        let own = lower.get(i).and_then(|row| row.get(i)).copied();
        if let (Some(x), Some(own)) = (x.get_mut(i), own) {
            *x = (*x - below) / own;
        }
    }
    x
}

/// Matrix times vector.
pub(crate) fn times(matrix: &[Vec<f64>], x: &[f64]) -> Vec<f64> {
    let row = |row: &Vec<f64>| row.iter().zip(x).map(|(a, b)| a * b).sum();
    matrix.iter().map(row).collect()
}

#[cfg(test)]
mod tests {
    use super::{factor, solve, times};

    #[test]
    fn a_solution_solves() {
        let matrix = vec![
            vec![4.0, 1.0, 0.5],
            vec![1.0, 3.0, 0.2],
            vec![0.5, 0.2, 2.0],
        ];
        let right = [1.0, -2.0, 3.0];
        let back = times(&matrix, &solve(&factor(&matrix).unwrap(), &right));
        for (a, b) in back.iter().zip(right) {
            assert!((a - b).abs() < 1e-12);
        }
    }

    #[test]
    fn what_is_not_positive_definite_has_no_factor() {
        assert_eq!(factor(&[vec![1.0, 2.0], vec![2.0, 1.0]]), None);
        assert_eq!(factor(&[vec![0.0]]), None);
    }
}
