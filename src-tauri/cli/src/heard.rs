//! Wires that were heard: what is asked of them, and the answer for people.
//!
//! It prints what the answer says and computes nothing.

use std::path::Path;

use api::{ApiError, ErrorCode};
use records::model::values::{Method, Stage};
use records::work::{EvenUp, Evenness, Heard};
use serde_json::{Value, json};

use crate::choose::Choose;
use crate::print;
use crate::shared::{OfJob, whole};

/// Which wire was heard, and how.
#[derive(Debug, clap::Args)]
pub(crate) struct OfHeard {
    /// The run, by name or id.
    run: String,
    /// Number of the wire from the bottom.
    wire: u32,
    /// Length of the span from pinch to pinch, in millimetres.
    #[arg(long, value_name = "MM")]
    length: String,
    /// How the wire is held at the ends of the span.
    #[arg(long, value_parser = ["pinched", "sleeved", "loose"])]
    held: Option<String>,
    /// Mass of one metre of the strand in grams, as weighed; else it is computed.
    #[arg(long, value_name = "G")]
    grams_per_metre: Option<String>,
    /// Keeps the reading with its recordings, as read in this bay (such as A2-A3).
    #[arg(long, value_name = "BAY")]
    keep: Option<String>,
    /// The round that it is kept in.
    #[arg(long, default_value = "pass", value_parser = ["pass", "final", "recheck"])]
    stage: String,
    /// Number of the pass.
    #[arg(long, default_value_t = 1)]
    pass: u32,
    #[command(flatten)]
    of: OfJob,
}

/// What is asked of a wire that was heard: told alone, or kept where a bay is named.
pub(crate) fn asked(
    heard: &OfHeard,
    by: Value,
    choose: &dyn Choose,
) -> Result<(&'static str, Value), ApiError> {
    let job = choose.job(heard.of.job.as_deref())?;
    let run = choose.run(&job, &heard.run)?;
    let mut hear = json!({
        "job": job, "run": run, "wire": heard.wire, "length": { "text": heard.length }, "by": by,
    });
    if let Some(fields) = hear.as_object_mut() {
        for (name, text) in [
            ("held", &heard.held),
            ("gramsPerMetre", &heard.grams_per_metre),
        ] {
            if let Some(text) = text {
                fields.insert(name.to_owned(), text.as_str().into());
            }
        }
    }
    let Some(bay) = &heard.keep else {
        return Ok(("hear", hear));
    };
    let mut round = json!({ "bay": choose.bay(&job, &run, bay)?, "stage": heard.stage });
    if let (true, Some(fields)) = (heard.stage == "pass", round.as_object_mut()) {
        fields.insert("pass".to_owned(), heard.pass.into());
    }
    Ok(("keepHeard", json!({ "heard": hear, "round": round })))
}

pub(crate) fn file(path: &Path) -> Result<Value, ApiError> {
    Ok(json!({ "kind": "file", "path": whole(path)? }))
}

/// The answer as lines; one of another shape is shown as it is.
pub(crate) fn text(answer: &Value) -> String {
    if let Ok(even) = serde_json::from_value::<EvenUp>(answer.clone()) {
        return even_lines(&even);
    }
    let kept = answer.get("heard");
    let Ok(heard) = serde_json::from_value::<Heard>(kept.unwrap_or(answer).clone()) else {
        return print::plain(answer);
    };
    let mut text = heard_lines(&heard);
    if kept.is_some() {
        text.push_str("Kept, with its recordings. It counts against no table.\n");
    }
    text
}

/// A sound that tells nothing is a fault of the recording, for the exit code.
pub(crate) fn fault(answer: &Value) -> Option<(ErrorCode, &'static str)> {
    answer
        .get("refused")
        .is_some_and(Value::is_object)
        .then_some((
            ErrorCode::Fault,
            "No tension is told; why, and what to do, stands above. Nothing was saved.",
        ))
}

fn heard_lines(heard: &Heard) -> String {
    let mut text = format!("{}\n", heard.sentence);
    for pluck in &heard.plucks {
        let told = match (&pluck.refused, pluck.newtons) {
            (Some(why), _) => format!("{} {}", why.reason, why.remedy),
            (None, Some(n)) if pluck.agrees => format!("heard, {n:.0} N"),
            (None, Some(n)) => format!("heard, {n:.0} N by itself"),
            (None, None) => "heard".to_owned(),
        };
        text.push_str(&format!("  pluck {}: {told}\n", pluck.number));
    }
    for note in &heard.notes {
        text.push_str(&format!("  {note}\n"));
    }
    for number in &heard.numbers {
        text.push_str(&format!(
            "  {}: {} ({})\n",
            number.name, number.value, number.origin
        ));
    }
    text.push_str(&format!("{}\n", heard.caution));
    text
}

fn even_lines(even: &EvenUp) -> String {
    let mut text = format!("Run {}\n", even.run_name);
    if even.groups.is_empty() {
        text.push_str("No wire was heard yet.\n");
    }
    for group in &even.groups {
        let by = match group.method {
            Method::HungPhone => "hung phone",
            _ => "sound",
        };
        let when = match (group.stage, group.pass) {
            (Stage::Pass, Some(pass)) => format!("pass {pass}"),
            (Stage::Pass, None) => "a pass".to_owned(),
            (Stage::Final, _) => "the last round".to_owned(),
            (Stage::Recheck, _) => "a recheck".to_owned(),
        };
        text.push_str(&format!(
            "Bay {}, by {by} in {when}: {}\n",
            group.bay_name, group.sentence
        ));
        for line in &group.lines {
            let word = match line.evenness {
                Evenness::Tighter => "  tighter",
                Evenness::Slacker => "  slacker",
                Evenness::Alike => "",
            };
            text.push_str(&format!(
                "{:<5}{:>7.0} N{:>+5.0} %{word}\n",
                line.name,
                line.newtons,
                line.over * 100.0
            ));
        }
        for line in &group.again {
            text.push_str(&format!(
                "{:<5}{:>7.0} N  hear it again\n",
                line.name, line.newtons
            ));
        }
    }
    text.push_str(&format!("{}\n", even.caution));
    text
}
