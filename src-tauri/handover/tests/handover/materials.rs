//! Figures of strand and fittings in the document, each with where it is from.

use records::model::context::Said;
use records::model::fields::*;
use records::model::values::{Efficiency, Force, Length};
use records::subject::{ItemKind, Subject};

use crate::common::site;
use crate::common::told;
use crate::told::{flat, section};

#[test]
fn each_figure_of_a_fitting_set_stands_with_its_own_origin() {
    let mut built = site::build("Deck and stair");
    let set = built.site.with(|source| source.job.fitting_sets[0].id);
    let set = Subject::Item(ItemKind::FittingSet, set);
    let said = |origin: &str| Said {
        origin: Some(origin.to_owned()),
        ..Said::default()
    };
    let efficiency = Efficiency {
        permille: 650,
        factor_percent: 300,
    };
    let both = said("terminal efficiency: sheet 7; factor: the designer");
    let site = &mut built.site;
    site.one(told(FITTING_EFFICIENCY, &set, "", &efficiency, &both));
    let hole = Length::mm(9);
    site.one(told(
        FITTING_THROUGH_HOLE,
        &set,
        "",
        &hole,
        &said("measured"),
    ));
    let pull = Force::newtons(4000);
    site.one(told(FITTING_INSERT_PULL, &set, "", &pull, &Said::default()));
    let text = flat(&mut built);
    let part = section(&text, "with the origin of each figure", "5 Tools");
    for stands in [
        // Both hands are alike: told once, those of one origin together.
        "LH and RH insert: overall 72 mm, wire in 32 mm, thread 30 mm, hole 9 mm, depth of the hole 42 mm \
         (example figure, no source);",
        "growth on pressing 0 mm (assumed: no growth on pressing; measure it on the sample crimp)",
        "lock nut 3.2 mm (from memory: height of a thin M6 nut)",
        "pitch 1 mm (metric coarse thread, ISO 261)",
        "Hole through posts 9 mm (measured)",
        "Terminal efficiency 0.65 (sheet 7), factor 3 (the designer)",
        "Pull that an insert holds 4000 N (origin not told)",
    ] {
        assert!(part.contains(stands), "{stands} in {part}");
    }
    // Told anew with one origin, it is that of both.
    let again = built.site.tips(&set, FITTING_EFFICIENCY.name, "");
    let mut draft = told(FITTING_EFFICIENCY, &set, "", &efficiency, &said("sheet 8"));
    draft.over = again;
    built.site.one(draft);
    // Of a hand that differs both are told, and one without an origin of its own has the set's.
    let mut terminals = built
        .site
        .with(|source| source.job.fitting_sets[0].terminals.clone())
        .unwrap();
    terminals.right.lock_nut_nm = Some(4_000_000);
    terminals.origins.remove("right.lockNutNm");
    terminals.origin = "sheet 9".to_owned();
    let mut draft = told(FITTING_TERMINALS, &set, "", &terminals, &Said::default());
    draft.over = built.site.tips(&set, FITTING_TERMINALS.name, "");
    built.site.one(draft);
    let text = flat(&mut built);
    let part = section(&text, "with the origin of each figure", "5 Tools");
    for stands in [
        "Terminal efficiency 0.65, factor 3 (both figures: sheet 8)",
        "LH insert: overall 72 mm",
        "RH insert: overall 72 mm",
        "lock nut 4 mm (sheet 9)",
    ] {
        assert!(part.contains(stands), "{stands} in {part}");
    }
}
