//! The wires of a run beside one another, by what was heard of them: which is tighter, which slacker.
//!
//! Invariant: only readings taken alike are compared: of one method, in one bay, in one stage and pass, on the
//! piece that is in place, each wire by what stands of it (`repeats`) and by nothing that it was before. A wire
//! that was brought up or turned after it was heard is to be heard again and is judged by nothing. It says nothing
//! of what a wire needs.

use std::collections::{BTreeMap, BTreeSet};

use mechanics::Newtons;
use mechanics::sound::even;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::convert::run_of;
use super::heard::CAUTION;
use super::readings::{BroughtUp, finishes, last_pass};
use super::repeats::Line;
use super::{WorkError, repeats};
use crate::clock;
use crate::ids::ItemId;
use crate::job::{Fact, Job, Run, Wire};
use crate::model::context::TensionRead;
use crate::model::values::{Force, Method, Stage};
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

/// A wire that was turned since it was heard: it is judged by nothing until it is heard again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct HearAgain {
    /// Number from the bottom.
    pub wire: u32,
    /// "A6".
    pub name: String,
    /// As heard before it was turned.
    pub newtons: f64,
    /// One sentence.
    pub sentence: String,
}

/// Wires that were heard alike: by one method in one bay, in one stage and pass.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct EvenGroup {
    /// Sound or hung phone.
    pub method: Method,
    /// The bay as a place: `<post>:<post>`.
    pub bay: String,
    /// The bay's name.
    pub bay_name: String,
    /// Where in the work they were heard.
    pub stage: Stage,
    /// Number of the pass, where it was one.
    pub pass: Option<u32>,
    /// Median of the wires; none while fewer than three were heard.
    pub median_n: Option<f64>,
    /// Wires from the bottom; empty while fewer than three were heard.
    pub lines: Vec<EvenLine>,
    /// Wires from the bottom that were turned since they were heard, or may have been.
    pub again: Vec<HearAgain>,
    /// How many were heard and not turned since.
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
    let mut heard: BTreeMap<Alike<'_>, Vec<OfWire>> = BTreeMap::new();
    let up = BroughtUp::of(job, run);
    for wire in &run.wires {
        for (alike, one) in standing_of(job, wire, &up) {
            heard.entry(alike).or_default().push(one);
        }
    }
    let mut groups = Vec::with_capacity(heard.len());
    for (alike, wires) in heard {
        groups.push(group(job, run, alike, &wires)?);
    }
    groups.sort_by_key(|group| std::cmp::Reverse(group.heard));
    Ok(EvenUp {
        run: run.id,
        run_name: run.name.clone(),
        groups,
        caution: CAUTION.to_owned(),
    })
}

/// What readings share that are compared.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Alike<'a> {
    method: Method,
    bay: &'a str,
    stage: Stage,
    pass: Option<u32>,
}

/// What stands of one wire in a group.
struct OfWire {
    number: u32,
    newtons: f64,
    days: BTreeSet<String>,
    /// Wires that were turned or brought up since, itself among them where it was.
    turned: Vec<u32>,
}

impl OfWire {
    fn holds(&self) -> bool {
        !self.turned.contains(&self.number)
    }
}

/// One word on what was heard.
struct Word {
    newtons: f64,
    day: Option<String>,
    turned: Vec<u32>,
}

/// What stands of a wire by each method in each bay, with what it is alike to. Heard apart by two people, nobody
/// saying which came later, both speak; where the wire was turned after one of them only, the other.
fn standing_of<'a>(job: &Job<'_>, wire: &'a Wire, up: &BroughtUp) -> Vec<(Alike<'a>, OfWire)> {
    let now = wire.tensions.iter().filter(|(_, f)| heard_now(wire, f));
    let mut at: BTreeMap<(Method, &str), Vec<&Fact<Force, TensionRead>>> = BTreeMap::new();
    for (bay, fact) in now {
        if let Some(method) = method_of(fact) {
            at.entry((method, bay.as_str())).or_default().push(fact);
        }
    }
    let mut found: BTreeMap<Alike<'a>, Vec<Word>> = BTreeMap::new();
    for ((method, bay), facts) in at {
        for fact in repeats::standing(job, &facts, |_| ()) {
            let told = fact.tips.last();
            let with = told.and_then(|told| told.with.as_ref());
            let (Some(value), Some(told), Some(with)) = (fact.value(), told, with) else {
                continue;
            };
            let (stage, pass) = (with.stage, with.pass);
            let alike = Alike {
                method,
                bay,
                stage,
                pass,
            };
            let one = Word {
                newtons: value.as_newtons(),
                day: clock::day(told.at),
                turned: up.after_heard(job, &Line::of(job, told), (stage, pass)),
            };
            found.entry(alike).or_default().push(one);
        }
    }
    let each = found.into_iter().map(|(alike, mut of)| {
        let holds = |word: &Word| !word.turned.contains(&wire.number);
        if of.iter().any(holds) {
            of.retain(holds);
        }
        let count = f64::from(u32::try_from(of.len()).unwrap_or(u32::MAX));
        let turned: BTreeSet<u32> = of.iter().flat_map(|word| &word.turned).copied().collect();
        let one = OfWire {
            number: wire.number,
            newtons: of.iter().map(|word| word.newtons).sum::<f64>() / count,
            days: of.into_iter().filter_map(|word| word.day).collect(),
            turned: turned.into_iter().collect(),
        };
        (alike, one)
    });
    each.collect()
}

