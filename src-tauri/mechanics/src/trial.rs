//! What a fitted trial wire teaches: the deduction of the wires that are not cut yet.
//!
//! Of a fitted wire: z = (Σh − Σ thread left showing) + (D − Lc), less the inward movement y of
//! its posts, is offset + stretch: z − y = b0 + b1·L + e, L = D in metres, e of spread s_e. The
//! prior (b0, b1) is what the fitting set and strand compute, so that without a trial wire the
//! answer is the computed deduction. Normal model; with two and more readings Student-t weights
//! (ν = 4) let a bad one count less. Invariant: each wire's own y is added back, never that of the
//! trial wire; one reading cannot show itself bad, so one that lies far from what was expected is
//! questioned. Does not decide who releases the other cuts.
//! One file past 400 lines, since what is learned and the window it moves share their figures.

mod worth;

use std::collections::BTreeSet;

use serde::{Deserialize, Serialize};

use crate::cutting::{CutInput, CutWindow, between, cut_for_engagement, shortest_limits};
use crate::error::{MechanicsError, finite, positive, within};
use crate::units::Millimetres;

pub use worth::{Remaining, Worth, second_trial};

/// Degrees of freedom of the Student-t weights (engineering basis: a robust choice, not fitted).
const FREEDOM: f64 = 4.0;
/// Spread of the computed offset: how well a maker's lengths and a swage's growth are known.
pub const OFFSET_SPREAD: Millimetres = Millimetres(4.0);
/// Spread of the computed stretch, millimetres per metre.
pub const STRETCH_SPREAD: f64 = 0.5;
/// Spread of one fitted wire about the model: reading, cut, seats and swages together.
pub const FITTED_SPREAD: Millimetres = Millimetres(1.6);

/// What is expected of offset and stretch before a wire was fitted.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Expected {
    /// b0.
    pub offset: Millimetres,
    /// b1, millimetres per metre.
    pub per_metre: f64,
    /// One standard deviation of b0.
    pub offset_spread: Millimetres,
    /// One standard deviation of b1.
    pub per_metre_spread: f64,
    /// s_e: one standard deviation of a fitted wire about the model.
    pub fitted_spread: Millimetres,
}

/// A wire that was cut and fitted, and the thread it left.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Fitted {
    /// Number of the wire, from the bottom.
    pub wire: u32,
    /// D: inside to inside before tension.
    pub inside_to_inside: Millimetres,
    /// Lc: what was cut.
    pub cut: Millimetres,
    /// Σh: usable thread of both studs.
    pub usable_thread: Millimetres,
    /// Thread left showing at both ends together; more than the usable where the studs are short
    /// of the posts ("too short by").
    pub showing: Millimetres,
    /// y: inward movement of its posts once all wires are tight.
    pub inward: Millimetres,
    /// What both ends still have to turn in until all wires stand at their tension: movement of the
    /// posts and stretch; below zero where the wire was read tighter than that.
    pub still_to_come: Millimetres,
}

/// What was learned.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Learned {
    /// b0.
    pub offset: Millimetres,
    /// b1, millimetres per metre.
    pub per_metre: f64,
    /// Variances and covariance of (b0, b1): V00, V01, V11.
    pub variance: [f64; 3],
    /// s_e.
    pub fitted_spread: Millimetres,
    /// How much each reading counted, 1 for a plain one, in the order given.
    pub weights: Vec<f64>,
    /// What asks to be measured again, in words.
    pub questions: Vec<Question>,
}

impl Learned {
    /// Wires whose readings are questioned, each once, from the lowest.
    #[must_use]
    pub fn questioned(&self) -> Vec<u32> {
        let all = self.questions.iter().flat_map(|asked| &asked.wires);
        let each: BTreeSet<u32> = all.copied().collect();
        each.into_iter().collect()
    }
}

/// A reading that can hardly be right.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Question {
    /// Wires in question.
    pub wires: Vec<u32>,
    /// By how much the reading, or the two readings, are off.
    pub apart: Millimetres,
    /// What more than 1 in 370 (or, of two, 1 in 80) would be.
    pub limit: Millimetres,
    /// Whether a single wire takes up more than expected, or the first of two more than the second.
    pub more: bool,
    /// One sentence that says what to do.
    pub sentence: String,
}

