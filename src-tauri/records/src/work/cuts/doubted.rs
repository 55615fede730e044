//! Chances of cuts that rest on a length which is asked about.
//!
//! Invariant: a chance counts a length as read rightly but for its tape, so beside a length that is off
//! its neighbours' line or contradicts the bays none is told that would comfort. One that warns stays.

use super::release::SLIM;
use super::{CHANCE, CutSheet};
use crate::work::ToCut;

/// Stands in a chance's place where none is told.
pub(in crate::work) const NONE_TOLD: &str = "none told";

/// Takes the chance from every wire that is still to be cut from a doubted length, and says of which.
pub(super) fn untell(sheet: &mut CutSheet, against: &ToCut) -> Option<String> {
    let doubted = || against.questions.iter().flat_map(|asked| &asked.lengths);
    let mut names = Vec::new();
    for line in sheet.lines.iter_mut().filter(|l| l.cut_done_mm.is_none()) {
        let rests = |on: &u32| *on == line.wire || line.interpolated_from.contains(on);
        if !doubted().any(rests) {
            continue;
        }
        let comforts = |chance: &Option<f64>| chance.is_some_and(|chance| chance >= SLIM);
        if comforts(&line.chance) {
            (line.chance, line.chance_words) = (None, None);
            let told = line.numbers.iter_mut().find(|n| n.name == CHANCE);
            if let Some(told) = told {
                NONE_TOLD.clone_into(&mut told.value);
                told.origin = "a length that it rests on is asked about".to_owned();
            }
            names.push((line.wire, line.name.clone()));
        }
        if let Some(learned) = line.learned.as_mut().filter(|l| comforts(&l.chance)) {
            learned.chance = None;
            NONE_TOLD.clone_into(&mut learned.chance_words);
        }
    }
    names.sort();
    let names: Vec<String> = names.into_iter().map(|(_, name)| name).collect();
    (!names.is_empty()).then(|| {
        format!(
            "No chance is told of {}: each rests on a length that is asked about.",
            names.join(", ")
        )
    })
}
