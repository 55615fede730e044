//! Tension by sound or by a phone hung at mid span: what the record knows of the wire, joined with
//! what was heard.
//!
//! Invariant: an answer is a guide with its band, or a refusal with its reason and remedy; it is
//! held against no table, and nothing here records it. Reads no files: samples come as numbers.

mod tell;

use mechanics::sound::{
    FreeSpan, HungMass, MotionSample, Recording, Supports, read_axes, read_pluck, read_plucks,
    split_plucks,
};
use mechanics::strand::mass_per_metre;
use mechanics::{Hertz, Kilograms, KilogramsPerMetre, Millimetres, Newtons, Seconds};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::WorkError;
use super::convert::{construction, mm, mn, nm, run_of, slope_of, strand_of};
use super::figures::Origin;
use super::supports::clear_along;
use super::tension::upper_of;
use crate::ids::ItemId;
use crate::job::{Bay, Job, Run};
use crate::model::context::Number;
use crate::model::values::{Length, Method, SpanHeld};

/// What stands beside every answer.
pub const CAUTION: &str = "Sound: a guide only; prove with gauge or 2 kg.";
/// The same of a phone that swings at mid span.
const CAUTION_SWING: &str = "Hung phone: a guide only; prove with gauge or 2 kg.";

/// What a person says of the span that sounds or swings.
#[derive(Clone, Debug)]
pub struct SpanAsked {
    /// From pinch to pinch, along the wire.
    pub length: Length,
    /// How the wire is held there; none: nobody said.
    pub held: Option<SpanHeld>,
    /// Mass per metre as weighed, in milligrams; none: computed from the strand.
    pub mg_per_metre: Option<i64>,
    /// The bay's place, where it is known in which it lies.
    pub bay: Option<String>,
}

/// One channel of sound.
#[derive(Clone, Debug)]
pub struct Sound {
    /// Samples, full scale ±1.
    pub samples: Vec<f32>,
    /// Samples per second.
    pub rate: f64,
}

/// What a motion sensor gave: for each axis times in seconds and accelerations in m/s².
#[derive(Clone, Debug, Default)]
pub struct SwingTimes {
    /// One list for each axis.
    pub axes: Vec<Vec<(f64, f64)>>,
}

/// A tension as a guide.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Guide {
    /// Newtons, in whole ones.
    pub newtons: f64,
    /// Rounded to what plucks agree within.
    pub shown_n: f64,
    /// Lower edge of the band.
    pub least_n: f64,
    /// Upper edge of the band.
    pub most_n: f64,
}

/// Why nothing is told, and what to do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct NotHeard {
    /// Why, one sentence.
    pub reason: String,
    /// What to do, one sentence.
    pub remedy: String,
}

/// One pluck.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Pluck {
    /// Number, from 1.
    pub number: u32,
    /// What it tells by itself, newtons; no answer by itself.
    pub newtons: Option<f64>,
    /// Whether it is one of those that agree.
    pub agrees: bool,
    /// Why it was not read.
    pub refused: Option<NotHeard>,
}

/// What was heard: a guide, or why there is none.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Heard {
    /// "A6".
    pub name: String,
    /// Sound or hung phone.
    pub method: Method,
    /// The tension; none where it is refused.
    pub guide: Option<Guide>,
    /// Why it is refused; none where there is a tension.
    pub refused: Option<NotHeard>,
    /// Each pluck.
    pub plucks: Vec<Pluck>,
    /// What the answer rests on, as text with units and origins.
    pub numbers: Vec<Number>,
    /// What was noticed about the recordings.
    pub notes: Vec<String>,
    /// One sentence.
    pub sentence: String,
    /// What to say beside it.
    pub caution: String,
}

/// A wire ready to be heard: all that the record says of it.
#[derive(Clone, Debug)]
pub struct Hearing {
    name: String,
    span: FreeSpan,
    axial_stiffness: Newtons,
    numbers: Vec<Number>,
    /// What of the span is unlikely, in sentences.
    odd: Vec<String>,
    /// What nothing may exceed.
    upper: Option<Newtons>,
}

