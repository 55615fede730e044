//! One pass over the wires: the order that asks for least on the way, or why passes are needed.

use mechanics::Newtons;
use mechanics::tensioning::{OnePass, least_order, one_pass as in_order, pass_order};

use super::{Laid, OnePassPlan, OneStep, UsualOrder};
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
    let possible = best.largest <= laid.upper;
    Ok(OnePassPlan {
        sentence: sentence(laid, &best, &usual),
        steps: if possible {
            steps(laid, &best, &set)?
        } else {
            Vec::new()
        },
        possible,
        largest_n: best.largest.value(),
        proven_least: best.proven_least,
        usual,
    })
}

fn steps(laid: &Laid<'_>, best: &OnePass, set: &[Newtons]) -> Result<Vec<OneStep>, WorkError> {
    let turned = laid.frame.turn_in(set)?;
    let mut steps = Vec::with_capacity(best.order.len());
    for (place, target) in best.order.iter().zip(&best.targets) {
        let (wire, name) = laid.name(*place);
        steps.push(OneStep {
            wire,
            name,
            shows_n: laid.shown(*target)?,
            turn: laid.turn(turned.get(*place).copied().unwrap_or_default()),
        });
    }
    Ok(steps)
}

fn sentence(laid: &Laid<'_>, best: &OnePass, usual: &[UsualOrder]) -> String {
    if best.largest <= laid.upper {
        return format!(
            "In one pass, in this order, no wire has to show more than {:.0} N on the way; the \
             upper tension is {}.",
            best.largest.value(),
            laid.upper
        );
    }
    let orders: Vec<String> = usual
        .iter()
        .map(|order| format!("{:.0} N {}", order.largest_n, order.name))
        .collect();
    let least = if best.proven_least {
        "no order needs less than"
    } else {
        "the best of these needs"
    };
    format!(
        "In one pass a wire would have to show {}; {least} {:.0} N. That is above the upper \
         tension of {}: tension in even passes.",
        orders.join(", "),
        best.largest.value(),
        laid.upper
    )
}
