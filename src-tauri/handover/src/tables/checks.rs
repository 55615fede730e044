//! Rows of the checks: sample crimps, crimps, ends, hung masses, and the tools that they were made
//! with.

use records::ids::{Hash, ItemId};
use records::job::{Fact, Job, Run, Wire};
use records::model::context::{CrimpRead, OnPiece};
use records::model::values::{Force, Length, PressedSize};

use super::rows::{bay, each, head, mm, newtons, number, post, tool};
use super::{Cell, Table};
use crate::tell::words;

fn batch(job: &Job<'_>, id: Option<ItemId>) -> Cell {
    id.and_then(|id| job.batches.iter().find(|b| b.id == id))
        .map(|b| b.name.clone())
        .into()
}

/// Press, die and delivery.
fn pressed(job: &Job<'_>, with: Option<&CrimpRead>) -> [Cell; 3] {
    [
        tool(job, with.and_then(|w| w.press)),
        tool(job, with.and_then(|w| w.die)),
        batch(job, with.and_then(|w| w.batch)),
    ]
}

/// Sample crimps, numbered as the crimps refer to them.
pub(crate) fn samples(job: &Job<'_>) -> Table {
    let mut rows = Vec::new();
    for (at, fact) in (1_u32..).zip(&job.sample_crimps) {
        rows.extend(each(job, fact, |value, with| {
            let axes = |size: Option<PressedSize>| match size {
                Some(size) => [mm(size.first_nm).into(), mm(size.second_nm).into()],
                None => [Cell::Empty, Cell::Empty],
            };
            let mut cells = vec![number(at)];
            cells.extend(pressed(job, with));
            cells.extend([
                value.map_or(Cell::Empty, |v| newtons(Force { mn: v.pull_mn })),
                value.map_or(Cell::Empty, |v| number(v.held_s)),
                value.map(|v| mm(v.mark_moved_nm)).into(),
            ]);
            cells.extend(axes(value.and_then(|v| v.left)));
            cells.extend(axes(value.and_then(|v| v.right)));
            cells.push(value.map_or("", |v| words::crimp(v.result)).into());
            cells
        }));
    }
    Table {
        name: "sample-crimps",
        title: "Sample crimps",
        head: head(&[
            "sample",
            "press",
            "die",
            "batch",
            "pull_n",
            "held_s",
            "mark_moved_mm",
            "left_first_mm",
            "left_second_mm",
            "right_first_mm",
            "right_second_mm",
            "result",
        ]),
        rows,
    }
}

/// Crimps of every end, with the sample that each refers to.
pub(crate) fn crimps(job: &Job<'_>) -> Table {
    let sample = |id: Option<Hash>| {
        let of = |id: Hash| {
            let known = |fact: &Fact<_, _>| fact.tips.iter().any(|t| t.id == id);
            job.sample_crimps.iter().position(known)
        };
        let at = id.and_then(of).and_then(|at| i64::try_from(at).ok());
        at.map_or(Cell::Empty, |at| number(at + 1))
    };
    let mut rows = Vec::new();
    for run in &job.runs {
        for wire in &run.wires {
            for (end, fact) in &wire.crimps {
                rows.extend(each(job, fact, |value, with| {
                    let mut cells = vec![
                        run.name.clone().into(),
                        number(wire.number),
                        number(with.map_or(1, |w| w.piece)),
                        post(run, end),
                        value.map_or("", |v| words::crimp(v.result)).into(),
                        value.and_then(|v| v.reason.clone()).into(),
                        sample(with.and_then(|w| w.sample)),
                    ];
                    cells.extend(pressed(job, with));
                    cells
                }));
            }
        }
    }
    Table {
        name: "crimps",
        title: "Crimps",
        head: head(&[
            "run", "wire", "piece", "end", "result", "reason", "sample", "press", "die", "batch",
        ]),
        rows,
    }
}

