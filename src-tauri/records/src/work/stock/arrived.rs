//! Whether a delivery is there to be cut from: by its arrival, and where none is told by what was
//! promised or ordered.
//!
//! Invariant: a delivery of which neither is told counts as there, and so does one that somebody cut
//! from, unless it came wrong.

use super::{StockItem, StockState};
use crate::job::Job;
use crate::job::things::Batch;
use crate::model::fields;
use crate::model::values::Arrival;
use crate::subject::{ItemKind, Subject};
use crate::work::words;

/// What the record tells of a delivery's coming.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Arrived {
    Here,
    /// Promised, ordered or counted as none; the sentence says which.
    NotCome(String),
    /// Nothing that was counted is right.
    Wrong(String),
    /// People differ on it.
    Disputed(String),
}

/// What one person's count says.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Count {
    Some,
    None,
    Wrong,
}

fn count(arrival: &Arrival) -> Count {
    let counted = arrival.counted_left.saturating_add(arrival.counted_right);
    let wrong = arrival.wrong.unwrap_or_default();
    if wrong > 0 && wrong >= counted {
        Count::Wrong
    } else if counted <= 0 {
        Count::None
    } else {
        Count::Some
    }
}

/// Whether a count says that nothing of a delivery is right.
pub(super) fn is_wrong(arrival: &Arrival) -> bool {
    count(arrival) == Count::Wrong
}

/// Whether a delivery has come; `cut` where strand of it was cut or thrown away.
pub(super) fn arrived(job: &Job<'_>, batch: &Batch, name: &str, cut: bool) -> Arrived {
    let subject = Subject::Item(ItemKind::Batch, batch.id).to_string();
    let fact = job.reader.one(fields::BATCH_ARRIVAL, &subject, "");
    let mut counts: Vec<Count> = fact.values().map(count).collect();
    // Where it was cut from, somebody had it in hand.
    counts.retain(|count| !(cut && *count == Count::None));
    let same = |what: Count| !counts.is_empty() && counts.iter().all(|count| *count == what);
    if same(Count::Wrong) {
        return Arrived::Wrong(format!(
            "{name} is told as wrong on arrival; nothing is planned from it. Correct its arrival under \
             Deliveries if it can be cut from."
        ));
    }
    if same(Count::None) {
        return Arrived::NotCome(format!(
            "None of {name} was counted on arrival; nothing is planned from it. Tell its arrival again \
             under Deliveries when it has come."
        ));
    }
    if counts.iter().any(|count| *count != Count::Some) {
        return Arrived::Disputed(format!(
            "People differ on the arrival of {name}. Settle that first; nothing is planned from it."
        ));
    }
    match awaited(job, batch) {
        Some(how) if counts.is_empty() && !cut => Arrived::NotCome(format!(
            "{name} is {how} and no arrival is told; nothing is planned from it. Tell its arrival under \
             Deliveries when it has come."
        )),
        _ => Arrived::Here,
    }
}

/// "promised for 2027-03-01", "ordered"; none where neither is told.
fn awaited(job: &Job<'_>, batch: &Batch) -> Option<String> {
    let subject = Subject::Item(ItemKind::Batch, batch.id).to_string();
    let promised = job.reader.one(fields::BATCH_PROMISED, &subject, "");
    let days: Vec<String> = promised.values().map(words::day).collect();
    if !days.is_empty() {
        return Some(format!("promised for {}", days.join(" or ")));
    }
    let ordered = job.reader.one(fields::BATCH_ORDERED, &subject, "");
    let any = ordered.values().any(|pieces| *pieces > 0);
    any.then(|| "ordered".to_owned())
}

/// What has not come of some stock, so that it is not ordered twice; none where all is there.
pub(in crate::work) fn not_come<'a>(
    job: &Job<'_>,
    items: impl Iterator<Item = &'a StockItem>,
) -> Option<String> {
    let named = |item: &StockItem| {
        let batch = job.batches.iter().find(|b| Some(b.id) == item.batch)?;
        let metres = item
            .length_mm
            .map(|length| format!("{} m", length / 1000.0));
        let how = awaited(job, batch).unwrap_or_else(|| "none counted on arrival".to_owned());
        let told: Vec<String> = metres.into_iter().chain([how]).collect();
        Some(format!("{} ({})", item.name, told.join(", ")))
    };
    let named: Vec<String> = items
        .filter(|item| item.state == StockState::NotCome)
        .filter_map(named)
        .collect();
    let it = match named.len() {
        0 => return None,
        1 => "it",
        _ => "them",
    };
    Some(format!(
        "Not come by the record: {}. Do not order {it} twice.",
        named.join(", ")
    ))
}
