//! Openings of a run under a push: how far wires give and what force a sphere needs to pass.
//!
//! Invariant: a guide for spacing and span, computed with the wire sliding through its posts, which
//! gives more, and the gripped figure beside it; whether a barrier meets a rule is read from the
//! rule's table or proven with the probe, never from here. An opening that can't be computed is
//! named with its reason. One file past 400 lines, since each tension that counts is told beside the
//! opening that it holds.

mod answer;
mod places;
mod sphere;

use mechanics::deflection::{Held, Span, span};
use mechanics::gap::{
    Between, Gap, Passing, least_tension, meets_head_on, opening_under, passing_force,
};
use mechanics::posts::{EndPosts, WirePull, inward_movement};
use mechanics::{Millimetres, Newtons, NewtonsPerMillimetre};

use super::convert::{mm, mn, nm, run_of, slope_of, strand_of};
use super::figures::Origin;
use super::inward::end_posts;
use super::lengths::inside;
use super::posts::{beside_notes, wall_notes};
use super::readings::{TensionLine, tensions};
use super::supports::{clear_along, whole_length};
use super::tension::upper_of;
use super::{WorkError, rules};
use crate::ids::ItemId;
use crate::job::{Bay, Job, Run};
use crate::model::values::{Force, Length, Shape};
pub use answer::{BayPushed, FixedOpening, GapBetween, Pushed, UnderPush};
use places::{Place, fixed, places};
use sphere::sphere_of;

/// A hand's push where none is told, assumed.
const HAND_PUSH: Newtons = Newtons(100.0);

/// End posts of which nothing is known: what a push takes of the wire they give, so its tension stays
/// what it was.
const GIVES_ALL: NewtonsPerMillimetre = NewtonsPerMillimetre(1e-6);

/// Why nothing is computed in a bay that is narrower than the sphere.
const NO_ROOM: &str = "the sphere finds no room between its posts";

/// What a sphere does in the openings of a run: `sphere` as asked, else the rule set's, else the
/// job's probe; `push` as asked, else a hand's.
///
/// # Errors
/// When the run is unknown, the rule set can't be read, or sphere or push can't be.
pub fn pushed(
    job: &Job<'_>,
    run: ItemId,
    sphere: Option<Length>,
    push: Option<Force>,
) -> Result<Pushed, WorkError> {
    let run = run_of(job, run)?;
    let mut notes = Vec::new();
    let (sphere, sphere_origin) = match sphere {
        Some(length) => (Some(mm(length)), "as typed".to_owned()),
        None => sphere_of(job, run)?,
    };
    let (push, push_origin) = match push {
        Some(force) => (mn(force.mn), "as typed"),
        None => (HAND_PUSH, "a hand's push, assumed"),
    };
    if sphere.is_none() {
        notes.push("No rule set and no probe tells a sphere: type its diameter.".to_owned());
    }
    let mut answer = Pushed {
        run: run.id,
        run_name: run.name.clone(),
        wire_mm: strand_of(job, run).map(|(_, f)| nm(f.diameter_nm).value()),
        sphere_mm: sphere.map(Millimetres::value),
        sphere_origin,
        push_n: push.value(),
        push_origin: push_origin.to_owned(),
        bays: Vec::new(),
        fixed: fixed(job, run, sphere),
        least: None,
        caution: answer::CAUTION.to_owned(),
        notes,
    };
    let Some(wires) = Wires::of(job, run, &mut answer.notes)? else {
        return Ok(answer);
    };
    let mut said = answer::Said::default();
    for bay in &run.bays {
        let found = wires.bay(bay, sphere, push, &mut said)?;
        answer.bays.push(found);
    }
    answer::hold_against(&mut answer.bays, upper_of(job, run)?);
    answer.notes.extend(said.notes(run.bays.len()));
    answer.notes.extend(rules::changed_rules(job));
    if wires.ends.is_some() {
        answer.notes.extend(wall_notes(job, run));
    }
    answer.notes.extend(beside_notes(job, run));
    if run.shape == Shape::Raked {
        answer.notes.push(
            "On a rake the floor's line is that of the nosings; the triangle below it is an opening \
             of its own."
                .to_owned(),
        );
    }
    answer.least = answer::least(&answer.bays);
    Ok(answer)
}

