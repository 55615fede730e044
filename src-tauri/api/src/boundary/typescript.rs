//! The TypeScript text: every type that a request or answer names, and the map of commands.
//!
//! Invariant: the text depends on the types alone, so that it can be compared with the committed
//! file. Integers of 64 bits are `number`: `finite` refuses what a script would round.

use std::{
    any::TypeId,
    collections::{BTreeMap, BTreeSet},
};

use ts_rs::{Config, TS, TypeVisitor};

use super::Command;

/// Two Rust types that would be one TypeScript type.
#[derive(Debug, PartialEq, Eq, thiserror::Error)]
#[error(
    "different types are called the same in TypeScript ({0}): rename one of each, or give it #[ts(rename = …)]"
)]
pub struct TypeScriptError(String);

/// Writes all types and the `Commands` map, sorted by name.
pub fn typescript(commands: &[Command]) -> Result<String, TypeScriptError> {
    let mut declarations = Declarations::new();
    declarations.add::<super::ApiError>();
    for command in commands {
        (command.declare)(&mut declarations);
        if let Some(ends) = &command.ends {
            (ends.declare)(&mut declarations);
        }
    }
    if !declarations.doubled.is_empty() {
        let names: Vec<String> = declarations.doubled.into_iter().collect();
        return Err(TypeScriptError(names.join(", ")));
    }
    let mut text = String::from(
        "// Made by `cargo xtask gen` from the list of commands; what is edited here is lost.\n",
    );
    for declared in declarations.by_name.values() {
        text.push('\n');
        text.push_str(&declared.text);
    }
    text.push_str("\n/** Every command: what it takes and what it gives. */\n");
    text.push_str("export interface Commands {\n");
    for command in commands {
        let types = (command.types)();
        let ends = command.ends.as_ref();
        let ends = ends.map_or_else(String::new, |ends| format!("; ends: {}", (ends.name)()));
        text.push_str(&format!(
            "\t/** {} */\n\t{}: {{ request: {}; answer: {}{ends} }};\n",
            command.doc.replace('\n', "\n\t * ").replace("*/", "* /"),
            command.name,
            types.request,
            types.answer
        ));
    }
    text.push_str(
        "}\n\n/** The name of a command. */\nexport type CommandName = keyof Commands;\n",
    );
    Ok(text)
}

/// How types become TypeScript: 64-bit integers as `number`.
pub(super) fn config() -> Config {
    Config::new().with_large_int("number")
}

/// The declarations collected so far, each type once.
pub(super) struct Declarations {
    config: Config,
    by_name: BTreeMap<String, Declared>,
    doubled: BTreeSet<String>,
}

struct Declared {
    /// The type without its generic parts, so that `Page<A>` and `Page<B>` are one declaration.
    id: TypeId,
    text: String,
}

impl Declarations {
    fn new() -> Self {
        Self {
            config: config(),
            by_name: BTreeMap::new(),
            doubled: BTreeSet::new(),
        }
    }

    /// Adds a type and all that it names.
    pub(super) fn add<T: TS + 'static + ?Sized>(&mut self) {
        self.visit::<T>();
    }
}

impl TypeVisitor for Declarations {
    fn visit<T: TS + 'static + ?Sized>(&mut self) {
        // A generic type is declared once, but each use may bring other parts.
        T::visit_generics(self);
        if T::output_path().is_none() {
            return;
        }
        let name = T::ident(&self.config);
        let id = TypeId::of::<T::WithoutGenerics>();
        if let Some(known) = self.by_name.get(&name) {
            if known.id != id {
                self.doubled.insert(name);
            }
            return;
        }
        let text = without_line_ends(&format!(
            "{}export {}\n",
            T::docs().unwrap_or_default(),
            T::decl(&self.config)
        ));
        self.by_name.insert(name, Declared { id, text });
        T::visit_dependencies(self);
    }
}

/// Lines without blanks at their ends, which the tools of a repository complain about.
fn without_line_ends(text: &str) -> String {
    text.lines()
        .flat_map(|line| [line.trim_end(), "\n"])
        .collect()
}
