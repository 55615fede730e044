//! What people do not agree on, with both sides.

use records::entry::At;
use records::work;

use super::reading::Reading;
use super::{Block, Row, words};

/// Every unsettled value: what it is, and who says what.
pub(super) fn all(reading: &Reading<'_>) -> Vec<String> {
    work::disputes(reading.job)
        .iter()
        .map(|d| {
            let sides: Vec<String> = d.sides.iter().map(said).collect();
            let what = if d.newer {
                "changed by a newer version"
            } else {
                "disputed"
            };
            format!(
                "{}, {}: {what}: {}",
                d.subject_name,
                d.field_name,
                sides.join(" against ")
            )
        })
        .collect()
}

/// What people differed on and settled: both words, and the one that took their place.
pub(super) fn settled(reading: &Reading<'_>) -> Vec<Block> {
    let found = work::settled_disputes(reading.job);
    let rows: Vec<Row> = found
        .iter()
        .map(|one| {
            let sides: Vec<String> = one.sides.iter().map(said).collect();
            let why = match one.reason.is_empty() {
                true => String::new(),
                false => format!("; {}", records::photos::visible(&one.reason, 200)),
            };
            Row::of([
                format!("{}, {}", one.subject_name, one.field_name),
                sides.join(" against "),
                format!("{}{why}", said(&one.by)),
            ])
        })
        .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    vec![
        Block::head("What people differed on, and how it was settled"),
        Block::table(&["About", "Said", "Settled"], &[1.4, 3.2, 3.2], rows),
    ]
}

/// What is said of wires and bays that the layout no longer has.
pub(super) fn no_longer(reading: &Reading<'_>) -> Vec<Block> {
    let found = work::no_longer(reading.job);
    let rows: Vec<Row> = found
        .iter()
        .flat_map(|one| {
            one.said
                .iter()
                .enumerate()
                .map(move |(n, said)| (one, n, said))
        })
        .map(|(one, n, still)| {
            let place = match still.place_name.is_empty() {
                true => String::new(),
                false => format!(", {}", still.place_name),
            };
            let sides: Vec<String> = still.sides.iter().map(said).collect();
            Row::of([
                // Told once, above all that is said of it.
                match (n, one.disputed) {
                    (0, false) => one.name.clone(),
                    (0, true) => format!("{}; people differ on the layout", one.name),
                    _ => String::new(),
                },
                format!("{}{place}", still.field_name),
                sides.join(" against "),
            ])
        })
        .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    vec![
        Block::head("Said of what the layout no longer has"),
        Block::text(
            "It counts for no wire or bay that is there. Strand that was cut for it stays taken from its \
             reel.",
        ),
        Block::table(&["About", "What", "Said"], &[1.8, 2.2, 3.8], rows),
    ]
}

fn said(side: &work::Side) -> String {
    let at = At {
        ms: side.at_ms,
        offset_min: side.offset_min,
        count: 0,
        suspect: side.time_suspect,
    };
    format!("{} ({}, {})", side.value, side.person_name, words::when(at))
}
