//! A cut sheet as text, for a terminal or a printer at the bench.
//!
//! It prints what the sheet says and computes nothing: aim and window, or why a wire can't be cut.

use api::ErrorCode;
use records::work::words::window;
use records::work::{CutLine, CutSheet, Refusal, RefusalCode};
use serde_json::Value;

use crate::print;

/// A cut sheet as lines; an answer of another shape is shown as it is.
pub(crate) fn text(answer: &Value) -> String {
    match serde_json::from_value::<CutSheet>(answer.clone()) {
        Ok(sheet) => lines(&sheet),
        Err(_) => print::plain(answer),
    }
}

fn lines(sheet: &CutSheet) -> String {
    let mut text = format!("Run {}", sheet.run_name);
    if let Some(tension) = sheet.tension_n {
        text.push_str(&format!(", cut for {tension:.0} N"));
    }
    text.push_str("\nwire     cut mm       from         to  chance\n");
    let below = told_once(&sheet.lines);
    for line in &sheet.lines {
        text.push_str(&one(line, &below));
    }
    for (sentence, wires) in below {
        text.push_str(&format!(
            "{}: not to be cut: {sentence}\n",
            wires.join(", ")
        ));
    }
    if let Some(taught) = &sheet.taught {
        text.push_str(&format!("{}\n", taught.sentence));
        for question in &taught.questions {
            text.push_str(&format!("{question}\n"));
        }
    }
    for note in &sheet.notes {
        text.push_str(&format!("{note}\n"));
    }
    text
}

/// What keeps wires from being cut, for the exit code: what people have to settle, or that none can be.
pub(crate) fn fault(answer: &Value) -> Option<(ErrorCode, &'static str)> {
    let sheet: CutSheet = serde_json::from_value(answer.clone()).ok()?;
    let disputed = |why: &Refusal| {
        matches!(
            why.code,
            RefusalCode::Disputed | RefusalCode::TensionsDisputed
        )
    };
    let refused = || to_cut(&sheet.lines).filter_map(|line| line.refused.as_ref());
    if refused().any(disputed) {
        return Some((
            ErrorCode::Disputed,
            "People disagree on what a cut rests on: settle it first, the sheet names it.",
        ));
    }
    if refused().any(|why| why.code == RefusalCode::Newer) {
        return Some((
            ErrorCode::Newer,
            "A newer version changed what a cut rests on: update the program, the sheet names it.",
        ));
    }
    let barred = |line: &CutLine| {
        let of = line.refused.as_ref();
        of.is_some_and(|why| why.code != RefusalCode::OnSite)
    };
    let some = to_cut(&sheet.lines).next().is_some();
    (some && to_cut(&sheet.lines).all(barred)).then_some((
        ErrorCode::Fault,
        "Of the wires that are still to be cut none can be yet: the sheet says why.",
    ))
}

/// The wires that nobody cut yet.
fn to_cut(lines: &[CutLine]) -> impl Iterator<Item = &CutLine> {
    lines.iter().filter(|line| line.cut_done_mm.is_none())
}

/// Refusals that several wires share, with the wires' names, in the order of the sheet: those are told
/// once, below the table.
fn told_once(lines: &[CutLine]) -> Vec<(&str, Vec<&str>)> {
    let mut told: Vec<(&str, Vec<&str>)> = Vec::new();
    let refused = to_cut(lines).filter_map(|line| Some((line, line.refused.as_ref()?)));
    for (line, why) in refused.filter(|(_, why)| why.code != RefusalCode::OnSite) {
        let same = |(sentence, _): &&mut (&str, _)| *sentence == why.sentence;
        match told.iter_mut().find(same) {
            Some((_, wires)) => wires.push(&line.name),
            None => told.push((&why.sentence, vec![&line.name])),
        }
    }
    told.retain(|(_, wires)| wires.len() > 1);
    told
}

