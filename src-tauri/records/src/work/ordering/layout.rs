//! A run as the rules look at it: surface, fall, height, spacings, bays and openings.
//!
//! On a level run the gap under the bottom wire is that of a template held level from the first
//! post, until the record says that the template follows the floor.

use mechanics::Millimetres;
use mechanics::assessment::{
    Bay, Layout, OpeningKind, Taken, Topic, Unmeasured, WireDirection, widest_between,
};
use mechanics::rules::Surface as RuleSurface;

use super::super::convert::{construction, heights, mm, nm, no_slope, slope_of, strand_of};
use super::super::figures::Origin;
use super::super::levels::towards_rail;
use super::super::supports::spans;
use super::super::{WorkError, gate, rules, slips, words};
use super::openings::{floor_notes, openings};
use super::places::{Place, Standing};
use super::unmeasured::unmeasured;
use crate::job::{Job, PostInRun, Run};
use crate::model::fields;
use crate::model::values::{Length, Shape};
use crate::subject::{ItemKind, Subject};

/// What the rules look at, and what was assumed or is missing.
pub(in crate::work) struct View {
    pub(in crate::work) seen: Option<Seen>,
    pub(in crate::work) notes: Vec<String>,
}

/// A layout with the subjects of its parts.
pub(in crate::work) struct Seen {
    pub(in crate::work) layout: Layout,
    pub(in crate::work) bays: Vec<SeenBay>,
    pub(in crate::work) fall_known: bool,
    places: Vec<Place>,
}

#[derive(Clone)]
pub(in crate::work) struct SeenBay {
    /// The first of these.
    pub(in crate::work) first: Subject,
    /// The bays as built that the table counts as this one.
    pub(in crate::work) bays: Vec<Subject>,
    pub(in crate::work) clear_origin: Origin,
    pub(in crate::work) spacing_origin: Origin,
}

impl Seen {
    pub(super) fn subject_of(&self, place: &str) -> Option<Subject> {
        self.place(place).map(|at| at.subject)
    }

    /// Where the figure at a place is from; what is not measured stands as recorded.
    pub(super) fn origin_of(&self, place: &str) -> Origin {
        self.place(place).map_or(Origin::Recorded, |at| at.origin)
    }

    fn place(&self, label: &str) -> Option<&Place> {
        self.places.iter().find(|at| at.label == label)
    }

    /// Openings as they stand by what is on record, in the order in which they are held against rules.
    pub(in crate::work) fn standing(&self) -> Result<Vec<Standing>, WorkError> {
        let between = widest_between(&self.layout)?;
        let all = std::iter::once(&between).chain(&self.layout.openings);
        let standing = all.map(|opening| {
            let place = self.place(&opening.label);
            Standing {
                label: opening.label.clone(),
                kind: opening.kind,
                clear: opening.clear,
                of: place.map(|at| at.subject),
                widest_at: place.and_then(|at| at.widest_at),
            }
        });
        Ok(standing.collect())
    }

    /// Adds a gate that nobody measured at its tension. Asked of the posts' movement, which hangs on
    /// what this layout asks: so it comes after it.
    pub(super) fn ask_of_gate(&mut self, gate: gate::Unmeasured) {
        let place = Place::of(gate.label.clone(), gate.subject, Origin::Computed);
        self.places.push(place);
        self.layout.unmeasured.push(Unmeasured {
            label: gate.label,
            kind: OpeningKind::Gate,
            by_geometry: gate.widest,
            remark: gate.remark,
        });
    }

    /// Whether a finding says nothing while the fall is not told.
    pub(super) fn rests_on_fall(&self, topic: Topic) -> bool {
        matches!(topic, Topic::BarrierNeeded | Topic::Climbing)
    }
}

