//! The subcommands that wrap one command of the api each.
//!
//! To add one: a variant with its arguments, a line in `call`, and a row in the test. Nothing is
//! decided here; what a command checks it checks for every caller. One file
//! past 400 lines, since a command's arguments, its request and its row are changed together.

use std::path::{Path, PathBuf};

use api::{ApiError, ErrorCode};
use clap::{Subcommand, builder::PossibleValuesParser};
use serde_json::{Value, json};

use crate::choose::Choose;
use crate::heard::{self, OfHeard};
use crate::on_paper::OnPaper;
use crate::shared::{OfJob, Shown, whole};
use crate::{exchanged, imported, laid, rules, sheet};

/// Subcommands with a command of their own in the api.
#[derive(Debug, Subcommand)]
pub(crate) enum Wrapped {
    /// Founds a crew with this device as its founder; the first start needs it, also before a join.
    Found {
        /// The crew's name.
        #[arg(long)]
        crew: String,
        /// Your name.
        #[arg(long)]
        person: String,
        /// What this device is mostly used for.
        #[arg(long, default_value = "installer", value_parser = roles())]
        role: String,
    },
    /// Makes a folder the shared folder of this device's crew.
    Share {
        /// The folder.
        folder: PathBuf,
    },
    /// Asks to join the crew of a folder and shows the digits to compare; --confirm then joins.
    Join {
        /// The shared folder.
        #[arg(required_unless_present = "confirm")]
        folder: Option<PathBuf>,
        /// The digits that the other screen shows, when they are the same.
        #[arg(long, value_name = "DIGITS", num_args = 1..=4)]
        confirm: Option<Vec<String>>,
    },
    /// Lists the devices that ask to be admitted, or admits one whose digits were compared.
    Admit {
        /// The device.
        device: Option<String>,
        /// The digits that its screen shows.
        #[arg(long, value_name = "DIGITS", num_args = 1..=5)]
        code: Option<Vec<String>>,
        /// What that device is mostly used for.
        #[arg(long, default_value = "installer", value_parser = roles())]
        role: String,
    },
    /// Exchanges with the shared folder: what is new here goes there, what is new there comes here.
    ///
    /// Ends with 1 when something could not be done, was set aside, was seen otherwise by others,
    /// pieces of a log are not whole, files that are none of the record's lie there, or this device's
    /// record has two branches; with 5 when pieces of
    /// a newer version wait. Pictures that are still to come, or not to be admitted yet, are no fault.
    Sync {
        /// Also reads what lies there already, and writes again what was damaged there.
        #[arg(long)]
        everything: bool,
    },
    /// Pictures from files.
    Photo {
        #[command(subcommand)]
        act: OfPhotos,
    },
    /// Documents from files.
    Document {
        #[command(subcommand)]
        act: OfDocuments,
    },
    /// Surveys from files.
    Survey {
        #[command(subcommand)]
        act: OfSurvey,
    },
    /// Shows the cut sheet of a run, trial wire first.
    Cuts {
        /// The run, by name or id.
        run: String,
        #[command(flatten)]
        of: OfJob,
    },
    /// Tells a wire's tension from the sound of three plucks, as a guide only.
    ///
    /// Have both ends of the span pinched and measure from pinch to pinch. Give three WAV files of
    /// one pluck each, or one file of all three. Ends with 1 where the sound tells no tension.
    Sound {
        #[command(flatten)]
        heard: OfHeard,
        /// The WAV files.
        #[arg(required = true, value_name = "WAV")]
        files: Vec<PathBuf>,
    },
    /// Tells a wire's tension from the swing of a phone clamped at mid span, as a guide only.
    ///
    /// The file holds one sample a line: milliseconds and the accelerations of one to three axes.
    Swing {
        #[command(flatten)]
        heard: OfHeard,
        /// Phone, clamp and what hangs with them, in grams as weighed.
        #[arg(long, value_name = "G")]
        grams: String,
        /// The file with the motion.
        file: PathBuf,
    },
    /// Compares the wires of a run by what was heard of them: which is tighter, which slacker.
    Even {
        /// The run, by name or id.
        run: String,
        #[command(flatten)]
        of: OfJob,
    },
    /// Proposes wires for a run from its rail, floor levels and rule set; records nothing.
    Layout {
        /// The run, by name or id.
        run: String,
        #[command(flatten)]
        wishes: laid::Wishes,
        #[command(flatten)]
        of: OfJob,
    },
    /// Writes the full-size drilling template of a run's posts as a PDF.
    Template {
        /// The run, by name or id.
        run: String,
        /// The file to write, which must not exist; without it one below the data folder is made.
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
        #[command(flatten)]
        on: OnPaper,
        #[command(flatten)]
        of: OfJob,
    },
    /// Rule sets of the program and of the crew.
    Rules {
        #[command(subcommand)]
        act: rules::OfRules,
    },
    /// Shows the cut plan: which wire from which reel or offcut, in what order, and what is left.
    Plan {
        #[command(flatten)]
        of: OfJob,
    },
    /// Writes labels of the planned wires as a PDF.
    Labels {
        /// The file to write; without it one below the data folder is made.
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
        /// Also wires that are cut and not fitted yet.
        #[arg(long)]
        cut: bool,
        #[command(flatten)]
        on: OnPaper,
        #[command(flatten)]
        of: OfJob,
    },
    /// Writes the handover of a job into a new folder: document, data, pictures, hashes.
    Handover {
        /// The folder to write; without it one below the data folder is made.
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        #[command(flatten)]
        of: OfJob,
    },
    /// Looks over the data folder, or a shared folder or handover, and names the first fault, its
    /// kind and what to do; changes nothing.
    Verify {
        /// A shared folder, held to the crew that this device has confirmed.
        #[arg(long, value_name = "DIR", conflicts_with = "handover")]
        shared: Option<PathBuf>,
        /// A handover folder; no data folder is needed for it.
        #[arg(long, value_name = "DIR")]
        handover: Option<PathBuf>,
        /// The crew that the handover must be of, by the hash of its founding entry, as the crew
        /// tells it: names can be anybody's.
        #[arg(long, value_name = "HASH", requires = "handover")]
        crew: Option<String>,
    },
    /// Prints a whole job as stable JSON, with the hash of its state.
    State {
        #[command(flatten)]
        of: OfJob,
    },
    /// Deletes the index, makes it anew from the journal and shows the hashes before and after.
    Rebuild {
        /// Instead moves a damaged local.db to aside/ and begins a new one; the index stays.
        #[arg(long)]
        local: bool,
    },
}

