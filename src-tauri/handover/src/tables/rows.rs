//! Rows of the tables: lengths, cuts, tensions, gap checks, openings, parts. One file past 400 lines,
//! since the head and the rows of a table are changed together.

use records::ids::{Hash, ItemId};
use records::job::{Fact, Job, Run, Standing, Told};
use records::model::context::{Number, ReadingTold, TensionRead};
use records::model::values::{Arrival, BatchKind, Force};

use super::{Cell, Table};
use crate::tell::words;

pub(super) fn newtons(force: Force) -> Cell {
    Cell::Number(force.as_newtons())
}

pub(super) fn number(n: impl Into<i64>) -> Cell {
    // Counts and small integers only.
    Cell::Number(f64::from(i32::try_from(n.into()).unwrap_or(i32::MAX)))
}

fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Agreed => "agreed",
        other => words::standing(other),
    }
}

/// Columns that every table ends with.
const WHO: [&str; 4] = ["standing", "person", "when", "entry"];

pub(super) fn head(own: &[&'static str]) -> Vec<&'static str> {
    own.iter().chain(&WHO).copied().collect()
}

/// One row for each word that stands on a fact.
pub(super) fn each<T, C>(
    job: &Job<'_>,
    fact: &Fact<T, C>,
    own: impl Fn(Option<&T>, Option<&C>) -> Vec<Cell>,
) -> Vec<Vec<Cell>> {
    fact.tips
        .iter()
        .map(|tip| {
            let mut cells = own(tip.value.as_ref(), tip.with.as_ref());
            cells.extend(who(job, fact.standing, tip));
            cells
        })
        .collect()
}

/// The cells that every row ends with.
pub(super) fn who<T, C>(job: &Job<'_>, stands: Standing, tip: &Told<T, C>) -> [Cell; 4] {
    [
        standing(stands).into(),
        job.reader.person(&tip.person).into(),
        words::when(tip.at).into(),
        entry(&tip.id),
    ]
}

fn entry(id: &Hash) -> Cell {
    id.to_string().into()
}

pub(super) fn tool(job: &Job<'_>, id: Option<ItemId>) -> Cell {
    id.and_then(|id| job.tools.iter().find(|t| t.id == id))
        .map(|t| t.name.clone())
        .into()
}

pub(super) fn post(run: &Run, id: &ItemId) -> Cell {
    run.posts
        .iter()
        .find(|p| p.id == *id)
        .map(|p| p.name.clone())
        .into()
}

pub(super) fn bay(run: &Run, place: &str) -> Cell {
    run.bays
        .iter()
        .find(|b| {
            place == format!("{}:{}", b.left, b.right) || place == format!("{}:{}", b.right, b.left)
        })
        .map(|b| b.name.clone())
        .into()
}

/// Inside to inside at each wire, and clear distances of bays.
pub(crate) fn lengths(job: &Job<'_>) -> Table {
    let mut rows = Vec::new();
    for run in &job.runs {
        for wire in &run.wires {
            for fact in &wire.lengths {
                rows.extend(each(job, fact, |value, with| {
                    let purpose = with.map_or("", |w| match w.purpose {
                        records::model::values::Purpose::Quote => "quote",
                        records::model::values::Purpose::Cut => "cut",
                    });
                    vec![
                        run.name.clone().into(),
                        number(wire.number),
                        Cell::Empty,
                        value.copied().into(),
                        purpose.into(),
                        with.map_or("", |w| words::post_state(w.posts)).into(),
                        with.map_or("", |w| words::faces(w.faces)).into(),
                        with.and_then(|w| w.proud_nm).map(mm).into(),
                        Cell::Empty,
                        with.map_or("", |w| words::instrument(w.instrument)).into(),
                        tool(job, with.and_then(|w| w.tool)),
                        with.and_then(|w| w.spread_nm).map(mm).into(),
                        with.and_then(|w| w.entered.clone()).into(),
                    ]
                }));
            }
        }
        for bay in &run.bays {
            for fact in &bay.readings {
                rows.extend(each(job, fact, |value, with| {
                    vec![
                        run.name.clone().into(),
                        Cell::Empty,
                        bay.name.clone().into(),
                        value.copied().into(),
                        "bay".into(),
                        Cell::Empty,
                        Cell::Empty,
                        Cell::Empty,
                        with.map_or("", |w| words::along(w.along)).into(),
                        with.map_or("", |w| words::instrument(w.instrument)).into(),
                        tool(job, with.and_then(|w| w.tool)),
                        Cell::Empty,
                        with.and_then(|w| w.entered.clone()).into(),
                    ]
                }));
            }
        }
    }
    Table {
        name: "lengths",
        title: "Lengths as read",
        head: head(&[
            "run",
            "wire",
            "bay",
            "length_mm",
            "purpose",
            "posts",
            "faces",
            "proud_mm",
            "along",
            "instrument",
            "tool",
            "spread_mm",
            "as_typed",
        ]),
        rows,
    }
}

/// Releases for cutting with the numbers told, and what was cut.
pub(crate) fn cuts(job: &Job<'_>) -> Table {
    let mut rows = Vec::new();
    for run in &job.runs {
        for wire in &run.wires {
            rows.extend(each(job, &wire.issued, |value, with| {
                vec![
                    run.name.clone().into(),
                    number(wire.number),
                    number(wire.piece_number),
                    "released".into(),
                    value.map(|v| mm(v.cut_nm)).into(),
                    value.map(|v| mm(v.shortest_nm)).into(),
                    value.map(|v| mm(v.longest_nm)).into(),
                    with.map(words::told).into(),
                ]
            }));
            rows.extend(each(job, &wire.cut, |value, _| {
                vec![
                    run.name.clone().into(),
                    number(wire.number),
                    number(wire.piece_number),
                    "cut".into(),
                    value.map(|v| mm(v.nm)).into(),
                    Cell::Empty,
                    Cell::Empty,
                    Cell::Empty,
                ]
            }));
        }
    }
    Table {
        name: "cuts",
        title: "Cuts released and made",
        head: head(&[
            "run",
            "wire",
            "piece",
            "step",
            "length_mm",
            "shortest_mm",
            "longest_mm",
            "told",
        ]),
        rows,
    }
}

pub(super) fn mm(nm: i64) -> records::model::values::Length {
    records::model::values::Length { nm }
}

/// An edge of the band that was told with a reading.
fn edge(with: Option<&TensionRead>, of: impl Fn(&ReadingTold) -> Option<i64>) -> Cell {
    let mn = with.and_then(|w| w.told.as_ref()).and_then(of);
    mn.map_or(Cell::Empty, |mn| newtons(Force { mn }))
}

/// What was told with a reading, one after the other.
fn told(with: Option<&TensionRead>, of: impl Fn(&ReadingTold) -> Vec<String>) -> Cell {
    let all = with.and_then(|w| w.told.as_ref()).map(of);
    all.filter(|all| !all.is_empty())
        .map(|all| all.join("; "))
        .into()
}

fn rests(number: &Number) -> String {
    format!("{} {} ({})", number.name, number.value, number.origin)
}

/// Tension readings of every pass.
pub(crate) fn tensions(job: &Job<'_>) -> Table {
    let mut rows = Vec::new();
    for run in &job.runs {
        for wire in &run.wires {
            for (place, fact) in &wire.tensions {
                rows.extend(each(job, fact, |value, with| {
                    let celsius = |c: Option<i64>| {
                        c.map_or(Cell::Empty, |c| {
                            Cell::Number(f64::from(i32::try_from(c).unwrap_or(0)) / 100.0)
                        })
                    };
                    vec![
                        run.name.clone().into(),
                        number(wire.number),
                        number(with.map_or(1, |w| w.piece)),
                        bay(run, place),
                        value.map_or(Cell::Empty, |f| newtons(*f)),
                        with.map_or("", |w| words::stage(w.stage)).into(),
                        with.and_then(|w| w.pass).map_or(Cell::Empty, number),
                        with.and_then(|w| w.repeat).map_or(Cell::Empty, number),
                        with.map_or("", |w| words::method(w.method)).into(),
                        tool(job, with.and_then(|w| w.gauge)),
                        with.and_then(|w| w.raw.clone()).into(),
                        celsius(with.and_then(|w| w.air_cdeg)),
                        celsius(with.and_then(|w| w.wire_cdeg)),
                        with.and_then(|w| w.sun).map_or("", words::sun).into(),
                        with.and_then(|w| w.chart.clone()).into(),
                        edge(with, |told| told.least_mn),
                        edge(with, |told| told.most_mn),
                        told(with, |told| told.numbers.iter().map(rests).collect()),
                        told(with, |told| {
                            told.recordings.iter().map(ToString::to_string).collect()
                        }),
                    ]
                }));
            }
        }
    }
    Table {
        name: "tension-readings",
        title: "Tension readings",
        head: head(&[
            "run",
            "wire",
            "piece",
            "bay",
            "tension_n",
            "stage",
            "pass",
            "repeat",
            "method",
            "gauge",
            "scale",
            "air_c",
            "wire_c",
            "sun",
            "chart",
            "from_n",
            "to_n",
            "rests_on",
            "recordings_sha256",
        ]),
        rows,
    }
}

/// Gap checks.
pub(crate) fn gaps(job: &Job<'_>) -> Table {
    let mut rows = Vec::new();
    for run in &job.runs {
        for one in &run.bays {
            for (wire, fact) in job.gaps(run.id, &one.subject) {
                rows.extend(each(job, &fact, |value, with| {
                    vec![
                        run.name.clone().into(),
                        one.name.clone().into(),
                        wire.map_or(Cell::Empty, number),
                        with.map(|w| mm(w.probe_nm)).into(),
                        with.and_then(|w| w.push_mn)
                            .map_or(Cell::Empty, |mn| newtons(Force { mn })),
                        value.map_or("", |g| words::probe(g.result)).into(),
                        with.and_then(|w| w.reason.clone()).into(),
                    ]
                }));
            }
        }
    }
    Table {
        name: "gap-checks",
        title: "Gap checks",
        head: head(&[
            "run",
            "bay",
            "above_wire",
            "sphere_mm",
            "push_n",
            "result",
            "remark",
        ]),
        rows,
    }
}

/// Openings as built, and spacings as drilled.
pub(crate) fn openings(job: &Job<'_>) -> Table {
    let mut rows = Vec::new();
    for run in &job.runs {
        for (place, fact) in &run.openings {
            rows.extend(each(job, fact, |value, with| {
                opening(&run.name, Cell::Empty, place, value, with)
            }));
        }
        for at in &run.posts {
            for (place, fact) in &at.openings {
                rows.extend(each(job, fact, |value, with| {
                    opening(&run.name, at.name.clone().into(), place, value, with)
                }));
            }
            for (wire, fact) in &at.drilled {
                rows.extend(each(job, fact, |value, _| {
                    vec![
                        run.name.clone().into(),
                        post(run, &at.id),
                        "centre to centre as drilled".into(),
                        number(*wire),
                        value.copied().into(),
                        Cell::Empty,
                        Cell::Empty,
                        Cell::Empty,
                        Cell::Empty,
                        Cell::Empty,
                    ]
                }));
            }
        }
    }
    Table {
        name: "openings",
        title: "Openings as built",
        head: head(&[
            "run",
            "post",
            "kind",
            "above_wire",
            "size_mm",
            "probe_mm",
            "push_n",
            "result",
            "moment",
            "remark",
        ]),
        rows,
    }
}

fn opening(
    run: &str,
    at: Cell,
    place: &str,
    value: Option<&records::model::values::Opening>,
    with: Option<&records::model::context::OpeningRead>,
) -> Vec<Cell> {
    vec![
        run.into(),
        at,
        with.map_or(place, |w| words::opening(w.kind)).into(),
        Cell::Empty,
        value.map(|v| mm(v.nm)).into(),
        with.and_then(|w| w.probe_nm).map(mm).into(),
        with.and_then(|w| w.push_mn)
            .map_or(Cell::Empty, |mn| newtons(Force { mn })),
        value.and_then(|v| v.result).map_or("", words::probe).into(),
        with.and_then(|w| w.moment)
            .map_or("", words::moment_of)
            .into(),
        with.and_then(|w| w.remark.clone()).into(),
    ]
}

/// Deliveries with what was ordered and counted.
pub(crate) fn parts(job: &Job<'_>) -> Table {
    let rows = job
        .batches
        .iter()
        .map(|b| {
            let arrival = b.arrival.as_ref();
            // A hand is told where there is one: the rest is only counted.
            let handed =
                arrival.filter(|a| b.kind.is_some_and(BatchKind::has_hands) || a.counted_right > 0);
            let of_hand =
                |count: fn(&Arrival) -> i64| handed.map_or(Cell::Empty, |a| number(count(a)));
            vec![
                b.name.clone().into(),
                b.kind.map_or("", words::batch).into(),
                b.grade.clone().into(),
                b.heat.clone().into(),
                b.reel.clone().into(),
                b.lay.clone().into(),
                b.thread.clone().into(),
                b.left_mark.clone().into(),
                words::date(b.promised.as_ref()).into(),
                b.metres
                    .map_or(Cell::Empty, |m| Cell::Number(m.as_mm() / 1000.0)),
                b.ordered.map_or(Cell::Empty, number),
                arrival.map_or(Cell::Empty, |a| number(a.counted_left + a.counted_right)),
                of_hand(|a| a.counted_left),
                of_hand(|a| a.counted_right),
                handed.map(|a| words::yes(a.tried)).into(),
                arrival.and_then(|a| a.short).map_or(Cell::Empty, number),
                arrival.and_then(|a| a.wrong).map_or(Cell::Empty, number),
                arrival.map(|a| a.remark.clone()).into(),
            ]
        })
        .collect();
    Table {
        name: "parts",
        title: "Parts and strand as delivered",
        head: vec![
            "batch",
            "kind",
            "grade",
            "heat",
            "reel",
            "lay",
            "thread",
            "left_mark",
            "promised",
            "metres",
            "ordered_each",
            "counted",
            "counted_left",
            "counted_right",
            "hands_tried",
            "short",
            "wrong",
            "remark",
        ],
        rows,
    }
}
