//! Runs with their wires, rail and tensions, and which posts stand where in them.

use super::super::facts::{Fact, Facts, InRun, RunShape, Survey, TensionRow};
use super::super::object::{Bounds, Object, Typed, length_node};
use super::super::problem::shown;
use super::site::from_library;
use super::thing;
use crate::model::values::{
    End, EndKind, FaceSide, Hand, Lining, PostRole, Rail, Shape, Slope, Surface, Tensions,
    WireHeights,
};
use crate::model::{entered, fields};
use crate::subject::{ItemKind, MOST_WIRES};

/// Most newtons that any tension of a wire may have here.
const MOST_MN: i64 = 1_000_000_000;

pub(super) fn runs(root: &Object<'_>, survey: &mut Survey) {
    for (path, node) in root.list("runs") {
        let Some(object) = Object::open(node, path, root.log) else {
            continue;
        };
        thing(&object, ItemKind::Run, survey, run);
        // What stands in the run is recorded by itself: a bad post does not take the run with it.
        let name = survey
            .things
            .last()
            .map_or_else(String::new, |t| t.name.clone());
        survey.in_runs.extend(posts(&object, &name));
        tensions(&object, &name, survey);
        object.end();
    }
}

fn run(facts: &mut Facts<'_, '_>, survey: &mut Survey) -> RunShape {
    let object = facts.object;
    facts.word("surface", fields::RUN_SURFACE, Surface::ALL);
    let shape = object.word("shape", Shape::ALL);
    facts.say("shape", fields::RUN_SHAPE, shape, None);
    facts.length("fall", fields::RUN_FALL, Bounds::Size);
    facts.length("height", fields::RUN_HEIGHT, Bounds::Size);
    facts.word("lining", fields::RUN_LINING, Lining::ALL);
    facts.flag("followsFloor", fields::RUN_FOLLOWS_FLOOR);
    facts.flag("railFollowsFloor", fields::RUN_RAIL_FOLLOWS_FLOOR);
    let slope = slope(facts);
    rail(facts);
    let wires = wires(facts);
    let most = wires.map_or(i64::from(MOST_WIRES), i64::from);
    let trial = object.whole("trialWire", 1, most);
    facts.say("trialWire", fields::RUN_TRIAL_WIRE, trial, None);
    for (name, kind, field) in [
        ("strand", ItemKind::Strand, fields::RUN_STRAND.name),
        (
            "fittingSet",
            ItemKind::FittingSet,
            fields::RUN_FITTING_SET.name,
        ),
    ] {
        let path = object.at(name);
        let named = object
            .text(name)
            .and_then(|key| from_library(kind, &key, &path, survey, object.log));
        facts.facts.extend(named.map(|value| Fact {
            path,
            field,
            many: false,
            place: String::new(),
            value,
            with: None,
        }));
    }
    facts.openings(fields::RUN_OPENING);
    facts.notes(fields::RUN_NOTE);
    if shape == Some(Shape::Raked) && object.node("slope").is_none() {
        object.refuse("slope", "is missing; a raked run needs its rise and going");
    }
    RunShape {
        wires,
        shape,
        slope,
    }
}

fn slope(facts: &mut Facts<'_, '_>) -> Option<Slope> {
    let one = facts.object.object("slope")?;
    let rise = one.must("rise", one.length("rise", Bounds::Size));
    let going = one.must("going", one.length("going", Bounds::Size));
    let risers = one.whole("risers", 1, 1000);
    let overhang = one.length("overhang", Bounds::Gap);
    one.end();
    let (rise, going) = (rise?, going?);
    let slope = Slope {
        rise_nm: rise.length.nm,
        going_nm: going.length.nm,
        risers: risers.and_then(|n| u32::try_from(n).ok()),
        overhang_nm: overhang.as_ref().map(|o| o.length.nm),
    };
    let mut entered = format!("rise {}, going {}", rise.entered, going.entered);
    if let Some(overhang) = overhang {
        entered.push_str(&format!(", overhang {}", overhang.entered));
    }
    facts.say("slope", fields::RUN_SLOPE, Some(slope), Some(entered));
    Some(slope)
}

