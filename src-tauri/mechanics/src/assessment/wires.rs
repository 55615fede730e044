//! Wire tables bay by bay: row read, least tension, largest deflection, and what is in hand.

use super::{
    Bay, BayDemand, Finding, Layout, Quantity, Topic, Verdict, WireDirection, clear_along,
    spacing_square,
};
use crate::error::MechanicsError;
use crate::rules::{
    ContinuousVerticalRow, Neighbour, OpeningPlace, Outcome, Outside, ReadAs, RuleSet, SourceNote,
    look_up_continuous_vertical, look_up_deflection, look_up_tension, opening, source_note,
};
use crate::units::{Millimetres, Newtons};

/// How far over a row still counts as "a few millimetres" worth a word.
const NEARLY: Millimetres = Millimetres(20.0);

pub(super) fn bay_demand(
    set: &RuleSet,
    layout: &Layout,
    bay: &Bay,
) -> Result<BayDemand, MechanicsError> {
    let clear = clear_along(bay, layout.slope)?;
    let spacing = spacing_square(
        bay.widest_spacing.unwrap_or(layout.widest_spacing),
        layout.spacing_taken,
        layout.slope,
    )?;
    let (diameter, lay) = (layout.diameter, layout.construction);
    Ok(BayDemand {
        label: bay.label.clone(),
        clear,
        spacing,
        tension: look_up_tension(set, diameter, lay, spacing, clear)?,
        deflection: look_up_deflection(set, diameter, spacing, clear)?,
        continuous_vertical: match layout.direction {
            WireDirection::ContinuousVertical => Some(look_up_continuous_vertical(
                set, diameter, lay, spacing, clear,
            )?),
            WireDirection::Horizontal | WireDirection::VerticalOnTwoSupports => None,
        },
    })
}

pub(super) fn least_tension(bay: &BayDemand) -> Option<Newtons> {
    match &bay.continuous_vertical {
        Some(row) => row.outcome.limit(),
        None => bay.tension.outcome.limit(),
    }
}

/// Whether the document has a table and the table no figure for the bay.
pub(super) fn is_open(bay: &BayDemand) -> bool {
    let outcome = match &bay.continuous_vertical {
        Some(row) => &row.outcome,
        None => &bay.tension.outcome,
    };
    match outcome {
        Outcome::Figure { .. } => false,
        Outcome::NotAllowed => true,
        Outcome::Outside { why } => *why != Outside::NoTable,
    }
}

pub(super) fn finding(set: &RuleSet, layout: &Layout, bay: &BayDemand) -> Finding {
    if let Some(row) = &bay.continuous_vertical {
        return continuous(set, bay, row);
    }
    let deflection = match bay.deflection.outcome.limit() {
        Some(most) => format!(
            " Or, instead: at most {most} under {} kg at mid span.",
            bay.deflection.mass_kg.unwrap_or_default()
        ),
        None => String::new(),
    };
    let (verdict, words) = match &bay.tension.outcome {
        Outcome::Figure { limit } => (Verdict::Asked, format!("at least {limit}.{deflection}")),
        Outcome::NotAllowed => (
            Verdict::NotAllowed,
            "not allowed: the tension needed would be more than the wire may safely carry. \
             Closer posts or closer wires are needed."
                .to_owned(),
        ),
        Outcome::Outside { why } => {
            // A bay may lie in the deflection table even where the tension table is silent.
            let verdict = match (why, bay.deflection.outcome.limit()) {
                (_, Some(_)) => Verdict::Asked,
                (Outside::NoTable, None) => Verdict::AskFirst,
                (_, None) => Verdict::OutsideTable,
            };
            (verdict, outside_words(set, why, &deflection))
        }
    };
    let (along, square) = if layout.slope.value() == 0.0 {
        ("", "")
    } else {
        (" along the wire", " square to it")
    };
    let rows = match bay.tension.read_as {
        Some(read) => format!("{} {}: ", row_words(bay, read), hand_words(bay)),
        None => String::new(),
    };
    let doubt = match &bay.tension.doubt {
        Some(doubt) => format!(" {doubt}"),
        None => String::new(),
    };
    Finding {
        topic: Topic::WireTable,
        place: bay.label.clone(),
        required: bay.tension.outcome.limit().map(Quantity::Newtons),
        actual: Some(Quantity::Millimetres(bay.clear)),
        margin: bay
            .tension
            .longer_bay
            .as_ref()
            .map(|next| Quantity::Millimetres(next.distance)),
        verdict,
        source: tables_source(set, bay),
        confirm: set.confirm.clone(),
        sentence: format!(
            "Bay {}{along}, spacing {}{square}. {rows}{words}{doubt}",
            bay.clear, bay.spacing
        ),
    }
}

