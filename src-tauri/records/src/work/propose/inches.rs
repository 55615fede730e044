//! Sentences of a proposal in inches, for who reads a tape that has no millimetres.
//!
//! Invariant: a row of a table keeps the millimetres that its document prints, with inches beside; those, what is in
//! hand before it, and what a stair's bottom wire stands below are rounded down, since a tape that shows them must
//! not be over it.

use mechanics::Millimetres;

use super::LayoutProposals;

/// Tells every sentence of the proposals in inches.
pub(super) fn told(answer: &mut LayoutProposals) {
    for proposal in &mut answer.proposals {
        turn(&mut proposal.sentence);
        proposal.floor_sentence.iter_mut().for_each(turn);
        proposal.rail_sentence.iter_mut().for_each(turn);
        proposal
            .stair
            .iter_mut()
            .for_each(|s| turn(&mut s.sentence));
        proposal.bays.iter_mut().for_each(|b| turn(&mut b.sentence));
        let posts = proposal.shared_posts.iter_mut();
        posts.for_each(|p| turn(&mut p.sentence));
    }
    answer.notes.iter_mut().for_each(turn);
    answer.missing.iter_mut().for_each(turn);
}

fn turn(sentence: &mut String) {
    *sentence = in_inches(sentence);
}

/// What stands before a figure of the table, where the word for a row does not stand after it.
const OF_A_ROW: [&str; 3] = ["bays up to ", ": reads ", " over "];

/// A sentence with each of its lengths in inches.
fn in_inches(sentence: &str) -> String {
    let mut told = String::with_capacity(sentence.len());
    let mut rest = sentence;
    while let Some((before, after)) = rest.split_once(" mm") {
        let figure = |c: char| c.is_ascii_digit() || c == '.';
        let text = before.trim_end_matches(figure);
        let number = before.get(text.len()..).unwrap_or_default();
        let ends = after.chars().next().is_none_or(|c| !c.is_alphanumeric());
        match number.parse::<f64>() {
            Ok(mm) if ends => {
                let length = Millimetres(mm);
                told.push_str(text);
                if after.starts_with(" row") || OF_A_ROW.iter().any(|of| text.ends_with(of)) {
                    told.push_str(&format!("{number} mm ({})", length.in_inches_at_most()));
                } else if after.starts_with(" in hand") || text.ends_with("stands below ") {
                    told.push_str(&length.in_inches_at_most());
                } else {
                    told.push_str(&length.in_inches());
                }
            }
            _ => {
                told.push_str(before);
                told.push_str(" mm");
            }
        }
        rest = after;
    }
    told.push_str(rest);
    told
}

#[cfg(test)]
mod tests {
    use super::in_inches;

    #[test]
    fn lengths_are_told_in_inches_and_rows_in_both() {
        for (mm, inches) in [
            ("12 wires 76.2 mm apart", "12 wires 3 in apart"),
            (
                "4 mm in hand before the 80 mm row, 305 N more.",
                "5/32 in in hand before the 80 mm (3 1/8 in) row, 305 N more.",
            ),
            (
                "1330 N in bays up to 1500 mm; 4.44 mm in hand",
                "1330 N in bays up to 1500 mm (59 1/32 in); 5/32 in in hand",
            ),
            (
                "A1–A2: reads 1500 mm, 1330 N; 180 mm over 1200 mm; 120 mm in hand",
                "A1–A2: reads 1500 mm (59 1/32 in), 1330 N; 7 3/32 in over 1200 mm (47 7/32 in); 4 23/32 in in hand",
            ),
            // 77.6 thirty-seconds: to the nearest 2 7/16 in, which is over it.
            (
                "the middle of the bottom wire stands below 61.6 mm or it passes",
                "the middle of the bottom wire stands below 2 13/32 in or it passes",
            ),
            (
                "at 76.2 mm … 914.4 mm, no mm told",
                "at 3 in … 36 in, no mm told",
            ),
            ("nothing of length", "nothing of length"),
        ] {
            assert_eq!(in_inches(mm), inches);
        }
    }
}