fn group(
    job: &Job<'_>,
    run: &Run,
    alike: Alike<'_>,
    wires: &[OfWire],
) -> Result<EvenGroup, WorkError> {
    let (wires, again): (Vec<&OfWire>, Vec<&OfWire>) = wires.iter().partition(|one| one.holds());
    let tensions: Vec<Newtons> = wires.iter().map(|one| Newtons(one.newtons)).collect();
    let compared = even::even_up(&tensions)?;
    let lines: Vec<EvenLine> = compared.as_ref().map_or_else(Vec::new, |found| {
        let each = wires.iter().zip(&found.wires);
        each.map(|(one, (over, evenness))| line(run, one.number, one.newtons, *over, *evenness))
            .collect()
    });
    let again: Vec<HearAgain> = again.into_iter().map(|one| hear_again(run, one)).collect();
    let told = [
        whole(&lines, wires.len(), again.len()),
        turned_since(&again),
        others_turned(run, alike, &wires),
    ];
    let told: Vec<String> = told.into_iter().flatten().collect();
    let subject = format!("bay:{}", alike.bay).parse::<Subject>().ok();
    let bay_name = subject.map_or_else(
        || "bay not told".to_owned(),
        |subject| job.name_of(&subject).replacen("bay ", "", 1),
    );
    let days: BTreeSet<&String> = wires.iter().flat_map(|one| &one.days).collect();
    let apart = match (days.first(), days.last()) {
        (Some(first), Some(last)) if first != last => format!(
            " They were heard from {first} to {last}, and all of them move with the temperature: hear them in \
             one go."
        ),
        _ => String::new(),
    };
    Ok(EvenGroup {
        method: alike.method,
        bay: alike.bay.to_owned(),
        sentence: told.join(" ") + &apart,
        bay_name,
        stage: alike.stage,
        pass: alike.pass,
        median_n: compared.map(|found| found.median.value()),
        heard: wires.len(),
        again,
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

fn hear_again(run: &Run, one: &OfWire) -> HearAgain {
    let name = format!("{}{}", run.name, one.number);
    HearAgain {
        wire: one.number,
        sentence: format!("{name} was turned since it was heard: hear it again."),
        name,
        newtons: one.newtons,
    }
}

/// The wires that were turned since they were heard; none where none was.
fn turned_since(again: &[HearAgain]) -> Option<String> {
    match again {
        [] => None,
        [one] => Some(one.sentence.clone()),
        all => {
            let names: Vec<&str> = all.iter().map(|one| one.name.as_str()).collect();
            Some(format!(
                "{} were turned since they were heard: hear them again.",
                names.join(", ")
            ))
        }
    }
}

/// Wires that were heard at their set tension or in a recheck before others of the run were turned, which takes
/// tension from them or gives it; on the way up every wire is.
fn others_turned(run: &Run, alike: Alike<'_>, wires: &[&OfWire]) -> Option<String> {
    let at_set = alike.stage == Stage::Recheck || finishes(alike.stage, alike.pass, last_pass(run));
    let before: Vec<&&OfWire> = wires.iter().filter(|one| !one.turned.is_empty()).collect();
    let turned: BTreeSet<u32> = before.iter().flat_map(|one| &one.turned).copied().collect();
    let named = |wires: &mut dyn Iterator<Item = u32>| {
        let names: Vec<String> = wires.map(|wire| format!("{}{wire}", run.name)).collect();
        names.join(", ")
    };
    (at_set && !before.is_empty()).then(|| {
        let (was, it) = match before.len() {
            1 => ("was", "it"),
            _ => ("were", "them"),
        };
        format!(
            "Other wires ({}) were turned after {} {was} heard: hear {it} again.",
            named(&mut turned.iter().copied()),
            named(&mut before.iter().map(|one| one.number))
        )
    })
}

fn whole(lines: &[EvenLine], heard: usize, again: usize) -> Option<String> {
    (heard > 0 || again == 0).then(|| beside(lines, heard))
}

fn beside(lines: &[EvenLine], heard: usize) -> String {
    if lines.is_empty() {
        return format!(
            "{heard} heard. From {} wires heard alike on, in one bay and pass, they are compared.",
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
