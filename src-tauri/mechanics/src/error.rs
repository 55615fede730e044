//! The crate's one error type: what was asked that cannot be answered, with the numbers.
//! One file past 400 lines, since each refusal stands with the sentence that tells it.

use crate::units::{Millimetres, Newtons};

/// A question that has no answer, with the figures that show why.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum MechanicsError {
    /// A figure is not a number or is infinite.
    #[error("{what} is not a number; enter it again")]
    NotFinite {
        /// Name of the figure.
        what: &'static str,
    },
    /// A figure that must be above zero is not.
    #[error("{what} must be above zero, and is {}{unit}; enter it again", shown(.value))]
    NotPositive {
        /// Name of the figure.
        what: &'static str,
        /// The value given, in the figure's own unit.
        value: f64,
        /// Unit of the figure, as it stands behind a number.
        unit: &'static str,
    },
    /// Both terminals take up more than there is between the ends.
    #[error(
        "{length} inside to inside is too short: both terminals and what they take up need {terminals} \
         before any strand; measure it again, or choose a shorter fitting set"
    )]
    TooShort {
        /// Inside to inside.
        length: Millimetres,
        /// What the terminals take up.
        terminals: Millimetres,
    },
    /// A figure that must not be below zero is.
    #[error("{what} must not be below zero, and is {}{unit}; enter it again", shown(.value))]
    Negative {
        /// Name of the figure.
        what: &'static str,
        /// The value given, in the figure's own unit.
        value: f64,
        /// Unit of the figure, as it stands behind a number.
        unit: &'static str,
    },
    /// A figure lies outside the range in which the formula holds.
    #[error(
        "{what} is {}{unit}, outside {} to {}{unit}; enter it again",
        shown(.value), shown(.least), shown(.most)
    )]
    OutOfRange {
        /// Name of the figure.
        what: &'static str,
        /// The value given.
        value: f64,
        /// Least value that is accepted.
        least: f64,
        /// Largest value that is accepted.
        most: f64,
        /// Unit of the figure, as it stands behind a number.
        unit: &'static str,
    },
    /// No cut length works: the shortest that holds is longer than the longest that tightens.
    #[error(
        "no cut length works: the shortest, {shortest}, is {missing} longer than the longest, \
         {longest}; {because}. Use fittings with more thread, or take less out of it"
    )]
    NoWindow {
        /// Shortest cut that still holds the least engagement.
        shortest: Millimetres,
        /// Longest cut that can still be tensioned.
        longest: Millimetres,
        /// How much is missing.
        missing: Millimetres,
        /// What takes up the thread, in words with figures.
        because: String,
    },
    /// A bolt that does not reach out of its post far enough.
    #[error(
        "the bolt is too short for its post: {post} of post along the wire leave {stands_out} of it behind \
         the washer, of {thread} thread, and more than {needs} have to stand there for nut, lock nut and \
         reserve; use a longer bolt"
    )]
    BoltTooShort {
        /// What stands out behind the washer.
        stands_out: Millimetres,
        /// Its usable thread.
        thread: Millimetres,
        /// What nut, lock nut and reserve take.
        needs: Millimetres,
        /// The post along the wire.
        post: Millimetres,
    },
    /// Neither end of a wire has a thread.
    #[error(
        "neither end of the wire has a thread, so it can't be tensioned; one end needs a stud, a bolt or a turnbuckle"
    )]
    NoThread,
    /// Too few lengths were measured to interpolate.
    #[error("{got} of at least {needed} wires are measured; measure the bottom and the top wire")]
    TooFewReadings {
        /// Wires measured.
        got: usize,
        /// Wires needed.
        needed: usize,
    },
    /// Too few partials of a sound for a fit.
    #[error("{got} of at least {needed} tones of the wire are given; pluck again")]
    TooFewPartials {
        /// Different partials given.
        got: usize,
        /// Partials needed.
        needed: usize,
    },
    /// A wire lies below the lowest or above the highest measured one.
    #[error(
        "wire {wire} lies outside the measured wires; measure it, lengths are not extrapolated"
    )]
    OutsideReadings {
        /// Number of the wire, from the bottom.
        wire: u32,
    },
    /// A reading names a wire that the run does not have.
    #[error("a length is given for wire {wire}, which the run does not have; check the layout")]
    UnknownWire {
        /// Number of the wire, from the bottom.
        wire: u32,
    },
    /// Two readings were given for one wire.
    #[error("two lengths are given for wire {wire}; settle which counts")]
    TwoReadings {
        /// Number of the wire, from the bottom.
        wire: u32,
    },
    /// Wire heights do not rise from the bottom.
    #[error("wire {wire} is not above the wire below it; check the heights")]
    HeightsNotRising {
        /// Number of the wire, from the bottom.
        wire: u32,
    },
    /// An order of tightening that does not name each wire once.
    #[error("the order must name each of the {wires} wires once; give it again")]
    NotAnOrder {
        /// Wires of the run.
        wires: usize,
    },
    /// No turn of a wire alone brings it to a tension.
    #[error(
        "no turn of wire {wire} alone brings it to {tension}: the posts give too much; look at posts \
         and rail"
    )]
    NoTurn {
        /// Number of the wire, from the bottom.
        wire: u32,
        /// What it was to show.
        tension: Newtons,
    },
    /// A wire deflects more than one without tension would.
    #[error(
        "{deflection} under {} N is more than a wire without tension would show; \
         check the span, the mass and the reading",
        shown(&.load.value())
    )]
    Slack {
        /// The deflection read.
        deflection: Millimetres,
        /// The load hung at mid span.
        load: Newtons,
    },
    /// No piece is left to be planned.
    #[error("there is nothing to cut: every piece is cut already, or none was given")]
    NothingToCut,
    /// A thing without a name.
    #[error("a {what} has no name; give it one")]
    NoName {
        /// What it is.
        what: &'static str,
    },
    /// Two things of one name.
    #[error("the {what} {name} is given twice; name the second one apart")]
    NamedTwice {
        /// What it is.
        what: &'static str,
        /// The name.
        name: String,
    },
    /// A named thing has a length that cannot be.
    #[error("the {what} {name} cannot be {length} long; enter its length again")]
    LengthCannotBe {
        /// What it is.
        what: &'static str,
        /// Its name.
        name: String,
        /// The length given.
        length: Millimetres,
    },
    /// More than can be planned at once.
    #[error("{count} {what} are more than the {most} that are planned at once; plan in parts")]
    TooMany {
        /// What they are.
        what: &'static str,
        /// How many were given.
        count: usize,
        /// How many are planned at once.
        most: usize,
    },
    /// A piece is longer than anything in stock.
    #[error(
        "piece {piece} is {length} long, and the longest stock gives {longest}; order a longer \
         reel, or measure the piece again"
    )]
    PieceTooLong {
        /// The longest piece.
        piece: String,
        /// Its length.
        length: Millimetres,
        /// What the longest stock can give.
        longest: Millimetres,
    },
    /// A cut was made from a stock that is not listed.
    #[error("piece {piece} was cut from {stock}, which is not in stock; list it with its length")]
    UnknownStock {
        /// The piece.
        piece: String,
        /// The stock named.
        stock: String,
    },
    /// The cuts made come to more than the stock had.
    #[error(
        "the cuts made from {stock} come to {over} more than it had; enter its length again, or \
         the cuts"
    )]
    CutBeyondStock {
        /// The stock.
        stock: String,
        /// How much more.
        over: Millimetres,
    },
    /// A reel still to be ordered stands among the stock.
    #[error("{stock} has still to be ordered; give its length as that of a new reel")]
    NotInStock {
        /// The stock.
        stock: String,
    },
    /// No spacing row fits, or the set has none.
    #[error(
        "no table row leaves this much in hand for this wire and rail; enter the widest spacing \
         wanted, or keep less in hand"
    )]
    NoSpacingRow,
    /// No number of wires is as close as was wanted.
    #[error(
        "no number of wires up to {most} is no more than {wanted} apart; type a wider spacing, or leave it out"
    )]
    CloserThanCounts {
        /// The widest spacing wanted, square to the wires.
        wanted: Millimetres,
        /// Most wires that are tried.
        most: u32,
    },
    /// Without a table: no number of wires keeps to the widest spacing wanted and what is kept of it.
    #[error(
        "no number of wires up to {most} keeps to the widest spacing of {wanted} with {in_hand} of it in \
         hand; type a wider spacing, or keep less in hand"
    )]
    TooCloseWanted {
        /// The widest spacing wanted, square to the wires.
        wanted: Millimetres,
        /// What is kept in hand of it.
        in_hand: Millimetres,
        /// Most wires that are tried.
        most: u32,
    },
    /// No tension that is looked at keeps a sphere from passing.
    #[error("no tension up to {most} holds a sphere of {sphere} under {push}")]
    NotHeld {
        /// The sphere's diameter.
        sphere: Millimetres,
        /// The push on it.
        push: Newtons,
        /// The highest tension that is looked at.
        most: Newtons,
    },
    /// The rail comes down to the bottom of the wires somewhere.
    #[error(
        "no wire fits below the rail where it comes nearest; tell how wires and rail go, or correct the \
         floor's level or the rail's height"
    )]
    NoRoomBelowRail,
    /// A floor without posts at both ends.
    #[error("a floor needs a post at its first and at its last point; give the levels there")]
    FloorEnds,
    /// A point that does not lie after the one before it.
    #[error("{name} does not lie after the point before it; check the distances along the run")]
    OutOfOrder {
        /// Name of the point.
        name: String,
    },
    /// A template without marks.
    #[error("there is nothing to mark; lay out the wires of this post first")]
    NothingToMark,
}

