//! Deflections under a hung mass, beside the document's table and the tension they tell.

use mechanics::deflection::{DeflectionReading, TensionBand, TensionFromDeflection, read_tension};
use mechanics::{Degrees, MechanicsError, Millimetres, Newtons, units::Kilograms};

use super::bays::ToRead;
use super::standing::{Raises, Taken};
use super::{DeflectionCheck, ReadingState};
use crate::ids::Hash;
use crate::job::{Fact, Job, Run, Told, Wire};
use crate::model::context::TensionRead;
use crate::model::values;
use crate::subject::Subject;
use crate::work::convert::{mn, nm, slope_of, strand_of};
use crate::work::ordering::BayRow;
use crate::work::repeats::{self, Line};
use crate::work::supports::clear_along;
use crate::work::{WorkError, words};

/// How far below the table's mass a weighed one may be and still be held against its limit: the
/// limit moves by less than a ruler shows (common practice, no published source).
const MASS_SHORT: f64 = 0.005;
/// Uncertainty of a ruler at a hung mass, assumed.
pub(super) const RULER: Millimetres = Millimetres(0.5);

pub(super) fn deflections(
    job: &Job<'_>,
    run: &Run,
    wire: &Wire,
    length: Option<Millimetres>,
    rows: &[BayRow],
    raises: &Raises,
) -> Result<Vec<DeflectionCheck>, WorkError> {
    let stiffness = strand_of(job, run).map(|(_, f)| mn(f.ea_mn));
    let slope = slope_of(run)?;
    let mut spans = Vec::new();
    for bay in &run.bays {
        spans.push((bay.subject, bay.name.as_str(), clear_along(bay, slope)?));
    }
    let check = |bay: &str, disputed: bool, told: &Told<values::Deflection, TensionRead>| {
        let read = told.value?;
        let subject = format!("bay:{bay}").parse::<Subject>().ok()?;
        let row = rows.iter().find(|r| r.bays.contains(&subject));
        let (name, clear) = spans
            .iter()
            .find(|(bay, _, _)| *bay == subject)
            .map_or_else(
                || (job.name_of(&subject), None),
                |(_, name, clear)| ((*name).to_owned(), *clear),
            );
        #[allow(clippy::cast_precision_loss)] // a few kilograms
        let mass = Kilograms(read.mass_mg as f64 / 1e6);
        let told_by = tells(clear, stiffness, length, slope, read);
        let tells = told_by.as_ref().ok();
        let stage = stage(told, raises);
        // Held plumb the ruler would have shown so much: that is what the table is asked for.
        let down = nm(read.nm) / slope.radians().cos();
        let limit = limit(row, mass, down);
        let most = limit.as_ref().ok().copied().flatten();
        let over = most.is_some_and(|most| down.value() > most);
        let anew = raises.after_hung(job, told, bay, over);
        Some(DeflectionCheck {
            entry: told.id,
            sentence: deflection_words(&name, (read, down), &limit, &told_by, slope)
                + if disputed { DISPUTED } else { "" },
            bay: subject,
            bay_name: name,
            stage,
            pass: told.with.as_ref().and_then(|with| with.pass),
            at_ms: told.at.ms,
            replaced: anew || !stands(job, wire, bay, raises).contains(&told.id),
            anew,
            let_out: raises.let_out_after(job, &Line::of(job, told)),
            disputed,
            untold: told_by.as_ref().err().map(Untold::why),
            deflection_mm: nm(read.nm).value(),
            mass_kg: mass.value(),
            most_mm: most,
            table_mass_kg: row.and_then(|r| r.deflection_mass_kg),
            margin_mm: most.map(|m| m - down.value()),
            at_the_mark: most.is_some_and(|m| at_the_mark(m, down)),
            gripped_n: tells.map(|t| t.gripped.tension.value()),
            gripped_band_n: tells.and_then(|t| band(&t.gripped)),
            sliding_n: tells.map(|t| t.sliding.tension.value()),
            sliding_band_n: tells.and_then(|t| band(&t.sliding)),
        })
    };
    let on_piece = |told: &&Told<values::Deflection, TensionRead>| {
        let with = told.with.as_ref();
        with.is_none_or(|with| with.piece == wire.piece_number)
    };
    let mut checks = Vec::new();
    for (bay, fact) in &wire.deflections {
        let told = fact.tips.iter().filter(on_piece);
        let all = told.filter_map(|told| check(bay, fact.blocks(), told));
        checks.extend(all.max_by(DeflectionCheck::by_concern));
    }
    Ok(checks)
}

