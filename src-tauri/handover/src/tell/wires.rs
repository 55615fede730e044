//! Wires: sample and crimps, template, engagement.

use records::ids::{Hash, ItemId};
use records::job::{Fact as Told, PostInRun, Run, Wire};
use records::model::context::OnPiece;
use records::model::values::{CrimpResult, Evidence, PressedSize, Turns};
use records::work;

use super::reading::Reading;
use super::{
    Block, Row, Section, by_wires, cautions, cuts, holes, said, second_end, section, words,
};

pub(super) fn crimps(reading: &Reading<'_>) -> Section {
    let mut blocks = Vec::new();
    blocks.extend(samples(reading));
    for run in &reading.job.runs {
        let rows = by_wires(run.wires.iter().flat_map(|w| crimp_rows(reading, w, run)));
        if !rows.is_empty() {
            blocks.push(Block::head(format!("Run {}: crimps", run.name)));
            blocks.push(Block::table(
                &["Wires", "End", "Piece", "Sample", "Batch", "Result", "By"],
                &[1.4, 1.0, 0.7, 1.2, 1.4, 2.8, 2.0],
                rows,
            ));
        }
        for wire in run.wires.iter().filter(|w| w.piece_number > 1) {
            let why = reading.say(&wire.piece, |p| p.reason.clone());
            blocks.push(Block::text(format!(
                "Wire {}{} was made again (piece {}): {why}{}",
                run.name,
                wire.number,
                wire.piece_number,
                taken_out(wire)
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

/// The samples, numbered as the crimps refer to them.
fn samples(reading: &Reading<'_>) -> Vec<Block> {
    let size = |p: Option<PressedSize>| {
        p.map_or_else(|| "–".into(), |p| words::two_sizes(p.first_nm, p.second_nm))
    };
    let tool = |id: Option<ItemId>| {
        let found = id.and_then(|id| reading.job.tools.iter().find(|t| t.id == id));
        found.map(|t| t.name.clone())
    };
    let rows: Vec<Row> = (1..)
        .zip(&reading.job.sample_crimps)
        .map(|(number, fact)| {
            let shown = fact.shown();
            let with = fact.tips.last().and_then(|t| t.with.as_ref());
            let batch = with.and_then(|w| w.batch);
            let batch = batch.and_then(|id| reading.job.batches.iter().find(|b| b.id == id));
            let made: Vec<String> = [
                tool(with.and_then(|w| w.press)),
                tool(with.and_then(|w| w.die)),
                batch.map(|b| b.name.clone()),
            ]
            .into_iter()
            .flatten()
            .collect();
            let reject =
                shown.is_some_and(|s| s.result == CrimpResult::Reject || s.mark_moved_nm > 0);
            Row::of([
                number.to_string(),
                reading.by(fact),
                made.join(", "),
                shown.map_or_else(String::new, |s| {
                    format!("{} for {} s", words::newtons(s.pull_mn), s.held_s)
                }),
                shown.map_or_else(String::new, |s| words::mm(s.mark_moved_nm)),
                size(shown.and_then(|s| s.left)),
                size(shown.and_then(|s| s.right)),
                reading.say(fact, |s| words::crimp(s.result).into()),
            ])
            .marked(reject || fact.blocks())
        })
        .collect();
    if rows.is_empty() {
        return Vec::new();
    }
    vec![
        Block::head("Sample crimps"),
        Block::table(
            &[
                "No.",
                "Operator, day",
                "Press, die, batch",
                "Pull held",
                "Mark moved",
                "LH after, mm",
                "RH after, mm",
                "Result",
            ],
            &[0.4, 1.9, 2.0, 1.4, 1.0, 1.2, 1.2, 0.8],
            rows,
        ),
    ]
}

/// The number of the sample that a crimp refers to.
fn number_of(reading: &Reading<'_>, sample: &Hash) -> String {
    let of = |fact: &Told<_, _>| fact.tips.iter().any(|t| t.id == *sample);
    let at = reading.job.sample_crimps.iter().position(of);
    at.map_or_else(|| "not on record".into(), |at| (at + 1).to_string())
}

/// Why a piece was taken out by the trade's list, and what can't be used again.
fn taken_out(wire: &Wire) -> String {
    let with = wire.piece.tips.last().and_then(|t| t.with.as_ref());
    let cause = with.and_then(|w| w.cause).map(words::taken_out);
    let used: Vec<String> = with
        .and_then(|w| w.used)
        .iter()
        .flat_map(|used| used.counts().collect::<Vec<_>>())
        .map(|(what, count)| words::count(count.into(), what, &format!("{what}s")))
        .collect();
    let mut told = cause.map_or_else(String::new, |cause| format!(". Cause: {cause}"));
    if !used.is_empty() {
        told.push_str(&format!(". Used up: {}", used.join(", ")));
    }
    told
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
            let doubted = work::in_doubt(reading.job, fact);
            let said = if doubted {
                format!("{said}; a sample failed: in doubt")
            } else {
                said
            };
            let with = fact.tips.last().and_then(|t| t.with.as_ref());
            let batch = with.and_then(|w| w.batch);
            let batch = batch.and_then(|id| reading.job.batches.iter().find(|b| b.id == id));
            let row = Row::of([
                format!("{} end", post(run, end)),
                piece.to_string(),
                with.and_then(|w| w.sample)
                    .map_or_else(String::new, |sample| number_of(reading, &sample)),
                batch.map_or_else(String::new, |b| b.name.clone()),
                said,
                reading.by(fact),
            ]);
            (wire.number, row.marked(reject || doubted || fact.blocks()))
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

/// Sixths in a turn.
const FLATS: i64 = 6;

/// How far an end was turned in: turnings towards a tension are added up, from what was last read there
/// on where it was; what was read last stands as read.
fn turned_in(reading: &Reading<'_>, wire: &Wire, end: &PostInRun) -> String {
    let turning = |fact: &Told<Turns, OnPiece>| {
        let with = fact.told().and_then(|told| told.with.as_ref());
        with.is_some_and(|with| with.to_mn.is_some() && with.piece == wire.piece_number)
    };
    let last = stands(reading, &wire.turns, end);
    if !last.iter().any(|fact| turning(fact)) {
        let told_as = |t: &Turns| format!("{} turns {} flats", t.turns, t.flats);
        return told(&last, |fact| reading.say(fact, told_as));
    }
    let at_end = wire.turns.iter().filter(|(at, _)| *at == end.id);
    let agreed: Vec<_> = at_end
        .filter_map(|(_, fact)| Some((fact, fact.told()?, fact.value()?)))
        .filter(|(_, told, _)| told.with.as_ref().map_or(1, |with| with.piece) == wire.piece_number)
        .collect();
    let read = agreed.iter().filter(|(fact, ..)| !turning(fact));
    let read = read.max_by_key(|(_, told, _)| told.at.ms);
    let since = read.map_or(i64::MIN, |(_, told, _)| told.at.ms);
    let all: Vec<&Turns> = agreed
        .iter()
        .filter(|(fact, told, _)| turning(fact) && told.at.ms > since)
        .map(|(_, _, turns)| *turns)
        .collect();
    let flats = |t: &Turns| t.turns * FLATS + t.flats;
    let begun = read.map_or(0, |(_, _, turns)| flats(turns));
    let sum = begun + all.iter().map(|turns| flats(turns)).sum::<i64>();
    let sum = format!("{} turns {} flats", sum / FLATS, sum % FLATS);
    match (read.is_some(), all.len()) {
        (false, 1) => sum,
        (false, times) => format!("{sum}, turned {times} times"),
        (true, 1) => format!("{sum}, turned once since it was read"),
        (true, times) => format!("{sum}, turned {times} times since it was read"),
    }
}

pub(super) fn engagement(reading: &Reading<'_>) -> Section {
    let mut blocks = Vec::new();
    for run in &reading.job.runs {
        let Some((left, right)) = run.ends() else {
            continue;
        };
        let mut rows = Vec::new();
        let most_out = work::most_end_out(reading.job, run);
        let thin = work::thin_threads(reading.job, run);
        for wire in &run.wires {
            for end in [left, right] {
                let short = thin
                    .iter()
                    .any(|t| t.wire == wire.number && t.post == end.id);
                let hidden = stands(reading, &wire.mark_hidden, end);
                let thread = stands(reading, &wire.thread_left, end);
                let turns = stands(reading, &wire.turns, end);
                let tight = stands(reading, &wire.nut_tight, end);
                let out = stands(reading, &wire.end_out, end);
                let told_of = [
                    hidden.len(),
                    thread.len(),
                    turns.len(),
                    tight.len(),
                    out.len(),
                ];
                if told_of == [0; 5] {
                    continue;
                }
                let no = |of: &[&Told<bool, OnPiece>]| of.iter().any(|f| f.value() == Some(&false));
                let far = out
                    .iter()
                    .flat_map(|f| f.values())
                    .any(|out| most_out.is_some_and(|most| *out > most));
                rows.push((
                    wire.number,
                    Row::of([
                        format!("{} end", end.name),
                        told(&hidden, |f| reading.say(f, |h| words::yes(*h).into())),
                        told(&tight, |f| reading.say(f, |t| words::yes(*t).into())),
                        told(&out, |f| reading.say(f, |l| words::mm(l.nm))),
                        told(&thread, |f| reading.say(f, |l| words::mm(l.nm))),
                        turned_in(reading, wire, end),
                    ])
                    .marked(no(&hidden) || no(&tight) || far || short),
                ));
            }
        }
        let second = second_end::looked_at(reading, run);
        if !rows.is_empty() || second.is_some() {
            blocks.push(Block::head(format!("Run {}", run.name)));
        }
        if !rows.is_empty() {
            let (wire_end_out, by_whom) = said::most_end_out(reading, run);
            blocks.push(Block::table(
                &[
                    "Wires",
                    "End",
                    "Mark hidden",
                    "Nut tight",
                    &wire_end_out,
                    "Thread left",
                    "Turned in",
                ],
                &[1.4, 1.0, 1.2, 1.0, 1.6, 1.2, 2.0],
                by_wires(rows),
            ));
            blocks.push(Block::remark(by_whom));
        }
        blocks.extend(thin.iter().map(|end| {
            Block::text(format!(
                "! Wire {}, {} end: {}.",
                end.wire, end.post_name, end.doubt
            ))
        }));
        blocks.extend(second.map(Block::text));
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
