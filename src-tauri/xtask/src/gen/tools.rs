//! What people bring and lay into the frame: ruler, gauge, probe, label card.
//!
//! Shapes are the project's own and show no make; lengths are canvas units.

use super::{
    canvas::{Canvas, Paint, Point},
    lettering,
    things::{INK, PALE},
};

/// A ruler or tape of `length` units from `a`, straight down or to the right.
pub(super) fn scale(c: &mut Canvas, a: Point, length: f32, down: bool, step: f32, first: i32) {
    let wide = 54.0;
    let end = if down {
        (a.0 + wide, a.1 + length)
    } else {
        (a.0 + length, a.1 + wide)
    };
    c.rect(
        (a.0 + 5.0, a.1 + 6.0),
        (end.0 + 5.0, end.1 + 6.0),
        &Paint::Flat([90, 84, 76]),
    );
    let paint = Paint::Ramp {
        from: a,
        to: end,
        stops: [[240, 222, 136], [246, 230, 156], [226, 206, 118]],
    };
    c.rect(a, end, &paint);
    let count = (length / step) as i32;
    for n in 0..=count {
        let along = n as f32 * step;
        let tick = if n % 10 == 0 {
            30.0
        } else if n % 5 == 0 {
            22.0
        } else {
            13.0
        };
        let (from, to) = if down {
            ((a.0, a.1 + along), (a.0 + tick, a.1 + along))
        } else {
            ((a.0 + along, a.1), (a.0 + along, a.1 + tick))
        };
        c.line(&[from, to], 2.0, INK);
        if n % 10 == 0 && n < count {
            let at = if down {
                (a.0 + 26.0, a.1 + along + 8.0)
            } else {
                (a.0 + along + 6.0, a.1 + 30.0)
            };
            lettering::write(c, at, 15.0, INK, &(first + n).abs().to_string());
        }
    }
}

/// A tension gauge: body on the wire, round face with the needle at `share` of its sweep.
pub(super) fn gauge(c: &mut Canvas, centre: Point, radius: f32, share: f32, reading: &str) {
    let (left, right) = (centre.0 - 2.1 * radius, centre.0 + 2.1 * radius);
    let arm = Paint::Flat([58, 66, 72]);
    c.rect(
        (centre.0 - 0.4 * radius, centre.1),
        (centre.0 + 0.4 * radius, centre.1 + 1.6 * radius),
        &arm,
    );
    c.rect(
        (left, centre.1 + 1.4 * radius),
        (right, centre.1 + 1.75 * radius),
        &arm,
    );
    for x in [left, right - 0.3 * radius] {
        c.rect(
            (x, centre.1 + 1.05 * radius),
            (x + 0.3 * radius, centre.1 + 1.5 * radius),
            &arm,
        );
    }
    c.disc(
        (centre.0 + 10.0, centre.1 + 14.0),
        1.14 * radius,
        &Paint::Flat([30, 32, 34]),
        0.35,
    );
    c.disc(centre, 1.14 * radius, &Paint::Flat([58, 66, 72]), 1.0);
    let face = Paint::Radial {
        centre,
        radius,
        inner: [250, 250, 246],
        outer: [224, 226, 222],
    };
    c.disc(centre, radius, &face, 1.0);
    let spoke = |share: f32, reach: f32| {
        let turn = (0.75 + 1.5 * share) * std::f32::consts::PI;
        (
            centre.0 + reach * radius * turn.cos(),
            centre.1 + reach * radius * turn.sin(),
        )
    };
    for n in 0..=40 {
        let share = n as f32 / 40.0;
        let inner = if n % 5 == 0 { 0.78 } else { 0.86 };
        c.line(
            &[spoke(share, inner), spoke(share, 0.94)],
            if n % 5 == 0 { 4.0 } else { 2.0 },
            INK,
        );
        if n % 10 == 0 {
            let (x, y) = spoke(share, 0.62);
            let text = (n * 50).to_string();
            let size = radius * 0.11;
            lettering::write(
                c,
                (x - lettering::width(&text, size) / 2.0, y - size / 2.0),
                size,
                INK,
                &text,
            );
        }
    }
    c.line(
        &[spoke(share, -0.18), spoke(share, 0.84)],
        radius * 0.035,
        [176, 40, 32],
    );
    c.disc(centre, radius * 0.07, &Paint::Flat(INK), 1.0);
    let size = radius * 0.13;
    let at = (
        centre.0 - lettering::width(reading, size) / 2.0,
        centre.1 + 0.68 * radius,
    );
    lettering::write(c, at, size, INK, reading);
}

/// A ball in light: the probe that is offered to a gap.
pub(super) fn ball(c: &mut Canvas, centre: Point, radius: f32) {
    let shade = Paint::Radial {
        centre: (centre.0 - 0.35 * radius, centre.1 - 0.4 * radius),
        radius: 1.5 * radius,
        inner: [238, 236, 226],
        outer: [112, 108, 98],
    };
    c.disc(centre, radius, &shade, 1.0);
    c.line(
        &[(centre.0 - radius, centre.1), (centre.0 + radius, centre.1)],
        2.0,
        [150, 146, 134],
    );
}

/// A card with handwriting, as laid into the frame: title and further lines.
pub(super) fn card(c: &mut Canvas, at: Point, lines: &[&str]) {
    let height = 34.0;
    let widest = lines
        .iter()
        .map(|line| lettering::width(line, height))
        .fold(0.0, f32::max);
    let to = (
        at.0 + widest + 48.0,
        at.1 + lines.len() as f32 * 56.0 + 28.0,
    );
    c.fill(
        &[
            (at.0 + 8.0, at.1 + 10.0),
            (to.0 + 8.0, at.1 + 10.0),
            (to.0 + 8.0, to.1 + 10.0),
            (at.0 + 8.0, to.1 + 10.0),
        ],
        &Paint::Flat([20, 20, 20]),
        0.3,
    );
    c.rect(at, to, &Paint::Flat(PALE));
    for (n, line) in lines.iter().enumerate() {
        lettering::write(
            c,
            (at.0 + 24.0, at.1 + 26.0 + n as f32 * 56.0),
            height,
            [30, 44, 92],
            line,
        );
    }
}

/// The strip at the foot that says what the picture is.
pub(super) fn footer(c: &mut Canvas, number: u32) {
    let (_, h) = c.size();
    let text = format!("DRAWN, NOT PHOTOGRAPHED  NO. {number}");
    let to = (lettering::width(&text, 18.0) + 36.0, h);
    c.fill(
        &[(0.0, h - 38.0), (to.0, h - 38.0), to, (0.0, h)],
        &Paint::Flat(INK),
        0.75,
    );
    lettering::write(c, (18.0, h - 28.0), 18.0, PALE, &text);
}
