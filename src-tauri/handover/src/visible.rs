//! Text of people made fit for showing: nothing in it acts, everything hidden in it is seen.

use records::photos::visible;

/// Longest text of a person that a document prints in one place.
const LONGEST: usize = 4000;

/// Control, bidirectional and invisible characters as code points; line breaks stay line breaks.
pub(crate) fn shown(text: &str) -> String {
    let lines: Vec<String> = text.lines().map(|line| visible(line, LONGEST)).collect();
    lines.join("\n")
}

/// As [`shown`], on one line.
pub(crate) fn line(text: &str) -> String {
    visible(&text.lines().collect::<Vec<_>>().join(" "), LONGEST)
}
