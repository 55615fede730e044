//! Second methods that tests hold the product against, and make sounds and swings with: written from the
//! engineering basis, with nothing of the product but its units.

use std::f64::consts::{PI, TAU};

use mechanics::sound::{HungMass, SoundingLength};
use mechanics::{Hertz, NewtonSquareMetres, Newtons};

/// f_n of a beam under tension clamped at both ends: 2αβ(1 − cos αL·cosh βL) + (β² − α²)·sin αL·sinh βL = 0,
/// α², β² = √((T/2EI)² + mω²/EI) ∓ T/2EI, divided by cosh βL so that long thin wires do not overflow; the
/// root lies with αL between nπ and a little past (n + ½)π.
#[allow(dead_code)] // each program of tests takes what it needs
pub(crate) fn exact_clamped_frequency(
    wire: &SoundingLength,
    tension: Newtons,
    bending: NewtonSquareMetres,
    number: u32,
) -> Hertz {
    let (length, mass) = (wire.length.value() * 1.0e-3, wire.mass.value());
    let (tension, bending, n) = (tension.value(), bending.value(), f64::from(number));
    let sign = if number.is_multiple_of(2) { 1.0 } else { -1.0 };
    let beta_of = |alpha: f64| (alpha * alpha + tension / bending).sqrt();
    let equation = |x: f64| {
        let (alpha, beta) = (x / length, beta_of(x / length));
        let shrunk = 1.0 / (beta * length).cosh();
        2.0 * alpha * beta * (shrunk - x.cos())
            + (beta * beta - alpha * alpha) * x.sin() * (beta * length).tanh()
    };
    let (mut low, mut high) = (n * PI, (n + 0.5) * PI + 0.2);
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if equation(middle) * sign < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    let alpha = f64::midpoint(low, high) / length;
    Hertz(alpha * beta_of(alpha) * (bending / mass).sqrt() / TAU)
}

/// f of a mass that swings at mid span: f² = T ÷ (π²·L·(M + mL/3)·(1 − (4/ξ)·tanh(ξ/4))), ξ = L·√(T/EI);
/// EI = 0 is the bare string, whose last factor is one.
#[allow(dead_code)] // as above
pub(crate) fn swing_frequency(
    hung: &HungMass,
    tension: Newtons,
    bending: NewtonSquareMetres,
) -> Hertz {
    let length = hung.span.length.value() * 1.0e-3;
    let moving = hung.mass.value() + hung.span.mass.value() * length / 3.0;
    let (tension, bending) = (tension.value(), bending.value());
    let share = if bending > 0.0 {
        let xi = length * (tension / bending).sqrt();
        1.0 - 4.0 / xi * (xi / 4.0).tanh()
    } else {
        1.0
    };
    Hertz((tension / (length * moving * share)).sqrt() / PI)
}
