//! What is seen on a site, drawn: posts, wires, rails, deck, tools, labels.
//!
//! Colours and shapes are the project's own; lengths are canvas units unless a name says mm.

use super::{
    Rng,
    canvas::{Canvas, Paint, Point, Rgb, bar, round},
    lettering,
};

pub(super) const INK: Rgb = [38, 40, 44];
pub(super) const PALE: Rgb = [244, 241, 232];
const WOOD: [Rgb; 3] = [[150, 112, 74], [196, 156, 110], [128, 94, 62]];
const FRESH_WOOD: [Rgb; 3] = [[206, 172, 120], [234, 206, 156], [188, 152, 104]];
const STEEL: [Rgb; 3] = [[120, 126, 132], [226, 230, 233], [96, 102, 108]];

/// Sky over sea, with the horizon at `y`.
pub(super) fn sky_and_sea(c: &mut Canvas, y: f32) {
    let (w, h) = c.size();
    let sky = Paint::Ramp {
        from: (0.0, 0.0),
        to: (0.0, y),
        stops: [[142, 178, 208], [186, 208, 222], [226, 230, 226]],
    };
    c.rect((0.0, 0.0), (w, y), &sky);
    let sea = Paint::Ramp {
        from: (0.0, y),
        to: (0.0, h),
        stops: [[92, 132, 150], [74, 112, 128], [60, 92, 104]],
    };
    c.rect((0.0, y), (w, h), &sea);
}

/// Deck boards seen from above, or paving where `grey`.
pub(super) fn floor(c: &mut Canvas, rng: &mut Rng, top: f32, grey: bool) {
    let (w, h) = c.size();
    let stops = if grey {
        [[150, 148, 142], [172, 170, 164], [138, 136, 132]]
    } else {
        [[128, 104, 82], [154, 128, 102], [112, 90, 70]]
    };
    c.rect(
        (0.0, top),
        (w, h),
        &Paint::Ramp {
            from: (0.0, top),
            to: (0.0, h),
            stops,
        },
    );
    let mut y = top;
    let mut step = 26.0;
    while y < h {
        c.line(&[(0.0, y), (w, y)], 3.0, [82, 68, 56]);
        for _ in 0..3 {
            let x = rng.range(0.0, w);
            let at = y + step * rng.range(0.2, 0.8);
            c.line(
                &[(x, at), (x + rng.range(60.0, 220.0), at + 1.5)],
                1.2,
                [110, 92, 76],
            );
        }
        y += step;
        step *= 1.22;
    }
}

/// A workbench for small parts.
pub(super) fn bench(c: &mut Canvas, rng: &mut Rng) {
    let (w, h) = c.size();
    let stops = [[176, 166, 148], [190, 180, 162], [162, 152, 136]];
    c.rect(
        (0.0, 0.0),
        (w, h),
        &Paint::Ramp {
            from: (0.0, 0.0),
            to: (w, h),
            stops,
        },
    );
    for _ in 0..70 {
        let (x, y) = (rng.range(-50.0, w), rng.range(0.0, h));
        let slip = rng.range(-4.0, 4.0);
        c.line(
            &[(x, y), (x + rng.range(80.0, 400.0), y + slip)],
            1.4,
            [164, 154, 137],
        );
    }
}

/// An upright piece of timber between `left` and `right`.
pub(super) fn timber(c: &mut Canvas, rng: &mut Rng, from: Point, to: Point, fresh: bool) {
    let stops = if fresh { FRESH_WOOD } else { WOOD };
    let upright = (to.1 - from.1) >= (to.0 - from.0);
    let end = if upright {
        (to.0, from.1)
    } else {
        (from.0, to.1)
    };
    c.rect(
        from,
        to,
        &Paint::Ramp {
            from,
            to: end,
            stops,
        },
    );
    let [dark, ..] = stops;
    for _ in 0..14 {
        let t = rng.range(0.04, 0.96);
        let wave = rng.range(-3.0, 3.0);
        let grain = if upright {
            let x = from.0 + (to.0 - from.0) * t;
            [(x, from.1), (x + wave, (from.1 + to.1) / 2.0), (x, to.1)]
        } else {
            let y = from.1 + (to.1 - from.1) * t;
            [(from.0, y), ((from.0 + to.0) / 2.0, y + wave), (to.0, y)]
        };
        for pair in grain.windows(2) {
            if let [a, b] = pair {
                c.fill(&bar(*a, *b, rng.range(0.4, 1.1)), &Paint::Flat(dark), 0.45);
            }
        }
    }
}

/// A stranded wire, thick enough to show its light and its lay.
pub(super) fn wire(c: &mut Canvas, a: Point, b: Point, width: f32) {
    let half = width / 2.0;
    let outline = bar(a, b, half);
    let [first, .., last] = outline;
    c.fill(
        &outline,
        &Paint::Ramp {
            from: first,
            to: last,
            stops: STEEL,
        },
        1.0,
    );
    if width < 7.0 {
        return;
    }
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let length = (dx * dx + dy * dy).sqrt().max(1.0);
    let (ux, uy) = (dx / length, dy / length);
    let mut at = 0.0;
    while at < length - width {
        let near = (a.0 + ux * at - uy * half, a.1 + uy * at + ux * half);
        let far = (
            a.0 + ux * (at + width) + uy * half,
            a.1 + uy * (at + width) - ux * half,
        );
        c.line(&[near, far], width / 14.0, [112, 118, 124]);
        at += width * 0.42;
    }
}

/// A round steel part lying along a line: terminal, stud, insert.
pub(super) fn steel_bar(c: &mut Canvas, a: Point, b: Point, width: f32) {
    let outline = bar(a, b, width / 2.0);
    let [first, .., last] = outline;
    c.fill(
        &outline,
        &Paint::Ramp {
            from: first,
            to: last,
            stops: STEEL,
        },
        1.0,
    );
}

/// The thread of a stud, as slanted lines; `left_hand` slants the other way.
pub(super) fn thread(c: &mut Canvas, a: Point, length: f32, width: f32, left_hand: bool) {
    steel_bar(c, a, (a.0 + length, a.1), width);
    let lean = if left_hand { -0.3 } else { 0.3 } * width;
    let mut x = a.0 + width * 0.2;
    while x < a.0 + length - width * 0.2 {
        c.line(
            &[(x - lean, a.1 - width / 2.0), (x + lean, a.1 + width / 2.0)],
            2.2,
            [92, 96, 102],
        );
        x += width * 0.22;
    }
}

/// A swaged terminal with its stud to the left and the wire's mouth to the right.
pub(super) fn terminal(c: &mut Canvas, at: Point, size: f32, left_hand: bool) {
    thread(c, at, 2.2 * size, 0.5 * size, left_hand);
    let hex = (at.0 + 2.2 * size, at.1);
    steel_bar(c, hex, (hex.0 + 0.5 * size, at.1), 0.85 * size);
    steel_bar(
        c,
        (hex.0 + 0.5 * size, at.1),
        (hex.0 + 2.6 * size, at.1),
        0.62 * size,
    );
}

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

/// A hole bored into a face, with its shadow.
pub(super) fn hole(c: &mut Canvas, centre: Point, radius: f32) {
    c.disc(centre, radius, &Paint::Flat([44, 32, 22]), 1.0);
    let lip = round(
        (centre.0, centre.1 + radius * 0.3),
        radius * 0.85,
        radius * 0.7,
    );
    c.fill(&lip, &Paint::Flat([78, 58, 40]), 0.7);
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
