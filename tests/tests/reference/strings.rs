//! Stiff strings, their partials, and a hung mass beside the finite elements of `stiff_string.py`.

use mechanics::sound::{
    BendingBounds, EndHold, FreeSpan, HungMass, Partial, SoundingLength, Supports, SwingAnswer,
    bending_bounds, fit_partials, frequency, read_swing, swing_tension,
};
use mechanics::strand::{Construction, mass_per_metre};
use mechanics::{Hertz, Kilograms, Millimetres, NewtonSquareMetres, Newtons};
use serde_json::{Value, json};

use crate::room::{Dice, Room, within};
use crate::second::{exact_clamped_frequency, swing_frequency};

/// Length in m, diameter in mm, tension in N, share of EI between slipping and solid.
const WIRES: [(f64, f64, f64, f64); 9] = [
    (1.5, 3.2, 1000.0, 0.17),
    (0.9, 3.2, 1500.0, 0.0),
    (0.9, 3.2, 1500.0, 1.0),
    (1.5, 3.2, 300.0, 1.0),
    (2.4, 3.2, 2000.0, 0.05),
    (1.2, 4.0, 1500.0, 0.5),
    (1.4, 5.0, 2500.0, 1.0),
    (1.0, 2.5, 600.0, 0.3),
    (2.0, 2.5, 1200.0, 0.02),
];

#[derive(Clone, Copy)]
struct Wire {
    sounding: SoundingLength,
    diameter: f64,
    tension: f64,
    bending: f64,
}

fn wire((metres, diameter, tension, share): (f64, f64, f64, f64)) -> Wire {
    let lay = Construction::OneByNineteen;
    let bounds = bending_bounds(Millimetres(diameter), lay).unwrap();
    let (least, most) = (bounds.slipping.value(), bounds.solid.value());
    Wire {
        sounding: SoundingLength {
            length: Millimetres(metres * 1e3),
            mass: mass_per_metre(Millimetres(diameter), lay).unwrap().value,
        },
        diameter,
        tension,
        bending: least + (most - least) * share,
    }
}

impl Wire {
    fn told(&self, ask: &str, is_clamped: bool) -> Value {
        json!({"ask": ask, "length": self.sounding.length.value() / 1e3, "mass": self.sounding.mass,
            "tension": self.tension, "bending": self.bending, "clamped": is_clamped, "count": 12})
    }

    fn ei(&self) -> NewtonSquareMetres {
        NewtonSquareMetres(self.bending)
    }

    /// ε = √(EI/T)/L.
    fn slenderness(&self) -> f64 {
        (self.bending / self.tension).sqrt() / (self.sounding.length.value() / 1e3)
    }
}

fn partials_beside_the_eigenvalues_of_elements(room: &mut Room) {
    let elements = within(
        3e-6,
        0.0,
        "240 elements leave a few millionths at the twelfth partial",
    );
    for wire in WIRES.map(wire) {
        let (of, tension) = (wire.sounding, Newtons(wire.tension));
        let all = |f: &dyn Fn(u32) -> f64| (1..=12).map(f).collect::<Vec<f64>>();
        let exact = all(&|n| exact_clamped_frequency(&of, tension, wire.ei(), n).value());
        let form = all(&|n| {
            frequency(&of, tension, wire.ei(), EndHold::Clamped, n)
                .unwrap()
                .value()
        });
        room.ask(wire.told("partials", true), move |told, found| {
            found.each("partials of a clamped wire, exact", &exact, told, elements);
            // Fletcher's form leaves out the third power of ε, which grows with the partial.
            let slim = wire.slenderness();
            for (n, (form, told)) in (1..).zip(form.iter().zip(told.as_array().unwrap())) {
                let left = 2.0 * (slim * std::f64::consts::PI * f64::from(n)).powi(2) * slim + 8.0 * slim.powi(3);
                let may = within(
                    left + 1e-5,
                    0.0,
                    "the closed form is a series in ε that ends at its square; the next terms stand here",
                );
                found.near("partials of a clamped wire, closed form", *form, told, may);
            }
        });
        let pinned = all(&|n| {
            frequency(&of, tension, wire.ei(), EndHold::Pinned, n)
                .unwrap()
                .value()
        });
        // A string that does not resist bending: its wave runs there and back in one swing of its first.
        let bare = NewtonSquareMetres(0.0);
        let first = frequency(&of, tension, bare, EndHold::Pinned, 1).unwrap();
        let speed = first.value() * 2.0 * of.length.value() / 1e3;
        room.ask(wire.told("partials", false), move |told, found| {
            found.each("partials of a pinned wire", &pinned, told, elements);
            // Of a pinned wire f² = (c·n/2L)² + what bends: two partials tell the speed.
            let square = |n: usize| (told[n - 1].as_f64().unwrap() / n as f64).powi(2);
            let bare = (square(1) * 4.0 - square(2)) / 3.0;
            let metres = of.length.value() / 1e3;
            let told = json!(bare.sqrt() * 2.0 * metres);
            found.near("speed of a wave", speed, &told, elements);
        });
    }
}