/// A figure to three decimals, no finer than anything is read; one that these leave nothing of, in
/// powers of ten.
fn shown(value: &f64) -> String {
    let rounded = (value * 1e3).round() / 1e3;
    if rounded == 0.0 && *value != 0.0 {
        format!("{value:.0e}")
    } else {
        // Adding nothing takes the sign off a zero.
        format!("{}", rounded + 0.0)
    }
}

pub(crate) fn finite(what: &'static str, value: f64) -> Result<f64, MechanicsError> {
    if value.is_finite() {
        Ok(value)
    } else {
        Err(MechanicsError::NotFinite { what })
    }
}

/// A figure with the unit that a refusal shows behind it.
pub(crate) trait Measured: Copy {
    /// Its number.
    fn number(self) -> f64;

    /// Its unit, as it stands behind a number; empty where it has none.
    fn unit(self) -> &'static str;
}

/// A share or a count.
impl Measured for f64 {
    fn number(self) -> f64 {
        self
    }

    fn unit(self) -> &'static str {
        ""
    }
}

/// A figure of a unit that has no type of its own.
impl Measured for (f64, &'static str) {
    fn number(self) -> f64 {
        self.0
    }

    fn unit(self) -> &'static str {
        self.1
    }
}

pub(crate) fn positive(what: &'static str, figure: impl Measured) -> Result<f64, MechanicsError> {
    let value = finite(what, figure.number())?;
    if value > 0.0 {
        Ok(value)
    } else {
        Err(MechanicsError::NotPositive {
            what,
            value,
            unit: figure.unit(),
        })
    }
}

