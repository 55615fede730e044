//! A run of 15 wires whose least order is sought, shared with the peer beside it (`peer.py`).

use mechanics::posts::{EndPosts, Post, Rail, Section, WirePull};
use mechanics::tensioning::{Frame, Replan, one_pass_on};
use mechanics::{
    Degrees, Figure, MechanicsError, Megapascals, Millimetres, Newtons, NewtonsPerMillimetre,
    Origin,
};

/// Wires of the run.
pub(crate) const WIRES: usize = 15;
/// What all of them are set to.
pub(crate) const SET: Newtons = Newtons(1500.0);

/// Fifteen wires between timber posts of 90 mm with a rail.
pub(crate) fn frame() -> Frame {
    let pulls: Vec<WirePull> = (1..=WIRES)
        .map(|n| WirePull {
            height: Millimetres(60.0 * n as f64),
            tension: SET,
            slope: Degrees(0.0),
        })
        .collect();
    let post = Post {
        section: Section::Rectangle {
            along: Millimetres(90.0),
            across: Millimetres(90.0),
        },
        modulus: Figure::of(Megapascals(11_000.0), Origin::Assumed),
        height: Millimetres(1000.0),
        rail: Some(Rail {
            height: Millimetres(1000.0),
            stiffness: NewtonsPerMillimetre(500.0),
        }),
        base_turning: None,
        bolt_distance: None,
    };
    let ends = EndPosts {
        start: post.clone(),
        start_pulls: pulls.clone(),
        end: post,
        end_pulls: pulls,
    };
    let lengths = vec![Millimetres(7235.0); WIRES];
    Frame::of(&ends, &lengths, Newtons(794_597.0)).expect("a frame")
}

/// The order from slack wires that asks for least on the way.
pub(crate) fn least(frame: &Frame, set: &[Newtons]) -> Result<Replan, MechanicsError> {
    let slack = vec![Newtons(0.0); WIRES];
    one_pass_on(frame, &slack, set, 0.04, Millimetres(0.0))
}
