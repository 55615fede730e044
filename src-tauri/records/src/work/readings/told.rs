//! What is told with a reading when it is taken: its band and what it rests on.
//!
//! Invariant: figures as they stand at that moment; they are kept with the reading and shown from
//! there, so that a later change of a tool or bay does not change what a person was told.

use mechanics::deflection::TensionFromDeflection;
use mechanics::{Degrees, Millimetres, Newtons};

use super::deflections::{RULER, Untold, on_a_rake, tells, with_band};
use super::gauges::error_on;
use crate::ids::ItemId;
use crate::job::things::Tool;
use crate::job::{Job, Run};
use crate::model::context::{Number, ReadingTold};
use crate::model::values::{Deflection, Force};
use crate::subject::Subject;
use crate::work::convert::{mn, nm, run_of, slope_of, strand_of};
use crate::work::figures::Origin;
use crate::work::lengths::inside;
use crate::work::supports::clear_along;
use crate::work::tension::{gauge_note, most_shown, share, upper_of};
use crate::work::{WorkError, words};

fn number(name: &str, value: String, origin: &str) -> Number {
    Number {
        name: name.to_owned(),
        value,
        origin: origin.to_owned(),
    }
}

/// Whole newtons as millinewtons.
#[allow(clippy::cast_possible_truncation)] // tensions of wires
fn whole_mn(newtons: Newtons) -> i64 {
    newtons.value().round() as i64 * 1000
}

/// What a gauge's reading rests on: the gauge with its error and dates, its scale and chart.
#[must_use]
pub fn tell_gauge(
    tool: Option<&Tool>,
    read: Force,
    raw: Option<&str>,
    chart: Option<&str>,
) -> ReadingTold {
    let mut told = ReadingTold::default();
    let recorded = Origin::Recorded.word();
    if let Some(tool) = tool {
        let note = gauge_note(tool);
        told.numbers.push(number(
            "gauge",
            format!("{}, {}", note.name, note.dates),
            recorded,
        ));
    }
    if let Some(error) = tool.and_then(|tool| tool.error_per_10000).map(share) {
        let newtons = mn(read.mn);
        told.least_mn = Some(whole_mn(newtons * (1.0 - error)));
        told.most_mn = Some(whole_mn(newtons * (1.0 + error)));
        let percent = format!("± {} %", (error * 10_000.0).round() / 100.0);
        told.numbers
            .push(number("gauge's error", percent, recorded));
    }
    for (name, text) in [("scale", raw), ("chart", chart)] {
        if let Some(text) = text {
            told.numbers.push(number(name, text.to_owned(), recorded));
        }
    }
    told
}

/// What the tension behind a deflection is worked out from; none where it is not on record.
#[derive(Clone, Copy)]
struct Known {
    /// Clear distance of the bay along the wire.
    clear: Option<Millimetres>,
    /// EA of the strand.
    stiffness: Option<Newtons>,
    /// Inside to inside of the wire.
    length: Option<Millimetres>,
    /// Zero on the level.
    slope: Degrees,
}

impl Known {
    fn tells(&self, read: Deflection) -> Result<TensionFromDeflection, Untold> {
        tells(self.clear, self.stiffness, self.length, self.slope, read)
    }
}

fn known(job: &Job<'_>, run: &Run, wire: u32, bay: &str) -> Result<Known, WorkError> {
    let slope = slope_of(run)?;
    let subject = format!("bay:{bay}").parse::<Subject>().ok();
    let bay = run.bays.iter().find(|b| Some(b.subject) == subject);
    let place = run.wires.iter().position(|w| w.number == wire);
    let lengths = inside(run).0;
    Ok(Known {
        clear: bay.map(|b| clear_along(b, slope)).transpose()?.flatten(),
        stiffness: strand_of(job, run).map(|(_, f)| mn(f.ea_mn)),
        length: place
            .and_then(|place| lengths.get(place))
            .and_then(|l| l.length.as_ref().ok())
            .map(|known| known.mm),
        slope,
    })
}

/// What to ask about a deflection before it is kept: one that no ruler tells, one that tells more than
/// a wire may have even at the lower edge of its band, and one that only a slack wire shows.
///
/// # Errors
/// When the run is unknown or its slope can't be.
pub fn odd_deflection(
    job: &Job<'_>,
    run: ItemId,
    wire: u32,
    bay: &str,
    read: Deflection,
) -> Result<Option<String>, WorkError> {
    let run = run_of(job, run)?;
    let down = nm(read.nm);
    if down <= RULER {
        return Ok(Some(format!(
            "{down} is no more than what a ruler leaves open (± {RULER}): it tells no tension and is \
             held against no table. Is it right?"
        )));
    }
    let known = known(job, run, wire, bay)?;
    Ok(match known.tells(read) {
        Ok(found) => {
            // On a rake the ruler may have been held plumb: then it tells more.
            let cos = known.slope.radians().cos();
            #[allow(clippy::cast_precision_loss, clippy::cast_possible_truncation)] // millimetres
            let square = (read.nm as f64 * cos).round() as i64;
            let plumb = known.tells(Deflection { nm: square, ..read });
            let least = plumb.map_or(found.gripped.least / cos, |plumb| plumb.gripped.least);
            most_known(job, run)?
                .filter(|(most, _)| least > *most)
                .map(|(most, name)| {
                    format!(
                        "It tells {}, over the {name} of {most}. Stop. Is the reading right?",
                        with_band(&found.gripped)
                    )
                })
        }
        Err(Untold::Slack(why)) => Some(format!("The wire would be slack: {why}. Is it right?")),
        Err(_) => None,
    })
}

