//! Tension per wire, decisions on it, the hung-mass check, and the recheck.

use records::job::{Fact as Told, Run};
use records::model::context::TensionRead;
use records::model::values::{Evidence, Force, Stage};
use records::work::{self, ReadingState};

use super::reading::Reading;
use super::{Block, Row, Section, words};

pub(super) fn section(reading: &Reading<'_>) -> Section {
    let mut blocks = Vec::new();
    for run in &reading.job.runs {
        blocks.push(Block::head(format!("Run {}", run.name)));
        decision(reading, run, &mut blocks);
        readings(reading, run, &[Stage::Pass, Stage::Final], &mut blocks);
        hung(reading, run, &mut blocks);
    }
    blocks.push(Block::remark(
        "Clear: at least the required tension divided by one minus the gauge's error. At the mark: at least the required tension. Readings are shown as taken; the temperature stands beside them and corrects nothing.",
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
            t.upper_origin,
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
        blocks.push(Block::remark(format!(
            "Told when it was decided: {}. Program {}.",
            words::told(with),
            with.program
        )));
    }
    let moved = reading.basis(&told.basis);
    if !moved.is_empty() {
        blocks.push(Block::remark(format!("! {moved}.")));
    }
}

fn readings(reading: &Reading<'_>, run: &Run, stages: &[Stage], blocks: &mut Vec<Block>) {
    let read = match work::tensions(reading.job, run.id) {
        Ok(read) => read,
        Err(e) => {
            blocks.push(Block::text(format!(
                "Readings can't be held against what is asked: {e}"
            )));
            return;
        }
    };
    let mut rows = Vec::new();
    for (wire, line) in run.wires.iter().zip(&read.lines) {
        for one in line.readings.iter().filter(|r| stages.contains(&r.stage)) {
            // The record's own fact gives both sides where people disagree.
            let fact = wire
                .tensions
                .iter()
                .map(|(_, f)| f)
                .find(|f| f.tips.iter().any(|t| t.id == one.entry));
            if let Some(fact) = fact {
                rows.push(row(reading, line.wire, one, fact));
            }
        }
    }
    if !rows.is_empty() {
        blocks.push(Block::table(
            &[
                "Wire",
                "Bay",
                "Stage",
                "Reading",
                "State",
                "Gauge",
                "Air, wire",
                "By",
            ],
            &[0.6, 0.9, 0.9, 1.1, 1.1, 1.1, 1.9, 2.3],
            rows,
        ));
    }
}

fn row(
    reading: &Reading<'_>,
    wire: u32,
    one: &work::Reading,
    fact: &Told<Force, TensionRead>,
) -> Row {
    let with = fact.tips.last().and_then(|t| t.with.as_ref());
    let state = match one.state {
        _ if one.stage == Stage::Pass => "",
        _ if !one.counts => "a guide only",
        ReadingState::Below => "below",
        ReadingState::AtTheMark => "at the mark",
        ReadingState::Clear => "clear",
        ReadingState::Open => "open",
    };
    let mut how = one
        .gauge
        .clone()
        .unwrap_or_else(|| words::method(one.method).into());
    if let Some(raw) = &one.raw {
        how.push_str(&format!(", scale {raw}"));
    }
    let stage = match (one.stage, one.pass) {
        (Stage::Pass, Some(n)) => format!("pass {n}"),
        (stage, _) => words::stage(stage).into(),
    };
    let warmth = with.map_or_else(String::new, |w| {
        let parts = [
            w.air_cdeg.map(words::celsius),
            w.wire_cdeg.map(|c| format!("wire {}", words::celsius(c))),
            w.sun.map(|s| words::sun(s).to_owned()),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    });
    let number = if one.piece > 1 {
        format!("{wire} (piece {})", one.piece)
    } else {
        wire.to_string()
    };
    let mut value = reading.say(fact, |f| words::newtons(f.mn));
    if let Some(remark) = &one.remark {
        value.push_str(&format!(" ({remark})"));
    }
    Row::of([
        number,
        one.bay_name.clone(),
        stage,
        value,
        state.into(),
        how,
        warmth,
        reading.by(fact),
    ])
    .marked(state == "below" || fact.blocks())
}

fn hung(reading: &Reading<'_>, run: &Run, blocks: &mut Vec<Block>) {
    let Ok(read) = work::tensions(reading.job, run.id) else {
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
                    check.sentence.clone(),
                ])
                .marked(check.margin_mm.is_some_and(|m| m < 0.0)),
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
        let mut found = Vec::new();
        readings(reading, run, &[Stage::Recheck], &mut found);
        let mut rows = Vec::new();
        for wire in &run.wires {
            for (end, fact) in &wire.mark_moved {
                let name = run
                    .posts
                    .iter()
                    .find(|p| p.id == *end)
                    .map_or("?", |p| p.name.as_str());
                let moved = fact.value().is_some_and(|l| l.nm != 0);
                rows.push(
                    Row::of([
                        wire.number.to_string(),
                        format!("{name} end"),
                        reading.say(fact, |l| words::mm(l.nm)),
                        reading.by(fact),
                    ])
                    .marked(moved),
                );
            }
        }
        if !rows.is_empty() {
            found.push(Block::table(
                &["Wire", "End", "Mark moved", "By"],
                &[0.8, 1.0, 1.2, 3.0],
                rows,
            ));
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
