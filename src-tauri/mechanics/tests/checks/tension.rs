//! Required, set, upper, and what a gauge can tell.

use mechanics::tension::{
    Gauge, ReadingState, TensionIssue, UpperKind, UpperPart, clear_from, gauge_step, issues,
    least_set, reading_state, room, safe_load, shown, shown_upper, suggested_set, upper_tension,
};
use mechanics::{Figure, Newtons, Origin};

use crate::near;

const GAUGE: Gauge = Gauge {
    error: 0.04,
    range_from: None,
    range_to: None,
};

fn limit(kind: UpperKind, newtons: f64) -> UpperPart {
    UpperPart {
        kind,
        limit: Figure::of(Newtons(newtons), Origin::Maker),
    }
}

#[test]
fn safe_load_is_breaking_times_efficiency_over_factor() {
    let load = safe_load(
        &Figure::of(Newtons(8500.0), Origin::Maker),
        &Figure::of(0.65, Origin::Maker),
        &Figure::of(3.0, Origin::Designer),
    )
    .unwrap();
    near(load.value.value(), 1841.7, 0.05);
    assert_eq!(load.origin, Origin::Computed);
    assert_eq!(load.source.as_deref(), Some("8500 N × 0.65 ÷ 3"));
    let of = |breaking, efficiency, factor| {
        safe_load(
            &Figure::of(Newtons(breaking), Origin::Maker),
            &Figure::of(efficiency, Origin::Maker),
            &Figure::of(factor, Origin::Designer),
        )
    };
    assert!(
        of(8500.0, 65.0, 3.0).is_err(),
        "a percentage typed as a share"
    );
    assert!(of(8500.0, 0.65, 0.3).is_err());
    assert!(of(0.0, 0.65, 3.0).is_err());
}

#[test]
fn the_least_part_governs_and_unknown_parts_are_named() {
    let upper = upper_tension(&[
        limit(UpperKind::Terminal, 1842.0),
        limit(UpperKind::GaugeRange, 5000.0),
        limit(UpperKind::Post, 1800.0),
    ])
    .unwrap()
    .unwrap();
    assert_eq!(upper.limit, Newtons(1800.0));
    assert_eq!(upper.governed_by, UpperKind::Post);
    assert_eq!(upper.parts.len(), 3);
    assert_eq!(
        upper.not_known,
        [UpperKind::Strand, UpperKind::Insert, UpperKind::Thread]
    );
    assert_eq!(upper_tension(&[]).unwrap(), None);
    assert!(upper_tension(&[limit(UpperKind::Post, 0.0)]).is_err());
}

#[test]
fn three_states_of_a_reading() {
    let state = |newtons| reading_state(Newtons(newtons), Newtons(1330.0), 0.04).unwrap();
    assert_eq!(state(1385.0), ReadingState::Clear);
    assert_eq!(state(1384.0), ReadingState::AtTheMark);
    assert_eq!(state(1330.0), ReadingState::AtTheMark);
    assert_eq!(state(1329.9), ReadingState::Below);
    let without_error = reading_state(Newtons(1330.0), Newtons(1330.4), 0.0).unwrap();
    assert_eq!(without_error, ReadingState::Below);
    assert!(reading_state(Newtons(-1.0), Newtons(1330.0), 0.04).is_err());
}

#[test]
fn figures_are_shown_as_the_gauge_can_tell() {
    // 4 % of 1463 N is 58.5 N: steps of 50.
    assert_eq!(gauge_step(Newtons(1463.0), 0.04).unwrap(), Newtons(50.0));
    assert_eq!(shown(Newtons(1463.0), 0.04).unwrap(), Newtons(1450.0));
    assert_eq!(shown_upper(Newtons(1841.7), 0.04).unwrap(), Newtons(1800.0));
    assert_eq!(shown_upper(Newtons(1899.0), 0.04).unwrap(), Newtons(1850.0));
    assert_eq!(gauge_step(Newtons(300.0), 0.01).unwrap(), Newtons(2.0));
    assert_eq!(gauge_step(Newtons(10.0), 0.0).unwrap(), Newtons(1.0));
    assert!(gauge_step(Newtons(1463.0), 4.0).is_err(), "4 typed for 4 %");
}

#[test]
fn least_set_covers_loss_and_gauge() {
    assert_eq!(
        least_set(Newtons(1330.0), Newtons(0.0), 0.04).unwrap(),
        Newtons(1400.0)
    );
    // (1330 + 100) ÷ 0.96 = 1489.6 → 1500 in steps of 50.
    assert_eq!(
        least_set(Newtons(1330.0), Newtons(100.0), 0.04).unwrap(),
        Newtons(1500.0)
    );
    assert!(least_set(Newtons(1330.0), Newtons(-1.0), 0.04).is_err());
}

#[test]
fn a_narrow_room_is_not_left_by_rounding() {
    // 1210 ÷ 0.96 = 1260.4; 1340 ÷ 1.04 = 1288.5 and 1345 ÷ 1.04 = 1293.3; 4 % of 1210: steps of 20.
    for upper in [1340.0, 1345.0] {
        let set = suggested_set(Newtons(1210.0), Newtons(0.0), Newtons(upper), 0.04).unwrap();
        assert_eq!(set, Some(Newtons(1280.0)), "{upper}");
    }
    // 1310 asks for 1364.6 with 100 N lost: no room for that.
    let set = suggested_set(Newtons(1210.0), Newtons(100.0), Newtons(1345.0), 0.04).unwrap();
    assert_eq!(set, None);
}

#[test]
fn no_room_under_the_upper_tension() {
    // 1725 ÷ 0.96 = 1797 (1796.9), upper 1800.
    assert_eq!(clear_from(Newtons(1725.0), 0.04).unwrap(), Newtons(1797.0));
    let tight = room(Newtons(1725.0), Newtons(1800.0), 0.04).unwrap();
    assert!(!tight.enough);
    assert_eq!(tight.clear_to, Newtons(1730.0));
    let wide = room(Newtons(1330.0), Newtons(1800.0), 0.04).unwrap();
    assert!(wide.enough);
    assert_eq!(wide.clear_from, Newtons(1385.0));
    let found = issues(Newtons(1725.0), Newtons(1797.0), Newtons(1800.0), &GAUGE).unwrap();
    assert!(
        matches!(found[0], TensionIssue::NoRoom { ref sentence, .. } if sentence.contains("1797 N"))
    );
    assert!(matches!(found[1], TensionIssue::GaugeMayExceedUpper { .. }));
}

#[test]
fn set_above_upper_or_not_clear_or_outside_the_gauge() {
    let of = |required, set, gauge: &Gauge| {
        issues(Newtons(required), Newtons(set), Newtons(1800.0), gauge).unwrap()
    };
    assert_eq!(of(1330.0, 1500.0, &GAUGE), []);
    let above = of(1330.0, 1850.0, &GAUGE);
    assert!(matches!(
        above[..],
        [TensionIssue::SetAboveUpper {
            by: Newtons(50.0),
            ..
        }]
    ));
    let low = of(1330.0, 1350.0, &GAUGE);
    assert!(matches!(
        low[..],
        [TensionIssue::SetNotClear {
            by: Newtons(35.0),
            ..
        }]
    ));
    let small = Gauge {
        range_to: Some(Newtons(1000.0)),
        ..GAUGE
    };
    assert!(matches!(
        of(1330.0, 1500.0, &small)[..],
        [TensionIssue::OutsideGauge { .. }]
    ));
}
