//! From arguments to a call, from its answer to what is printed.

use std::{
    io::{Read, stdin},
    path::{Path, PathBuf},
    process::ExitCode,
    sync::Arc,
    thread,
};

use api::{ApiError, App, ErrorCode};
use clap::Parser;
use serde_json::{Value, json};

use crate::{
    args::{Args, Sub},
    choose, exchanged, exit, follow, heard, imported, laid, plan, print, rules,
    serve::{self, Limits, Options},
    shared::Shown,
    sheet, verify,
    wrapped::{self, Wrapped},
};

/// The largest request that is read from standard input, in bytes.
const REQUEST_LIMIT: u64 = 16 * 1024 * 1024;

/// Runs the program on the arguments of the process.
pub fn main() -> ExitCode {
    let args = match Args::try_parse() {
        Ok(args) => args,
        Err(refused) => return not_understood(&refused),
    };
    match run(&args) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            print::error(&error, args.json);
            ExitCode::from(exit::code(error.code))
        }
    }
}

/// Help and version go where they always go; what is wrong with the arguments goes where errors go,
/// as JSON where the arguments ask for it.
fn not_understood(refused: &clap::Error) -> ExitCode {
    let asked = std::env::args_os().skip(1).take_while(|word| word != "--");
    if !refused.use_stderr() || !asked.into_iter().any(|word| word == "--json") {
        // A reader that went away has what it wanted.
        let _ = refused.print();
        return ExitCode::from(u8::try_from(refused.exit_code()).unwrap_or(2));
    }
    let text = refused.to_string();
    let message = text.strip_prefix("error: ").unwrap_or(&text).trim();
    let error = ApiError::invalid(message);
    print::error(&error, true);
    ExitCode::from(exit::code(error.code))
}

fn run(args: &Args) -> Result<(), ApiError> {
    match &args.subcommand {
        Sub::Wrapped(wrapped) => call(args, wrapped),
        Sub::Commands { typescript } => commands(args.json, *typescript),
        Sub::Call { name, request } => {
            // A folder that is not there is made by the first start alone: else its path is mistyped.
            let folder = args.folder()?;
            if name != "foundCrew" && !folder.exists() {
                holds_a_record(folder)?;
            }
            let app = open(args)?;
            let answer = api::dispatch(&app, name, request_of(request)?)?;
            let answer = follow::to_the_end(&app, answer)?;
            print::json(&answer);
            match wrapped::fault_of(name, &answer) {
                Some((code, message)) => Err(ApiError::new(code, message)),
                None => Ok(()),
            }
        }
        Sub::Demo {
            shared,
            out,
            photos,
        } => demo(args, shared, out, photos.as_deref()),
        Sub::Serve { port, ui } => serve(args, *port, ui.as_deref()),
    }
}

