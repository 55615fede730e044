//! Tables that ask less for a longer bay or a wider spacing: every such place is asked about, and
//! where none is asked about none is there. Figures: Australia 11.3.6, tables a to c, read.

use mechanics::Millimetres;
use mechanics::rules::{
    OpeningPlace, Outcome, RuleSet, Surface, look_up_tension, opening, questions, sphere_beside,
};
use mechanics::strand::Construction;
use proptest::prelude::*;
use serde_json::{Value, json};

use crate::{all_sets, au, irc};

fn with(at: &str, value: Value) -> RuleSet {
    let mut set = serde_json::to_value(au()).unwrap();
    *set.pointer_mut(at).unwrap() = value;
    serde_json::from_value(set).unwrap()
}

/// Where a line of the table of tensions stands: `/wires/tension/lines/<n>`.
fn line(diameter: f64, lay: Construction, spacing: f64) -> String {
    let table = au().wires.unwrap().tension.unwrap();
    let is = |l: &mechanics::rules::TensionLine| {
        l.diameter_mm == Millimetres(diameter)
            && l.lay == lay
            && l.spacing_mm == Millimetres(spacing)
    };
    let n = table.lines.iter().position(is).unwrap();
    format!("/wires/tension/lines/{n}")
}

#[test]
fn printed_tables_ask_nothing() {
    let sets = all_sets();
    assert_eq!(sets.len(), 6);
    for set in sets {
        assert_eq!(questions(&set), Vec::<String>::new(), "{}", set.id);
    }
}

#[test]
fn a_slip_is_named_with_both_places_that_ask_more() {
    let row = line(3.0, Construction::OneByNineteen, 80.0);
    // Column 5 is 1500 mm: 1330 N. The row before it asks 1025 N at 1200, the closer one 790 N.
    let asked = questions(&with(&format!("{row}/leastN/5"), json!(133)));
    assert_eq!(
        asked,
        [
            "wires.tension, wire 3 mm 1x19, spacing 80 mm, post distance 1500 mm: 133 N asks less \
             than 1025 N at post distance 1200 mm and than 790 N at spacing 60 mm."
        ]
    );
    // A nought too many shows at what comes after it.
    let asked = questions(&with(&format!("{row}/leastN/4"), json!(10_250)));
    assert_eq!(asked.len(), 1, "{asked:?}");
    assert!(asked[0].contains("1330 N asks less than 10250 N at post distance 1200 mm"));
    // Not allowed asks the most.
    let asked = questions(&with(&format!("{row}/leastN/0"), json!("X")));
    assert!(asked[0].contains("555 N asks less than X at post distance 600 mm"));
}

#[test]
fn deflections_vertical_wires_and_thicker_rows_are_looked_at_too() {
    for (at, value, words) in [
        // 3.0 mm at 60: 19, 13, 8 mm; a larger deflection asks less.
        (
            "/wires/deflection/lines/2/mostMm/2",
            json!(80),
            "80 mm asks less than 13 mm at post distance 900 mm",
        ),
        (
            "/wires/deflection/lines/3/mostMm/0",
            json!(20),
            "20 mm asks less than 19 mm at spacing 60 mm",
        ),
        // 2.5 mm 7x19: 145, 310, 610 N at 80, 100, 110 mm.
        (
            "/wires/continuousVertical/lines/2/leastN",
            json!(61),
            "61 N asks less than 310 N at spacing 100 mm",
        ),
        (
            "/wires/readDiameterAs/0/rowsMm",
            json!(4.0),
            "a wire of 3.2 mm is read in the rows of 4 mm, a thicker one",
        ),
    ] {
        let asked = questions(&with(at, value));
        assert!(asked.iter().any(|q| q.contains(words)), "{at}: {asked:?}");
    }
    // A table upside down is told short.
    let mut upside = au();
    let table = upside.wires.as_mut().unwrap().tension.as_mut().unwrap();
    for row in &mut table.lines {
        row.least_n.reverse();
    }
    let asked = questions(&upside);
    assert_eq!(asked.len(), 7);
    assert!(asked[6].starts_with("So do "), "{asked:?}");
}

proptest! {
    /// Whatever stands in one cell: where a longer bay or a wider spacing asks for less, it is asked
    /// about.
    #[test]
    fn whatever_asks_less_for_more_is_asked_about(
        cell in 0_usize..9, n in 1.0..4000.0_f64,
        spacing in 1.0..100.0_f64, wider in 0.0..60.0_f64,
        clear in 100.0..2500.0_f64, longer in 0.0..1200.0_f64,
    ) {
        let row = line(3.0, Construction::OneByNineteen, 80.0);
        let set = with(&format!("{row}/leastN/{cell}"), json!(n));
        let asks = |spacing: f64, clear: f64| {
            let row = look_up_tension(
                &set, Millimetres(3.2), Construction::OneByNineteen,
                Millimetres(spacing), Millimetres(clear),
            ).unwrap();
            match row.outcome {
                Outcome::Figure { limit } => limit.value(),
                _ => f64::INFINITY,
            }
        };
        let here = asks(spacing, clear);
        let less = asks(spacing + wider, clear) < here || asks(spacing, clear + longer) < here;
        prop_assert!(!less || !questions(&set).is_empty());
    }
}

/// United States, IRC 2018: 4 in elsewhere, 4 3/8 in at the open side of a stair (R312.1.3).
#[test]
fn the_sphere_is_chosen_by_what_people_stand_on() {
    let set = irc();
    let mm = |surface| sphere_beside(&set, surface).unwrap().sphere_mm.value();
    assert_eq!(mm(Some(Surface::Level)), 101.6);
    assert_eq!(mm(Some(Surface::Ramp)), 101.6);
    assert_eq!(mm(Some(Surface::Stair)), 111.125);
    assert_eq!(mm(None), 101.6, "not told: the smaller");
    let mut other = set.clone();
    let stair = |r: &&mut mechanics::rules::OpeningRule| r.place == OpeningPlace::Stair;
    other.openings.iter_mut().find(stair).unwrap().sphere_mm = Millimetres(90.0);
    assert_eq!(
        sphere_beside(&other, None),
        opening(&other, OpeningPlace::Stair)
    );
}
