//! A drawing as SVG for print.
//!
//! Owns line styles and text sizes on paper. Invariant: a state shows in the form of the line and
//! in a letter, so a grey print keeps it; every text is escaped.

use std::fmt::Write as _;

use crate::visible;

use super::{Anchor, Drawing, Is, Role, Shape, State};

/// Room on paper, millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Paper {
    /// Greatest width.
    pub width: f64,
    /// Greatest height.
    pub height: f64,
    /// Height of ordinary text.
    pub text: f64,
}

impl Paper {
    /// The scales across and down, as paper millimetres per millimetre of the run.
    ///
    /// A long run is squeezed along its length only, never more than its wires need to be told
    /// apart; both scales are equal where that fits.
    #[must_use]
    pub fn scales(&self, drawing: &Drawing) -> (f64, f64) {
        let across = self.width / drawing.width.max(1.0);
        let down = self.height / drawing.height.max(1.0);
        (across.min(down), down.min(across * 3.0))
    }
}

/// Writes a drawing as an SVG picture that stands alone.
#[must_use]
pub fn svg(drawing: &Drawing, paper: &Paper) -> String {
    let (sx, sy) = paper.scales(drawing);
    let (w, h) = (drawing.width * sx, drawing.height * sy);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w:.2}mm\" height=\"{h:.2}mm\" viewBox=\"0 0 {w:.2} {h:.2}\" font-family=\"DejaVu Sans Mono\">\n"
    );
    let mut ordered: Vec<&Shape> = drawing.shapes.iter().collect();
    ordered.sort_by_key(|s| layer(s));
    for shape in ordered {
        write_shape(&mut out, shape, (sx, sy), paper.text);
    }
    out.push_str("</svg>\n");
    out
}

fn layer(shape: &Shape) -> u8 {
    match shape {
        Shape::Box { is, .. } if is.role == Role::Post => 3,
        Shape::Box { .. } => 0,
        Shape::Line { is, .. } if is.role == Role::Wire => 2,
        Shape::Line { .. } => 1,
        Shape::Text { .. } => 4,
        Shape::Mark { .. } => 5,
    }
}

fn write_shape(out: &mut String, shape: &Shape, (sx, sy): (f64, f64), size: f64) {
    let written = match shape {
        Shape::Line {
            x1,
            y1,
            x2,
            y2,
            width,
            is,
        } => {
            let (stroke, thick, dash) = line_style(is);
            let thick = width.map_or(thick, |w| (w * sy).clamp(0.6, 3.0));
            write!(
                out,
                "<line x1=\"{:.3}\" y1=\"{:.3}\" x2=\"{:.3}\" y2=\"{:.3}\" stroke=\"{stroke}\" stroke-width=\"{thick:.2}\"",
                x1 * sx, y1 * sy, x2 * sx, y2 * sy,
            )
            .and_then(|()| match dash {
                "" => out.write_str("/>\n"),
                dash => writeln!(out, " stroke-dasharray=\"{dash}\"/>"),
            })
        }
        Shape::Box { x, y, w, h, is } => {
            let (fill, stroke) = match is.role {
                Role::Post => ("#e4ded3", "#3a3a3a"),
                Role::Wall => ("#cfcfcf", "#8a8a8a"),
                _ => return,
            };
            writeln!(
                out,
                "<rect x=\"{:.3}\" y=\"{:.3}\" width=\"{:.3}\" height=\"{:.3}\" fill=\"{fill}\" stroke=\"{stroke}\" stroke-width=\"0.25\"/>",
                x * sx,
                y * sy,
                (w * sx).max(0.6),
                (h * sy).max(0.3),
            )
        }
        Shape::Text {
            x,
            y,
            text,
            anchor,
            size: rel,
            is,
        } => {
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let weight = if is.role == Role::PostName {
                " font-weight=\"bold\""
            } else {
                ""
            };
            writeln!(
                out,
                "<text x=\"{:.3}\" y=\"{:.3}\" font-size=\"{:.2}\" text-anchor=\"{anchor}\" fill=\"#111111\"{weight}>{}</text>",
                x * sx,
                y * sy,
                size * rel.unwrap_or(1.0),
                escape(text),
            )
        }
        Shape::Mark { x, y, mark, .. } => writeln!(
            out,
            "<text x=\"{:.3}\" y=\"{:.3}\" font-size=\"{size:.2}\" text-anchor=\"middle\" font-weight=\"bold\" fill=\"#111111\">{}</text>",
            x * sx,
            y * sy + size * 0.36,
            escape(mark),
        ),
    };
    // Writing into a String can't fail.
    debug_assert!(written.is_ok());
}

fn line_style(is: &Is) -> (&'static str, f64, &'static str) {
    match is.role {
        Role::Wire => match is.state.unwrap_or_default() {
            State::None => ("#777777", 0.15, ""),
            State::Interpolated => ("#222222", 0.2, "0.4 1.6"),
            State::Measured => ("#222222", 0.2, "0.4 0.8"),
            State::Cut => ("#222222", 0.25, "1.8 1"),
            State::Read => ("#222222", 0.25, "3 1"),
            State::Fitted => ("#222222", 0.25, ""),
            State::Tensioned => ("#111111", 0.35, ""),
            State::Checked => ("#111111", 0.45, ""),
            State::Over => ("#b00020", 0.7, "3 0.8 0.8 0.8"),
            State::ReadAgain => ("#222222", 0.3, "3 0.6 0.4 0.6 0.4 0.6"),
            State::OfferAgain => ("#222222", 0.3, "0.4 0.4"),
            State::Below | State::Passes => ("#b00020", 0.7, "3 0.8"),
            State::Rejected => ("#b00020", 0.5, "0.8 0.8"),
            State::Thread => ("#b00020", 0.5, "1.6 0.5 0.5 0.5"),
            State::Disputed => ("#8a5a00", 0.7, "0.7 0.7"),
            State::Newer => ("#8a5a00", 0.5, "2.4 0.6 0.4 0.6"),
        },
        Role::Floor | Role::Stair => ("#4a4a4a", 0.4, ""),
        Role::Nosing => ("#888888", 0.15, "2 1"),
        Role::Rail => ("#a89f90", 1.0, ""),
        _ => ("#555555", 0.15, ""),
    }
}

fn cut(mut text: String, letters: usize) -> String {
    if let Some((at, _)) = text.char_indices().nth(letters) {
        text.truncate(at);
        text.push('…');
    }
    text
}

/// Longest text in a drawing, letters: beyond it a name runs into its neighbours and off the paper.
const LONGEST: usize = 16;
/// The same once hidden characters are spelled out.
const LONGEST_SHOWN: usize = 22;

/// Text for markup: cut where it is too long, hidden characters shown, the five signs of markup
/// written out.
fn escape(text: &str) -> String {
    let shown = cut(visible::line(&cut(text.to_owned(), LONGEST)), LONGEST_SHOWN);
    let mut out = String::with_capacity(shown.len());
    for c in shown.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}
