//! Posts by themselves: section, material, base, joint, condition, floor level.

use super::super::facts::{Facts, RunShape, Survey};
use super::super::object::{Bounds, Object, Typed};
use super::thing;
use crate::model::fields;
use crate::model::values::{
    BaseFixing, Condition, Material, RailJoint, Section, Support, SupportKind,
};
use crate::subject::ItemKind;

pub(super) fn posts(root: &Object<'_>, survey: &mut Survey) {
    for (path, node) in root.list("posts") {
        let Some(object) = Object::open(node, path, root.log) else {
            continue;
        };
        thing(&object, ItemKind::Post, survey, |facts, _| {
            post(facts);
            RunShape::default()
        });
        object.end();
    }
}

fn post(facts: &mut Facts<'_, '_>) {
    section(facts);
    material(facts);
    base(facts);
    support(facts);
    facts.word("railJoint", fields::POST_RAIL_JOINT, RailJoint::ALL);
    facts.word("condition", fields::POST_CONDITION, Condition::ALL);
    facts.length("floor", fields::POST_FLOOR, Bounds::Level);
    facts.openings(fields::POST_OPENING);
    facts.notes(fields::POST_NOTE);
}

fn section(facts: &mut Facts<'_, '_>) {
    let Some(one) = facts.object.object("section") else {
        return;
    };
    let along = one.must("along", one.length("along", Bounds::Size));
    let across = one.must("across", one.length("across", Bounds::Size));
    let wall = one.length("wall", Bounds::Size);
    let solid = one.flag("solid");
    one.end();
    if let (Some(along), Some(across)) = (along, across) {
        let section = Section {
            along_nm: along.length.nm,
            across_nm: across.length.nm,
            wall_nm: wall.as_ref().map(|w| w.length.nm),
            solid,
        };
        let wall = wall.map_or_else(String::new, |w| format!(", wall {}", w.entered));
        let entered = format!("{} along, {} across{wall}", along.entered, across.entered);
        let entered = Some(entered);
        facts.say("section", fields::POST_SECTION, Some(section), entered);
    }
}

fn material(facts: &mut Facts<'_, '_>) {
    let Some(one) = facts.object.object("material") else {
        return;
    };
    let name = one.must("name", one.text("name"));
    let modulus_mpa = one.whole("modulusMpa", 1, 10_000_000);
    let modulus_origin = one.text("modulusOrigin");
    if modulus_mpa.is_some() && one.node("modulusOrigin").is_none() {
        one.refuse("modulusOrigin", "is missing; say where the modulus is from");
    }
    let bending_mpa = one.whole("bendingMpa", 1, 3_000);
    let bending_origin = one.text("bendingOrigin");
    if bending_mpa.is_some() && one.node("bendingOrigin").is_none() {
        one.refuse(
            "bendingOrigin",
            "is missing; say where the bending strength is from",
        );
    }
    let (grade, treatment) = (one.text("grade"), one.text("treatment"));
    let moisture_permille = one.decimal("moisturePercent", 1, 0, 5000);
    one.end();
    let material = name.map(|name| Material {
        name,
        grade,
        treatment,
        modulus_mpa,
        modulus_origin,
        bending_mpa,
        bending_origin,
        moisture_permille,
    });
    facts.say("material", fields::POST_MATERIAL, material, None);
}

fn base(facts: &mut Facts<'_, '_>) {
    let Some(one) = facts.object.object("base") else {
        return;
    };
    let kind = one.must("kind", one.text("kind"));
    let bolts = one.whole("bolts", 1, 1000);
    let spacing = one.length("spacing", Bounds::Size);
    let turning = one.whole("turningNMPerRad", 1, 1_000_000_000);
    let turning_origin = one.text("turningOrigin");
    if turning.is_some() && one.node("turningOrigin").is_none() {
        one.refuse(
            "turningOrigin",
            "is missing; say where the base's turning stiffness is from",
        );
    }
    let seen = one.must("seen", one.flag("seen"));
    one.end();
    if let (Some(kind), Some(seen)) = (kind, seen) {
        let base = BaseFixing {
            kind,
            bolts: bolts.and_then(|n| u32::try_from(n).ok()),
            spacing_nm: spacing.as_ref().map(|s| s.length.nm),
            turning_nm_per_rad: turning,
            turning_origin,
            seen,
        };
        let entered = spacing.map(|s| format!("spacing {}", s.entered));
        facts.say("base", fields::POST_BASE, Some(base), entered);
    }
}

fn support(facts: &mut Facts<'_, '_>) {
    let Some(one) = facts.object.object("support") else {
        return;
    };
    let kind = one.must("kind", one.word("kind", SupportKind::ALL));
    let counts_as_post = one.flag("countsAsPost");
    let confirmed_by = one.text("confirmedBy");
    let substrate = one.text("substrate");
    let embedment = one.length("embedment", Bounds::Size);
    let edge = one.length("edge", Bounds::Size);
    let clear = one.length("gateClear", Bounds::Size);
    let leaf = one.length("gateLeaf", Bounds::Size);
    let thick = one.length("gateLeafThick", Bounds::Size);
    let hinges = one.length("gateHingeGap", Bounds::Gap);
    one.end();
    let nm = |told: &Option<Typed>| told.as_ref().map(|t| t.length.nm);
    let support = kind.map(|kind| Support {
        kind,
        counts_as_post,
        confirmed_by,
        substrate,
        embedment_nm: nm(&embedment),
        edge_nm: nm(&edge),
        // A file names posts, and the post across may come after this one: it is told on the screens.
        gate_across: None,
        gate_clear_nm: nm(&clear),
        gate_leaf_nm: nm(&leaf),
        gate_leaf_thick_nm: nm(&thick),
        gate_hinge_gap_nm: nm(&hinges),
    });
    let typed = [
        ("embedment", embedment),
        ("edge", edge),
        ("gate clear", clear),
        ("leaf", leaf),
        ("leaf thick", thick),
        ("hinge gap", hinges),
    ];
    let entered: Vec<String> = typed
        .into_iter()
        .filter_map(|(name, told)| Some(format!("{name} {}", told?.entered)))
        .collect();
    let entered = (!entered.is_empty()).then(|| entered.join(", "));
    facts.say("support", fields::POST_SUPPORT, support, entered);
}
