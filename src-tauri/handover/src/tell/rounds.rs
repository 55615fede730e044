//! Tension readings of a run, wire by wire, one column for each round.
//!
//! A round is what was set once: stage and pass, bay, gauge, temperatures, person and day.

use mechanics::Newtons;
use records::job::{Fact as Told, Run, Wire};
use records::model::context::TensionRead;
use records::model::values::{Force, Stage};
use records::work::{self, ReadingState};

use super::reading::Reading;
use super::{Block, Row, words};

/// Rounds beside each other in one table.
const MOST_ROUNDS: usize = 6;

/// What was set once for a round; rounds sort by stage, pass and time.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Round {
    order: (u8, u32, String),
    stage: String,
    bay: String,
    how: String,
    warmth: String,
    by: String,
}

struct Cell {
    wire: u32,
    round: Round,
    text: String,
    marked: bool,
}

/// The readings of these stages, or why they can't be shown.
pub(super) fn blocks(reading: &Reading<'_>, run: &Run, stages: &[Stage]) -> Vec<Block> {
    let read = match reading.found.read(run) {
        None => return Vec::new(),
        Some(Ok(read)) => read,
        Some(Err(e)) => {
            return vec![Block::text(format!(
                "Readings can't be held against what is asked: {e}"
            ))];
        }
    };
    let mut cells = Vec::new();
    for (wire, line) in run.wires.iter().zip(&read.lines) {
        for one in line.readings.iter().filter(|r| stages.contains(&r.stage)) {
            cells.extend(cell(reading, wire, one, read));
        }
    }
    let mut rounds: Vec<Round> = cells.iter().map(|c| c.round.clone()).collect();
    rounds.sort();
    rounds.dedup();
    let named: Vec<(String, &Round)> = rounds
        .iter()
        .enumerate()
        .map(|(n, round)| ((n + 1).to_string(), round))
        .collect();
    let mut blocks = Vec::new();
    for part in named.chunks(MOST_ROUNDS) {
        blocks.push(table(part, &cells, read));
    }
    if !rounds.is_empty() {
        blocks.push(Block::remark(format!("{}.", set_once(&rounds).join(". "))));
    }
    blocks
}

fn table(rounds: &[(String, &Round)], cells: &[Cell], read: &work::Tensions) -> Block {
    let mut head = vec!["Wire".to_owned()];
    head.extend(
        rounds
            .iter()
            .map(|(n, r)| format!("{n}: {}, {}", r.stage, r.bay)),
    );
    let mut widths = vec![0.6];
    widths.extend(rounds.iter().map(|_| 1.6));
    let rows = read
        .lines
        .iter()
        .filter_map(|line| {
            let here = |round: &Round| {
                cells
                    .iter()
                    .filter(|c| c.wire == line.wire && c.round == *round)
                    .collect::<Vec<&Cell>>()
            };
            let found: Vec<Vec<&Cell>> = rounds.iter().map(|(_, r)| here(r)).collect();
            if found.iter().all(Vec::is_empty) {
                return None;
            }
            let marked = found.iter().flatten().any(|c| c.marked);
            let mut row = vec![line.wire.to_string()];
            row.extend(found.iter().map(|cells| {
                let texts: Vec<&str> = cells.iter().map(|c| c.text.as_str()).collect();
                texts.join(" / ")
            }));
            Some(Row::of(row).marked(marked))
        })
        .collect();
    Block::Table { head, widths, rows }
}

/// What was set once, each with the numbers of the rounds that share it.
fn set_once(rounds: &[Round]) -> Vec<String> {
    let mut alike: Vec<(Vec<u32>, String)> = Vec::new();
    for (number, round) in (1..).zip(rounds) {
        let parts = [&round.how, &round.warmth, &round.by];
        let parts = parts.into_iter().map(String::as_str);
        let set: Vec<&str> = parts.filter(|p| !p.is_empty()).collect();
        let set = set.join(", ");
        match alike.iter_mut().find(|(_, known)| *known == set) {
            Some((numbers, _)) => numbers.push(number),
            None => alike.push((vec![number], set)),
        }
    }
    let told = |(numbers, set): (Vec<u32>, String)| {
        let rounds = if numbers.len() > 1 { "Rounds" } else { "Round" };
        format!("{rounds} {}: {set}", words::ranges(&numbers))
    };
    alike.into_iter().map(told).collect()
}

