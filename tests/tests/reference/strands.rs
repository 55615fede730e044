//! Strands, threads and a heated wire beside `strand.py`.

use mechanics::sound::bending_bounds;
use mechanics::strand::{
    Construction, axial_stiffness_band, default_axial_stiffness, mass_per_metre, metallic_area,
    tension_per_kelvin,
};
use mechanics::thread::Thread;
use mechanics::{Millimetres, Newtons};
use serde_json::json;

use crate::room::{Room, within};

#[test]
fn strands_and_threads_beside_their_geometry() {
    let area = within(1e-9, 0.0, "as sharp as the integral over a wire's width");
    let bending = within(1e-9, 0.0, "as sharp as the integral over a wire's width");
    let rounded = within(
        2e-6,
        0.0,
        "the standard rounds its two factors of the pitch to six digits",
    );
    let heat = within(
        1e-7,
        1e-9,
        "a difference of two roots over a fiftieth of a kelvin",
    );
    let mut room = Room::of("strand.py");
    for (construction, gigapascals) in [
        (Construction::OneByNineteen, 130.0),
        (Construction::SevenBySeven, 90.0),
        (Construction::SevenByNineteen, 90.0),
    ] {
        for d in [1.0, 2.5, 3.0, 3.2, 4.0, 5.0, 6.35, 8.0] {
            let diameter = Millimetres(d);
            let surface = metallic_area(diameter, construction).unwrap().value();
            let mass = mass_per_metre(diameter, construction)
                .unwrap()
                .value
                .value();
            let axial = default_axial_stiffness(diameter, construction)
                .unwrap()
                .value
                .value();
            let band = axial_stiffness_band(diameter, construction).unwrap();
            let bounds = bending_bounds(diameter, construction).unwrap();
            room.ask(
                json!({"ask": "strand", "construction": construction, "diameter": d, "wireGpa": 193.0}),
                move |told, found| {
                    let of = |factor: f64| json!(told["area"].as_f64().unwrap() * factor);
                    found.near("metallic area", surface, &told["area"], area);
                    // 7950 kg/m³ and 3 % for the lay; GPa times mm² are kilonewtons.
                    found.near("mass per metre", mass, &of(7950.0e-6 * 1.03), area);
                    found.near("stiffness EA", axial, &of(gigapascals * 1e3), area);
                    found.near("least EA", band.0.value(), &of((gigapascals - 10.0) * 1e3), area);
                    found.near("most EA", band.1.value(), &of((gigapascals + 10.0) * 1e3), area);
                    found.near("EI slipping", bounds.slipping.value(), &told["slipping"], bending);
                    found.near("EI solid", bounds.solid.value(), &told["solid"], bending);
                },
            );
        }
    }
    for thread in Thread::COARSE {
        let (diameter, pitch) = (thread.diameter().value(), thread.pitch().value());
        room.ask(
            json!({"ask": "thread", "diameter": diameter, "pitch": pitch}),
            move |told, found| {
                found.near("stress area", thread.stress_area().value(), told, rounded)
            },
        );
    }
    for (stiffness, wire, structure) in [
        (794_597.0, 16e-6, 0.0),
        (485_000.0, 16e-6, 12e-6),
        (1.94e6, 12e-6, 16e-6),
    ] {
        let ours = tension_per_kelvin(Newtons(stiffness), wire, structure).unwrap();
        room.ask(
            json!({"ask": "heated", "stiffness": stiffness, "wire": wire, "structure": structure}),
            move |told, found| found.near("newtons per kelvin", ours.value(), told, heat),
        );
    }
    room.compare();
}
