//! What was learned, in words and figures for screen, sheet and release. One file past 400 lines, since all its
//! sentences tell of the same readings.

use mechanics::Millimetres;
use mechanics::cutting::cut_window;
use mechanics::trial::{
    FITTED_SPREAD, Fitted, Learned, Question, Remaining, learn, next_deduction, second_trial,
    window_as_learned,
};

use super::cut::{chances_are_told, computed, untell};
use super::fitted::{Read, expected_of};
use super::{
    AnotherTrial, CutLeft, DeductionLine, Known, Learning, Taught, TrialReading, TrialStage,
};
use crate::job::{Job, Run, Wire};
use crate::work::convert::thread_read_at;
use crate::work::cuts::{CutLine, CutSheet};
use crate::work::{RefusalCode, WorkError, words};

/// What the sheet says of the readings.
pub(super) fn taught(known: &Known, run: &Run, lines: &[CutLine]) -> Taught {
    let names: Vec<&str> = known.readings.iter().map(|r| r.name.as_str()).collect();
    let from = names.join(", ");
    let told: Vec<String> = known
        .readings
        .iter()
        .map(|read| {
            format!(
                "{} takes up {}, {} expected",
                read.name,
                read.takes_up,
                expected_of(&known.prior, read)
            )
        })
        .collect();
    let mut basis = Vec::new();
    for id in known.readings.iter().flat_map(|read| &read.basis) {
        if !basis.contains(id) {
            basis.push(*id);
        }
    }
    let odd = known.learned.questions.iter();
    let mut questions: Vec<String> = odd.map(|question| asked(known, question)).collect();
    let lost = known.inputs.iter().zip(lines).filter(|(input, line)| {
        let open = line.refused.is_none() && line.cut_done_mm.is_none();
        input.is_some() && open && line.learned.is_none()
    });
    let lost: Vec<u32> = lost.map(|(_, line)| line.wire).collect();
    if !lost.is_empty() {
        questions.push(format!(
            "{}: as learned no cut is left that catches by hand and keeps the reserve. Read the \
             trial wire again, or use fittings with more thread.",
            wires_of(run, &lost)
        ));
    }
    // With nothing left to cut, what the wire hung at changes no cut any more.
    if lines.iter().any(|line| line.cut_done_mm.is_none()) {
        questions.extend(known.readings.iter().filter_map(|read| read.unread.clone()));
    }
    Taught {
        sentence: sentence(known, &told.join("; "), lines),
        told: told.join("; "),
        questions,
        from,
        basis,
    }
}

/// What it comes to for the cuts that are left: the least and the most that they move.
fn sentence(known: &Known, told: &str, lines: &[CutLine]) -> String {
    let moved: Vec<f64> = lines
        .iter()
        .filter(|line| line.cut_done_mm.is_none())
        .filter_map(|line| Some(line.learned.as_ref()?.moved_mm))
        .collect();
    let least = moved.iter().copied().fold(f64::INFINITY, f64::min);
    let most = moved.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if moved.is_empty() {
        let open = |line: &CutLine| line.cut_done_mm.is_none() && line.refused.is_none();
        let why = match lines.iter().any(open) {
            true => "As learned no cut works for those that are left: read the trial wire again",
            false => "No cut is left to learn for",
        };
        return format!("{told}. {why}.");
    }
    let middle = Millimetres((least + most) / 2.0);
    if middle.abs() < Millimetres(0.05) {
        return format!("{told}. The computed deduction stands as it is.");
    }
    let way = if middle.value() < 0.0 {
        "shorter"
    } else {
        "longer"
    };
    // A wire whose piece was taken out is cut again.
    let whose = match known.readings.iter().any(|read| read.taken_out) {
        true => "those that are left",
        false => "the others",
    };
    format!(
        "{told}. Learned: {whose} {} {way} than computed{}.",
        middle.abs(),
        alike(lines)
    )
}

/// How many of the cuts that are left read alike on the tape, learned or computed; nothing where none does.
fn alike(lines: &[CutLine]) -> String {
    let left = lines.iter().filter(|line| line.cut_done_mm.is_none());
    let cuts: Vec<bool> = left
        .filter_map(|line| {
            let learned = line.learned.as_ref()?.aim_mm;
            Some((learned - line.aim_mm?).abs() < 0.5)
        })
        .collect();
    match cuts.iter().filter(|alike| **alike).count() {
        0 => String::new(),
        all if all == cuts.len() => ", which moves no cut by a whole millimetre".to_owned(),
        some => format!(
            "; {some} of {} cuts are the same millimetre on the tape",
            cuts.len()
        ),
    }
}

/// "Run A, wires 1–5, 7".
fn wires_of(run: &Run, numbers: &[u32]) -> String {
    format!("Run {}, {}", run.name, words::wires(numbers))
}

