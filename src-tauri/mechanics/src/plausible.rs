//! Lengths as they come in: refused, questioned, or taken.
//!
//! The one rule that screens, imports and lists of doubts go by. Invariant: a questioned length is
//! never changed, only asked about. Does not know units typed, and does not choose what a length is
//! held against. The limits are common practice, no published source.

mod strand;

use std::ops::RangeInclusive;

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, positive, within};
use crate::units::Millimetres;
pub use strand::{BREAKING_USUAL, STIFFNESS_USUAL, question_breaking, question_stiffness};

/// Why a length is asked about before it is kept.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum LengthQuestion {
    /// Longer than a hundred metres.
    #[serde(rename_all = "camelCase")]
    VeryLong {
        /// The length.
        length: Millimetres,
        /// One sentence.
        sentence: String,
    },
    /// About 25.4 times off what it is held against: inches and millimetres mixed up.
    #[serde(rename_all = "camelCase")]
    InchesOrMillimetres {
        /// The length.
        length: Millimetres,
        /// What it would be in the other unit.
        perhaps: Millimetres,
        /// One sentence.
        sentence: String,
    },
    /// About a thousand or ten times less than what it is held against: metres or centimetres typed
    /// as millimetres.
    #[serde(rename_all = "camelCase")]
    MetresOrCentimetres {
        /// The length.
        length: Millimetres,
        /// What it would be in the other unit.
        perhaps: Millimetres,
        /// One sentence.
        sentence: String,
    },
    /// Further from what it should be like than [`APART`] and [`APART_SHARE`], or [`TIMES_APART`],
    /// let it be.
    #[serde(rename_all = "camelCase")]
    FarOff {
        /// The length.
        length: Millimetres,
        /// How far off it is.
        apart: Millimetres,
        /// One sentence.
        sentence: String,
    },
}

impl LengthQuestion {
    /// What to ask the person, in one sentence or two.
    #[must_use]
    pub fn sentence(&self) -> &str {
        match self {
            Self::VeryLong { sentence, .. }
            | Self::InchesOrMillimetres { sentence, .. }
            | Self::MetresOrCentimetres { sentence, .. }
            | Self::FarOff { sentence, .. } => sentence,
        }
    }
}

/// Something known that a length is held against.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Beside<'a> {
    /// How people know it: "wire 3", "the middle length of this run".
    pub name: &'a str,
    /// Its length.
    pub length: Millimetres,
    /// Whether both should be about as long. Wires of a run are; bays differ by nature, and of
    /// them only another unit and many times the length are asked about.
    pub alike: bool,
}

/// Longest length that is taken without a question.
pub const QUESTION_FROM: Millimetres = Millimetres(100_000.0);

/// Longest length that is taken at all.
pub const REFUSE_FROM: Millimetres = Millimetres(1_000_000.0);

/// How far apart two lengths that should be alike may be, whatever their size.
pub const APART: Millimetres = Millimetres(60.0);

/// How far apart they may be as a share of the one that is known, where that is more.
pub const APART_SHARE: f64 = 0.02;

/// How many times as long, or as short, as another a length of another kind may be: bays of a run
/// differ, and rarely by more than this.
pub const TIMES_APART: f64 = 5.0;

/// Spread of a reading that is taken without a question: a tape or a laser repeats within a few
/// millimetres.
pub const SPREAD_FROM: Millimetres = Millimetres(20.0);

/// Largest spread that is taken at all.
pub const SPREAD_REFUSED: Millimetres = Millimetres(500.0);

/// Whether a clear distance goes with the positions of its posts, which leave between `least` and
/// `most` of it, by how much of their own width is known.
#[must_use]
pub fn fits_positions(clear: Millimetres, least: Millimetres, most: Millimetres) -> bool {
    let slack = APART.max(most * APART_SHARE);
    clear >= least - slack && clear <= most + slack
}

/// How far two readings of one length may be apart unasked: a tape repeats within a few millimetres.
pub const REPEATS_WITHIN: Millimetres = Millimetres(5.0);

