//! One pass over the wires, from where they stand: the order that asks for least on the way, or why
//! passes are needed.
//!
//! Invariant: no step shows more than leaves its wire below the upper tension, whatever the gauge errs.

use mechanics::Newtons;
use mechanics::tensioning::{Replan, ReplanWire, one_pass as in_order, one_pass_on, pass_order};
use mechanics::thread::take_up_per_flat;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::hung::as_told;
use super::now::State;
use super::plan::over_places;
use super::{Laid, NO_ERROR, NowFrom, TurnIn};
use crate::work::WorkError;

/// A figure that a wire is brought to, and what the gauge may show for it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct ToShow {
    /// What it has to show when it has just been turned, as the gauge can tell it.
    pub tension_n: f64,
    /// The least that the gauge may show.
    pub from_n: f64,
    /// The most.
    pub to_n: f64,
}

/// A wire in a single pass.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct OneStep {
    /// Number of the wire.
    pub wire: u32,
    /// "A6".
    pub name: String,
    /// What it has to show when it has just been tightened in this order, as the gauge can tell it, and
    /// never so much that it may be above the upper tension.
    pub shows_n: f64,
    /// What it has to show where it is turned next, whatever stands before it in the order; none where
    /// it may be above the upper tension then.
    pub next: Option<ToShow>,
    /// What to turn.
    pub turn: TurnIn,
}

/// A usual order and the most that a wire has to show in it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct UsualOrder {
    /// "from the bottom up".
    pub name: String,
    /// Largest target.
    pub largest_n: f64,
}

/// One pass over the wires that are left to turn, or why not.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct OnePassPlan {
    /// Whether in the best order no wire has to show more than leaves it below the upper tension,
    /// the gauge's error counted.
    pub possible: bool,
    /// Largest target of the best order, not rounded.
    pub largest_n: f64,
    /// The largest that the steps show; none where it is not possible.
    pub shows_most_n: Option<f64>,
    /// Whether no order has a smaller one.
    pub proven_least: bool,
    /// The best order of the wires that are left to turn with its targets; empty where it is not possible.
    pub steps: Vec<OneStep>,
    /// The usual orders from slack wires, the least first; empty once something was tightened.
    pub usual: Vec<UsualOrder>,
    /// One sentence.
    pub sentence: String,
}

/// One pass from where the wires stand: those that are as near to their tension as the gauge can tell
/// stay, the rest is turned in the least order. None where nothing is left of it.
pub(super) fn one_pass(laid: &Laid<'_>, state: &State) -> Result<Option<OnePassPlan>, WorkError> {
    let set = vec![laid.set; laid.frame.wires()];
    let half = take_up_per_flat(&laid.threads) / 2.0;
    let best = one_pass_on(&laid.frame, &state.now, &set, laid.error, half)?;
    let most = laid.may_show()?;
    let over = over_upper(laid, state);
    let possible = best.largest <= most && laid.error_told && over.is_none();
    if best.wires.is_empty() {
        return Ok(None);
    }
    let usual = match state.begun {
        true => Vec::new(),
        false => usual(laid, &set)?,
    };
    let mut steps = Vec::new();
    if possible {
        for step in &best.wires {
            steps.push(one_step(laid, step, most)?);
        }
    }
    let shows_most_n = steps.iter().map(|step| step.shows_n).reduce(f64::max);
    Ok(Some(OnePassPlan {
        sentence: match (shows_most_n, over) {
            (_, Some(over)) => over,
            (Some(shown), None) => offered(laid, shown),
            (None, None) if !laid.error_told => format!(
                "One pass is not offered: {NO_ERROR} In the best order a wire would have to show \
                 {} on the way; the upper tension is {}.",
                Newtons(laid.shown(best.largest)?),
                laid.upper
            ),
            (None, None) => why_not(laid, &best, &usual, most)?,
        },
        shows_most_n,
        steps,
        possible,
        largest_n: best.largest.value(),
        proven_least: best.proven_least,
        usual,
    }))
}

