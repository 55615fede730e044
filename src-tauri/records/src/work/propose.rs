//! Wires proposed for a run from its rail, bottom gap, floor levels and rule set.
//!
//! Invariant: a proposal leaves the millimetres asked for before the next row of the table, and it
//! is only shown: a person takes it. What the figures rest on, and what is missing, is told. One file past 400 lines,
//! since each refusal of a layout is told beside what it was asked by.

mod answer;
mod beside;
mod inches;
mod rail;

use mechanics::rules::RuleSet;
use mechanics::spacing::{IN_HAND, IN_HAND_INCHES, SpacingAsk, WireLayout, lay_out};
use mechanics::strand::Construction;
use mechanics::{Degrees, MechanicsError, Millimetres};

use super::basis::{Decision, Unsettled, unsettled};
use super::convert::{construction, fitting_of, mm, nm, run_of, slope_of, strand_of};
use super::differing::{Wires, differing, note_differing};
use super::ordering::{next_row, note, outcome};
use super::shared_post::{contradicted_in, least_wood};
use super::supports::spans;
use super::{WorkError, rules};
use crate::ids::ItemId;
use crate::job::{Job, Run};
use crate::model::bounds;
use crate::model::context::Terminal;
use crate::model::fields;
use crate::model::values::{Length, Shape};
use crate::subject::Subject;
pub use answer::{BayAtSpacing, FloorAt, LayoutProposals, Proposal, RailAt, SharedPost, StairAt};

/// What a person asks of a layout; what is left out is taken from the record or as usual.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LayoutAsk {
    /// Underside of the rail, plumb, where it is not the recorded one.
    pub rail: Option<Length>,
    /// Height of the bottom wire's centre; as far as the wires from each other where none.
    pub bottom: Option<Length>,
    /// Least to keep before the next row, square to the wires; 4 mm, or an eighth of an inch, where none.
    pub in_hand: Option<Length>,
    /// Widest spacing wanted, square to the wires, whatever row it reads.
    pub widest: Option<Length>,
    /// How far a tread stands out over the riser below it, where it is not the recorded one; 0 where
    /// neither is told.
    pub overhang: Option<Length>,
    /// Heights in sixteenths of an inch instead of millimetres.
    pub inches: bool,
}

/// One sixteenth of an inch (25.4 mm, exact by definition).
const SIXTEENTH: Millimetres = Millimetres(25.4 / 16.0);

/// What a run's wires are laid out by, read from the record.
struct Ground<'a> {
    job: &'a Job<'a>,
    run: &'a Run,
    set: RuleSet,
    slope: Degrees,
    diameter: Millimetres,
    lay: Construction,
    rail: Millimetres,
    bays: Vec<(String, Millimetres)>,
    sphere: Option<Millimetres>,
    step: Millimetres,
    /// None where nobody told it: it counts as 0.
    overhang: Option<Millimetres>,
    /// Where the rail comes nearer to the wires or stands farther than by its height.
    reach: rail::Reach,
}

