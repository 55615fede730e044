//! Running other programs, shown before they run.

use std::{
    ffi::OsStr,
    fs::{self, File},
    io::{BufRead, BufReader},
    path::{Path, PathBuf},
    process::{Child, Command, ExitStatus, Stdio},
    time::{Duration, Instant},
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

/// A command that runs beside others, after all that others need; what it prints is kept for its end.
pub(crate) struct Aside {
    name: String,
    child: Child,
    printed: PathBuf,
    begun: Instant,
}

/// How long one may take, waited for after all else: longer than the slowest machine was seen to need.
const LONGEST: Duration = Duration::from_secs(40 * 60);

/// Starts a command beside what runs next; `printed` is the file that keeps what it prints.
pub(crate) fn aside(of: &Command, printed: PathBuf) -> Result<Aside, XtaskError> {
    let name = line(of);
    println!("\n$ {name}   (beside what follows)");
    let mut command = Command::new("nice");
    command.args(["-n", "19"]).arg(of.get_program());
    command.args(of.get_args()).current_dir(workspace::top());
    for (key, value) in of.get_envs() {
        match value {
            Some(value) => command.env(key, value),
            None => command.env_remove(key),
        };
    }
    let file = File::create(&printed).map_err(XtaskError::file("write", &printed))?;
    let both = file
        .try_clone()
        .map_err(XtaskError::file("write", &printed))?;
    let child = command.stdout(file).stderr(both).spawn();
    let child = child.map_err(|source| XtaskError::Start {
        command: name.clone(),
        source,
    })?;
    Ok(Aside {
        name,
        child,
        printed,
        begun: Instant::now(),
    })
}

impl Aside {
    /// How long ago it was started.
    pub(crate) fn age(&self) -> Duration {
        self.begun.elapsed()
    }

    /// Waits for its end and shows what it printed; its failure is an error.
    pub(crate) fn end(mut self) -> Result<(), XtaskError> {
        let start = |source| XtaskError::Start {
            command: self.name.clone(),
            source,
        };
        println!(
            "\nWaiting for {}: it prints to {}",
            self.name,
            self.printed.display()
        );
        let status = loop {
            if let Some(status) = self.child.try_wait().map_err(start)? {
                break status;
            }
            if self.begun.elapsed() > LONGEST {
                let minutes = LONGEST.as_secs() / 60;
                return Err(XtaskError::Checks(format!(
                    "{} took more than {minutes} minutes and was ended; what it printed is in {}",
                    self.name,
                    self.printed.display()
                )));
            }
            std::thread::sleep(Duration::from_millis(200));
        };
        let printed = fs::read(&self.printed).unwrap_or_default();
        println!("\n$ {}\n{}", self.name, String::from_utf8_lossy(&printed));
        judged(&self.name, status)
    }
}

impl Drop for Aside {
    /// One that nobody waits for any more is ended.
    fn drop(&mut self) {
        if matches!(self.child.try_wait(), Ok(None)) {
            drop(self.child.kill());
            drop(self.child.wait());
        }
    }
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
    use super::{aside, command, watch};

    #[test]
    fn what_runs_beside_is_shown_at_its_end_and_its_failure_is_one() {
        let place = std::env::temp_dir().join(format!("tautbook-aside-{}", std::process::id()));
        let mut told = command("sh", &["-c", "echo $WORD; exit 3"]);
        told.env("WORD", "beside");
        let ended = aside(&told, place.clone()).unwrap().end();
        assert!(ended.unwrap_err().to_string().contains("sh -c"));
        assert_eq!(std::fs::read_to_string(&place).unwrap(), "beside\n");
        let well = command("sh", &["-c", "exit 0"]);
        assert!(aside(&well, place.clone()).unwrap().end().is_ok());
        std::fs::remove_file(&place).unwrap();
    }

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
