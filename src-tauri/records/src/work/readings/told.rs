//! What is told with a reading when it is taken: its band and what it rests on.
//!
//! Invariant: figures as they stand at that moment; they are kept with the reading and shown from
//! there, so that a later change of a tool or bay does not change what a person was told.

use mechanics::Newtons;

use super::deflections::{RULER, tells, with_band};
use crate::ids::ItemId;
use crate::job::Job;
use crate::job::things::Tool;
use crate::model::context::{Number, ReadingTold};
use crate::model::values::{Deflection, Force};
use crate::subject::Subject;
use crate::work::convert::{mn, nm, run_of, slope_of, strand_of};
use crate::work::figures::Origin;
use crate::work::lengths::inside;
use crate::work::supports::clear_along;
use crate::work::tension::{gauge_note, share};
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
    let run = run_of(job, run)?;
    let slope = slope_of(run)?;
    let subject = format!("bay:{bay}").parse::<Subject>().ok();
    let bay = run.bays.iter().find(|b| Some(b.subject) == subject);
    let clear = bay.map(|b| clear_along(b, slope)).transpose()?.flatten();
    let stiffness = strand_of(job, run).map(|(_, f)| mn(f.ea_mn));
    let place = run.wires.iter().position(|w| w.number == wire);
    let lengths = inside(run).0;
    let length = place
        .and_then(|place| lengths.get(place))
        .and_then(|l| l.length.as_ref().ok())
        .map(|known| known.mm);
    let mut told = ReadingTold::default();
    let (measured, computed) = (Origin::Measured.word(), Origin::Computed.word());
    let mm = |name: &str, value: Option<mechanics::Millimetres>, origin: &str| {
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
    match tells(clear, stiffness, length, read) {
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
        Err(why) => told.numbers.push(number("tension", why, computed)),
    }
    Ok(told)
}
