//! Wires: sample and crimps, template, lengths and cuts, engagement.

use records::job::{Run, Wire, WireLength};
use records::model::values::{CrimpResult, Evidence};
use records::work::{self, CutLine};

use super::reading::Reading;
use super::{Block, Row, Section, section, words};

pub(super) fn crimps(reading: &Reading<'_>) -> Section {
    let mut blocks = Vec::new();
    let rows: Vec<Row> = reading
        .job
        .sample_crimps
        .iter()
        .map(|fact| {
            let size = |p: Option<records::model::values::PressedSize>| {
                p.map_or_else(
                    || "–".into(),
                    |p| {
                        format!(
                            "{} / {}",
                            words::bare_mm(p.first_nm),
                            words::bare_mm(p.second_nm)
                        )
                    },
                )
            };
            let shown = fact.shown();
            let reject = shown.is_some_and(|s| s.result == CrimpResult::Reject);
            Row::of([
                reading.by(fact),
                shown.map_or_else(String::new, |s| words::newtons(s.pull_mn)),
                shown.map_or_else(String::new, |s| format!("{} s", s.held_s)),
                shown.map_or_else(String::new, |s| words::mm(s.mark_moved_nm)),
                size(shown.and_then(|s| s.left)),
                size(shown.and_then(|s| s.right)),
                reading.say(fact, |s| words::crimp(s.result).into()),
            ])
            .marked(reject || fact.blocks())
        })
        .collect();
    if !rows.is_empty() {
        blocks.push(Block::head("Sample crimps"));
        blocks.push(Block::table(
            &[
                "Operator, day",
                "Pull held",
                "For",
                "Mark moved",
                "LH after, mm",
                "RH after, mm",
                "Result",
            ],
            &[2.2, 1.1, 0.8, 1.1, 1.2, 1.2, 1.0],
            rows,
        ));
    }
    for run in &reading.job.runs {
        let rows: Vec<Row> = run
            .wires
            .iter()
            .flat_map(|w| crimp_rows(reading, w, run))
            .collect();
        if !rows.is_empty() {
            blocks.push(Block::head(format!("Run {}", run.name)));
            blocks.push(Block::table(
                &["Wire", "End", "Piece", "Result", "By"],
                &[0.7, 1.0, 0.7, 3.6, 2.2],
                rows,
            ));
        }
        for wire in run.wires.iter().filter(|w| w.piece_number > 1) {
            let why = reading.say(&wire.piece, |p| p.reason.clone());
            blocks.push(Block::text(format!(
                "Wire {}{} was made again (piece {}): {why}",
                run.name, wire.number, wire.piece_number
            )));
        }
    }
    section(
        reading,
        "Sample crimp and crimp list",
        blocks,
        &[Evidence::SampleCrimp, Evidence::Crimps],
    )
}

fn crimp_rows(reading: &Reading<'_>, wire: &Wire, run: &Run) -> Vec<Row> {
    wire.crimps
        .iter()
        .map(|(end, fact)| {
            let piece = fact
                .tips
                .last()
                .and_then(|t| t.with.as_ref())
                .map_or(1, |w| w.piece);
            let reject = fact
                .shown()
                .is_some_and(|c| c.result == CrimpResult::Reject);
            let said = reading.say(fact, |c| {
                let reason = c
                    .reason
                    .as_ref()
                    .map_or_else(String::new, |r| format!(": {r}"));
                format!("{}{reason}", words::crimp(c.result))
            });
            Row::of([
                wire.number.to_string(),
                format!("{} end", post(run, end)),
                piece.to_string(),
                said,
                reading.by(fact),
            ])
            .marked(reject || fact.blocks())
        })
        .collect()
}

fn post(run: &Run, id: &records::ids::ItemId) -> String {
    run.posts
        .iter()
        .find(|p| p.id == *id)
        .map_or_else(|| "?".into(), |p| p.name.clone())
}

pub(super) fn template(reading: &Reading<'_>) -> Section {
    let mut blocks = Vec::new();
    for run in &reading.job.runs {
        let rows: Vec<Row> = run
            .posts
            .iter()
            .flat_map(|p| p.drilled.iter().map(move |(wire, fact)| (p, wire, fact)))
            .map(|(p, wire, fact)| {
                let planned = run
                    .heights
                    .get(usize::try_from(*wire).unwrap_or(usize::MAX))
                    .zip(
                        wire.checked_sub(1)
                            .and_then(|w| run.heights.get(usize::try_from(w).ok()?)),
                    );
                Row::of([
                    p.name.clone(),
                    format!("{wire} to {}", wire + 1),
                    planned.map_or_else(String::new, |(b, a)| words::mm(b.nm - a.nm)),
                    reading.say(fact, |l| words::mm(l.nm)),
                    reading.by(fact),
                ])
                .marked(fact.blocks())
            })
            .collect();
        if !rows.is_empty() {
            blocks.push(Block::head(format!(
                "Run {}: centre to centre as drilled",
                run.name
            )));
            blocks.push(Block::table(
                &["Post", "Wires", "Layout", "As drilled", "By"],
                &[1.0, 1.0, 1.0, 2.0, 2.0],
                rows,
            ));
        }
        let sheet = work::cut_sheet(reading.job, run.id).ok();
        let rows: Vec<Row> = run
            .wires
            .iter()
            .map(|w| {
                let lines = sheet
                    .as_ref()
                    .map(|s| s.lines.as_slice())
                    .unwrap_or_default();
                length_row(reading, w, lines.iter().find(|l| l.wire == w.number))
            })
            .collect();
        if !rows.is_empty() {
            blocks.push(Block::head(format!("Run {}: lengths and cuts", run.name)));
            blocks.push(Block::table(
                &[
                    "Wire",
                    "Inside to inside",
                    "Issued",
                    "Window",
                    "Cut",
                    "Told when issued",
                ],
                &[0.6, 2.4, 1.0, 1.5, 1.0, 3.2],
                rows,
            ));
        }
    }
    section(
        reading,
        "Template check, lengths and cuts",
        blocks,
        &[Evidence::TemplateCheck],
    )
}

