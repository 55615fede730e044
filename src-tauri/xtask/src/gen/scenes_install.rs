//! Crimps, marks, tension, gaps, heights and the recheck.

use super::{
    Rng,
    canvas::{Canvas, Paint, Point},
    lettering, things,
};

pub(super) fn sample_axis_one(c: &mut Canvas, rng: &mut Rng) {
    things::bench(c, rng);
    calliper(c, "AXIS 1", 0.0);
}

pub(super) fn sample_axis_two(c: &mut Canvas, rng: &mut Rng) {
    things::bench(c, rng);
    calliper(c, "AXIS 2", 90.0);
}

pub(super) fn sample_pulled(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::bench(c, rng);
    let y = h * 0.5;
    things::steel_bar(c, (40.0, y), (150.0, y), 180.0);
    things::terminal(c, (150.0, y), 110.0, true);
    things::wire(c, (735.0, y), (w - 160.0, y), 34.0);
    things::steel_bar(c, (w - 170.0, y), (w - 40.0, y), 200.0);
    c.line(&[(752.0, y - 17.0), (752.0, y + 17.0)], 9.0, [170, 40, 34]);
    things::card(c, (70.0, 80.0), &["SAMPLE LH", "3700 N 60 S", "MARK 0"]);
}

pub(super) fn mark_in_place(c: &mut Canvas, rng: &mut Rng) {
    mouth(c, rng, 6.0);
    things::card(c, (70.0, 80.0), &["A6", "MARK 32 IN"]);
}

pub(super) fn mark_out(c: &mut Canvas, rng: &mut Rng) {
    mouth(c, rng, 92.0);
    things::card(c, (70.0, 80.0), &["B3 LOWER", "27 OF 32", "REJECTED"]);
}

pub(super) fn witness(c: &mut Canvas, rng: &mut Rng) {
    mouth(c, rng, 10.0);
    things::card(c, (70.0, 80.0), &["A12 10 NOV", "MOVED 0"]);
}

pub(super) fn engaged(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.45);
    things::timber(c, rng, (0.0, 0.0), (w * 0.4, h), false);
    for n in 0..3_u8 {
        let y = h * (0.22 + 0.28 * f32::from(n));
        let x = w * 0.4;
        things::steel_bar(c, (x, y), (x + 22.0, y), 96.0);
        things::thread(c, (x + 22.0, y), 90.0, 46.0, true);
        things::steel_bar(c, (x + 70.0, y), (x + 128.0, y), 92.0);
        things::steel_bar(c, (x + 128.0, y), (x + 420.0, y), 60.0);
        things::wire(c, (x + 420.0, y), (w, y), 30.0);
    }
    things::card(c, (50.0, h * 0.36), &["A1 END", "LH", "MARK HIDDEN"]);
}

pub(super) fn gauge_level(c: &mut Canvas, rng: &mut Rng) {
    let y = wires(c, rng, 0.0);
    on_wire(c, y, 0.75, "1500");
    things::card(c, (60.0, 70.0), &["A6 A2-A3", "G-02", "24 C"]);
}

pub(super) fn gauge_raked(c: &mut Canvas, rng: &mut Rng) {
    let y = wires(c, rng, 0.55);
    on_wire(c, y, 0.75, "1500");
    let (w, _) = c.size();
    things::card(c, (w - 330.0, 70.0), &["B4", "G-02"]);
}

pub(super) fn gauge_recheck(c: &mut Canvas, rng: &mut Rng) {
    let y = wires(c, rng, 0.0);
    on_wire(c, y, 0.655, "1310");
    let (w, h) = c.size();
    things::card(c, (w - 380.0, h - 300.0), &["A12 DAY 14", "23 C"]);
}

