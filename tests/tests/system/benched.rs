//! The scene of the benches goes through every command that it is made of: what the commands ask
//! since shows here, and not only when somebody measures.

use serde_json::json;

#[test]
fn the_benches_job_is_surveyed_whole_and_worked_to_its_last_readings() {
    let folder = crate::scene::fresh("scene").unwrap();
    let app = crate::scene::device(&folder.join("data"), "Ann").unwrap();
    let mut large = crate::scene::job::surveyed(&app, &folder).unwrap();
    assert_eq!(large.runs.len(), crate::scene::job::RUNS);
    // A reading of a wire that is not fitted yet is an entry of the largest records.
    let unfitted = large.runs.last().unwrap();
    crate::scene::job::read(&app, &large, unfitted, 1, "pass").unwrap();
    large.runs.truncate(1);
    crate::scene::job::worked(&app, &large).unwrap();
    let run = large.runs.first().unwrap();
    let asked = json!({"job": large.job, "run": run.id});
    let read = crate::scene::call(&app, "tensions", asked).unwrap();
    let lines = read["lines"].as_array().unwrap();
    let with = |what: &str| {
        lines
            .iter()
            .filter(|l| l["readings"][0][what].is_f64())
            .count()
    };
    assert_eq!(with("newtons"), crate::scene::job::WIRES, "{read}");
}
