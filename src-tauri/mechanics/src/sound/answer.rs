//! What plucks tell together: two of three must agree.
//!
//! Invariant: a tension comes with its band, what each pluck said, and that it is a guide only;
//! no single pluck is an answer. Does not listen.

use serde::{Deserialize, Serialize};

use super::fit::StringFit;
use super::pluck::PluckReading;
use super::refusal::Refusal;
use super::stiff::bending_bounds;
use super::{BUDGET, FreeSpan, GUIDE, WIDE_SLENDERNESS, slenderness};
use crate::error::MechanicsError;
use crate::units::Newtons;

/// Plucks that agree lie within this.
const AGREEMENT: f64 = 0.03;
/// How many of three must agree.
const AGREEING: usize = 2;

/// What the plucks tell.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum SoundAnswer {
    /// A tension, as a guide.
    #[serde(rename_all = "camelCase")]
    Guide {
        /// The reading.
        reading: SoundReading,
    },
    /// No tension.
    #[serde(rename_all = "camelCase")]
    Refused {
        /// Why.
        refusal: Refusal,
        /// What each pluck told, where plucks were looked at; none of them agree.
        plucks: Vec<PluckAnswer>,
    },
}

/// A tension read from plucks: a guide for evening up, never evidence.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct SoundReading {
    /// Mean of the agreeing plucks, ends taken as clamped.
    pub tension: Newtons,
    /// The same, ends taken as pinned: the other side of the bracket.
    pub pinned: Newtons,
    /// Lower edge of the band.
    pub least: Newtons,
    /// Upper edge of the band.
    pub most: Newtons,
    /// Most over least of the agreeing plucks, less one.
    pub apart: f64,
    /// Plucks that agree.
    pub agreeing: usize,
    /// L/√(EI/T) with the largest EI of the strand.
    pub slenderness: f64,
    /// The wire is so short for its stiffness that clamped and pinned lie far apart.
    pub wide: bool,
    /// What each pluck told.
    pub plucks: Vec<PluckAnswer>,
    /// The wire as it was given.
    pub wire: FreeSpan,
    /// What to say beside it: [`GUIDE`].
    pub standing: String,
}

/// One pluck of the three.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum PluckAnswer {
    /// It was read.
    #[serde(rename_all = "camelCase")]
    Read {
        /// What it told.
        reading: PluckReading,
        /// It is one of those that agree.
        agrees: bool,
    },
    /// It was not.
    #[serde(rename_all = "camelCase")]
    Refused {
        /// Why.
        refusal: Refusal,
    },
}

pub(crate) fn combine(
    wire: &FreeSpan,
    answers: Vec<Result<PluckReading, Refusal>>,
) -> Result<SoundAnswer, MechanicsError> {
    let mut tensions: Vec<Newtons> = answers
        .iter()
        .filter_map(|answer| answer.as_ref().ok())
        .map(|reading| reading.fit.clamped)
        .collect();
    tensions.sort_by(|a, b| a.value().total_cmp(&b.value()));
    let needed = AGREEING.max(answers.len() / 2 + 1);
    let told = |agrees: &dyn Fn(&PluckReading) -> bool| -> Vec<PluckAnswer> {
        answers
            .iter()
            .map(|answer| match answer {
                Ok(reading) => PluckAnswer::Read {
                    agrees: agrees(reading),
                    reading: reading.clone(),
                },
                Err(refusal) => PluckAnswer::Refused { refusal: *refusal },
            })
            .collect()
    };
    let alone = |_: &PluckReading| false;
    if tensions.len() < needed {
        let refusal = Refusal::TooFewRead {
            read: tensions.len(),
            needed,
        };
        return Ok(refused(refusal, told(&alone)));
    }
    let Some((least, most)) = widest_agreement(&tensions, needed) else {
        let apart = match (tensions.first(), tensions.last()) {
            (Some(first), Some(last)) => *last / *first - 1.0,
            _ => 0.0,
        };
        let refusal = Refusal::PlucksDisagree {
            apart,
            limit: AGREEMENT,
        };
        return Ok(refused(refusal, told(&alone)));
    };
    let agrees = |reading: &PluckReading| (least..=most).contains(&reading.fit.clamped);
    let agreeing: Vec<&PluckReading> = answers
        .iter()
        .filter_map(|answer| answer.as_ref().ok())
        .filter(|reading| agrees(reading))
        .collect();
    let count = agreeing.len() as f64;
    let mean = |of: fn(&StringFit) -> Newtons| {
        agreeing
            .iter()
            .map(|reading| of(&reading.fit))
            .sum::<Newtons>()
            / count
    };
    let (tension, pinned) = (mean(|fit| fit.clamped), mean(|fit| fit.pinned));
    let bounds = bending_bounds(wire.diameter, wire.construction)?;
    let slenderness = slenderness(wire, &bounds, tension);
    let reading = SoundReading {
        tension,
        pinned,
        least: tension * (1.0 - BUDGET),
        most: pinned.max(tension * (1.0 + BUDGET)),
        apart: most / least - 1.0,
        agreeing: agreeing.len(),
        slenderness,
        wide: slenderness < WIDE_SLENDERNESS,
        plucks: told(&agrees),
        wire: *wire,
        standing: GUIDE.to_owned(),
    };
    Ok(SoundAnswer::Guide { reading })
}

/// Least and most of the largest group of sorted tensions within the agreement, if large enough.
fn widest_agreement(sorted: &[Newtons], needed: usize) -> Option<(Newtons, Newtons)> {
    let mut best: Option<(usize, Newtons, Newtons)> = None;
    for (index, least) in sorted.iter().enumerate() {
        let group = sorted
            .iter()
            .skip(index)
            .take_while(|tension| **tension / *least <= 1.0 + AGREEMENT);
        let (count, most) = group.fold((0, *least), |(count, _), tension| (count + 1, *tension));
        if count >= needed && best.is_none_or(|(larger, _, _)| count > larger) {
            best = Some((count, *least, most));
        }
    }
    best.map(|(_, least, most)| (least, most))
}

pub(crate) fn refused(refusal: Refusal, plucks: Vec<PluckAnswer>) -> SoundAnswer {
    SoundAnswer::Refused { refusal, plucks }
}
