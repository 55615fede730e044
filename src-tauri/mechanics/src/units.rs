//! Quantities with their unit in the type, so that millimetres never meet newtons by accident.
//!
//! Each is one `f64`, stored and sent as a plain number. Invariant: arithmetic that changes the
//! unit goes through a named function. Does not convert to or from the record's integers.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Neg, Sub, SubAssign};

use serde::{Deserialize, Serialize};

use crate::error::Measured;

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $unit:literal) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, PartialOrd, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(pub f64);

        impl $name {
            /// The bare number, in the unit the type names.
            #[must_use]
            pub const fn value(self) -> f64 {
                self.0
            }

            /// The size without its sign.
            #[must_use]
            pub const fn abs(self) -> Self {
                Self(self.0.abs())
            }

            /// The smaller of two.
            #[must_use]
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// The larger of two.
            #[must_use]
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
        }

        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self(self.0 + other.0)
            }
        }

        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                self.0 += other.0;
            }
        }

        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self(self.0 - other.0)
            }
        }

        impl SubAssign for $name {
            fn sub_assign(&mut self, other: Self) {
                self.0 -= other.0;
            }
        }

        impl Neg for $name {
            type Output = Self;
            fn neg(self) -> Self {
                Self(-self.0)
            }
        }

        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self(self.0 * factor)
            }
        }

        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self(self.0 / divisor)
            }
        }

        impl Div for $name {
            type Output = f64;
            fn div(self, divisor: Self) -> f64 {
                self.0 / divisor.0
            }
        }

        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(parts: I) -> Self {
                Self(parts.map(|part| part.0).sum())
            }
        }

        impl Measured for $name {
            fn number(self) -> f64 {
                self.0
            }

            fn unit(self) -> &'static str {
                $unit
            }
        }

        impl fmt::Display for $name {
            /// At most one decimal, none where it would be zero, then the unit; two where one would tell
            /// up to twice as much.
            fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(out, "{}{}", shown(self.0), $unit)
            }
        }
    };
}

quantity!(
    /// Length in millimetres.
    Millimetres,
    " mm"
);
/// Of a thirty-second of an inch: a length so near to one is that one.
const HAIR: f64 = 1.0e-3;

impl Millimetres {
    /// The length as a tape in inches has it, to the nearest thirty-second: "3 1/2 in".
    #[must_use]
    pub fn in_inches(self) -> String {
        self.in_thirty_seconds(f64::round)
    }

    /// The same to the thirty-second below: what may not be exceeded.
    #[must_use]
    pub fn in_inches_at_most(self) -> String {
        self.in_thirty_seconds(|parts| (parts + HAIR).floor())
    }

    /// The same to the thirty-second above: what is drilled at least.
    #[must_use]
    pub fn in_inches_at_least(self) -> String {
        self.in_thirty_seconds(|parts| (parts - HAIR).ceil())
    }

    /// A drill's size: the fraction that it is, else thousandths, since the next thirty-second is another drill.
    #[must_use]
    pub fn in_inches_of_a_drill(self) -> String {
        let parts = self.0 / 25.4 * 32.0;
        if (parts - parts.round()).abs() < HAIR {
            return self.in_inches();
        }
        format!("{:.3} in", self.0 / 25.4)
    }

    fn in_thirty_seconds(self, rounded: impl Fn(f64) -> f64) -> String {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "what is built is short; casts of f64 saturate"
        )]
        let parts = rounded(self.0.abs() / 25.4 * 32.0) as i64;
        let (whole, mut top, mut under) = (parts / 32, parts % 32, 32);
        while top > 0 && top % 2 == 0 {
            top /= 2;
            under /= 2;
        }
        let sign = if self.0 < 0.0 && parts > 0 { "−" } else { "" };
        match (whole, top) {
            (whole, 0) => format!("{sign}{whole} in"),
            (0, top) => format!("{sign}{top}/{under} in"),
            (whole, top) => format!("{sign}{whole} {top}/{under} in"),
        }
    }
}