/// Proposes wires for a run; where something is missing the answer says what, and proposes none.
///
/// # Errors
/// When the run is unknown, the rule set can't be read, or a figure can't be.
pub fn propose(job: &Job<'_>, run: ItemId, ask: &LayoutAsk) -> Result<LayoutProposals, WorkError> {
    let run = run_of(job, run)?;
    let set = rules::rules(job)?;
    let step = if ask.inches {
        SIXTEENTH
    } else {
        Millimetres(1.0)
    };
    let usual = if ask.inches { IN_HAND_INCHES } else { IN_HAND };
    let in_hand = ask.in_hand.map_or(usual, mm);
    let mut answer = LayoutProposals {
        run: run.id,
        run_name: run.name.clone(),
        rule_set: set.as_ref().map(|set| note(job, set)),
        rail_nm: ask
            .rail
            .or(run.rail.map(|r| Length { nm: r.underside_nm }))
            .map(|l| l.nm),
        slope_deg: slope_of(run)?.value(),
        widest_bay: None,
        widest_bay_mm: None,
        in_hand_mm: in_hand.value(),
        step_mm: step.value(),
        sphere_mm: None,
        follows_floor: run.follows_floor,
        rail_follows_floor: run.rail_follows_floor,
        overhang_nm: overhang(run, ask).map(|l| l.nm),
        present_overhang_nm: run.slope.and_then(|s| s.overhang_nm),
        present_nm: run.heights.iter().map(|h| h.nm).collect(),
        proposals: Vec::new(),
        ask_first: contradicted_in(job, run)
            .into_iter()
            .chain(
                set.iter()
                    .flat_map(|set| ask_of_level_wires(job, Some(run), set)),
            )
            .collect(),
        missing: Vec::new(),
        notes: Vec::new(),
    };
    let ground = ground(job, run, set, ask, step, &mut answer)?;
    let apart = differing(job, Some(run), Wires::LeftOut);
    note_differing(apart, answer.missing.clone(), &mut answer.notes);
    let Some(ground) = ground else {
        if ask.inches {
            inches::told(&mut answer);
        }
        return Ok(answer);
    };
    // The first of equals is the one to name.
    let widest = ground
        .bays
        .iter()
        .rev()
        .max_by(|a, b| a.1.value().total_cmp(&b.1.value()));
    let Some((name, widest)) = widest else {
        return Ok(answer);
    };
    answer.widest_bay = Some(name.clone());
    answer.widest_bay_mm = Some(widest.value());
    answer.sphere_mm = ground.sphere.map(Millimetres::value);
    let asked = SpacingAsk {
        rail_underside: ground.rail,
        bottom: ask.bottom.map(mm),
        slope: ground.slope,
        diameter: ground.diameter,
        construction: ground.lay,
        widest_bay: *widest,
        in_hand,
        step,
        widest_spacing: ask.widest.map(mm),
        rail_nearer: ground.reach.nearer,
        rail_farther: ground.reach.farther,
        sphere: ground.sphere,
        below_rail: below_rail(job, run, ground.diameter),
    };
    match lay_out(&ground.set, &asked) {
        Ok(layouts) => {
            for layout in layouts {
                answer.proposals.push(proposal(&ground, layout)?);
            }
        }
        Err(MechanicsError::NoSpacingRow) => answer.missing.push(no_row(&ground)),
        Err(
            why @ (MechanicsError::CloserThanCounts { .. } | MechanicsError::TooCloseWanted { .. }),
        ) => answer.missing.push(sentence(&why)),
        Err(MechanicsError::NoRoomBelowRail) => answer.missing.push(rail::no_room(&ground)),
        Err(other) => return Err(other.into()),
    }
    answer.notes.extend(notes(&ground));
    if ask.inches {
        inches::told(&mut answer);
    }
    Ok(answer)
}

/// How far below the rail a wire's middle has to lie at least: its holes keep the wood that is wanted. Where nobody
/// told how template and rail run, the rail may come no nearer at all: the wire only stays out of it.
fn below_rail(job: &Job<'_>, run: &Run, diameter: Millimetres) -> Millimetres {
    if run.follows_floor.is_none() || run.rail_follows_floor.is_none() {
        return diameter / 2.0;
    }
    let holes = fitting_of(job, run)
        .and_then(|set| set.terminals.as_ref())
        .map(|t| {
            let of = |terminal: &Terminal| terminal.hole_nm.unwrap_or_default();
            nm(of(&t.left).max(of(&t.right)))
        });
    holes.unwrap_or_default().max(diameter) / 2.0 + least_wood(job)
}

/// What has to be asked before anything is laid out: horizontal members, pools.
fn ask_first(job: &Job<'_>, set: &RuleSet) -> Vec<String> {
    use mechanics::rules::WarningAbout;
    let pool = job.reader.value(fields::JOB_POOL, &job.subject());
    let mut found: Vec<String> = set
        .warnings
        .iter()
        .filter(|w| w.about != WarningAbout::Pool || pool != Some(false))
        .map(|w| format!("{} Ask {} before anything is ordered.", w.text, set.confirm))
        .collect();
    match pool {
        Some(true) => found.push(
            "It is a pool's boundary: horizontal wires are often refused there (common practice). \
             Ask before anything is laid out."
                .to_owned(),
        ),
        Some(false) => {}
        None => found.push(
            "Is it a pool's boundary? Horizontal wires are often refused there (common practice)."
                .to_owned(),
        ),
    }
    found
}

