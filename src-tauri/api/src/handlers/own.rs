//! What the crew keeps of its own: rule sets, strands and fitting sets, in the crew's book.
//!
//! The entries reach every device with that book. Nothing here touches a job.

use records::Record;
use records::ids::BookId;
use records::library::{self, Author, RuleChange, RuleFigure, RuleSetFile};
use records::model::context::Said;
use records::model::values::{FittingSheet, RuleSetCopy, StrandSheet};
use records::model::{Field, fields};
use records::record::new_item;
use records::subject::{ItemKind, Subject};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::library::{file_of, unknown};
use super::{Recorded, item, some_text};
use crate::claim::{Act, Earlier, Fields, tips};
use crate::{ApiError, App, ErrorCode};

fn crew_book(record: &Record) -> Result<BookId, ApiError> {
    record
        .current_crew()?
        .filter(|crew| record.crew_books().contains(crew))
        .ok_or_else(|| ApiError::invalid("There is no crew yet. Say first who you are."))
}

/// Names a rule set.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct OfRuleSet {
    /// Name in the program's library, or the id of the crew's own set.
    pub name: String,
}

/// The figures of a rule set, and its file.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct RuleFigures {
    /// The file.
    pub file: RuleSetFile,
    /// Figures that can be changed one by one; cells of tables are changed in the file.
    pub figures: Vec<RuleFigure>,
}

/// Lists the figures of a rule set that can be changed one by one.
pub fn rule_figures(app: &App, request: OfRuleSet) -> Result<RuleFigures, ApiError> {
    let mut record = app.record();
    let crew = record.current_crew()?;
    let file = file_of(&mut record, crew, &request.name)?;
    let figures = library::figures(&file).map_err(|e| refused(&e))?;
    Ok(RuleFigures { file, figures })
}

fn refused(error: &library::RuleFileError) -> ApiError {
    let told = error.to_string();
    match error {
        // A question, to be answered with the same request.
        library::RuleFileError::Questions(_) => {
            ApiError::new(ErrorCode::Questioned, capital(&told))
        }
        _ => ApiError::invalid(sentence(&told)),
    }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    format!("{}{}", first.unwrap_or_default(), letters.as_str())
}

/// A plain sentence that says that nothing was saved.
fn sentence(text: &str) -> String {
    let text = capital(text);
    format!("{}. Nothing was saved.", text.trim_end_matches('.'))
}

/// Where an own rule set comes from.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(tag = "kind", rename_all = "camelCase", deny_unknown_fields)]
pub enum RuleSetFrom {
    /// A file's text.
    #[serde(rename_all = "camelCase")]
    File {
        /// The text.
        text: String,
    },
    /// Another set with figures changed.
    #[serde(rename_all = "camelCase")]
    Changes {
        /// Name in the program's library, or the id of the crew's own set.
        name: String,
        /// Its new title; that of the other one with "(changed)" where empty.
        #[serde(default)]
        #[ts(optional, as = "Option<String>")]
        title: String,
        /// The figures.
        changes: Vec<RuleChange>,
    },
}

/// Keeps a rule set of the crew's own.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct KeepRuleSet {
    /// What of.
    pub from: RuleSetFrom,
    /// Why: every document that rests on it prints it.
    pub why: String,
    /// The person was asked about places of a table that ask less for more, and said that the
    /// document prints them so.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
    /// The crew's own set that it takes the place of; a new one where none.
    #[serde(default)]
    #[ts(optional)]
    pub id: Option<String>,
}

/// Keeps a rule set of the crew's own: a file, or another one with figures changed.
pub fn keep_rule_set(app: &App, request: KeepRuleSet) -> Result<Recorded, ApiError> {
    let mut record = app.record();
    let book = crew_book(&record)?;
    let person = App::person(&record)?;
    let by = record
        .crew(book)
        .person_name(&person)
        .unwrap_or_default()
        .to_owned();
    let at = records::clock::next_at(record.clock(), None);
    let on = records::clock::day(at)
        .and_then(|day| library::Day::read(&day))
        .ok_or_else(|| ApiError::invalid("The clock of this device is wrong. Set it first."))?;
    let author = Author {
        by: &by,
        on,
        why: &request.why,
        confirmed: request.confirmed,
    };
    let text = match &request.from {
        RuleSetFrom::File { text } => library::kept(text, &author),
        RuleSetFrom::Changes {
            name,
            title,
            changes,
        } => {
            let base = file_of(&mut record, Some(book), name)?;
            library::changed(&base, title, changes, &author)
        }
    }
    .map_err(|e| refused(&e))?;
    let file = library::read("", &text).ok_or_else(|| unknown("rule set"))?;
    let copy = RuleSetCopy {
        name: file.title,
        sha256: file.sha256,
        text,
        origin: format!("rule set of the crew, kept by {by} on {on}"),
    };
    let fields = Fields::default().with(fields::RULE_SET_COPY, "", Some(copy.clone()))?;
    keep(
        &mut record,
        book,
        (ItemKind::RuleSet, request.id.as_deref()),
        fields,
        |act, subject, record| {
            let over = tips(record, book, &subject, fields::RULE_SET_COPY.name, "")?;
            act.claim(
                fields::RULE_SET_COPY,
                subject,
                "",
                Some(&copy),
                &Said::default(),
                Earlier::over(over),
            )
        },
    )
}