impl Question {
    fn new(wires: Vec<u32>, apart: Millimetres, limit: Millimetres, more: bool) -> Self {
        let mut question = Question {
            wires,
            apart,
            limit,
            more,
            sentence: String::new(),
        };
        question.sentence = question.told(|wire| wire.to_string());
        question
    }

    /// The sentence with wires named in a run's own way: "A6".
    #[must_use]
    pub fn told(&self, name: impl Fn(u32) -> String) -> String {
        let apart = self.apart;
        match self.wires.as_slice() {
            [wire] => format!(
                "Wire {} takes up {apart} {} than its fittings let expect. Read the thread, the cut and \
                 the length again before the others are cut.",
                name(*wire),
                if self.more { "more" } else { "less" }
            ),
            wires => {
                let names: Vec<String> = wires.iter().map(|wire| name(*wire)).collect();
                format!(
                    "Wires {} disagree by {apart}. One of them was read or cut wrongly: read both again.",
                    names.join(" and ")
                )
            }
        }
    }
}

/// A deduction with its spread.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Deduction {
    /// D less the cut.
    pub deduction: Millimetres,
    /// One standard deviation of the finished engagement.
    pub spread: Millimetres,
}

/// z of a fitted wire: engagement plus deduction plus the movement still to come.
///
/// # Errors
/// When a figure cannot be.
pub fn offset_read(fitted: &Fitted) -> Result<Millimetres, MechanicsError> {
    positive("the inside-to-inside length", fitted.inside_to_inside)?;
    positive("the cut", fitted.cut)?;
    positive("the usable thread", fitted.usable_thread)?;
    finite("the thread left showing", fitted.showing.value())?;
    finite("the posts' inward movement", fitted.inward.value())?;
    finite("what is still to come", fitted.still_to_come.value())?;
    let engaged = fitted.usable_thread - fitted.showing;
    Ok(engaged + (fitted.inside_to_inside - fitted.cut) + fitted.still_to_come)
}

/// What fitting set and strand let expect, at the wire's own length and tension.
///
/// b1 is the computed deduction's growth over one metre more; b0 is what then gives the computed
/// cut again.
///
/// The spreads beside it are assumed (engineering basis), not measured.
///
/// # Errors
/// When the input cannot be cut.
pub fn expected(input: &CutInput) -> Result<Expected, MechanicsError> {
    let (offset, per_metre) = line_of(input)?;
    Ok(Expected {
        offset,
        per_metre,
        offset_spread: OFFSET_SPREAD,
        per_metre_spread: STRETCH_SPREAD,
        fitted_spread: FITTED_SPREAD,
    })
}

fn line_of(input: &CutInput) -> Result<(Millimetres, f64), MechanicsError> {
    let engagement = input.left.full_engagement() + input.right.full_engagement();
    let metre = Millimetres(1000.0);
    let longer = CutInput {
        inside_to_inside: input.inside_to_inside + metre,
        ..input.clone()
    };
    let here = input.inside_to_inside - cut_for_engagement(input, engagement)?;
    let there = longer.inside_to_inside - cut_for_engagement(&longer, engagement)?;
    let per_metre = (there - here).value();
    let metres = input.inside_to_inside.value() / 1000.0;
    let offset = here + engagement - input.inward - Millimetres(per_metre * metres);
    Ok((offset, per_metre))
}

/// Learns from fitted wires; without any it gives back what was expected.
///
/// Bayesian linear regression with a normal prior and known noise, and Student-t errors of ν = 4 by iterated
/// weights (Gelman et al., Bayesian Data Analysis). Holds as far as s_e and the prior, which are assumed.
///
/// # Errors
/// When a figure cannot be.
pub fn learn(expected: &Expected, fitted: &[Fitted]) -> Result<Learned, MechanicsError> {
    // One reading says nothing of itself, and then the weights stay plain.
    learned(expected, fitted, fitted.len() > 1)
}

/// As [`learn`], every reading counting alike: the answer that a single bad one pulls along.
///
/// # Errors
/// When a figure cannot be.
pub fn learn_alike(expected: &Expected, fitted: &[Fitted]) -> Result<Learned, MechanicsError> {
    learned(expected, fitted, false)
}

