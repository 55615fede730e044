//! The two runs of the demo seen along their length, from either side.
//!
//! One-point perspective: what is farther along the run is smaller. Heights and positions are in
//! millimetres of the demo job; wires are drawn thicker than they are so that they show.

use super::{
    Rng,
    canvas::{Canvas, Paint, Point, bar},
    things,
};

/// Where the eye stands.
pub(super) struct Eye {
    /// True when the far end of the run is at the right.
    pub(super) to_right: bool,
    /// Height of the eye over the floor at the near end, mm.
    pub(super) height_mm: f32,
    /// Fall of the run along its length, mm per mm; 0 for the deck.
    pub(super) fall: f32,
    /// Where the horizon stands, as a share of the picture's height.
    pub(super) horizon: f32,
    /// Size of a millimetre at the near end, in units.
    pub(super) units_per_mm: f32,
}

/// A run as the picture needs it, in mm from the near end.
pub(super) struct Run {
    pub(super) posts_mm: &'static [f32],
    pub(super) wires_mm: &'static [f32],
    pub(super) rail_mm: (f32, f32),
}

/// Run A of the demo, with post A4a.
pub(super) const RUN_A: Run = Run {
    posts_mm: &[0.0, 1470.0, 2970.0, 4455.0, 5280.0, 6105.0, 7390.0],
    wires_mm: &[
        76.0, 152.0, 228.0, 304.0, 380.0, 456.0, 532.0, 608.0, 684.0, 760.0, 836.0, 912.0,
    ],
    rail_mm: (985.0, 1020.0),
};

/// Run B of the demo, heights over the nosings.
pub(super) const RUN_B: Run = Run {
    posts_mm: &[0.0, 1075.0, 2150.0],
    wires_mm: &[93.0, 186.0, 279.0, 372.0, 465.0, 558.0, 651.0, 744.0],
    rail_mm: (836.0, 891.0),
};

/// Draws the run with its wires, posts and rail.
pub(super) fn run(c: &mut Canvas, rng: &mut Rng, eye: &Eye, run: &Run) {
    let size = c.size();
    let depth_mm = run.posts_mm.iter().copied().fold(1.0, f32::max);
    let at = |along: f32, high: f32| project(size, eye, depth_mm, along, high);
    for wire in run.wires_mm {
        let (near, far) = (at(0.0, *wire), at(depth_mm, *wire));
        c.fill(&taper(near, far, 2.6, 1.1), &Paint::Flat([64, 68, 74]), 1.0);
        let light = taper((near.0, near.1 - 1.2), (far.0, far.1 - 0.4), 1.1, 0.5);
        c.fill(&light, &Paint::Flat([220, 226, 230]), 1.0);
    }
    for post in run.posts_mm.iter().rev() {
        let (low, high) = (at(*post, 0.0), at(*post, run.rail_mm.0));
        let half = (low.1 - high.1) * 0.052;
        things::timber(
            c,
            rng,
            (high.0 - half, high.1),
            (low.0 + half, low.1),
            (post - 5280.0).abs() < 1.0,
        );
    }
    let under = (
        at(-150.0, run.rail_mm.0),
        at(depth_mm + 150.0, run.rail_mm.0),
    );
    let over = (
        at(-150.0, run.rail_mm.1 + 25.0),
        at(depth_mm + 150.0, run.rail_mm.1 + 25.0),
    );
    let stops = [[206, 166, 120], [176, 136, 96], [132, 98, 68]];
    let paint = Paint::Ramp {
        from: over.0,
        to: (over.0.0, under.0.1),
        stops,
    };
    c.fill(&[over.0, over.1, under.1, under.0], &paint, 1.0);
}

/// The steps beside the stair run: goings of 250, each tread level, its nosing on the floor line.
pub(super) fn steps(c: &mut Canvas, eye: &Eye) {
    let size = c.size();
    let at = |along: f32, high: f32| project(size, eye, 2150.0, along, high);
    let beside = |p: Point, along: f32| {
        let wide = 1100.0 * eye.units_per_mm / (1.0 + 2.2 * along / 2150.0);
        (if eye.to_right { p.0 + wide } else { p.0 - wide }, p.1)
    };
    for n in (0..9_u8).rev() {
        let (near, far) = (f32::from(n) * 250.0, f32::from(n + 1) * 250.0);
        // Going down the nosing is the far edge of a tread, going up the near one.
        let level = -250.0 * eye.fall.abs();
        let (a, b) = if eye.fall > 0.0 {
            (at(near, level), at(far, 0.0))
        } else {
            (at(near, 0.0), at(far, level))
        };
        if eye.fall < 0.0 {
            let top = at(far, 0.0);
            let riser = [b, top, beside(top, far), beside(b, far)];
            c.fill(&riser, &Paint::Flat([108, 86, 66]), 1.0);
        }
        let tread = [a, b, beside(b, far), beside(a, near)];
        c.fill(&tread, &Paint::Flat([168, 138, 106]), 1.0);
        let nosing = if eye.fall > 0.0 {
            (b, beside(b, far))
        } else {
            (a, beside(a, near))
        };
        c.fill(
            &bar(nosing.0, nosing.1, 2.5),
            &Paint::Flat([84, 66, 50]),
            1.0,
        );
    }
}

/// The board along the deck's edge, below the run.
pub(super) fn fascia(c: &mut Canvas, eye: &Eye) {
    let size = c.size();
    let at = |along: f32, high: f32| project(size, eye, 7390.0, along, high);
    let (near, far) = (at(-300.0, 0.0), at(7700.0, 0.0));
    let (near_low, far_low) = (at(-300.0, -240.0), at(7700.0, -240.0));
    c.fill(
        &[near, far, far_low, near_low],
        &Paint::Flat([136, 102, 70]),
        1.0,
    );
    c.fill(&bar(near, far, 3.0), &Paint::Flat([92, 68, 48]), 1.0);
}

fn project(size: Point, eye: &Eye, depth_mm: f32, along: f32, high: f32) -> Point {
    let z = 1.0 + 2.2 * (along / depth_mm);
    let units_per_mm = eye.units_per_mm / z;
    let edge = size.0 * 0.11;
    let reach = size.0 * 1.12 * (1.0 - 1.0 / z);
    let x = if eye.to_right {
        edge + reach
    } else {
        size.0 - edge - reach
    };
    let horizon = size.1 * eye.horizon;
    let floor = -along * eye.fall;
    (x, horizon + (eye.height_mm - floor - high) * units_per_mm)
}

fn taper(a: Point, b: Point, half_a: f32, half_b: f32) -> [Point; 4] {
    [
        (a.0, a.1 - half_a),
        (b.0, b.1 - half_b),
        (b.0, b.1 + half_b),
        (a.0, a.1 + half_a),
    ]
}
