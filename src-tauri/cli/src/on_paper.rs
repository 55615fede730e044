//! On which paper something is printed, and in which unit it tells lengths.

use serde_json::{Value, json};

/// Paper and unit of a template or of labels.
#[derive(Debug, clap::Args)]
pub(crate) struct OnPaper {
    /// The paper.
    #[arg(long, default_value = "a4", value_parser = ["a4", "letter"])]
    paper: String,
    /// Tells lengths in inches; marks of a template lie at their true places either way.
    #[arg(long)]
    inches: bool,
}

impl OnPaper {
    /// A request with both.
    pub(crate) fn told(&self, mut request: Value) -> Value {
        if let Some(fields) = request.as_object_mut() {
            let unit = if self.inches { "in" } else { "mm" };
            fields.extend([
                ("paper".to_owned(), json!(self.paper)),
                ("unit".to_owned(), json!(unit)),
            ]);
        }
        request
    }
}
