//! One line of a cut sheet, from the run's shared figures and the wire's own length.

use mechanics::cutting::{
    CutInput, FixedPlace, ShortestBy, Spreads, aim_on_tape, compare_fixed_deduction, cut_chance,
    cut_window, shown_chance,
};
use mechanics::{Kelvins, MechanicsError, Millimetres, Newtons};

use super::*;
use crate::job::{Fact, Wire};
use crate::work::inward::Inward;
use crate::work::lengths::{Inside, Known};

/// The tape is read to the millimetre.
const TAPE: Millimetres = Millimetres(1.0);
/// Relative spread of EA, assumed (engineering.md section 2).
const STIFFNESS_SPREAD: f64 = 0.15;
/// Spread of the permanent stretch, assumed (engineering.md section 2).
const STRETCH_SPREAD: f64 = 1.5e-4;

/// What all wires of a run share.
pub(super) struct Shared {
    /// Everything but the wire's own length and movement.
    input: CutInput,
    inward: Inward,
    fixed: Option<Millimetres>,
    basis: Vec<Hash>,
    pub(super) inputs: Vec<Number>,
}

/// The shared figures, or why no wire of the run can be cut.
pub(super) fn shared(
    job: &Job<'_>,
    run: &Run,
    notes: &mut Vec<String>,
) -> Result<Result<Shared, Refusal>, WorkError> {
    let missing = |sentence: String| {
        Ok(Err(Refusal {
            code: RefusalCode::PartsMissing,
            sentence,
        }))
    };
    let heights = job.reader.one(
        crate::model::fields::RUN_WIRE_HEIGHTS,
        &run.subject().to_string(),
        "",
    );
    if heights.blocks() {
        return Ok(Err(Refusal {
            code: RefusalCode::Disputed,
            sentence: format!(
                "Run {}: people disagree on the heights of its wires. Settle that first.",
                run.name
            ),
        }));
    }
    let Some((strand, figures)) = strand_of(job, run) else {
        return missing(format!("Run {}: choose its strand first.", run.name));
    };
    let Some(ends) = ends_of(job, run) else {
        return missing(format!("Run {}: tell its two end posts first.", run.name));
    };
    if ends.first.hand == ends.last.hand {
        return missing(format!(
            "Run {}: both ends have the same hand. One must be LH and the other RH.",
            run.name
        ));
    }
    let (Some(left), Some(right)) = (
        terminal_for(job, run, Hand::Left),
        terminal_for(job, run, Hand::Right),
    ) else {
        return missing(format!("Run {}: choose its fitting set first.", run.name));
    };
    let Some(tensions) = run.tensions.value() else {
        let sentence = if run.tensions.blocks() {
            format!(
                "Run {}: people disagree on its tensions. Settle that first.",
                run.name
            )
        } else {
            format!("Run {}: decide its set tension first.", run.name)
        };
        return Ok(Err(Refusal {
            code: RefusalCode::NoTension,
            sentence,
        }));
    };
    if ends.assumed {
        notes.push(
            "An end of the run is not told: taken as the fitting set has it, left hand at the \
             first post."
                .to_owned(),
        );
    }
    let (left_end, right_end) = match ends.first.hand {
        Hand::Left => (ends.first, ends.last),
        Hand::Right => (ends.last, ends.first),
    };
    let tension = mn(tensions.set_mn);
    let moved = inward(job, run, tension)?;
    notes.extend(moved.notes.iter().cloned());
    #[allow(clippy::cast_precision_loss)] // parts per million
    let stretch = figures.stretch_ppm as f64 / 1e6;
    let number = |name: &str, value: String, origin: &str| Number {
        name: name.to_owned(),
        value,
        origin: origin.to_owned(),
    };
    let fitting = fitting_of(job, run);
    let set_origin = fitting
        .and_then(|f| f.terminals.as_ref())
        .map_or_else(String::new, |t| t.origin.clone());
    let inputs = vec![
        number("set tension", tension.to_string(), "decided for the run"),
        number("strand", strand.name.clone(), "as recorded"),
        number(
            "stiffness EA of the strand",
            words::newtons(figures.ea_mn),
            &figures.ea_origin,
        ),
        number(
            "permanent stretch",
            format!("{} parts per million", figures.stretch_ppm),
            &figures.stretch_origin,
        ),
        number(
            "terminals",
            fitting.map_or_else(String::new, |f| f.name.clone()),
            &set_origin,
        ),
        number(
            "lock nuts, LH and RH",
            format!(
                "{}, {}",
                words::mm(left.lock_nut_nm),
                words::mm(right.lock_nut_nm)
            ),
            &set_origin,
        ),
        number(
            "spreads of cutting, seat and swage",
            "1 mm, 0.7 mm, 0.5 mm".into(),
            "assumed",
        ),
        number(
            "spreads of EA and permanent stretch",
            "15 %, 150 parts per million".into(),
            "assumed",
        ),
    ];
    Ok(Ok(Shared {
        input: CutInput {
            inside_to_inside: Millimetres(0.0),
            tension,
            inward: Millimetres(0.0),
            left: fitting_end(&left, &left_end)?,
            right: fitting_end(&right, &right_end)?,
            unequal_start: Millimetres(0.0),
            axial_stiffness: mn(figures.ea_mn),
            axial_stiffness_spread: STIFFNESS_SPREAD,
            constructional_stretch: stretch,
            constructional_stretch_spread: STRETCH_SPREAD,
            expansion_difference_per_kelvin: 0.0,
            temperature_difference: Kelvins(0.0),
            spreads: Spreads {
                measure: Millimetres(1.0),
                cut: Millimetres(1.0),
                seat: Millimetres(0.7),
                swage: Millimetres(0.5),
            },
        },
        inward: moved,
        fixed: fitting.and_then(|f| f.fixed_deduction).map(|d| nm(d.nm)),
        basis: shared_basis(job, run),
        inputs,
    }))
}

