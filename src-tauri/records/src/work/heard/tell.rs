//! Answers of the engineering as people read them: figures rounded outwards, inputs with origins.

use mechanics::Newtons;
use mechanics::sound::{
    BUDGET, FreeSpan, LEAST_SLENDERNESS, PluckAnswer, PluckReading, Refusal, SoundAnswer,
    SoundReading, SwingAnswer, SwingReading, WIDE_SLENDERNESS, bending_bounds,
};
use mechanics::tension::shown;

use super::{CAUTION, CAUTION_SWING, Guide, Heard, NotHeard, Pluck};
use crate::model::context::Number;
use crate::model::values::Method;
use crate::work::figures::Origin;
use crate::work::{WorkError, words};

/// What plucks agree within: a tension is shown no finer.
const AGREEMENT: f64 = 0.03;
/// Edges of a band are rounded outwards to this, N.
const EDGE: f64 = 10.0;

pub(super) fn number(name: &str, value: impl Into<String>, origin: &str) -> Number {
    Number {
        name: name.to_owned(),
        value: value.into(),
        origin: origin.to_owned(),
    }
}

/// What the span is, with where each figure is from.
pub(super) fn span(
    span: &FreeSpan,
    mass_origin: &str,
    length_nm: i64,
) -> Result<Vec<Number>, WorkError> {
    let held = match span.supports {
        mechanics::sound::Supports::Pinched => "pinched at both ends",
        mechanics::sound::Supports::Sleeved => "through sleeves",
        mechanics::sound::Supports::Loose => "loose in its holes",
        mechanics::sound::Supports::NotSaid => "not said",
    };
    let bounds = bending_bounds(span.diameter, span.construction)?;
    let grams = format!("{:.2} g", span.mass.value() * 1000.0);
    let bending = format!(
        "{:.3} to {:.3} N·m²",
        bounds.slipping.value(),
        bounds.solid.value()
    );
    Ok(vec![
        number(
            "span, pinch to pinch",
            words::mm(length_nm),
            Origin::Measured.word(),
        ),
        number("ends of the span", held, "as recorded"),
        number("mass per metre", grams, mass_origin),
        number(
            "bending stiffness",
            bending,
            "computed from the strand's wires: all slipping, none slipping",
        ),
    ])
}

fn guide(tension: Newtons, least: Newtons, most: Newtons) -> Result<Guide, WorkError> {
    Ok(Guide {
        newtons: tension.value().round(),
        shown_n: shown(tension, AGREEMENT)?.value(),
        least_n: (least.value() / EDGE).floor() * EDGE,
        most_n: (most.value() / EDGE).ceil() * EDGE,
    })
}

fn not_heard(refusal: &Refusal) -> NotHeard {
    let reason = refusal.reason();
    let mut letters = reason.chars();
    let first: String = letters
        .next()
        .into_iter()
        .flat_map(char::to_uppercase)
        .collect();
    NotHeard {
        reason: format!("{first}{}.", letters.as_str()),
        remedy: refusal.remedy().to_owned(),
    }
}

pub(super) fn one_pluck(number: u32, answer: Result<PluckReading, Refusal>) -> Pluck {
    match answer {
        Ok(reading) => Pluck {
            number,
            newtons: Some(reading.fit.clamped.value().round()),
            agrees: false,
            refused: None,
        },
        Err(refusal) => Pluck {
            number,
            newtons: None,
            agrees: false,
            refused: Some(not_heard(&refusal)),
        },
    }
}

/// Each pluck of an answer that looked at them.
pub(super) fn plucks(answer: &SoundAnswer) -> Vec<Pluck> {
    let plucks = match answer {
        SoundAnswer::Guide { reading } => &reading.plucks,
        SoundAnswer::Refused { plucks, .. } => plucks,
    };
    (1..)
        .zip(plucks)
        .map(|(number, pluck)| match pluck {
            PluckAnswer::Read { reading, agrees } => Pluck {
                agrees: *agrees,
                ..one_pluck(number, Ok(reading.clone()))
            },
            PluckAnswer::Refused { refusal } => one_pluck(number, Err(*refusal)),
        })
        .collect()
}

pub(super) fn by_sound(
    name: &str,
    numbers: &[Number],
    answer: &SoundAnswer,
    plucks: Vec<Pluck>,
) -> Result<Heard, WorkError> {
    let mut heard = Heard {
        plucks,
        ..empty(name, Method::Sound, numbers.to_vec())
    };
    match answer {
        SoundAnswer::Guide { reading } => {
            heard.guide = Some(guide(reading.tension, reading.least, reading.most)?);
            heard.numbers.extend(of_sound(reading));
            heard.numbers.push(slender(reading.slenderness));
            heard.notes.extend(reading.wide.then(|| {
                wide(
                    ("with its ends held", reading.tension),
                    ("with its ends free to turn", reading.pinned),
                )
            }));
        }
        SoundAnswer::Refused { refusal, .. } => heard.refused = Some(not_heard(refusal)),
    }
    Ok(told(heard))
}