/// What is done with surveys.
#[derive(Debug, Subcommand)]
pub(crate) enum OfSurvey {
    /// Imports a survey in JSON, or lengths as a CSV table; tells every part that does not fit.
    Import {
        /// The file.
        file: PathBuf,
        /// The job, by title or id; without it a survey in JSON begins a new one, unless one of its title
        /// and place is there.
        #[arg(long)]
        job: Option<String>,
        /// Records odd values too, after a person has looked at them.
        #[arg(long)]
        yes: bool,
    },
}

/// What is done with pictures.
#[derive(Debug, Subcommand)]
pub(crate) enum OfPhotos {
    /// Takes a picture into a job: original, view and thumb, with the time and place in its file.
    Add {
        /// The file.
        file: PathBuf,
        /// What it shows.
        #[arg(long, default_value = "")]
        caption: String,
        #[command(flatten)]
        of: OfJob,
    },
}

/// What is done with documents.
#[derive(Debug, Subcommand)]
pub(crate) enum OfDocuments {
    /// Takes any file into a job as a document; its bytes are kept as they are.
    Add {
        /// The file.
        file: PathBuf,
        #[command(flatten)]
        of: OfJob,
    },
}

/// A command of the api with its request.
#[derive(Debug, PartialEq)]
pub(crate) struct Call {
    pub(crate) command: &'static str,
    pub(crate) request: Value,
    pub(crate) shown: Shown,
}

