//! The single figures of a rule set beside its tables: where each stands, what it is called, and between which
//! figures it may lie and usually lies.
//!
//! Invariant: every figure of the sets that come with the program lies between the usual ones; they are common
//! practice, catch a digit too many or too few, and judge no rule.

use super::{Cite, FallRule, OpeningPlace, RuleSet, Surface};

/// Further than this from the set that it was copied from, a figure is asked about.
pub(super) const FAR: f64 = 1.5;

/// The unit of a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FigureUnit {
    /// Millimetres.
    Millimetres,
    /// Kilograms.
    Kilograms,
    /// Newtons.
    Newtons,
}

impl FigureUnit {
    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Millimetres => " mm",
            Self::Kilograms => " kg",
            Self::Newtons => " N",
        }
    }
}

/// One figure of a set.
#[derive(Clone, Debug)]
pub struct NamedFigure<'a> {
    /// Where it stands in the file, as a JSON pointer.
    pub path: String,
    /// What stands in the file beside it.
    pub key: String,
    /// What it is, in words.
    pub what: String,
    /// The figure.
    pub value: f64,
    /// Its unit.
    pub unit: FigureUnit,
    /// Its source.
    pub cite: &'a Cite,
    /// Outside of these it can't be.
    pub(super) can_be: (f64, f64),
    /// Outside of these it is unusual; none where no rule is known that asks for the like.
    usual: Option<(f64, f64)>,
}

impl NamedFigure<'_> {
    /// What it is, with what stands beside it in the file.
    pub(super) fn named(&self) -> String {
        format!("the {} ({})", self.words(), self.key)
    }

    /// What it is, within a sentence.
    pub(super) fn words(&self) -> String {
        lower(&self.what)
    }

    fn odd(&self, was: Option<f64>) -> Option<String> {
        let is = self.value;
        if was.is_some_and(|was| was.to_bits() == is.to_bits()) {
            return None;
        }
        let unusual = self.usual.filter(|(least, most)| is < *least || is > *most);
        let far = was.filter(|was| is > was * FAR || is * FAR < *was);
        if unusual.is_none() && far.is_none() {
            return None;
        }
        let unit = self.unit.word();
        let told = [
            unusual.map(|(least, most)| format!("usual is {least} to {most}{unit}")),
            was.map(|was| format!("the set that it was copied from has {was}{unit}")),
        ];
        let told: Vec<String> = told.into_iter().flatten().collect();
        Some(format!(
            "The {} ({}) is {is}{unit}; {}.",
            self.words(),
            self.key,
            told.join(", and ")
        ))
    }
}

pub(super) fn lower(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next();
    first
        .into_iter()
        .flat_map(char::to_lowercase)
        .chain(letters)
        .collect()
}

const WITHIN: &str = "Distance from the edge in which the fall is looked for";
const LEAST_HEIGHT: &str = "Least height";
const SPHERE: &str = "Sphere that must not pass";
const FACE_GAP: &str = "Widest gap of a face-fixed barrier";
const CLIMBING: &str = "Climbing zone";
const LOAD: &str = "Load";

/// What an entry of a set's file is about that may come or go as a whole; none of any other place.
pub(super) fn whole_entry(path: &str) -> Option<&'static str> {
    let mut at = path.strip_prefix('/')?.split('/');
    Some(match (at.next()?, at.next(), at.next()) {
        ("barrierNeeded", Some("withinMm"), None) => WITHIN,
        ("leastHeights", Some(_), None) => LEAST_HEIGHT,
        ("openings", Some(_), None) => SPHERE,
        ("faceGap", None, None) => FACE_GAP,
        ("climbing", None, None) => CLIMBING,
        ("loads", Some(_), None) => LOAD,
        _ => return None,
    })
}

/// The figures of a set that people change one by one, in the order of its file.
#[must_use]
pub fn named_figures(set: &RuleSet) -> Vec<NamedFigure<'_>> {
    let needed = &set.barrier_needed;
    let mut found = vec![
        Figure::new("Fall from which a barrier is asked for")
            .at("/barrierNeeded/fallMm", "barrierNeeded.fallMm")
            .between((50.0, 20_000.0), (300.0, 2_000.0))
            .mm(needed.fall_mm.value(), &needed.cite),
    ];
    found.extend(needed.within_mm.map(|within| {
        Figure::new(WITHIN)
            .at("/barrierNeeded/withinMm", "barrierNeeded.withinMm")
            .between((1.0, 20_000.0), (300.0, 3_000.0))
            .mm(within.value(), &needed.cite)
    }));
    for (n, rule) in set.least_heights.iter().enumerate() {
        let (key, word) = surface(rule.surface);
        let figure = Figure::new(&format!("{LEAST_HEIGHT}, {word}"))
            .at(
                &format!("/leastHeights/{n}/leastMm"),
                &format!("leastHeights, {key}"),
            )
            .between((100.0, 5_000.0), (700.0, 1_600.0));
        found.push(figure.mm(rule.least_mm.value(), &rule.cite));
    }
    for (n, rule) in set.openings.iter().enumerate() {
        let (key, word, usual) = place(rule.place);
        let figure = Figure::new(&format!("{SPHERE}, {word}"))
            .at(
                &format!("/openings/{n}/sphereMm"),
                &format!("openings, {key}"),
            )
            .between((10.0, 1_000.0), usual);
        found.push(figure.mm(rule.sphere_mm.value(), &rule.cite));
    }
    found.extend(set.face_gap.as_ref().map(|gap| {
        Figure::new(FACE_GAP)
            .at("/faceGap/mostMm", "faceGap.mostMm")
            .between((1.0, 1_000.0), (10.0, 150.0))
            .mm(gap.most_mm.value(), &gap.cite)
    }));
    if let Some(climbing) = &set.climbing {
        let FallRule { fall_mm, cite, .. } = &climbing.fall;
        found.extend([
            Figure::new("Fall beyond which climbing counts")
                .at("/climbing/fall/fallMm", "climbing.fall.fallMm")
                .between((1.0, 100_000.0), (500.0, 6_000.0))
                .mm(fall_mm.value(), cite),
            Figure::new(&format!("{CLIMBING}, from"))
                .at("/climbing/fromMm", "climbing.fromMm")
                .between((0.0, 5_000.0), (0.0, 300.0))
                .mm(climbing.from_mm.value(), &climbing.cite),
            Figure::new(&format!("{CLIMBING}, to"))
                .at("/climbing/toMm", "climbing.toMm")
                .between((1.0, 5_000.0), (450.0, 1_500.0))
                .mm(climbing.to_mm.value(), &climbing.cite),
        ]);
    }
    found
}

