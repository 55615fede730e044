//! One command: its name on the wire, its types and its handler behind plain JSON.
//!
//! Invariant: no number that is not finite, and no integer that a script would round, passes in
//! either direction.

use std::sync::LazyLock;

use records::model::{members, unfit::plainly};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize, de::DeserializeOwned};
use serde_json::Value;
use ts_rs::TS;

use super::{
    error::{ApiError, ErrorCode},
    finite, schema, shape,
    typescript::Declarations,
};
use crate::App;

/// A command of the list: callable by name, described for scripts and for TypeScript.
pub struct Command {
    /// The name on the wire, camelCase.
    pub name: String,
    /// What it does, in one paragraph.
    pub doc: String,
    pub(super) run: fn(&App, Value) -> Result<Value, ApiError>,
    pub(super) declare: fn(&mut Declarations),
    pub(super) types: fn() -> TypeNames,
    pub(super) schemas: fn() -> schema::Schemas,
    request_schema: LazyLock<Value>,
    pub(super) ends: Option<Ends>,
}

/// What the long work that a command starts ends with.
pub(super) struct Ends {
    pub(super) name: fn() -> String,
    pub(super) declare: fn(&mut Declarations),
    pub(super) schema: fn() -> Value,
}

/// The TypeScript names of a command's request and answer.
pub(super) struct TypeNames {
    pub(super) request: String,
    pub(super) answer: String,
}

/// The request or answer that says nothing: `{}`.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Nothing {}

impl Command {
    /// Makes a command from its Rust name, the lines of its doc comment and its handler.
    pub(crate) fn of<Request, Answer>(
        rust_name: &str,
        doc_lines: &[&str],
        run: fn(&App, Value) -> Result<Value, ApiError>,
    ) -> Self
    where
        Request: DeserializeOwned + TS + JsonSchema + 'static,
        Answer: Serialize + TS + JsonSchema + 'static,
    {
        Self {
            name: camel_case(rust_name),
            doc: joined(doc_lines),
            run,
            declare: |declarations| {
                declarations.add::<Request>();
                declarations.add::<Answer>();
            },
            types: || TypeNames {
                request: Request::name(&super::typescript::config()),
                answer: Answer::name(&super::typescript::config()),
            },
            schemas: schema::of::<Request, Answer>,
            request_schema: LazyLock::new(schema::of_request::<Request>),
            ends: None,
        }
    }

    /// Names what the long work that this command starts ends with: the `result` of its task.
    pub(crate) fn ends<End: Serialize + TS + JsonSchema + 'static>(mut self) -> Self {
        self.ends = Some(Ends {
            name: || End::name(&super::typescript::config()),
            declare: |declarations| declarations.add::<End>(),
            schema: schema::of_answer::<End>,
        });
        self
    }

    /// Runs the command on a request, in which fields are named and never told by their order.
    pub fn call(&self, app: &App, request: Value) -> Result<Value, ApiError> {
        if shape::holds_a_list(&request)
            && let Some(at) = shape::list_for_fields(&self.request_schema, &request)
        {
            let at = match at.is_empty() {
                true => "the request itself".to_owned(),
                false => at.escape_debug().to_string(),
            };
            return Err(ApiError::invalid(format!(
                "The request does not fit this command: a list stands where fields are named, at {at}."
            )));
        }
        // Types of the model grow in a record, so their own reading drops what it does not know.
        let within = |at: &String| at.contains('.');
        if let Some(at) = members::unknown(&self.request_schema, &request).filter(within) {
            return Err(ApiError::invalid(format!(
                "The request does not fit this command: {} is not known here; is the name spelt right?",
                at.escape_debug()
            )));
        }
        (self.run)(app, request)
    }
}

/// Reads the request, calls the handler and writes its answer, refusing what is not finite.
pub(crate) fn run<Request, Answer>(
    app: &App,
    request: Value,
    handler: impl FnOnce(&App, Request) -> Result<Answer, ApiError>,
) -> Result<Value, ApiError>
where
    Request: DeserializeOwned,
    Answer: Serialize,
{
    finite::check(&request)
        .map_err(|fault| ApiError::invalid(format!("The request is refused: {fault}.")))?;
    let request = serde_path_to_error::deserialize(request).map_err(|unfit| {
        let at = match unfit.path().to_string() {
            at if at == "." => String::new(),
            at => format!(", at {}", at.escape_debug()),
        };
        let error = plainly(&unfit.into_inner().to_string());
        ApiError::invalid(format!(
            "The request does not fit this command: {error}{at}."
        ))
    })?;
    let answer = handler(app, request)?;
    let unfit = |message| ApiError::new(ErrorCode::Internal, message);
    // What the handler did is saved by now; only its answer can't be told.
    finite::check(&answer).map_err(|fault| {
        unfit(format!(
            "The command ran, but its answer can't be shown: {fault}."
        ))
    })?;
    serde_json::to_value(answer).map_err(|error| {
        unfit(format!(
            "The command ran, but its answer can't be written: {error}."
        ))
    })
}

/// Lines of a doc comment as one paragraph; an empty line starts a new one.
fn joined(lines: &[&str]) -> String {
    let mut text = String::new();
    for line in lines.iter().map(|line| line.trim()) {
        if line.is_empty() {
            text.push('\n');
        } else {
            if !text.is_empty() && !text.ends_with('\n') {
                text.push(' ');
            }
            text.push_str(line);
        }
    }
    text
}

fn camel_case(snake: &str) -> String {
    let mut words = snake.split('_');
    let mut name = words.next().unwrap_or_default().to_owned();
    for word in words {
        let mut letters = word.chars();
        name.extend(letters.next().map(|first| first.to_ascii_uppercase()));
        name.push_str(letters.as_str());
    }
    name
}

#[cfg(test)]
mod tests {
    use super::{camel_case, joined};

    #[test]
    fn names_become_camel_case() {
        for (snake, camel) in [
            ("task", "task"),
            ("cancel_task", "cancelTask"),
            ("start_hand_over", "startHandOver"),
        ] {
            assert_eq!(camel_case(snake), camel);
        }
    }

    #[test]
    fn doc_lines_are_joined_and_paragraphs_kept() {
        assert_eq!(joined(&[" One ", " two."]), "One two.");
        assert_eq!(joined(&[" One.", "", " Two."]), "One.\nTwo.");
    }
}
