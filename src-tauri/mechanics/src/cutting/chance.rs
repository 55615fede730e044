//! How likely a cut ends inside its window, from the spreads of measuring and making.
//!
//! Invariant: of two readings of the stiffness the chance given first is the smaller, and no
//! chance is shown above ">99 %". Does not learn from trial wires.

use serde::{Deserialize, Serialize};

use super::{CutInput, CutWindow, cut_window};
use crate::error::MechanicsError;
use crate::units::{Millimetres, Newtons};

/// The chance that a cut ends inside the window, on two readings of the stiffness.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct CutChance {
    /// The smaller of the two, to be shown.
    pub careful: f64,
    /// With the stiffness as stated.
    pub as_stated: f64,
    /// With EA/(1 + cv²), the stiffness that gives the mean stretch of an uncertain EA.
    pub mean_stretch: f64,
}

/// Standard deviation of the finished engagement for a cut.
///
/// sd² = s_measure² + s_cut² + 2·s_seat² + 2·s_swage² + (L·s_ε)² + (L·T/EA·cv_EA)².
///
/// Linear propagation of independent spreads, all assumed (engineering basis). It leaves out about 4·cv² of
/// the stretch's part.
///
/// # Errors
/// When an input cannot be.
pub fn spread(input: &CutInput, cut: Millimetres) -> Result<Millimetres, MechanicsError> {
    super::check(input)?;
    crate::error::positive("the cut length", cut)?;
    let square = |length: Millimetres| length.value() * length.value();
    let stretch = cut * input.constructional_stretch_spread;
    let elastic = cut * (input.tension / input.axial_stiffness) * input.axial_stiffness_spread;
    let sum = square(input.spreads.measure)
        + square(input.spreads.cut)
        + 2.0 * square(input.spreads.seat)
        + 2.0 * square(input.spreads.swage)
        + square(stretch)
        + square(elastic);
    Ok(Millimetres(sum.sqrt()))
}

/// Φ((hi − Lc)/sd) − Φ((lo − Lc)/sd).
///
/// The normal law; holds as far as the engagement is normally spread.
#[must_use]
pub fn straight_chance(window: &CutWindow, cut: Millimetres, sd: Millimetres) -> f64 {
    if sd.value() <= 0.0 {
        return if cut >= window.shortest && cut <= window.longest {
            1.0
        } else {
            0.0
        };
    }
    (normal(((window.longest - cut) / sd).clamp(-40.0, 40.0))
        - normal(((window.shortest - cut) / sd).clamp(-40.0, 40.0)))
    .clamp(0.0, 1.0)
}

/// The chance that a cut of this length works; zero where the weaker stiffness leaves no window.
///
/// The normal law with both readings of EA (engineering basis); within 0.3 points of drawn wires for the
/// basis's worked windows.
///
/// # Errors
/// When an input cannot be, or no window exists with the stiffness as stated.
pub fn cut_chance(input: &CutInput, cut: Millimetres) -> Result<CutChance, MechanicsError> {
    chance_within(input, cut, spread(input, cut)?)
}

/// The same with a spread of the finished engagement that counts more than measuring and making:
/// before a trial wire was fitted also what the fittings' own figures may be off.
///
/// # Errors
/// As [`cut_chance`].
pub fn chance_within(
    input: &CutInput,
    cut: Millimetres,
    sd: Millimetres,
) -> Result<CutChance, MechanicsError> {
    let as_stated = straight_chance(&cut_window(input)?, cut, sd);
    let cv = input.axial_stiffness_spread;
    let softer = CutInput {
        axial_stiffness: Newtons(input.axial_stiffness.value() / (1.0 + cv * cv)),
        ..input.clone()
    };
    let mean_stretch = match cut_window(&softer) {
        Ok(window) => straight_chance(&window, cut, sd),
        Err(MechanicsError::NoWindow { .. }) => 0.0,
        Err(other) => return Err(other),
    };
    Ok(CutChance {
        careful: as_stated.min(mean_stretch),
        as_stated,
        mean_stretch,
    })
}

/// A chance in words, never more than ">99 %" and never less than "<1 %".
#[must_use]
pub fn shown_chance(chance: f64) -> String {
    if chance.is_nan() {
        return "not known".to_owned();
    }
    if chance > 0.99 {
        return ">99 %".to_owned();
    }
    if chance < 0.01 {
        return "<1 %".to_owned();
    }
    format!("{:.0} %", (chance * 100.0).floor())
}

/// Standard normal distribution function: series about zero, continued fraction in the tail.
fn normal(x: f64) -> f64 {
    let density = (-x * x / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt();
    let size = x.abs();
    let upper_tail = if size < 3.0 {
        let mut term = size;
        let mut sum = size;
        let mut odd = 3.0;
        while term > sum * 1.0e-17 && odd < 400.0 {
            term *= size * size / odd;
            sum += term;
            odd += 2.0;
        }
        0.5 - density * sum
    } else {
        let mut fraction = size;
        for step in (1..=200).rev() {
            fraction = size + f64::from(step) / fraction;
        }
        density / fraction
    };
    if x >= 0.0 {
        1.0 - upper_tail
    } else {
        upper_tail
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn normal_distribution_agrees_with_integrating_the_density() {
        // Simpson's rule from zero, independent of both branches.
        let density = |t: f64| (-t * t / 2.0).exp() / (2.0 * std::f64::consts::PI).sqrt();
        for x in [0.1, 0.5246, 1.0, 1.96, 2.9, 3.1, 4.5] {
            let steps = 2000;
            let h = x / f64::from(steps);
            let sum: f64 = (0..=steps)
                .map(|step| {
                    let weight = match step {
                        0 => 1.0,
                        last if last == steps => 1.0,
                        odd if odd % 2 == 1 => 4.0,
                        _ => 2.0,
                    };
                    weight * density(f64::from(step) * h)
                })
                .sum();
            let integral = 0.5 + sum * h / 3.0;
            assert!((normal(x) - integral).abs() < 1e-12, "{x}");
            assert!((normal(-x) + normal(x) - 1.0).abs() < 1e-15);
        }
    }

    #[test]
    fn both_branches_meet() {
        assert!((normal(3.0 - 1e-9) - normal(3.0 + 1e-9)).abs() < 1e-11);
    }

    #[test]
    fn chances_are_capped_in_words() {
        assert_eq!(shown_chance(0.9999), ">99 %");
        assert_eq!(shown_chance(0.7001), "70 %");
        assert_eq!(shown_chance(0.001), "<1 %");
        assert_eq!(shown_chance(f64::NAN), "not known");
    }
}