/// What a reading's question says. A piece that was taken out can't be read again.
fn asked(known: &Known, question: &Question) -> String {
    let reads: Vec<&Read> = known.reads(&question.wires).collect();
    if reads.iter().all(|read| !read.taken_out) {
        return question.told(|key| known.names_of(&[key]).concat());
    }
    let apart = question.apart;
    let names: Vec<&str> = reads.iter().map(|read| read.name.as_str()).collect();
    let there: Vec<&str> = reads
        .iter()
        .filter(|read| !read.taken_out)
        .map(|read| read.name.as_str())
        .collect();
    match (names.as_slice(), there.as_slice()) {
        ([one], _) => format!(
            "Wire {one}, taken out, took up {apart} {} than its fittings let expect. Measure its length again, and \
             fit and read one more wire before the others are cut.",
            if question.more { "more" } else { "less" }
        ),
        (both, []) => format!(
            "Wires {} disagree by {apart}. One of them was read or cut wrongly, and both are taken out: fit and \
             read one more wire.",
            both.join(" and ")
        ),
        (both, there) => format!(
            "Wires {} disagree by {apart}. One of them was read or cut wrongly: read {} again.",
            both.join(" and "),
            there.join(" and ")
        ),
    }
}

/// The whole answer of a run.
pub(super) fn learning(
    job: &Job<'_>,
    run: &Run,
    sheet: CutSheet,
    known: Option<Known>,
) -> Result<Learning, WorkError> {
    let mut told = Learning {
        run: run.id,
        run_name: run.name.clone(),
        trial_wire: run.trial_wire,
        waiting: waiting(job, run, &sheet),
        readings: Vec::new(),
        taught: sheet.taught.clone(),
        before: None,
        after: None,
        fitted_spread_mm: FITTED_SPREAD.value(),
        left: Vec::new(),
        another: None,
        notes: sheet.notes.clone(),
    };
    let Some(known) = known else {
        return Ok(told);
    };
    let before = learn(&known.prior, &[])?;
    told.before = Some(line_of(&before));
    told.readings = readings(&known);
    let mut remaining = Vec::new();
    for (input, wire) in known.inputs.iter().zip(&run.wires) {
        let line = sheet.lines.iter().find(|line| line.wire == wire.number);
        let (Some(input), Some(line)) = (input, line.filter(|line| is_open(line))) else {
            continue;
        };
        let mut as_computed = computed(&before, input)?;
        if !chances_are_told(line) {
            untell(&mut as_computed);
        }
        told.left.push(CutLeft {
            wire: wire.number,
            name: line.name.clone(),
            issued: line.issued.is_some(),
            computed: as_computed,
            learned: line.learned.clone(),
        });
        let window = cut_window(input)?;
        let window = match window_as_learned(&window, input, &known.learned) {
            _ if known.readings.is_empty() => window,
            Ok(as_learned) => as_learned,
            // No trial brings back a wire for which no cut is left; it is told by itself.
            Err(_) => continue,
        };
        remaining.push(Remaining {
            inside_to_inside: input.inside_to_inside,
            window,
        });
    }
    if !known.readings.is_empty() {
        told.after = Some(line_of(&known.learned));
        if let Some(next) = next_trial(run, &sheet, &known) {
            told.another = match remaining.is_empty() {
                true => another_as_none_is_left(run, next, &known, &told.left)?,
                false => another(run, next, &known, &remaining)?,
            };
        }
    }
    Ok(told)
}

fn waiting(job: &Job<'_>, run: &Run, sheet: &CutSheet) -> Option<String> {
    // What is cut at its length on site has no deduction to learn.
    let on_site = |line: &CutLine| {
        let why = line.refused.as_ref();
        why.is_some_and(|why| why.code == RefusalCode::OnSite)
    };
    if sheet.taught.is_some() || (!sheet.lines.is_empty() && sheet.lines.iter().all(on_site)) {
        return None;
    }
    let name = format!("{}{}", run.name, run.trial_wire);
    let at = thread_read_at(job, run);
    Some(if sheet.trial_cut {
        format!("Fit {name}, bring it to its tension and read the thread left {at}.")
    } else {
        format!("Cut and fit {name} first, then read the thread left {at}.")
    })
}

fn line_of(learned: &Learned) -> DeductionLine {
    let [v00, _, v11] = learned.variance;
    DeductionLine {
        offset_mm: learned.offset.value(),
        offset_spread_mm: v00.sqrt(),
        per_metre_mm: learned.per_metre,
        per_metre_spread_mm: v11.sqrt(),
    }
}

fn readings(known: &Known) -> Vec<TrialReading> {
    known
        .readings
        .iter()
        .zip(&known.learned.weights)
        .map(|(read, weight)| TrialReading {
            wire: read.wire,
            name: read.name.clone(),
            taken_out: read.taken_out,
            inside_mm: read.fitted.inside_to_inside.value(),
            cut_mm: read.fitted.cut.value(),
            showing_mm: read.fitted.showing.value(),
            inward_mm: read.fitted.inward.value(),
            still_to_come_mm: read.fitted.still_to_come.value(),
            takes_up_mm: read.takes_up.value(),
            expected_mm: expected_of(&known.prior, read).value(),
            weight: *weight,
            read_as: read.read_as.clone(),
            entries: read.entries.clone(),
        })
        .collect()
}

