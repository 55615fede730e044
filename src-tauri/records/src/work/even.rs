//! The wires of a run beside one another, by what was heard of them: which is tighter, which slacker.
//!
//! Invariant: only readings of one method in one bay are compared, on the piece that is in place,
//! each wire by what stands of it (`repeats`). It says nothing of what a wire needs.

use mechanics::Newtons;
use mechanics::sound::even;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::convert::run_of;
use super::heard::CAUTION;
use super::{WorkError, repeats};
use crate::ids::ItemId;
use crate::job::{Fact, Job, Run, Wire};
use crate::model::context::TensionRead;
use crate::model::values::{Force, Method};
use crate::subject::Subject;

/// How a wire stands beside the middle one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum Evenness {
    /// Tighter than the middle one.
    Tighter,
    /// Slacker than the middle one.
    Slacker,
    /// About as tight.
    Alike,
}

/// One wire.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct EvenLine {
    /// Number from the bottom.
    pub wire: u32,
    /// "A6".
    pub name: String,
    /// As heard.
    pub newtons: f64,
    /// Share over the middle one; -0.1 is a tenth below.
    pub over: f64,
    /// What that means.
    pub evenness: Evenness,
    /// One sentence.
    pub sentence: String,
}

/// Wires that were heard alike: by one method in one bay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct EvenGroup {
    /// Sound or hung phone.
    pub method: Method,
    /// The bay as a place: `<post>:<post>`.
    pub bay: String,
    /// The bay's name.
    pub bay_name: String,
    /// Median of the wires; none while fewer than three were heard.
    pub median_n: Option<f64>,
    /// Wires from the bottom; empty while fewer than three were heard.
    pub lines: Vec<EvenLine>,
    /// How many were heard.
    pub heard: usize,
    /// One sentence on the whole.
    pub sentence: String,
}

/// How even the wires of a run are.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct EvenUp {
    /// The run.
    pub run: ItemId,
    /// Its name.
    pub run_name: String,
    /// What was heard alike; most wires first.
    pub groups: Vec<EvenGroup>,
    /// What to say beside it.
    pub caution: String,
}

/// Compares the wires of a run by what was heard of them.
///
/// # Errors
/// When the run is unknown or a figure can't be.
pub fn even_up(job: &Job<'_>, run: ItemId) -> Result<EvenUp, WorkError> {
    let run = run_of(job, run)?;
    let mut places: Vec<(Method, &str)> = run
        .wires
        .iter()
        .flat_map(|wire| wire.tensions.iter().filter(|(_, f)| heard_now(wire, f)))
        .filter_map(|(bay, fact)| Some((method_of(fact)?, bay.as_str())))
        .collect();
    places.sort_unstable();
    places.dedup();
    let mut groups = Vec::new();
    for (method, bay) in places {
        groups.push(group(job, run, method, bay)?);
    }
    groups.sort_by_key(|group| std::cmp::Reverse(group.heard));
    Ok(EvenUp {
        run: run.id,
        run_name: run.name.clone(),
        groups,
        caution: CAUTION.to_owned(),
    })
}

fn group(job: &Job<'_>, run: &Run, method: Method, bay: &str) -> Result<EvenGroup, WorkError> {
    let mut wires = Vec::new();
    for wire in &run.wires {
        let facts: Vec<&Fact<Force, TensionRead>> = wire
            .tensions
            .iter()
            .filter(|(at, fact)| at == bay && heard_now(wire, fact))
            .filter(|(_, fact)| method_of(fact) == Some(method))
            .map(|(_, fact)| fact)
            .collect();
        let stand = repeats::standing(job, &facts, |_| ());
        let newtons: Vec<f64> = stand
            .iter()
            .filter_map(|fact| Some(fact.value()?.as_newtons()))
            .collect();
        let count = u32::try_from(newtons.len()).unwrap_or(0);
        if count > 0 {
            // Heard apart by two people, nobody saying which came later: both speak.
            wires.push((wire.number, newtons.iter().sum::<f64>() / f64::from(count)));
        }
    }
    let tensions: Vec<Newtons> = wires.iter().map(|(_, n)| Newtons(*n)).collect();
    let compared = even::even_up(&tensions)?;
    let lines: Vec<EvenLine> = compared.as_ref().map_or_else(Vec::new, |found| {
        wires
            .iter()
            .zip(&found.wires)
            .map(|((wire, newtons), (over, evenness))| line(run, *wire, *newtons, *over, *evenness))
            .collect()
    });
    let subject = format!("bay:{bay}").parse::<Subject>().ok();
    let bay_name = subject.map_or_else(
        || "bay not told".to_owned(),
        |subject| job.name_of(&subject).replacen("bay ", "", 1),
    );
    Ok(EvenGroup {
        method,
        bay: bay.to_owned(),
        sentence: whole(&lines, wires.len()),
        bay_name,
        median_n: compared.map(|found| found.median.value()),
        heard: wires.len(),
        lines,
    })
}

fn line(run: &Run, wire: u32, newtons: f64, over: f64, evenness: even::Evenness) -> EvenLine {
    let name = format!("{}{wire}", run.name);
    let percent = (over * 100.0).abs();
    let (evenness, sentence) = match evenness {
        even::Evenness::Tighter => (
            Evenness::Tighter,
            format!("{name} is {percent:.0} % tighter than the middle one."),
        ),
        even::Evenness::Slacker => (
            Evenness::Slacker,
            format!("{name} is {percent:.0} % slacker than the middle one."),
        ),
        even::Evenness::Alike => (Evenness::Alike, format!("{name} is about as tight.")),
    };
    EvenLine {
        wire,
        name,
        newtons,
        over,
        evenness,
        sentence,
    }
}

fn whole(lines: &[EvenLine], heard: usize) -> String {
    if lines.is_empty() {
        return format!(
            "{heard} heard. From {} wires in one bay on they are compared.",
            even::FEWEST
        );
    }
    let of = |evenness: Evenness| {
        let names = lines.iter().filter(|l| l.evenness == evenness);
        names
            .map(|l| l.name.as_str())
            .collect::<Vec<_>>()
            .join(", ")
    };
    let (tight, slack) = (of(Evenness::Tighter), of(Evenness::Slacker));
    let within = even::ALIKE * 100.0;
    match (tight.is_empty(), slack.is_empty()) {
        (true, true) => format!("All {heard} are alike within {within:.0} % of the middle one."),
        (false, true) => format!("Tighter than the others: {tight}."),
        (true, false) => format!("Slacker than the others: {slack}."),
        (false, false) => {
            format!("Tighter than the others: {tight}. Slacker than the others: {slack}.")
        }
    }
}

/// Whether a reading is by sound or hung phone and on the piece in place.
fn heard_now(wire: &Wire, fact: &Fact<Force, TensionRead>) -> bool {
    let with = fact.tips.last().and_then(|told| told.with.as_ref());
    with.is_some_and(|w| w.piece == wire.piece_number)
        && method_of(fact).is_some()
        && fact.value().is_some()
}

fn method_of(fact: &Fact<Force, TensionRead>) -> Option<Method> {
    let method = fact.tips.last()?.with.as_ref()?.method;
    matches!(method, Method::Sound | Method::HungPhone).then_some(method)
}