/// The wires of a run with what decides how they give.
struct Wires<'a> {
    job: &'a Job<'a>,
    run: &'a Run,
    diameter: Millimetres,
    axial_stiffness: Newtons,
    /// Tension of each wire from the bottom and where it is from; none where nothing tells it.
    tensions: Vec<Option<(Newtons, Origin)>>,
    /// Inside to inside of each wire, or of the whole run where it is not measured.
    lengths: Vec<Millimetres>,
    ends: Option<EndPosts>,
}

impl<'a> Wires<'a> {
    fn of(
        job: &'a Job<'a>,
        run: &'a Run,
        notes: &mut Vec<String>,
    ) -> Result<Option<Self>, WorkError> {
        let Some((_, figures)) = strand_of(job, run) else {
            notes.push("No strand is chosen for the run: nothing is computed.".to_owned());
            return Ok(None);
        };
        if run.heights.len() != run.wires.len() || run.wires.is_empty() {
            notes.push("The heights of the wires are not told: nothing is computed.".to_owned());
            return Ok(None);
        }
        let whole = whole_length(run)?;
        let lengths = inside(run)
            .0
            .iter()
            .map(|i| i.length.as_ref().map_or(whole, |known| known.mm))
            .collect();
        let ends = match end_posts(job, run, Newtons(0.0))? {
            Ok(ends) => Some(ends),
            Err(why) => {
                notes.push(format!(
                    "{why} So the end posts count as giving all that a push asks of them, and no wire gets \
                     tighter under it: the careful side. Beside it stands the force with posts that do \
                     not give."
                ));
                None
            }
        };
        Ok(Some(Wires {
            job,
            run,
            diameter: nm(figures.diameter_nm),
            axial_stiffness: mn(figures.ea_mn),
            tensions: tensions_of(job, run, notes)?,
            lengths,
            ends,
        }))
    }

    fn bay(
        &self,
        bay: &Bay,
        sphere: Option<Millimetres>,
        push: Newtons,
        said: &mut answer::Said,
    ) -> Result<BayPushed, WorkError> {
        let clear = clear_along(bay, slope_of(self.run)?)?;
        if clear.is_none() {
            said.not_clear.push(bay.name.clone());
        }
        let mut openings = Vec::new();
        for place in places(self.job, self.run, bay, self.diameter)? {
            let mut found = UnderPush {
                lower: place.lower,
                between: place.between,
                at_rest_mm: place.clear.value(),
                origin: place.origin,
                tension_n: None,
                tension_origin: None,
                passes_freely: false,
                force_n: None,
                gripped_n: None,
                rigid_n: None,
                under_push_mm: None,
                needs_n: None,
                needs_too_much: false,
                passes: None,
                depth_mm: None,
            };
            let fits = clear
                .zip(sphere)
                .is_none_or(|(clear, sphere)| clear >= sphere);
            if !fits {
                said.not_computed(answer::between(&found), &bay.name, NO_ROOM.to_owned());
            } else if sphere.is_some_and(|sphere| wide_enough(place.clear, sphere)) {
                // Whatever the wires hold, and however long the bay is.
                found.passes_freely = true;
                found.passes = Some(true);
                found.under_push_mm = Some(place.clear.value());
                found.depth_mm = Some(0.0);
            } else if let (Some(clear), Some(sphere)) = (clear, sphere) {
                self.push(&place, clear, sphere, push, &mut found, &bay.name, said)?;
            }
            openings.push(found);
        }
        Ok(BayPushed {
            subject: bay.subject,
            name: bay.name.clone(),
            clear_mm: clear.map(Millimetres::value),
            clear_origin: if bay.is_read() {
                Origin::Measured
            } else {
                Origin::Computed
            },
            weakest: answer::weakest(&openings),
            openings,
        })
    }