/// Which command a subcommand stands for, and what it asks of it.
pub(crate) fn call(wrapped: &Wrapped, choose: &dyn Choose) -> Result<Call, ApiError> {
    let shown = match wrapped {
        Wrapped::Cuts { .. } => Shown::Sheet,
        Wrapped::Plan { .. } => Shown::Plan,
        Wrapped::Survey { .. } => Shown::Imported,
        Wrapped::State { .. } => Shown::Json,
        Wrapped::Verify { .. } => Shown::Verified,
        Wrapped::Sound { .. } | Wrapped::Swing { .. } | Wrapped::Even { .. } => Shown::Heard,
        Wrapped::Layout { .. } => Shown::Layout,
        Wrapped::Sync { .. } => Shown::Exchanged,
        Wrapped::Rules { act } => act.shown(),
        _ => Shown::Plain,
    };
    let (command, request) = match wrapped {
        Wrapped::Found { crew, person, role } => (
            "foundCrew",
            json!({ "crew": crew, "person": person, "role": role }),
        ),
        Wrapped::Share { folder } => ("share", json!({ "folder": whole(folder)? })),
        Wrapped::Join {
            folder: Some(_),
            confirm: Some(_),
        } => {
            return Err(ApiError::invalid(
                "Ask first with the folder (`tautbook join FOLDER`), and when the digits are the same on both \
                 screens confirm them alone: `tautbook join --confirm DIGITS`.",
            ));
        }
        Wrapped::Join {
            confirm: Some(digits),
            ..
        } => ("confirmJoin", json!({ "digits": digits.join(" ") })),
        Wrapped::Join { folder, .. } => {
            let folder = folder.as_deref().unwrap_or(Path::new(""));
            ("join", json!({ "folder": whole(folder)? }))
        }
        Wrapped::Admit {
            device,
            code: Some(code),
            role,
        } => {
            let (device, digits) = admitted(device.as_deref(), code)?;
            (
                "admit",
                json!({ "device": device, "digits": digits, "role": role }),
            )
        }
        Wrapped::Admit {
            device: Some(_),
            code: None,
            ..
        } => {
            return Err(ApiError::invalid(
                "Compare the digits that the other device shows after `tautbook join FOLDER` with those that \
                 `tautbook admit` lists here. Where they are the same: `tautbook admit DEVICE --code DIGITS`.",
            ));
        }
        Wrapped::Admit {
            device: None,
            code: None,
            ..
        } => ("applicants", json!({})),
        Wrapped::Sync { everything } => ("startSync", json!({ "everything": everything })),
        Wrapped::Photo {
            act: OfPhotos::Add { file, caption, of },
        } => {
            let mut request = from_file(file, &choose.job(of.job.as_deref())?)?;
            if let Some(fields) = request.as_object_mut() {
                fields.insert("caption".to_owned(), caption.as_str().into());
            }
            ("addPhoto", request)
        }
        Wrapped::Document {
            act: OfDocuments::Add { file, of },
        } => {
            let request = from_file(file, &choose.job(of.job.as_deref())?)?;
            ("addDocument", request)
        }
        Wrapped::Survey {
            act: OfSurvey::Import { file, job, yes },
        } => ("startImport", import(file, job.as_deref(), *yes, choose)?),
        Wrapped::Cuts { run, of } => {
            let job = choose.job(of.job.as_deref())?;
            let run = choose.run(&job, run)?;
            ("cutSheet", json!({ "job": job, "run": run }))
        }
        Wrapped::Sound { heard: of, files } => {
            let files: Result<Vec<Value>, ApiError> =
                files.iter().map(|f| heard::file(f)).collect();
            heard::asked(
                of,
                json!({ "kind": "plucks", "recordings": files? }),
                choose,
            )?
        }
        Wrapped::Swing {
            heard: of,
            grams,
            file: motion,
        } => {
            let by = json!({ "kind": "swing", "motion": heard::file(motion)?, "grams": grams });
            heard::asked(of, by, choose)?
        }
        Wrapped::Even { run, of } => {
            let job = choose.job(of.job.as_deref())?;
            let run = choose.run(&job, run)?;
            ("evenUp", json!({ "job": job, "run": run }))
        }
        Wrapped::Layout { run, wishes, of } => {
            let job = choose.job(of.job.as_deref())?;
            let run = choose.run(&job, run)?;
            (
                "layOut",
                json!({ "job": job, "run": run, "wishes": wishes.request() }),
            )
        }
        Wrapped::Template { run, out, on, of } => {
            let job = choose.job(of.job.as_deref())?;
            let run = choose.run(&job, run)?;
            let mut request = on.told(json!({ "job": job, "run": run }));
            if let (Some(out), Some(fields)) = (out, request.as_object_mut()) {
                fields.insert("file".to_owned(), whole(out)?.into());
            }
            ("drillingTemplate", request)
        }
        Wrapped::Rules { act } => act.call(choose)?,
        Wrapped::Plan { of } => ("cutPlan", json!({ "job": choose.job(of.job.as_deref())? })),
        Wrapped::Labels { out, cut, on, of } => {
            let job = choose.job(of.job.as_deref())?;
            let mut request = on.told(json!({ "job": job, "cut": cut }));
            if let (Some(out), Some(fields)) = (out, request.as_object_mut()) {
                fields.insert("file".to_owned(), whole(out)?.into());
            }
            ("startLabels", request)
        }
        Wrapped::Handover { out, of } => {
            let mut request = json!({ "job": choose.job(of.job.as_deref())? });
            if let (Some(out), Some(fields)) = (out, request.as_object_mut()) {
                fields.insert("folder".to_owned(), whole(out)?.into());
            }
            ("startHandover", request)
        }
        Wrapped::Verify {
            shared, handover, ..
        } => {
            let request = match (shared, handover) {
                (Some(folder), _) => json!({ "what": "shared", "folder": whole(folder)? }),
                (None, Some(folder)) => json!({ "what": "handover", "folder": whole(folder)? }),
                (None, None) => json!({ "what": "data" }),
            };
            ("startVerify", request)
        }
        Wrapped::State { of } => (
            "readState",
            json!({ "job": choose.job(of.job.as_deref())? }),
        ),
        Wrapped::Rebuild { .. } => ("rebuild", json!({})),
    };
    Ok(Call {
        command,
        request,
        shown,
    })
}

