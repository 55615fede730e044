//! One line of a cut sheet, from the run's shared figures and the wire's own length.

use mechanics::cutting::{
    CutInput, CutWindow, FixedPlace, ShortestBy, Spreads, aim_on_tape, compare_fixed_deduction,
    cut_window,
};
use mechanics::{MechanicsError, Millimetres, Newtons};

use super::shared::Shared;
use super::{CutLine, FixedRule, Issued, Refusal, RefusalCode};
use crate::job::{Job, Run, Wire};
use crate::model::context::Number;
use crate::subject::Subject;
use crate::work::basis::Decision;
use crate::work::convert::nm;
use crate::work::figures::Origin;
use crate::work::lengths::{Inside, Known};
use crate::work::standing::Stands;
use crate::work::{WorkError, words};

/// The tape is read to the millimetre.
pub(in crate::work) const TAPE: Millimetres = Millimetres(1.0);

/// Works out one wire.
pub(super) fn line(
    job: &Job<'_>,
    run: &Run,
    wire: &Wire,
    length: &Inside,
    shared: &Result<Shared, Refusal>,
    stands: &Stands,
) -> Result<CutLine, WorkError> {
    let mut line = CutLine {
        wire: wire.number,
        subject: Subject::Wire(run.id, wire.number),
        name: format!("{}{}", run.name, wire.number),
        trial: wire.number == run.trial_wire,
        piece: wire.piece_number,
        inside_mm: None,
        inside_origin: None,
        interpolated_from: Vec::new(),
        inside_spread_mm: None,
        inward_mm: None,
        inward_origin: None,
        shortest_mm: None,
        shortest_by: None,
        longest_mm: None,
        width_mm: None,
        aim_mm: None,
        deduction_mm: None,
        stretch_mm: None,
        chance: None,
        chance_words: None,
        spread_mm: None,
        learned: None,
        fixed: None,
        refused: None,
        basis: Vec::new(),
        numbers: Vec::new(),
        issued: issued(job, run, wire, stands),
        cut_done_mm: wire.cut.value().map(|c| nm(c.nm).value()),
        outside: None,
    };
    let known = match &length.length {
        Ok(known) => known,
        Err(refusal) => {
            // A cut on site rests on no length; one that people differ on is settled first all the same.
            let on_site = shared.as_ref().err().filter(|of_run| {
                of_run.code == RefusalCode::OnSite
                    && !matches!(refusal.code, RefusalCode::Disputed | RefusalCode::Newer)
            });
            line.refused = Some(on_site.unwrap_or(refusal).clone());
            return Ok(line);
        }
    };
    line.inside_mm = Some(known.mm.value());
    line.inside_origin = Some(known.origin);
    line.inside_spread_mm = Some(known.spread.value());
    if known.origin == Origin::Interpolated {
        line.interpolated_from.clone_from(&known.from);
    }
    line.basis.clone_from(&known.basis);
    match shared {
        Ok(shared) => {
            line.basis.extend(&shared.basis);
            window(&mut line, known, shared)?;
        }
        Err(refusal) => line.refused = Some(refusal.clone()),
    }
    Ok(line)
}

/// What a wire's window is worked out from.
pub(in crate::work) fn input(shared: &Shared, known: &Known, wire: u32) -> CutInput {
    let at = usize::try_from(wire.saturating_sub(1)).unwrap_or(usize::MAX);
    let of = |moved: &[Millimetres]| moved.get(at).copied().unwrap_or_default();
    CutInput {
        inside_to_inside: known.mm,
        inward: of(&shared.inward.along_wire),
        inward_before: of(&shared.inward.before),
        spreads: Spreads {
            measure: known.spread,
            ..shared.input.spreads
        },
        ..shared.input.clone()
    }
}

fn window(line: &mut CutLine, known: &Known, shared: &Shared) -> Result<(), WorkError> {
    let input = input(shared, known, line.wire);
    line.inward_mm = Some(input.inward.value());
    line.inward_origin = Some(shared.inward.origin);
    let window = match cut_window(&input) {
        Ok(window) => window,
        Err(error) => {
            let code = match error {
                MechanicsError::NoWindow { .. } => RefusalCode::NoWindow,
                _ => RefusalCode::BadFigure,
            };
            line.refused = Some(Refusal {
                code,
                sentence: format!("Wire {}: {error}.", line.wire),
            });
            return Ok(());
        }
    };
    if let Some((post, takes)) = &shared.one_tensioner {
        // Caught where other runs hold the posts apart, it has that to take up too.
        let apart = input.inward_before.min(Millimetres(0.0));
        let needed = window.stretch + input.inward - apart;
        if needed > *takes {
            line.refused = Some(Refusal {
                code: RefusalCode::NoWindow,
                sentence: format!(
                    "Wire {}: tensioned at {post} alone it has {needed} to take up, and the thread \
                     there takes {takes}. {}.",
                    line.wire,
                    match input.left.has_thread() && input.right.has_thread() {
                        true => "Tension at both ends",
                        false =>
                            "Use a fitting with more thread there, or one with a thread at both ends",
                    }
                ),
            });
            return Ok(());
        }
    }
    let aim = aim_on_tape(&window, TAPE)?;
    line.shortest_mm = Some(window.shortest.value());
    line.shortest_by = Some(
        match window.shortest_by {
            ShortestBy::Engagement => "least engagement when tensioned",
            ShortestBy::Catching => "catching the thread by hand before the posts move",
        }
        .to_owned(),
    );
    line.longest_mm = Some(window.longest.value());
    line.outside = outside(line, &window, false);
    line.width_mm = Some(window.width.value());
    line.aim_mm = Some(aim.value());
    line.deduction_mm = Some((known.mm - aim).value());
    line.stretch_mm = Some(window.stretch.value());
    // One that leaves nothing of the wire is told among the sheet's notes.
    if let Some(deduction) = shared.fixed.filter(|d| *d < known.mm) {
        line.fixed = Some(fixed(&window, known.mm, deduction)?);
    }
    line.numbers = numbers(line, shared.input.tension);
    Ok(())
}

