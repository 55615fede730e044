//! Values in the trade's words, with units.

use chrono::{DateTime, FixedOffset, Months, Utc};
use records::entry::At;
use records::job::Standing;
use records::model::context::{Number, Told};
use records::model::values::{
    Along, BatchKind, CallBackCause, Condition, CrimpResult, Day, EndKind, Evidence, Faces, Force,
    Hand, Instrument, LaserReference, Length, Method, Moment, OpeningKind, PostState, ProbeResult,
    RailJoint, Stage, Sun, SupportKind, Surface, TakenOutFor, ToolKind,
};
use records::work::CutsFrom;

pub(crate) use crate::drawing::number;
pub(crate) use records::work::words::ranges;

/// A length in millimetres to a tenth.
pub(crate) fn mm(nm: i64) -> String {
    format!("{} mm", bare_mm(nm))
}

/// A length in metres, to the millimetre.
pub(crate) fn metres(length: Length) -> String {
    let text = format!("{:.3}", length.as_mm() / 1000.0);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    format!("{text} m")
}

/// As [`mm`], without the unit.
pub(crate) fn bare_mm(nm: i64) -> String {
    number(Length { nm }.as_mm())
}

/// A force in whole newtons.
pub(crate) fn newtons(mn: i64) -> String {
    format!("{} N", bare_newtons(mn))
}

/// As [`newtons`], without the unit.
pub(crate) fn bare_newtons(mn: i64) -> String {
    format!("{:.0}", Force { mn }.as_newtons())
}

/// Local date and time of capture, with the offset from UTC.
pub(crate) fn when(at: At) -> String {
    let mut text = moment(at.ms, Some(at.offset_min));
    if at.suspect {
        text.push_str(" (clock suspect)");
    }
    text
}

pub(crate) fn day(at: At) -> String {
    local(at.ms, at.offset_min).map_or_else(String::new, |t| t.format("%Y-%m-%d").to_string())
}

/// The local day some months after a moment.
pub(crate) fn day_after(at: At, months: u32) -> String {
    local(at.ms, at.offset_min)
        .and_then(|t| t.checked_add_months(Months::new(months)))
        .map_or_else(String::new, |t| t.format("%Y-%m-%d").to_string())
}

pub(crate) fn moment(ms: i64, offset_min: Option<i32>) -> String {
    let told = local(ms, offset_min.unwrap_or(0));
    let text = told.map_or_else(String::new, |t| t.format("%Y-%m-%d %H:%M").to_string());
    match offset_min {
        None | Some(0) => format!("{text} UTC"),
        Some(offset) => {
            let sign = if offset < 0 { '−' } else { '+' };
            let offset = offset.unsigned_abs();
            format!("{text} (UTC{sign}{}:{:02})", offset / 60, offset % 60)
        }
    }
}

fn local(ms: i64, offset_min: i32) -> Option<DateTime<FixedOffset>> {
    let utc: DateTime<Utc> = DateTime::from_timestamp_millis(ms)?;
    let offset = FixedOffset::east_opt(offset_min.checked_mul(60)?)?;
    Some(utc.with_timezone(&offset))
}

pub(crate) fn date(day: Option<&Day>) -> String {
    day.map_or_else(String::new, |d| d.date().format("%Y-%m-%d").to_string())
}

/// A temperature in degrees Celsius from hundredths.
pub(crate) fn celsius(cdeg: i64) -> String {
    let text = format!("{:.1}", f64::from(i32::try_from(cdeg).unwrap_or(0)) / 100.0);
    format!(
        "{} °C",
        text.strip_suffix(".0").unwrap_or(&text).replace('-', "−")
    )
}

/// Two decimals of a mass in kilograms from milligrams.
pub(crate) fn kilograms(mg: i64) -> String {
    format!("{}.{:03} kg", mg / 1_000_000, mg % 1_000_000 / 1000)
}

pub(crate) fn yes(flag: bool) -> &'static str {
    if flag { "yes" } else { "no" }
}

pub(crate) fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Missing => "not on record",
        Standing::Agreed => "",
        Standing::Withdrawn => "withdrawn",
        Standing::Disputed => "disputed",
        Standing::Newer => "changed by a newer version",
    }
}

/// A size on two axes, to a hundredth of a millimetre: what two axes differ by is less than a tenth.
pub(crate) fn two_sizes(first_nm: i64, second_nm: i64) -> String {
    let fine = |nm: i64| format!("{:.2}", Length { nm }.as_mm());
    format!("{} / {}", fine(first_nm), fine(second_nm))
}

/// What a worked-out answer assumes or leaves out, as one remark; each sentence once.
pub(crate) fn assumed(run: &str, notes: &[String]) -> Option<String> {
    let mut said: Vec<&str> = Vec::new();
    for note in notes {
        if !said.contains(&note.as_str()) {
            said.push(note);
        }
    }
    (!said.is_empty()).then(|| format!("Assumed or left out, run {run}: {}", said.join(" ")))
}

/// A count with its noun.
pub(crate) fn count(n: u64, one: &str, many: &str) -> String {
    if n == 1 {
        format!("1 {one}")
    } else {
        format!("{n} {many}")
    }
}

pub(crate) fn cuts_from(from: CutsFrom) -> &'static str {
    match from {
        CutsFrom::CutSheet => "cuts made or released, else the cut sheet",
        CutsFrom::QuoteLength => "inside to inside, nothing deducted",
        CutsFrom::Bays => "bays and posts added up",
    }
}