/// What an answer says to be wrong although the command itself ran, for the exit code.
pub(crate) fn fault(wrapped: &Wrapped, answer: &Value) -> Option<(ErrorCode, &'static str)> {
    let differs = || answer.get("same") != Some(&Value::Bool(true));
    match wrapped {
        Wrapped::Rebuild { .. } if answer.get("unreadable").is_some_and(|n| *n != 0) => Some((
            ErrorCode::Fault,
            "Lines of the journal are no entries any more: `verify` names the first. Keep a copy of the data folder; an exchange fetches again what the shared folder holds of them.",
        )),
        Wrapped::Rebuild { .. } if answer.get("brokenOff").is_some() => Some((
            ErrorCode::Fault,
            "Entries that were saved here do not count any more: `brokenOff` says what to do, and `verify` names the place.",
        )),
        Wrapped::Rebuild { .. } if differs() => Some((
            ErrorCode::Fault,
            "The state after the rebuild is not the one before it. Keep a copy of the data folder and report this.",
        )),
        Wrapped::Photo {
            act: OfPhotos::Add { .. },
        } => fault_of("addPhoto", answer),
        Wrapped::Survey { .. } => fault_of("startImport", answer),
        Wrapped::Sync { .. } => fault_of("startSync", answer),
        Wrapped::Verify { .. } => fault_of("startVerify", answer),
        Wrapped::Sound { .. } | Wrapped::Swing { .. } => fault_of("hear", answer),
        Wrapped::Layout { .. } => fault_of("layOut", answer),
        Wrapped::Cuts { .. } => fault_of("cutSheet", answer),
        Wrapped::Plan { .. } => fault_of("cutPlan", answer),
        Wrapped::Handover { .. } => fault_of("startHandover", answer),
        _ => None,
    }
}

/// Whether an answer tells what a job holds, so that it can't be whole where entries do not count any more.
pub(crate) fn tells_a_job(wrapped: &Wrapped) -> bool {
    matches!(
        wrapped,
        Wrapped::Cuts { .. }
            | Wrapped::Even { .. }
            | Wrapped::Layout { .. }
            | Wrapped::Template { .. }
            | Wrapped::Plan { .. }
            | Wrapped::Labels { .. }
            | Wrapped::Handover { .. }
            | Wrapped::State { .. }
    )
}