quantity!(
    /// Force in newtons.
    Newtons,
    " N"
);
quantity!(
    /// Stress or modulus in megapascals (newtons per square millimetre).
    Megapascals,
    " MPa"
);
quantity!(
    /// Stiffness in newtons per millimetre.
    NewtonsPerMillimetre,
    " N/mm"
);
quantity!(
    /// Moment in newton metres.
    NewtonMetres,
    " N·m"
);
quantity!(
    /// Area in square millimetres.
    SquareMillimetres,
    " mm²"
);
quantity!(
    /// Angle in degrees.
    Degrees,
    "°"
);
quantity!(
    /// Temperature difference in kelvins.
    Kelvins,
    " K"
);
quantity!(
    /// Mass in kilograms.
    Kilograms,
    " kg"
);
quantity!(
    /// Mass per length in kilograms per metre.
    KilogramsPerMetre,
    " kg/m"
);
quantity!(
    /// Bending stiffness EI in newton square metres.
    NewtonSquareMetres,
    " N·m²"
);
quantity!(
    /// Frequency in hertz.
    Hertz,
    " Hz"
);
quantity!(
    /// Time in seconds.
    Seconds,
    " s"
);

/// Standard gravity used for hung masses, m/s² (the 19.62 N of two kilograms in the vectors).
pub const GRAVITY_M_PER_S2: f64 = 9.81;

impl Kilograms {
    /// Weight of the mass at [`GRAVITY_M_PER_S2`].
    #[must_use]
    pub fn weight(self) -> Newtons {
        Newtons(self.0 * GRAVITY_M_PER_S2)
    }
}

impl Millimetres {
    /// The length in whole nanometres, the record's own resolution.
    ///
    /// Limits are compared at this resolution, so that 228.3 − 148.3 counts as exactly 80 and
    /// nothing coarser than the record is rounded away.
    #[must_use]
    pub fn whole_nanometres(self) -> f64 {
        (self.0 * 1.0e6).round()
    }
}

impl Degrees {
    /// The angle in radians.
    #[must_use]
    pub fn radians(self) -> f64 {
        self.0.to_radians()
    }
}

fn shown(value: f64) -> String {
    // A tenth would tell up to twice of it.
    if (0.045..0.095).contains(&value.abs()) {
        return format!("{value:.2}");
    }
    let tenths = format!("{value:.1}");
    let whole = tenths.strip_suffix(".0").unwrap_or(&tenths);
    match whole {
        "-0" => "0".to_owned(),
        _ => whole.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantities_print_with_unit_and_one_decimal_unless_it_tells_twice() {
        assert_eq!(Newtons(1330.0).to_string(), "1330 N");
        assert_eq!(Millimetres(7230.73).to_string(), "7230.7 mm");
        assert_eq!(Millimetres(-0.01).to_string(), "0 mm");
        assert_eq!(Millimetres(0.05).to_string(), "0.05 mm");
        assert_eq!(Millimetres(-0.07).to_string(), "-0.07 mm");
        assert_eq!(Millimetres(0.095).to_string(), "0.1 mm");
        assert_eq!(Millimetres(0.04).to_string(), "0 mm");
    }

    #[test]
    fn quantities_are_plain_numbers_in_json() {
        let text = serde_json::to_string(&Millimetres(80.5)).unwrap();
        assert_eq!(text, "80.5");
        let back: Millimetres = serde_json::from_str("80.5").unwrap();
        assert_eq!(back, Millimetres(80.5));
    }

    #[test]
    fn nanometres_absorb_floating_point_noise_only() {
        let spacing = Millimetres(228.3) - Millimetres(148.3);
        assert_eq!(spacing.whole_nanometres(), 80_000_000.0);
        assert_eq!(Millimetres(80.000_001).whole_nanometres(), 80_000_001.0);
    }
}