/// How far an inside-to-inside length that is cut from may be from measured bays and the posts
/// between.
pub const BAYS_TOLERANCE: Millimetres = Millimetres(15.0);

/// What lies between the end posts of a run, added up along its wires.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AddedUp {
    /// Bays and the posts between.
    pub sum: Millimetres,
    /// Whether every bay was read by itself; else some of it comes from where posts stand.
    pub measured: bool,
}

impl AddedUp {
    /// How far a length may be from it, whether it is cut from or rough, as one for a quote is.
    #[must_use]
    pub fn tolerance(self, rough: bool) -> Millimetres {
        if self.measured && !rough {
            BAYS_TOLERANCE
        } else {
            APART.max(self.sum * APART_SHARE)
        }
    }
}

/// Asks about an inside-to-inside length that contradicts what bays and posts of a run add up to; in
/// one sentence.
///
/// `taken` are other lengths of the run. One that contradicts the sum as well was answered with a yes,
/// which speaks for those that read like it.
#[must_use]
pub fn question_added(
    run: &str,
    length: Millimetres,
    rough: bool,
    added: AddedUp,
    taken: impl IntoIterator<Item = Millimetres>,
) -> Option<String> {
    let AddedUp { sum, measured } = added;
    let tolerance = added.tolerance(rough);
    let apart = |from: Millimetres| (length - from).abs();
    let answered =
        |other: &Millimetres| (*other - sum).abs() > tolerance && apart(*other) <= tolerance;
    if apart(sum) <= tolerance || taken.into_iter().any(|other| answered(&other)) {
        return None;
    }
    let told = if measured {
        format!("Bays and posts of run {run} add up to {sum}")
    } else {
        format!("Where the posts of run {run} stand leaves {sum}")
    };
    Some(format!(
        "{told}, and this length is {length}, {} apart. Was it read rightly?",
        apart(sum)
    ))
}

const MM_PER_INCH: f64 = 25.4;

/// Around 25.4: what was typed may itself be off by a fifth.
const INCHES: RangeInclusive<f64> = 20.0..=30.0;

/// Other units that lengths are typed in for millimetres, how many millimetres one is, and how far
/// off what was typed may itself be: a fifth, as for inches.
const UNITS: [(&str, f64, RangeInclusive<f64>); 2] = [
    ("Metres", 1000.0, 800.0..=1200.0),
    ("Centimetres", 10.0, 8.0..=12.0),
];

/// Usual clear distance of a bay, millimetres: a post stands at least about a foot from the next.
pub const BAY_USUAL: RangeInclusive<f64> = 300.0..=3000.0;

/// Usual inside-to-inside length of a wire, millimetres: from one bay to [`QUESTION_FROM`].
pub const WIRE_USUAL: RangeInclusive<f64> = 300.0..=100_000.0;

/// Usual distance of two neighbouring wires, centre to centre, millimetres.
pub const SPACING_USUAL: RangeInclusive<f64> = 40.0..=150.0;

/// Usual height of the bottom wire above the floor, millimetres.
pub const BOTTOM_USUAL: RangeInclusive<f64> = 20.0..=250.0;

/// Asks about the first figure of its kind, which has nothing beside it, where it is not within what
/// is common for `what`, in millimetres; in one sentence.
#[must_use]
pub fn question_usual(
    what: &str,
    length: Millimetres,
    usual: &RangeInclusive<f64>,
) -> Option<String> {
    (!usual.contains(&length.value())).then(|| {
        format!(
            "{length} is unusual for {what}, where {:.0} to {:.0} mm is common. {}",
            usual.start(),
            usual.end(),
            unit_question(length, usual)
        )
    })
}

/// What to ask of a figure that is not within what is usual: whether inches were meant, where they would
/// be, else whether the unit is right.
#[must_use]
pub fn unit_question(length: Millimetres, usual: &RangeInclusive<f64>) -> String {
    let inches = length * MM_PER_INCH;
    if usual.contains(&inches.value()) {
        format!("Inches? It would be {inches}.")
    } else {
        "Is the unit right?".to_owned()
    }
}

