//! Wires: sample and crimps, template, engagement.

use records::ids::ItemId;
use records::job::{Fact as Told, PostInRun, Run, Wire};
use records::model::values::{CrimpResult, Evidence};
use records::work;

use super::reading::Reading;
use super::{Block, Row, Section, by_wires, cautions, cuts, holes, section, words};

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
        let rows = by_wires(run.wires.iter().flat_map(|w| crimp_rows(reading, w, run)));
        if !rows.is_empty() {
            blocks.push(Block::head(format!("Run {}: crimps", run.name)));
            blocks.push(Block::table(
                &["Wires", "End", "Piece", "Result", "By"],
                &[1.4, 1.0, 0.7, 3.2, 2.2],
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
    if !blocks.is_empty() {
        blocks.extend(cautions::replacing());
    }
    section(
        reading,
        "Sample crimp and crimp list",
        blocks,
        &[Evidence::SampleCrimp, Evidence::Crimps],
    )
}

fn crimp_rows(reading: &Reading<'_>, wire: &Wire, run: &Run) -> Vec<(u32, Row)> {
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
            let row = Row::of([
                format!("{} end", post(run, end)),
                piece.to_string(),
                said,
                reading.by(fact),
            ]);
            (wire.number, row.marked(reject || fact.blocks()))
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
        blocks.extend(holes::blocks(reading, run));
        drilled(reading, run, &mut blocks);
        cuts::lengths(reading, run, &mut blocks);
    }
    if !blocks.is_empty() {
        blocks.push(cautions::lengths());
    }
    section(
        reading,
        "Template check, lengths and cuts",
        blocks,
        &[Evidence::TemplateCheck],
    )
}

/// Centre to centre as drilled, where somebody measured it.
fn drilled(reading: &Reading<'_>, run: &Run, blocks: &mut Vec<Block>) {
    let rows: Vec<Row> = run
        .posts
        .iter()
        .flat_map(|post| {
            let measured = post.drilled.iter().map(|(wire, fact)| {
                let row = Row::of([
                    planned(run, *wire),
                    reading.say(fact, |l| words::mm(l.nm)),
                    reading.by(fact),
                ]);
                (*wire, row.marked(fact.blocks()))
            });
            by_wires(measured)
                .into_iter()
                .map(|row| first_cell(post, row))
                .collect::<Vec<_>>()
        })
        .collect();
    if rows.is_empty() {
        return;
    }
    blocks.push(Block::head(format!(
        "Run {}: centre to centre as drilled",
        run.name
    )));
    blocks.push(Block::table(
        &["Post", "Above wire", "Layout", "As drilled", "By"],
        &[1.0, 1.4, 1.0, 2.0, 2.0],
        rows,
    ));
}

fn first_cell(post: &PostInRun, mut row: Row) -> Row {
    row.cells.insert(0, post.name.clone());
    row
}

/// Planned distance from a wire to the one above it.
fn planned(run: &Run, lower: u32) -> String {
    let at = |wire: u32| run.heights.get(usize::try_from(wire.checked_sub(1)?).ok()?);
    at(lower + 1)
        .zip(at(lower))
        .map_or_else(String::new, |(above, below)| words::mm(above.nm - below.nm))
}

/// What stands of an end, on whatever piece it was read.
fn stands<'f, T, C>(
    reading: &Reading<'_>,
    facts: &'f [(ItemId, Told<T, C>)],
    end: &PostInRun,
) -> Vec<&'f Told<T, C>> {
    work::standing_at(reading.job, facts, &end.id, |_| true)
}

fn told<T, C>(facts: &[&Told<T, C>], say: impl Fn(&Told<T, C>) -> String) -> String {
    let all: Vec<String> = facts.iter().map(|f| say(f)).collect();
    all.join(" / ")
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
                let hidden = stands(reading, &wire.mark_hidden, end);
                let thread = stands(reading, &wire.thread_left, end);
                let turns = stands(reading, &wire.turns, end);
                if hidden.is_empty() && thread.is_empty() && turns.is_empty() {
                    continue;
                }
                let shows = hidden.iter().any(|f| f.value() == Some(&false));
                rows.push((
                    wire.number,
                    Row::of([
                        format!("{} end", end.name),
                        told(&hidden, |f| reading.say(f, |h| words::yes(*h).into())),
                        told(&thread, |f| reading.say(f, |l| words::mm(l.nm))),
                        told(&turns, |f| {
                            reading.say(f, |t| format!("{} turns {} flats", t.turns, t.flats))
                        }),
                    ])
                    .marked(shows),
                ));
            }
        }
        if !rows.is_empty() {
            blocks.push(Block::head(format!("Run {}", run.name)));
            blocks.push(Block::table(
                &["Wires", "End", "Mark hidden", "Thread left", "Turned in"],
                &[1.4, 1.0, 1.2, 1.2, 2.0],
                by_wires(rows),
            ));
        }
    }
    if !blocks.is_empty() {
        blocks.push(cautions::threads());
    }
    section(
        reading,
        "Engagement of the threads",
        blocks,
        &[Evidence::Engagement],
    )
}