fn learned(
    expected: &Expected,
    fitted: &[Fitted],
    weighted: bool,
) -> Result<Learned, MechanicsError> {
    check(expected)?;
    let mut rows = Vec::with_capacity(fitted.len());
    for one in fitted {
        let z = offset_read(one)? - one.inward;
        rows.push(Row {
            wire: one.wire,
            metres: one.inside_to_inside.value() / 1000.0,
            z: z.value(),
        });
    }
    let mut weights = vec![1.0; rows.len()];
    let mut found = posterior(expected, &rows, &weights);
    if weighted {
        for _ in 0..200 {
            let next: Vec<f64> = rows.iter().map(|row| found.weight(expected, row)).collect();
            let change = next
                .iter()
                .zip(&weights)
                .map(|(a, b)| (a - b).abs())
                .fold(0.0, f64::max);
            weights = next;
            found = posterior(expected, &rows, &weights);
            if change < 1.0e-12 {
                break;
            }
        }
    }
    Ok(Learned {
        offset: Millimetres(found.mean[0]),
        per_metre: found.mean[1],
        variance: found.variance,
        fitted_spread: expected.fitted_spread,
        questions: questions(expected, &rows),
        weights,
    })
}

/// The deduction of a wire of length D for an engagement X of both ends: b0 + b1·L − X + y.
///
/// Predictive law of that regression: sd = √(aᵀVa + s_e²), a = [1, L] (Gelman et al.).
///
/// # Errors
/// When a figure cannot be.
pub fn next_deduction(
    learned: &Learned,
    inside_to_inside: Millimetres,
    engagement: Millimetres,
    inward: Millimetres,
) -> Result<Deduction, MechanicsError> {
    let metres = positive("the inside-to-inside length", inside_to_inside)? / 1000.0;
    finite("the engagement", engagement.value())?;
    finite("the posts' inward movement", inward.value())?;
    let offset = learned.offset + Millimetres(learned.per_metre * metres);
    let [v00, v01, v11] = learned.variance;
    let of_line = v00 + 2.0 * v01 * metres + v11 * metres * metres;
    let spread = (of_line + learned.fitted_spread.value().powi(2)).sqrt();
    Ok(Deduction {
        deduction: offset - engagement + inward,
        spread: Millimetres(spread),
    })
}

/// By how much a wire's finished engagement is learned to be off the computed one; below zero: it
/// takes up more, so that the same engagement asks for a cut shorter by as much.
///
/// By [`next_deduction`], beside what was expected.
///
/// # Errors
/// When a figure cannot be.
pub fn learned_offset(input: &CutInput, learned: &Learned) -> Result<Millimetres, MechanicsError> {
    let computed = expected(input)?;
    let metres = input.inside_to_inside.value() / 1000.0;
    let before = computed.offset + Millimetres(computed.per_metre * metres);
    let zero = Millimetres(0.0);
    let after = next_deduction(learned, input.inside_to_inside, zero, zero)?;
    // A larger deduction is a shorter cut.
    Ok(before - after.deduction)
}

/// The cut window of a wire as learned: the computed one, moved by what the trial wires taught.
///
/// What was learned is an offset of the finished engagement, so the longest cut and the one that the
/// least engagement allows move by it. A wire that takes up more under tension catches by hand no
/// better: that limit, of a slack wire between posts that have not moved, is never moved shorter. The
/// spread is the learned one.
///
/// By [`learned_offset`] and the limits of [`crate::cutting::cut_window`]; own derivation (engineering
/// basis).
///
/// # Errors
/// [`MechanicsError::NoWindow`] where nothing is left between the limits; else when a figure cannot
/// be.
pub fn window_as_learned(
    window: &CutWindow,
    input: &CutInput,
    learned: &Learned,
) -> Result<CutWindow, MechanicsError> {
    let moved = learned_offset(input, learned)?;
    let zero = Millimetres(0.0);
    let spread = next_deduction(learned, input.inside_to_inside, zero, zero)?.spread;
    let mut limits = shortest_limits(input)?;
    limits.by_engagement += moved;
    limits.by_catching += moved.max(zero);
    let (shortest, shortest_by) = limits.shortest();
    let longest = window.longest + moved;
    let (width, aim) = between(shortest, longest, || {
        format!(
            "as learned the finished engagement is off by {}",
            moved.abs()
        )
    })?;
    Ok(CutWindow {
        shortest,
        shortest_by,
        longest,
        width,
        aim,
        deduction: input.inside_to_inside - aim,
        spread,
        ..window.clone()
    })
}