pub(crate) fn not_negative(
    what: &'static str,
    figure: impl Measured,
) -> Result<f64, MechanicsError> {
    let value = finite(what, figure.number())?;
    if value >= 0.0 {
        Ok(value)
    } else {
        Err(MechanicsError::Negative {
            what,
            value,
            unit: figure.unit(),
        })
    }
}

pub(crate) fn within(
    what: &'static str,
    figure: impl Measured,
    least: f64,
    most: f64,
) -> Result<f64, MechanicsError> {
    let value = finite(what, figure.number())?;
    if (least..=most).contains(&value) {
        Ok(value)
    } else {
        Err(MechanicsError::OutOfRange {
            what,
            value,
            least,
            most,
            unit: figure.unit(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_told_no_finer_than_they_are_read() {
        for (value, told) in [
            (2.0 - 3.2, "-1.2"),
            (-140.0, "-140"),
            (0.1 + 0.2, "0.3"),
            (-0.0, "0"),
            (-4e-7, "-4e-7"),
            (f64::INFINITY, "inf"),
        ] {
            assert_eq!(shown(&value), told);
        }
        let spacing =
            positive("the opening between the wires", Millimetres(2.0 - 3.2)).unwrap_err();
        assert_eq!(
            spacing.to_string(),
            "the opening between the wires must be above zero, and is -1.2 mm; enter it again"
        );
        let slack = MechanicsError::Slack {
            deflection: Millimetres(4.0),
            load: Newtons(0.01962),
        };
        assert!(slack.to_string().starts_with("4 mm under 0.02 N is more"));
        let outside = within("a slope", 10.0 / 3.0, 0.0, 2.0 + 1e-9).unwrap_err();
        assert_eq!(
            outside.to_string(),
            "a slope is 3.333, outside 0 to 2; enter it again"
        );
    }

    #[test]
    fn refused_figures_carry_their_unit_once() {
        use crate::units::{Degrees, Kilograms, NewtonsPerMillimetre};
        let below = |said: Result<f64, MechanicsError>| said.unwrap_err().to_string();
        for (said, told) in [
            (
                below(positive("the height", Millimetres(985.0 - 10_000.0))),
                "the height must be above zero, and is -9015 mm; enter it again",
            ),
            (
                below(not_negative("the tension", Newtons(-0.5))),
                "the tension must not be below zero, and is -0.5 N; enter it again",
            ),
            (
                below(within("the bend", Degrees(190.0), 0.0, 180.0)),
                "the bend is 190°, outside 0 to 180°; enter it again",
            ),
            (
                below(positive("the hung mass", Kilograms(0.0))),
                "the hung mass must be above zero, and is 0 kg; enter it again",
            ),
            (
                below(positive("the rail's stiffness", NewtonsPerMillimetre(-1.0))),
                "the rail's stiffness must be above zero, and is -1 N/mm; enter it again",
            ),
            (
                below(positive("the stretch's spread", (-0.2, " mm/m"))),
                "the stretch's spread must be above zero, and is -0.2 mm/m; enter it again",
            ),
        ] {
            assert_eq!(said, told);
        }
    }
}