/// The wire that would be read next as a trial: one that is cut and was not read, else one that is
/// released, else the first that is left.
fn next_trial(run: &Run, sheet: &CutSheet, known: &Known) -> Option<(u32, TrialStage)> {
    let usable = known.inputs.iter().zip(&run.wires);
    let unread: Vec<(&Wire, &CutLine)> = usable
        .filter(|(input, wire)| {
            let read = |read: &Read| read.wire == wire.number && !read.taken_out;
            input.is_some() && !known.readings.iter().any(read)
        })
        .filter_map(|(_, wire)| {
            let line = sheet.lines.iter().find(|line| line.wire == wire.number);
            Some((wire, line?))
        })
        .collect();
    type Which = fn(&Wire, &CutLine) -> bool;
    let first = |which: Which| {
        let mut found = unread.iter().filter(|(wire, line)| which(wire, line));
        found.next().map(|(wire, _)| wire.number)
    };
    let ways: [(Which, TrialStage); 4] = [
        (|w, l| l.cut_done_mm.is_some() && hangs(w), TrialStage::Read),
        (|_, l| l.cut_done_mm.is_some(), TrialStage::Make),
        (|_, l| is_open(l) && l.issued.is_some(), TrialStage::Make),
        (|_, l| is_open(l), TrialStage::Release),
    ];
    let mut found = ways.into_iter();
    found.find_map(|(which, stage)| Some((first(which)?, stage)))
}

/// Whether a wire is fitted; one that was read is, whoever forgot its tick.
fn hangs(wire: &Wire) -> bool {
    wire.is_fitted() || wire.tensions_now().next().is_some()
}

fn is_open(line: &CutLine) -> bool {
    line.refused.is_none() && line.cut_done_mm.is_none()
}

fn next_of(name: &str, stage: TrialStage) -> String {
    match stage {
        TrialStage::Release => format!("Release {name} for it"),
        TrialStage::Make => format!("{name} is on the way: fit it"),
        TrialStage::Read => format!("{name} is fitted: read how it came out"),
    }
}

fn questioned(names: &[String], next: &str) -> String {
    format!(
        "One more trial wire first is worth the wait: what was read of {} is questioned, and one more shows \
         whether it is right. {next}.",
        names.join(" and ")
    )
}

/// One more trial wire where a questioned reading leaves no wire a cut: no spread tells what it is worth, since
/// every wire misses as long as the reading stands.
fn another_as_none_is_left(
    run: &Run,
    (wire, stage): (u32, TrialStage),
    known: &Known,
    left: &[CutLeft],
) -> Result<Option<AnotherTrial>, WorkError> {
    let doubtful = known.names_of(&known.learned.questioned());
    let input = known
        .inputs
        .iter()
        .zip(&run.wires)
        .find(|(_, of)| of.number == wire);
    let (false, Some((Some(input), _))) = (doubtful.is_empty() || left.is_empty(), input) else {
        return Ok(None);
    };
    let zero = Millimetres(0.0);
    let spread = next_deduction(&known.learned, input.inside_to_inside, zero, zero)?.spread;
    let name = format!("{}{wire}", run.name);
    let misses = f64::from(u32::try_from(left.len()).unwrap_or(u32::MAX));
    Ok(Some(AnotherTrial {
        wire,
        sentence: questioned(&doubtful, &next_of(&name, stage)),
        name,
        stage,
        worth: true,
        why: "By what was read no cut works for any wire that is left.".to_owned(),
        misses_now: misses,
        misses_then: misses,
        spread_now_mm: spread.value(),
        spread_then_mm: spread.value(),
        narrowest_half_mm: 0.0,
    }))
}

fn another(
    run: &Run,
    (wire, stage): (u32, TrialStage),
    known: &Known,
    remaining: &[Remaining],
) -> Result<Option<AnotherTrial>, WorkError> {
    let fitted: Vec<Fitted> = known.readings.iter().map(|read| read.fitted).collect();
    let Some(found) = second_trial(&known.prior, &fitted, remaining)? else {
        return Ok(None);
    };
    let windows = format!("the narrowest window leaves ± {}", found.narrowest_half);
    let (now, then) = (found.spread_now.to_string(), found.spread_then.to_string());
    let narrows = if now == then {
        format!("The spread would stay at {now}; {windows}.")
    } else {
        format!("It would narrow the spread from {now} to {then}; {windows}.")
    };
    let doubtful = known.names_of(&found.questioned);
    let name = format!("{}{wire}", run.name);
    let next = next_of(&name, stage);
    let sentence = if doubtful.is_empty() && !found.worth {
        "One more trial wire first is not worth the wait.".to_owned()
    } else if doubtful.is_empty() {
        format!("One more trial wire first is worth the wait. {next}.")
    } else {
        questioned(&doubtful, &next)
    };
    Ok(Some(AnotherTrial {
        wire,
        name,
        stage,
        worth: found.worth,
        sentence,
        why: narrows,
        misses_now: found.misses_now,
        misses_then: found.misses_then,
        spread_now_mm: found.spread_now.value(),
        spread_then_mm: found.spread_then.value(),
        narrowest_half_mm: found.narrowest_half.value(),
    }))
}