#[derive(Clone, Copy, Debug)]
struct Row {
    wire: u32,
    metres: f64,
    z: f64,
}

struct Posterior {
    mean: [f64; 2],
    variance: [f64; 3],
}

impl Posterior {
    /// aᵀ·V·a with a = [1, L].
    fn of_line(&self, metres: f64) -> f64 {
        let [v00, v01, v11] = self.variance;
        v00 + 2.0 * v01 * metres + v11 * metres * metres
    }

    fn weight(&self, expected: &Expected, row: &Row) -> f64 {
        let residual = row.z - self.mean[0] - self.mean[1] * row.metres;
        let s2 = expected.fitted_spread.value().powi(2);
        let apart = (residual * residual + self.of_line(row.metres)) / s2;
        (FREEDOM + 1.0) / (FREEDOM + apart)
    }
}

/// V = (V0⁻¹ + AᵀWA/s²)⁻¹, mean = V(V0⁻¹μ0 + AᵀWz/s²), two unknowns, in closed form.
fn posterior(expected: &Expected, rows: &[Row], weights: &[f64]) -> Posterior {
    let s2 = expected.fitted_spread.value().powi(2);
    let p0 = expected.offset_spread.value().powi(-2);
    let p1 = expected.per_metre_spread.powi(-2);
    let (mut a, mut b, mut c) = (p0, 0.0, p1);
    let mut r0 = p0 * expected.offset.value();
    let mut r1 = p1 * expected.per_metre;
    for (row, weight) in rows.iter().zip(weights) {
        let w = weight / s2;
        a += w;
        b += w * row.metres;
        c += w * row.metres * row.metres;
        r0 += w * row.z;
        r1 += w * row.metres * row.z;
    }
    let determinant = a * c - b * b;
    let variance = [c / determinant, -b / determinant, a / determinant];
    let [v00, v01, v11] = variance;
    Posterior {
        mean: [v00 * r0 + v01 * r1, v01 * r0 + v11 * r1],
        variance,
    }
}

/// |z − expected| > 3·√(s0² + s_e²), and two readings apart by more than 2.5·√2·s_e.
fn questions(expected: &Expected, rows: &[Row]) -> Vec<Question> {
    let line = posterior(expected, &[], &[]);
    let s2 = expected.fitted_spread.value().powi(2);
    let mut found = Vec::new();
    let off = |row: &Row| row.z - line.mean[0] - line.mean[1] * row.metres;
    for row in rows {
        let apart = Millimetres(off(row).abs());
        let limit = Millimetres(3.0 * (line.of_line(row.metres) + s2).sqrt());
        if apart > limit {
            found.push(Question::new(vec![row.wire], apart, limit, off(row) > 0.0));
        }
    }
    let limit = Millimetres(2.5 * std::f64::consts::SQRT_2 * expected.fitted_spread.value());
    for (n, first) in rows.iter().enumerate() {
        for second in rows.iter().skip(n + 1) {
            let apart = Millimetres((off(first) - off(second)).abs());
            if apart > limit {
                let wires = vec![first.wire, second.wire];
                found.push(Question::new(wires, apart, limit, off(first) > off(second)));
            }
        }
    }
    found
}

fn check(expected: &Expected) -> Result<(), MechanicsError> {
    finite("the expected offset", expected.offset.value())?;
    finite("the expected stretch", expected.per_metre)?;
    positive("the offset's spread", expected.offset_spread)?;
    let per_metre = (expected.per_metre_spread, " mm/m");
    positive("the stretch's spread", per_metre)?;
    within("the stretch's spread", per_metre, 0.0, 100.0)?;
    positive("a fitted wire's spread", expected.fitted_spread)?;
    Ok(())
}