const DISPUTED: &str = " People differ on it: what is further down than the table lets it be counts, else the furthest.";

fn band(band: &TensionBand) -> Option<(f64, f64)> {
    Some((band.least.value(), band.most?.value()))
}

/// Why a deflection tells no tension.
#[derive(Debug, thiserror::Error)]
pub(super) enum Untold {
    /// Something that it is worked out from is not on record.
    #[error("It tells no tension: {0}.")]
    Missing(&'static str),
    /// No tension goes with it, as it was read.
    #[error("It tells no tension: {0}.")]
    Slack(String),
    /// A figure that it is worked out from can't be.
    #[error("It tells no tension: {0}.")]
    CanNotBe(MechanicsError),
}

impl Untold {
    fn why(&self) -> String {
        match self {
            Untold::Missing(why) => (*why).to_owned(),
            Untold::Slack(why) => why.clone(),
            Untold::CanNotBe(why) => why.to_string(),
        }
    }
}

/// The tension that a deflection tells, gripped and sliding, or why it tells none.
///
/// On a rake only W·cos θ of the mass's weight lies across the wire, which the ruler is taken as square to:
/// held plumb it reads 1/cos θ as far down, and what is told here is that much too low, the careful side.
pub(super) fn tells(
    clear: Option<Millimetres>,
    axial_stiffness: Option<Newtons>,
    length: Option<Millimetres>,
    slope: Degrees,
    read: values::Deflection,
) -> Result<TensionFromDeflection, Untold> {
    let clear = clear.ok_or(Untold::Missing("the bay's clear distance is not known"))?;
    let axial_stiffness = axial_stiffness.ok_or(Untold::Missing("the run has no strand"))?;
    let run = length.ok_or(Untold::Missing("the wire's length is not known"))?;
    #[allow(clippy::cast_precision_loss)] // a few kilograms
    let mass = Kilograms(read.mass_mg as f64 / 1e6);
    read_tension(&DeflectionReading {
        clear,
        run,
        axial_stiffness,
        load: mass.weight() * slope.radians().cos(),
        deflection: nm(read.nm),
        reading_error: RULER,
    })
    .map_err(|why| match why {
        // What the mechanics names there is the reading less what the ruler may err.
        MechanicsError::Slack { .. } => Untold::Slack(format!(
            "{} under {} is more than a wire without tension would show, with ± {RULER} of the ruler; \
             check the span, the mass and the reading",
            words::mm(read.nm),
            words::kilograms(read.mass_mg)
        )),
        why => Untold::CanNotBe(why),
    })
}

/// The round in which a mass hung; the last pass is as good as a final one.
fn stage(told: &Told<values::Deflection, TensionRead>, raises: &Raises) -> values::Stage {
    match told.with.as_ref() {
        Some(with) if raises.finishes(with) => values::Stage::Final,
        Some(with) => with.stage,
        None => values::Stage::Pass,
    }
}

/// Entries of the deflections of a bay on the present piece that no later one takes the place of.
fn stands(job: &Job<'_>, wire: &Wire, bay: &str, raises: &Raises) -> Vec<Hash> {
    let on_piece = |fact: &Fact<values::Deflection, TensionRead>| {
        let with = fact.tips.last().and_then(|t| t.with.as_ref());
        with.is_none_or(|w| w.piece == wire.piece_number)
    };
    let here: Vec<&Fact<values::Deflection, TensionRead>> = wire
        .deflections
        .iter()
        .filter(|(at, fact)| at == bay && on_piece(fact))
        .map(|(_, fact)| fact)
        .collect();
    let left = repeats::standing(job, &here, |told| stage(told, raises));
    left.iter()
        .flat_map(|f| f.tips.iter().map(|t| t.id))
        .collect()
}

/// A mass that hung, with what was told of it and where it stands in the record's order.
pub(super) struct Hung<'c> {
    pub(super) check: &'c DeflectionCheck,
    /// As told: the check's own counts the last pass as final.
    pub(super) stage: values::Stage,
    pub(super) pass: Option<u32>,
    pub(super) line: Line,
}