fn length_row(reading: &Reading<'_>, wire: &Wire, line: Option<&CutLine>) -> Row {
    let length = match &wire.length {
        WireLength::Cuttable { nm, basis, .. } => {
            format!(
                "{} measured, {}",
                words::mm(*nm),
                plural(basis.len(), "reading")
            )
        }
        WireLength::NotMeasured => line.and_then(|l| Some((l, l.inside_mm?))).map_or_else(
            || "not measured".into(),
            |(l, inside)| {
                let from = words::ranges(&l.interpolated_from);
                format!("{} mm interpolated from {from}", words::number(inside))
            },
        ),
        WireLength::Disputed | WireLength::Newer => wire
            .lengths
            .iter()
            .filter(|f| f.blocks())
            .map(|f| reading.say(f, |l| words::mm(l.nm)))
            .collect::<Vec<_>>()
            .join("; "),
        WireLength::QuoteOnly => "read for a quote only".into(),
        WireLength::TooEarly(state) => format!("read too early: {}", words::post_state(*state)),
    };
    let issued = wire.issued.told();
    let window = wire.issued.value().map_or_else(String::new, |i| {
        format!(
            "{}–{}",
            words::bare_mm(i.shortest_nm),
            words::bare_mm(i.longest_nm)
        )
    });
    let mut told = issued
        .and_then(|t| t.with.as_ref())
        .map_or_else(String::new, words::told);
    let moved = issued.map_or_else(String::new, |t| reading.basis(&t.basis));
    if !moved.is_empty() {
        told = if told.is_empty() {
            moved.clone()
        } else {
            format!("{told}. {moved}")
        };
    }
    let blocked = matches!(wire.length, WireLength::Disputed | WireLength::Newer);
    Row::of([
        wire.number.to_string(),
        length,
        reading.say(&wire.issued, |i| words::mm(i.cut_nm)),
        window,
        reading.say(&wire.cut, |c| words::mm(c.nm)),
        told,
    ])
    .marked(blocked || wire.issued.blocks() || wire.cut.blocks() || !moved.is_empty())
}

fn plural(count: usize, word: &str) -> String {
    if count == 1 {
        format!("1 {word}")
    } else {
        format!("{count} {word}s")
    }
}

pub(super) fn engagement(reading: &Reading<'_>) -> Section {
    let mut blocks = Vec::new();
    for run in &reading.job.runs {
        let Some((left, right)) = run.ends() else {
            continue;
        };
        let mut rows = Vec::new();
        for wire in &run.wires {
            for end in [left, right] {
                let at = |id: &records::ids::ItemId| *id == end.id;
                let hidden = wire.mark_hidden.iter().rev().find(|(id, _)| at(id));
                let thread = wire.thread_left.iter().rev().find(|(id, _)| at(id));
                let turns = wire.turns.iter().rev().find(|(id, _)| at(id));
                if hidden.is_none() && thread.is_none() && turns.is_none() {
                    continue;
                }
                let shows = hidden.is_some_and(|(_, f)| f.value() == Some(&false));
                rows.push(
                    Row::of([
                        wire.number.to_string(),
                        format!("{} end", end.name),
                        hidden.map_or_else(String::new, |(_, f)| {
                            reading.say(f, |h| words::yes(*h).into())
                        }),
                        thread
                            .map_or_else(String::new, |(_, f)| reading.say(f, |l| words::mm(l.nm))),
                        turns.map_or_else(String::new, |(_, f)| {
                            reading.say(f, |t| format!("{} turns {} flats", t.turns, t.flats))
                        }),
                    ])
                    .marked(shows),
                );
            }
        }
        if !rows.is_empty() {
            blocks.push(Block::head(format!("Run {}", run.name)));
            blocks.push(Block::table(
                &["Wire", "End", "Mark hidden", "Thread left", "Turned in"],
                &[0.8, 1.0, 1.2, 1.2, 2.0],
                rows,
            ));
        }
    }
    section(
        reading,
        "Engagement of the threads",
        blocks,
        &[Evidence::Engagement],
    )
}