/// Partials with a small error, of which one may be no partial at all.
fn heard(wire: &Wire, ends: EndHold, last: u32, bad: Option<u32>, dice: &mut Dice) -> Vec<Partial> {
    (2..=last)
        .map(|n| {
            let tension = Newtons(wire.tension);
            let true_one = match ends {
                EndHold::Pinned => frequency(&wire.sounding, tension, wire.ei(), ends, n).unwrap(),
                EndHold::Clamped => exact_clamped_frequency(&wire.sounding, tension, wire.ei(), n),
            };
            let off = if bad == Some(n) {
                1.04
            } else {
                1.0 + dice.between(-4e-4, 4e-4)
            };
            Partial {
                number: n,
                frequency: Hertz(true_one.value() * off),
            }
        })
        .collect()
}

fn list(partials: &[Partial]) -> Vec<(u32, f64)> {
    partials
        .iter()
        .map(|p| (p.number, p.frequency.value()))
        .collect()
}

fn fits_beside_a_robust_regression(room: &mut Room) {
    let mut dice = Dice::new(12);
    for of in WIRES.map(wire) {
        // An odd number of partials, whose median is one of them.
        for (last, bad) in [(12, None), (12, Some(7)), (18, Some(3))] {
            let partials = heard(&of, EndHold::Pinned, last, bad, &mut dice);
            let ours = fit_partials(&of.sounding, &partials, None).unwrap();
            let told = json!({"ask": "fitted", "partials": list(&partials), "rounds": 100});
            room.ask(told, move |told, found| {
                let may = within(
                    2e-5,
                    0.0,
                    "both reweight until little changes: ours twelve times, the reference to its end",
                );
                let (a, b) = (told["a"].as_f64().unwrap(), told["b"].as_f64().unwrap());
                found.near("base of the partials", ours.base.value(), &json!(a.sqrt()), may);
                let slim = (b.max(0.0) / a).sqrt() / std::f64::consts::PI;
                let loose = within(
                    0.004,
                    1e-5,
                    "a small slope beside a large base: what twelve rounds leave shows here first",
                );
                found.near("slenderness of the partials", ours.slenderness, &json!(slim), loose);
                let weights = told["weights"].as_array().unwrap().iter();
                let kept = weights.filter(|w| w.as_f64().unwrap() > 0.0).count();
                found.holds("partials kept", kept == ours.used, || format!("{kept} and {}", ours.used));
            });
        }
    }
}

fn tension_of_partials_beside_a_wire_that_rings_alike(room: &mut Room) {
    let mut dice = Dice::new(13);
    for (ends, at) in [
        (EndHold::Pinned, 0),
        (EndHold::Pinned, 4),
        (EndHold::Clamped, 0),
        (EndHold::Clamped, 4),
        (EndHold::Clamped, 8),
    ] {
        let of = wire(WIRES[at]);
        let partials = heard(&of, ends, 10, None, &mut dice);
        let ours = fit_partials(&of.sounding, &partials, None).unwrap();
        let is_clamped = ends == EndHold::Clamped;
        let mut case = of.told("solved", is_clamped);
        case["partials"] = json!(list(&partials));
        case["guess"] = json!([of.tension * 0.95, of.bending * 1.2]);
        room.ask(case, move |told, found| {
            let may = within(
                0.004,
                0.0,
                "partials off by 4 in 10 000 weigh otherwise in the two fits; clamped ends by a series in ε",
            );
            let read = if is_clamped { ours.clamped } else { ours.pinned };
            found.near("tension that partials tell", read.value(), &told["tension"], may);
            // Ours gives EI for clamped ends alone; pinned it is ε²·T·L² with the pinned tension.
            let metres = of.sounding.length.value() / 1e3;
            let bending = (ours.slenderness * metres).powi(2) * read.value();
            let may = within(
                0.08,
                0.02,
                "EI is a small part of every partial: the same errors weigh far more in it",
            );
            found.near("bending that partials tell", bending, &told["bending"], may);
        });
        // Held within bounds that its EI lies above: the tension of a wire of the bound itself.
        let solid = of.bending * 0.8;
        let bounds = BendingBounds {
            slipping: NewtonSquareMetres(solid * 0.1),
            solid: NewtonSquareMetres(solid),
        };
        let ours = fit_partials(&of.sounding, &partials, Some(&bounds)).unwrap();
        let mut case = of.told("solved", is_clamped);
        case["partials"] = json!(list(&partials));
        case["guess"] = json!([of.tension]);
        case["bending"] = json!(solid);
        if is_clamped {
            room.ask(case, move |told, found| {
                let may = within(
                    0.006,
                    0.0,
                    "no wire of that EI rings so: what does not fit weighs otherwise in the two fits",
                );
                found.near("tension within bounds", ours.clamped.value(), &told["tension"], may);
                let edge = within(1e-4, 0.0, "the bound is reached in eight rounds");
                found.near("bending within bounds", ours.bending.value(), &json!(solid), edge);
            });
        }
    }
}

