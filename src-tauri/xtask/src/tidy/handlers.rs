//! Handlers of commands are thin: convert, call, convert.
//!
//! Looks at the functions that the list of commands names and at how many lines rustfmt lays their
//! bodies out in; what an act asks and claims stands in rooms of its own.

use std::{fs, path::Path};

/// Lines that the body of a handler may have.
const LONGEST_BODY: usize = 10;
/// Where the list stands.
const LIST: &str = "src-tauri/api/src/commands.rs";
/// Where the list's modules may stand: handlers, and rooms that answer commands themselves.
const ROOMS: [&str; 2] = ["src-tauri/api/src/handlers/", "src-tauri/api/src/"];

/// A source file: its path in the tree and its text.
pub(super) type Source = (String, String);

/// Names every handler that is too long, as `path: what`, among tracked files.
pub(super) fn faults(top: &Path, tracked: &str) -> Vec<String> {
    let read = |path: &str| {
        let text = fs::read_to_string(top.join(path)).ok()?;
        Some((path.to_owned(), text))
    };
    let sources: Vec<Source> = tracked
        .lines()
        .filter(|path| path.starts_with(ROOMS[1]))
        .filter_map(read)
        .collect();
    faults_of(&sources)
}

fn faults_of(sources: &[Source]) -> Vec<String> {
    let Some((_, list)) = sources.iter().find(|(path, _)| path == LIST) else {
        return vec![format!("{LIST}: is not there, so no handler was looked at")];
    };
    let named = named(list);
    if named.is_empty() {
        return vec![format!("{LIST}: names no handler, so none was looked at")];
    }
    let judged = named.iter().filter_map(|(module, function)| {
        let files = sources.iter().filter(|(path, _)| is_of(path, module));
        let mut found = files.filter_map(|(path, text)| Some((path, body(text, function)?)));
        match found.next() {
            None => Some(format!(
                "{LIST}: names {module}::{function}, which was not found"
            )),
            Some((path, lines)) if lines > LONGEST_BODY => Some(format!(
                "{path}: the body of {function} has {lines} lines; move what it decides to acts/ \
                 ({LONGEST_BODY} at most)"
            )),
            Some(_) => None,
        }
    });
    judged.collect()
}

/// Module and function of every handler that the list names: `… -> Answer = module::function;`.
fn named(list: &str) -> Vec<(&str, &str)> {
    let Some((_, block)) = list.split_once("commands! {") else {
        return Vec::new();
    };
    block
        .split(';')
        .filter_map(|entry| entry.rsplit_once(" = ")?.1.trim().split_once("::"))
        .collect()
}

/// Whether a file is of a module of the list: `module.rs` or anything in `module/`.
fn is_of(path: &str, module: &str) -> bool {
    ROOMS.iter().any(|room| {
        path.strip_prefix(room)
            .and_then(|rest| rest.strip_prefix(module))
            .is_some_and(|rest| rest == ".rs" || rest.starts_with('/'))
    })
}

/// Lines between the braces of a function that stands by itself in a file, as rustfmt lays it out.
fn body(text: &str, function: &str) -> Option<usize> {
    let heads = [
        format!("pub fn {function}("),
        format!("pub(crate) fn {function}("),
    ];
    let mut lines = text
        .lines()
        .skip_while(|line| !heads.iter().any(|head| line.starts_with(head)))
        .skip_while(|line| !line.ends_with(['{', '}']));
    let opening = lines.next()?;
    if opening.ends_with('}') {
        return Some(0);
    }
    Some(lines.take_while(|line| *line != "}").count())
}

#[cfg(test)]
mod tests {
    use super::{LIST, LONGEST_BODY, Source, faults_of, named};

    const ROOM: &str = "src-tauri/api/src/handlers/";

    fn list(entries: &str) -> Source {
        let text = format!("use x::y;\n\ncommands! {{\n{entries}}}\n");
        (LIST.to_owned(), text)
    }

    fn handler(file: &str, head: &str, lines: usize) -> Source {
        let body = "    let a = 1;\n".repeat(lines);
        (
            format!("{ROOM}{file}"),
            format!("//! x\n\n{head}{body}}}\n"),
        )
    }

    const ONE: &str = "    /// Reads.\n    read(Of) -> View = checks::read;\n";

    #[test]
    fn module_and_function_of_each_entry_are_found() {
        let (_, text) = list(&format!(
            "{ONE}    /// Starts; it is long.\n    start(A) -> T => Done = import::start_it;\n"
        ));
        let expected = [("checks", "read"), ("import", "start_it")];
        assert_eq!(named(&text), expected);
    }

    #[test]
    fn a_body_past_its_lines_is_named_wherever_the_module_has_it() {
        let short = "pub fn read(app: &App, of: Of) -> Result<View, ApiError> {\n";
        let broken = "pub fn read(\n    app: &App,\n    of: Of,\n) -> Result<View, ApiError> {\n";
        for file in ["checks.rs", "checks/mod.rs", "checks/ends.rs"] {
            for head in [short, broken] {
                let judge = |lines| faults_of(&[list(ONE), handler(file, head, lines)]);
                assert_eq!(judge(LONGEST_BODY), Vec::<String>::new(), "{file}");
                let faults = judge(LONGEST_BODY + 1);
                assert_eq!(faults.len(), 1, "{file}: {faults:?}");
                let start = format!("{ROOM}{file}: the body of read has 11 lines");
                assert!(faults.concat().starts_with(&start), "{faults:?}");
            }
        }
    }

    #[test]
    fn other_functions_and_other_modules_are_left_alone() {
        let head = "pub fn read(app: &App, of: Of) -> Result<View, ApiError> {\n";
        let (path, text) = handler("checks.rs", head, 1);
        let long = "    let a = 1;\n".repeat(30);
        let more = format!("{text}\nfn step() {{\n{long}}}\n\npub fn reader() {{\n{long}}}\n");
        let elsewhere = handler("crew.rs", head, 30);
        let sources = [list(ONE), elsewhere, (path, more)];
        assert_eq!(faults_of(&sources), Vec::<String>::new());
    }

    #[test]
    fn nothing_is_passed_over_unseen() {
        let gone = faults_of(&[list(ONE)]).concat();
        assert!(gone.contains("checks::read, which was not found"), "{gone}");
        let empty = faults_of(&[list("")]).concat();
        assert!(empty.contains("names no handler"), "{empty}");
        let none = faults_of(&[]).concat();
        assert!(none.contains("is not there"), "{none}");
    }
}
