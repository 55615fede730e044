//! Cautions where the work is described, for whoever touches the barrier next.
//!
//! Common practice of the trade, in our own words; each stands in the section that it belongs to.

use records::job::Run;

use super::reading::Reading;
use super::{Block, words};

fn caution(text: impl Into<String>) -> Block {
    Block::Caution { text: text.into() }
}

/// Before posts or fixings are changed.
pub(super) fn posts() -> Block {
    caution(
        "Posts like these bend under this pull. Before posts, rail or fixings are changed, or more tension is put on, ask an engineer. More pull never cures a post that moves.",
    )
}

/// Before a wire is replaced: cutting, threading, pressing.
pub(super) fn replacing() -> Vec<Block> {
    vec![
        caution(
            "Before a wire is replaced: a wire under tension springs. Slacken it at both ends first, glasses on. Cut with wire shears, no disc, both sides held. Cap the end for pulling through; a kinked wire is scrap.",
        ),
        caution(
            "Before the second end is pressed: sleeves on, wire through every post, lock nut of the right hand on, hand tried. There is no way back after the press. Fingers out, the right die, and the tool's own sheet.",
        ),
    ]
}

/// Before a length is taken from this record.
pub(super) fn lengths() -> Block {
    caution(
        "A length read for a quote, or before posts and rail were final, is not for cutting. A new wire is measured again, with its own turn-in.",
    )
}

/// Before a stud is turned.
pub(super) fn threads() -> Block {
    caution(
        "Turn studs in by hand, slowly, with anti-seize. Tight early means galling: back off. A stud that bottoms feels firm too: only the hidden mark shows that enough thread is in. Against an end that cannot turn with it, every turn of a stud twists the wire.",
    )
}

/// Before anybody re-tensions: with the upper tension of each run.
pub(super) fn tension(reading: &Reading<'_>) -> Vec<Block> {
    let uppers: Vec<String> = reading.job.runs.iter().filter_map(upper).collect();
    let over = if uppers.is_empty() {
        "Over the upper tension: stop.".to_owned()
    } else {
        format!("Over the upper tension ({}): stop.", uppers.join(", "))
    };
    vec![
        caution(format!(
            "Before anyone re-tensions: stand aside, turn both ends by equal turns, go across the run in passes and watch the posts. No wire alone: it takes the load off its neighbours. {over}"
        )),
        caution(
            "A sound is a guide only; prove a tension with a gauge or a weighed mass. A cold reading flatters: between fixed posts warmth takes tension off.",
        ),
    ]
}

fn upper(run: &Run) -> Option<String> {
    let tensions = run.tensions.value()?;
    Some(format!(
        "run {} {}",
        run.name,
        words::newtons(tensions.upper_mn)
    ))
}

/// While wires are off.
pub(super) fn edge() -> Block {
    caution(
        "While a wire is off there is no barrier here: tie on or guard the edge, and do not leave it open for the night.",
    )
}