/// Reads the layout of a run.
pub(in crate::work) fn view(job: &Job<'_>, run: &Run) -> Result<View, WorkError> {
    let mut notes = Vec::new();
    let missing = |notes: Vec<String>| View { seen: None, notes };
    let heights = heights(run);
    let disputed = without_which_nothing(job, run);
    if !disputed.is_empty() {
        notes.push(format!(
            "Rules are not held against run {} until this is settled: {} disputed.",
            run.name,
            disputed.join(", ")
        ));
        return Ok(missing(notes));
    }
    let Some((_, figures)) = strand_of(job, run) else {
        notes.push("No strand is chosen for the run: rules are not held against it.".to_owned());
        return Ok(missing(notes));
    };
    let Some(construction) = construction(figures) else {
        notes.push(format!(
            "The strand's lay {} is not 1x19, 7x7 or 7x19: rules are not held against it.",
            figures.construction
        ));
        return Ok(missing(notes));
    };
    let gaps = spacings(&heights);
    if gaps.is_empty() || heights.len() != run.wires.len() {
        notes.push("The heights of the wires are not told: rules are not held against it.".into());
        return Ok(missing(notes));
    }
    if let Some(sentence) = no_slope(run) {
        notes.push(format!("{sentence} Rules are not held against it."));
        return Ok(missing(notes));
    }
    let slope = slope_of(run)?;
    let diameter = nm(figures.diameter_nm);
    let fall = fall(job, run, &mut notes);
    if job.reader.blocks(fields::JOB_POOL, &Subject::Job(job.id)) {
        notes.push(
            "Whether it is a pool's boundary is disputed: taken as not told, so to be asked first."
                .to_owned(),
        );
    }
    let mut places = vec![Place::of(run.name.clone(), run.subject(), Origin::Recorded)];
    let mut bays = Vec::new();
    let mut seen_bays = Vec::new();
    for span in spans(run) {
        let name = span.name();
        let Some((clear, taken)) = span.clear(run)? else {
            notes.push(format!("Bay {name} has no clear distance yet."));
            continue;
        };
        notes.extend(span.note(clear));
        let (widest, measured) = widest_spacing(&gaps, &span.posts);
        bays.push(Bay {
            label: name.clone(),
            clear,
            taken,
            widest_spacing: Some(widest),
        });
        let clear_origin = match span.bays.as_slice() {
            [bay] if bay.is_read() => Origin::Measured,
            _ => Origin::Computed,
        };
        let Some(first) = span.bays.first().map(|b| b.subject) else {
            continue;
        };
        places.push(Place::of(name, first, clear_origin));
        seen_bays.push(SeenBay {
            first,
            bays: span.bays.iter().map(|b| b.subject).collect(),
            clear_origin,
            spacing_origin: if measured {
                Origin::Measured
            } else {
                Origin::Recorded
            },
        });
    }
    let widest = bays
        .iter()
        .filter_map(|b| b.widest_spacing)
        .chain(gaps.iter().copied().reduce(Millimetres::max))
        .reduce(Millimetres::max);
    let planned = gaps.iter().copied().reduce(Millimetres::max);
    let openings = openings(job, run, &heights, diameter, &mut places)?;
    let unmeasured = unmeasured(job, run, &heights, diameter, &openings, &mut places)?;
    let barrier_height = height(job, run, &mut notes)?;
    floor_notes(job, run, &heights, diameter, &mut notes);
    Ok(View {
        seen: Some(Seen {
            layout: Layout {
                label: run.name.clone(),
                surface: surface(job, run, &mut notes),
                surface_told: run.surface.is_some(),
                fall: fall.map_or(Millimetres(0.0), mm),
                barrier_height,
                direction: WireDirection::Horizontal,
                slope,
                diameter,
                construction,
                widest_spacing: drilled_everywhere(run, &gaps)
                    .or(widest)
                    .or(planned)
                    .unwrap_or(Millimetres(0.0)),
                spacing_taken: Taken::LevelOrPlumb,
                bays,
                openings,
                unmeasured,
                wire_heights: heights,
                pool: job.reader.value(fields::JOB_POOL, &job.subject()),
            },
            bays: seen_bays,
            fall_known: fall.is_some(),
            places,
        }),
        notes,
    })
}

