//! Boundaries and single figures of the rule sets; each published figure beside its clause.

use mechanics::Millimetres;
use mechanics::rules::{
    OpeningPlace, RuleSet, Status, Surface, Threshold, fall_reaches, least_height, opening,
    source_note,
};

use crate::{au, irc};

const MM_PER_INCH: f64 = 25.4;

#[test]
fn australia_fall_1000_asks_4000_not_yet_4001_climbs() {
    // ABCB Housing Provisions Standard 2022, 11.3.3(1) and 11.3.4(8), read.
    let set = au();
    let asks = |fall| fall_reaches(&set.barrier_needed, Millimetres(fall));
    assert!(asks(1000.0));
    assert!(!asks(999.0));
    assert!(!asks(999.999_999));
    let climbing = set.climbing.as_ref().unwrap();
    assert!(!fall_reaches(&climbing.fall, Millimetres(4000.0)));
    assert!(fall_reaches(&climbing.fall, Millimetres(4_000.000_001)));
    assert!(fall_reaches(&climbing.fall, Millimetres(4001.0)));
    assert_eq!(climbing.from_mm, Millimetres(150.0));
    assert_eq!(climbing.to_mm, Millimetres(760.0));
}

#[test]
fn australia_single_figures() {
    // ABCB Housing Provisions Standard 2022, 11.3.4(2), (4), (5), read.
    let set = au();
    let height = |surface| least_height(&set, surface).unwrap().least_mm.value();
    assert_eq!(height(Surface::Level), 1000.0);
    assert_eq!(height(Surface::Stair), 865.0);
    assert_eq!(height(Surface::Ramp), 865.0);
    assert_eq!(height(Surface::ShortLanding), 865.0);
    for place in [
        OpeningPlace::General,
        OpeningPlace::Stair,
        OpeningPlace::StairTriangle,
    ] {
        assert_eq!(opening(&set, place).unwrap().sphere_mm.value(), 125.0);
    }
    assert_eq!(set.face_gap.as_ref().unwrap().most_mm.value(), 40.0);
    let wires = set.wires.as_ref().unwrap();
    assert_eq!(wires.read_diameter_as[0].wire_mm.value(), 3.2);
    assert_eq!(wires.read_diameter_as[0].rows_mm.value(), 3.0);
}

#[test]
fn irc_figures_in_inches() {
    // International Residential Code 2018, R312: more than 30 in, within 36 in; 36 in and on
    // stairs 34 in high; spheres of 4 in, 4 3/8 in on stairs, 6 in in the triangle. R301.5:
    // 200 lb at the top, infill 50 lb on 1 sq ft. Read.
    let set = irc();
    let needed = &set.barrier_needed;
    assert_eq!(needed.fall_mm.value(), 30.0 * MM_PER_INCH);
    assert_eq!(needed.threshold, Threshold::MoreThan);
    assert_eq!(needed.within_mm.unwrap().value(), 914.4);
    assert!(!fall_reaches(needed, Millimetres(762.0)));
    assert!(fall_reaches(needed, Millimetres(762.1)));
    let height = |surface| least_height(&set, surface).unwrap().least_mm.value();
    assert!((height(Surface::Level) - 36.0 * MM_PER_INCH).abs() < 1e-9);
    assert!((height(Surface::Stair) - 34.0 * MM_PER_INCH).abs() < 1e-9);
    let sphere = |place| opening(&set, place).unwrap().sphere_mm.value();
    assert!((sphere(OpeningPlace::General) - 4.0 * MM_PER_INCH).abs() < 1e-9);
    assert!((sphere(OpeningPlace::Stair) - 4.375 * MM_PER_INCH).abs() < 1e-9);
    assert!((sphere(OpeningPlace::StairTriangle) - 6.0 * MM_PER_INCH).abs() < 1e-9);
    assert!(set.face_gap.is_none() && set.climbing.is_none() && set.wires.is_none());
    // 1 lbf = 4.448 221 615 260 5 N exactly; the code's own metric figures have four digits.
    assert_eq!(set.loads[0].newtons, Some(889.6));
    assert!((200.0 * 4.448_221_615_260_5_f64 - 889.6).abs() < 0.05);
    assert_eq!(set.loads[1].newtons, Some(222.4));
    assert!((50.0 * 4.448_221_615_260_5_f64 - 222.4).abs() < 0.05);
    assert_eq!(set.loads[1].over_square_metres, Some(0.0929));
}

#[test]
fn every_set_names_document_clause_status_and_caution() {
    for set in [au(), irc()] {
        assert_eq!(set.format, 1);
        assert_eq!(set.caution, "Check with the authority where you build.");
        assert!(!set.attribution.is_empty() && !set.confirm.is_empty());
        let note = source_note(&set, &set.barrier_needed.cite);
        assert_eq!(note.document, set.document);
        assert_eq!(note.status, Status::Read);
        for rule in &set.notes {
            assert!(!rule.cite.clause.is_empty());
        }
    }
    assert!(
        au().attribution
            .contains("National Construction Code 2022, Australian Building Codes Board")
    );
}

#[test]
fn sets_are_the_same_after_writing_and_reading_and_stay_small() {
    for set in [au(), irc()] {
        let compact = serde_json::to_string(&set).unwrap();
        assert!(compact.len() < 40 * 1024, "{} bytes", compact.len());
        let back: RuleSet = serde_json::from_str(&compact).unwrap();
        assert_eq!(back, set);
    }
}

#[test]
fn a_set_with_an_unknown_rule_or_a_bad_cell_is_refused() {
    let text = include_str!("../../../records/data/rules/us-irc-2018.json");
    let more = text.replacen("\"format\"", "\"newRule\": 1, \"format\"", 1);
    assert!(serde_json::from_str::<RuleSet>(&more).is_err());
    let text = include_str!("../../../records/data/rules/au-2022.json");
    for bad in ["\"Y\"", "-1", "0", "null"] {
        let broken = text.replacen("\"X\"", bad, 1);
        assert_ne!(broken, text);
        assert!(serde_json::from_str::<RuleSet>(&broken).is_err(), "{bad}");
    }
}