/// What is asked before level wires are laid out, or a run of them is begun: what the job's rule set says of them
/// where the fall reaches it or is not told, and a pool.
pub(crate) fn ask_of_level_wires(job: &Job<'_>, run: Option<&Run>, set: &RuleSet) -> Vec<String> {
    use mechanics::rules::{Threshold, fall_reaches};
    let of_job = || job.reader.value(fields::JOB_FALL, &job.subject());
    let fall = run.and_then(|run| run.fall).or_else(of_job).map(mm);
    let reached = set.climbing.as_ref();
    let reached = reached.filter(|rule| fall.is_none_or(|fall| fall_reaches(&rule.fall, fall)));
    let climbing = reached.map(|rule| {
        let from = match rule.fall.threshold {
            Threshold::AtLeast => "is at least",
            Threshold::MoreThan => "is more than",
        };
        format!(
            "Where the fall {from} {}, nothing level between {} and {} may help climbing ({}): level \
             wires may. Ask {} before anything is ordered.",
            rule.fall.fall_mm, rule.from_mm, rule.to_mm, rule.cite.clause, set.confirm
        )
    });
    climbing.into_iter().chain(ask_first(job, set)).collect()
}

fn ground<'a>(
    job: &'a Job<'a>,
    run: &'a Run,
    set: Option<RuleSet>,
    ask: &LayoutAsk,
    step: Millimetres,
    answer: &mut LayoutProposals,
) -> Result<Option<Ground<'a>>, WorkError> {
    let missing = &mut answer.missing;
    let of_job = Subject::Job(job.id);
    if set.is_none() && !job.reader.blocks(fields::JOB_RULE_SET, &of_job) {
        missing.push("No rule set is chosen: choose the one in force on the permit's day.".into());
    }
    let apart = unsettled(job, Decision::LayOut(run));
    missing.extend(apart.iter().map(|one| match one.newer {
        true => format!("A newer version changed {}: update the program.", one.the()),
        false => format!("People differ on {}: settle it first.", one.the()),
    }));
    let figures = strand_of(job, run).map(|(_, figures)| figures);
    let lay = figures.and_then(construction);
    match (figures, lay) {
        (None, _)
            if names(
                &apart,
                &[fields::RUN_STRAND.name, fields::STRAND_FIGURES.name],
            ) => {}
        (None, _) => missing.push("No strand is chosen for the run.".to_owned()),
        (Some(figures), None) => missing.push(format!(
            "The strand's lay {} is not 1x19, 7x7 or 7x19.",
            figures.construction
        )),
        _ => {}
    }
    let slope = slope_of(run)?;
    let slope_apart = names(&apart, &[fields::RUN_SLOPE.name]);
    if run.shape == Shape::Raked && run.slope.is_none() && !slope_apart {
        missing.push("The run is raked and its slope is not told.".to_owned());
    }
    // A wish in another unit would lay out a barrier that is not there.
    if let (Some(wished), Some(told)) = (ask.rail.map(mm), run.rail.map(|r| nm(r.underside_nm)))
        && !(told * 0.5..=told * 2.0).contains(&wished)
    {
        missing.push(format!(
            "A rail's underside at {wished} was asked for, and it is recorded at {told}. Is the unit \
             right? If the rail is another one, record it first."
        ));
    }
    // Before the widest spacing is asked for: no spacing helps a tread that can't be.
    let stands_out = overhang(run, ask).map(mm);
    let going = run.slope.map(|slope| nm(slope.going_nm));
    let tread = stands_out.zip(going);
    if let Some(wrong) = tread.and_then(|(out, going)| bounds::overhang_wrong(out, going)) {
        missing.push(format!("{}.", bounds::capital(&wrong)));
    }
    let rail = ask.rail.or(run.rail.map(|r| Length { nm: r.underside_nm }));
    if rail.is_none() && !names(&apart, &[fields::RUN_RAIL.name]) {
        missing.push("The underside of the rail is not told.".to_owned());
    }
    let mut bays = Vec::new();
    for span in spans(run) {
        match span.clear(run)? {
            Some((clear, taken)) => {
                bays.push((span.name(), beside::along(clear, taken, slope)?));
                answer.notes.extend(span.note(clear));
            }
            None => answer.notes.push(format!(
                "Bay {} has no clear distance yet: it is left out.",
                span.name()
            )),
        }
    }
    if bays.is_empty() {
        missing.push("No bay has a clear distance: measure the bays first.".to_owned());
    }
    let (Some(set), Some(figures), Some(lay), Some(rail), true) =
        (set, figures, lay, rail, missing.is_empty())
    else {
        return Ok(None);
    };
    Ok(Some(Ground {
        sphere: rules::sphere(&set, run).map(|rule| rule.sphere_mm),
        job,
        run,
        set,
        slope,
        diameter: nm(figures.diameter_nm),
        lay,
        rail: mm(rail),
        bays,
        step,
        overhang: stands_out,
        reach: rail::reach(run),
    }))
}