/// How far a mass that was weighed may be off the one that follows from the strand's size.
const MASS_APART: f64 = 0.15;

/// Takes what the record says of a wire together with what a person says of the span.
///
/// # Errors
/// [`WorkError::NoStrand`] where the run has no strand whose construction is known; when the run is
/// unknown or a figure can't be.
pub fn hearing(
    job: &Job<'_>,
    run: ItemId,
    wire: u32,
    asked: &SpanAsked,
) -> Result<Hearing, WorkError> {
    let run = run_of(job, run)?;
    let known = strand_of(job, run).and_then(|(strand, f)| Some((strand, f, construction(f)?)));
    let Some((strand, figures, construction)) = known else {
        return Err(WorkError::NoStrand {
            run: run.name.clone(),
        });
    };
    let diameter = nm(figures.diameter_nm);
    let (mass, origin) = match asked.mg_per_metre {
        #[allow(clippy::cast_precision_loss)] // grams
        Some(mg) => (
            KilogramsPerMetre(mg as f64 / 1e6),
            Origin::Measured.word().to_owned(),
        ),
        None => {
            let figure = mass_per_metre(diameter, construction)?;
            let how = figure.source.unwrap_or_default();
            (
                figure.value,
                format!("{}: {how}", Origin::from(figure.origin).word()),
            )
        }
    };
    let span = FreeSpan {
        length: mm(asked.length),
        mass,
        diameter,
        construction,
        supports: match asked.held {
            Some(SpanHeld::Pinched) => Supports::Pinched,
            Some(SpanHeld::Sleeved) => Supports::Sleeved,
            Some(SpanHeld::Loose) => Supports::Loose,
            None => Supports::NotSaid,
        },
    };
    let odd_mass = odd_mass(mass, mass_per_metre(diameter, construction)?.value);
    let odd_span = odd_span(run, span.length, asked.bay.as_deref())?;
    let mut numbers = tell::span(&span, &origin, asked.length.nm)?;
    let mut odd = Vec::new();
    for (name, said, beside) in [
        ("unlikely mass", odd_mass, "beside the strand's size"),
        ("unlikely span", odd_span, "beside the run's bays"),
    ] {
        let Some(said) = said else { continue };
        numbers.push(tell::number(name, said.clone(), beside));
        odd.push(said);
    }
    let strand = format!(
        "{}, {} {}",
        strand.name, figures.construction, span.diameter
    );
    numbers.insert(0, tell::number("strand", strand, "as recorded"));
    Ok(Hearing {
        name: format!("{}{wire}", run.name),
        span,
        axial_stiffness: mn(figures.ea_mn),
        numbers,
        odd,
        upper: upper_of(job, run)?,
    })
}

/// Said of a guide that reaches over what nothing may exceed. It proves nothing, and a wire that is
/// turned on until a gauge says so may be over for long.
fn over_upper(guide: &Guide, upper: Newtons) -> Option<String> {
    let how = match (guide.newtons > upper.value(), guide.most_n > upper.value()) {
        (true, _) => "This guide is",
        (false, true) => "The upper end of this guide is",
        (false, false) => return None,
    };
    Some(format!(
        "{how} over the upper tension {upper}: turn no further, and prove it with the gauge."
    ))
}

/// Said of a mass per metre that is far from what the strand's size gives: the tension goes with it.
fn odd_mass(weighed: KilogramsPerMetre, computed: KilogramsPerMetre) -> Option<String> {
    let times = weighed.value() / computed.value();
    ((times - 1.0).abs() > MASS_APART).then(|| {
        format!(
            "{:.1} g a metre is {times:.2} times the {:.1} g that follow from the strand's size, and \
             the tension goes with it. Was another length weighed than one metre?",
            weighed.value() * 1e3,
            computed.value() * 1e3
        )
    })
}

