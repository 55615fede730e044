//! Names of fields in the trade's words.

use crate::ids::ItemId;
use crate::model::bounds::spaced;
use crate::model::fields as registry;
use crate::subject::Subject;

/// The field of a subject (in text form) in the trade's words.
#[must_use]
pub fn field(subject: &str, name: &str) -> String {
    let kind = subject.parse::<Subject>().ok().map(|s| s.kind());
    let special = match (kind.map(|k| k.word()), name) {
        (Some("wire"), "length") => Some("inside to inside"),
        (Some("wire"), "done") => Some("tick"),
        (Some("bay"), "clear") => Some("clear distance"),
        (Some("bay"), "lowSpot") => Some("low spot of the floor"),
        (Some("bay"), "gaps") => Some("gap check"),
        (Some("post"), "floor") => Some("floor level"),
        (Some("post"), "drilled") => Some("spacing as drilled"),
        (Some("post"), "base") => Some("base fixing"),
        (Some("post"), "angle") => Some("angle of two pulls"),
        (Some("post"), "friction") => Some("friction of wires that turn"),
        (Some("post"), "pull") => Some("known pull"),
        (Some("post"), "section") => Some("cross section"),
        (Some("run"), "followsFloor") => Some("whether the template follows the floor"),
        (Some("run"), "railFollowsFloor") => Some("whether the rail follows the floor"),
        (Some("run"), "warmth") => Some("temperatures of cutting and tensioning"),
        (Some("run"), "wireCount") => Some("number of wires"),
        (Some("run"), "tensions") => Some("required, set and upper tension"),
        (Some("run"), "beforeSecondEnd") => Some("check before the second end"),
        (Some("wire"), "endOut") => Some("wire end out of the swage"),
        (Some("job"), "leastWood") => Some("wood between two holes"),
        (Some("job"), "place") => Some("address"),
        (Some("job"), "washedByRain") => Some("washed by rain"),
        (Some("tool"), "errorPer10000") => Some("error"),
        (Some("tool"), "massMg") => Some("mass as weighed"),
        (Some("defect"), "found") => Some("what is wrong"),
        (Some("defect"), "closed") => Some("how it was put right"),
        _ => None,
    };
    match special {
        Some(words) => words.to_owned(),
        None => known(kind, name),
    }
}

/// The same where the place within the field tells which of two things it is: a post's angle is that between
/// two runs that end there, or that of one run's wires.
#[must_use]
pub fn field_at(subject: &str, name: &str, place: &str) -> String {
    match name == registry::POST_ANGLE.name && place.parse::<ItemId>().is_ok() {
        true => "angle of a run".to_owned(),
        false => field(subject, name),
    }
}

fn known(kind: Option<crate::subject::SubjectKind>, name: &str) -> String {
    match kind.and_then(|k| registry::find(k, name)) {
        Some(spec) => spaced(spec.name),
        None => format!("{} (not known to this version)", spaced(name)),
    }
}
