//! Crimps, marks, tension, gaps, heights and the recheck.

use super::{
    Rng,
    canvas::{Canvas, Paint},
    lettering, things, tools,
};

pub(super) fn sample_axis_one(c: &mut Canvas, rng: &mut Rng) {
    things::bench(c, rng);
    calliper_from_side(c);
    tools::card(c, (70.0, 80.0), &["SAMPLE LH", "AXIS 1"]);
}

pub(super) fn sample_axis_two(c: &mut Canvas, rng: &mut Rng) {
    things::bench(c, rng);
    calliper_from_end(c);
    tools::card(c, (70.0, 80.0), &["SAMPLE LH", "AXIS 2"]);
}

pub(super) fn sample_pulled(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::bench(c, rng);
    let y = h * 0.5;
    things::steel_bar(c, (40.0, y), (150.0, y), 180.0);
    things::terminal(c, (150.0, y), 110.0, true);
    things::wire(c, (678.0, y), (w - 160.0, y), 34.0);
    things::steel_bar(c, (w - 170.0, y), (w - 40.0, y), 200.0);
    c.line(&[(690.0, y - 17.0), (690.0, y + 17.0)], 9.0, [170, 40, 34]);
    tools::card(c, (70.0, 80.0), &["SAMPLE LH", "3700 N 60 S", "MARK 0"]);
}

pub(super) fn mark_in_place(c: &mut Canvas, rng: &mut Rng) {
    mouth(c, rng, 6.0);
    tools::card(c, (70.0, 80.0), &["A6", "MARK 32 IN"]);
}

pub(super) fn mark_out(c: &mut Canvas, rng: &mut Rng) {
    mouth(c, rng, 92.0);
    tools::card(c, (70.0, 80.0), &["B3 LOWER", "27 OF 32", "REJECTED"]);
}

pub(super) fn witness(c: &mut Canvas, rng: &mut Rng) {
    mouth(c, rng, 10.0);
    tools::card(c, (70.0, 80.0), &["A12 10 NOV", "MOVED 0"]);
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
    tools::card(c, (50.0, h * 0.36), &["A1 END", "LH", "MARK HIDDEN"]);
}

pub(super) fn gauge_level(c: &mut Canvas, rng: &mut Rng) {
    let y = wires(c, rng, 0.0);
    on_wire(c, y, 0.0, 0.75, "1520");
    tools::card(c, (60.0, 70.0), &["A6 A2-A3", "G-02", "24 C"]);
}

pub(super) fn gauge_raked(c: &mut Canvas, rng: &mut Rng) {
    let y = wires(c, rng, 0.14);
    on_wire(c, y, 0.14, 0.75, "1500");
    let (w, _) = c.size();
    tools::card(c, (w - 330.0, 70.0), &["B4", "G-02"]);
}

pub(super) fn gauge_recheck(c: &mut Canvas, rng: &mut Rng) {
    let y = wires(c, rng, 0.0);
    on_wire(c, y, 0.0, 0.655, "1310");
    let (w, h) = c.size();
    tools::card(c, (w - 440.0, h - 240.0), &["A12 DAY 14", "23 C"]);
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
    tools::scale(c, (mid + 170.0, h * 0.3), 420.0, true, 21.0, 0);
    tools::card(c, (150.0, 70.0), &["A6 A2-A3", "4.5 MM"]);
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
    tools::card(c, (w * 0.7, 60.0), &["A7 AT A3", "PINCHED"]);
}

pub(super) fn probe(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.42);
    things::floor(c, rng, h * 0.88, false);
    let gap = 132.0;
    let middle = h * 0.5;
    tools::ball(c, (w * 0.52, middle), gap * 0.82);
    for n in -3..=3_i8 {
        let y = middle + gap * (f32::from(n) + 0.5);
        things::wire(c, (0.0, y), (w, y), 13.0);
    }
    things::timber(c, rng, (30.0, 0.0), (150.0, h), false);
    things::timber(c, rng, (w - 150.0, 0.0), (w - 30.0, h), false);
    tools::card(c, (180.0, 40.0), &["A2-A3 125", "STOPS"]);
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
    tools::scale(
        c,
        (w * 0.52, rail),
        floor - rail,
        true,
        (floor - rail) / 51.0,
        0,
    );
    tools::card(c, (w * 0.66, h * 0.3), &["A2", "1020"]);
}

