//! The device's clock as the record uses it: it never runs backwards within a device's entries, but
//! where the last stamp lies more than a day ahead of it: there it goes on from the clock, marked suspect.
//!
//! Time is told to people and breaks ties for display; it never decides what counts.

use crate::entry::At;

/// What the record asks of a clock.
pub trait Clock: Send + Sync {
    /// Milliseconds since 1970 UTC.
    fn now_ms(&self) -> i64;
    /// Minutes east of UTC.
    fn offset_min(&self) -> i32;
}

/// The system's clock.
#[derive(Debug, Default, Clone, Copy)]
pub struct SystemClock;

impl Clock for SystemClock {
    fn now_ms(&self) -> i64 {
        chrono::Utc::now().timestamp_millis()
    }
    fn offset_min(&self) -> i32 {
        chrono::Local::now().offset().local_minus_utc() / 60
    }
}

const A_DAY_MS: i64 = 24 * 60 * 60 * 1000;
const SLACK_MS: i64 = 2 * 60 * 1000;

/// The next stamp after `last`: not before it, and not pulled more than a day ahead of the clock.
#[must_use]
pub fn next_at(clock: &dyn Clock, last: Option<At>) -> At {
    let now = clock.now_ms();
    let offset_min = clock.offset_min();
    match last {
        Some(last) if last.ms >= now && last.ms - now <= A_DAY_MS => At {
            ms: last.ms,
            offset_min,
            count: last.count.saturating_add(1),
            suspect: last.ms - now > SLACK_MS,
        },
        Some(last) => At {
            ms: now,
            offset_min,
            count: 0,
            suspect: last.ms > now,
        },
        None => At {
            ms: now,
            offset_min,
            count: 0,
            suspect: false,
        },
    }
}

/// The day on a clock where it stands.
#[must_use]
pub fn today(clock: &dyn Clock) -> chrono::NaiveDate {
    let local = clock.now_ms() + i64::from(clock.offset_min()) * 60_000;
    let now = chrono::DateTime::from_timestamp_millis(local);
    now.unwrap_or_default().date_naive()
}

/// Day of a stamp on the clock where it was made, as `YYYY-MM-DD`.
#[must_use]
pub fn day(at: At) -> Option<String> {
    let utc = chrono::DateTime::from_timestamp_millis(at.ms)?;
    let local = utc.checked_add_signed(chrono::Duration::minutes(at.offset_min.into()))?;
    Some(local.format("%Y-%m-%d").to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    struct Fixed(i64);
    impl Clock for Fixed {
        fn now_ms(&self) -> i64 {
            self.0
        }
        fn offset_min(&self) -> i32 {
            600
        }
    }

    #[test]
    fn stamps_follow_one_another() {
        let first = next_at(&Fixed(1_000), None);
        let same = next_at(&Fixed(1_000), Some(first));
        let back = next_at(&Fixed(1_000 - 2 * 60 * 60 * 1000), Some(same));
        assert!(first < same && same < back);
        assert!(back.suspect && !same.suspect);
        let far = next_at(
            &Fixed(0),
            Some(At {
                ms: 10 * A_DAY_MS,
                offset_min: 0,
                count: 0,
                suspect: false,
            }),
        );
        assert_eq!((far.ms, far.suspect), (0, true));
    }
}
