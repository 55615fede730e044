//! What stands beside a proposal: its bays, the floor, posts that two runs share, the stair.

use mechanics::assessment::Taken;
use mechanics::rules::{OpeningPlace, OpeningRule};
use mechanics::spacing::{
    BayToRead, FloorAsk, FloorBase, FloorPoint, StairAsk, WireLayout, bay_margins, floor_gaps,
    highest_line, stair_triangle,
};
use mechanics::{Degrees, MechanicsError, Millimetres, slope};

use super::Ground;
use super::answer::{BayAtSpacing, FloorAt, SharedPost, StairAt};
use crate::job::{PostInRun, Run};
use crate::model::fields;
use crate::model::values::{Shape, Surface};
use crate::work::WorkError;
use crate::work::convert::{mm, nm};
use crate::work::levels::{agreed, low_spots};
use crate::work::ordering::outcome;
use crate::work::shared_post::{least_wood, sentence, shared_with};

/// A clear distance as the wire runs.
pub(super) fn along(
    clear: Millimetres,
    taken: Taken,
    slope: Degrees,
) -> Result<Millimetres, MechanicsError> {
    match taken {
        Taken::LevelOrPlumb => slope::along(clear, slope),
        Taken::AsTheWire => Ok(clear),
    }
}

/// Every bay at a spacing square to the wires.
pub(super) fn bays(
    ground: &Ground<'_>,
    spacing: Millimetres,
) -> Result<Vec<BayAtSpacing>, WorkError> {
    let bays: Vec<BayToRead> = ground
        .bays
        .iter()
        .map(|(name, clear)| BayToRead {
            label: name.clone(),
            clear: *clear,
        })
        .collect();
    let read = bay_margins(&ground.set, ground.diameter, ground.lay, spacing, &bays)?;
    Ok(read
        .into_iter()
        .zip(&bays)
        .map(|(bay, asked)| BayAtSpacing {
            name: bay.label,
            clear_mm: asked.clear.value(),
            outcome: outcome(&bay.row.outcome),
            least_tension_n: bay.row.outcome.limit().map(|n| n.value()),
            in_hand_mm: bay.in_hand.map(Millimetres::value),
            over_mm: bay.over.map(Millimetres::value),
            costs_n: bay.costs.map(|n| n.value()),
            sentence: bay.sentence,
        })
        .collect())
}

/// The gap below the bottom wire at each post and low spot of a level run, following the floor and drilled level.
pub(super) fn floor(
    ground: &Ground<'_>,
    bottom: Millimetres,
) -> Result<(Vec<FloorAt>, Option<String>), WorkError> {
    let run = ground.run;
    if run.shape != Shape::Level || bottom.value() <= 0.0 {
        return Ok((Vec::new(), None));
    }
    let points = match points(run) {
        Ok(points) => points,
        Err(why) => return Ok((Vec::new(), why)),
    };
    let told = ground
        .job
        .reader
        .one(fields::JOB_COMING_FLOOR, &ground.job.subject(), "");
    let ask = |base| FloorAsk {
        points: points.clone(),
        base,
        bottom_wire: bottom,
        diameter: ground.diameter,
        top: None,
        coming_floor: told.values().max().map_or(Millimetres(0.0), |l| mm(*l)),
        sphere: ground.sphere,
    };
    let follows = floor_gaps(&ask(FloorBase::FollowsFloor))?;
    let level = floor_gaps(&ask(FloorBase::Level))?;
    let sentence = format!(
        "Following the floor: {} Drilled level from {}: {}",
        follows.sentence,
        points
            .first()
            .map_or("the first post", |p| p.label.as_str()),
        level.sentence
    );
    let found = follows
        .gaps
        .into_iter()
        .zip(level.gaps)
        .map(|(follows, level)| {
            let counts = match run.follows_floor {
                Some(true) => &follows,
                Some(false) => &level,
                None if level.clear > follows.clear => &level,
                None => &follows,
            };
            FloorAt {
                counts_mm: counts.clear.value(),
                counts_passes: counts.passes,
                name: follows.label.clone(),
                clear_mm: follows.clear.value(),
                clear_later_mm: follows.clear_later.value(),
                level_mm: level.clear.value(),
                passes: follows.passes,
                level_passes: level.passes,
            }
        })
        .collect();
    Ok((found, Some(sentence)))
}

