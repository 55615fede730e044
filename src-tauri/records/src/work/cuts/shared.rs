//! What all wires of a run share on a cut sheet: strand, terminals, tension, movement of posts. One file past
//! 400 lines, since why nothing is shared stands beside what is.

use mechanics::cutting::{CutInput, Spreads};
use mechanics::strand::EXPANSION_PER_KELVIN;
use mechanics::trial::{self, FITTED_SPREAD, OFFSET_SPREAD};
use mechanics::{Kelvins, Millimetres};

use super::ends::{self, AtPost, ON_SITE, at_posts};
use super::{Refusal, RefusalCode};
use crate::ids::Hash;
use crate::job::{Job, PostInRun, Run};
use crate::library::two_threads;
use crate::model::context::{Number, Terminal};
use crate::model::fields;
use crate::model::values::{Hand, Terminals};
use crate::work::basis::{Decision, basis, unsettled};
use crate::work::convert::{
    RunEnds, ends_of, fitting_of, mn, nm, no_slope, strand_of, terminal_for,
};
use crate::work::corners::turns_at;
use crate::work::inward::{Inward, inward};
use crate::work::supports::never_an_anchor;
use crate::work::{WorkError, words};

/// Relative spread of EA, assumed.
const STIFFNESS_SPREAD: f64 = 0.15;
/// Spread of the permanent stretch, assumed.
const STRETCH_SPREAD: f64 = 1.5e-4;

/// What all wires of a run share.
pub(in crate::work) struct Shared {
    /// Everything but the wire's own length and movement.
    pub(in crate::work) input: CutInput,
    pub(in crate::work) inward: Inward,
    /// Name of the post where the run is tensioned, where that is one end alone, and what the
    /// thread there can take up.
    pub(super) one_tensioner: Option<(String, Millimetres)>,
    pub(super) fixed: Option<Millimetres>,
    pub(super) basis: Vec<Hash>,
    pub(super) inputs: Vec<Number>,
}

/// Why nothing is cut from a run of which something that its cuts rest on does not stand.
fn disputed(job: &Job<'_>, run: &Run) -> Option<Refusal> {
    let tensions = fields::RUN_TENSIONS.name;
    let found: Vec<_> = unsettled(job, Decision::Cut(run))
        .into_iter()
        // Told by its own refusal below.
        .filter(|u| u.field != tensions || u.subject != Some(run.subject()))
        .collect();
    let code = match found.iter().any(|u| !u.newer) {
        _ if found.is_empty() => return None,
        true => RefusalCode::Disputed,
        false => RefusalCode::Newer,
    };
    let sentences: Vec<String> = found.iter().map(|u| u.sentence()).collect();
    Some(Refusal {
        code,
        sentence: format!("Run {}: {}", run.name, sentences.join(" ")),
    })
}

/// Why the wires of a run may not be tensioned at all; none where they may, or where people differ on where.
pub(in crate::work) fn no_tensioning(job: &Job<'_>, run: &Run) -> Option<String> {
    match ends_differ(run) {
        true => None,
        false => no_anchor(run).or_else(|| {
            let ends = ends_of(job, run)?;
            let at = at_posts(job, run, &ends)?;
            no_tensioner(run, &ends).or_else(|| ends::no_thread(run, &at))
        }),
    }
}

/// Whether people differ on an end of a run, or on what it ends at.
pub(in crate::work) fn ends_differ(run: &Run) -> bool {
    let differ = |post: &PostInRun| post.end.blocks() || post.support.blocks();
    run.ends()
        .is_some_and(|(first, last)| differ(first) || differ(last))
}

fn no_anchor(run: &Run) -> Option<String> {
    let anchors = never_an_anchor(run);
    let (post, what) = anchors.first()?;
    Some(format!(
        "Run {} ends at {what}, post {}, which can never hold the wires' pull.",
        run.name, post.name
    ))
}

/// Why nobody knows where a run is tensioned; none where no end has a thread: that is another matter.
fn no_tensioner(run: &Run, ends: &RunEnds) -> Option<String> {
    let threaded = ends.first.kind.has_thread() || ends.last.kind.has_thread();
    (threaded && !ends.first.tensioner && !ends.last.tensioner).then(|| {
        format!(
            "No end of run {} is told as tensioned. Say at which post the wires are tensioned.",
            run.name
        )
    })
}