fn of_sound(reading: &SoundReading) -> Vec<Number> {
    let newtons = |n: Newtons| format!("{:.0} N", n.value());
    vec![
        number(
            "plucks that agree",
            format!(
                "{} of {}, within {:.1} %",
                reading.agreeing,
                reading.plucks.len(),
                reading.apart * 100.0
            ),
            Origin::Measured.word(),
        ),
        number(
            "ends taken as held",
            newtons(reading.tension),
            Origin::Computed.word(),
        ),
        number(
            "ends taken as free to turn",
            newtons(reading.pinned),
            Origin::Computed.word(),
        ),
        budget(),
    ]
}

/// How far the span's length outweighs its stiffness, beside where nothing and where little is told.
fn slender(found: f64) -> Number {
    number(
        "length to stiffness, L/√(EI/T)",
        format!(
            "{found:.1} (none told below {LEAST_SLENDERNESS:.0}, a wide guide below {WIDE_SLENDERNESS:.0})"
        ),
        Origin::Computed.word(),
    )
}

/// Said of a span that is so short and slack that what nobody knows of its stiffness counts for much.
fn wide(low: (&str, Newtons), high: (&str, Newtons)) -> String {
    let newtons = |n: Newtons| format!("{:.0} N", n.value());
    format!(
        "The span is short and slack for this strand, so its stiffness counts for much: taken {} it \
         tells {}, {} {}. A longer span of the same wire tells more; until then trust it less.",
        low.0,
        newtons(low.1),
        high.0,
        newtons(high.1)
    )
}

fn budget() -> Number {
    number(
        "band for mass, length and ends",
        format!("± {:.0} %", BUDGET * 100.0),
        Origin::Assumed.word(),
    )
}

pub(super) fn by_swing(
    name: &str,
    numbers: Vec<Number>,
    answer: &SwingAnswer,
) -> Result<Heard, WorkError> {
    let mut heard = empty(name, Method::HungPhone, numbers);
    match answer {
        SwingAnswer::Guide { reading } => {
            heard.guide = Some(guide(reading.tension, reading.least, reading.most)?);
            heard.numbers.extend(of_swing(reading));
            heard.numbers.push(slender(reading.slenderness));
            heard.notes.extend(reading.wide.then(|| {
                wide(
                    ("as one bar", reading.solid),
                    ("with its wires slipping", reading.slipping),
                )
            }));
        }
        SwingAnswer::Refused { refusal } => heard.refused = Some(not_heard(refusal)),
    }
    Ok(told(heard))
}

fn of_swing(reading: &SwingReading) -> Vec<Number> {
    let computed = Origin::Computed.word();
    let mut numbers = vec![
        number(
            "swings a second",
            format!("{:.2}", reading.frequency.value()),
            Origin::Measured.word(),
        ),
        number(
            "wires of the strand slipping",
            format!("{:.0} N", reading.slipping.value()),
            computed,
        ),
        number(
            "strand as one bar",
            format!("{:.0} N", reading.solid.value()),
            computed,
        ),
        budget(),
    ];
    if let Some(swing) = &reading.swing {
        numbers.push(number(
            "motion read",
            format!(
                "{:.1} s at {:.0} a second, {:.0} % of the time missing",
                swing.covered.value(),
                swing.rate.value(),
                swing.missing * 100.0
            ),
            Origin::Measured.word(),
        ));
    }
    numbers
}

fn empty(name: &str, method: Method, numbers: Vec<Number>) -> Heard {
    Heard {
        name: name.to_owned(),
        method,
        guide: None,
        refused: None,
        plucks: Vec::new(),
        numbers,
        notes: Vec::new(),
        sentence: String::new(),
        caution: match method {
            Method::HungPhone => CAUTION_SWING,
            _ => CAUTION,
        }
        .to_owned(),
    }
}

fn told(mut heard: Heard) -> Heard {
    heard.sentence = match (&heard.guide, &heard.refused) {
        (Some(guide), _) => format!(
            "{}: about {:.0} N, from {:.0} to {:.0} N.",
            heard.name, guide.shown_n, guide.least_n, guide.most_n
        ),
        (None, Some(why)) => format!("{}: no tension. {} {}", heard.name, why.reason, why.remedy),
        (None, None) => String::new(),
    };
    heard
}
