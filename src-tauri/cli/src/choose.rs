//! Which job and which run are meant, where a person names them loosely.
//!
//! A script gives ids; a person gives a title or a name, or nothing where there is only one.

use api::{ApiError, App, ErrorCode};
use serde_json::{Value, json};

/// Finds the ids of what a person names.
pub(crate) trait Choose {
    /// The id of a job named by id or title; without a name the only one kept here.
    fn job(&self, named: Option<&str>) -> Result<String, ApiError>;
    /// The id of a run of a job, named by id or name.
    fn run(&self, job: &str, named: &str) -> Result<String, ApiError>;
    /// The place of a bay of a run, named by place or name; a hyphen stands for the dash in it.
    fn bay(&self, job: &str, run: &str, named: &str) -> Result<String, ApiError>;
}

impl Choose for App {
    fn job(&self, named: Option<&str>) -> Result<String, ApiError> {
        let overview = api::dispatch(self, "overview", json!({}))?;
        one(&kept(&overview), "job", ["job", "title"], named, "--job")
    }

    fn run(&self, job: &str, named: &str) -> Result<String, ApiError> {
        let job = api::dispatch(self, "readJob", json!({ "job": job }))?;
        one(
            &list(&job, "runs"),
            "run",
            ["id", "name"],
            Some(named),
            "RUN",
        )
    }

    fn bay(&self, job: &str, run: &str, named: &str) -> Result<String, ApiError> {
        let job = api::dispatch(self, "readJob", json!({ "job": job }))?;
        let run = list(&job, "runs")
            .into_iter()
            .find(|r| r.get("id").and_then(Value::as_str) == Some(run));
        let bays = run.map_or_else(Vec::new, |run| list(run, "bays"));
        let named = named.replace('-', "–");
        one(&bays, "bay", ["place", "name"], Some(&named), "--keep")
    }
}

fn kept(overview: &Value) -> Vec<&Value> {
    let mut kept = list(overview, "jobs");
    kept.retain(|job| job.get("kept") == Some(&Value::Bool(true)));
    kept
}

/// The jobs by id and title, for the eyes of whoever did not say which: an error holds no title, which is
/// a client's address as often as not.
pub(crate) fn jobs_beside(app: &App, error: &ApiError) -> Option<String> {
    if !error.message.ends_with(WHICH_JOB) {
        return None;
    }
    let overview = api::dispatch(app, "overview", json!({})).ok()?;
    let jobs = kept(&overview);
    let line = |job: &&Value| format!("{}  {}", text(job, "job"), text(job, "title"));
    Some(jobs.iter().map(line).collect::<Vec<_>>().join("\n"))
}

const WHICH_JOB: &str = "The jobs here are those that `tautbook call overview '{}'` lists.";

fn text(thing: &Value, field: &str) -> String {
    let text = thing.get(field).and_then(Value::as_str);
    text.unwrap_or_default().to_owned()
}

fn list<'a>(answer: &'a Value, name: &str) -> Vec<&'a Value> {
    let parts = answer.get(name).and_then(Value::as_array);
    parts.into_iter().flatten().collect()
}

/// The id of the one thing that fits; the error lists what there is.
fn one(
    things: &[&Value],
    kind: &str,
    [id, name]: [&str; 2],
    named: Option<&str>,
    argument: &str,
) -> Result<String, ApiError> {
    let fits = |thing: &&&Value| {
        named.is_none_or(|named| text(thing, id) == named || text(thing, name) == named)
    };
    let mut fitting = things.iter().filter(fits);
    if let (Some(only), None) = (fitting.next(), fitting.next()) {
        return Ok(text(only, id));
    }
    let each = |thing: &&Value| format!("\n  {}  {}", text(thing, id), text(thing, name));
    let there = match kind {
        "job" => WHICH_JOB.to_owned(),
        _ => format!("There are:{}", things.iter().map(each).collect::<String>()),
    };
    let message = match (named, things.is_empty()) {
        (_, true) if kind == "job" => {
            "There is no job here yet. Begin one on the screens, import a \
            survey (`tautbook survey import FILE`), or bring the crew's with `tautbook sync`."
                .to_owned()
        }
        (_, true) => format!("There is no {kind} here yet."),
        (None, _) => format!("Name the {kind} with {argument}. {there}"),
        (Some(_), _) => format!("Not exactly one {kind} has this id or name. {there}"),
    };
    Err(ApiError::new(ErrorCode::NotFound, message))
}

#[cfg(test)]
mod tests {
    use super::one;
    use serde_json::json;

    #[test]
    fn exactly_one_has_to_fit() {
        let (a, b, c) = (
            json!({"id": "1", "name": "A"}),
            json!({"id": "2", "name": "B"}),
            json!({"id": "3", "name": "B"}),
        );
        let all = [&a, &b, &c];
        let choose = |things: &[_], named| one(things, "run", ["id", "name"], named, "RUN");
        assert_eq!(choose(&all, Some("A")).unwrap(), "1");
        assert_eq!(choose(&all, Some("3")).unwrap(), "3");
        assert_eq!(choose(&all[..1], None).unwrap(), "1");
        for (things, named) in [
            (&all[..], Some("B")),
            (&all, Some("C")),
            (&all, None),
            (&[], None),
        ] {
            assert!(choose(things, named).is_err(), "{named:?}");
        }
        assert!(choose(&all, None).unwrap_err().message.contains("2  B"));
        // Titles of jobs are clients' names and addresses: an error holds none.
        let job = one(&all, "job", ["id", "name"], None, "--job").unwrap_err();
        assert!(job.message.ends_with(super::WHICH_JOB), "{}", job.message);
    }
}