fn rail(facts: &mut Facts<'_, '_>) {
    let Some(one) = facts.object.object("rail") else {
        return;
    };
    let underside = one.must("underside", one.length("underside", Bounds::Size));
    let thickness = one.must("thickness", one.length("thickness", Bounds::Size));
    // Newtons per millimetre with three decimals are newtons per metre.
    let stiffness = one.decimal("stiffness", 3, 1, 1_000_000_000_000);
    let written = stiffness.and_then(|_| one.written("stiffness"));
    let height = one.length("stiffnessHeight", Bounds::Size);
    one.end();
    if let (Some(underside), Some(thickness)) = (underside, thickness) {
        let rail = Rail {
            underside_nm: underside.length.nm,
            thickness_nm: thickness.length.nm,
            stiffness_n_per_m: stiffness,
            stiffness_height_nm: height.as_ref().map(|h| h.length.nm),
        };
        let parts = [
            Some(format!("underside {}", underside.entered)),
            Some(format!("thickness {}", thickness.entered)),
            written.map(|text| format!("stiffness {text} N/mm")),
            height.map(|h| format!("stiffness height {}", h.entered)),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        let entered = parts.join(", ");
        facts.say("rail", fields::RUN_RAIL, Some(rail), Some(entered));
    }
}

/// Heights listed, or counted from the bottom at one pitch.
fn wires(facts: &mut Facts<'_, '_>) -> Option<u32> {
    let one = facts.object.object("wires")?;
    let (heights, entered) = if one.node("heights").is_some() {
        listed(&one)
    } else {
        pitched(&one)
    };
    let count = u32::try_from(heights.len()).unwrap_or(u32::MAX);
    let rise = |pair: &[i64]| pair.first() < pair.last();
    if !heights.windows(2).all(rise) {
        one.refuse(
            "heights",
            "do not rise from the bottom; each wire must stand above the one before",
        );
    }
    if count > MOST_WIRES {
        one.refuse("heights", format!("are of more than {MOST_WIRES} wires"));
    }
    one.end();
    if count == 0 {
        return None;
    }
    let number = Some(i64::from(count));
    facts.say("wires", fields::RUN_WIRE_COUNT, number, None);
    let heights = Some(WireHeights { nm: heights });
    facts.say("wires", fields::RUN_WIRE_HEIGHTS, heights, Some(entered));
    Some(count)
}

fn listed(wires: &Object<'_>) -> (Vec<i64>, String) {
    let typed: Vec<Typed> = wires
        .list("heights")
        .into_iter()
        .filter_map(|(path, node)| length_node(node, Bounds::Size, &path, wires.log))
        .collect();
    let entered: Vec<&str> = typed.iter().map(|t| t.entered.as_str()).collect();
    let entered = entered.join(", ").chars().take(4000).collect();
    (typed.iter().map(|t| t.length.nm).collect(), entered)
}

fn pitched(wires: &Object<'_>) -> (Vec<i64>, String) {
    let count = wires.must("count", wires.whole("count", 1, i64::from(MOST_WIRES)));
    let bottom = wires.must("bottom", wires.length("bottom", Bounds::Size));
    let pitch = wires.must("pitch", wires.length("pitch", Bounds::Size));
    let (Some(count), Some(bottom), Some(pitch)) = (count, bottom, pitch) else {
        return (Vec::new(), String::new());
    };
    let height = |n| bottom.length.nm + n * pitch.length.nm;
    let entered = format!("{count} from {} every {}", bottom.entered, pitch.entered);
    ((0..count).map(height).collect(), entered)
}

fn posts(run: &Object<'_>, name: &str) -> Vec<InRun> {
    let mut found = Vec::new();
    for (path, node) in run.list("posts") {
        let Some(one) = Object::open(node, path, run.log) else {
            continue;
        };
        let before = one.log.refused();
        let mut facts = Facts::of(&one);
        let post = one.must("post", one.text("post"));
        let position = one.must("position", one.length("position", Bounds::Level));
        let role = one.must("role", one.word("role", PostRole::ALL));
        let at = position.as_ref().map(|p| p.length);
        let entered = position.map(|p| p.entered);
        facts.say("position", fields::POST_POSITION, at, entered);
        facts.say("role", fields::POST_ROLE, role, None);
        end(&mut facts);
        let facts = facts.facts;
        let (path, log) = (one.path.clone(), one.log);
        one.end();
        found.push(InRun {
            path,
            run: name.to_owned(),
            post: post.unwrap_or_default(),
            position: at,
            role,
            facts,
            whole: log.refused() == before,
        });
    }
    found
}

fn end(facts: &mut Facts<'_, '_>) {
    let Some(one) = facts.object.object("end") else {
        return;
    };
    let kind = one.must("kind", one.word("kind", EndKind::ALL));
    // An end without a thread has no hand and is tensioned nowhere: both may stay out.
    let without = kind.is_some_and(|kind| !kind.has_thread());
    let bare = |name: &'static str| without && one.node(name).is_none();
    let hand = match bare("hand") {
        true => Some(Hand::Right),
        false => one.must("hand", one.word("hand", Hand::ALL)),
    };
    let tensioner = match bare("tensioner") {
        true => Some(false),
        false => one.must("tensioner", one.flag("tensioner")),
    };
    let angled_seat = one.flag("angledSeat").unwrap_or(false);
    let aside = one.length("aside", Bounds::Level);
    let other_enters = one.word("otherEnters", FaceSide::ALL);
    one.end();
    if let (Some(kind), Some(hand), Some(tensioner)) = (kind, hand, tensioner) {
        let end = End {
            kind,
            hand,
            tensioner,
            angled_seat,
            aside_nm: aside.as_ref().map(|a| a.length.nm),
            other_enters,
        };
        let entered = aside.map(|a| format!("holes {} off the middle", a.entered));
        facts.say("end", fields::POST_END, Some(end), entered);
    }
}

fn tensions(run: &Object<'_>, name: &str, survey: &mut Survey) {
    let Some(one) = run.object("tensions") else {
        return;
    };
    let force = |field| one.must(field, one.decimal(field, 3, 1, MOST_MN));
    let (required, set, upper) = (force("required"), force("set"), force("upper"));
    let text = |field| one.must(field, one.text(field));
    let (required_origin, upper_origin) = (text("requiredOrigin"), text("upperOrigin"));
    let (mut passes, mut written) = (Vec::new(), Vec::new());
    for (path, node) in one.list("passes") {
        match node {
            super::super::tree::Node::Number(text) => match entered::decimal(text, 3) {
                Some(mn) => {
                    passes.push(mn);
                    written.push(entered::said_force(text));
                }
                None => one.log.refuse(
                    &path,
                    format!(
                        "{:?} is no number of newtons; write one like 600",
                        shown(text)
                    ),
                ),
            },
            other => one.log.refuse(
                &path,
                format!("here stands {}; write newtons", other.sort()),
            ),
        }
    }
    let path = one.path.clone();
    if let (Some(set), Some(upper)) = (set, upper)
        && set > upper
    {
        one.refuse(
            "set",
            "is above the upper tension; lower it, or change what makes the upper one",
        );
    } else if let (Some(required_mn), Some(set_mn), Some(upper_mn)) = (required, set, upper)
        && let (Some(required_origin), Some(upper_origin)) = (required_origin, upper_origin)
    {
        let figures = ["required", "set", "upper"];
        let typed = figures.map(|name| (name, one.written(name).unwrap_or_default()));
        let mut typed: Vec<String> = typed
            .iter()
            .map(|(name, text)| format!("{name} {}", entered::said_force(text)))
            .collect();
        if !written.is_empty() {
            typed.push(format!("passes {}", written.join(", ")));
        }
        survey.tensions.push(TensionRow {
            path,
            run: name.to_owned(),
            entered: typed.join("; "),
            tensions: Tensions {
                required_mn,
                set_mn,
                upper_mn,
                required_origin,
                upper_origin,
                passes_mn: passes,
            },
        });
    }
    one.end();
}