/// Why no cut is computed for the ends or posts of a run, whatever its fitting set tells of them.
fn not_cut(job: &Job<'_>, run: &Run, ends: &RunEnds, at: &[AtPost<'_>; 2]) -> Option<Refusal> {
    let told = |code, sentence| Some(Refusal { code, sentence });
    if let Some(why) = no_anchor(run) {
        return told(
            RefusalCode::NoAnchor,
            format!("{why} Nothing is cut for it."),
        );
    }
    if let Some(corner) = turns_at(job, run).first() {
        let why = format!("Run {} goes round a corner at post {corner}.", run.name);
        return told(RefusalCode::OnSite, format!("{why} {ON_SITE}"));
    }
    if let Some(why) = no_tensioner(run, ends) {
        return told(RefusalCode::PartsMissing, why);
    }
    ends::cut_on_site(run, at)
}

/// Angled seats whose length nobody told: it enters the stud's length, so
/// a cut without it would come out too long by as much.
fn seat_untold(run: &Run, at: &[AtPost<'_>; 2]) -> Option<String> {
    let untold = |at: &&AtPost<'_>| {
        let seat = at.terminal.as_ref().and_then(|t| t.seat_nm);
        at.end.angled_seat && seat.is_none()
    };
    let named = |at: &AtPost<'_>| format!("{} at post {}", words::hand(at.end.hand), at.post.name);
    let posts: Vec<String> = at.iter().filter(untold).map(named).collect();
    (!posts.is_empty()).then(|| {
        format!(
            "Run {}: the fitting stands on an angled seat ({}) whose length is not told, and it goes \
             off every cut. Measure it along the wire, from the post's face to where the fitting \
             bears, and tell it with the fitting set: 0 where it adds nothing.",
            run.name,
            posts.join(", ")
        )
    })
}

/// o as the fitting set tells it, else one turn of the coarser thread: a stud that misses its first
/// start catches within a turn. Told in either case.
/// None where one thread alone turns: it has nothing to be ahead of.
fn unequal_start(
    job: &Job<'_>,
    run: &Run,
    [left, right]: [&Terminal; 2],
) -> Option<(Millimetres, Number)> {
    if !two_threads(left, right) {
        return None;
    }
    let set = fitting_of(job, run).and_then(|f| f.terminals.as_ref());
    let told = set.and_then(|t| Some((t.unequal_start_nm?, t.origins.get("unequalStartNm"), t)));
    let (start, origin) = match told {
        Some((told, Some(own), _)) => (told, own.clone()),
        Some((told, None, terminals)) => (told, terminals.origin.clone()),
        None => (
            left.told("pitchNm")
                .max(right.told("pitchNm"))
                .unwrap_or_default(),
            "assumed: one turn; it comes off the window".to_owned(),
        ),
    };
    let number = Number {
        name: "one end ahead of the other at the start".to_owned(),
        value: words::mm(start),
        origin,
    };
    Some((nm(start), number))
}

/// How much warmer it is when the wires are tensioned than when they are cut, as the run tells it;
/// no difference where nobody does. The posts are taken to stand where they stand: what grows with
/// the wire would take from the difference.
fn warmer(job: &Job<'_>, run: &Run) -> (Kelvins, Number) {
    let told = job
        .reader
        .one(fields::RUN_WARMTH, &run.subject().to_string(), "");
    #[allow(clippy::cast_precision_loss)] // hundredths of a degree
    let by = told
        .value()
        .map(|w| Kelvins((w.tensioned_cdeg - w.cut_cdeg) as f64 / 100.0));
    let origin = match by {
        Some(_) => "as recorded; floor and posts taken as not growing with the wire",
        None => "assumed: nobody tells how warm it is when cut and when tensioned",
    };
    let number = Number {
        name: "warmer when tensioned than when cut by".to_owned(),
        value: by.unwrap_or_default().to_string(),
        origin: origin.to_owned(),
    };
    (by.unwrap_or_default(), number)
}

