//! How long a sound is that is too short to tell anything, in the words of its refusal.

use mechanics::Seconds;
use mechanics::sound::Refusal;

#[test]
fn a_sound_that_is_too_short_is_told_in_milliseconds() {
    let of = |heard, needed| {
        let (heard, needed) = (Seconds(heard), Seconds(needed));
        Refusal::TooShort { heard, needed }.reason()
    };
    for (heard, told) in [
        (0.02, "20 ms"),
        (0.25, "250 ms"),
        // Not as much as is needed.
        (0.499_9, "499 ms"),
        // One sample.
        (1.0 / 48_000.0, "less than 1 ms"),
    ] {
        let whole = format!("only {told} of sound follow the pluck, and 500 ms are needed");
        assert_eq!(of(heard, 0.5), whole);
    }
    let longer = "only 1.2 s of sound follow the pluck, and 2 s are needed";
    assert_eq!(of(1.2, 2.0), longer);
}
