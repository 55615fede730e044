//! A small painter: anti-aliased polygons, lines and discs on 8-bit RGB.
//!
//! Lengths are units: the shorter side of every canvas is 1000 units, so one drawing serves any
//! size. Invariant: nothing outside the canvas is touched, and equal calls give equal pixels.

use super::Rng;

/// A point in units, y down.
pub(super) type Point = (f32, f32);

/// Red, green, blue.
pub(super) type Rgb = [u8; 3];

/// How an area is coloured.
pub(super) enum Paint {
    /// One colour.
    Flat(Rgb),
    /// Three colours along a line, as on a round bar in light.
    Ramp {
        from: Point,
        to: Point,
        stops: [Rgb; 3],
    },
    /// From a centre outwards, as on a ball in light.
    Radial {
        centre: Point,
        radius: f32,
        inner: Rgb,
        outer: Rgb,
    },
}

/// The picture being drawn.
pub(super) struct Canvas {
    width: u32,
    height: u32,
    scale: f32,
    pixels: Vec<u8>,
}

const ROWS_PER_PIXEL: u32 = 4;

impl Canvas {
    pub(super) fn new(width: u32, height: u32) -> Canvas {
        let scale = width.min(height) as f32 / 1000.0;
        let pixels = vec![255; width as usize * height as usize * 3];
        Canvas {
            width,
            height,
            scale,
            pixels,
        }
    }

    /// Width and height in units.
    pub(super) fn size(&self) -> Point {
        (
            self.width as f32 / self.scale,
            self.height as f32 / self.scale,
        )
    }

    /// The finished pixels, row by row.
    pub(super) fn into_pixels(self) -> Vec<u8> {
        self.pixels
    }

    /// Fills a closed outline (even-odd), `alpha` from 0 to 1.
    pub(super) fn fill(&mut self, outline: &[Point], paint: &Paint, alpha: f32) {
        let outline: Vec<Point> = outline
            .iter()
            .map(|(x, y)| (x * self.scale, y * self.scale))
            .collect();
        let edges: Vec<(Point, Point)> = outline
            .iter()
            .zip(outline.iter().cycle().skip(1))
            .map(|(a, b)| if a.1 <= b.1 { (*a, *b) } else { (*b, *a) })
            .filter(|(a, b)| a.1 < b.1)
            .collect();
        let top = edges
            .iter()
            .map(|(a, _)| a.1)
            .fold(f32::MAX, f32::min)
            .max(0.0) as u32;
        let bottom = edges.iter().map(|(_, b)| b.1).fold(0.0, f32::max).ceil();
        let bottom = (bottom.max(0.0) as u32).min(self.height);
        // Only the columns that the outline spans are looked at: most shapes are small.
        let reach = |pick: fn(f32, f32) -> f32, start: f32| {
            outline
                .iter()
                .map(|(x, _)| *x)
                .fold(start, pick)
                .clamp(0.0, self.width as f32)
        };
        let first = reach(f32::min, f32::MAX) as u32;
        let last = reach(f32::max, 0.0).ceil() as u32;
        let mut cover = vec![0.0_f32; last.saturating_sub(first) as usize];
        let shift = first as f32;
        for row in top..bottom {
            cover.fill(0.0);
            for sub in 0..ROWS_PER_PIXEL {
                let y = row as f32 + (sub as f32 + 0.5) / ROWS_PER_PIXEL as f32;
                let mut cuts: Vec<f32> = edges
                    .iter()
                    .filter(|(a, b)| a.1 <= y && y < b.1)
                    .map(|(a, b)| a.0 + (b.0 - a.0) * (y - a.1) / (b.1 - a.1))
                    .collect();
                cuts.sort_by(f32::total_cmp);
                for pair in cuts.chunks_exact(2) {
                    if let [left, right] = pair {
                        add_span(&mut cover, *left - shift, *right - shift);
                    }
                }
            }
            self.blend_row((first, row), &cover, paint, alpha);
        }
    }

    /// Draws a line of `width` units with round ends and joints.
    pub(super) fn line(&mut self, points: &[Point], width: f32, colour: Rgb) {
        let paint = Paint::Flat(colour);
        let half = (width / 2.0).max(0.35 / self.scale);
        for pair in points.windows(2) {
            if let [a, b] = pair {
                self.fill(&bar(*a, *b, half), &paint, 1.0);
            }
        }
        if half * self.scale > 0.8 {
            for point in points {
                self.disc(*point, half, &paint, 1.0);
            }
        }
    }

    /// Fills a disc.
    pub(super) fn disc(&mut self, centre: Point, radius: f32, paint: &Paint, alpha: f32) {
        self.fill(&round(centre, radius, radius), paint, alpha);
    }