/// Records a new thing of the crew, or a new word on one that is there.
fn keep(
    record: &mut Record,
    book: BookId,
    (kind, id): (ItemKind, Option<&str>),
    first: Fields,
    again: impl FnOnce(&mut Act, Subject, &mut Record) -> Result<(), ApiError>,
) -> Result<Recorded, ApiError> {
    let mut act = Act::default();
    let Some(id) = id else {
        let subject = Subject::Item(kind, new_item()?);
        act.create(subject, first, Vec::new());
        let acted = act.record(record, book)?;
        return Ok(Recorded::created(&acted, &subject));
    };
    let subject = Subject::Item(kind, item(id)?);
    if tips(record, book, &subject, "created", "")?.is_empty() {
        return Err(unknown("such thing of the crew"));
    }
    again(&mut act, subject, record)?;
    Ok(Recorded::of(&act.record(record, book)?))
}

/// Keeps a strand of the crew's own.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct KeepStrand {
    /// The crew's own strand that is told anew; a new one where none.
    #[serde(default)]
    #[ts(optional)]
    pub id: Option<String>,
    /// Its name.
    pub name: String,
    /// What the sheet tells; a figure that it does not tell is left out.
    pub sheet: StrandSheet,
}

/// Keeps a strand of the crew's own from its maker's sheet.
pub fn keep_strand(app: &App, request: KeepStrand) -> Result<Recorded, ApiError> {
    usable(&library::strand_faults(&request.sheet))?;
    let name = some_text("The strand's name", &request.name)?;
    keep_from_sheet(
        app,
        (ItemKind::Strand, request.id.as_deref()),
        (fields::STRAND_NAME, name),
        (fields::STRAND_SHEET, request.sheet),
    )
}

/// Keeps a fitting set of the crew's own.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct KeepFittingSet {
    /// The crew's own fitting set that is told anew; a new one where none.
    #[serde(default)]
    #[ts(optional)]
    pub id: Option<String>,
    /// Its name.
    pub name: String,
    /// What the sheet tells; a figure that it does not tell is left out and asked for.
    pub sheet: FittingSheet,
}

/// Keeps a fitting set of the crew's own from its maker's sheet.
pub fn keep_fitting_set(app: &App, request: KeepFittingSet) -> Result<Recorded, ApiError> {
    usable(&library::fitting_faults(&request.sheet))?;
    let name = some_text("The fitting set's name", &request.name)?;
    keep_from_sheet(
        app,
        (ItemKind::FittingSet, request.id.as_deref()),
        (fields::FITTING_NAME, name),
        (fields::FITTING_SHEET, request.sheet),
    )
}

/// Makes a thing of the crew's own with name and sheet, or tells both of one that is there.
fn keep_from_sheet<S: Serialize + Clone>(
    app: &App,
    of: (ItemKind, Option<&str>),
    (name_field, name): (Field<String>, String),
    (sheet_field, sheet): (Field<S>, S),
) -> Result<Recorded, ApiError> {
    let mut record = app.record();
    let book = crew_book(&record)?;
    let first = Fields::default()
        .with(name_field, "", Some(name.clone()))?
        .with(sheet_field, "", Some(sheet.clone()))?;
    keep(&mut record, book, of, first, |act, subject, record| {
        let said = Said::default();
        let over = tips(record, book, &subject, name_field.name, "")?;
        let earlier = Earlier::over(over);
        act.claim(name_field, subject, "", Some(&name), &said, earlier)?;
        let over = tips(record, book, &subject, sheet_field.name, "")?;
        let earlier = Earlier::over(over);
        act.claim(sheet_field, subject, "", Some(&sheet), &said, earlier)
    })
}

fn usable(faults: &[String]) -> Result<(), ApiError> {
    if faults.is_empty() {
        return Ok(());
    }
    Err(ApiError::invalid(format!(
        "{} Nothing was saved.",
        faults.join(" ")
    )))
}

/// Takes something of the crew's own out of the library.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct DropOwn {
    /// The subject: `ruleSet:<id>`, `strand:<id>` or `fittingSet:<id>`.
    pub subject: String,
    /// Why.
    pub reason: String,
}

/// Takes something of the crew's own out of the library; jobs keep their copies.
pub fn drop_own(app: &App, request: DropOwn) -> Result<Recorded, ApiError> {
    let subject: Subject = request.subject.parse()?;
    let reason = some_text("The reason", &request.reason)?;
    let ours = matches!(
        subject,
        Subject::Item(
            ItemKind::RuleSet | ItemKind::Strand | ItemKind::FittingSet,
            _
        )
    );
    let mut record = app.record();
    let book = crew_book(&record)?;
    let over = tips(&mut record, book, &subject, "created", "")?;
    if !ours || over.is_empty() {
        return Err(unknown("such thing of the crew"));
    }
    let with = serde_json::json!({ "reason": reason });
    let mut act = Act::default();
    act.raw(
        "created",
        subject,
        "",
        &serde_json::Value::Null,
        Some(with),
        Earlier::over(over),
    );
    Ok(Recorded::of(&act.record(&mut record, book)?))
}
