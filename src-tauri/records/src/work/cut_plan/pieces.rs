//! Which wires may be cut now, and why the others may not.

use std::collections::{BTreeMap, BTreeSet};

use super::{NotReady, names};
use crate::ids::ItemId;
use crate::job::{Job, Run, Wire};
use crate::model::bounds;
use crate::model::values::{Act, Hand};
use crate::work::convert::ends_of;
use crate::work::cuts::{CutLine, Issued, cut_sheet};
use crate::work::{stock, words};

/// A wire that may be cut.
#[derive(Clone, Debug)]
pub(super) struct Ready {
    pub(super) run: ItemId,
    pub(super) strand: Option<ItemId>,
    pub(super) wire: u32,
    pub(super) piece: u32,
    /// Unlike that of any other piece.
    pub(super) name: String,
    pub(super) end: String,
    pub(super) cut_mm: f64,
    /// Shortest and longest, as told with the release.
    pub(super) window_mm: (f64, f64),
    pub(super) trial: bool,
}

/// Wires that are not cut.
pub(super) struct Found {
    /// Run by run, from the bottom.
    pub(super) ready: Vec<Ready>,
    pub(super) not_ready: Vec<NotReady>,
    /// Length of those not ready, for each strand.
    pub(super) not_ready_mm: BTreeMap<Option<ItemId>, f64>,
}

pub(super) fn pieces(job: &Job<'_>) -> Found {
    let mut found = Found {
        ready: Vec::new(),
        not_ready: Vec::new(),
        not_ready_mm: BTreeMap::new(),
    };
    let mut taken = BTreeSet::new();
    for run in &job.runs {
        let sheet = match cut_sheet(job, run.id) {
            Ok(sheet) => sheet,
            Err(error) => {
                found.not_ready.push(NotReady {
                    run: run.id,
                    wires: Vec::new(),
                    names: format!("run {}", run.name),
                    reason: format!("{error}."),
                });
                continue;
            }
        };
        let end = first_end(job, run);
        let mut lines: Vec<&CutLine> = sheet.lines.iter().collect();
        lines.sort_by_key(|line| line.wire);
        let mut reasons: Vec<(String, Vec<u32>)> = Vec::new();
        for line in lines {
            let Some(wire) = run.wire(line.wire) else {
                continue;
            };
            match ready(run, wire, line) {
                Some(Ok(issued)) => found.ready.push(Ready {
                    run: run.id,
                    strand: run.strand,
                    wire: line.wire,
                    piece: line.piece,
                    name: apart(
                        &mut taken,
                        stock::piece_name(job, run.id, line.wire, line.piece),
                    ),
                    end: end.clone(),
                    cut_mm: issued.cut_mm,
                    window_mm: (issued.shortest_mm, issued.longest_mm),
                    trial: line.trial,
                }),
                Some(Err(reason)) => {
                    let length = line.issued.as_ref().map(|i| i.cut_mm).or(line.aim_mm);
                    *found.not_ready_mm.entry(run.strand).or_default() += length.unwrap_or(0.0);
                    match reasons.iter_mut().find(|(known, _)| *known == reason) {
                        Some((_, wires)) => wires.push(line.wire),
                        None => reasons.push((reason, vec![line.wire])),
                    }
                }
                None => {}
            }
        }
        found
            .not_ready
            .extend(reasons.into_iter().map(|(reason, wires)| NotReady {
                run: run.id,
                names: names(&run.name, &wires),
                wires,
                reason,
            }));
    }
    found
}

/// The release to cut by, or why it can't be cut now; none where it is cut.
fn ready<'a>(run: &Run, wire: &Wire, line: &'a CutLine) -> Option<Result<&'a Issued, String>> {
    let no = |reason: &str| Some(Err(reason.to_owned()));
    if wire.piece.blocks() {
        return no("People differ on which piece of strand is in place. Settle that first.");
    }
    if wire.cut.blocks() {
        return no("People differ on how it was cut. Settle that first.");
    }
    if wire.cut.value().is_some() || wire.has(Act::Cut) {
        return None;
    }
    if let Some(refused) = &line.refused {
        return no(&refused.sentence);
    }
    if wire.issued.blocks() {
        return no("People differ on the length that was released. Settle that first.");
    }
    let Some(issued) = &line.issued else {
        return no(&format!(
            "Not released for cutting yet. Release it on the cut sheet of run {}.",
            run.name
        ));
    };
    if let Some(outside) = &line.outside {
        return no(outside);
    }
    if let Some(moved) = &issued.moved {
        return no(&format!(
            "{}. Look at the cut sheet and release it again.",
            bounds::capital(moved)
        ));
    }
    Some(Ok(issued))
}

/// The first end of a run's wires with its hand, or its kind where it has no thread: "A1:LH", "A1:eye".
pub(super) fn first_end(job: &Job<'_>, run: &Run) -> String {
    let (Some(ends), Some((first, _))) = (ends_of(job, run), run.ends()) else {
        return String::new();
    };
    let what = match (ends.first.kind.has_thread(), ends.first.hand) {
        (true, Hand::Left) => "LH",
        (true, Hand::Right) => "RH",
        (false, _) => words::end_kind(ends.first.kind),
    };
    format!("{}:{what}", first.name)
}

fn apart(taken: &mut BTreeSet<String>, bare: String) -> String {
    let mut name = bare.clone();
    let mut count = 1;
    while !taken.insert(name.clone()) {
        count += 1;
        name = format!("{bare} no {count}");
    }
    name
}