    #[expect(
        clippy::too_many_arguments,
        reason = "one opening with all that acts on it"
    )]
    fn push(
        &self,
        place: &Place,
        clear: Millimetres,
        sphere: Millimetres,
        push: Newtons,
        found: &mut UnderPush,
        bay: &str,
        said: &mut answer::Said,
    ) -> Result<(), WorkError> {
        let tension = place
            .wires()
            .filter_map(|n| self.tensions.get(n)?.as_ref())
            .min_by(|a, b| a.0.value().total_cmp(&b.0.value()))
            .copied();
        let known = place
            .wires()
            .all(|n| matches!(self.tensions.get(n), Some(Some(_))));
        let Some((tension, origin)) = tension.filter(|_| known) else {
            return Ok(());
        };
        let run = place
            .wires()
            .filter_map(|n| self.lengths.get(n).copied())
            .fold(clear, Millimetres::max);
        let give = self.anchor(place)?;
        let gap = |held, anchor_stiffness| {
            let span = Span {
                anchor_stiffness,
                ..span(clear, run, self.axial_stiffness, held)
            };
            Gap {
                between: place.as_gap(self.diameter),
                wire_diameter: self.diameter,
                span,
                tension,
            }
        };
        let sliding = gap(Held::Sliding, give);
        let answers = passing_force(&sliding, sphere).and_then(|force| {
            let gripped = passing_force(&gap(Held::Gripped, None), sphere)?;
            let rigid = passing_force(&gap(Held::Sliding, None), sphere)?;
            let head_on = meets_head_on(&sliding, sphere)?;
            let opened = opening_under(&sliding, sphere, push)?;
            Ok((force, [gripped, rigid], opened, head_on))
        });
        let (force, [gripped, rigid], opened, head_on) = match answers {
            Ok(answers) => answers,
            Err(why) => {
                said.not_computed(answer::between(found), bay, why.to_string());
                return Ok(());
            }
        };
        if head_on {
            said.head_on(answer::between(found));
        }
        found.tension_n = Some(tension.value());
        found.tension_origin = Some(origin);
        found.force_n = newtons(force);
        found.gripped_n = newtons(gripped);
        found.rigid_n = newtons(rigid).filter(|_| self.ends.is_none());
        found.under_push_mm = Some(opened.under_push.value());
        // Where wires as close as these can hold it at all.
        if opened.passes {
            match least_tension(&sliding, sphere, push) {
                // Rounded down it would not hold.
                Ok(needs) => found.needs_n = Some(needs.value().ceil()),
                Err(why) => said.not_held(answer::between(found), bay, why.to_string()),
            }
        }
        found.passes = Some(opened.passes);
        found.depth_mm = Some(opened.depth.value());
        Ok(())
    }

    /// Stiffness of both end posts for the wires of an opening pulled alike; none where they do not
    /// give.
    fn anchor(&self, place: &Place) -> Result<Option<NewtonsPerMillimetre>, WorkError> {
        let Some(ends) = &self.ends else {
            return Ok(Some(GIVES_ALL));
        };
        let pulled: Vec<usize> = place.wires().collect();
        let by_one = |pulls: &[WirePull]| -> Vec<WirePull> {
            pulls
                .iter()
                .enumerate()
                .map(|(n, pull)| WirePull {
                    tension: Newtons(if pulled.contains(&n) { 1.0 } else { 0.0 }),
                    ..*pull
                })
                .collect()
        };
        let moved = inward_movement(&EndPosts {
            start_pulls: by_one(&ends.start_pulls),
            end_pulls: by_one(&ends.end_pulls),
            ..ends.clone()
        })?;
        let most = pulled
            .iter()
            .filter_map(|n| moved.along_wire.get(*n))
            .fold(0.0, |most: f64, m| most.max(m.value()));
        Ok((most > 0.0).then(|| NewtonsPerMillimetre(1.0 / most)))
    }
}