/// What was read at the ends of wires, each reading a row.
pub(crate) fn ends(job: &Job<'_>) -> Table {
    let mut rows = Vec::new();
    for run in &job.runs {
        for wire in &run.wires {
            let at = At { job, run, wire };
            let yes = |told: Option<&bool>| [told.map(|t| words::yes(*t)).into(), Cell::Empty];
            let length = |told: Option<&Length>| [Cell::Empty, told.copied().into()];
            rows.extend(at.read("mark hidden", &wire.mark_hidden, yes));
            rows.extend(at.read("lock nut tight", &wire.nut_tight, yes));
            rows.extend(at.read("wire end out", &wire.end_out, length));
            rows.extend(at.read("thread left", &wire.thread_left, length));
            rows.extend(at.read("mark moved", &wire.mark_moved, length));
            for (end, fact) in &wire.turns {
                rows.extend(each(job, fact, |value, with| {
                    let mut cells = at.place("turned in", end, with);
                    cells.extend([Cell::Empty, Cell::Empty]);
                    cells.push(value.map_or(Cell::Empty, |v| number(v.turns)));
                    cells.push(value.map_or(Cell::Empty, |v| number(v.flats)));
                    cells.push(at.towards(with));
                    cells
                }));
            }
        }
    }
    Table {
        name: "ends",
        title: "Ends as read",
        head: head(&[
            "run",
            "wire",
            "piece",
            "end",
            "what",
            "yes_or_no",
            "length_mm",
            "turns",
            "flats",
            "towards_n",
        ]),
        rows,
    }
}

/// A wire whose ends were read.
struct At<'a> {
    job: &'a Job<'a>,
    run: &'a Run,
    wire: &'a Wire,
}

impl At<'_> {
    fn place(&self, what: &str, end: &ItemId, with: Option<&OnPiece>) -> Vec<Cell> {
        vec![
            self.run.name.clone().into(),
            number(self.wire.number),
            number(with.map_or(1, |w| w.piece)),
            post(self.run, end),
            what.into(),
        ]
    }

    /// The tension towards which an end was turned.
    fn towards(&self, with: Option<&OnPiece>) -> Cell {
        with.and_then(|w| w.to_mn)
            .map_or(Cell::Empty, |mn| newtons(Force { mn }))
    }

    fn read<T>(
        &self,
        what: &str,
        facts: &[(ItemId, Fact<T, OnPiece>)],
        cells: impl Fn(Option<&T>) -> [Cell; 2],
    ) -> Vec<Vec<Cell>> {
        let of = |(end, fact): &(ItemId, Fact<T, OnPiece>)| {
            each(self.job, fact, |value, with| {
                let mut row = self.place(what, end, with);
                row.extend(cells(value));
                row.extend([Cell::Empty, Cell::Empty, Cell::Empty]);
                row
            })
        };
        facts.iter().flat_map(of).collect()
    }
}

/// Masses that were hung on wires, and how far these went down.
pub(crate) fn hung(job: &Job<'_>) -> Table {
    let mut rows = Vec::new();
    for run in &job.runs {
        for wire in &run.wires {
            for (place, fact) in &wire.deflections {
                rows.extend(each(job, fact, |value, with| {
                    vec![
                        run.name.clone().into(),
                        number(wire.number),
                        number(with.map_or(1, |w| w.piece)),
                        bay(run, place),
                        with.map_or("", |w| words::stage(w.stage)).into(),
                        value.map_or(Cell::Empty, |v| grams(v.mass_mg)),
                        value.map(|v| mm(v.nm)).into(),
                    ]
                }));
            }
        }
    }
    Table {
        name: "hung-mass",
        title: "Wires under a hung mass",
        head: head(&["run", "wire", "piece", "bay", "stage", "mass_g", "down_mm"]),
        rows,
    }
}

#[allow(clippy::cast_precision_loss)] // at most 10⁹ mg
fn grams(mg: i64) -> Cell {
    Cell::Number(mg as f64 / 1000.0)
}

/// Tools with their dates.
pub(crate) fn tools(job: &Job<'_>) -> Table {
    let of = |force: Option<Force>| force.map_or(Cell::Empty, newtons);
    let rows = job.tools.iter().map(|t| {
        #[allow(clippy::cast_precision_loss)] // at most 5000
        let percent = t.error_per_10000.map(|e| Cell::Number(e as f64 / 100.0));
        vec![
            t.name.clone().into(),
            t.kind.map_or("", words::tool).into(),
            t.range.clone().into(),
            of(t.range_from),
            of(t.range_to),
            percent.unwrap_or(Cell::Empty),
            t.size.into(),
            t.mass_mg.map_or(Cell::Empty, grams),
            t.reference.map_or("", words::reference).into(),
            words::date(t.compared_on.as_ref()).into(),
            t.compared_with.clone().into(),
            words::date(t.due.as_ref()).into(),
            t.certificate.clone().into(),
        ]
    });
    Table {
        name: "tools",
        title: "Tools with their dates",
        head: vec![
            "tool",
            "kind",
            "range",
            "range_from_n",
            "range_to_n",
            "error_percent",
            "size_mm",
            "mass_g",
            "counts_from",
            "compared_on",
            "compared_with",
            "due",
            "certificate",
        ],
        rows: rows.collect(),
    }
}
