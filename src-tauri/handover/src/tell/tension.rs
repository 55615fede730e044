//! Tension per wire, decisions on it, the hung-mass check, and the recheck.

use records::job::Run;
use records::model::values::{Evidence, Stage};
use records::work::{self, Topic};

use super::reading::Reading;
use super::{Block, Row, Section, asked, by_wires, cautions, later, rounds, summary, words};

pub(super) fn section(reading: &Reading<'_>) -> Section {
    let mut blocks = Vec::new();
    if !reading.job.runs.is_empty() {
        blocks.extend(cautions::tension(reading));
    }
    for run in &reading.job.runs {
        blocks.push(Block::head(format!("Run {}", run.name)));
        decision(reading, run, &mut blocks);
        blocks.extend(later::blocks(reading, run));
        blocks.extend(rounds::blocks(reading, run, &[Stage::Pass, Stage::Final]));
        hung(reading, run, &mut blocks);
        let read = reading.found.read(run).and_then(|r| r.as_ref().ok());
        let left_out = read.and_then(|r| words::assumed(&run.name, &r.notes));
        blocks.extend(left_out.map(Block::remark));
        beside_the_rounds(reading, run, &mut blocks);
    }
    blocks.extend(asked::tables(reading, &[Topic::Corner]));
    blocks.push(Block::remark(
        "The last pass, the final round and rechecks are held against what is asked; passes before are on the way up. Clear: at least the required tension divided by one minus the gauge's error, to the nearest newton. At the mark: at least the required tension. Over: more than nothing may exceed. Readings are shown as taken; the temperature stands beside them and corrects nothing.",
    ));
    super::section(
        reading,
        "Tension",
        blocks,
        &[Evidence::GaugeOnWire, Evidence::MassCheck],
    )
}

fn decision(reading: &Reading<'_>, run: &Run, blocks: &mut Vec<Block>) {
    let value = reading.say(&run.tensions, |t| {
        let passes: Vec<String> = t
            .passes_mn
            .iter()
            .map(|p| words::bare_newtons(*p))
            .collect();
        format!(
            "Required {} ({}), set {}, upper {} ({}). Passes: {} N.",
            words::newtons(t.required_mn),
            t.required_origin,
            words::newtons(t.set_mn),
            words::newtons(t.upper_mn),
            summary::upper_origin(reading, run, t),
            passes.join(" / ")
        )
    });
    if value.is_empty() {
        blocks.push(Block::text("No tensions were decided."));
        return;
    }
    blocks.push(Block::text(format!(
        "{value} Decided by {}.",
        reading.by(&run.tensions)
    )));
    let Some(told) = run.tensions.told() else {
        return;
    };
    if let Some(with) = told.with.as_ref().filter(|w| !w.numbers.is_empty()) {
        // What was asked stands below in words of its own.
        let figures = with.numbers.iter().filter(|n| n.name != work::ASKED);
        blocks.push(Block::remark(format!(
            "Told when it was decided: {}. Program {}.",
            words::numbers(figures),
            with.program
        )));
    }
    let moved = reading.basis(work::Decision::Tensions(run), &told.basis);
    if !moved.is_empty() {
        blocks.push(Block::remark(format!("! {moved}.")));
    }
}

/// Each bay that is to be read and was not in the newest round, with those of the wires that are
/// wanted, to stand after the word bay.
pub(super) fn not_read(
    read: &work::Tensions,
    wanted: impl Fn(&work::TensionLine) -> bool,
) -> impl Iterator<Item = String> {
    read.unread_bays(wanted).into_iter().map(|(bay, wires)| {
        format!(
            "{bay}, the widest or the one furthest from the tensioner, was not read in the newest round on {} {}",
            if wires.len() == 1 { "wire" } else { "wires" },
            words::ranges(&wires)
        )
    })
}

/// Wires that were last read before others were turned.
pub(super) fn to_read_again(run: &Run, read: &work::Tensions) -> Option<String> {
    let (wires, turned) = read.read_before_turns()?;
    let named = |wires: &[u32]| match wires {
        [one] => format!("wire {one} was"),
        _ => format!("wires {} were", words::ranges(wires)),
    };
    Some(format!(
        "Run {}: {} read before {} turned: read again",
        run.name,
        named(&wires),
        named(&turned)
    ))
}

/// Wires that were last read before another run on their posts was brought up.
pub(super) fn read_before_pulls<'r>(
    run: &'r Run,
    read: &'r work::Tensions,
) -> impl Iterator<Item = String> + 'r {
    let told = |(after, wires): (&work::PulledAfter, Vec<u32>)| {
        let wires = match wires.as_slice() {
            [one] => format!("wire {one} was"),
            wires => format!("wires {} were", words::ranges(wires)),
        };
        format!(
            "Run {}: {wires} read before run {} pulled on post {} as it does: read again",
            run.name, after.run_name, after.post
        )
    };
    read.read_before_pulls(false).into_iter().map(told)
}