fn one(line: &CutLine, below: &[(&str, Vec<&str>)]) -> String {
    let cell = |told: Option<String>| format!("{:>11}", told.unwrap_or_else(|| "–".to_owned()));
    // A release keeps the numbers that were told with it, whatever the lengths read since; what was
    // cut is what was cut.
    let (cut, from, to) = match &line.issued {
        Some(told) => (
            Some(told.cut_mm),
            Some(told.shortest_mm),
            Some(told.longest_mm),
        ),
        None => (line.aim_mm, line.shortest_mm, line.longest_mm),
    };
    let told = line.issued.is_none() && cut.is_some();
    let cut = line.cut_done_mm.or(cut);
    let (from, to) = from.zip(to).map(|(from, to)| window(from, to)).unzip();
    let chance = line.chance_words.as_deref().filter(|_| told);
    let mut text = format!(
        "{:<4}{}{}{}{:>8}",
        line.name,
        cell(cut.map(|cut| format!("{cut:.1}"))),
        cell(from),
        cell(to),
        chance.unwrap_or("–")
    );
    let told = match (line.cut_done_mm, &line.issued, line.trial) {
        (Some(_), _, _) => "  cut",
        (None, Some(_), _) if line.outside.is_some() => "  released; not to be cut before a look:",
        (None, Some(told), _) if !told.basis_stands => {
            let why = told
                .moved
                .as_deref()
                .unwrap_or("what it rests on has changed since");
            text.push_str(&format!("  released; look at it before it is cut: {why}"));
            ""
        }
        (None, Some(_), true) => "  released; trial wire: cut and fit this one first",
        (None, Some(_), false) => "  released",
        (None, None, true) if line.refused.is_none() => "  trial wire: cut and fit this one first",
        (None, None, _) => "",
    };
    text.push_str(told);
    if let Some(cut) = line.learned.as_ref().filter(|_| line.cut_done_mm.is_none()) {
        text.push_str(&format!("  as learned {:.1}", cut.aim_mm));
    }
    text.push('\n');
    if let Some(outside) = &line.outside {
        text.push_str(&format!("    {outside}\n"));
    }
    match &line.refused {
        // Said until it was cut so.
        Some(why) if why.code == RefusalCode::OnSite && line.cut_done_mm.is_some() => {}
        Some(why) if why.code == RefusalCode::OnSite => {
            text.push_str(&format!("    {}\n", why.sentence));
        }
        Some(_) if line.cut_done_mm.is_some() => {}
        Some(why) if below.iter().any(|(told, _)| *told == why.sentence) => {}
        Some(why) => text.push_str(&format!("    not to be cut: {}\n", why.sentence)),
        None => {}
    }
    text
}

#[cfg(test)]
mod tests {
    use super::{fault, text};
    use api::ErrorCode;
    use serde_json::{Value, json};

    fn line(wire: u32, trial: bool, aim: Value) -> Value {
        json!({
            "wire": wire, "subject": format!("wire:{RUN}:{wire}"), "name": format!("A{wire}"),
            "trial": trial, "piece": 1, "interpolatedFrom": [], "aimMm": aim,
            "shortestMm": 7223.7, "longestMm": 7245.9, "basis": [], "numbers": [],
            "chance": 0.971, "chanceWords": "97 %",
        })
    }

    const RUN: &str = "aaaaaaaaaaaaaaaaaaaaaaaaaa";

    #[test]
    fn a_sheet_is_a_table_with_its_refusals() {
        let mut refused = line(1, false, Value::Null);
        refused["refused"] = json!({"code": "disputed", "sentence": "Measure it again."});
        let sheet = json!({
            "run": RUN, "runName": "A", "trialWire": 6, "trialCut": false, "tensionN": 1500.0,
            "lines": [line(6, true, json!(7235.0)), refused],
            "totals": {"wires": 2, "cuttable": 1, "refused": 1, "issued": 0, "cut": 0, "aimsMm": 7235.0},
            "showed": [], "notes": ["Inward movement is assumed."], "inputs": [],
        });
        assert_eq!(
            text(&sheet),
            "Run A, cut for 1500 N\n\
             wire     cut mm       from         to  chance\n\
             A6       7235.0     7223.7     7245.9    97 %  trial wire: cut and fit this one first\n\
             A1            –     7223.7     7245.9       –\n    \
                 not to be cut: Measure it again.\n\
             Inward movement is assumed.\n"
        );
    }

