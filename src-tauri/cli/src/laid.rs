//! Proposals for a run's wires: what may be asked, and how the answer is told at a terminal.
//!
//! It prints what the proposals say and computes nothing.

use api::ErrorCode;
use records::work::{LayoutProposals, RowOutcome};
use serde_json::{Value, json};

use crate::print;

/// Letters of one line.
const LONGEST: usize = 4_000;

/// What a layout is to keep.
#[derive(Debug, clap::Args)]
pub(crate) struct Wishes {
    /// Underside of the rail, where it is not the recorded one.
    #[arg(long)]
    rail: Option<String>,
    /// Height of the bottom wire's middle.
    #[arg(long)]
    bottom: Option<String>,
    /// Least to keep before the next row of the table.
    #[arg(long)]
    in_hand: Option<String>,
    /// Widest spacing wanted, square to the wires, whatever row it reads; where the rule set has no table it stands
    /// in place of a row and is needed.
    #[arg(long)]
    widest: Option<String>,
    /// How far a tread stands out over the riser below it.
    #[arg(long)]
    overhang: Option<String>,
    /// Lengths are typed in inches, and heights stand on sixteenths.
    #[arg(long)]
    inches: bool,
}

impl Wishes {
    /// The same as the command takes it.
    pub(crate) fn request(&self) -> Value {
        let unit = if self.inches { "in" } else { "mm" };
        let mut request = json!({ "unit": unit });
        for (name, text) in [
            ("rail", &self.rail),
            ("bottom", &self.bottom),
            ("inHand", &self.in_hand),
            ("widest", &self.widest),
            ("overhang", &self.overhang),
        ] {
            if let (Some(text), Some(fields)) = (text, request.as_object_mut()) {
                fields.insert(name.to_owned(), json!({ "text": text, "unit": unit }));
            }
        }
        request
    }
}

/// The proposals as lines; an answer of another shape is shown as it is.
pub(crate) fn text(answer: &Value) -> String {
    match serde_json::from_value::<LayoutProposals>(answer.clone()) {
        Ok(found) => lines(&found),
        Err(_) => print::plain(answer),
    }
}

/// Nothing proposed, for the exit code.
pub(crate) fn fault(answer: &Value) -> Option<(ErrorCode, &'static str)> {
    let none = answer.get("proposals").and_then(Value::as_array);
    none.is_some_and(Vec::is_empty).then_some((
        ErrorCode::Fault,
        "Nothing could be proposed; what is missing or to be asked first is told above.",
    ))
}

fn lines(found: &LayoutProposals) -> String {
    let mut said = vec![format!("Run {}", found.run_name)];
    if let Some(set) = &found.rule_set {
        said.push(set.title.clone());
        said.extend(set.changed.clone());
        said.extend(set.out_of_date.clone());
    }
    said.extend(
        found
            .ask_first
            .iter()
            .map(|ask| format!("Ask first: {ask}")),
    );
    said.extend(found.missing.iter().map(|what| format!("Missing: {what}")));
    for proposal in &found.proposals {
        let allowed = match proposal.outcome {
            RowOutcome::NotAllowed => "Not allowed: ",
            _ => "",
        };
        said.push(format!("{allowed}{}", proposal.sentence));
        if proposal.sphere_passes {
            said.push("  The rule set's sphere passes at rest.".to_owned());
        }
        let beside = proposal
            .bays
            .iter()
            .map(|bay| &bay.sentence)
            .chain(proposal.shared_posts.iter().map(|post| &post.sentence))
            .chain(proposal.stair.iter().map(|stair| &stair.sentence))
            .chain(proposal.floor_sentence.iter())
            .chain(proposal.rail_sentence.iter());
        said.extend(beside.map(|sentence| format!("  {sentence}")));
        said.extend(proposal.doubt.iter().map(|doubt| format!("  {doubt}")));
    }
    said.extend(found.notes.iter().cloned());
    // Names of others may not move the cursor or turn the reading direction.
    let lines: Vec<String> = said
        .iter()
        .map(|line| records::photos::visible(line, LONGEST))
        .collect();
    lines.join("\n")
}