pub(super) fn hung_mass(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.5);
    let (mid, y) = (w * 0.5, h * 0.42);
    for n in -2..=2_i8 {
        let at = y + 150.0 * f32::from(n);
        let sag = if n == 0 { 24.0 } else { 0.0 };
        things::wire(c, (0.0, at), (mid, at + sag), 14.0);
        things::wire(c, (mid, at + sag), (w, at), 14.0);
    }
    things::timber(c, rng, (0.0, 0.0), (110.0, h), false);
    c.line(&[(mid, y + 24.0), (mid, h * 0.68)], 7.0, [60, 62, 66]);
    let stops = [[70, 74, 80], [150, 154, 160], [50, 54, 58]];
    let from = (mid - 120.0, h * 0.68);
    let to = (mid + 120.0, h * 0.88);
    c.rect(
        from,
        to,
        &Paint::Ramp {
            from,
            to: (to.0, from.1),
            stops,
        },
    );
    lettering::write(c, (mid - 70.0, h * 0.76), 56.0, things::PALE, "2 KG");
    things::scale(c, (mid + 170.0, h * 0.3), 420.0, true, 21.0, 0);
    things::card(c, (150.0, 70.0), &["A6 A2-A3", "4.5 MM"]);
}

pub(super) fn pinched(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.5);
    things::timber(c, rng, (w * 0.3, 0.0), (w * 0.62, h), false);
    for n in 0..3_u8 {
        let y = h * (0.2 + 0.3 * f32::from(n));
        let lift = if n == 1 { 34.0 } else { 0.0 };
        let (a, b) = ((w * 0.3, y - lift), (w * 0.62, y));
        things::wire(c, (0.0, y - 2.0 * lift), a, 22.0);
        things::wire(c, b, (w, y), 22.0);
        for (x, y) in [a, b] {
            c.disc((x, y), 44.0, &Paint::Flat([40, 42, 44]), 1.0);
            c.disc((x, y), 20.0, &Paint::Flat([190, 194, 198]), 1.0);
        }
    }
    things::card(c, (w * 0.7, 60.0), &["A7 AT A3", "PINCHED"]);
}

pub(super) fn probe(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.42);
    things::floor(c, rng, h * 0.88, false);
    let gap = 132.0;
    let middle = h * 0.5;
    things::ball(c, (w * 0.52, middle), gap * 0.82);
    for n in -3..=3_i8 {
        let y = middle + gap * (f32::from(n) + 0.5);
        things::wire(c, (0.0, y), (w, y), 13.0);
    }
    things::timber(c, rng, (30.0, 0.0), (150.0, h), false);
    things::timber(c, rng, (w - 150.0, 0.0), (w - 30.0, h), false);
    things::card(c, (180.0, 40.0), &["A2-A3 125", "STOPS"]);
}

pub(super) fn height_deck(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.4);
    things::floor(c, rng, h * 0.85, false);
    let (floor, rail) = (h * 0.9, h * 0.12);
    for n in 1..=12_u8 {
        let y = floor - (floor - rail) * 76.0 * f32::from(n) / 1020.0;
        things::wire(c, (0.0, y), (w, y), 9.0);
    }
    things::timber(c, rng, (w * 0.1, rail + 30.0), (w * 0.24, floor), false);
    things::timber(c, rng, (0.0, rail), (w, rail + 36.0), true);
    things::scale(
        c,
        (w * 0.52, rail),
        floor - rail,
        true,
        (floor - rail) / 51.0,
        0,
    );
    things::card(c, (w * 0.66, h * 0.3), &["A2", "1020"]);
}

pub(super) fn height_nosing(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.4);
    for n in 0..4_u8 {
        let (x, y) = (
            w * 0.27 * f32::from(n) - 40.0,
            h * (0.74 + 0.085 * f32::from(n)),
        );
        things::timber(c, rng, (x, y), (w, y + 34.0), false);
        c.rect((x + 20.0, y + 34.0), (w, h), &Paint::Flat([126, 104, 82]));
    }
    let slope = 0.712 * 0.62;
    for n in 1..=8_u8 {
        let y = h * 0.66 - 78.0 * f32::from(n);
        things::wire(c, (0.0, y), (w, y + slope * w), 9.0);
    }
    let rail = h * 0.66 - 78.0 * 9.3;
    c.fill(
        &[
            (0.0, rail),
            (w, rail + slope * w),
            (w, rail + slope * w + 56.0),
            (0.0, rail + 56.0),
        ],
        &Paint::Flat([196, 156, 110]),
        1.0,
    );
    let top = rail + slope * w * 0.5;
    things::scale(
        c,
        (w * 0.5, top),
        h * 0.823 - top,
        true,
        (h * 0.823 - top) / 44.55,
        0,
    );
    things::card(c, (w * 0.62, 60.0), &["RUN B", "891"]);
}

