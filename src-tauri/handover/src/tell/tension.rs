//! Tension per wire, decisions on it, the hung-mass check, and the recheck.

use records::job::{Fact as Told, Run};
use records::model::context::TensionRead;
use records::model::values::{Evidence, Force, Stage};

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
    let mut rows = Vec::new();
    for wire in &run.wires {
        for (bay, fact) in &wire.tensions {
            let with = fact.tips.last().and_then(|t| t.with.as_ref());
            if !stages.contains(&with.map_or(Stage::Pass, |w| w.stage)) {
                continue;
            }
            rows.push(row(reading, run, wire.number, bay, fact, with));
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
            &[0.6, 1.2, 1.1, 1.1, 1.5, 1.4, 1.5, 1.9],
            rows,
        ));
    }
}

fn row(
    reading: &Reading<'_>,
    run: &Run,
    wire: u32,
    bay: &str,
    fact: &Told<Force, TensionRead>,
    with: Option<&TensionRead>,
) -> Row {
    let gauge = with
        .and_then(|w| w.gauge)
        .and_then(|id| reading.job.tools.iter().find(|t| t.id == id));
    let required = run.tensions.value().map(|t| t.required_mn);
    let judged = with.is_some_and(|w| w.stage != Stage::Pass);
    let state = match (fact.value(), required) {
        (Some(f), Some(required)) if judged => {
            stands(f.mn, required, gauge.and_then(|g| g.error_per_10000))
        }
        _ => "",
    };
    let mut how = gauge.map_or_else(
        || with.map_or("", |w| words::method(w.method)).into(),
        |g| g.name.clone(),
    );
    if let Some(raw) = with.and_then(|w| w.raw.as_ref()) {
        how.push_str(&format!(", scale {raw}"));
    }
    let stage = with.map_or_else(String::new, |w| match (w.stage, w.pass) {
        (Stage::Pass, Some(n)) => format!("pass {n}"),
        (stage, _) => words::stage(stage).into(),
    });
    let warmth = with.map_or_else(String::new, |w| {
        let parts = [
            w.air_cdeg.map(words::celsius),
            w.wire_cdeg.map(|c| format!("wire {}", words::celsius(c))),
            w.sun.map(|s| words::sun(s).to_owned()),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    });
    let piece = with.map_or(1, |w| w.piece);
    let number = if piece > 1 {
        format!("{wire} (piece {piece})")
    } else {
        wire.to_string()
    };
    let mut value = reading.say(fact, |f| words::newtons(f.mn));
    if let Some(reason) = with.and_then(|w| w.reason.as_ref()) {
        value.push_str(&format!(" ({reason})"));
    }
    Row::of([
        number,
        reading.bay(run, bay),
        stage,
        value,
        state.into(),
        how,
        warmth,
        reading.by(fact),
    ])
    .marked(state == "below" || fact.blocks())
}

/// Clear, at the mark or below, from integers alone: clear when reading × (1 − error) ≥ required.
fn stands(reading_mn: i64, required_mn: i64, error: Option<i64>) -> &'static str {
    if reading_mn < required_mn {
        return "below";
    }
    match error {
        Some(e)
            if i128::from(reading_mn) * i128::from(10_000 - e)
                >= i128::from(required_mn) * 10_000 =>
        {
            "clear"
        }
        Some(_) => "at the mark",
        None => "at the mark (gauge error not known)",
    }
}

fn hung(reading: &Reading<'_>, run: &Run, blocks: &mut Vec<Block>) {
    let mut rows = Vec::new();
    for wire in &run.wires {
        for (bay, fact) in &wire.deflections {
            let Some(shown) = fact.shown() else { continue };
            rows.push(Row::of([
                wire.number.to_string(),
                reading.bay(run, bay),
                words::kilograms(shown.mass_mg),
                reading.say(fact, |d| words::mm(d.nm)),
                reading.by(fact),
            ]));
        }
    }
    if !rows.is_empty() {
        blocks.push(Block::table(
            &["Wire", "Bay", "Mass as weighed", "Down at mid span", "By"],
            &[0.6, 1.2, 1.4, 1.4, 2.0],
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Scenario, consistency check: required 1330 N, gauge ±4 % → clear from 1385.4 N.
    #[test]
    fn three_states_of_a_reading() {
        let state = |n: i64| stands(n * 1000, 1_330_000, Some(400));
        assert_eq!(state(1386), "clear");
        assert_eq!(state(1385), "at the mark");
        assert_eq!(state(1330), "at the mark");
        assert_eq!(state(1329), "below");
        assert_eq!(
            stands(1_500_000, 1_330_000, None),
            "at the mark (gauge error not known)"
        );
    }
}
