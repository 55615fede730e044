//! Posts, deliveries, template and the hole that was drilled too high.

use super::{
    Rng,
    canvas::{Canvas, Paint, round},
    lettering, things, tools,
};

pub(super) fn post_base(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::floor(c, rng, 0.0, false);
    let (mid, foot) = (w / 2.0, h * 0.72);
    let plate = [
        (mid - 330.0, foot + 90.0),
        (mid + 330.0, foot + 90.0),
        (mid + 280.0, foot - 60.0),
        (mid - 280.0, foot - 60.0),
    ];
    c.fill(&plate, &Paint::Flat([120, 126, 130]), 1.0);
    things::timber(c, rng, (mid - 170.0, 0.0), (mid + 170.0, foot), false);
    for (dx, dy) in [
        (-245.0, 48.0),
        (245.0, 48.0),
        (-215.0, -26.0),
        (215.0, -26.0),
    ] {
        let at = (mid + dx, foot + dy);
        c.fill(
            &round((at.0, at.1 + 5.0), 34.0, 20.0),
            &Paint::Flat([70, 74, 78]),
            1.0,
        );
        c.fill(&round(at, 25.0, 17.0), &Paint::Flat([188, 192, 196]), 1.0);
        c.fill(
            &round((at.0, at.1 - 4.0), 12.0, 8.0),
            &Paint::Flat([110, 114, 118]),
            1.0,
        );
    }
    tools::scale(c, (mid - 245.0, foot + 130.0), 490.0, false, 19.6, 0);
    tools::card(c, (60.0, 90.0), &["A1", "BASE"]);
}

pub(super) fn rail_joint(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.55);
    let mid = w * 0.5;
    things::timber(c, rng, (mid - 175.0, h * 0.4), (mid + 175.0, h), false);
    things::timber(c, rng, (0.0, h * 0.25), (mid - 4.0, h * 0.4), true);
    things::timber(c, rng, (mid + 4.0, h * 0.25), (w, h * 0.4), true);
    c.line(&[(mid, h * 0.25), (mid, h * 0.4)], 5.0, [50, 36, 24]);
    for dx in [-110.0, -55.0, 55.0, 110.0] {
        let at = (mid + dx, h * 0.325);
        c.disc(at, 15.0, &Paint::Flat([150, 154, 158]), 1.0);
        c.line(
            &[(at.0 - 9.0, at.1 - 5.0), (at.0 + 9.0, at.1 + 5.0)],
            4.0,
            [70, 72, 76],
        );
    }
    tools::card(c, (70.0, h * 0.62), &["A6", "RAIL JOINT"]);
}

pub(super) fn letter(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::bench(c, rng);
    let (left, right, top, foot) = (w * 0.1, w * 0.9, h * 0.07, h * 0.9);
    c.fill(
        &[
            (left + 14.0, top + 18.0),
            (right + 20.0, top + 8.0),
            (right + 8.0, foot + 20.0),
            (left - 2.0, foot + 16.0),
        ],
        &Paint::Flat([60, 54, 46]),
        0.4,
    );
    c.fill(
        &[
            (left, top),
            (right, top - 10.0),
            (right - 6.0, foot),
            (left - 12.0, foot + 8.0),
        ],
        &Paint::Flat([250, 249, 244]),
        1.0,
    );
    lettering::write(c, (left + 70.0, top + 80.0), 44.0, things::INK, "EL-017");
    lettering::write(
        c,
        (left + 70.0, top + 170.0),
        26.0,
        things::INK,
        "POSTS A1, A6, B3",
    );
    lettering::write(
        c,
        (left + 70.0, top + 220.0),
        26.0,
        things::INK,
        "115 X 115",
    );
    let mut y = top + 310.0;
    while y < foot - 260.0 {
        let mut x = left + 70.0;
        while x < right - 140.0 {
            let word = rng.range(24.0, 92.0);
            c.line(&[(x, y), (x + word, y - 0.5)], 7.0, [150, 150, 152]);
            x += word + 20.0;
        }
        y += if rng.range(0.0, 1.0) < 0.2 {
            58.0
        } else {
            32.0
        };
    }
    let sign = |n: u8| {
        let t = f32::from(n) / 24.0;
        (
            left + 80.0 + 260.0 * t,
            foot - 150.0 + 34.0 * (t * 17.0).sin() * (1.0 - 0.6 * t),
        )
    };
    let signature: Vec<_> = (0..=24).map(sign).collect();
    c.line(&signature, 5.0, [34, 52, 120]);
    c.line(
        &[(left + 70.0, foot - 90.0), (left + 400.0, foot - 92.0)],
        2.0,
        things::INK,
    );
}

