//! The JSON Schemas of requests and answers, for people who script the command line.

use schemars::{JsonSchema, generate::SchemaSettings};
use serde_json::{Value, json};

use super::Command;

/// A command's two schemas: what it takes and what it gives.
pub(super) struct Schemas {
    pub(super) request: Value,
    pub(super) answer: Value,
}

/// Describes commands as JSON: name, doc, and the JSON Schema (2020-12) of request and answer, and of
/// what long work `ends` with.
pub fn describe(commands: &[Command]) -> Value {
    let described = commands.iter().map(|command| {
        let schemas = (command.schemas)();
        let mut told = json!({
            "name": command.name,
            "doc": command.doc,
            "request": schemas.request,
            "answer": schemas.answer,
        });
        // `call` waits for long work and prints this in the place of the answer.
        if let (Some(ends), Some(fields)) = (&command.ends, told.as_object_mut()) {
            fields.insert("ends".to_owned(), (ends.schema)());
        }
        told
    });
    json!({ "commands": described.collect::<Vec<_>>() })
}

pub(super) fn of<Request: JsonSchema, Answer: JsonSchema>() -> Schemas {
    Schemas {
        request: of_request::<Request>(),
        answer: of_answer::<Answer>(),
    }
}

pub(super) fn of_request<Request: JsonSchema>() -> Value {
    SchemaSettings::draft2020_12()
        .for_deserialize()
        .into_generator()
        .into_root_schema_for::<Request>()
        .to_value()
}

pub(super) fn of_answer<Answer: JsonSchema>() -> Value {
    SchemaSettings::draft2020_12()
        .for_serialize()
        .into_generator()
        .into_root_schema_for::<Answer>()
        .to_value()
}
