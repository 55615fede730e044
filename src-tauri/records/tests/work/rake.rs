//! A mass hung on a rake: the careful side of the tension that it tells and of the table.

use records::model::fields;
use records::model::values::Deflection;
use records::subject::Subject;
use records::work::{odd_deflection, tensions};

use crate::near;
use crate::readings::by_mass;
use crate::scene::measured;

/// By the exact form at a span of 1209.15 mm along the slope (scenario), 2·g·cos 35.45° = 15.98 N across the
/// wire and the worked strand's EA of 794 597 N.
#[test]
fn a_mass_hung_on_a_rake_pulls_across_the_wire_with_its_cosine_alone() {
    let mut s = measured();
    let b = s.b;
    let bay = s.bay_place("A6", "B2");
    let deflection = Deflection {
        nm: 3_600_000,
        mass_mg: 2_000_000,
    };
    let wire = Subject::Wire(b, 4);
    s.say(
        fields::WIRE_DEFLECTION,
        &wire,
        &bay,
        deflection,
        Some(by_mass()),
    );
    let found = s.with_job(|job| tensions(job, b).unwrap());
    let check = &found.lines[3].deflections[0];
    let slope = (178.0_f64 / 250.0).atan();
    let (half, down, ea) = (985.0 / slope.cos() / 2.0, 3.6, 794_597.0);
    let side = f64::hypot(half, down);
    let pulled = 2.0 * 9.806_65 * slope.cos() * side / (2.0 * down);
    let gripped = pulled - ea * (side - half) / half;
    near(check.gripped_n.unwrap(), gripped, 1.0);
    assert!(
        check
            .sentence
            .contains("square to the wire; held plumb it would tell at least 23 % more"),
        "{}",
        check.sentence
    );
    // 3.6 mm square to the wire are 4.42 plumb, of the table's 5 in hand by 0.58; 4.2 are over it.
    near(check.margin_mm.unwrap(), 5.0 - 3.6 / slope.cos(), 1e-9);
    assert!(
        check.sentence.contains("counts as 4.4 mm"),
        "{}",
        check.sentence
    );
    let more = Deflection {
        nm: 4_200_000,
        mass_mg: 2_000_000,
    };
    s.say(fields::WIRE_DEFLECTION, &wire, &bay, more, Some(by_mass()));
    let found = s.with_job(|job| tensions(job, b).unwrap());
    let mut checks = found.lines[3].deflections.iter();
    let over = checks.find(|c| c.deflection_mm > 4.0).unwrap();
    assert!(over.margin_mm.unwrap() < 0.0, "{over:?}");
    // 3.2 mm read square is 1500 N; read plumb it is more than the upper 1800, and that is asked about.
    let asked = |s: &mut crate::scene::Scene, um: i64| {
        let read = Deflection {
            nm: um * 1000,
            mass_mg: 2_000_000,
        };
        s.with_job(|job| odd_deflection(job, b, 4, &bay, read).unwrap())
    };
    assert_eq!(asked(&mut s, 3600), None);
    assert!(
        asked(&mut s, 2400)
            .unwrap()
            .contains("over the upper tension")
    );
}