pub(super) fn added_post(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.4);
    things::floor(c, rng, h * 0.86, false);
    things::timber(c, rng, (w * 0.02, h * 0.14), (w * 0.12, h * 0.9), false);
    things::timber(c, rng, (w * 0.44, h * 0.14), (w * 0.56, h * 0.92), true);
    things::timber(c, rng, (w * 0.88, h * 0.14), (w * 0.98, h * 0.9), false);
    things::timber(c, rng, (0.0, h * 0.09), (w, h * 0.14), false);
    tools::card(c, (w * 0.08, h * 0.3), &["A4"]);
    tools::card(c, (w * 0.42, h * 0.4), &["A4A"]);
    tools::card(c, (w * 0.8, h * 0.3), &["A5"]);
}

pub(super) fn arrival(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::bench(c, rng);
    for row in 0..8_u8 {
        let y = 250.0 + 78.0 * f32::from(row);
        things::terminal(c, (w * 0.06, y), 66.0, true);
        things::terminal(c, (w * 0.54, y), 66.0, false);
    }
    c.line(&[(w / 2.0, 60.0), (w / 2.0, h - 80.0)], 6.0, [104, 96, 84]);
    tools::card(c, (w * 0.1, 60.0), &["LH 23"]);
    tools::card(c, (w * 0.58, 60.0), &["RH 23"]);
}

pub(super) fn reel(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::bench(c, rng);
    let centre = (w * 0.42, h * 0.5);
    c.disc(
        (centre.0 + 18.0, centre.1 + 24.0),
        430.0,
        &Paint::Flat([70, 64, 54]),
        0.4,
    );
    c.disc(centre, 430.0, &Paint::Flat([146, 120, 86]), 1.0);
    let mut radius = 380.0;
    while radius > 170.0 {
        c.disc(centre, radius, &Paint::Flat([104, 110, 116]), 1.0);
        c.disc(
            (centre.0 - 1.5, centre.1 - 2.0),
            radius - 3.0,
            &Paint::Flat([208, 212, 216]),
            1.0,
        );
        radius -= 11.0;
    }
    c.disc(centre, 165.0, &Paint::Flat([146, 120, 86]), 1.0);
    c.disc(centre, 60.0, &Paint::Flat([60, 50, 38]), 1.0);
    tools::card(c, (w * 0.66, h * 0.3), &["STRAND", "3.2 1X19", "316 60 M"]);
}

pub(super) fn template(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.5);
    things::timber(c, rng, (w * 0.3, 0.0), (w * 0.7, h), false);
    c.rect(
        (w * 0.42, 40.0),
        (w * 0.58, h - 90.0),
        &Paint::Flat([240, 236, 222]),
    );
    for n in 0..12_u8 {
        let y = h - 170.0 - 93.0 * f32::from(n);
        things::hole(c, (w / 2.0, y), 13.0);
        c.line(&[(w * 0.43, y), (w * 0.47, y)], 2.0, things::INK);
        lettering::write(
            c,
            (w * 0.535, y - 11.0),
            22.0,
            things::INK,
            &(n + 1).to_string(),
        );
    }
    tools::card(c, (40.0, 70.0), &["A3", "BOTH", "FACES"]);
}

pub(super) fn hole_high(c: &mut Canvas, rng: &mut Rng) {
    let row = h_rows(c, rng);
    let (w, _) = c.size();
    things::hole(c, (w * 0.42, row - 52.0), 30.0);
    c.line(&[(w * 0.24, row), (w * 0.6, row)], 3.0, [170, 40, 34]);
    tools::card(c, (60.0, 70.0), &["A3 WIRE 6", "85 / 67", "BEFORE"]);
}

pub(super) fn hole_right(c: &mut Canvas, rng: &mut Rng) {
    let row = h_rows(c, rng);
    let (w, _) = c.size();
    c.disc(
        (w * 0.42, row - 52.0),
        31.0,
        &Paint::Flat([214, 180, 130]),
        1.0,
    );
    c.disc(
        (w * 0.42, row - 52.0),
        12.0,
        &Paint::Flat([190, 154, 104]),
        1.0,
    );
    things::hole(c, (w * 0.42, row - 6.0), 30.0);
    tools::card(c, (60.0, 70.0), &["A3 WIRE 6", "77 / 75", "AFTER"]);
}

/// The face of post A3 with holes 5 and 7 and a ruler; returns where hole 6 belongs.
fn h_rows(c: &mut Canvas, rng: &mut Rng) -> f32 {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.6);
    things::timber(c, rng, (w * 0.2, 0.0), (w * 0.66, h), false);
    let row = h * 0.56;
    for y in [row - 436.0, row + 436.0] {
        things::hole(c, (w * 0.42, y), 30.0);
    }
    tools::scale(c, (w * 0.7, row - 560.0), 1120.0, true, 5.74, 0);
    row
}