fn cell(
    reading: &Reading<'_>,
    wire: &Wire,
    one: &work::Reading,
    read: &work::Tensions,
) -> Option<Cell> {
    // Only a round that aims at the set tension is held against what is asked.
    let held = read.is_at_set(one);
    // The record's own fact gives both sides where people disagree.
    let fact = wire
        .tensions
        .iter()
        .map(|(_, f)| f)
        .find(|f| f.tips.iter().any(|t| t.id == one.entry))?;
    let below = held && one.counts && one.state == ReadingState::Below;
    let upper = Some(read.never_above_n).filter(|_| one.over).flatten();
    Some(Cell {
        wire: wire.number,
        round: round(reading, one, fact),
        text: text(reading, wire, one, fact, held, upper),
        marked: below || one.over || fact.blocks(),
    })
}

fn round(reading: &Reading<'_>, one: &work::Reading, fact: &Told<Force, TensionRead>) -> Round {
    let with = fact.tips.last().and_then(|t| t.with.as_ref());
    let stage = match (one.stage, one.pass) {
        (Stage::Pass, Some(n)) => format!("pass {n}"),
        (stage, _) => words::stage(stage).into(),
    };
    let order = match one.stage {
        Stage::Pass => 0,
        Stage::Final => 1,
        Stage::Recheck => 2,
    };
    let day = fact
        .tips
        .last()
        .map_or_else(String::new, |t| words::day(t.at));
    let warmth = with.map_or_else(String::new, |w| {
        let parts = [
            w.air_cdeg.map(|c| format!("air {}", words::celsius(c))),
            w.wire_cdeg.map(|c| format!("wire {}", words::celsius(c))),
            w.sun.map(|s| words::sun(s).to_owned()),
            (w.air_cdeg.is_none() && w.wire_cdeg.is_none())
                .then(|| "temperature not read".to_owned()),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    });
    Round {
        order: (order, one.pass.unwrap_or(0), day),
        stage,
        bay: one.bay_name.clone(),
        how: one
            .gauge
            .clone()
            .unwrap_or_else(|| words::method(one.method).into()),
        warmth,
        by: reading.by(fact),
    }
}

/// The reading as taken, with how it stands and what was remarked. `upper` is what it is over: what is
/// over is never told as clear, on the way up neither.
fn text(
    reading: &Reading<'_>,
    wire: &Wire,
    one: &work::Reading,
    fact: &Told<Force, TensionRead>,
    held: bool,
    upper: Option<f64>,
) -> String {
    let mut parts = vec![reading.say(fact, |f| words::newtons(f.mn))];
    match one.state {
        _ if !one.counts => {
            let band = one.least_n.zip(one.most_n);
            parts.extend(band.map(|(least, most)| format!("{least:.0} to {most:.0}")));
            parts.push("a guide only".into());
        }
        _ if one.over => parts.push(upper.map_or_else(
            || "over the upper tension".into(),
            |upper| match one.may_carry_n {
                Some(_) => format!("may be over {}", Newtons(upper)),
                None => format!("over {}", Newtons(upper)),
            },
        )),
        _ if !held => {}
        ReadingState::Below => parts.push("below".into()),
        ReadingState::AtTheMark => parts.push("at the mark".into()),
        ReadingState::Clear => parts.push("clear".into()),
        ReadingState::Open => parts.push("open".into()),
    }
    if one.piece != wire.piece_number {
        parts.push(format!("piece {}", one.piece));
    }
    if one.anew {
        parts.push("before it was brought up anew".into());
    }
    parts.extend(one.raw.as_ref().map(|raw| format!("scale {raw}")));
    parts.extend(one.remark.clone());
    parts.join(", ")
}