/// What was left out in the rounds, and what was shown in another way.
fn beside_the_rounds(reading: &Reading<'_>, run: &Run, blocks: &mut Vec<Block>) {
    let Some(Ok(read)) = reading.found.read(run) else {
        return;
    };
    blocks.extend(not_read(read, |_| true).map(|told| warned(&told)));
    let turned = to_read_again(run, read);
    let pulled = read_before_pulls(run, read);
    let told = turned.into_iter().chain(pulled);
    blocks.extend(told.map(|told| Block::text(format!("! {told}."))));
    let hung: Vec<u32> = read
        .lines
        .iter()
        .filter(|l| l.finished().is_none() && l.held_by_deflection.is_some())
        .map(|l| l.wire)
        .collect();
    if !hung.is_empty() {
        blocks.push(Block::text(format!(
            "Shown by the hung mass instead of a gauge, in every bay to read: wire {}.",
            words::ranges(&hung)
        )));
    }
}

fn warned(told: &str) -> Block {
    Block::text(format!("! Bay {told}."))
}

/// What a mass showed, with its round where it is not the set tension's, and whether it still holds.
fn hung_words(check: &work::DeflectionCheck) -> String {
    let round = match check.stage {
        Stage::Final => "",
        Stage::Recheck => "Recheck. ",
        Stage::Pass => "On the way up. ",
    };
    let since = match (check.anew, check.replaced) {
        (true, _) => " Before the wire was brought up anew.",
        (false, true) => " Read again there later.",
        (false, false) => "",
    };
    format!("{round}{}{since}", check.sentence)
}

fn hung(reading: &Reading<'_>, run: &Run, blocks: &mut Vec<Block>) {
    let Some(Ok(read)) = reading.found.read(run) else {
        return;
    };
    let number = |mm: f64| format!("{} mm", words::number(mm));
    let mut rows = Vec::new();
    for line in &read.lines {
        for check in &line.deflections {
            rows.push(
                Row::of([
                    line.wire.to_string(),
                    check.bay_name.clone(),
                    format!("{:.3} kg", check.mass_kg),
                    number(check.deflection_mm),
                    check
                        .most_mm
                        .map_or_else(|| "–".into(), |most| format!("≤ {}", number(most))),
                    hung_words(check),
                ])
                .marked(check.is_over()),
            );
        }
    }
    if !rows.is_empty() {
        blocks.push(Block::table(
            &[
                "Wire",
                "Bay",
                "Mass as weighed",
                "Down at mid span",
                "Table",
                "In words",
            ],
            &[0.6, 0.9, 1.1, 1.1, 0.9, 4.0],
            rows,
        ));
    }
}

pub(super) fn recheck(reading: &Reading<'_>) -> Section {
    let mut blocks = Vec::new();
    for run in &reading.job.runs {
        let mut found = rounds::blocks(reading, run, &[Stage::Recheck]);
        let unexpected = later::unexpected(reading, run).into_iter();
        found.extend(unexpected.map(|(_, told)| Block::text(format!("! {told}."))));
        let mut rows = Vec::new();
        for wire in &run.wires {
            for (end, fact) in &wire.mark_moved {
                let name = run
                    .posts
                    .iter()
                    .find(|p| p.id == *end)
                    .map_or("?", |p| p.name.as_str());
                let moved = fact.value().is_some_and(|l| l.nm != 0);
                rows.push((
                    wire.number,
                    Row::of([
                        format!("{name} end"),
                        reading.say(fact, |l| words::mm(l.nm)),
                        reading.by(fact),
                    ])
                    .marked(moved),
                ));
            }
        }
        if !rows.is_empty() {
            found.push(Block::table(
                &["Wires", "End", "Mark moved", "By"],
                &[1.4, 1.0, 1.2, 3.0],
                by_wires(rows),
            ));
        }
        if let Some(Ok(read)) = reading.found.read(run) {
            let again = not_read(read, |line| line.last_recheck.is_some());
            found.extend(again.map(|told| warned(&told)));
            let again = read.lines.iter().any(|l| l.last_recheck.is_some());
            let turned = to_read_again(run, read).filter(|_| again);
            found.extend(turned.map(|told| Block::text(format!("! {told}."))));
        }
        if !found.is_empty() {
            blocks.push(Block::head(format!("Run {}", run.name)));
            blocks.append(&mut found);
        }
    }
    section_of(reading, blocks)
}

fn section_of(reading: &Reading<'_>, blocks: Vec<Block>) -> Section {
    super::section(reading, "Recheck", blocks, &[Evidence::Recheck])
}