/// The numbers that a decision was told, as they were told.
pub(crate) fn told(told: &Told) -> String {
    numbers(&told.numbers)
}

/// Numbers with their origins.
pub(crate) fn numbers<'a>(numbers: impl IntoIterator<Item = &'a Number>) -> String {
    let one = |n: &Number| format!("{} {} ({})", n.name, n.value, n.origin);
    let told: Vec<String> = numbers.into_iter().map(one).collect();
    told.join("; ")
}

/// `camelCase` as words.
pub(crate) use records::model::bounds::spaced;

macro_rules! words {
    ($($fn:ident($of:ident) { $($variant:ident => $text:literal),* $(,)? })*) => {$(
        pub(crate) fn $fn(value: $of) -> &'static str {
            match value { $($of::$variant => $text),* }
        }
    )*};
}

words! {
    surface(Surface) { Deck => "deck", Balcony => "balcony", Landing => "landing", Stair => "stair", Ramp => "ramp" }
    support(SupportKind) { Post => "post", Spreader => "spreader", WallEnd => "wall end", GlassEdge => "glass edge", GatePost => "gate post" }
    end(EndKind) { Insert => "insert", Turnbuckle => "turnbuckle", FixedEnd => "fixed end", ThroughBolt => "through-bolt", WallPlate => "wall plate", Eye => "eye" }
    hand(Hand) { Left => "LH", Right => "RH" }
    post_state(PostState) { Loose => "posts loose", Fixed => "posts fixed", RailOn => "rail on", InsertsIn => "inserts in" }
    faces(Faces) { PostFaces => "post faces", InsertFaces => "insert faces" }
    along(Along) { Level => "level", Slope => "along the slope" }
    instrument(Instrument) { Tape => "tape", Laser => "laser", Template => "template", Drawing => "drawing", Other => "other" }
    stage(Stage) { Pass => "pass", Final => "final", Recheck => "recheck" }
    method(Method) { Gauge => "gauge", HungMass => "hung mass", Sound => "sound", HungPhone => "hung phone" }
    crimp(CrimpResult) { Good => "good", Reject => "reject" }
    probe(ProbeResult) { Stops => "stops", Passes => "passes" }
    moment_of(Moment) { BeforeTension => "before tensioning", AfterTension => "after tensioning" }
    taken_out(TakenOutFor) { Galled => "galled", WrongHand => "wrong hand", Kinked => "kinked", TerminalRejected => "terminal rejected", CutWrong => "cut wrong", Other => "other" }
    call_back(CallBackCause) { Slip => "slip", Stretch => "stretch", PostMoved => "post moved", RailLoose => "rail loose", Rust => "rust", Knock => "knock", Other => "other" }
    reference(LaserReference) { Front => "front edge", Back => "back edge" }
    sun(Sun) { Sun => "in the sun", Shade => "in the shade" }
    tool(ToolKind) { TensionGauge => "tension gauge", Press => "press", Die => "die", SwageGauge => "swage gauge", Probe => "probe", Mass => "mass", Tape => "tape", Laser => "laser", Thermometer => "thermometer", Other => "other" }
    batch(BatchKind) { Strand => "strand", Terminal => "terminals", Insert => "inserts", LockNut => "lock nuts", Seat => "angled seats", Grommet => "grommets", Other => "other" }
    rail_joint(RailJoint) { OverThePost => "rail over the post", Butted => "rail butted at the post" }
    condition(Condition) { Sound => "sound", Soft => "soft", Split => "split" }
    opening(OpeningKind) {
        FloorToBottomWire => "floor to bottom wire", TopWireToRail => "top wire to rail", EndPostToWall => "end post to wall",
        PostToDeckEdge => "post to deck edge", StairTriangle => "stair triangle", GateLeaf => "gate leaf", Other => "other",
    }
    evidence(Evidence) {
        PostFixing => "post fixing", RailJoint => "rail joint", EngineersLetter => "engineer's letter",
        PostAdded => "post added", Materials => "materials and batches", Tools => "tools with their dates",
        SampleCrimp => "sample crimp", Crimps => "crimps", TemplateCheck => "template check", Engagement => "engagement of the thread",
        GaugeOnWire => "gauge on the wire", MassCheck => "hung mass with ruler", Opening => "opening with the probe in frame",
        Height => "height with the tape", Handrail => "handrail", WideView => "wide view", EndPost => "end post",
        Below => "what is below", DefectBefore => "defect before", DefectAfter => "defect after", Recheck => "recheck",
        LeftSafe => "edge as it was left", Permit => "permit", ClientChoice => "the client's signed choice", Other => "other",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_told_in_ranges() {
        assert_eq!(ranges(&[1, 2, 3, 7, 9, 10]), "1–3, 7, 9–10");
        assert_eq!(ranges(&[]), "");
    }

    #[test]
    fn times_are_local_with_their_offset() {
        assert_eq!(
            moment(1_793_055_600_000, Some(600)),
            "2026-10-27 09:00 (UTC+10:00)"
        );
        assert_eq!(
            moment(1_793_055_600_000, Some(-210)),
            "2026-10-26 19:30 (UTC−3:30)"
        );
        assert_eq!(moment(1_793_055_600_000, None), "2026-10-26 23:00 UTC");
    }
}
