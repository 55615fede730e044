//! Running other programs, shown before they run.

use std::{
    ffi::OsStr,
    io::{BufRead, BufReader},
    path::Path,
    process::{Command, ExitStatus, Stdio},
};

use crate::{error::XtaskError, workspace};

/// A command line at the top of the checkout.
pub(crate) fn command(program: impl AsRef<OsStr>, arguments: &[&str]) -> Command {
    let mut command = Command::new(program);
    command.args(arguments).current_dir(workspace::top());
    command
}

/// The cargo that started us, so that the tool chain stays the same.
pub(crate) fn cargo(arguments: &[&str]) -> Command {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    command(cargo, arguments)
}

/// Shows a command and runs it; its failure is an error.
pub(crate) fn run(mut command: Command) -> Result<(), XtaskError> {
    show(&command);
    let status = command.status().map_err(started(&command))?;
    judge(&command, status)
}

/// Runs a command and gives what it printed on standard output.
pub(crate) fn output(mut command: Command) -> Result<String, XtaskError> {
    let output = command
        .stderr(Stdio::inherit())
        .output()
        .map_err(started(&command))?;
    judge(&command, output.status)?;
    Ok(String::from_utf8_lossy(&output.stdout).into_owned())
}

/// Shows and runs a command; what it prints, errors among it in their order, is passed on and also
/// given line by line.
pub(crate) fn watch(mut command: Command, mut line: impl FnMut(&str)) -> Result<(), XtaskError> {
    show(&command);
    let name = self::line(&command);
    let start = |source| XtaskError::Start {
        command: name.clone(),
        source,
    };
    // One pipe for both: cargo names a file on the one and its tests end on the other.
    let (output, input) = std::io::pipe().map_err(start)?;
    let mut child = command
        .stdout(input.try_clone().map_err(start)?)
        .stderr(input)
        .spawn()
        .map_err(start)?;
    // The command holds the pipe open until it is let go.
    drop(command);
    for text in BufReader::new(output).split(b'\n').map_while(Result::ok) {
        let text = String::from_utf8_lossy(&text);
        println!("{text}");
        line(&text);
    }
    let status = child.wait().map_err(start)?;
    judged(&name, status)
}

/// Whether a program can be started at all and says that all is well.
pub(crate) fn works(program: &str, arguments: &[&str]) -> bool {
    command(program, arguments)
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|status| status.success())
}

/// A path as an argument.
pub(crate) fn text(path: &Path) -> String {
    path.to_string_lossy().into_owned()
}

fn show(command: &Command) {
    println!("\n$ {}", line(command));
}

fn line(command: &Command) -> String {
    let program = Path::new(command.get_program());
    let mut words = vec![
        program
            .file_name()
            .unwrap_or(program.as_os_str())
            .to_string_lossy()
            .into_owned(),
    ];
    words.extend(
        command
            .get_args()
            .map(|word| word.to_string_lossy().into_owned()),
    );
    words.join(" ")
}

fn started(command: &Command) -> impl Fn(std::io::Error) -> XtaskError + use<> {
    let command = line(command);
    move |source| XtaskError::Start {
        command: command.clone(),
        source,
    }
}

fn judge(command: &Command, status: ExitStatus) -> Result<(), XtaskError> {
    judged(&line(command), status)
}

fn judged(command: &str, status: ExitStatus) -> Result<(), XtaskError> {
    if status.success() {
        return Ok(());
    }
    Err(XtaskError::Failed {
        command: command.to_owned(),
        status: status.to_string(),
    })
}

#[cfg(test)]
mod tests {
    use super::{command, watch};

    #[test]
    fn what_a_program_prints_on_both_outputs_is_heard_in_its_order() {
        let script = "echo Running a >&2; echo ended a; echo Running b >&2; echo ended b; exit 3";
        let mut heard = Vec::new();
        let ended = watch(command("sh", &["-c", script]), |line| {
            heard.push(line.to_owned());
        });
        assert_eq!(heard, ["Running a", "ended a", "Running b", "ended b"]);
        let told = ended.unwrap_err().to_string();
        assert!(told.contains("sh -c"), "{told}");
    }
}