/// The device to be admitted and its digits: those stand in groups, and the device may stand behind them.
fn admitted<'w>(
    device: Option<&'w str>,
    code: &'w [String],
) -> Result<(&'w str, String), ApiError> {
    let is_digits = |word: &&str| word.chars().all(|c| c.is_ascii_digit() || " -".contains(c));
    let words = code.iter().map(String::as_str);
    let (digits, others): (Vec<&str>, Vec<&str>) = words.partition(is_digits);
    let device = match (device, others.as_slice()) {
        (Some(device), []) => device,
        (None, [device]) => device,
        (Some(_), [other, ..]) => {
            return Err(ApiError::invalid(format!(
                "Behind --code stand the digits that the device's screen shows, and \"{}\" is none of them. \
                 Nobody was admitted.",
                records::photos::visible(other, 60)
            )));
        }
        (None, _) => {
            return Err(ApiError::invalid(
                "Name one device beside the digits: `tautbook admit DEVICE --code DIGITS`.",
            ));
        }
    };
    Ok((device, digits.join(" ")))
}

/// What is to be done after a subcommand that sends nothing by itself.
pub(crate) fn next_step(wrapped: &Wrapped) -> Option<&'static str> {
    match wrapped {
        Wrapped::Share { .. } | Wrapped::Admit { code: Some(_), .. } => {
            Some("Nothing was sent yet: exchange now (`tautbook sync`), so that the others get it.")
        }
        Wrapped::Join { confirm: None, .. } => Some(
            "On a device of the crew `tautbook admit` now lists this one. Compare the digits, admit it there \
             with them (`tautbook admit DEVICE --code DIGITS`) and exchange; then confirm them here: `tautbook \
             join --confirm DIGITS`.",
        ),
        Wrapped::Join {
            confirm: Some(_), ..
        } => Some(
            "Now exchange (`tautbook sync`), once the device that admitted this one has exchanged.",
        ),
        _ => None,
    }
}

/// The same for a command that was called by its name.
pub(crate) fn fault_of(command: &str, answer: &Value) -> Option<(ErrorCode, &'static str)> {
    match command {
        "startImport" => imported::fault(answer),
        "startSync" => exchanged::fault(answer),
        "startVerify" => exchanged::looked_over(answer),
        "hear" => heard::fault(answer),
        "layOut" => laid::fault(answer),
        "cutSheet" => sheet::fault(answer),
        "cutPlan" if short_of_stock(answer) => Some((
            ErrorCode::Fault,
            "For some wires no reel or offcut is left or long enough: the plan names them.",
        )),
        "startHandover" if answer.get("missing").is_some_and(|n| *n != 0) => Some((
            ErrorCode::Fault,
            "The handover goes without pictures or documents that are not here: exchange, then make it again.",
        )),
        "addPhoto" if answer.get("remarks").is_some() => Some((
            ErrorCode::Fault,
            "The picture is kept with its bytes; what is remarked of it is to be looked at. It need not be added again.",
        )),
        "say" | "signOff" if answer.get("remarks").is_some() => Some((
            ErrorCode::Fault,
            "What was told is kept; what is remarked of it is to be looked at.",
        )),
        _ => None,
    }
}

fn short_of_stock(plan: &Value) -> bool {
    let strands = plan.get("strands").and_then(Value::as_array);
    let short = |strand: &Value| {
        let none = strand.get("noStock").and_then(Value::as_array);
        none.is_some_and(|wires| !wires.is_empty())
    };
    strands.is_some_and(|strands| strands.iter().any(short))
}

/// A request that takes a file of this machine into a job under the file's name.
fn from_file(file: &Path, job: &str) -> Result<Value, ApiError> {
    let name = file.file_name().unwrap_or_default().to_string_lossy();
    let source = json!({ "kind": "file", "path": whole(file)? });
    Ok(json!({ "job": job, "source": source, "name": name }))
}

fn import(
    file: &Path,
    job: Option<&str>,
    yes: bool,
    choose: &dyn Choose,
) -> Result<Value, ApiError> {
    let table = file
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("csv"));
    let source = json!({ "kind": "file", "path": whole(file)? });
    let mut request = json!({ "source": source, "confirmed": yes });
    // A table belongs to a job; a survey begins one where none is named.
    if let (true, Some(fields)) = (table || job.is_some(), request.as_object_mut()) {
        fields.insert("job".to_owned(), choose.job(job)?.into());
    }
    Ok(request)
}

fn roles() -> PossibleValuesParser {
    ["surveyor", "installer", "office"].into()
}

#[cfg(test)]
mod tests;
