//! The worked job, from the first tape reading to the handover, on three devices that share a folder.
//!
//! Every step goes through the list of commands, as a screen would call it; nothing is put into the
//! record any other way. The place, the people and the numbers are invented.

mod checks;
mod days;
mod drawn;
mod install;
mod office;
mod order;
mod pictures;
mod recheck;
mod stage;
mod survey;

use std::path::{Path, PathBuf};

use api::{ApiError, ErrorCode};
use serde_json::{Value, json};

use stage::Stage;

/// Where the demo works.
#[derive(Debug)]
pub struct Places {
    /// One folder for each device goes here.
    pub data: PathBuf,
    /// The shared folder.
    pub shared: PathBuf,
    /// The handover.
    pub out: PathBuf,
    /// The drawn pictures with their list.
    pub photos: PathBuf,
}

/// Runs the worked job and tells what was made.
///
/// # Errors
/// When a folder holds something already, a picture is missing, or a step does not go as told.
pub fn run(places: &Places, say: &dyn Fn(&str)) -> Result<Value, ApiError> {
    for folder in [&places.data, &places.shared, &places.out] {
        refuse_full(folder)?;
        can_be_written(folder)?;
    }
    let mut stage = Stage::open(places, say)?;
    survey::survey(&mut stage)?;
    order::before_ordering(&mut stage)?;
    order::meet(&mut stage)?;
    order::arrival(&mut stage)?;
    install::measure_to_cut(&mut stage)?;
    install::dispute(&mut stage)?;
    install::drill(&mut stage)?;
    install::cut_and_press(&mut stage)?;
    checks::tension(&mut stage)?;
    checks::gaps(&mut stage)?;
    recheck::recheck(&mut stage)?;
    office::hand_over(&mut stage)?;
    stage.finish()
}

fn refuse_full(folder: &Path) -> Result<(), ApiError> {
    let holds = std::fs::read_dir(folder).is_ok_and(|mut items| items.next().is_some());
    if holds {
        return Err(ApiError::new(
            ErrorCode::Invalid,
            format!(
                "{} holds something already. The demo needs empty folders; nothing was changed.",
                folder.display()
            ),
        ));
    }
    Ok(())
}

/// The work takes a minute: a folder that can't be written is told before it, not after.
fn can_be_written(folder: &Path) -> Result<(), ApiError> {
    let tried = folder.join(".try");
    std::fs::create_dir_all(folder)
        .and_then(|()| std::fs::write(&tried, []))
        .and_then(|()| std::fs::remove_file(&tried))
        .map_err(|e| {
            ApiError::new(
                ErrorCode::Storage,
                format!(
                    "{} can't be written ({e}). Name another folder; nothing was changed.",
                    folder.display()
                ),
            )
        })
}

/// A fault of the demo itself: a step went otherwise than the worked job tells.
pub(crate) fn astray(what: impl Into<String>) -> ApiError {
    ApiError::new(ErrorCode::Fault, what)
}

/// A plain named field for `addThing`.
pub(crate) fn field(name: &str, value: Value) -> Value {
    json!({"field": name, "value": value})
}

/// A field with a place.
pub(crate) fn field_at(name: &str, place: &str, value: Value) -> Value {
    json!({"field": name, "place": place, "value": value})
}

/// Millimetres as a length in the record's form.
pub(crate) fn mm(mm: i64) -> Value {
    json!({"nm": mm * 1_000_000})
}

/// What stands at a pointer like `/tension/required`; an error that names it where nothing does.
pub(crate) fn need<'v>(value: &'v Value, pointer: &str) -> Result<&'v Value, ApiError> {
    match value.pointer(pointer) {
        Some(found) if !found.is_null() => Ok(found),
        _ => Err(astray(format!("nothing stands at {pointer} of {value}"))),
    }
}

/// What stands at a pointer like `/tension/required`; null where nothing does.
pub(crate) fn at<'a>(value: &'a Value, pointer: &str) -> &'a Value {
    value.pointer(pointer).unwrap_or(&Value::Null)
}