/// Figures that are changed in the file alone: loads, and what the tables are for.
fn figures_of_the_file(set: &RuleSet) -> Vec<NamedFigure<'_>> {
    let mut found = Vec::new();
    for (n, load) in set.loads.iter().enumerate() {
        let what = load.what.trim_end_matches('.');
        let figure = Figure::new(LOAD)
            .at(
                &format!("/loads/{n}/newtons"),
                &format!("loads, \"{what}\""),
            )
            .within((1.0, 1_000_000.0));
        found.extend(
            load.newtons
                .map(|n| figure.of(n, FigureUnit::Newtons, &load.cite)),
        );
    }
    let Some(wires) = &set.wires else {
        return found;
    };
    found.extend(wires.deflection.as_ref().map(|table| {
        Figure::new("Mass hung at mid span")
            .at("/wires/deflection/massKg", "wires.deflection.massKg")
            .between((0.1, 100.0), (1.0, 10.0))
            .of(table.mass_kg, FigureUnit::Kilograms, &table.cite)
    }));
    if let Some(table) = &wires.continuous_vertical {
        let at = "wires.continuousVertical";
        found.extend([
            Figure::new("Thickest upright wire")
                .at(
                    "/wires/continuousVertical/mostDiameterMm",
                    &format!("{at}.mostDiameterMm"),
                )
                .between((0.5, 30.0), (2.0, 8.0))
                .mm(table.most_diameter_mm.value(), &table.cite),
            Figure::new("Widest clear distance between rails")
                .at(
                    "/wires/continuousVertical/mostRailClearMm",
                    &format!("{at}.mostRailClearMm"),
                )
                .between((50.0, 20_000.0), (500.0, 3_000.0))
                .mm(table.most_rail_clear_mm.value(), &table.cite),
        ]);
    }
    found
}

pub(super) fn all_figures(set: &RuleSet) -> impl Iterator<Item = NamedFigure<'_>> {
    named_figures(set)
        .into_iter()
        .chain(figures_of_the_file(set))
}

/// Figures that are far from what is usual, or from what stands in the set that a set was copied from, one
/// sentence each; one that stands there alike is not asked about.
#[must_use]
pub fn odd_figures(set: &RuleSet, copied: Option<&RuleSet>) -> Vec<String> {
    let before: Vec<NamedFigure<'_>> = copied.into_iter().flat_map(all_figures).collect();
    let was = |is: &NamedFigure<'_>| {
        let there = before.iter().find(|was| was.key == is.key);
        there.map(|was| was.value)
    };
    all_figures(set).filter_map(|is| is.odd(was(&is))).collect()
}

/// A figure on its way to be told.
struct Figure {
    what: String,
    path: String,
    key: String,
    can_be: (f64, f64),
    usual: Option<(f64, f64)>,
}

impl Figure {
    fn new(what: &str) -> Self {
        Figure {
            what: what.to_owned(),
            path: String::new(),
            key: String::new(),
            can_be: (f64::MIN_POSITIVE, f64::MAX),
            usual: None,
        }
    }

    fn at(self, path: &str, key: &str) -> Self {
        Figure {
            path: path.to_owned(),
            key: key.to_owned(),
            ..self
        }
    }

    fn within(self, can_be: (f64, f64)) -> Self {
        Figure { can_be, ..self }
    }

    fn between(self, can_be: (f64, f64), usual: (f64, f64)) -> Self {
        Figure {
            usual: Some(usual),
            ..self.within(can_be)
        }
    }

    fn mm(self, value: f64, cite: &Cite) -> NamedFigure<'_> {
        self.of(value, FigureUnit::Millimetres, cite)
    }

    fn of(self, value: f64, unit: FigureUnit, cite: &Cite) -> NamedFigure<'_> {
        NamedFigure {
            path: self.path,
            key: self.key,
            what: self.what,
            value,
            unit,
            cite,
            can_be: self.can_be,
            usual: self.usual,
        }
    }
}

/// As the file has it, and in words.
pub(super) const fn surface(of: Surface) -> (&'static str, &'static str) {
    match of {
        Surface::Level => ("level", "level"),
        Surface::Stair => ("stair", "stair"),
        Surface::Ramp => ("ramp", "ramp"),
        Surface::ShortLanding => ("shortLanding", "short landing"),
    }
}

/// As the file has it, in words, and what is usual there.
pub(super) const fn place(of: OpeningPlace) -> (&'static str, &'static str, (f64, f64)) {
    match of {
        OpeningPlace::General => ("general", "general", (75.0, 150.0)),
        OpeningPlace::Stair => ("stair", "stair", (75.0, 150.0)),
        OpeningPlace::StairTriangle => ("stairTriangle", "stair triangle", (75.0, 200.0)),
    }
}
