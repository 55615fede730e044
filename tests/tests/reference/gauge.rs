//! What a gauge can tell, beside whole fractions in `gauge.py`.

use mechanics::Newtons;
use mechanics::tension::{clear_from, gauge_step, least_set, room, shown, shown_upper};
use serde_json::json;

use crate::room::{Dice, Room, within};

#[test]
fn steps_and_roundings_beside_whole_fractions() {
    let may = within(0.0, 0.0, "whole newtons: no part of one may be off");
    let mut asked = Room::of("gauge.py");
    let mut dice = Dice::new(9);
    let mut cases = vec![
        // The worked job; a gauge without error; the largest error; figures on a step's very edge.
        (1330, 170, 1800, 40),
        (1440, 0, 1560, 40),
        (960, 0, 1000, 40),
        (1000, 0, 1000, 0),
        (1000, 100, 3000, 500),
        (25, 0, 60, 40),
        (20, 5, 40, 50),
        (1900, 95, 2100, 50),
    ];
    for _ in 0..200 {
        let required = dice.whole(20, 300) * dice.pick(&[1, 5, 10]);
        let error = dice.pick(&[5, 10, 20, 25, 30, 40, 50, 80, 100, 250]);
        cases.push((
            required,
            dice.whole(0, 400),
            required + dice.whole(0, 900),
            error,
        ));
    }
    for (required, loss, upper, permille) in cases {
        let [required_n, loss_n, upper_n] = [required, loss, upper].map(|n| Newtons(f64::from(n)));
        let error = f64::from(permille) / 1000.0;
        let clear = clear_from(required_n, error).unwrap().value();
        let room = room(required_n, upper_n, error).unwrap();
        let step = gauge_step(required_n, error).unwrap().value();
        let set = least_set(required_n, loss_n, error).unwrap().value();
        let nearest = shown(required_n, error).unwrap().value();
        let below = shown_upper(upper_n, error).unwrap().value();
        let case = json!({"ask": "told", "required": required, "loss": loss, "upper": upper,
            "permille": permille});
        asked.ask(case, move |told, found| {
            found.near("clear from", clear, &told["clearFrom"], may);
            found.near("clear to", room.clear_to.value(), &told["clearTo"], may);
            found.near("step of the gauge", step, &told["step"], may);
            found.near("least set tension", set, &told["leastSet"], may);
            found.near("shown to the nearest step", nearest, &told["shown"], may);
            found.near("upper shown below", below, &told["shownUpper"], may);
            found.holds("room enough", told["enough"] == room.enough, || {
                told.to_string()
            });
        });
    }
    asked.compare();
}
