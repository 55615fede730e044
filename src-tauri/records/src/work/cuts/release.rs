//! A release for cutting: the figures of the sheet as told, by the deduction that was chosen.
//!
//! Invariant: the figures of the deduction that was not chosen are told beside those that were,
//! and a release after a trial wire rests on what was read of it, whichever was chosen.

use mechanics::cutting::shown_chance;

use super::{CutLine, CutSheet};
use crate::ids::Hash;
use crate::model::context::Number;
use crate::model::values::{CutIssue, DeductionBy, Length};
use crate::work::words;

/// Under which name a release keeps the chance.
pub(in crate::work) const CHANCE: &str = "chance to end inside the window";

/// What is recorded for a wire that is released.
#[derive(Clone, Debug, PartialEq)]
pub struct Release {
    /// Length and window.
    pub issue: CutIssue,
    /// The numbers as told.
    pub numbers: Vec<Number>,
    /// Claims that they rest on.
    pub basis: Vec<Hash>,
}

/// The release of one line; none where the line has no cut by that deduction.
#[must_use]
pub fn release(sheet: &CutSheet, line: &CutLine, by: Option<DeductionBy>) -> Option<Release> {
    let (aim, shortest, longest) = figures(line, by)?;
    let nm = |mm: f64| Length::from_mm(mm).nm;
    let mut numbers = line.numbers.clone();
    let mut basis = line.basis.clone();
    if let (Some(by), Some(taught)) = (by, &sheet.taught) {
        let more = taught.basis.iter().filter(|id| !line.basis.contains(id));
        basis.extend(more);
        let other = match by {
            DeductionBy::Computed => DeductionBy::Learned,
            DeductionBy::Learned => {
                as_learned(&mut numbers, line, &taught.from);
                DeductionBy::Computed
            }
        };
        numbers.extend(not_chosen(line, other, &taught.told));
    }
    Some(Release {
        issue: CutIssue {
            cut_nm: nm(aim),
            shortest_nm: nm(shortest),
            longest_nm: nm(longest),
            deduction: by.filter(|_| sheet.taught.is_some()),
        },
        numbers,
        basis,
    })
}

/// Below this a cut's chance is asked about before it is released: one of five would be lost. A choice
/// of this project; no source gives a figure.
pub(in crate::work) const SLIM: f64 = 0.8;

/// What to ask about a line whose cut, by that deduction, may well end outside its window.
#[must_use]
pub fn slim_chance(line: &CutLine, by: Option<DeductionBy>) -> Option<String> {
    let learned = line.learned.as_ref();
    let learned = learned.filter(|_| by == Some(DeductionBy::Learned));
    let (chance, words) = match learned {
        Some(cut) => (cut.chance, Some(&cut.chance_words)),
        None => (line.chance, line.chance_words.as_ref()),
    };
    let words = words.filter(|_| chance.is_some_and(|chance| chance < SLIM))?;
    Some(format!(
        "The chance of {} to end inside its window is {words}: read its length again, or take a \
         fitting set with more thread.",
        line.name
    ))
}

/// Aim, shortest and longest by a deduction; computed where none is named.
fn figures(line: &CutLine, by: Option<DeductionBy>) -> Option<(f64, f64, f64)> {
    match by {
        Some(DeductionBy::Learned) => {
            let cut = line.learned.as_ref()?;
            Some((cut.aim_mm, cut.shortest_mm, cut.longest_mm))
        }
        _ => Some((line.aim_mm?, line.shortest_mm?, line.longest_mm?)),
    }
}

fn as_learned(numbers: &mut [Number], line: &CutLine, from: &str) {
    let Some(cut) = &line.learned else {
        return;
    };
    let (shortest, longest) = words::window(cut.shortest_mm, cut.longest_mm);
    for number in numbers {
        let value = match number.name.as_str() {
            "shortest cut" => format!("{shortest} mm"),
            "longest cut" => format!("{longest} mm"),
            "cut" => format!("{:.0} mm", cut.aim_mm),
            CHANCE => cut.chance_words.clone(),
            _ => continue,
        };
        number.value = value;
        number.origin = format!("learned from {from}");
    }
}

/// Asked of a wire whose cut as computed was chosen, where what a trial wire taught leaves none or lets the
/// computed one end inside its window with less than four in five; none where nothing is taught, or nothing against it.
#[must_use]
pub fn learned_against(line: &CutLine) -> Option<String> {
    let name = &line.name;
    let Some(learned) = &line.learned else {
        return Some(format!(
            "{} {name}. A trial wire that is right makes the computed cut wrong.",
            LEARNED_HAS_NONE
        ));
    };
    let chance = learned.computed_chance.filter(|chance| *chance < SLIM)?;
    let (shortest, longest) = words::window(learned.shortest_mm, learned.longest_mm);
    Some(format!(
        "{} {name}, {:.0} mm, may well end outside its window: {shortest} to {longest} mm work (chance {}, if what \
         was read is right).",
        LEARNED_ELSEWHERE,
        line.aim_mm?,
        shown_chance(chance)
    ))
}

/// How the two questions begin, before the wire's name: by that a yes is known, whatever the figures are by then.
pub(super) const LEARNED_HAS_NONE: &str = "As learned no cut works for";
pub(super) const LEARNED_ELSEWHERE: &str = "By what the trial wire taught the computed cut of";

const AS_COMPUTED: &str = "cut as computed";

/// The cut that was computed as a wire was released by the learned one, on the tape, millimetres.
pub(super) fn computed_then(numbers: &[Number]) -> Option<f64> {
    let told = numbers.iter().find(|number| number.name == AS_COMPUTED)?;
    told.value.strip_suffix(" mm")?.parse().ok()
}

fn not_chosen(line: &CutLine, other: DeductionBy, told: &str) -> Option<Number> {
    let (aim, ..) = figures(line, Some(other))?;
    let (name, chosen) = match other {
        DeductionBy::Computed => (AS_COMPUTED, "learned"),
        DeductionBy::Learned => ("cut as learned", "computed"),
    };
    Some(Number {
        name: name.to_owned(),
        value: format!("{aim:.0} mm"),
        origin: format!("{told}; the {chosen} deduction was chosen"),
    })
}
