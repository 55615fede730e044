//! What is seen on a site, drawn: posts, wires, rails, deck, parts.
//!
//! Colours and shapes are the project's own; lengths are canvas units unless a name says mm.

use super::{
    Rng,
    canvas::{Canvas, Paint, Point, Rgb, bar, round},
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