/// The posts of a run with their floors; else why not, where some are told and some are not.
fn points(run: &Run) -> Result<Vec<FloorPoint>, Option<String>> {
    let told = run.posts.iter().filter(|p| p.floor.is_some()).count();
    if told == 0 || run.posts.len() < 2 {
        return Err(None);
    }
    let without: Vec<&str> = run
        .posts
        .iter()
        .filter(|p| p.floor.is_none())
        .map(|p| p.name.as_str())
        .collect();
    if !without.is_empty() {
        return Err(Some(format!(
            "The floor level at {} is not told: the gap below the bottom wire is left out.",
            without.join(", ")
        )));
    }
    let point = |post: &PostInRun| {
        Some(FloorPoint {
            label: post.name.clone(),
            along: mm(*post.position.shown()?),
            level: agreed(run, post)?,
            post: true,
        })
    };
    let between = low_spots(run).into_iter().map(|spot| FloorPoint {
        label: spot.label,
        along: spot.along,
        level: spot.low,
        post: false,
    });
    let mut points: Vec<FloorPoint> = run.posts.iter().filter_map(point).collect();
    points.extend(between);
    points.sort_by(|a, b| a.along.value().total_cmp(&b.along.value()));
    let rising = points
        .iter()
        .zip(points.iter().skip(1))
        .all(|(a, b)| b.along > a.along);
    if rising {
        Ok(points)
    } else {
        Err(Some(
            "Two posts stand in one place: the gap below the bottom wire is left out.".to_owned(),
        ))
    }
}

/// Posts that another run shares: how far this one has to move so that holes keep wood between.
pub(super) fn shared(
    ground: &Ground<'_>,
    layout: &WireLayout,
) -> Result<Vec<SharedPost>, WorkError> {
    let (job, run) = (ground.job, ground.run);
    let way = (ground.step, layout.spacing_plumb);
    let mut found = Vec::new();
    for post in &run.posts {
        for with in shared_with(job, (run, &layout.heights), post, way)? {
            found.push(SharedPost {
                post: post.name.clone(),
                post_id: post.id,
                stays: with.other.name.clone(),
                close: u32::try_from(with.told.close.len()).unwrap_or(u32::MAX),
                wood_mm: least_wood(job).value(),
                up_mm: with.told.up.map(Millimetres::value),
                down_mm: with.told.down.map(Millimetres::value),
                aside_mm: with.told.aside.map(Millimetres::value),
                sentence: sentence(post, &with),
            });
        }
    }
    Ok(found)
}

/// The stair's triangle below a bottom wire; none where the run is no stair.
pub(super) fn stair(
    ground: &Ground<'_>,
    bottom: Millimetres,
) -> Result<Option<StairAt>, WorkError> {
    let run = ground.run;
    let a_stair = run.shape == Shape::Raked && run.surface.is_none_or(|s| s == Surface::Stair);
    let Some(stair) = run.slope.filter(|_| a_stair) else {
        return Ok(None);
    };
    // The wire's lower edge, plumb: half a wire square to it.
    let half = slope::plumb(ground.diameter / 2.0, ground.slope)?;
    let ask = StairAsk {
        riser: nm(stair.rise_nm),
        going: nm(stair.going_nm),
        overhang: ground.overhang.unwrap_or_default(),
        line: (bottom - half).max(Millimetres(0.0)),
    };
    let triangle = stair_triangle(&ask)?;
    let rule: Option<&OpeningRule> = ground
        .set
        .openings
        .iter()
        .find(|rule| rule.place == OpeningPlace::StairTriangle);
    let sphere = rule.map(|rule| rule.sphere_mm);
    let below = match sphere {
        Some(sphere) => highest_line(&ask, sphere)?.map(|line| line + half),
        None => None,
    };
    let passes = sphere
        .is_some_and(|sphere| triangle.sphere.whole_nanometres() >= sphere.whole_nanometres());
    // Told to a tenth, and never as more than it is.
    let tenth = |l: Millimetres| Millimetres((l.value() * 10.0 + 1e-6).floor() / 10.0);
    let held = match (sphere, below.map(tenth)) {
        (None, _) => " The rule set names no sphere for the triangle.".to_owned(),
        (Some(sphere), None) => {
            format!(" A sphere of {sphere} passes whatever the height of the bottom wire.")
        }
        (Some(sphere), Some(below)) => format!(
            " The rule set names {sphere} there: the middle of the bottom wire stands below {below} \
             or it passes."
        ),
    };
    Ok(Some(StairAt {
        sphere_mm: triangle.sphere.value(),
        above_nosings_mm: triangle.above_nosings.value(),
        rule_sphere_mm: sphere.map(Millimetres::value),
        passes,
        below_mm: below.map(Millimetres::value),
        sentence: format!("{}{held}", triangle.sentence),
    }))
}
