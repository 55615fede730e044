//! Figures with their units, and numbers as ranges.
//!
//! Invariant: a figure is told no finer and no wider than it is held.

/// A length in millimetres with its unit, at most two decimals.
#[must_use]
pub fn mm(nm: i64) -> String {
    format!("{} mm", decimal(nm, 1_000_000, 2))
}

/// Shortest and longest of a window in millimetres, told no wider than it is: to the tenth, and where no
/// tenth lies in it to as many more places as it takes, at most four.
#[must_use]
pub fn window(shortest_mm: f64, longest_mm: f64) -> (String, String) {
    // What lies on a step but for rounding stays on it.
    let inward = |places: i32| {
        let steps = 10.0_f64.powi(places);
        let from = (shortest_mm * steps - 1.0e-6).ceil() / steps;
        let to = (longest_mm * steps + 1.0e-6).floor() / steps;
        (from, to)
    };
    let told = |places: i32, (from, to): (f64, f64)| {
        let places = usize::try_from(places).unwrap_or_default();
        (format!("{from:.places$}"), format!("{to:.places$}"))
    };
    let holds = |places: &i32| {
        let (from, to) = inward(*places);
        from <= to
    };
    match (1..=4).find(holds) {
        Some(places) => told(places, inward(places)),
        None => told(4, (shortest_mm, longest_mm)),
    }
}

/// A force in newtons with its unit, at most one decimal.
#[must_use]
pub fn newtons(mn: i64) -> String {
    format!("{} N", decimal(mn, 1000, 1))
}

/// A mass in kilograms with its unit, at most three decimals.
#[must_use]
pub fn kilograms(mg: i64) -> String {
    format!("{} kg", decimal(mg, 1_000_000, 3))
}

/// Numbers as ranges: "1–8, 12".
#[must_use]
pub fn ranges(numbers: &[u32]) -> String {
    let mut parts: Vec<(u32, u32)> = Vec::new();
    for n in numbers {
        match parts.last_mut() {
            Some((_, last)) if last.checked_add(1) == Some(*n) => *last = *n,
            _ => parts.push((*n, *n)),
        }
    }
    let text = |(a, b): &(u32, u32)| {
        if a == b {
            a.to_string()
        } else {
            format!("{a}–{b}")
        }
    };
    parts.iter().map(text).collect::<Vec<_>>().join(", ")
}

/// Wires by their numbers: "wire 3", "wires 1–5, 7".
#[must_use]
pub fn wires(numbers: &[u32]) -> String {
    let wires = if numbers.len() == 1 { "wire" } else { "wires" };
    format!("{wires} {}", ranges(numbers))
}

/// `number / unit` with at most `places` decimals, trailing zeros left out.
pub(super) fn decimal(number: i64, unit: i64, places: usize) -> String {
    #[allow(clippy::cast_precision_loss)] // what people typed stays far below 2^53
    let value = number as f64 / unit as f64;
    let text = format!("{value:.places$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    match text {
        "-0" => "0".to_owned(),
        other => other.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_window_is_told_no_wider_than_it_is_and_never_inside_out() {
        let table = include_str!("../../../../../fixtures/typed/windows.json");
        let cases: Vec<(f64, f64, String, String)> = serde_json::from_str(table).unwrap();
        assert!(cases.len() > 5);
        for (shortest, longest, from, to) in cases {
            let told = window(shortest, longest);
            assert_eq!(told, (from, to), "{shortest} {longest}");
            let ends: (f64, f64) = (told.0.parse().unwrap(), told.1.parse().unwrap());
            assert!(ends.0 <= ends.1);
        }
    }
}
