//! From a maker's sheet to the figures that a job copies: what is missing is asked for, or taken
//! as an assumption with the band that it leads to.
//!
//! Invariant: nothing that is not told is filled in silently; a figure that decides whether a stud
//! holds is never assumed, it is asked for. Does not record anything. One file past 400 lines, since
//! a figure's name, its bounds and what follows where it is missing are read together.

use std::collections::{BTreeMap, BTreeSet};

use mechanics::strand::{Construction, axial_stiffness_band, default_axial_stiffness};
use mechanics::thread::Thread;
use mechanics::{Millimetres, Newtons};

use super::parts::{FittingTemplate, StrandTemplate, origin_of_both};
use serde_json::json;

use crate::model::context::Terminal;
use crate::model::values::{
    Efficiency, EndKind, FittingSheet, Force, Hand, Length, SheetFigures, StrandFigures,
    StrandSheet, Terminals,
};
use crate::model::{TERMINAL_FIGURES, TerminalFigure, bounds, fields, terminal_figure};
use crate::subject::SubjectKind;
use crate::work::{odd_value, words};

/// What a sheet comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Filled<T> {
    /// The figures as a job copies them; none while something is asked for.
    pub template: Option<T>,
    /// What is missing, as questions.
    pub asks: Vec<String>,
    /// What was assumed and the band that it leads to.
    pub bands: Vec<String>,
}

const STRAND: &[&str] = &["diameterNm", "eaMn", "breakingMn", "stretchPpm"];
const SET: &[&str] = &[
    "throughHoleNm",
    "permille",
    "factorPercent",
    "insertPullMn",
    "threadLimitMn",
    "fixedDeductionNm",
    "unequalStartNm",
];
/// What a set can't do without, whatever its kind; of a stud into an insert all that its cut rests on, but
/// what is assumed aloud.
fn needed(figure: &TerminalFigure, kind: EndKind) -> bool {
    let assumed = ["startNm", "reserveNm", "pitchNm"].contains(&figure.name);
    let always = ["overallNm", "insertionNm"].contains(&figure.name);
    figure.is_of(kind) && (always || (kind == EndKind::Insert && figure.carries(kind) && !assumed))
}