    /// Fills an upright rectangle given by two corners.
    pub(super) fn rect(&mut self, from: Point, to: Point, paint: &Paint) {
        self.fill(&[from, (to.0, from.1), to, (from.0, to.1)], paint, 1.0);
    }

    /// Adds the grain of a sensor: every channel moves by up to `most` steps.
    pub(super) fn grain(&mut self, rng: &mut Rng, most: i16) {
        let span = 2 * u32::from(most.unsigned_abs()) + 1;
        for pixel in self.pixels.chunks_exact_mut(3) {
            let dice = rng.next();
            for (n, channel) in pixel.iter_mut().enumerate() {
                let step = ((dice >> (10 * n)) & 0x3FF) * span / 1024;
                let moved = i16::from(*channel) + step as i16 - most;
                *channel = moved.clamp(0, 255) as u8;
            }
        }
    }

    fn blend_row(&mut self, (first, row): (u32, u32), cover: &[f32], paint: &Paint, alpha: f32) {
        let stride = self.width as usize * 3;
        let scale = self.scale;
        let Some(line) = self
            .pixels
            .get_mut(row as usize * stride..(row as usize + 1) * stride)
        else {
            return;
        };
        for (x, (pixel, cover)) in line
            .chunks_exact_mut(3)
            .skip(first as usize)
            .zip(cover)
            .enumerate()
        {
            if *cover <= 0.0 {
                continue;
            }
            let share = (cover * alpha).min(1.0);
            let colour = paint.at(((first as usize + x) as f32 / scale, row as f32 / scale));
            for (channel, new) in pixel.iter_mut().zip(colour) {
                let old = f32::from(*channel);
                *channel = (old + (new - old) * share + 0.5) as u8;
            }
        }
    }
}

impl Paint {
    fn at(&self, p: Point) -> [f32; 3] {
        match self {
            Paint::Flat(colour) => colour.map(f32::from),
            Paint::Ramp {
                from,
                to,
                stops: [first, middle, last],
            } => {
                let (dx, dy) = (to.0 - from.0, to.1 - from.1);
                let t = ((p.0 - from.0) * dx + (p.1 - from.1) * dy) / (dx * dx + dy * dy).max(1e-6);
                if t < 0.5 {
                    mix(*first, *middle, 2.0 * t)
                } else {
                    mix(*middle, *last, 2.0 * t - 1.0)
                }
            }
            Paint::Radial {
                centre,
                radius,
                inner,
                outer,
            } => {
                let (dx, dy) = (p.0 - centre.0, p.1 - centre.1);
                mix(*inner, *outer, (dx * dx + dy * dy).sqrt() / radius)
            }
        }
    }
}

/// The outline of a straight bar of half-width `half`.
pub(super) fn bar(a: Point, b: Point, half: f32) -> [Point; 4] {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let length = (dx * dx + dy * dy).sqrt().max(1e-6);
    let (nx, ny) = (-dy / length * half, dx / length * half);
    [
        (a.0 + nx, a.1 + ny),
        (b.0 + nx, b.1 + ny),
        (b.0 - nx, b.1 - ny),
        (a.0 - nx, a.1 - ny),
    ]
}

/// The outline of an ellipse.
pub(super) fn round(centre: Point, rx: f32, ry: f32) -> Vec<Point> {
    let corners = if rx.max(ry) < 12.0 { 20 } else { 64 };
    (0..corners)
        .map(|n| {
            let turn = n as f32 / corners as f32 * std::f32::consts::TAU;
            (centre.0 + rx * turn.cos(), centre.1 + ry * turn.sin())
        })
        .collect()
}

fn mix(a: Rgb, b: Rgb, t: f32) -> [f32; 3] {
    let t = t.clamp(0.0, 1.0);
    let [ar, ag, ab] = a.map(f32::from);
    let [br, bg, bb] = b.map(f32::from);
    [ar + (br - ar) * t, ag + (bg - ag) * t, ab + (bb - ab) * t]
}

/// Adds one sub-row from `left` to `right`, with the exact share of the first and last pixel.
fn add_span(cover: &mut [f32], left: f32, right: f32) {
    let left = left.max(0.0);
    let right = right.min(cover.len() as f32);
    if right <= left {
        return;
    }
    let share = 1.0 / ROWS_PER_PIXEL as f32;
    let (first, last) = (left as usize, (right.ceil() as usize).min(cover.len()));
    let Some(touched) = cover.get_mut(first..last) else {
        return;
    };
    for (n, cell) in touched.iter_mut().enumerate() {
        let x = (first + n) as f32;
        *cell += share * (right.min(x + 1.0) - left.max(x));
    }
}