/// Whether a sphere goes through a clear opening without touching, to the record's nanometre.
fn wide_enough(clear: Millimetres, sphere: Millimetres) -> bool {
    clear.whole_nanometres() >= sphere.whole_nanometres()
}

const fn newtons(passing: Passing) -> Option<f64> {
    match passing {
        Passing::Freely => None,
        Passing::Needs { force } => Some(force.value()),
    }
}

/// Tension of each wire: the least that stands of what was read, else the least that it is to keep.
fn tensions_of(
    job: &Job<'_>,
    run: &Run,
    notes: &mut Vec<String>,
) -> Result<Vec<Option<(Newtons, Origin)>>, WorkError> {
    let read = tensions(job, run.id)?;
    let plan = super::posts::promised(job, run)?;
    if plan.is_none() {
        notes.push(
            "No tension is decided or asked: wires that were not read are not computed.".to_owned(),
        );
    }
    let mut errs: f64 = 0.0;
    let mut found = Vec::with_capacity(run.wires.len());
    for wire in &run.wires {
        let line = read.lines.iter().find(|l| l.wire == wire.number);
        // What a mass showed to be slack is no tighter for what a gauge read elsewhere.
        let sagged = match line.and_then(sagged).transpose() {
            Ok(sagged) => sagged,
            Err(why) => {
                notes.push(format!(
                    "Wire {} goes further down under the mass than the table lets it, and what it holds is \
                     not computed: {why}.",
                    line.map_or_else(String::new, |line| line.name.clone())
                ));
                found.push(None);
                continue;
            }
        };
        let lesser = |found: Option<(Newtons, Origin)>| match (found, sagged) {
            (Some(found), Some(sagged)) if found.0 <= sagged.0 => Some(found),
            (found, sagged) => sagged.or(found),
        };
        let Some((line, governing)) = line.and_then(|l| Some((l, l.governing.as_ref()?))) else {
            found.push(lesser(plan));
            continue;
        };
        if governing.newtons.is_none() {
            notes.push(format!(
                "People differ on the tension of wire {}: the least that anybody tells counts.",
                line.name
            ));
        }
        // A push asks for the least that may stand there.
        let error = governing.gauge_error.unwrap_or(0.0);
        errs = errs.max(error);
        // What was read less what it may err was read by nobody.
        let origin = match error > 0.0 {
            true => Origin::Computed,
            false => Origin::Measured,
        };
        let least = |n: f64| (Newtons(n * (1.0 - error)), origin);
        found.push(lesser(line.least_n.map(least)));
    }
    if errs > 0.0 {
        notes.push(format!(
            "Wires that were read count with what their gauge may err taken off, up to {:.0} %.",
            errs * 100.0
        ));
    }
    Ok(found)
}

/// The least tension that masses tell under which a wire sags, gripped at the posts and with what the
/// ruler may err, or why one of them tells none; none where it sags under none.
fn sagged(line: &TensionLine) -> Option<Result<(Newtons, Origin), String>> {
    let least = line.sagging().map(|check| {
        let told = check.gripped_band_n.map(|band| band.0).or(check.gripped_n);
        told.ok_or_else(|| check.untold.clone().unwrap_or_default())
    });
    let told = least.reduce(|a, b| Ok(a?.min(b?)))?;
    Some(told.map(|n| (Newtons(n), Origin::Computed)))
}

impl Place {
    fn as_gap(&self, diameter: Millimetres) -> Between {
        match self.between {
            GapBetween::Wires => Between::Wires {
                spacing: self.clear + diameter,
            },
            GapBetween::FloorAndWire | GapBetween::WireAndRail => Between::WireAndEdge {
                distance: self.clear + diameter / 2.0,
            },
        }
    }
}
