//! What is marked on a picture, for the document's own copy of it.
//!
//! Invariant: marks are drawn over the copy that the document holds and never into the picture; where people
//! differ, each side's marks stand on a copy of their own.

use records::job::things::Photo;
use records::job::{Standing, Told};
use records::model::context::Said;
use records::model::values::{Mark, Marks};
use records::work::words::marked;

use super::reading::Reading;
use super::words;
use crate::visible;

/// What one copy of a picture shows beside the picture itself.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Shown {
    /// The marks that are drawn on it.
    pub(super) marks: Vec<Mark>,
    /// Who marked it, when and how, and where it lies unmarked; empty where nobody marked it.
    pub(super) told: String,
}

/// The copies of a picture that the document shows: one, or one for each side where people differ.
pub(super) fn copies(reading: &Reading<'_>, photo: &Photo, original_goes: bool) -> Vec<Shown> {
    let fact = &photo.marks;
    let bare = match original_goes {
        true => "the original lies unmarked beside this document",
        false => "the original is unmarked",
    };
    let by = |tip: &Told<Marks, Said>| {
        let who = reading.person(&tip.person);
        format!("{who}, {}", words::when(tip.at))
    };
    match fact.standing {
        Standing::Missing | Standing::Withdrawn => vec![Shown::default()],
        Standing::Newer => vec![Shown {
            marks: Vec::new(),
            told: format!("Marked by a newer version, and not drawn here; {bare}"),
        }],
        Standing::Agreed => match fact.told().and_then(|tip| Some((tip, tip.value.as_ref()?))) {
            Some((tip, marks)) => vec![Shown {
                marks: drawn(marks),
                told: format!("Marked by {}: {}; {bare}", by(tip), told(marks)),
            }],
            None => vec![Shown::default()],
        },
        Standing::Disputed => {
            let sides = fact.tips.iter().map(|tip| match &tip.value {
                Some(marks) => Shown {
                    marks: drawn(marks),
                    told: format!(
                        "People differ on its marks; here those of {}: {}; {bare}",
                        by(tip),
                        told(marks)
                    ),
                },
                None => Shown {
                    marks: Vec::new(),
                    told: format!(
                        "People differ on its marks; none here, as {} has it",
                        by(tip)
                    ),
                },
            });
            sides.collect()
        }
    }
}

fn told(marks: &Marks) -> String {
    marked(&Marks {
        marks: drawn(marks),
    })
}

/// The marks with what is hidden in their words made visible.
fn drawn(marks: &Marks) -> Vec<Mark> {
    let one = |mark: &Mark| match mark {
        Mark::Text { x, y, text } => Mark::Text {
            x: *x,
            y: *y,
            text: visible::line(text),
        },
        other => other.clone(),
    };
    marks.marks.iter().map(one).collect()
}