/// Refuses a length that cannot be and asks about one that is unlikely.
///
/// Millimetres. `beside` is what it is held against, none where nothing is known.
///
/// # Errors
/// When the length is not a number, not above zero, or over [`REFUSE_FROM`].
pub fn question_length(
    length: Millimetres,
    beside: Option<Beside<'_>>,
) -> Result<Option<LengthQuestion>, MechanicsError> {
    positive("a length", length)?;
    within("a length", length, 0.0, REFUSE_FROM.value())?;
    let beside = beside.filter(|b| b.length.value().is_finite() && b.length.value() > 0.0);
    if let Some(asked) = beside.and_then(|beside| question_beside(length, beside)) {
        return Ok(Some(asked));
    }
    Ok((length > QUESTION_FROM).then(|| LengthQuestion::VeryLong {
        length,
        sentence: format!(
            "{length} is over {:.0} m. Is it right?",
            QUESTION_FROM.value() / 1e3
        ),
    }))
}

/// Refuses a spread that no reading has and asks about one that is unlikely, in one sentence.
///
/// Millimetres, one standard deviation.
///
/// # Errors
/// When the spread is not a number, below zero, or over [`SPREAD_REFUSED`].
pub fn question_spread(spread: Millimetres) -> Result<Option<String>, MechanicsError> {
    within(
        "the spread of a length",
        spread,
        0.0,
        SPREAD_REFUSED.value(),
    )?;
    Ok((spread > SPREAD_FROM).then(|| {
        format!(
            "A reading that may be off by {spread}: a tape repeats within a few millimetres. Is it \
             right?"
        )
    }))
}

fn question_beside(length: Millimetres, beside: Beside<'_>) -> Option<LengthQuestion> {
    let (name, known) = (beside.name, beside.length);
    let ratio = length / known;
    if INCHES.contains(&ratio.recip()) {
        let perhaps = length * MM_PER_INCH;
        return Some(LengthQuestion::InchesOrMillimetres {
            length,
            perhaps,
            sentence: format!(
                "{length} is {:.0} times less than {name}, {known}. Inches? It would be {perhaps}.",
                ratio.recip()
            ),
        });
    }
    if INCHES.contains(&ratio) {
        let perhaps = length / MM_PER_INCH;
        return Some(LengthQuestion::InchesOrMillimetres {
            length,
            perhaps,
            sentence: format!(
                "{length} is {ratio:.0} times {name}, {known}. Millimetres? It would be {perhaps}. Or \
                 was {name} told in inches?"
            ),
        });
    }
    let unit = UNITS
        .iter()
        .find(|(_, _, about)| about.contains(&ratio.recip()));
    if let Some((unit, per, _)) = unit {
        let perhaps = length * *per;
        return Some(LengthQuestion::MetresOrCentimetres {
            length,
            perhaps,
            sentence: format!(
                "{length} is {:.0} times less than {name}, {known}. {unit}? It would be {perhaps}.",
                ratio.recip()
            ),
        });
    }
    let apart = (length - known).abs();
    if ratio.max(ratio.recip()) > TIMES_APART {
        let times = if ratio > 1.0 {
            format!("{ratio:.0} times {name}, {known}")
        } else {
            format!("{:.0} times less than {name}, {known}", ratio.recip())
        };
        return Some(LengthQuestion::FarOff {
            length,
            apart,
            sentence: format!("{length} is {times}. Is it right?"),
        });
    }
    let far = beside.alike && apart > APART.max(known * APART_SHARE);
    far.then(|| LengthQuestion::FarOff {
        length,
        apart,
        sentence: format!("{length} is {apart} away from {name}, {known}. Is it right?"),
    })
}

/// The middle one of lengths that should be alike, the upper of two; none of none.
#[must_use]
pub fn middle(alike: &[Millimetres]) -> Option<Millimetres> {
    let mut sorted: Vec<_> = alike
        .iter()
        .copied()
        .filter(|length| length.value().is_finite() && length.value() > 0.0)
        .collect();
    sorted.sort_by(|a, b| a.value().total_cmp(&b.value()));
    sorted.get(sorted.len() / 2).copied()
}
