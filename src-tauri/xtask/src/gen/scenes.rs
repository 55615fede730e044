//! The catalogue of the demo's pictures: what each shows, when it was "taken", and who draws it.
//!
//! Captions and dates follow the demo job. Times are local, eleven hours east of UTC.

use super::{
    Rng, canvas::Canvas, scenes_install as install, scenes_survey as survey, scenes_wide as wide,
};

/// One picture of the demo.
pub(super) struct Scene {
    pub(super) key: &'static str,
    pub(super) caption: &'static str,
    /// Id-like name of what it shows: "post A1", "run A wire 6" …
    pub(super) subject: &'static str,
    /// "2026:10:06 09:15:30"
    pub(super) taken: &'static str,
    /// How the camera was held; 5 to 8 make an upright picture of portrait shape.
    pub(super) orientation: u16,
    pub(super) draw: fn(&mut Canvas, &mut Rng),
}

macro_rules! scenes {
    ($($key:literal, $caption:literal, $subject:literal, $taken:literal, $turn:literal, $draw:path;)*) => {
        &[$(Scene {
            key: $key,
            caption: $caption,
            subject: $subject,
            taken: $taken,
            orientation: $turn,
            draw: $draw,
        }),*]
    };
}

/// In the order of the job.
pub(super) const SCENES: &[Scene] = scenes! {
    "a1-base", "Post A1: base plate and four bolts, 250 apart", "post A1", "2026:10:06 09:12:41", 6, survey::post_base;
    "a6-rail-joint", "Post A6: rail joint over the post", "post A6", "2026:10:06 09:31:05", 1, survey::rail_joint;
    "a-before", "Run A before the wires, from the deck", "run A", "2026:10:06 09:40:18", 1, wide::a_bare;
    "b-before", "Run B before the wires, from above", "run B", "2026:10:06 09:52:27", 1, wide::b_bare;
    "below", "What is below the deck edge: paving", "run A", "2026:10:06 10:04:50", 8, wide::paving_below;
    "letter", "Engineer's letter EL-017 on the posts", "job", "2026:10:07 15:20:00", 6, survey::letter;
    "a4a-added", "Post A4a added in bay A4–A5", "post A4a", "2026:10:26 07:45:12", 6, survey::added_post;
    "arrival", "Terminals on arrival, 23 LH and 23 RH", "batch terminals", "2026:10:26 08:02:33", 1, survey::arrival;
    "reel", "Reel of 3.2 mm 1x19 strand with its label", "batch strand", "2026:10:26 08:06:10", 1, survey::reel;
    "template", "Hole template on post A3, both faces checked", "post A3", "2026:10:26 08:40:55", 8, survey::template;
    "wire6-before", "A3 wire 6 drilled 9 mm high: 85 below, 67 above", "run A wire 6", "2026:10:26 09:22:14", 6, survey::hole_high;
    "wire6-after", "A3 wire 6 plugged and redrilled: 77 below, 75 above", "run A wire 6", "2026:10:26 11:05:48", 6, survey::hole_right;
    "crimp-axis-1", "Sample crimp LH, measured on the first axis", "sample crimp", "2026:10:26 12:30:09", 1, install::sample_axis_one;
    "crimp-axis-2", "Sample crimp LH, measured on the second axis", "sample crimp", "2026:10:26 12:31:40", 1, install::sample_axis_two;
    "crimp-pull", "Sample crimp after 3700 N for 60 s, mark not moved", "sample crimp", "2026:10:26 12:44:02", 3, install::sample_pulled;
    "mark-a6", "Insertion mark on wire A6 before pressing", "run A wire 6", "2026:10:26 13:02:36", 1, install::mark_in_place;
    "b3-reject", "B3 lower end rejected: mark 5 mm out, 27 of 32 in", "run B wire 3", "2026:10:26 14:18:20", 1, install::mark_out;
    "left-safe-26", "Edge left safe, 26 October: boards across run A", "run A", "2026:10:26 17:10:00", 1, wide::left_safe_boards;
    "a1-engaged", "A1 end: engagement mark hidden, lock nut on", "post A1", "2026:10:27 08:25:31", 2, install::engaged;
    "gauge-a6", "Gauge on wire A6 in bay A2–A3: 1520 N", "run A wire 6", "2026:10:27 10:14:45", 1, install::gauge_level;
    "a7-pinched", "Wire A7 pinched at post A3, before it was freed", "run A wire 7", "2026:10:27 10:19:28", 4, install::pinched;
    "gauge-b4", "Gauge on wire B4: 1500 N", "run B wire 4", "2026:10:27 11:02:19", 1, install::gauge_raked;
    "two-kg", "2 kg hung on wire A6 with the ruler: 4.5 mm", "run A wire 6", "2026:10:27 11:40:03", 6, install::hung_mass;
    "probe", "Probe of 125 mm in bay A2–A3: stops", "bay A2–A3", "2026:10:27 13:05:57", 1, install::probe;
    "height-a", "Height at A2 with the tape on the floor: 1020 mm", "run A", "2026:10:27 13:20:11", 6, install::height_deck;
    "height-b", "Height over a nosing on run B: 891 mm", "run B", "2026:10:27 13:28:44", 8, install::height_nosing;
    "a-deck", "Run A from the deck", "run A", "2026:10:27 15:02:00", 1, wide::a_from_deck;
    "a-outside", "Run A from outside", "run A", "2026:10:27 15:06:30", 1, wide::a_from_outside;
    "b-above", "Run B from above", "run B", "2026:10:27 15:10:15", 1, wide::b_from_above;
    "b-below", "Run B from the foot of the stair", "run B", "2026:10:27 15:13:52", 1, wide::b_from_below;
    "left-safe-27", "Edge left safe, 27 October: rope and sheet at the stair", "run B", "2026:10:27 16:58:37", 1, wide::left_safe_sheet;
    "recheck-a12", "Recheck on day 14: gauge on wire A12 at 1310 N", "run A wire 12", "2026:11:10 09:33:08", 1, install::gauge_recheck;
    "mark-recheck", "Recheck: witness mark at the swage mouth, 0 mm moved", "run A wire 12", "2026:11:10 09:41:26", 5, install::witness;
    "a6-end", "End post A6 close, run A and run B", "post A6", "2026:11:12 10:05:00", 7, install::end_close;
};