fn call(args: &Args, wrapped: &Wrapped) -> Result<(), ApiError> {
    if let Some(answer) = verify::without_record(args, wrapped) {
        let answer = answer?;
        match args.json {
            true => print::json(&answer),
            false => print::text(&verify::text(&answer)),
        }
        return Ok(());
    }
    if !matches!(wrapped, Wrapped::Found { .. }) {
        holds_a_record(args.folder()?)?;
    }
    if matches!(wrapped, Wrapped::Rebuild { local: true }) {
        let kept = App::set_local_aside(args.folder()?)?;
        let answer = json!({ "setAside": kept, "next": "Name the shared folder again: `tautbook share FOLDER`." });
        match args.json {
            true => print::json(&answer),
            false => print::text(&print::plain(&answer)),
        }
        return Ok(());
    }
    let app = open(args)?;
    let call = wrapped::call(wrapped, &app).inspect_err(|error| {
        if let Some(jobs) = choose::jobs_beside(&app, error).filter(|_| !args.json) {
            print::beside(&jobs);
        }
    })?;
    let job = call.request.get("job").and_then(Value::as_str);
    let job = job
        .filter(|_| wrapped::tells_a_job(wrapped))
        .map(str::to_owned);
    let answer = api::dispatch(&app, call.command, call.request)?;
    let answer = follow::to_the_end(&app, answer)?;
    match call.shown {
        _ if args.json => print::json(&answer),
        Shown::Json => print::json(&answer),
        Shown::Sheet => print::text(&sheet::text(&answer)),
        Shown::Plan => print::text(&plan::text(&answer)),
        Shown::Imported => print::text(&imported::text(&answer)),
        Shown::Exchanged => print::text(&exchanged::text(&answer)),
        Shown::Heard => print::text(&heard::text(&answer)),
        Shown::Verified => print::text(&verify::text(&answer)),
        Shown::Layout => print::text(&laid::text(&answer)),
        Shown::Rules => print::text(&rules::text(&answer)),
        Shown::RuleFile => print::text(&rules::file(&answer)),
        Shown::Plain => print::text(&print::plain(&answer)),
    }
    if let Some(next) = wrapped::next_step(wrapped).filter(|_| !args.json) {
        print::text(next);
    }
    if matches!(wrapped, Wrapped::Sync { .. }) && !args.json && !admitted(&app).unwrap_or(true) {
        print::text(exchanged::NOT_ADMITTED);
    }
    if matches!(wrapped, Wrapped::Sync { .. }) && !args.json {
        let overview = api::dispatch(&app, "overview", json!({}))?;
        let newer = overview.get("newer").and_then(Value::as_str);
        newer.into_iter().for_each(print::text);
    }
    if let Some((code, message)) = wrapped::fault(wrapped, &answer) {
        return Err(ApiError::new(code, message));
    }
    let broken = job.map(|job| app.broken_off(&job)).transpose()?;
    match broken.flatten() {
        Some(told) => Err(ApiError::new(
            ErrorCode::Fault,
            format!("{told} The answer above leaves them out."),
        )),
        None => Ok(()),
    }
}

/// Whether this device counts in the crew that it exchanges with.
fn admitted(app: &App) -> Result<bool, ApiError> {
    let overview = api::dispatch(app, "overview", json!({}))?;
    let crews = overview.get("crews").and_then(Value::as_array);
    let mut current = crews
        .into_iter()
        .flatten()
        .filter(|crew| crew.get("current") == Some(&Value::Bool(true)));
    Ok(current.all(|crew| crew.get("admitted") != Some(&Value::Bool(false))))
}

fn demo(args: &Args, shared: &Path, out: &Path, photos: Option<&Path>) -> Result<(), ApiError> {
    let data = args.data.clone().ok_or_else(|| {
        ApiError::invalid("Name the folder for the three devices with --data DIR.")
    })?;
    let places = crate::demo::Places {
        data,
        shared: shared.to_owned(),
        out: out.to_owned(),
        photos: photos.map_or_else(drawn_pictures, Path::to_owned),
    };
    let as_json = args.json;
    let told = crate::demo::run(&places, &|step| {
        if !as_json {
            print::text(step);
        }
    })?;
    if as_json {
        print::json(&told);
    } else {
        print::text(&format!(
            "\nThree devices tell the same state. Handover: {}",
            out.display()
        ));
    }
    Ok(())
}

/// The pictures that come with the source of the program.
fn drawn_pictures() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/photos")
}

fn commands(as_json: bool, typescript: bool) -> Result<(), ApiError> {
    if as_json {
        print::json(&api::boundary::describe(api::commands()));
    } else if typescript {
        let text = api::boundary::typescript(api::commands())
            .map_err(|error| ApiError::new(ErrorCode::Internal, error.to_string()))?;
        print::text(&text);
    } else {
        for command in api::commands() {
            print::text(&format!("{}\n    {}", command.name, command.doc));
        }
    }
    Ok(())
}

