//! One pass over the wires: the order that asks for least on the way, or why passes are needed.

use mechanics::Newtons;
use mechanics::tensioning::{OnePass, least_order, one_pass as in_order, pass_order};

use super::{Laid, NO_ERROR, OnePassPlan, OneStep, UsualOrder};
use crate::work::WorkError;

pub(super) fn one_pass(laid: &Laid<'_>) -> Result<OnePassPlan, WorkError> {
    let wires = laid.frame.wires();
    let set = vec![laid.set; wires];
    let best = least_order(&laid.frame, &set)?;
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
            largest_n: in_order(&laid.frame, &set, &order)?.largest.value(),
        });
    }
    usual.sort_by(|a, b| a.largest_n.total_cmp(&b.largest_n));
    let most = laid.may_show()?;
    let possible = best.largest <= most && laid.error_told;
    let steps = if possible {
        steps(laid, &best, &set, most)?
    } else {
        Vec::new()
    };
    let shows_most_n = steps.iter().map(|step| step.shows_n).reduce(f64::max);
    Ok(OnePassPlan {
        sentence: match shows_most_n {
            Some(shown) => offered(laid, shown),
            None if !laid.error_told => format!(
                "One pass is not offered: {NO_ERROR} In the best order a wire would have to show \
                 {:.0} N on the way; the upper tension is {}.",
                best.largest.value(),
                laid.upper
            ),
            None => why_not(laid, &best, &usual, most),
        },
        shows_most_n,
        steps,
        possible,
        largest_n: best.largest.value(),
        proven_least: best.proven_least,
        usual,
    })
}

fn steps(
    laid: &Laid<'_>,
    best: &OnePass,
    set: &[Newtons],
    most: Newtons,
) -> Result<Vec<OneStep>, WorkError> {
    let turned = laid.frame.turn_in(set)?;
    let mut steps = Vec::with_capacity(best.order.len());
    for (place, target) in best.order.iter().zip(&best.targets) {
        let (wire, name) = laid.name(*place);
        steps.push(OneStep {
            wire,
            name,
            shows_n: laid.target(*target, most)?,
            turn: laid.turn(turned.get(*place).copied().unwrap_or_default()),
        });
    }
    Ok(steps)
}

fn offered(laid: &Laid<'_>, shown: f64) -> String {
    let at_most = if laid.error > 0.0 {
        let carries = Newtons((shown * (1.0 + laid.error)).round());
        format!(", and carries {carries} at most for what the gauge errs")
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

fn why_not(laid: &Laid<'_>, best: &OnePass, usual: &[UsualOrder], most: Newtons) -> String {
    let orders: Vec<String> = usual
        .iter()
        .map(|order| format!("{:.0} N {}", order.largest_n, order.name))
        .collect();
    let least = if best.proven_least {
        "no order needs less than"
    } else {
        "the best of these needs"
    };
    let above = if best.largest > laid.upper {
        format!("above the upper tension of {}", laid.upper)
    } else {
        format!(
            "more than the {most} that the gauge may show to stay below the upper tension of {}",
            laid.upper
        )
    };
    format!(
        "In one pass a wire would have to show {}; {least} {:.0} N. That is {above}: tension in even \
         passes.",
        orders.join(", "),
        best.largest.value(),
    )
}
