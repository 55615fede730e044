//! Tables of what the record asks for: every part counted, every hole.
//!
//! From the same functions that the screens ask; no row is an entry, so none has a person.

use records::job::Job;
use records::work;

use super::{Cell, Table};
use crate::tell::words;

/// Hundredths of a millimetre: below that a computed figure says nothing.
fn mm(mm: f64) -> Cell {
    Cell::Number((mm * 100.0).round() / 100.0)
}

fn whole(n: u32) -> Cell {
    Cell::Number(f64::from(n))
}

/// The rule set that all of it is held against, and what its users changed of it.
pub(crate) fn rule_set(job: &Job<'_>) -> Table {
    let mut rows = Vec::new();
    if let Ok(Some(set)) = work::rules(job) {
        rows.push(vec![
            set.title.into(),
            set.document.into(),
            set.edition.into(),
            work::changed_rules(job).into(),
        ]);
    }
    Table {
        name: "rule-set",
        title: "Rule set of the job, and what its users changed of it",
        head: vec!["rule_set", "document", "edition", "changed"],
        rows,
    }
}

/// Every part, each hand apart, with its allowances; strand in millimetres.
pub(crate) fn take_off(job: &Job<'_>) -> Table {
    let mut rows = Vec::new();
    if let Ok(counted) = work::take_off(job) {
        for line in counted.lines {
            rows.push(vec![
                line.part.into(),
                line.hand.map_or("", words::hand).into(),
                "pieces".into(),
                whole(line.needed),
                whole(line.sample),
                whole(line.scrap),
                whole(line.over),
                whole(line.total),
                line.basis.into(),
            ]);
        }
        for strand in counted.strands {
            rows.push(vec![
                strand.name.into(),
                "".into(),
                "mm".into(),
                mm(strand.cuts_mm),
                mm(strand.sample_mm),
                mm(strand.scrap_mm),
                Cell::Empty,
                mm(strand.total_mm),
                words::cuts_from(strand.cuts_from).into(),
            ]);
        }
    }
    Table {
        name: "take-off",
        title: "Every part counted",
        head: vec![
            "part",
            "hand",
            "unit",
            "needed",
            "sample",
            "scrap",
            "over",
            "total",
            "counted_from",
        ],
        rows,
    }
}

/// Holes by run, post, face and wire.
pub(crate) fn holes(job: &Job<'_>) -> Table {
    let mut rows = Vec::new();
    for run in &job.runs {
        let Ok(schedule) = work::hole_schedule(job, run.id) else {
            continue;
        };
        rows.extend(schedule.holes.into_iter().map(|hole| {
            vec![
                run.name.clone().into(),
                hole.post_name.into(),
                hole.face.into(),
                whole(hole.wire),
                mm(hole.height_mm),
                mm(hole.diameter_mm),
                mm(hole.depth_mm),
                words::yes(hole.through).into(),
                hole.hand.map_or("", words::hand).into(),
                mm(hole.rise_deg),
                mm(hole.aside_mm),
                hole.planned_below_mm.map_or(Cell::Empty, mm),
                hole.planned_below_square_mm.map_or(Cell::Empty, mm),
                hole.drilled_below_mm.map_or(Cell::Empty, mm),
            ]
        }));
    }
    Table {
        name: "holes",
        title: "Holes of every post face",
        head: vec![
            "run",
            "post",
            "face",
            "wire",
            "height_mm",
            "diameter_mm",
            "depth_mm",
            "through",
            "hand",
            "rise_deg",
            "right_of_middle_mm",
            "planned_to_wire_below_mm",
            "planned_square_mm",
            "drilled_to_wire_below_mm",
        ],
        rows,
    }
}