/// What to ask about a tension read with a gauge: one above the run's upper tension, or so near below it
/// that the gauge's error may put it there. What was decided to be set may be shown.
///
/// # Errors
/// When the run is unknown or a figure can't be.
pub fn odd_tension(
    job: &Job<'_>,
    run: ItemId,
    gauge: Option<ItemId>,
    read: Force,
) -> Result<Option<String>, WorkError> {
    let run = run_of(job, run)?;
    let Some(upper) = upper_of(job, run)? else {
        return Ok(None);
    };
    let shows = Newtons(read.as_newtons());
    if shows > upper {
        return Ok(Some(format!(
            "{} N is over the upper tension of {upper}. Stop. Is the reading right?",
            shows.value()
        )));
    }
    let tool = job.tools.iter().find(|t| Some(t.id) == gauge);
    let Some((tool, error)) = tool.and_then(|t| Some((t, error_on(Some(t))?))) else {
        return Ok(None);
    };
    let set = run.tensions.value().map(|t| mn(t.set_mn));
    Ok((shows > most_shown(upper, set, Some(error))?).then(|| {
        format!(
            "{} N on {} may be {} for what it errs, over the upper tension of {upper}. Stop. Is the \
             reading right?",
            shows.value(),
            tool.name,
            Newtons((shows * (1.0 + error)).value().ceil())
        )
    }))
}

/// What nothing on the run may exceed, and what it is called: its upper tension, else the strand's
/// breaking load.
fn most_known(job: &Job<'_>, run: &Run) -> Result<Option<(Newtons, &'static str)>, WorkError> {
    let breaking = strand_of(job, run).and_then(|(_, f)| f.breaking_mn).map(mn);
    let breaking = breaking.map(|most| (most, "breaking load"));
    let upper = upper_of(job, run)?.map(|most| (most, "upper tension"));
    Ok(match (upper, breaking) {
        (Some(upper), Some(breaking)) if breaking.0 < upper.0 => Some(breaking),
        (upper, breaking) => upper.or(breaking),
    })
}

/// What a deflection under a hung mass tells, the wire taken as gripped, with what it rests on.
///
/// The band spans what half a millimetre of the ruler leaves. Where it tells no tension, the reason
/// stands among the numbers.
///
/// # Errors
/// When the run is unknown or its slope can't be.
pub fn tell_deflection(
    job: &Job<'_>,
    run: ItemId,
    wire: u32,
    bay: &str,
    read: Deflection,
) -> Result<ReadingTold, WorkError> {
    let known = known(job, run_of(job, run)?, wire, bay)?;
    let Known {
        clear,
        stiffness,
        length,
        slope,
    } = known;
    let mut told = ReadingTold::default();
    let (measured, computed) = (Origin::Measured.word(), Origin::Computed.word());
    let mm = |name: &str, value: Option<Millimetres>, origin: &str| {
        value.map(|v| number(name, format!("{:.1} mm", v.value()), origin))
    };
    told.numbers.push(number(
        "mass hung",
        words::kilograms(read.mass_mg),
        measured,
    ));
    told.numbers.extend(
        [
            mm("down at mid span", Some(nm(read.nm)), measured),
            mm("ruler, ±", Some(RULER), Origin::Assumed.word()),
            mm("bay, along the wire", clear, "as recorded or drawn"),
            mm("wire, inside to inside", length, "as the cut sheet has it"),
        ]
        .into_iter()
        .flatten(),
    );
    if let Some(stiffness) = stiffness {
        let kilonewtons = format!("{:.1} kN", stiffness.value() / 1000.0);
        told.numbers
            .push(number("stiffness EA", kilonewtons, Origin::Recorded.word()));
    }
    let rake = on_a_rake(slope);
    told.numbers
        .extend(rake.map(|said| number("on a rake", said, Origin::Assumed.word())));
    match known.tells(read) {
        Ok(found) => {
            told.least_mn = Some(whole_mn(found.gripped.least));
            told.most_mn = found.gripped.most.map(whole_mn);
            for (name, band) in [
                ("wire gripped at the posts", &found.gripped),
                ("wire sliding through the posts", &found.sliding),
            ] {
                told.numbers.push(number(name, with_band(band), computed));
            }
        }
        Err(why) => told
            .numbers
            .push(number("tension", why.to_string(), computed)),
    }
    Ok(told)
}
