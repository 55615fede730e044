//! The one list of commands with its request and response types.