fn a_hung_mass_beside_the_swing_of_elements(room: &mut Room) {
    for of in WIRES.map(wire) {
        let span = FreeSpan {
            length: of.sounding.length,
            mass: of.sounding.mass,
            diameter: Millimetres(of.diameter),
            construction: Construction::OneByNineteen,
            supports: Supports::Pinched,
        };
        for mass in [0.15, 0.2, 0.35] {
            let hung = HungMass {
                span,
                axial_stiffness: Newtons(794_597.0),
                mass: Kilograms(mass),
            };
            let ours = swing_frequency(&hung, Newtons(of.tension), of.ei());
            let mut case = of.told("hung", true);
            case["hung"] = json!(mass);
            room.ask(case, move |told, found| {
                let shape = within(1e-6, 0.0, "elements of a pulled beam are cubic, its true shape is a hyperbolic one");
                found.near("swing by the sagging shape", ours.value(), &told["shape"], shape);
                let ratio = of.sounding.mass.value() * of.sounding.length.value() / 1e3 / mass;
                let whole = within(
                    0.02 * ratio + 1e-4,
                    0.0,
                    "the wire's own mass swings in another shape than the sag: a little for each share of it",
                );
                found.near("swing of the whole", ours.value(), &told["whole"], whole);
                let back = swing_tension(&hung, Hertz(told["shape"].as_f64().unwrap()), of.ei()).unwrap();
                let undone = within(1e-6, 0.0, "the square of the frequency, undone by halving");
                found.near("tension of a swing", back.value(), &json!(of.tension), undone);
                // The product reads from a swing: beside that of the whole, its square as far off, and a
                // little more by what bends.
                let whole = Hertz(told["whole"].as_f64().unwrap());
                let read = swing_tension(&hung, whole, of.ei()).unwrap();
                let twice = within(
                    2.5 * (0.02 * ratio + 1e-4),
                    0.0,
                    "as the swing of the whole, squared, and the share of what bends beside it",
                );
                found.near("tension of the swing of the whole", read.value(), &json!(of.tension), twice);
            });
        }
    }
}

/// A nearly slack wire that the phone itself pulls tight: the lower edge is the tension before.
fn the_pull_of_the_mass_itself_beside_two_bars(room: &mut Room) {
    let mut compared = 0;
    for (metres, mass, factor) in [
        (1.5, 0.25, 1.15),
        (1.5, 0.25, 1.3),
        (2.0, 0.4, 1.2),
        (1.2, 0.3, 1.4),
    ] {
        let of = wire((metres, 3.2, 500.0, 1.0));
        let (ea, weight) = (794_597.0_f64, mass * 9.81);
        let hung = HungMass {
            span: FreeSpan {
                length: of.sounding.length,
                mass: of.sounding.mass,
                diameter: Millimetres(3.2),
                construction: Construction::OneByNineteen,
                supports: Supports::Pinched,
            },
            axial_stiffness: Newtons(ea),
            mass: Kilograms(mass),
        };
        // Some way over what a wire without any tension reads.
        let reads = factor * 1.5 * (ea * weight * weight).cbrt();
        let heard = swing_frequency(&hung, Newtons(reads), of.ei());
        let SwingAnswer::Guide { reading } = read_swing(&hung, heard).unwrap() else {
            panic!("{metres} m, {mass} kg: a reading of {reads} N");
        };
        // The careful edge is this one only where it lies below the band of any reading.
        if reading.least.value() > 0.899 * reading.tension.value() {
            continue;
        }
        compared += 1;
        let case = json!({"ask": "relieved", "length": metres, "stiffness": ea, "hung": mass,
            "reads": reading.solid});
        room.ask(case, move |told, found| {
            let may = within(
                0.01,
                0.0,
                "ours keeps the sag to its third power, the bars keep all of it, EA over T0 beside one",
            );
            found.near("tension before the mass", reading.least.value(), told, may);
        });
    }
    assert!(compared >= 2, "{compared} cases where the mass counts");
}

#[test]
fn strings_beside_elements_and_a_robust_regression() {
    let mut room = Room::of("stiff_string.py");
    partials_beside_the_eigenvalues_of_elements(&mut room);
    fits_beside_a_robust_regression(&mut room);
    tension_of_partials_beside_a_wire_that_rings_alike(&mut room);
    a_hung_mass_beside_the_swing_of_elements(&mut room);
    the_pull_of_the_mass_itself_beside_two_bars(&mut room);
    room.compare();
}
