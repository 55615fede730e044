//! Questions about wires that one act is about: asked all at once, answered by one yes, and kept with
//! each wire.

use records::work::few_wires;

use crate::ApiError;

/// What only a person can answer about one wire.
pub(super) struct Question {
    /// Its name.
    pub(super) wire: String,
    pub(super) what: String,
}

/// Asks all at once that an act and its wires leave open, alike questions once, and ends with `last`.
pub(super) fn ask_of_wires(
    of_act: &[String],
    of_wires: &[&Question],
    last: &str,
) -> Result<(), ApiError> {
    let mut alike: Vec<(&str, Vec<String>)> = Vec::new();
    for question in of_wires {
        match alike.iter_mut().find(|(what, _)| *what == question.what) {
            Some((_, wires)) => wires.push(question.wire.clone()),
            None => alike.push((&question.what, vec![question.wire.clone()])),
        }
    }
    let of_wires = alike.iter().filter_map(|(what, wires)| {
        let (which, _) = few_wires(wires)?;
        Some(format!("{which}: {what}"))
    });
    let mut all: Vec<String> = of_act.iter().cloned().chain(of_wires).collect();
    if !all.is_empty() {
        all.push(last.to_owned());
    }
    super::ask(all)
}

/// What is kept with a wire of the questions that were answered with a yes; none where none was asked.
pub(super) fn answered(of_act: &[String], of_wire: &[Question]) -> Option<String> {
    let of_wire = of_wire.iter().map(|question| &question.what);
    let all: Vec<&str> = of_act.iter().chain(of_wire).map(String::as_str).collect();
    (!all.is_empty()).then(|| format!("Asked: {} Kept all the same.", all.join(" ")))
}