/// Claims besides the lengths that the sheet rests on: tensions, heights, strand, fitting set.
fn shared_basis(job: &Job<'_>, run: &Run) -> Vec<Hash> {
    use crate::model::fields;
    use crate::subject::ItemKind;
    let of_run = run.subject().to_string();
    let mut basis = run.tensions.tip_ids();
    basis.extend(
        job.reader
            .one(fields::RUN_WIRE_HEIGHTS, &of_run, "")
            .tip_ids(),
    );
    if let Some(strand) = run.strand {
        let subject = Subject::Item(ItemKind::Strand, strand).to_string();
        basis.extend(
            job.reader
                .one(fields::STRAND_FIGURES, &subject, "")
                .tip_ids(),
        );
    }
    if let Some(set) = run.fitting_set {
        let subject = Subject::Item(ItemKind::FittingSet, set).to_string();
        basis.extend(
            job.reader
                .one(fields::FITTING_TERMINALS, &subject, "")
                .tip_ids(),
        );
    }
    basis
}

/// Works out one wire.
pub(super) fn line(
    job: &Job<'_>,
    run: &Run,
    wire: &Wire,
    length: &Inside,
    shared: &Result<Shared, Refusal>,
    standing: &Standing,
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
        fixed: None,
        refused: None,
        basis: Vec::new(),
        numbers: Vec::new(),
        issued: issued(job, wire, standing),
        cut_done_mm: wire.cut.value().map(|c| nm(c.nm).value()),
    };
    let known = match &length.length {
        Ok(known) => known,
        Err(refusal) => {
            line.refused = Some(refusal.clone());
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

fn window(line: &mut CutLine, known: &Known, shared: &Shared) -> Result<(), WorkError> {
    let at = usize::try_from(line.wire.saturating_sub(1)).unwrap_or(usize::MAX);
    let moved = shared
        .inward
        .along_wire
        .get(at)
        .copied()
        .unwrap_or(Millimetres(0.0));
    let input = CutInput {
        inside_to_inside: known.mm,
        inward: moved,
        spreads: Spreads {
            measure: known.spread,
            ..shared.input.spreads
        },
        ..shared.input.clone()
    };
    line.inward_mm = Some(moved.value());
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
    let aim = aim_on_tape(&window, TAPE)?;
    let chance = cut_chance(&input, aim)?;
    line.shortest_mm = Some(window.shortest.value());
    line.shortest_by = Some(
        match window.shortest_by {
            ShortestBy::Engagement => "least engagement when tensioned",
            ShortestBy::Catching => "catching the thread by hand before the posts move",
        }
        .to_owned(),
    );
    line.longest_mm = Some(window.longest.value());
    line.width_mm = Some(window.width.value());
    line.aim_mm = Some(aim.value());
    line.deduction_mm = Some((known.mm - aim).value());
    line.stretch_mm = Some(window.stretch.value());
    line.chance = Some(chance.careful);
    line.chance_words = Some(shown_chance(chance.careful));
    if let Some(deduction) = shared.fixed {
        line.fixed = Some(fixed(&window, known.mm, deduction)?);
    }
    line.numbers = numbers(line, shared.input.tension);
    Ok(())
}

fn fixed(
    window: &mechanics::cutting::CutWindow,
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
    let computed = || "computed".to_owned();
    let inside = match line.inside_origin {
        Some(Origin::Interpolated) => {
            let from: Vec<String> = line.interpolated_from.iter().map(u32::to_string).collect();
            format!("interpolated from wires {}", from.join(", "))
        }
        Some(origin) => origin.word().to_owned(),
        None => String::new(),
    };
    let inward = line.inward_origin.map_or("", Origin::word).to_owned();
    [
        mm("inside to inside", line.inside_mm, 1, inside),
        mm("inward movement of both posts", line.inward_mm, 1, inward),
        mm("shortest cut", line.shortest_mm, 1, computed()),
        mm("longest cut", line.longest_mm, 1, computed()),
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
        line.chance_words.clone().map(|value| Number {
            name: "chance to end inside the window".into(),
            value,
            origin: "computed".into(),
        }),
    ]
    .into_iter()
    .flatten()
    .collect()
}

fn issued(job: &Job<'_>, wire: &Wire, standing: &Standing) -> Option<Issued> {
    let fact: &Fact<_, _> = &wire.issued;
    let told = fact.told()?;
    let issue = told.value?;
    Some(Issued {
        cut_mm: nm(issue.cut_nm).value(),
        shortest_mm: nm(issue.shortest_nm).value(),
        longest_mm: nm(issue.longest_nm).value(),
        entry: told.id,
        by: job.reader.person(&told.person),
        person: told.person,
        at_ms: told.at.ms,
        basis_stands: standing.all(&told.basis),
    })
}