/// The lock nuts of the ends that have a thread, left and right, each from where its own figure is or else the
/// terminals as a whole.
fn lock_nuts(of: [&Terminal; 2], terminals: Option<&Terminals>) -> Number {
    let sides = of.into_iter().zip(["left.lockNutNm", "right.lockNutNm"]);
    let told = sides.filter(|(t, _)| t.kind.has_thread());
    let nuts: Vec<(&str, String, &str)> = told
        .map(|(t, figure)| {
            let from = terminals.map(|all| all.origins.get(figure).unwrap_or(&all.origin));
            (
                words::hand(t.hand),
                words::mm(t.lock_nut_nm.unwrap_or_default()),
                from.map_or("", String::as_str),
            )
        })
        .collect();
    let hands: Vec<&str> = nuts.iter().map(|(hand, ..)| *hand).collect();
    let values: Vec<&str> = nuts.iter().map(|(_, value, _)| value.as_str()).collect();
    Number {
        name: match hands.as_slice() {
            [one] => format!("lock nut, {one}"),
            hands => format!("lock nuts, {}", hands.join(" and ")),
        },
        value: values.join(", "),
        origin: match nuts.as_slice() {
            [(_, _, one)] => (*one).to_owned(),
            [(_, _, one), (_, _, other)] if one == other => (*one).to_owned(),
            apart => {
                let told = apart
                    .iter()
                    .map(|(hand, _, from)| format!("{hand}: {from}"));
                told.collect::<Vec<_>>().join("; ")
            }
        },
    }
}

