//! A fitting set in one paragraph: each figure with where it is from, those of one origin together.

use records::job::things::JobFittingSet;
use records::library::origins_apart;
use records::model::context::{Said, Terminal};
use records::model::values::{Length, Terminals};
use records::model::{Field, fields};
use records::subject::{ItemKind, Subject};
use serde::de::DeserializeOwned;

use crate::tell::reading::Reading;
use crate::tell::words;

/// Figures of a terminal in the order of the document, each where its kind has it.
const FIGURES: &[(&str, &str)] = &[
    ("overallNm", "overall"),
    ("mouthNm", "face to mouth"),
    ("insertionNm", "wire in"),
    ("growthNm", "growth on pressing"),
    ("threadNm", "thread"),
    ("threadDiameterNm", "thread diameter"),
    ("pitchNm", "pitch"),
    ("leastEngagementNm", "least engaged"),
    ("startNm", "caught by hand at"),
    ("reserveNm", "kept for later"),
    ("lockNutNm", "lock nut"),
    ("washerNm", "washer"),
    ("holeNm", "hole"),
    ("holeDepthNm", "depth of the hole"),
    ("clearDepthNm", "clear depth in the insert"),
    ("seatNm", "angled seat"),
];

const NOT_TOLD: &str = "origin not told";

/// The set with its terminals.
pub(super) fn told(reading: &Reading<'_>, set: &JobFittingSet, terminals: &Terminals) -> String {
    let left = (&terminals.left, figures(terminals, &terminals.left, "left"));
    let right = (
        &terminals.right,
        figures(terminals, &terminals.right, "right"),
    );
    let mut parts = if left.0.kind == right.0.kind && left.1 == right.1 {
        let hands = match left.0.kind.has_thread() {
            true => format!(
                "{} and {} ",
                words::hand(left.0.hand),
                words::hand(right.0.hand)
            ),
            false => "both ends ".to_owned(),
        };
        vec![format!("{hands}{}: {}", words::end(left.0.kind), left.1)]
    } else {
        let one = |(of, figures): (&Terminal, String)| {
            let hand = match of.kind.has_thread() {
                true => format!("{} ", words::hand(of.hand)),
                false => String::new(),
            };
            format!("{hand}{}: {figures}", words::end(of.kind))
        };
        vec![one(left), one(right)]
    };
    parts.extend(of_set(reading, set, terminals));
    parts.extend(
        set.driver
            .as_ref()
            .map(|d| format!("Inserts driven in with: {d}")),
    );
    format!("Fitting set {}. {}.", set.name, parts.join(". "))
}

/// Figures of one terminal: "overall 72 mm, wire in 32 mm (sheet 7); lock nut 3.2 mm (measured)". One without an
/// origin of its own is from where the set's are as a whole.
fn figures(terminals: &Terminals, of: &Terminal, which: &str) -> String {
    let mut groups: Vec<(&str, Vec<String>)> = Vec::new();
    for (name, called) in FIGURES {
        let Some(nm) = of.told(name) else { continue };
        let own = terminals.origins.get(&format!("{which}.{name}"));
        let origin = own.unwrap_or(&terminals.origin).as_str();
        // Of a pitch in turns of an inch the last places count.
        let told = match *name {
            "pitchNm" => format!("{called} {} mm", Length { nm }.as_mm()),
            _ => format!("{called} {}", words::mm(nm)),
        };
        match groups.iter_mut().find(|(known, _)| *known == origin) {
            Some((_, figures)) => figures.push(told),
            None => groups.push((origin, vec![told])),
        }
    }
    let told =
        |(origin, figures): (&str, Vec<String>)| format!("{} ({origin})", figures.join(", "));
    let told: Vec<String> = groups.into_iter().map(told).collect();
    told.join("; ")
}

/// What the set has beside its terminals, a sentence each.
fn of_set(reading: &Reading<'_>, set: &JobFittingSet, terminals: &Terminals) -> Vec<String> {
    let subject = Subject::Item(ItemKind::FittingSet, set.id).to_string();
    let ahead = terminals.unequal_start_nm.map(|nm| {
        let own = terminals.origins.get("unequalStartNm");
        let origin = own.unwrap_or(&terminals.origin);
        format!(
            "One end ahead of the other at the start {} ({origin})",
            words::mm(nm)
        )
    });
    let hole = set.through_hole.map(|hole| {
        let from = origin(reading, fields::FITTING_THROUGH_HOLE, &subject);
        format!("Hole through posts {} ({from})", words::mm(hole.nm))
    });
    let efficiency = set.efficiency.map(|of| {
        let from = origin(reading, fields::FITTING_EFFICIENCY, &subject);
        let hundredths = |n: i64, unit: f64| f64::from(i32::try_from(n).unwrap_or(0)) / unit;
        let (share, factor) = (
            hundredths(of.permille, 1000.0),
            hundredths(of.factor_percent, 100.0),
        );
        match origins_apart(&from) {
            Some((efficiency, of_factor)) => {
                format!("Terminal efficiency {share} ({efficiency}), factor {factor} ({of_factor})")
            }
            None => format!("Terminal efficiency {share}, factor {factor} (both figures: {from})"),
        }
    });
    let pull = set.insert_pull.map(|pull| {
        let from = origin(reading, fields::FITTING_INSERT_PULL, &subject);
        format!(
            "Pull that an insert holds {} ({from})",
            words::newtons(pull.mn)
        )
    });
    let limit: records::job::Fact<records::model::values::Force, Said> =
        reading
            .job
            .reader
            .one(fields::FITTING_THREAD_LIMIT, &subject, "");
    let limit = limit.value().map(|limit| {
        let from = origin(reading, fields::FITTING_THREAD_LIMIT, &subject);
        format!(
            "Load that the thread may carry {} ({from})",
            words::newtons(limit.mn)
        )
    });
    [ahead, hole, efficiency, pull, limit]
        .into_iter()
        .flatten()
        .collect()
}

/// Where a figure is from, as whoever said it last told it.
fn origin<T: DeserializeOwned>(
    reading: &Reading<'_>,
    field: Field<T, Said>,
    subject: &str,
) -> String {
    let fact = reading.job.reader.one(field, subject, "");
    let said = fact.told().and_then(|told| told.with.as_ref());
    let told = said.and_then(|said| said.origin.as_deref()).map(str::trim);
    told.filter(|told| !told.is_empty())
        .unwrap_or(NOT_TOLD)
        .to_owned()
}