/// The deflections that no raise took away.
pub(super) fn that_hold<'c>(
    job: &Job<'_>,
    wire: &Wire,
    checks: &'c [DeflectionCheck],
) -> Vec<Hung<'c>> {
    let hung = |check: &'c DeflectionCheck| {
        let mut tips = wire.deflections.iter().flat_map(|(_, fact)| &fact.tips);
        let told = tips.find(|t| t.id == check.entry)?;
        let with = told.with.as_ref();
        Some(Hung {
            check,
            stage: with.map_or(check.stage, |with| with.stage),
            pass: with.and_then(|with| with.pass),
            line: Line::of(job, told),
        })
    };
    let holds = checks.iter().filter(|check| !check.anew);
    holds.filter_map(hung).collect()
}

/// The masses under which a wire stands further down than the table lets it: at the set tension or in a
/// recheck, in a bay where neither a gauge nor another mass showed it otherwise since. What was found in a
/// recheck only a recheck shows otherwise, as of a gauge's reading.
pub(super) fn sags(
    job: &Job<'_>,
    hung: &[Hung<'_>],
    taken: &[&Taken<'_>],
    last_pass: Option<u32>,
) -> Vec<Hash> {
    use values::Stage::{Pass, Recheck};
    let as_late = |recheck: bool, one: &Hung<'_>| recheck || one.check.stage != Recheck;
    let clear = |one: &Hung<'_>| {
        taken.iter().any(|t| {
            let there = t.reading.bay == Some(one.check.bay) && t.at_set(last_pass);
            let shows = t.reading.state == ReadingState::Clear && t.proves(job);
            let late = as_late(t.reading.stage == Recheck, one);
            there && shows && late && t.line.knew_line(job, &one.line)
        })
    };
    // Only a mass that is held against the table shows a bay otherwise.
    let hung_since = |one: &Hung<'_>| {
        hung.iter().any(|other| {
            let there = other.check.bay == one.check.bay && other.check.entry != one.check.entry;
            let shows = other.check.is_over() || other.check.is_within();
            let late = as_late(other.check.stage == Recheck, one);
            there && shows && late && other.line.knew_line(job, &one.line)
        })
    };
    hung.iter()
        .filter(|one| one.check.stage != Pass && one.check.is_over())
        .filter(|one| !clear(one) && !hung_since(one))
        .map(|one| one.check.entry)
        .collect()
}

/// The round in which every bay to read was within the table under the hung mass; none where the wire
/// sags, or a bay was not read in a final round or a recheck.
pub(super) fn held(
    checks: &[DeflectionCheck],
    sags: &[Hash],
    to_read: &[ToRead],
) -> Option<values::Stage> {
    if !sags.is_empty() {
        return None;
    }
    let mut round = None;
    for one in to_read {
        let held = |c: &&DeflectionCheck| one.bays.contains(&c.bay) && !c.replaced && c.is_within();
        let here = checks.iter().filter(held).map(|c| c.stage).max()?;
        round = Some(round.map_or(here, |known: values::Stage| known.min(here)));
    }
    round
}