fn serve(args: &Args, port: u16, ui: Option<&Path>) -> Result<(), ApiError> {
    let app = Arc::new(open(args)?);
    let options = Options {
        port,
        ui: ui.map(PathBuf::from).or_else(serve::find_ui),
        limits: Limits::default(),
    };
    let without_screens = options.ui.is_none();
    let host = serve::start(app, options)
        .map_err(|error| ApiError::new(ErrorCode::Storage, error.to_string()))?;
    if args.json {
        print::text(
            &json!({
                "origin": host.origin(),
                "token": host.token(),
                "open": host.open_address(),
                "screens": !without_screens,
            })
            .to_string(),
        );
    } else {
        print::text(&host.open_address());
        if without_screens {
            print::text(
                "The screens are not built, so only commands are answered. Build them with `cargo xtask app`, or name their folder with --ui.",
            );
        }
    }
    // The host works on its own threads until the process is ended from outside.
    loop {
        thread::park();
    }
}

fn open(args: &Args) -> Result<App, ApiError> {
    App::open(args.folder()?)
}

/// A mistyped path must not become an empty record beside the right one.
fn holds_a_record(data: &Path) -> Result<(), ApiError> {
    let found = std::fs::metadata(data.join("journal"));
    is_a_record(data, &found.map(|found| found.is_dir()))
}

fn is_a_record(data: &Path, found: &std::io::Result<bool>) -> Result<(), ApiError> {
    match found {
        Ok(true) => return Ok(()),
        // One that lies there whole and may not be read is not gone.
        Err(why) if why.kind() == std::io::ErrorKind::PermissionDenied => {
            return Err(ApiError::new(
                ErrorCode::Storage,
                format!(
                    "The folder {} may not be read from this account. Run the program as the person whose \
                     folder it is, or let this one read it; nothing was changed.",
                    data.display()
                ),
            ));
        }
        Err(why) if why.kind() == std::io::ErrorKind::NotADirectory => {
            return Err(ApiError::new(
                ErrorCode::Storage,
                format!(
                    "{} is a file where the folder of a record should be. Choose the folder; nothing was changed.",
                    data.display()
                ),
            ));
        }
        _ => {}
    }
    Err(ApiError::new(
        ErrorCode::Storage,
        format!(
            "There is no record in {}. Is the path right? A new one begins with `tautbook found \
             --data DIR --crew NAME --person NAME`, also on a device that then joins another crew; \
             nothing was made.",
            data.display()
        ),
    ))
}

fn request_of(typed: &str) -> Result<Value, ApiError> {
    let mut text = typed.to_owned();
    if typed == "-" {
        text.clear();
        stdin()
            .take(REQUEST_LIMIT)
            .read_to_string(&mut text)
            .map_err(|error| {
                ApiError::invalid(format!("The request could not be read: {error}."))
            })?;
    }
    serde_json::from_str(&text)
        .map_err(|error| ApiError::invalid(format!("The request is not JSON: {error}.")))
}

#[cfg(test)]
mod tests {
    use std::io::{Error, ErrorKind};
    use std::path::Path;

    use super::is_a_record;

    #[test]
    fn a_folder_that_may_not_be_read_is_not_said_to_hold_nothing() {
        let told = |found| is_a_record(Path::new("d"), &found).map_err(|error| error.message);
        assert_eq!(told(Ok(true)), Ok(()));
        let refused = told(Err(Error::from(ErrorKind::PermissionDenied))).unwrap_err();
        assert!(
            refused.contains("d may not be read from this account"),
            "{refused}"
        );
        let file = told(Err(Error::from(ErrorKind::NotADirectory))).unwrap_err();
        assert!(file.starts_with("d is a file where"), "{file}");
        for gone in [Ok(false), Err(Error::from(ErrorKind::NotFound))] {
            let said = told(gone).unwrap_err();
            assert!(said.starts_with("There is no record in d."), "{said}");
        }
    }
}