/// Left and right terminal of a sheet with their kinds.
fn hands(sheet: &FittingSheet) -> [(&'static str, Hand, EndKind, &SheetFigures); 2] {
    let right = sheet.right_kind.unwrap_or(sheet.kind);
    [
        ("left", Hand::Left, sheet.kind, &sheet.left),
        ("right", Hand::Right, right, &sheet.right),
    ]
}

/// Whether terminals of one kind both lack a figure.
fn lacking_at_both(sheet: &FittingSheet, figure: &TerminalFigure) -> bool {
    let [left, right] = hands(sheet).map(|(_, _, kind, figures)| (kind, figures));
    left.0 == right.0
        && [left.1, right.1]
            .iter()
            .all(|of| !of.contains_key(figure.name))
}

const ONE_METRE_NM: i64 = 1_000_000_000;
const LONGEST_ORIGIN: usize = 300;

/// What in a strand's sheet can't be, in sentences.
#[must_use]
pub fn strand_faults(sheet: &StrandSheet) -> Vec<String> {
    let mut found = figures_faults("strand", &sheet.figures, |name| STRAND.contains(&name));
    if lay(&sheet.construction).is_none() {
        found.push(format!(
            "The construction {:?} is not 1x19, 7x7 or 7x19.",
            sheet.construction.chars().take(20).collect::<String>()
        ));
    }
    if n(&sheet.figures, "diameterNm").is_some_and(|nm| !(500_000..=30_000_000).contains(&nm)) {
        found.push("The diameter lies outside 0.5 to 30 mm; is the unit right?".to_owned());
    }
    if n(&sheet.figures, "eaMn").is_some_and(|mn| mn < 1_000_000) {
        found.push("The axial stiffness is under 1 kN; is the unit right?".to_owned());
    }
    found
}

/// What in a fitting set's sheet can't be, in sentences.
#[must_use]
pub fn fitting_faults(sheet: &FittingSheet) -> Vec<String> {
    let known = |name: &str| terminal_figure(name).is_some();
    let mut found = figures_faults("left-hand terminal", &sheet.left, known);
    found.extend(figures_faults("right-hand terminal", &sheet.right, known));
    found.extend(figures_faults("set", &sheet.set, |name| {
        SET.contains(&name)
    }));
    for (which, _, kind, figures) in hands(sheet) {
        let of = |name: &str| {
            terminal_figure(name).filter(|figure| figure.is_of(kind))?;
            n(figures, name).filter(|n| *n > 0)
        };
        let wrong = bounds::stud_wrong(
            of("overallNm"),
            of("insertionNm"),
            of("threadNm"),
            of("leastEngagementNm"),
        );
        let wrong = wrong.or_else(|| bounds::mouth_wrong(of("mouthNm"), of("insertionNm")));
        let (diameter, pitch) = (of("threadDiameterNm"), of("pitchNm"));
        let wrong = wrong.or_else(|| bounds::thread_wrong(diameter, pitch));
        found.extend(wrong.map(|wrong| format!("The {which}-hand terminal {wrong}.")));
        let alone = diameter.filter(|_| pitch.is_none()).map(mm);
        found.extend(alone.and_then(pitch_missing));
    }
    once(found)
}

/// That a thread's pitch is missing, where its diameter does not tell it.
fn pitch_missing(diameter: Millimetres) -> Option<String> {
    Thread::coarse(diameter).is_none().then(|| {
        format!(
            "No metric coarse thread of {} mm is known (M5, M6, M8 and M10 are): tell its pitch too. An inch \
             thread's is an inch over its turns per inch, 1.27 mm at 20.",
            diameter.value()
        )
    })
}

/// What to ask about a strand's sheet before it is kept: the rule that a job's own strand goes by.
#[must_use]
pub fn strand_questions(sheet: &StrandSheet) -> Vec<String> {
    let filled = fill_strand("", "", sheet).template;
    let figures = filled.and_then(|t| serde_json::to_value(t.figures).ok());
    let field = fields::STRAND_FIGURES.name;
    let odd = figures.and_then(|f| odd_value(SubjectKind::Strand, field, &f, &[]));
    odd.into_iter().collect()
}

/// The same of a fitting set's sheet.
#[must_use]
pub fn fitting_questions(sheet: &FittingSheet) -> Vec<String> {
    let told = n(&sheet.set, "permille").map(|permille| json!({"permille": permille}));
    let field = fields::FITTING_EFFICIENCY.name;
    let odd = told.and_then(|t| odd_value(SubjectKind::FittingSet, field, &t, &[]));
    let odd = odd.map(|sentence| format!("Terminal efficiency: {sentence}"));
    let [left, right] = hands(sheet).map(|(_, _, kind, figures)| {
        let told = figures.iter().map(|(name, of)| (name.clone(), json!(of.n)));
        let kind = [("kind".to_owned(), json!(kind))];
        serde_json::Value::Object(kind.into_iter().chain(told).collect())
    });
    let asked = |field: &str, value: &serde_json::Value| {
        odd_value(SubjectKind::FittingSet, field, value, &[])
    };
    let terminals = json!({"left": left, "right": right});
    let found = odd
        .into_iter()
        .chain(asked(fields::FITTING_TERMINALS.name, &terminals));
    let of_set = [
        ("throughHole", "Nm"),
        ("fixedDeduction", "Nm"),
        ("insertPull", "Mn"),
        ("threadLimit", "Mn"),
    ];
    let of_set = of_set.into_iter().filter_map(|(field, unit)| {
        let name = format!("{field}{unit}");
        let odd = asked(field, &json!({unit.to_lowercase(): n(&sheet.set, &name)?}))?;
        Some(format!("{}: {odd}", bounds::capital(called(&name))))
    });
    found.chain(of_set).collect()
}

fn figures_faults(of: &str, figures: &SheetFigures, known: impl Fn(&str) -> bool) -> Vec<String> {
    let mut found = Vec::new();
    for (name, figure) in figures {
        let shown: String = name.chars().take(40).collect();
        if !known(name) {
            found.push(format!("The {of} has no figure called {shown:?}."));
            continue;
        }
        let origin = figure.origin.trim();
        let shown = bounds::capital(called(name));
        if origin.is_empty() {
            found.push(format!(
                "{shown} of the {of}: say from which sheet and page it is."
            ));
        }
        if origin.chars().count() > LONGEST_ORIGIN {
            found.push(format!(
                "{shown} of the {of}: its origin is longer than {LONGEST_ORIGIN} characters."
            ));
        }
        let (least, most) = range(name);
        if !(least..=most).contains(&figure.n) {
            found.push(format!(
                "{shown} of the {of} is {} and can't be.",
                bounds::shown(name, figure.n)
            ));
        }
    }
    found
}

/// What a figure of a sheet is called.
fn called(name: &str) -> &str {
    match name {
        "diameterNm" => "diameter",
        "eaMn" => "axial stiffness",
        "breakingMn" => "breaking load",
        "stretchPpm" => "stretch until it is settled",
        "throughHoleNm" => "hole through a post",
        "permille" => "terminal efficiency",
        "factorPercent" => "safety factor",
        "insertPullMn" => "pull that an insert holds",
        "threadLimitMn" => "load that the thread may carry",
        "fixedDeductionNm" => "fixed deduction",
        "unequalStartNm" => "difference of the ends when caught",
        name => terminal_figure(name).map_or(name, |figure| figure.called),
    }
}

fn range(name: &str) -> (i64, i64) {
    match name {
        "growthNm" | "lockNutNm" | "startNm" | "reserveNm" | "seatNm" | "unequalStartNm"
        | "washerNm" => (0, ONE_METRE_NM),
        "stretchPpm" => (0, 10_000),
        "breakingMn" => (100_000, 10_000_000_000),
        "insertPullMn" | "threadLimitMn" => (1_000, 10_000_000_000),
        "permille" => (1, 1_000),
        "factorPercent" => (100, 10_000),
        name if name.ends_with("Nm") => (1, ONE_METRE_NM),
        _ => (1, 10_000_000_000),
    }
}

fn n(figures: &SheetFigures, name: &str) -> Option<i64> {
    figures.get(name).map(|figure| figure.n)
}

fn origin(figures: &SheetFigures, name: &str) -> Option<String> {
    figures
        .get(name)
        .map(|figure| figure.origin.trim().to_owned())
}

fn lay(text: &str) -> Option<Construction> {
    match text {
        "1x19" => Some(Construction::OneByNineteen),
        "7x7" => Some(Construction::SevenBySeven),
        "7x19" => Some(Construction::SevenByNineteen),
        _ => None,
    }
}

fn mm(nm: i64) -> Millimetres {
    Millimetres(Length { nm }.as_mm())
}

/// Each sentence where it stands first: what is so of both hands is told once.
fn once(mut sentences: Vec<String>) -> Vec<String> {
    let mut told = BTreeSet::new();
    sentences.retain(|sentence| told.insert(sentence.clone()));
    sentences
}

/// Stretch that strands settle by where no sheet tells it, parts per million, with its range
/// (assumption; 200 to 500 is usual for 1x19).
const STRETCH: (i64, i64, i64) = (300, 200, 500);

/// The lay that this is known of.
const OF_STRETCH: &str = "1x19";

/// A strand's figures for a job.
#[must_use]
pub fn fill_strand(key: &str, name: &str, sheet: &StrandSheet) -> Filled<StrandTemplate> {
    let (mut asks, mut bands) = (strand_faults(sheet), Vec::new());
    let figures = &sheet.figures;
    let Some(diameter_nm) = n(figures, "diameterNm") else {
        asks.push("What is the strand's diameter?".to_owned());
        return Filled {
            template: None,
            asks,
            bands,
        };
    };
    let diameter = Millimetres(Length { nm: diameter_nm }.as_mm());
    let assumed = lay(&sheet.construction).and_then(|lay| {
        let middle = default_axial_stiffness(diameter, lay).ok()?;
        Some((middle, axial_stiffness_band(diameter, lay).ok()?))
    });
    let Some((middle, (softest, stiffest))) = assumed.filter(|_| asks.is_empty()) else {
        return Filled {
            template: None,
            asks,
            bands,
        };
    };
    let ea_mn = n(figures, "eaMn").unwrap_or_else(|| {
        let stretch = |ea: Newtons| Millimetres(5_000.0 * 1_000.0 / ea.value());
        bands.push(format!(
            "Axial stiffness is not told: taken as {} kN, and it lies between {} and {} kN. Over \
             5 m 1000 N stretch the wire by {} to {}: measure a length under a known load.",
            kilonewtons(middle.value),
            kilonewtons(softest),
            kilonewtons(stiffest),
            stretch(stiffest),
            stretch(softest)
        ));
        Force::from_newtons(middle.value.value()).mn
    });
    let stretch_ppm = n(figures, "stretchPpm").unwrap_or_else(|| {
        let (taken, least, most) = STRETCH;
        #[allow(clippy::cast_precision_loss)] // parts per million
        let over = |ppm: i64| Millimetres(5_000.0 * ppm as f64 / 1e6);
        let usual = if sheet.construction == OF_STRETCH {
            String::new()
        } else {
            format!(
                " for {OF_STRETCH}; none is known for {}: ask for it",
                sheet.construction
            )
        };
        bands.push(format!(
            "Permanent stretch is not told: taken as {taken} parts per million, and {least} to \
             {most} are usual{usual}. A wire of 5 m then takes up {} to {}.",
            over(least),
            over(most)
        ));
        taken
    });
    if n(figures, "breakingMn").is_none() {
        bands.push(
            "The breaking load is not told: the strand sets no upper tension until it is. Ask for \
             the mill sheet."
                .to_owned(),
        );
    }
    let assumed = |what: &str| format!("assumed: {what}");
    let template = StrandTemplate {
        key: key.to_owned(),
        name: name.to_owned(),
        figures: StrandFigures {
            construction: sheet.construction.clone(),
            diameter_nm,
            diameter_origin: origin(figures, "diameterNm"),
            ea_mn,
            ea_origin: origin(figures, "eaMn").unwrap_or_else(|| {
                assumed(
                    middle
                        .source
                        .as_deref()
                        .unwrap_or("metallic area × modulus"),
                )
            }),
            breaking_mn: n(figures, "breakingMn"),
            breaking_origin: origin(figures, "breakingMn"),
            stretch_ppm,
            stretch_origin: origin(figures, "stretchPpm")
                .unwrap_or_else(|| match sheet.construction.as_str() {
                    OF_STRETCH => assumed("300 parts per million, 200 to 500 is usual for 1x19"),
                    lay => assumed(&format!(
                        "that of {OF_STRETCH}, 300 parts per million; none is known for {lay}: ask for it \
                         or measure it"
                    )),
                }),
            grade: sheet.grade.clone(),
        },
    };
    asks.extend(refused(SubjectKind::Strand, "figures", &template.figures));
    Filled {
        template: asks.is_empty().then_some(template),
        asks,
        bands,
    }
}

fn kilonewtons(force: Newtons) -> String {
    format!("{:.0}", force.value() / 1e3)
}

/// A fitting set's figures for a job.
#[must_use]
pub fn fill_fitting(key: &str, name: &str, sheet: &FittingSheet) -> Filled<FittingTemplate> {
    let (mut asks, mut bands) = (fitting_faults(sheet), Vec::new());
    let mut origins = BTreeMap::new();
    for (which, _, kind, figures) in hands(sheet) {
        for figure in TERMINAL_FIGURES.iter().filter(|f| f.is_of(kind)) {
            let called = figure.called_of(kind);
            if needed(figure, kind) && !figures.contains_key(figure.name) {
                let of = match lacking_at_both(sheet, figure) {
                    true => "left and right",
                    false => which,
                };
                asks.push(format!("What is the {called}, {of} hand?"));
            }
            if let Some(from) = origin(figures, figure.name) {
                origins.insert(format!("{which}.{}", figure.name), from);
            }
        }
    }
    for name in SET {
        origins.extend(origin(&sheet.set, name).map(|from| ((*name).to_owned(), from)));
    }
    let through = n(&sheet.set, "throughHoleNm");
    if through.is_none() {
        asks.push("What is the hole through intermediate posts?".to_owned());
    }
    let efficiency = n(&sheet.set, "permille").zip(n(&sheet.set, "factorPercent"));
    if efficiency.is_none() {
        asks.push(
            "What part of the strand's breaking load does the terminal hold, and what factor is \
             to be kept? Without both the upper tension can't be told."
                .to_owned(),
        );
    }
    let (Some(through), Some((permille, factor_percent)), true) =
        (through, efficiency, asks.is_empty())
    else {
        return Filled {
            template: None,
            asks: once(asks),
            bands: once(bands),
        };
    };
    let [left, right] = hands(sheet)
        .map(|(_, hand, kind, figures)| terminal(hand, kind, figures, &mut origins, &mut bands));
    let (Some(left), Some(right)) = (left, right) else {
        return Filled {
            template: None,
            asks: once(asks),
            bands: once(bands),
        };
    };
    let unequal_start_nm = n(&sheet.set, "unequalStartNm");
    let turn = left.pitch_nm.max(right.pitch_nm);
    let ahead = two_threads(&left, &right).then_some(turn).flatten();
    if let Some(turn) = ahead.filter(|_| unequal_start_nm.is_none()) {
        bands.push(format!(
            "How far one end may start ahead of the other is not told: cuts take it as one turn, {} mm, \
             and windows are narrower for it, by up to twice that.",
            Length { nm: turn }.as_mm()
        ));
    }
    let mut sheets: Vec<&str> = origins.values().map(String::as_str).collect();
    sheets.sort_unstable();
    sheets.dedup();
    let of_set = |name: &str| origins.get(name).cloned().unwrap_or_default();
    let template = FittingTemplate {
        key: key.to_owned(),
        name: name.to_owned(),
        terminals: Terminals {
            left,
            right,
            unequal_start_nm,
            origin: sheets.join("; "),
            origins: origins.clone(),
        },
        through_hole: Length { nm: through },
        efficiency: Efficiency {
            permille,
            factor_percent,
        },
        efficiency_origin: origin_of_both(&of_set("permille"), &of_set("factorPercent")),
        fixed_deduction: n(&sheet.set, "fixedDeductionNm").map(|nm| Length { nm }),
        fixed_deduction_origin: origins.get("fixedDeductionNm").cloned(),
        insert_pull: n(&sheet.set, "insertPullMn").map(|mn| Force { mn }),
        thread_limit: n(&sheet.set, "threadLimitMn").map(|mn| Force { mn }),
    };
    asks.extend(refused(
        SubjectKind::FittingSet,
        "terminals",
        &template.terminals,
    ));
    Filled {
        template: asks.is_empty().then_some(template),
        asks,
        bands: once(bands),
    }
}

/// Whether a cut of the set counts two threads of which one may start ahead of the other.
pub(crate) fn two_threads(left: &Terminal, right: &Terminal) -> bool {
    left.kind == EndKind::Insert && right.kind == EndKind::Insert
}

fn terminal(
    hand: Hand,
    kind: EndKind,
    figures: &SheetFigures,
    origins: &mut BTreeMap<String, String>,
    bands: &mut Vec<String>,
) -> Option<Terminal> {
    let which = if hand == Hand::Left { "left" } else { "right" };
    // What terminals of the kind don't have is not taken along.
    let of = |name: &str| {
        terminal_figure(name).filter(|figure| figure.is_of(kind))?;
        n(figures, name)
    };
    let mut assumed = |name: &str, nm: i64, why: &str, band: String| {
        of(name).unwrap_or_else(|| {
            origins.insert(format!("{which}.{name}"), format!("assumed: {why}"));
            if !band.is_empty() {
                bands.push(band);
            }
            nm
        })
    };
    let growth_nm = assumed(
        "growthNm",
        0,
        "no growth on pressing; measure it on the sample crimp",
        "Growth on pressing is not told: taken as 0. Each millimetre that the shank grows makes \
         the finished wire one longer at that end: measure the sample crimp before and after."
            .to_owned(),
    );
    // Told, a pitch is enough; else it is that of the metric coarse thread.
    let coarse = |diameter: i64| Thread::coarse(mm(diameter)).map(Thread::pitch);
    let told = of("pitchNm").or_else(|| {
        let pitch = coarse(of("threadDiameterNm")?)?;
        Some(Length::from_mm(pitch.value()).nm)
    });
    let by_turns = told.map(|turn_nm| {
        let two = Length { nm: 2 * turn_nm };
        let four = Length { nm: 4 * turn_nm };
        let start_nm = assumed(
            "startNm",
            two.nm,
            "two turns of thread to catch by hand",
            format!(
                "How far a stud must be turned in to catch is not told: taken as two turns, {} mm.",
                two.as_mm()
            ),
        );
        let reserve_nm = assumed(
            "reserveNm",
            four.nm,
            "four turns of thread kept for tensioning again",
            format!(
                "Thread kept for later is not told: taken as four turns, {} mm at each end. The longest \
                 cut that works falls by as much.",
                four.as_mm()
            ),
        );
        let own_pitch = assumed(
            "pitchNm",
            turn_nm,
            "metric coarse thread, ISO 261",
            String::new(),
        );
        (start_nm, reserve_nm, own_pitch)
    });
    let found = Terminal {
        hand,
        kind,
        overall_nm: of("overallNm"),
        insertion_nm: of("insertionNm")?,
        growth_nm,
        thread_nm: of("threadNm"),
        least_engagement_nm: of("leastEngagementNm"),
        start_nm: by_turns.map_or_else(|| of("startNm"), |(start, _, _)| Some(start)),
        reserve_nm: by_turns.map_or_else(|| of("reserveNm"), |(_, reserve, _)| Some(reserve)),
        lock_nut_nm: of("lockNutNm"),
        thread_diameter_nm: of("threadDiameterNm"),
        pitch_nm: by_turns.map(|(_, _, pitch)| pitch),
        hole_nm: of("holeNm"),
        hole_depth_nm: of("holeDepthNm"),
        seat_nm: of("seatNm"),
        clear_depth_nm: of("clearDepthNm"),
        mouth_nm: of("mouthNm"),
        washer_nm: of("washerNm"),
    };
    let untold = found.untold();
    if matches!(kind, EndKind::Turnbuckle | EndKind::ThroughBolt) {
        bands.push(format!(
            "No cut is computed for {}, the {which}-hand end: the wires of this set are cut to fit on site.",
            words::an_end(kind)
        ));
    } else if !untold.is_empty() {
        bands.push(format!(
            "Of the {which}-hand end, {}, is not told: {}. No cut is computed with this set before; its \
             wires are cut to fit on site.",
            words::an_end(kind),
            untold.join("; ")
        ));
    }
    Some(found)
}

fn refused<T: serde::Serialize>(kind: SubjectKind, field: &str, value: &T) -> Option<String> {
    let value = serde_json::to_value(value).ok()?;
    bounds::figures(kind, field, &value)
}