/// Whether a deflection is within the table's, and the ruler may put it over.
fn at_the_mark(most: f64, deflection: Millimetres) -> bool {
    let margin = Millimetres(most) - deflection;
    margin.value() >= 0.0 && margin + Millimetres(1.0e-6) < RULER
}

/// The table's largest deflection, none where it has none; or why it can't be held against.
fn limit(
    row: Option<&BayRow>,
    mass: Kilograms,
    deflection: Millimetres,
) -> Result<Option<f64>, String> {
    let Some((row, most)) = row.and_then(|r| Some((r, r.most_deflection_mm?))) else {
        return Ok(None);
    };
    if deflection <= RULER {
        return Err(format!(
            "{deflection} is no more than what a ruler leaves open (± {RULER}): this reading is not \
             held against the table's {most} mm."
        ));
    }
    if row.bays.len() > 1 {
        return Err(format!(
            "The table's {most} mm hold for bay {} as one, at its own mid span: this reading is not \
             held against them.",
            row.name
        ));
    }
    let Some(table) = row.deflection_mass_kg else {
        return Err(format!(
            "The table's {most} mm come without a mass: this reading is not held against them."
        ));
    };
    if mass.value() < table * (1.0 - MASS_SHORT) {
        return Err(format!(
            "The table's {most} mm hold under {table} kg: {} kg are too little to be held against \
             them. Hang {table} kg.",
            mass.value()
        ));
    }
    Ok(Some(most))
}

/// The reading in words; `down` is what the ruler would have shown held plumb.
fn deflection_words(
    bay: &str,
    (read, down): (values::Deflection, Millimetres),
    limit: &Result<Option<f64>, String>,
    tells: &Result<TensionFromDeflection, Untold>,
    slope: Degrees,
) -> String {
    let limit = match limit {
        Ok(Some(most)) if at_the_mark(*most, down) => format!(
            " The table lets it be {most} mm at most: at the mark, half a millimetre of the ruler may \
             put it over."
        ),
        Ok(Some(most)) => format!(" The table lets it be {most} mm at most."),
        Ok(None) => String::new(),
        Err(why) => format!(" {why}"),
    };
    let tension = match tells {
        Ok(t) => format!(
            " It tells {} with the wire gripped at the posts, {} with it sliding.",
            with_band(&t.gripped),
            with_band(&t.sliding)
        ),
        Err(why) => format!(" {why}"),
    };
    let rake = on_a_rake(slope).map_or_else(String::new, |said| {
        format!(" {said} Against the table it counts as {down}, as held plumb.")
    });
    format!(
        "{} under {} at mid span of {bay}.{limit}{tension}{rake}",
        words::mm(read.nm),
        words::kilograms(read.mass_mg)
    )
}

/// How the ruler is taken on a rake; none on the level. Held plumb it tells 1/cos θ as much at the least, and more
/// the less of the pull is the wire's own stretch.
pub(super) fn on_a_rake(slope: Degrees) -> Option<String> {
    let more = 1.0 / slope.radians().cos() - 1.0;
    (more > 1.0e-4).then(|| {
        format!(
            "The ruler is taken as square to the wire; held plumb it would tell at least {:.0} % \
             more.",
            more * 100.0
        )
    })
}

/// Newtons as a ruler can tell them: whole tens.
fn tens(tension: Newtons, to: fn(f64) -> f64) -> f64 {
    to(tension.value() / 10.0) * 10.0
}

/// "1500 N (1340 to 1700 for half a millimetre)"; without an end where the ruler leaves none.
pub(super) fn with_band(band: &TensionBand) -> String {
    let half = "for half a millimetre of the ruler";
    match band.most {
        Some(most) => format!(
            "{:.0} N ({:.0} to {:.0} {half})",
            tens(band.tension, f64::round),
            tens(band.least, f64::floor),
            tens(most, f64::ceil)
        ),
        None => format!(
            "{:.0} N (from {:.0} on {half})",
            tens(band.tension, f64::round),
            tens(band.least, f64::floor)
        ),
    }
}
