//! What the rule set says in words: the sentences that ask nothing of one run, and how far a wire's
//! end may stand out.
//!
//! Invariant: no sentence stands without its source.

use records::job::Run;
use records::work::{self, Topic};

use super::asked::source;
use super::reading::Reading;
use super::{Block, words};

/// What the rule set says in words and asks of no figure of a run, once, each with its source.
pub(super) fn besides(reading: &Reading<'_>) -> Vec<Block> {
    let mut items: Vec<String> = Vec::new();
    for run in &reading.job.runs {
        let Some(Ok(asked)) = reading.found.asked(run) else {
            continue;
        };
        let said = asked.rule_words.iter();
        for item in said.map(|s| format!("{} Source: {}.", s.text, source(&s.source))) {
            if !items.contains(&item) {
                items.push(item);
            }
        }
    }
    if items.is_empty() {
        return Vec::new();
    }
    vec![
        Block::head("What the rule set says besides"),
        Block::List { items },
    ]
}

/// The most that a wire's end may stand out of its swage in a run, and who says so.
pub(super) fn most_end_out(reading: &Reading<'_>, run: &Run) -> (String, String) {
    let head = match work::most_end_out(reading.job, run) {
        Some(most) => format!("Wire end out, at most {}\u{a0}mm", words::bare_mm(most.nm)),
        None => "Wire end out".to_owned(),
    };
    let asked = reading.found.asked(run).and_then(|a| a.as_ref().ok());
    let mut findings = asked.into_iter().flat_map(|a| &a.findings);
    let said = findings.find(|f| f.topic == Topic::WireEnd).map_or_else(
        || "Wire end out: at most half the strand's diameter (common practice).".to_owned(),
        |f| format!("{} Source: {}.", f.sentence, source(&f.source)),
    );
    // A rule's sentence below a table reads as what was found there.
    let said = format!("Asked, and found only where the table shows it: {said}");
    (head, said)
}
