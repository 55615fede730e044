//! Every part counted: what the runs need, what samples, rejects and spares add.

use records::model::fields;
use records::work::{CutsFrom, StrandMetres, TakeOff};

use super::reading::Reading;
use super::{Block, Row, words};

/// The take-off of the job, with the allowances that somebody stated.
pub(super) fn blocks(reading: &Reading<'_>) -> Vec<Block> {
    let mut blocks = vec![Block::head("Take-off: every part counted")];
    match &reading.found.take_off {
        Ok(counted) if counted.wires > 0 => counted_blocks(reading, counted, &mut blocks),
        Ok(counted) => {
            blocks.push(Block::text("No run has wires to count from."));
            notes(counted, &mut blocks);
        }
        Err(e) => blocks.push(Block::text(format!("The parts can't be counted: {e}"))),
    }
    blocks
}

fn counted_blocks(reading: &Reading<'_>, counted: &TakeOff, blocks: &mut Vec<Block>) {
    let rows = counted
        .lines
        .iter()
        .map(|line| {
            Row::of([
                line.part.clone(),
                line.hand.map_or("", words::hand).into(),
                line.needed.to_string(),
                some(line.sample),
                some(line.scrap),
                some(line.over),
                line.total.to_string(),
                line.basis.clone(),
            ])
        })
        .collect();
    blocks.push(Block::table(
        &[
            "Part",
            "Hand",
            "Needed",
            "Samples",
            "Rejects",
            "Over",
            "Total",
            "Counted from",
        ],
        &[2.3, 0.6, 0.8, 0.9, 0.8, 0.6, 0.7, 3.4],
        rows,
    ));
    blocks.push(Block::table(
        &[
            "Strand",
            "Wires",
            "Cuts added up",
            "For samples",
            "For remakes",
            "Total",
            "Rests on",
        ],
        &[2.3, 0.6, 1.2, 0.9, 0.9, 1.2, 3.0],
        counted.strands.iter().map(strand).collect(),
    ));
    let said = reading
        .job
        .reader
        .one(fields::JOB_ALLOWANCES, &reading.job.subject(), "");
    let allowances = match (counted.allowances, said.blocks()) {
        (Some(_), _) => format!(
            " Samples, rejects, remakes and pieces over are allowances stated by {}.",
            reading.by(&said)
        ),
        (None, true) => " People do not agree on the allowances: none are counted.".into(),
        (None, false) => String::new(),
    };
    blocks.push(Block::remark(format!(
        "{}. Holes: {} for inserts, {} through posts; section 7 has them face by face.{allowances}",
        words::count(u64::from(counted.wires), "wire", "wires"),
        counted.insert_holes,
        counted.through_holes
    )));
    notes(counted, blocks);
}

fn notes(counted: &TakeOff, blocks: &mut Vec<Block>) {
    blocks.extend(counted.notes.iter().map(Block::remark));
}

fn strand(s: &StrandMetres) -> Row {
    let metres = |mm: f64| {
        if mm > 0.0 {
            format!("{:.3} m", mm / 1000.0)
        } else {
            "–".into()
        }
    };
    Row::of([
        s.name.clone(),
        s.wires.to_string(),
        metres(s.cuts_mm),
        metres(s.sample_mm),
        metres(s.scrap_mm),
        metres(s.total_mm),
        words::cuts_from(s.cuts_from).into(),
    ])
    .marked(s.cuts_from != CutsFrom::CutSheet)
}

fn some(count: u32) -> String {
    if count == 0 {
        "–".into()
    } else {
        count.to_string()
    }
}
