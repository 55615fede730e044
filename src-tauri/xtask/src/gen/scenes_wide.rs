//! Views of whole runs and of the edge.

use super::{
    Rng,
    canvas::{Canvas, Paint, round},
    perspective::{Eye, RUN_A, RUN_B, Run, fascia, run, steps},
    things, tools,
};

const DECK: Eye = Eye {
    to_right: true,
    height_mm: 1500.0,
    fall: 0.0,
    horizon: 0.34,
    units_per_mm: 0.6,
};
const OUTSIDE: Eye = Eye {
    to_right: false,
    height_mm: 100.0,
    fall: 0.0,
    horizon: 0.62,
    units_per_mm: 0.5,
};
const ABOVE: Eye = Eye {
    to_right: false,
    height_mm: 1650.0,
    fall: 0.32,
    horizon: 0.3,
    units_per_mm: 0.36,
};
const FOOT: Eye = Eye {
    to_right: true,
    height_mm: 1150.0,
    fall: -0.38,
    horizon: 0.42,
    units_per_mm: 0.44,
};
const BARE_A: Run = Run {
    wires_mm: &[],
    posts_mm: &[0.0, 1470.0, 2970.0, 4455.0, 6105.0, 7390.0],
    ..RUN_A
};
const BARE_B: Run = Run {
    wires_mm: &[],
    ..RUN_B
};

pub(super) fn a_bare(c: &mut Canvas, rng: &mut Rng) {
    deck(c, rng, &BARE_A);
    tools::card(c, (60.0, 60.0), &["RUN A", "NO WIRES"]);
}

pub(super) fn a_from_deck(c: &mut Canvas, rng: &mut Rng) {
    deck(c, rng, &RUN_A);
    tools::card(c, (60.0, 60.0), &["RUN A", "FROM DECK"]);
}

pub(super) fn a_from_outside(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    let wall = [[206, 200, 188], [222, 216, 204], [190, 184, 172]];
    c.rect(
        (0.0, 0.0),
        (w, h),
        &Paint::Ramp {
            from: (0.0, 0.0),
            to: (w, h),
            stops: wall,
        },
    );
    for n in 0..3_u8 {
        let left = 120.0 + 330.0 * f32::from(n);
        c.rect(
            (left, 90.0),
            (left + 190.0, 330.0),
            &Paint::Flat([120, 138, 148]),
        );
        c.rect(
            (left + 10.0, 100.0),
            (left + 92.0, 320.0),
            &Paint::Flat([150, 170, 180]),
        );
    }
    things::floor(c, rng, h * 0.82, true);
    fascia(c, &OUTSIDE);
    run(c, rng, &OUTSIDE, &RUN_A);
    tools::card(c, (60.0, 60.0), &["RUN A", "OUTSIDE"]);
}

pub(super) fn b_bare(c: &mut Canvas, rng: &mut Rng) {
    stair(c, rng, &ABOVE, &BARE_B);
    tools::card(c, (60.0, 60.0), &["RUN B", "NO WIRES"]);
}

pub(super) fn b_from_above(c: &mut Canvas, rng: &mut Rng) {
    stair(c, rng, &ABOVE, &RUN_B);
    tools::card(c, (60.0, 60.0), &["RUN B", "FROM ABOVE"]);
}

pub(super) fn b_from_below(c: &mut Canvas, rng: &mut Rng) {
    stair(c, rng, &FOOT, &RUN_B);
    let (w, _) = c.size();
    tools::card(c, (w - 420.0, 60.0), &["RUN B", "FROM FOOT"]);
}

pub(super) fn paving_below(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::floor(c, rng, 0.0, true);
    for n in 1..8_u8 {
        let x = w * f32::from(n) / 8.0;
        c.line(
            &[(w / 2.0 + (x - w / 2.0) * 0.6, 0.0), (x, h)],
            3.0,
            [96, 94, 90],
        );
    }
    for _ in 0..14 {
        let centre = (rng.range(0.0, w * 0.3), rng.range(0.0, h * 0.3));
        let size = rng.range(20.0, 60.0);
        c.fill(
            &round(centre, size, size * 0.7),
            &Paint::Flat([88, 120, 72]),
            0.8,
        );
    }
    things::timber(c, rng, (0.0, h * 0.78), (w, h * 0.92), false);
    tools::card(c, (60.0, h * 0.58), &["BELOW A3", "PAVING"]);
}

pub(super) fn left_safe_boards(c: &mut Canvas, rng: &mut Rng) {
    deck(c, rng, &BARE_A);
    let (w, h) = c.size();
    for n in 0..3_u8 {
        let y = h * (0.36 + 0.16 * f32::from(n));
        things::timber(c, rng, (w * 0.06, y), (w * 0.97, y + 74.0), true);
    }
    tools::card(c, (60.0, 60.0), &["LEFT SAFE", "26 OCT"]);
}

pub(super) fn left_safe_sheet(c: &mut Canvas, rng: &mut Rng) {
    stair(c, rng, &ABOVE, &RUN_B);
    let (w, h) = c.size();
    let sheet = [
        (w * 0.3, h * 0.4),
        (w * 0.9, h * 0.44),
        (w * 0.88, h * 0.8),
        (w * 0.32, h * 0.74),
    ];
    c.fill(&sheet, &Paint::Flat([212, 206, 190]), 0.96);
    for n in 1..6_u8 {
        let x = w * (0.3 + 0.1 * f32::from(n));
        c.line(&[(x, h * 0.44), (x + 8.0, h * 0.75)], 2.0, [184, 178, 162]);
    }
    c.line(
        &[(0.0, h * 0.36), (w * 0.5, h * 0.42), (w, h * 0.4)],
        9.0,
        [150, 116, 60],
    );
    tools::card(c, (60.0, 60.0), &["LEFT SAFE", "27 OCT"]);
}

fn deck(c: &mut Canvas, rng: &mut Rng, what: &Run) {
    let (_, h) = c.size();
    things::sky_and_sea(c, h * 0.34);
    things::floor(c, rng, h * 0.56, false);
    run(c, rng, &DECK, what);
}

fn stair(c: &mut Canvas, rng: &mut Rng, eye: &Eye, what: &Run) {
    let (_, h) = c.size();
    things::sky_and_sea(c, h * 0.3);
    things::floor(c, rng, h * 0.5, true);
    steps(c, eye);
    run(c, rng, eye, what);
}
