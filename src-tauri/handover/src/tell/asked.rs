//! What the rule set asks of each run, beside what was measured.
//!
//! Invariant: figures, margin, source and who must confirm stand together; no row is a verdict on
//! the barrier.

use records::job::Run;
use records::work::{self, BeforeOrdering, Finding, Quantity, SourceStatus, Topic, Unit, Verdict};

use super::reading::Reading;
use super::{Block, Row, words};

/// Findings of these topics for every run, as tables with their sources below.
pub(super) fn tables(reading: &Reading<'_>, topics: &[Topic]) -> Vec<Block> {
    let mut blocks = Vec::new();
    for run in &reading.job.runs {
        match work::before_ordering(reading.job, run.id) {
            Ok(asked) => table(run, &asked, topics, &mut blocks),
            Err(e) => blocks.push(Block::text(format!(
                "What the rule set asks of run {} can't be shown: {e}",
                run.name
            ))),
        }
    }
    blocks
}

/// Findings of a run that want a person's eye, in one sentence each.
pub(super) fn open(reading: &Reading<'_>, run: &Run) -> Vec<String> {
    let Ok(asked) = work::before_ordering(reading.job, run.id) else {
        return Vec::new();
    };
    asked
        .findings
        .iter()
        .filter(|f| eye(f.verdict))
        .map(|f| format!("{}: {}", f.place, f.sentence))
        .collect()
}

fn eye(verdict: Verdict) -> bool {
    matches!(
        verdict,
        Verdict::Short | Verdict::NotAllowed | Verdict::OutsideTable
    )
}

fn table(run: &Run, asked: &BeforeOrdering, topics: &[Topic], blocks: &mut Vec<Block>) {
    let findings: Vec<&Finding> = asked
        .findings
        .iter()
        .filter(|f| topics.contains(&f.topic) && f.verdict != Verdict::NotAsked)
        .collect();
    if findings.is_empty() {
        return;
    }
    let rows = findings
        .iter()
        .map(|f| {
            Row::of([
                f.place.clone(),
                quantity(f.required),
                quantity(f.actual),
                f.margin.map_or_else(|| "–".into(), margin),
                f.sentence.clone(),
                f.confirm.clone(),
            ])
            .marked(eye(f.verdict))
        })
        .collect();
    blocks.push(Block::head(format!(
        "Run {}: asked by the rule set",
        run.name
    )));
    blocks.push(Block::table(
        &[
            "Where",
            "Asked",
            "Found",
            "In hand",
            "In words",
            "Who confirms",
        ],
        &[1.4, 0.9, 0.9, 0.9, 3.6, 1.4],
        rows,
    ));
    let mut sources: Vec<String> = findings.iter().map(|f| source(&f.source)).collect();
    sources.sort_unstable();
    sources.dedup();
    blocks.push(Block::remark(format!("Sources: {}.", sources.join("; "))));
}

fn quantity(q: Option<Quantity>) -> String {
    q.map_or_else(
        || "–".into(),
        |q| format!("{} {}", words::number(q.value), unit(q.unit)),
    )
}

fn margin(q: Quantity) -> String {
    let number = words::number(q.value.abs());
    let sign = if q.value < 0.0 { "−" } else { "+" };
    format!("{sign}{number} {}", unit(q.unit))
}

fn unit(unit: Unit) -> &'static str {
    match unit {
        Unit::Millimetres => "mm",
        Unit::Newtons => "N",
    }
}

fn source(source: &work::Source) -> String {
    let status = match source.status {
        SourceStatus::Read => "read in the document",
        SourceStatus::SecondHand => "read where another document quotes it",
        SourceStatus::Memory => "from memory, to be checked",
        SourceStatus::CommonPractice => "common practice",
    };
    format!(
        "{}, {}, {} ({status})",
        source.document, source.edition, source.clause
    )
}
