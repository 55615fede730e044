//! The boundary: what a command is, and all that is made from the one list of them.
//!
//! Owns the `commands!` macro, dispatch by name, the error that crosses the boundary, the
//! TypeScript text and the JSON Schemas. Invariant: window, loopback host, command line and
//! TypeScript see the same names, requests and answers, because each is made from the same list.
//! It does not know what any command does; that is in the handlers.

mod command;
mod error;
mod finite;
mod schema;
mod shape;
mod typescript;

#[cfg(test)]
mod tests;

pub use command::{Command, Nothing};
pub use error::{ApiError, ErrorCode};
pub use schema::describe;
pub use typescript::{TypeScriptError, typescript};

pub(crate) use command::run;

/// Makes the list of commands: `/// doc  add_photo(AddPhoto) -> PhotoAdded = photos::add;`; one that
/// starts long work names what that ends with: `-> TaskStarted => Report = exchange::start_sync;`.
///
/// Expands to `list()`, which builds every [`Command`] once. The name on the wire is the
/// camelCase form of the name given here; a handler is `fn(&App, Request) -> Result<Answer,
/// ApiError>`.
macro_rules! commands {
    ($( $(#[doc = $doc:literal])+ $name:ident($request:ty) -> $answer:ty $(=> $ends:ty)? = $handler:path; )+) => {
        /// Every command, in the order in which the list names them.
        pub(crate) fn list() -> &'static [$crate::boundary::Command] {
            static LIST: std::sync::LazyLock<Vec<$crate::boundary::Command>> =
                std::sync::LazyLock::new(|| vec![
                    $( $crate::boundary::Command::of::<$request, $answer>(
                        stringify!($name),
                        &[$($doc),+],
                        |app, request| $crate::boundary::run(app, request, $handler),
                    ) $( .ends::<$ends>() )? ),+
                ]);
            &LIST
        }
    };
}
pub(crate) use commands;
