//! A cut plan as text, for a terminal or a printer at the bench: what to cut from what, in order.
//!
//! It prints what the plan says and computes nothing.

use records::work::words::window;
use records::work::{CutGroup, CutPlan, StockState, StrandPlan};
use serde_json::Value;

use crate::print;

/// A cut plan as lines; an answer of another shape is shown as it is.
pub(crate) fn text(answer: &Value) -> String {
    match serde_json::from_value::<CutPlan>(answer.clone()) {
        Ok(plan) => lines(&plan),
        Err(_) => print::plain(answer),
    }
}

fn lines(plan: &CutPlan) -> String {
    let mut text = String::new();
    for strand in &plan.strands {
        text.push_str(&of_strand(strand));
    }
    if !plan.not_ready.is_empty() {
        text.push_str("Not in the plan\n");
        for wires in &plan.not_ready {
            text.push_str(&format!("  {}: {}\n", wires.names, wires.reason));
        }
    }
    text.push_str("In stock\n");
    if plan.stock.is_empty() {
        text.push_str("  no reel or offcut\n");
    }
    for item in &plan.stock {
        let state = match item.state {
            StockState::Whole => "whole",
            StockState::Started => "started",
            StockState::UsedUp => "used up",
            StockState::Scrap => "scrap",
            StockState::NotCome => "not come",
            StockState::Wrong => "came wrong",
            StockState::NotKnown => "not known",
        };
        let left = match item.state {
            StockState::NotCome | StockState::Wrong => "",
            _ => " left",
        };
        text.push_str(&format!(
            "  {}: {} mm{left}, {state}\n",
            item.name, item.left_mm
        ));
    }
    for note in &plan.notes {
        text.push_str(&format!("{note}\n"));
    }
    text
}

fn of_strand(strand: &StrandPlan) -> String {
    let mut text = format!("{}\n", strand.name);
    for group in &strand.groups {
        text.push_str(&of_group(group));
    }
    for wire in &strand.no_stock {
        text.push_str(&format!(
            "  no strand for {}, {} mm: {}\n",
            wire.name, wire.cut_mm, wire.reason
        ));
    }
    if let Some(problem) = &strand.problem {
        text.push_str(&format!("  {problem}\n"));
    }
    if !strand.sentence.is_empty() {
        text.push_str(&format!("  {}\n", strand.sentence));
    }
    if strand.groups.is_empty() && strand.no_stock.is_empty() && strand.problem.is_none() {
        text.push_str("  nothing to cut\n");
    }
    text
}

fn of_group(group: &CutGroup) -> String {
    let trial = if group.trial {
        ", trial wires first"
    } else {
        ""
    };
    let mut text = format!("  from {}{trial}\n", group.name);
    for cut in &group.cuts {
        let (from, to) = window(cut.shortest_mm, cut.longest_mm);
        text.push_str(&format!(
            "  {:>4}  {:<12} {:>9.1} mm  {:>8} to {:<8}  {:<8} {:>10.1} mm left\n",
            cut.number, cut.name, cut.cut_mm, from, to, cut.end, cut.left_mm
        ));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::text;
    use serde_json::json;

    const RUN: &str = "aaaaaaaaaaaaaaaaaaaaaaaaaa";

    #[test]
    fn a_plan_says_what_to_cut_from_what_and_why_not() {
        let plan = json!({
            "rules": {"kerfNm": 0, "endTrimNm": 0, "leastUsableNm": 0},
            "strands": [{
                "strand": RUN, "name": "3.2 mm", "keptMm": 52765.0, "scrapMm": 0.0, "notReadyMm": 0.0,
                "groups": [{"stock": format!("batch:{RUN}"), "name": "R-1", "kind": "reel", "trial": true,
                    "leftMm": 52765.0, "cuts": [{"number": 1, "run": RUN, "wire": 6, "piece": 1, "name": "A6",
                        "end": "A1:LH", "cutMm": 7235.0, "shortestMm": 7223.66, "longestMm": 7245.94, "trial": true,
                        "leftMm": 52765.0}]}],
                "noStock": [{"run": RUN, "wire": 9, "name": "A9", "cutMm": 70000.0, "reason": "Too long."}],
                "after": [], "reels": null, "sentence": "1 piece from 1 reel.", "problem": null,
            }],
            "notReady": [{"run": RUN, "wires": [1, 2], "names": "A1–2", "reason": "Not released yet."}],
            "stock": [{"id": format!("batch:{RUN}"), "name": "R-1", "batch": RUN, "strand": RUN, "kind": "reel",
                "lengthMm": 60000.0, "cuts": [], "cutMm": 0.0, "lostMm": 0.0, "scrappedMm": 0.0,
                "leftMm": 60000.0, "state": "whole", "problem": null},
                {"id": "batch:b", "name": "R-8", "batch": RUN, "strand": RUN, "kind": "reel",
                "lengthMm": 60000.0, "cuts": [], "cutMm": 0.0, "lostMm": 0.0, "scrappedMm": 0.0,
                "leftMm": 60000.0, "state": "notCome", "problem": "R-8 is ordered."}],
            "takenOut": [], "notes": ["A note."],
        });
        assert_eq!(
            text(&plan),
            "3.2 mm\n  \
               from R-1, trial wires first\n     \
                  1  A6              7235.0 mm    7223.7 to 7245.9    A1:LH       52765.0 mm left\n  \
               no strand for A9, 70000 mm: Too long.\n  \
               1 piece from 1 reel.\n\
             Not in the plan\n  \
               A1–2: Not released yet.\n\
             In stock\n  \
               R-1: 60000 mm left, whole\n  \
               R-8: 60000 mm, not come\n\
             A note.\n"
        );
    }

    #[test]
    fn an_answer_of_another_shape_is_shown_as_it_is() {
        assert_eq!(text(&json!({"note": "x"})), "note: x\n");
    }
}