pub(super) fn end_close(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.5);
    let post = (w * 0.38, w * 0.64);
    for n in 0..6_u8 {
        let y = h * (0.2 + 0.13 * f32::from(n));
        things::wire(c, (0.0, y), (post.0 - 150.0, y), 16.0);
        things::steel_bar(c, (post.0 - 150.0, y), (post.0, y), 34.0);
        things::wire(c, (post.1 + 130.0, y + 70.0), (w, y + 230.0), 16.0);
        things::steel_bar(c, (post.1, y + 14.0), (post.1 + 130.0, y + 70.0), 34.0);
    }
    things::timber(c, rng, (post.0, 0.0), (post.1, h), false);
    things::card(c, (40.0, 50.0), &["A6", "RH"]);
}

/// A terminal's mouth with the wire going in; the mark stands `out` units before it.
fn mouth(c: &mut Canvas, rng: &mut Rng, out: f32) {
    let (w, h) = c.size();
    things::bench(c, rng);
    let y = h * 0.52;
    things::terminal(c, (40.0, y), 150.0, true);
    let at = 40.0 + 150.0 * 4.8;
    things::wire(c, (at, y), (w, y), 52.0);
    c.line(
        &[(at + out, y - 26.0), (at + out, y + 26.0)],
        12.0,
        [22, 24, 28],
    );
    things::scale(c, (at, y + 80.0), w - at - 40.0, false, 18.0, 0);
}

fn calliper(c: &mut Canvas, label: &str, turned: f32) {
    let (w, h) = c.size();
    let y = h * 0.52;
    things::terminal(c, (w * 0.16, y), 150.0, true);
    things::wire(c, (w * 0.16 + 720.0, y), (w, y), 52.0);
    let x = w * 0.16 + 520.0;
    let dark = Paint::Flat([96, 102, 108]);
    c.rect(
        (x - 40.0, 130.0),
        (x + 40.0, h - 120.0),
        &Paint::Flat([188, 192, 196]),
    );
    c.fill(
        &[
            (x - 40.0, y - 200.0),
            (x + 150.0, y - 200.0),
            (x + 150.0, y - 46.0),
            (x + 90.0, y - 46.0),
        ],
        &dark,
        1.0,
    );
    c.fill(
        &[
            (x - 40.0, y + 200.0),
            (x + 150.0, y + 200.0),
            (x + 150.0, y + 46.0),
            (x + 90.0, y + 46.0),
        ],
        &dark,
        1.0,
    );
    let mark: [Point; 2] = if turned > 0.0 {
        [(x - 280.0, y), (x - 220.0, y)]
    } else {
        [(x - 250.0, y - 30.0), (x - 250.0, y + 30.0)]
    };
    c.line(&mark, 10.0, [170, 40, 34]);
    let at = if turned > 0.0 {
        (70.0, h - 290.0)
    } else {
        (70.0, 80.0)
    };
    things::card(c, at, &["SAMPLE LH", label]);
}

/// A field of wires across the picture; returns the height of the one in the middle.
fn wires(c: &mut Canvas, rng: &mut Rng, slope: f32) -> f32 {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.3);
    let y = h * 0.62;
    for n in -4..=3_i8 {
        let at = y + 150.0 * f32::from(n);
        things::wire(
            c,
            (0.0, at - slope * w / 2.0),
            (w, at + slope * w / 2.0),
            15.0,
        );
    }
    if slope == 0.0 {
        things::timber(c, rng, (w - 130.0, 0.0), (w, h), false);
    }
    y
}

fn on_wire(c: &mut Canvas, y: f32, share: f32, reading: &str) {
    let (w, _) = c.size();
    things::gauge(c, (w / 2.0, y - 290.0), 225.0, share, reading);
}