/// The shared figures, or why no wire of the run can be cut.
pub(super) fn shared(
    job: &Job<'_>,
    run: &Run,
    notes: &mut Vec<String>,
) -> Result<Result<Shared, Refusal>, WorkError> {
    let missing = |sentence: String| {
        Ok(Err(Refusal {
            code: RefusalCode::PartsMissing,
            sentence,
        }))
    };
    if let Some(refusal) = disputed(job, run) {
        return Ok(Err(refusal));
    }
    let Some((strand, figures)) = strand_of(job, run) else {
        return missing(format!("Run {}: choose its strand first.", run.name));
    };
    if let Some(sentence) = no_slope(run) {
        return Ok(Err(Refusal {
            code: RefusalCode::NoSlope,
            sentence,
        }));
    }
    let Some(ends) = ends_of(job, run) else {
        return missing(format!("Run {}: tell its two end posts first.", run.name));
    };
    let Some(at) = at_posts(job, run, &ends) else {
        return missing(format!("Run {}: tell its two end posts first.", run.name));
    };
    if let Some(refusal) = not_cut(job, run, &ends, &at) {
        return Ok(Err(refusal));
    }
    if ends.first.hand == ends.last.hand {
        return missing(format!(
            "Run {}: both ends have the same hand. One must be LH and the other RH.",
            run.name
        ));
    }
    let (Some(left), Some(right)) = (
        terminal_for(job, run, Hand::Left),
        terminal_for(job, run, Hand::Right),
    ) else {
        return missing(format!("Run {}: choose its fitting set first.", run.name));
    };
    if let Some(sentence) = ends::other_terminal(run, &at) {
        return missing(sentence);
    }
    if let Some(sentence) = ends::untold(run, &at)
        .or_else(|| ends::no_thread(run, &at))
        .or_else(|| seat_untold(run, &at))
    {
        return missing(sentence);
    }
    let [first, last] = &at;
    let chained = [ends::chained(first)?, ends::chained(last)?];
    let mut of_ends = at.iter().zip(&chained);
    if let Some(refusal) = of_ends.find_map(|(at, end)| ends::cannot_be(run, at, end)) {
        return Ok(Err(refusal));
    }
    let [of_first, of_last] = chained;
    let (left_end, right_end) = match ends.first.hand {
        Hand::Left => (of_first, of_last),
        Hand::Right => (of_last, of_first),
    };
    let Some(tensions) = run.tensions.value() else {
        let (code, sentence) = if run.tensions.blocks() {
            (
                RefusalCode::TensionsDisputed,
                format!(
                    "Run {}: people disagree on its tensions. Settle that first.",
                    run.name
                ),
            )
        } else {
            (
                RefusalCode::NoTension,
                format!("Run {}: decide its set tension first.", run.name),
            )
        };
        return Ok(Err(Refusal { code, sentence }));
    };
    if ends.assumed {
        notes.push(
            "An end of the run is not told: taken as the fitting set has it, left hand at the \
             first post."
                .to_owned(),
        );
    }
    let one_tensioner = ends::one_tensioner(&at)?;
    if let Some((post, takes)) = &one_tensioner {
        let other = match at.iter().all(|at| at.end.kind.has_thread()) {
            true => {
                "the other stud is screwed in to its least engagement at least before the wire is caught"
            }
            false => {
                "the other end has no thread and can't turn with the stud, so that every turn twists the wire"
            }
        };
        notes.push(format!(
            "Tensioned at {post} alone, whose thread takes up {takes}: {other}."
        ));
    }
    let tension = mn(tensions.set_mn);
    let moved = inward(job, run, tension)?;
    notes.extend(moved.notes.iter().cloned());
    #[allow(clippy::cast_precision_loss)] // parts per million
    let stretch = figures.stretch_ppm as f64 / 1e6;
    let number = |name: &str, value: String, origin: &str| Number {
        name: name.to_owned(),
        value,
        origin: origin.to_owned(),
    };
    let fitting = fitting_of(job, run);
    let set_origin = fitting
        .and_then(|f| f.terminals.as_ref())
        .map_or_else(String::new, |t| t.origin.clone());
    let warmer = warmer(job, run);
    let unequal = unequal_start(job, run, [&left, &right]);
    let mut inputs = vec![
        number("set tension", tension.to_string(), "decided for the run"),
        number("strand", strand.name.clone(), "as recorded"),
        number(
            "stiffness EA of the strand",
            words::newtons(figures.ea_mn),
            &figures.ea_origin,
        ),
        number(
            "permanent stretch",
            format!("{} parts per million", figures.stretch_ppm),
            &figures.stretch_origin,
        ),
        number(
            "terminals",
            fitting.map_or_else(String::new, |f| f.name.clone()),
            &set_origin,
        ),
        lock_nuts([&left, &right], fitting.and_then(|f| f.terminals.as_ref())),
    ];
    inputs.extend(ends::figures(&at, &set_origin));
    inputs.extend(unequal.as_ref().map(|(_, told)| told.clone()));
    inputs.extend([
        warmer.1,
        number(
            "spreads of cutting, seat and swage",
            "1 mm, 0.7 mm, 0.5 mm".into(),
            "assumed",
        ),
        number(
            "spreads of EA and permanent stretch",
            "15 %, 150 parts per million".into(),
            "assumed",
        ),
        number(
            "spreads of offset, of stretch and of one fitted wire, in the chance",
            format!(
                "{OFFSET_SPREAD}, {} mm a metre, {FITTED_SPREAD}",
                trial::STRETCH_SPREAD
            ),
            "assumed",
        ),
    ]);
    inputs.extend(moved.inputs.iter().cloned());
    Ok(Ok(Shared {
        input: CutInput {
            inside_to_inside: Millimetres(0.0),
            tension,
            inward: Millimetres(0.0),
            inward_before: Millimetres(0.0),
            left: left_end,
            right: right_end,
            unequal_start: unequal.map(|(start, _)| start).unwrap_or_default(),
            axial_stiffness: mn(figures.ea_mn),
            axial_stiffness_spread: STIFFNESS_SPREAD,
            constructional_stretch: stretch,
            constructional_stretch_spread: STRETCH_SPREAD,
            expansion_difference_per_kelvin: EXPANSION_PER_KELVIN,
            temperature_difference: warmer.0,
            spreads: Spreads {
                measure: Millimetres(1.0),
                cut: Millimetres(1.0),
                seat: Millimetres(0.7),
                swage: Millimetres(0.5),
            },
        },
        inward: moved,
        one_tensioner,
        fixed: fitting.and_then(|f| f.fixed_deduction).map(|d| nm(d.nm)),
        basis: basis(job, Decision::Cut(run)),
        inputs,
    }))
}
