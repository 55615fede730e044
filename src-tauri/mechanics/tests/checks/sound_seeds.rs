//! The reader on simulated plucks whose seeds played no part in its making, beside a plain rival.
//!
//! The seeds of the making were 100 000 and up. Here the noisy half of the guide's table is played; all of it
//! is a bench (`cargo xtask bench`), which asserts the same.

use mechanics::sound::{SoundAnswer, read_plucks, split_plucks};

use crate::plucks::{Dice, Taking, USUAL, any_wire, pluck, recording};
use crate::sound_trial::{trial, trial_on_site};

#[test]
fn none_of_three_hundred_accepted_is_off_by_a_tenth() {
    let levels = [(20.0, 150), (10.0, 75), (5.0, 12)];
    trial("300 of the table", 1001..1301, &levels);
    // Without the floor under the spectrum 30 of sixty are accepted at 60 dB.
    trial("60 of the table", 1001..1061, &[(60.0, 34)]);
}

#[test]
fn the_band_holds_what_is_wrong_on_site() {
    trial_on_site(5001..5061, 25);
}

#[test]
fn three_plucks_in_one_recording_are_cut_apart() {
    for seed in 7001..7011 {
        let mut dice = Dice::new(seed);
        let truth = any_wire(&mut dice);
        let taking = Taking {
            hum: false,
            ..USUAL
        };
        let mut whole = Vec::new();
        for _ in 0..3 {
            let loudest = 0.5;
            let sound = pluck(&truth, &taking, &mut dice);
            let peak = sound.iter().fold(0.0_f32, |most, x| most.max(x.abs()));
            whole.extend(sound.iter().map(|x| x * loudest / peak));
        }
        let cut = split_plucks(&recording(&whole, taking.rate)).unwrap();
        assert_eq!(cut.len(), 3, "seed {seed}");
        if let SoundAnswer::Guide { reading } = read_plucks(&truth.wire, &cut).unwrap() {
            assert!((reading.tension.value() / truth.tension - 1.0).abs() < 0.1);
        }
    }
}