/// The overhang that was asked for, else the recorded one; none on a run without slope.
fn overhang(run: &Run, ask: &LayoutAsk) -> Option<Length> {
    let slope = run.slope?;
    ask.overhang.or(slope.overhang_nm.map(|nm| Length { nm }))
}

fn names(apart: &[Unsettled], of: &[&str]) -> bool {
    apart.iter().any(|one| of.contains(&one.field.as_str()))
}

/// What stands in the way, as a sentence.
fn sentence(why: &MechanicsError) -> String {
    format!("{}.", bounds::capital(&why.to_string()))
}

fn no_row(ground: &Ground<'_>) -> String {
    let table = ground.set.wires.as_ref().and_then(|w| w.tension.as_ref());
    match table {
        None => "The rule set has no table for wires: say how far apart they may stand at \
                         most, square to the wires. The sphere and the tension decide, and a probe \
                         proves it."
            .to_owned(),
        Some(_) => sentence(&MechanicsError::NoSpacingRow),
    }
}

fn notes(ground: &Ground<'_>) -> Vec<String> {
    let mut found = vec![
        "Heights are to the middle of each wire, plumb above the floor or the nosings. Openings are \
         told at rest: wires give way, so a probe is offered when they are tensioned."
            .to_owned(),
    ];
    found.extend(rail::note(ground));
    if ground.slope.value() > 0.0 {
        if ground
            .set
            .wires
            .as_ref()
            .is_some_and(|w| w.tension.is_some())
        {
            found.push("On a rake the table counts square to the wires.".to_owned());
        }
        if ground.overhang.is_none() {
            found.push(
                "Treads are taken to end at their risers; measure and tell the overhang where they \
                 stand out: it makes the triangle larger."
                    .to_owned(),
            );
        }
    }
    found
}

fn proposal(ground: &Ground<'_>, layout: WireLayout) -> Result<Proposal, WorkError> {
    let bottom = layout.heights.first().copied().unwrap_or_default();
    let bottom_clear = mechanics::slope::square(bottom, ground.slope)? - ground.diameter / 2.0;
    let (floor, floor_sentence) = beside::floor(ground, bottom)?;
    let (rail, rail_sentence) = rail::rail(ground, &layout);
    let below = floor.iter().map(|at| Millimetres(at.counts_mm));
    let widest = below.fold(layout.widest_clear, Millimetres::max);
    let passes = |clear: Millimetres| {
        let sphere = ground.sphere;
        sphere.is_some_and(|sphere| clear.whole_nanometres() >= sphere.whole_nanometres())
    };
    let between = layout.spacing_square - ground.diameter;
    let top_clear = mechanics::slope::square(layout.top_gap, ground.slope)? - ground.diameter / 2.0;
    let between_passes = (layout.heights.len() > 1 && passes(between))
        || (floor.is_empty() && passes(bottom_clear))
        || (rail.is_empty() && passes(top_clear));
    Ok(Proposal {
        row_mm: layout.row.value(),
        heights_nm: layout
            .heights
            .iter()
            .map(|h| Length::from_mm(h.value()).nm)
            .collect(),
        spacing_mm: layout.spacing_plumb.value(),
        spacing_square_mm: layout.spacing_square.value(),
        in_hand_mm: layout.in_hand.value(),
        top_gap_mm: layout.top_gap.value(),
        bottom_clear_mm: bottom_clear.value(),
        widest_clear_mm: widest.value(),
        sphere_passes: passes(widest),
        between_passes,
        outcome: outcome(&layout.tension.outcome),
        least_tension_n: layout.tension.outcome.limit().map(|n| n.value()),
        next: layout.tension.wider_spacing.as_ref().map(next_row),
        doubt: layout.tension.doubt.clone(),
        bays: beside::bays(ground, layout.spacing_square)?,
        floor,
        floor_sentence,
        rail,
        rail_sentence,
        shared_posts: beside::shared(ground, &layout)?,
        stair: beside::stair(ground, bottom)?,
        sentence: layout.sentence,
    })
}