/// What to do first where a wire stands above the upper tension; none where none does. No pass begins from there.
pub(super) fn over_upper(laid: &Laid<'_>, state: &State) -> Option<String> {
    let stands = |wire: usize| state.now.get(wire).map(|now| (wire, now));
    let over = over_places(laid, state).into_iter().filter_map(stands);
    let Some((wire, now)) = over.max_by(|(_, a), (_, b)| a.value().total_cmp(&b.value())) else {
        let (_, name) = laid.name(*state.read_first.first()?);
        return Some(format!(
            "Wire {name} was let out from above the upper tension of {}: read it there again before anything is \
             turned.",
            laid.upper
        ));
    };
    let (_, name) = laid.name(wire);
    let stands = match state.from.get(wire)? {
        NowFrom::Read | NowFrom::Slack => format!("stands at {now}"),
        NowFrom::Mass => format!("stands at {} by the hung mass", as_told(*now)),
        NowFrom::Computed => format!(
            "comes to about {:.0} N, computed, since another was taken out",
            now.value()
        ),
    };
    let above = match *now > laid.upper {
        true => "above",
        false => "and for what the gauge errs may be above",
    };
    Some(format!(
        "Wire {name} {stands}, {above} the upper tension of {}: let it out and read it first.",
        laid.upper
    ))
}

fn usual(laid: &Laid<'_>, set: &[Newtons]) -> Result<Vec<UsualOrder>, WorkError> {
    let wires = laid.frame.wires();
    let up: Vec<usize> = (0..wires).collect();
    let down = up.iter().rev().copied().collect();
    let mut usual = Vec::new();
    for (name, order) in [
        ("from the bottom up", up),
        ("from the top down", down),
        ("from the middle out", pass_order(wires, 1)),
        ("from the edges in", pass_order(wires, 0)),
    ] {
        usual.push(UsualOrder {
            name: name.to_owned(),
            largest_n: in_order(&laid.frame, set, &order)?.largest.value(),
        });
    }
    usual.sort_by(|a, b| a.largest_n.total_cmp(&b.largest_n));
    Ok(usual)
}

fn one_step(laid: &Laid<'_>, step: &ReplanWire, most: Newtons) -> Result<OneStep, WorkError> {
    let (wire, name) = laid.name(step.wire);
    let mut next = None;
    if step.most_first <= most && step.shows_first.value() > 0.0 {
        let tension_n = laid.target(step.shows_first, most)?;
        let (from_n, to_n) = laid.may_read(Newtons(tension_n))?;
        next = Some(ToShow {
            tension_n,
            from_n,
            to_n,
        });
    }
    Ok(OneStep {
        wire,
        name,
        shows_n: laid.target(step.shows, most)?,
        next,
        turn: laid.turn(step.turn_in),
    })
}

fn offered(laid: &Laid<'_>, shown: f64) -> String {
    let at_most = if laid.error > 0.0 {
        let carries = Newtons((shown * (1.0 + laid.error)).round());
        format!(" (it may carry {carries} then, for what the gauge errs)")
    } else {
        String::new()
    };
    format!(
        "In one pass, in this order, no wire has to show more than {} on the way{at_most}; the upper \
         tension is {}.",
        Newtons(shown),
        laid.upper
    )
}

fn why_not(
    laid: &Laid<'_>,
    best: &Replan,
    usual: &[UsualOrder],
    most: Newtons,
) -> Result<String, WorkError> {
    let (limit, above) = if best.largest > laid.upper {
        let above = format!("above the upper tension of {}", laid.upper);
        (laid.upper, above)
    } else {
        let above = format!(
            "more than the {most} that the gauge may show to stay below the upper tension of {}",
            laid.upper
        );
        (most, above)
    };
    let mut orders = Vec::with_capacity(usual.len());
    for order in usual {
        let shows = laid.shown_above(Newtons(order.largest_n), limit)?;
        orders.push(format!("{shows} {}", order.name));
    }
    let least = if best.proven_least {
        "no order needs less than about"
    } else {
        "the best of these needs about"
    };
    let shows = laid.shown_above(best.largest, limit)?;
    if orders.is_empty() {
        return Ok(format!(
            "From where the wires stand, one would have to show about {shows} in one pass. That is \
             {above}: go on in even passes."
        ));
    }
    Ok(format!(
        "In one pass a wire would have to show about {}; {least} {shows}. That is {above}: tension in even \
         passes.",
        orders.join(", "),
    ))
}
