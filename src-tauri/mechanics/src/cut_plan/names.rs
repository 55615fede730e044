//! The order of names as people read them: A2 before A10.
//!
//! Invariant: a total order; names that read alike are told apart letter by letter.

use std::cmp::Ordering;

/// Compares two names as people read them: A2 before A10.
#[must_use]
pub fn compare(left: &str, right: &str) -> Ordering {
    parts(left).cmp(&parts(right)).then_with(|| left.cmp(right))
}

#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Part {
    // Digits without leading zeros: the longer run is the larger number.
    Number(usize, String),
    Letter(char),
}

fn parts(name: &str) -> Vec<Part> {
    let mut parts = Vec::new();
    let mut letters = name.chars().peekable();
    while let Some(letter) = letters.next() {
        if !letter.is_ascii_digit() {
            parts.push(Part::Letter(letter));
            continue;
        }
        let mut digits = String::from(letter);
        while let Some(digit) = letters.next_if(char::is_ascii_digit) {
            digits.push(digit);
        }
        let digits = digits.trim_start_matches('0').to_owned();
        parts.push(Part::Number(digits.len(), digits));
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_names_count_as_numbers() {
        let mut names = ["B1", "A10", "A2 again", "A2", "A02", "a1", ""];
        names.sort_by(|a, b| compare(a, b));
        assert_eq!(names, ["", "A02", "A2", "A2 again", "A10", "B1", "a1"]);
    }
}