/// Both tables where both say something: each figure in the sentence has its clause.
fn tables_source(set: &RuleSet, bay: &BayDemand) -> SourceNote {
    let tension = bay.tension.cite.as_ref();
    let deflection = bay
        .deflection
        .cite
        .as_ref()
        .filter(|_| bay.deflection.outcome.limit().is_some());
    match (tension, deflection) {
        (Some(tension), Some(deflection)) => {
            let mut note = source_note(set, tension);
            if deflection.clause != tension.clause {
                note.clause = format!("{}; {}", tension.clause, deflection.clause);
            }
            note
        }
        (Some(cite), None) | (None, Some(cite)) => source_note(set, cite),
        (None, None) => silent_source(set),
    }
}

/// A set without wire tables is cited at its opening rule, which is what stays to be shown.
fn silent_source(set: &RuleSet) -> SourceNote {
    let cite = opening(set, OpeningPlace::General).map(|rule| &rule.cite);
    source_note(set, cite.unwrap_or(&set.barrier_needed.cite))
}

fn row_words(bay: &BayDemand, read: ReadAs) -> String {
    let over = match &bay.tension.shorter_bay {
        Some(row) if row.distance < NEARLY => match row.difference {
            Some(less) if less.value() < 0.0 => {
                format!(
                    " ({} over the {} row, {} more)",
                    row.distance,
                    row.at,
                    less.abs()
                )
            }
            _ => format!(" ({} over the {} row)", row.distance, row.at),
        },
        _ => String::new(),
    };
    format!(
        "Reads the {} row{over}, spacing {}, wire {};",
        read.post_clear, read.spacing, read.diameter
    )
}

fn hand_words(bay: &BayDemand) -> String {
    let next = |what: &str, row: &Option<Neighbour<Newtons>>| match row {
        Some(row) => format!(
            "{} in hand before the next {what}{}",
            row.distance,
            more(row)
        ),
        None => format!("no {what} in the table beyond it"),
    };
    format!(
        "{}, {}",
        next("post distance", &bay.tension.longer_bay),
        next("spacing", &bay.tension.wider_spacing)
    )
}

fn more(row: &Neighbour<Newtons>) -> String {
    match (&row.outcome, row.difference) {
        (Outcome::Figure { .. }, Some(difference)) if difference.value() >= 0.0 => {
            format!(" (+{difference})")
        }
        (Outcome::Figure { limit }, _) => format!(" ({limit})"),
        (Outcome::NotAllowed, _) => " (not allowed)".to_owned(),
        (Outcome::Outside { .. }, _) => " (outside the table)".to_owned(),
    }
}

fn outside_words(set: &RuleSet, why: &Outside, deflection: &str) -> String {
    let reason = match why {
        Outside::TooThin { least } => format!("the wire is thinner than the table's {least}"),
        Outside::TooThick { most } => format!("the wire is thicker than the table's {most}"),
        Outside::NoSuchLay { lay } => format!("the table has no {lay} wire of this size"),
        Outside::TooWide { most, over } => {
            format!("the spacing is {over} wider than the table's last, {most}")
        }
        Outside::TooLong { most, over } => {
            format!("the supports are {over} farther apart than the table's last, {most}")
        }
        Outside::NoTable => {
            return format!(
                "No such table for wires is known here of this document. Ask what will be accepted, and \
                 offer the probe.{deflection}"
            );
        }
    };
    let then = set
        .wires
        .as_ref()
        .map_or("Ask what will be accepted.", |wires| wires.outside.as_str());
    format!("Outside the tension table: {reason}. {then}{deflection}")
}

fn continuous(set: &RuleSet, bay: &BayDemand, row: &ContinuousVerticalRow) -> Finding {
    let (verdict, words) = match &row.outcome {
        Outcome::Figure { limit } => (
            Verdict::Asked,
            format!("at least {limit}, read in the span furthest from the tensioner."),
        ),
        Outcome::NotAllowed => (Verdict::NotAllowed, "not allowed.".to_owned()),
        Outcome::Outside { why } => {
            let verdict = match why {
                Outside::NoTable => Verdict::AskFirst,
                _ => Verdict::OutsideTable,
            };
            (verdict, outside_words(set, why, ""))
        }
    };
    Finding {
        topic: Topic::WireTable,
        place: bay.label.clone(),
        required: row.outcome.limit().map(Quantity::Newtons),
        actual: Some(Quantity::Millimetres(bay.clear)),
        margin: row.spacing_in_hand.map(Quantity::Millimetres),
        verdict,
        source: match &row.cite {
            Some(cite) => source_note(set, cite),
            None => silent_source(set),
        },
        confirm: set.confirm.clone(),
        sentence: format!(
            "Continuous vertical wires, rails {} apart, spacing {}: {words}",
            bay.clear, bay.spacing
        ),
    }
}
