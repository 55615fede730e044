//! Days on site, and how the edge was left at the end of each.

use api::ApiError;
use serde_json::json;

use super::field;
use super::stage::{Stage, Who};

/// A day on site.
pub(super) fn visit(
    stage: &mut Stage<'_>,
    who: Who,
    day: &str,
    why: &str,
    weather: &str,
) -> Result<(), ApiError> {
    let fields = vec![
        field("day", json!(day)),
        field("why", json!(why)),
        field("who", json!(who.person())),
        field("weather", json!(weather)),
    ];
    stage.add(who, "visit", &format!("visit {day}"), fields)?;
    Ok(())
}

/// How the edge was left at the end of a day.
pub(super) fn left_safe(
    stage: &mut Stage<'_>,
    who: Who,
    day: &str,
    how: &str,
) -> Result<(), ApiError> {
    let visit = format!("visit:{}", stage.id(&format!("visit {day}"))?);
    let value = json!({"how": how, "told": "R. Ambrose-Finch"});
    stage.say(who, &[(&visit, "leftSafe", "", value)])
}
