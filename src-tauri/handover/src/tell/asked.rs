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
    let findings = asked.findings.iter().filter(|f| eye(f.verdict));
    findings
        .map(|f| format!("{}: {}", f.place, f.sentence))
        .chain(asked.problems.iter().map(|p| p.sentence.clone()))
        .collect()
}

/// What the wires ask of the end posts, computed, with who must confirm.
pub(super) fn posts(reading: &Reading<'_>) -> Vec<Block> {
    let mut items = Vec::new();
    for run in &reading.job.runs {
        let Ok(asked) = work::before_ordering(reading.job, run.id) else {
            continue;
        };
        items.extend(asked.posts.iter().map(|p| {
            format!(
                "Run {}: {} Computed; to be confirmed by: {}.",
                run.name, p.sentence, p.confirm
            )
        }));
    }
    if items.is_empty() {
        return Vec::new();
    }
    vec![
        Block::head("What the wires ask of the end posts"),
        Block::List { items },
    ]
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
    let mut rows: Vec<Row> = Vec::new();
    for finding in &findings {
        let row = row(finding);
        match rows.last_mut() {
            Some(last) if same(last, &row) => join(last, &row),
            _ => rows.push(row),
        }
    }
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

fn row(f: &Finding) -> Row {
    Row::of([
        f.place.clone(),
        quantity(f.required),
        quantity(f.actual),
        f.margin.map_or_else(|| "–".into(), margin),
        f.sentence.clone(),
        f.confirm.clone(),
    ])
    .marked(eye(f.verdict))
}

/// Whether two rows tell the same of two places named alike: "… at A2", "… at A3".
fn same(a: &Row, b: &Row) -> bool {
    let stem = |r: &Row| {
        let place = r.cells.first()?;
        place.split_once(" at ").map(|(stem, _)| stem.to_owned())
    };
    stem(a).is_some() && stem(a) == stem(b) && a.cells.iter().skip(1).eq(b.cells.iter().skip(1))
}

fn join(last: &mut Row, row: &Row) {
    let more = row.cells.first().and_then(|p| p.split_once(" at "));
    if let (Some(place), Some((_, more))) = (last.cells.first_mut(), more) {
        place.push_str(", ");
        place.push_str(more);
    }
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

/// A source in words, with how it came to be known.
pub(super) fn source(source: &work::Source) -> String {
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_that_tell_the_same_share_a_row() {
        let row = |place: &str, rest: &str| Row::of([place.to_owned(), rest.to_owned()]);
        let mut first = row("floor to bottom wire at A2", "74.4 mm");
        let alike = row("floor to bottom wire at A3", "74.4 mm");
        assert!(same(&first, &alike));
        join(&mut first, &alike);
        assert_eq!(first.cells[0], "floor to bottom wire at A2, A3");
        assert!(!same(&first, &row("floor to bottom wire at A4", "80 mm")));
        assert!(!same(&first, &row("top wire to rail, run A", "74.4 mm")));
    }
}