/// Said of a span that is longer than its bay, or where that is not known than every bay of the run: the tension
/// goes with its square.
fn odd_span(run: &Run, span: Millimetres, bay: Option<&str>) -> Result<Option<String>, WorkError> {
    let slope = slope_of(run)?;
    let over = |longest: Millimetres| longest.value() > 0.0 && span > longest + Millimetres(1.0);
    let place = |bay: &Bay| bay.subject.to_string().replacen("bay:", "", 1);
    if let Some(own) = bay.and_then(|at| run.bays.iter().find(|bay| place(bay) == at)) {
        let clear = clear_along(own, slope)?.unwrap_or_default();
        return Ok(over(clear).then(|| {
            format!(
                "A span of {span} is longer than bay {}, {clear} along the wire, and the tension goes with its \
                 square. Was it read in this bay?",
                own.name
            )
        }));
    }
    let mut longest = Millimetres(0.0);
    for bay in &run.bays {
        longest = longest.max(clear_along(bay, slope)?.unwrap_or_default());
    }
    Ok(over(longest).then(|| {
        format!(
            "A span of {span} is longer than every bay of run {}, {longest} at most along the wire, and \
             the tension goes with its square. Was it read rightly?",
            run.name
        )
    }))
}

impl Hearing {
    /// Reads the plucks; one recording alone is cut into its plucks first.
    ///
    /// Fewer than three tell of each pluck and no tension.
    ///
    /// # Errors
    /// When a figure or a sampling rate can't be.
    pub fn plucks(&self, sounds: &[Sound]) -> Result<Heard, WorkError> {
        let mut all = Vec::new();
        for sound in sounds {
            let recording = Recording {
                samples: &sound.samples,
                rate: Hertz(sound.rate),
            };
            match sounds {
                [_] => all.extend(split_plucks(&recording)?),
                _ => all.push(recording),
            }
        }
        // What holds no rise is told as it is: empty, silent.
        if let ([only], true) = (sounds, all.is_empty()) {
            all.push(Recording {
                samples: &only.samples,
                rate: Hertz(only.rate),
            });
        }
        let answer = read_plucks(&self.span, &all)?;
        let plucks = match &answer {
            mechanics::sound::SoundAnswer::Refused { plucks, .. } if plucks.is_empty() => {
                let mut told = Vec::new();
                for (number, recording) in (1..).zip(&all) {
                    told.push(tell::one_pluck(number, read_pluck(&self.span, recording)?));
                }
                told
            }
            other => tell::plucks(other),
        };
        let heard = tell::by_sound(&self.name, &self.numbers, &answer, plucks)?;
        Ok(self.looked_at(heard))
    }

    /// Reads the swing of a mass of so many milligrams, clamped at mid span with the phone in it.
    ///
    /// # Errors
    /// When a figure can't be.
    pub fn swing(&self, mass_mg: i64, times: &SwingTimes) -> Result<Heard, WorkError> {
        #[allow(clippy::cast_precision_loss)] // a few kilograms
        let mass = Kilograms(mass_mg as f64 / 1e6);
        let hung = HungMass {
            span: self.span,
            axial_stiffness: self.axial_stiffness,
            mass,
        };
        let axes: Vec<Vec<MotionSample>> = times
            .axes
            .iter()
            .map(|axis| {
                let sample = |(at, acceleration): &(f64, f64)| MotionSample {
                    at: Seconds(*at),
                    acceleration: *acceleration,
                };
                axis.iter().map(sample).collect()
            })
            .collect();
        let answer = read_axes(&hung, &axes)?;
        let mut numbers = self.numbers.clone();
        let weighed = crate::work::words::kilograms(mass_mg);
        numbers.push(tell::number("mass hung", weighed, Origin::Measured.word()));
        Ok(self.looked_at(tell::by_swing(&self.name, numbers, &answer)?))
    }

    /// The answer with what is unlikely about the span, and whether it is over what nothing may exceed.
    fn looked_at(&self, mut heard: Heard) -> Heard {
        let over = heard.guide.as_ref().zip(self.upper);
        heard
            .notes
            .extend(over.and_then(|(guide, upper)| over_upper(guide, upper)));
        heard.notes.extend(self.odd.iter().cloned());
        heard
    }
}