    #[test]
    fn what_bars_all_wires_is_told_once_and_is_no_success() {
        let of = |code: &str| {
            let mut lines = vec![line(6, true, Value::Null), line(1, false, Value::Null)];
            for line in &mut lines {
                line["refused"] = json!({"code": code, "sentence": "Settle that first."});
            }
            json!({
                "run": RUN, "runName": "A", "trialWire": 6, "trialCut": false, "tensionN": 1500.0,
                "lines": lines, "showed": [], "notes": [], "inputs": [],
                "totals": {"wires": 2, "cuttable": 0, "refused": 2, "issued": 0, "cut": 0, "aimsMm": 0.0},
            })
        };
        let told = text(&of("tensionsDisputed"));
        assert_eq!(told.matches("Settle that first").count(), 1, "{told}");
        assert!(told.contains("A6, A1: not to be cut: Settle"), "{told}");
        assert!(!told.contains("cut and fit"), "{told}");
        let code = |sheet: &Value| fault(sheet).map(|(code, _)| code);
        assert_eq!(code(&of("tensionsDisputed")), Some(ErrorCode::Disputed));
        assert_eq!(code(&of("noTension")), Some(ErrorCode::Fault));
        assert_eq!(code(&of("onSite")), None);
        // One that can be cut is something to go on with; one that people differ on is not.
        let mut some = of("notMeasured");
        some["lines"][0].as_object_mut().unwrap().remove("refused");
        assert_eq!(code(&some), None);
        some["lines"][1]["refused"]["code"] = json!("disputed");
        assert_eq!(code(&some), Some(ErrorCode::Disputed));
        some["lines"][1]["refused"]["code"] = json!("newer");
        assert_eq!(code(&some), Some(ErrorCode::Newer));
        // What is cut is past all that: the wires that are left decide, and alone are named.
        let mut cut = of("partsMissing");
        for at in 0..2 {
            let mut more = cut["lines"][0].clone();
            more["wire"] = json!(at + 7);
            more["name"] = json!(format!("A{}", at + 7));
            more["cutDoneMm"] = json!(7235.0);
            cut["lines"].as_array_mut().unwrap().push(more);
        }
        assert_eq!(code(&cut), Some(ErrorCode::Fault));
        let told = text(&cut);
        assert!(told.contains("A6, A1: not to be cut: Settle"), "{told}");
        for line in cut["lines"].as_array_mut().unwrap() {
            line["cutDoneMm"] = json!(7235.0);
        }
        assert_eq!(code(&cut), None);
        assert!(!text(&cut).contains("not to be cut"), "{}", text(&cut));
    }

    #[test]
    fn a_window_is_told_no_wider_than_it_is() {
        let mut one = line(6, true, json!(7235.0));
        one["shortestMm"] = json!(7223.7297);
        one["longestMm"] = json!(7245.8722);
        let sheet = json!({
            "run": RUN, "runName": "A", "trialWire": 6, "trialCut": false, "lines": [one],
            "totals": {"wires": 1, "cuttable": 1, "refused": 0, "issued": 0, "cut": 0, "aimsMm": 7235.0},
            "showed": [], "notes": [], "inputs": [],
        });
        let told = text(&sheet);
        assert!(told.contains("7223.8     7245.8"), "{told}");
    }

    #[test]
    fn what_was_released_and_cut_keeps_its_numbers() {
        let mut cut = line(6, true, json!(7222.0));
        cut["issued"] = json!({"cutMm": 7235.0, "shortestMm": 7223.7, "longestMm": 7245.9,
            "entry": "0".repeat(64), "by": "Ann", "person": RUN, "atMs": 0, "basisStands": false});
        cut["cutDoneMm"] = json!(7235.0);
        cut["shortestMm"] = json!(7210.7);
        cut["longestMm"] = json!(7232.9);
        cut["outside"] = json!("A6 was cut at 7235 mm.");
        let sheet = json!({
            "run": RUN, "runName": "A", "trialWire": 6, "trialCut": true, "lines": [cut],
            "totals": {"wires": 1, "cuttable": 1, "refused": 0, "issued": 1, "cut": 1, "aimsMm": 7222.0},
            "showed": [], "notes": [], "inputs": [],
        });
        assert_eq!(
            text(&sheet),
            "Run A\n\
             wire     cut mm       from         to  chance\n\
             A6       7235.0     7223.7     7245.9       –  cut\n    \
                 A6 was cut at 7235 mm.\n"
        );
    }

    #[test]
    fn a_release_that_does_not_stand_is_not_told_as_ready() {
        let row = |outside: bool| {
            let mut line = line(6, true, json!(7315.0));
            line["issued"] = json!({"cutMm": 7235.0, "shortestMm": 7223.7, "longestMm": 7245.9,
                "entry": "0".repeat(64), "by": "Ann", "person": RUN, "atMs": 0, "basisStands": false});
            if outside {
                line["outside"] = json!("A6 is released at 7235 mm.");
            }
            text(&json!({
                "run": RUN, "runName": "A", "trialWire": 6, "trialCut": false, "lines": [line],
                "totals": {"wires": 1, "cuttable": 1, "refused": 0, "issued": 1, "cut": 0, "aimsMm": 7315.0},
                "showed": [], "notes": [], "inputs": [],
            }))
        };
        assert!(row(true).contains("released; not to be cut before a look:\n    A6 is released"));
        assert!(
            row(false)
                .contains("released; look at it before it is cut: what it rests on has changed")
        );
        assert!(!row(true).contains("cut and fit") && !row(false).contains("cut and fit"));
    }

    #[test]
    fn an_answer_of_another_shape_is_shown_as_it_is() {
        assert_eq!(text(&json!({"note": "x"})), "note: x\n");
    }
}