/// What was cut or released and lies outside a window, in one sentence; `learned` where a trial wire teaches
/// the window.
pub(in crate::work) fn outside(
    line: &CutLine,
    window: &CutWindow,
    learned: bool,
) -> Option<String> {
    let done = "Look at what changed, and measure again unless it is fitted; a wire that can't be used is made anew";
    let (shows, todo) = match learned {
        true => (
            ", what the trial wire shows",
            "Read the trial wire and measure again, or release it anew, before it is cut",
        ),
        false => ("", "Measure again, or release it anew, before it is cut"),
    };
    let (length, what, advice) = match (line.cut_done_mm, &line.issued) {
        (Some(cut), _) => (cut, "was cut at", done),
        (None, Some(issued)) => (issued.cut_mm, "is released at", todo),
        (None, None) => return None,
    };
    let length = Millimetres(length);
    let off = if length < window.shortest {
        format!("{} too short", window.shortest - length)
    } else if length > window.longest {
        format!("{} too long", length - window.longest)
    } else {
        return None;
    };
    let (from, to) = words::window(window.shortest.value(), window.longest.value());
    Some(format!(
        "{} {what} {length}. As its length, the set tension{shows} and the figures stand now it should lie within {from} and {to} mm: {off}. \
         {advice}.",
        line.name
    ))
}

fn fixed(
    window: &CutWindow,
    inside: Millimetres,
    deduction: Millimetres,
) -> Result<FixedRule, WorkError> {
    let found = compare_fixed_deduction(window, inside, deduction)?;
    let (is_inside, by, words) = match found.place {
        FixedPlace::Inside { in_hand } => (true, in_hand, format!("inside, {in_hand} in hand")),
        FixedPlace::TooLong { by } => (false, by, format!("{by} too long")),
        FixedPlace::TooShort { by } => (false, by, format!("{by} too short")),
    };
    Ok(FixedRule {
        deduction_mm: deduction.value(),
        cut_mm: found.cut.value(),
        inside: is_inside,
        by_mm: by.value(),
        sentence: format!(
            "Common practice, {deduction} off inside to inside, would cut {}: {words}.",
            found.cut
        ),
    })
}

fn numbers(line: &CutLine, tension: Newtons) -> Vec<Number> {
    let mm = |name: &str, value: Option<f64>, digits: usize, origin: String| {
        value.map(|v| Number {
            name: name.to_owned(),
            value: format!("{v:.digits$} mm"),
            origin,
        })
    };
    let inside = match line.inside_origin {
        Some(Origin::Interpolated) => {
            let from: Vec<String> = line.interpolated_from.iter().map(u32::to_string).collect();
            format!("interpolated from wires {}", from.join(", "))
        }
        Some(origin) => origin.word().to_owned(),
        None => String::new(),
    };
    let inward = line.inward_origin.map_or("", Origin::word).to_owned();
    let window = line.shortest_mm.zip(line.longest_mm);
    let window = window.map(|(from, to)| words::window(from, to));
    let end = |name: &str, end: String| Number {
        name: name.to_owned(),
        value: format!("{end} mm"),
        origin: "computed".to_owned(),
    };
    let (shortest, longest) = window
        .map(|(from, to)| (end("shortest cut", from), end("longest cut", to)))
        .unzip();
    [
        mm("inside to inside", line.inside_mm, 1, inside),
        mm("inward movement of both posts", line.inward_mm, 1, inward),
        shortest,
        longest,
        mm(
            "cut",
            line.aim_mm,
            0,
            "middle of the window, on the tape".into(),
        ),
        Some(Number {
            name: "set tension".into(),
            value: tension.to_string(),
            origin: "decided for the run".into(),
        }),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn issued(job: &Job<'_>, run: &Run, wire: &Wire, stands: &Stands) -> Option<Issued> {
    let told = wire.issued.told()?;
    let issue = told.value?;
    let moved = stands.moved(job, Decision::Release(run, wire), &told.basis) > 0;
    Some(Issued {
        cut_mm: nm(issue.cut_nm).value(),
        shortest_mm: nm(issue.shortest_nm).value(),
        longest_mm: nm(issue.longest_nm).value(),
        deduction: issue.deduction,
        entry: told.id,
        by: job.reader.person(&told.person),
        person: told.person,
        at_ms: told.at.ms,
        basis_stands: !moved,
        moved: moved.then(|| super::moved::BASIS.to_owned()),
    })
}
