//! What all wires of a run share on a cut sheet: strand, terminals, tension, movement of posts.

use mechanics::cutting::{CutInput, Spreads};
use mechanics::{Kelvins, Millimetres};

use super::{Refusal, RefusalCode};
use crate::ids::Hash;
use crate::job::{Job, Run};
use crate::model::context::Number;
use crate::model::fields;
use crate::model::values::Hand;
use crate::work::basis::{Decision, basis};
use crate::work::convert::{ends_of, fitting_end, fitting_of, mn, nm, strand_of, terminal_for};
use crate::work::inward::{Inward, inward};
use crate::work::{WorkError, words};

/// Relative spread of EA, assumed (engineering.md section 2).
const STIFFNESS_SPREAD: f64 = 0.15;
/// Spread of the permanent stretch, assumed (engineering.md section 2).
const STRETCH_SPREAD: f64 = 1.5e-4;

/// What all wires of a run share.
pub(in crate::work) struct Shared {
    /// Everything but the wire's own length and movement.
    pub(in crate::work) input: CutInput,
    pub(super) inward: Inward,
    pub(super) fixed: Option<Millimetres>,
    pub(super) basis: Vec<Hash>,
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
    let heights = job
        .reader
        .one(fields::RUN_WIRE_HEIGHTS, &run.subject().to_string(), "");
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
        basis: basis(job, Decision::Cut(run)),
        inputs,
    }))
}
