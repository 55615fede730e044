//! Figures of one value that can be by themselves and not together.

use mechanics::Millimetres;
use mechanics::slope::{STEEPEST, stair_slope};
use mechanics::thread::Thread;
use serde_json::Value;

use crate::model::values::{EndKind, Length};
use crate::model::{TERMINAL_FIGURES, TerminalFigure};
use crate::subject::SubjectKind;

/// Figures that can be by themselves and not together.
pub(super) fn together(subject: SubjectKind, field: &str, value: &Value) -> Option<String> {
    let at = |name: &str| value.get(name).and_then(Value::as_i64);
    match (subject, field) {
        (SubjectKind::Post, "section") => {
            let (wall, along, across) = (at("wallNm")?, at("alongNm")?, at("acrossNm")?);
            if value.get("solid").and_then(Value::as_bool) == Some(true) {
                return Some("a solid post has no wall thickness; tell one of the two".to_owned());
            }
            (wall >= along.min(across) / 2 + along.min(across) % 2)
                .then(|| "the wall fills the post; leave it out where the post is solid".to_owned())
        }
        (SubjectKind::Run, "slope") => {
            let mm = |nm| Millimetres(Length { nm }.as_mm());
            let (rise, going) = (mm(at("riseNm")?), mm(at("goingNm")?));
            let overhang = at("overhangNm").map(mm);
            if let Some(wrong) = overhang.and_then(|overhang| overhang_wrong(overhang, going)) {
                return Some(wrong);
            }
            stair_slope(rise, going).err().map(|_| {
                format!(
                    "a rise of {rise} on a going of {going} is steeper than {}°; one of them may be in \
                     another unit",
                    STEEPEST.value()
                )
            })
        }
        (SubjectKind::Run, "wireHeights") => {
            let heights = value.get("nm")?.as_array()?;
            let pairs = heights.iter().zip(heights.iter().skip(1));
            let mm = |n: &Value| Some(Length { nm: n.as_i64()? }.as_mm());
            (2..)
                .zip(pairs)
                .filter_map(|(wire, (lower, upper))| Some((wire, mm(lower)?, mm(upper)?)))
                .find(|(_, lower, upper)| upper <= lower)
                .map(|(wire, lower, upper): (u32, f64, f64)| {
                    format!(
                        "wire {wire} stands at {upper} mm and the wire below it at {lower} mm; tell \
                         the heights from the bottom, each above the one before"
                    )
                })
        }
        (SubjectKind::Photo, "marks") => super::marks::wrong(value),
        (SubjectKind::FittingSet, "terminals") => ["left", "right"]
            .into_iter()
            .find_map(|hand| Some((hand, stud(value.get(hand)?)?)))
            .map(|(hand, wrong)| format!("the {hand}-hand terminal {wrong}")),
        _ => None,
    }
}

/// What in a tread's overhang and its going can't be together: it would reach over the next riser.
pub(crate) fn overhang_wrong(overhang: Millimetres, going: Millimetres) -> Option<String> {
    (overhang >= going).then(|| {
        format!(
            "a tread with a going of {going} can't stand out by {overhang}; one of them may be in \
             another unit"
        )
    })
}

fn stud(terminal: &Value) -> Option<String> {
    let at = |name: &str| terminal.get(name).and_then(Value::as_i64);
    let kind = terminal.get("kind").cloned().unwrap_or_default();
    let kind: Option<EndKind> = serde_json::from_value(kind).ok();
    if kind == Some(EndKind::Insert) {
        let carries = |figure: &&TerminalFigure| figure.carries(EndKind::Insert);
        let mut of_insert = TERMINAL_FIGURES.iter().filter(carries);
        if let Some(missing) = of_insert.find(|figure| at(figure.name).is_none()) {
            let called = missing.called_of(EndKind::Insert);
            return Some(format!("goes into an insert and lacks its {called}"));
        }
    }
    // What an end without a thread says of a stud is not looked at.
    if kind.is_some_and(|kind| !kind.has_thread()) {
        return mouth_wrong(at("mouthNm"), at("insertionNm"));
    }
    // A thread that is too short for what is to be engaged is answered where it is used.
    // So is a pitch that leaves no core: the wires of its run are cut on site.
    stud_wrong(at("overallNm"), at("insertionNm"), at("threadNm"), None)
}

/// What in a thread's diameter and pitch can't be together: no core would be left.
pub(crate) fn thread_wrong(diameter: Option<i64>, pitch: Option<i64>) -> Option<String> {
    let mm = |nm: i64| Millimetres(Length { nm }.as_mm());
    let (diameter, pitch) = (mm(diameter?), mm(pitch?));
    Thread::new(diameter, pitch).err().map(|_| {
        format!(
            "has a thread of {} mm with a pitch of {} mm, which can't be; look at both",
            diameter.value(),
            pitch.value()
        )
    })
}

/// What in the figures of an end without a thread can't be together: its mouth stands before the post by more than
/// the wire that it swallows.
pub(crate) fn mouth_wrong(mouth: Option<i64>, insertion: Option<i64>) -> Option<String> {
    let mm = |nm: i64| Length { nm }.as_mm();
    let (mouth, insertion) = (mouth?, insertion?);
    (insertion >= mouth).then(|| {
        format!(
            "swallows {} mm of wire, and its mouth is {} mm before the post's face; look at both",
            mm(insertion),
            mm(mouth)
        )
    })
}

/// What in the figures of a stud can't be together, each as far as it is told: the strand goes into it as
/// far as its insertion depth, the thread has room on the rest, and what is engaged is a part of the thread.
pub(crate) fn stud_wrong(
    overall: Option<i64>,
    insertion: Option<i64>,
    thread: Option<i64>,
    engaged: Option<i64>,
) -> Option<String> {
    let mm = |nm: i64| Length { nm }.as_mm();
    if let (Some(overall), Some(insertion)) = (overall, insertion) {
        if insertion >= overall {
            return Some(format!(
                "swallows {} mm of wire and is {} mm long; look at both",
                mm(insertion),
                mm(overall)
            ));
        }
        let rest = overall - insertion;
        if let Some(thread) = thread.filter(|thread| *thread > rest) {
            return Some(format!(
                "has {} mm of thread, and {} mm of it are left beside the wire that it swallows; look at \
                 its thread, its length and its insertion depth",
                mm(thread),
                mm(rest)
            ));
        }
    }
    let (thread, engaged) = (thread?, engaged?);
    (engaged > thread).then(|| {
        format!(
            "asks for {} mm of engagement and has {} mm of thread; look at both",
            mm(engaged),
            mm(thread)
        )
    })
}
