//! The look before the second ends of wires are pressed: what was looked at, and which wires were not.

use records::job::Run;
use records::model::values::BeforeSecondEnd;
use records::work;

use super::reading::Reading;
use super::words;

/// What was looked at before the second ends of a run were pressed.
pub(super) fn looked_at(reading: &Reading<'_>, run: &Run) -> Option<String> {
    let fact = &run.before_second_end;
    let kinds = work::end_kinds(reading.job, run);
    let has_thread = kinds.is_none_or(|[_, second]| second.has_thread());
    let said = reading.say(fact, |told| {
        // Nobody is asked about the thread of an end that has none.
        let asked = told.answers().into_iter().filter(|(what, answer)| {
            has_thread || answer.is_some() || !BeforeSecondEnd::OF_THREAD.contains(what)
        });
        let answers: Vec<String> = asked
            .map(|(what, answer)| format!("{what}: {}", answer.map_or("not told", words::yes)))
            .collect();
        answers.join(", ")
    });
    let unseen = work::pressed_unseen(reading.job, run);
    (!said.is_empty()).then(|| {
        let unseen = match unseen.is_empty() {
            true => String::new(),
            false => format!(
                " By the record not before these second ends were pressed: wire {}.",
                words::ranges(&unseen)
            ),
        };
        format!(
            "Before the second ends: {said} ({}).{unseen}",
            reading.by(fact)
        )
    })
}