pub(super) fn height_nosing(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.4);
    // 93 mm plumb between wires are 78 units here; the nosing under the tape is the origin.
    let (mid, nosing, slope) = (w * 0.5, h * 0.823, 0.44);
    let at = |x: f32, above_mm: f32| (x, nosing + slope * (x - mid) - above_mm * 78.0 / 93.0);
    for n in -2..=2_i8 {
        let x = mid + 260.0 * f32::from(n);
        let (_, y) = at(x, 0.0);
        c.rect(
            (x - 270.0, y + 26.0),
            (x - 14.0, h),
            &Paint::Flat([126, 104, 82]),
        );
        things::timber(c, rng, (x - 270.0, y), (x, y + 30.0), false);
    }
    for n in 1..=8_u8 {
        let above = 93.0 * f32::from(n);
        things::wire(c, at(0.0, above), at(w, above), 9.0);
    }
    let rail = [at(0.0, 891.0), at(w, 891.0), at(w, 836.0), at(0.0, 836.0)];
    c.fill(&rail, &Paint::Flat([196, 156, 110]), 1.0);
    let (_, top) = at(mid, 891.0);
    tools::scale(
        c,
        (mid - 27.0, top),
        nosing - top,
        true,
        (nosing - top) / 44.55,
        0,
    );
    tools::card(c, (w * 0.62, 60.0), &["RUN B", "891"]);
}

pub(super) fn end_close(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    things::sky_and_sea(c, h * 0.5);
    let post = (w * 0.38, w * 0.64);
    for n in 0..6_u8 {
        let y = h * (0.2 + 0.13 * f32::from(n));
        things::wire(c, (0.0, y), (post.0 - 150.0, y), 16.0);
        things::steel_bar(c, (post.0 - 150.0, y), (post.0, y), 34.0);
        things::wire(
            c,
            (post.1 + 130.0, y + 70.0),
            (w, y + 70.0 + 0.43 * (w - post.1 - 130.0)),
            16.0,
        );
        things::steel_bar(c, (post.1, y + 14.0), (post.1 + 130.0, y + 70.0), 34.0);
    }
    things::timber(c, rng, (post.0, 0.0), (post.1, h), false);
    tools::card(c, (40.0, 50.0), &["A6", "RH"]);
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
    tools::scale(c, (at, y + 80.0), w - at - 40.0, false, 18.0, 0);
}

/// The swage between the jaws, seen from the side.
fn calliper_from_side(c: &mut Canvas) {
    let (w, h) = c.size();
    let y = h * 0.52;
    things::terminal(c, (w * 0.16, y), 150.0, true);
    things::wire(c, (w * 0.16 + 720.0, y), (w, y), 52.0);
    let x = w * 0.16 + 520.0;
    c.rect(
        (x - 40.0, 130.0),
        (x + 40.0, h - 120.0),
        &Paint::Flat([188, 192, 196]),
    );
    for way in [-1.0, 1.0] {
        let jaw = [
            (x - 40.0, y + way * 200.0),
            (x + 150.0, y + way * 200.0),
            (x + 150.0, y + way * 46.0),
            (x + 90.0, y + way * 46.0),
        ];
        c.fill(&jaw, &Paint::Flat([96, 102, 108]), 1.0);
    }
}

/// The swage between the jaws, seen along the wire: nineteen wires in its mouth.
fn calliper_from_end(c: &mut Canvas) {
    let (w, h) = c.size();
    let centre = (w * 0.52, h * 0.5);
    c.rect(
        (w * 0.12, h * 0.8),
        (w * 0.92, h * 0.88),
        &Paint::Flat([188, 192, 196]),
    );
    for way in [-1.0, 1.0] {
        let x = centre.0 + way * 200.0;
        let jaw = [
            (x, centre.1 - 120.0),
            (x + way * 120.0, centre.1 - 40.0),
            (x + way * 120.0, h * 0.86),
            (x, h * 0.86),
        ];
        c.fill(&jaw, &Paint::Flat([96, 102, 108]), 1.0);
    }
    let light = Paint::Radial {
        centre: (centre.0 - 70.0, centre.1 - 80.0),
        radius: 330.0,
        inner: [232, 235, 238],
        outer: [110, 116, 122],
    };
    c.disc(centre, 200.0, &light, 1.0);
    c.disc(centre, 118.0, &Paint::Flat([60, 64, 68]), 1.0);
    for (ring, count) in [(0.0, 1_u8), (44.0, 6), (88.0, 12)] {
        for n in 0..count {
            let turn = f32::from(n) / f32::from(count) * std::f32::consts::TAU;
            let at = (centre.0 + ring * turn.cos(), centre.1 + ring * turn.sin());
            c.disc(at, 21.0, &Paint::Flat([200, 204, 208]), 1.0);
        }
    }
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

fn on_wire(c: &mut Canvas, y: f32, slope: f32, share: f32, reading: &str) {
    let (w, _) = c.size();
    let radius = 225.0;
    tools::gauge(c, (w / 2.0, y - 1.35 * radius), radius, share, reading);
    // The wire lies in front of the gauge's arm, under its two hooks.
    let at = |x: f32| (x, y + slope * (x - w / 2.0));
    let reach = 1.7 * radius;
    things::wire(c, at(w / 2.0 - reach), at(w / 2.0 + reach), 15.0);
}