/// Facts without which no row can be read, as far as people disagree on them.
fn without_which_nothing(job: &Job<'_>, run: &Run) -> Vec<&'static str> {
    let of = run.subject();
    let reader = &job.reader;
    let strand = run.strand.map(|id| Subject::Item(ItemKind::Strand, id));
    [
        (reader.blocks(fields::RUN_SHAPE, &of), "shape"),
        (reader.blocks(fields::RUN_SLOPE, &of), "slope"),
        (reader.blocks(fields::RUN_STRAND, &of), "strand"),
        (
            reader.blocks(fields::RUN_WIRE_COUNT, &of),
            "number of wires",
        ),
        (reader.blocks(fields::RUN_WIRE_HEIGHTS, &of), "wire heights"),
        (
            strand.is_some_and(|s| reader.blocks(fields::STRAND_FIGURES, &s)),
            "figures of the strand",
        ),
    ]
    .into_iter()
    .filter_map(|(blocks, name)| blocks.then_some(name))
    .collect()
}

/// The fall beside the run, else the job's; none where it is not told or people disagree.
fn fall(job: &Job<'_>, run: &Run, notes: &mut Vec<String>) -> Option<Length> {
    let own_disputed = job.reader.blocks(fields::RUN_FALL, &run.subject());
    let fall = run
        .fall
        .or_else(|| job.reader.value(fields::JOB_FALL, &job.subject()))
        .filter(|_| !own_disputed);
    if fall.is_none() {
        let why = if own_disputed {
            job.reader.untold(fields::RUN_FALL, &run.subject())
        } else {
            job.reader.untold(fields::JOB_FALL, &Subject::Job(job.id))
        };
        notes.push(format!(
            "The fall {why}. Whether a barrier is asked for, and climbing, stay open."
        ));
    }
    fall
}

fn spacings(heights: &[Millimetres]) -> Vec<Millimetres> {
    heights
        .iter()
        .zip(heights.iter().skip(1))
        .map(|(lower, upper)| *upper - *lower)
        .collect()
}

/// Widest spacing of a bay: as drilled at its posts, as planned where nobody measured.
fn widest_spacing(gaps: &[Millimetres], posts: &[&PostInRun]) -> (Millimetres, bool) {
    let mut widest = (Millimetres(0.0), false);
    for post in posts {
        for (lower, planned) in (1_u32..).zip(gaps) {
            // Where people disagree, the widest that somebody tells.
            let drilled = post
                .drilled
                .get(&lower)
                .and_then(|f| f.values().max().copied());
            let here = drilled.map_or(*planned, mm);
            if here > widest.0 {
                widest = (here, drilled.is_some());
            }
        }
    }
    widest
}

/// Widest spacing where every post was measured throughout: then the plan no longer counts. Before there is a
/// post it is the plan that counts.
fn drilled_everywhere(run: &Run, gaps: &[Millimetres]) -> Option<Millimetres> {
    let count = u32::try_from(gaps.len()).ok()?;
    if run.posts.is_empty() {
        return None;
    }
    let mut widest = Millimetres(0.0);
    for post in &run.posts {
        for lower in 1..=count {
            widest = widest.max(mm(*post.drilled.get(&lower)?.values().max()?));
        }
    }
    Some(widest)
}

fn surface(job: &Job<'_>, run: &Run, notes: &mut Vec<String>) -> RuleSurface {
    if let Some(told) = run.surface {
        return rules::surface(told);
    }
    let said = job
        .reader
        .one(fields::RUN_SURFACE, &run.subject().to_string(), "");
    // A level floor asks for more height than a stair does.
    let level = said
        .values()
        .any(|s| rules::surface(*s) == RuleSurface::Level);
    let (taken, words) = if run.shape == Shape::Raked && !level {
        (RuleSurface::Stair, "a stair")
    } else {
        (RuleSurface::Level, "a level floor")
    };
    notes.push(format!(
        "What the run stands on {}. Taken as {words}; of the spheres for stairs and elsewhere the \
         smaller counts.",
        job.reader.untold(fields::RUN_SURFACE, &run.subject())
    ));
    taken
}

/// The lowest height that people will meet: coming floor off, and floors above the first post's.
fn height(
    job: &Job<'_>,
    run: &Run,
    notes: &mut Vec<String>,
) -> Result<Option<Millimetres>, WorkError> {
    let disputed = job.reader.blocks(fields::RUN_HEIGHT, &run.subject());
    let told = match disputed {
        true => None,
        false => slips::top(run)?,
    };
    let Some(told) = told else {
        let (height, rail) = (fields::RUN_HEIGHT, fields::RUN_RAIL);
        let why = if job.reader.blocks(height, &run.subject()) {
            job.reader.untold(height, &run.subject())
        } else {
            job.reader.untold(rail, &run.subject())
        };
        notes.push(format!("The height of the barrier {why}."));
        return Ok(None);
    };
    if let Some((_, sentence)) = slips::floor_over_top(job, run)? {
        notes.push(sentence);
        return Ok(None);
    }
    let (coming, disputed) = coming_floor(job);
    if disputed {
        notes.push(format!(
            "The coming floor is disputed: the thickest that somebody tells is taken, {}.",
            words::mm(coming.nm)
        ));
    }
    if coming.nm > 0 {
        notes.push(format!(
            "A floor covering of {} is coming: the height is taken above it, {} less.",
            words::mm(coming.nm),
            words::mm(coming.nm)
        ));
    }
    let up = towards_rail(run);
    if up.value() > 0.0 {
        notes.push(format!(
            "The floor rises to {up} above the first post's: the height is taken there."
        ));
    }
    Ok(Some(told - nm(coming.nm) - up))
}

/// The coming floor, and whether people disagree on it: then the thickest, which leaves the least
/// height.
pub(in crate::work) fn coming_floor(job: &Job<'_>) -> (Length, bool) {
    let told = job.reader.one(fields::JOB_COMING_FLOOR, &job.subject(), "");
    let thickest = told.values().max().copied();
    (thickest.unwrap_or(Length { nm: 0 }), told.blocks())
}
