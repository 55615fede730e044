//! What the signs of a drawing mean, in sentences for below it.
//!
//! Invariant: only what is drawn is explained.

use records::job::Run;

use super::measures::{number, wall_beside};
use super::{Drawing, Role, Shape};

/// One sentence for each sort of sign in the drawing of a run, letters of states left out.
#[must_use]
pub fn signs(run: &Run, drawing: &Drawing) -> Vec<String> {
    let texts = |role: Role| {
        drawing.shapes.iter().filter_map(move |s| match s {
            Shape::Text { text, is, .. } if is.role == role => Some(text.as_str()),
            _ => None,
        })
    };
    let any = |role: Role| drawing.shapes.iter().any(|s| role_of(s) == role);
    let mut said = Vec::new();
    if any(Role::BayLength) {
        let mut text = "Below the bays: clear lengths in mm".to_owned();
        if texts(Role::BayLength).any(|t| t.starts_with('(')) {
            text.push_str("; in brackets: from positions, not measured");
        }
        said.push(format!("{text}."));
    }
    if any(Role::FloorLevel) {
        said.push("Small numbers below the floor: its level at each post in mm, against the first post; minus is lower.".into());
    }
    if any(Role::LowSpot) {
        let mut text = "low: the lowest level of the floor within a bay in mm, as the levels at the posts; the floor is drawn through it".to_owned();
        if texts(Role::LowSpot).any(|t| t.starts_with('(')) {
            text.push_str(
                "; in brackets: its place along the bay is not told, drawn in the middle",
            );
        }
        said.push(format!("{text}."));
    }
    let ends = [
        run.posts.first(),
        run.posts.last().filter(|_| run.posts.len() > 1),
    ];
    let walls: Vec<(&str, f64)> = ends
        .into_iter()
        .flatten()
        .filter_map(|post| Some((post.name.as_str(), wall_beside(post)?)))
        .collect();
    for (post, gap) in &walls {
        let gap = number(*gap);
        said.push(format!(
            "Upright strip beside {post}: a wall; the {gap} at its foot is the distance from post to wall in mm."
        ));
    }
    let figures = || texts(Role::Opening).chain(texts(Role::LowSpot));
    let apart = figures().any(|t| t.trim_start_matches('(').starts_with('≠'));
    let (passed, plain): (Vec<&str>, Vec<&str>) =
        texts(Role::Opening).partition(|t| t.starts_with('!'));
    if plain.len() > walls.len() {
        said.push("Numbers beside a post between wires: centre to centre as drilled, where it is not as laid out.".into());
    }
    if !passed.is_empty() {
        said.push("! with a number below a post: an opening that the probe passed.".into());
    }
    let of_bay = |s: &Shape| matches!(s, Shape::Mark { is, .. } if is.role == Role::Opening);
    if drawing.shapes.iter().any(of_bay) {
        said.push("! between wires: an opening that the probe passed.".into());
    }
    if apart {
        said.push("≠ with a number: people differ on it.".into());
    }
    if any(Role::Nosing) {
        said.push("Dashed: line of the nosings, from which heights count.".into());
    }
    if any(Role::End) {
        said.push("LH, RH: left-hand and right-hand thread.".into());
    }
    said
}

fn role_of(shape: &Shape) -> Role {
    match shape {
        Shape::Line { is, .. }
        | Shape::Box { is, .. }
        | Shape::Text { is, .. }
        | Shape::Mark { is, .. } => is.role,
    }
}
