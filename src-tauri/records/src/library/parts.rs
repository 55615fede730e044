//! Strand and fitting-set templates, parsed from `data/library`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::model::values::{Efficiency, Force, Length, StrandFigures, Terminals};

/// A strand to start from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct StrandTemplate {
    /// Short name.
    pub key: String,
    /// Name as a job shows it.
    pub name: String,
    /// Its figures, each with its origin.
    pub figures: StrandFigures,
}

/// A fitting set to start from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct FittingTemplate {
    /// Short name.
    pub key: String,
    /// Name as a job shows it.
    pub name: String,
    /// Both terminals and where their figures are from.
    pub terminals: Terminals,
    /// Hole through intermediate posts.
    pub through_hole: Length,
    /// Terminal efficiency and factor of the safe load.
    pub efficiency: Efficiency,
    /// Where those two are from, each by its name where they differ ([`origins_apart`]).
    pub efficiency_origin: String,
    /// A common-practice deduction to compare with, where the set has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fixed_deduction: Option<Length>,
    /// Where that deduction is from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fixed_deduction_origin: Option<String>,
    /// Least straight pull of an insert, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub insert_pull: Option<Force>,
    /// Most tension that the thread may carry, where its maker states it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thread_limit: Option<Force>,
}

impl FittingTemplate {
    /// Where a figure of the set is from that a job holds beside the terminals.
    #[must_use]
    pub fn origin_of(&self, name: &str) -> Option<String> {
        self.terminals.origins.get(name).cloned()
    }
}

const EFFICIENCY: &str = "terminal efficiency: ";
const FACTOR: &str = "; factor: ";

/// One text for where terminal efficiency and factor are from, since one fact holds both.
#[must_use]
pub(super) fn origin_of_both(efficiency: &str, factor: &str) -> String {
    match efficiency == factor {
        true => efficiency.to_owned(),
        false => format!("{EFFICIENCY}{efficiency}{FACTOR}{factor}"),
    }
}

/// Where terminal efficiency and factor are from, by the text that their fact holds; none where it tells one
/// origin of both.
#[must_use]
pub fn origins_apart(of_both: &str) -> Option<(&str, &str)> {
    of_both.strip_prefix(EFFICIENCY)?.split_once(FACTOR)
}

const STRANDS: &str = include_str!("../../data/library/strands.json");
const FITTING_SETS: &str = include_str!("../../data/library/fitting-sets.json");

/// Strands that come with the program.
#[must_use]
pub fn strands() -> Vec<StrandTemplate> {
    serde_json::from_str(STRANDS).unwrap_or_default()
}

/// Fitting sets that come with the program.
#[must_use]
pub fn fitting_sets() -> Vec<FittingTemplate> {
    serde_json::from_str(FITTING_SETS).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::TERMINAL_FIGURES;
    use mechanics::Millimetres;
    use mechanics::strand::{Construction, default_axial_stiffness};

    #[test]
    fn every_template_reads_and_states_its_origins() {
        let strands = strands();
        assert!(strands.len() >= 5);
        for strand in &strands {
            assert!(!strand.figures.ea_origin.is_empty(), "{}", strand.key);
            assert!(!strand.figures.stretch_origin.is_empty(), "{}", strand.key);
            assert_eq!(
                strand.figures.breaking_mn.is_some(),
                strand.figures.breaking_origin.is_some(),
                "{}",
                strand.key
            );
        }
        let sets = fitting_sets();
        assert!(!sets.is_empty());
        for set in &sets {
            assert!(!set.terminals.origin.is_empty());
            let origin = |name: &str| {
                let told = set.origin_of(name).filter(|origin| !origin.is_empty());
                told.unwrap_or_else(|| panic!("{} of {}", name, set.key))
            };
            for (hand, terminal) in [
                ("left", &set.terminals.left),
                ("right", &set.terminals.right),
            ] {
                for figure in TERMINAL_FIGURES {
                    if terminal.told(figure.name).is_some() {
                        origin(&format!("{hand}.{}", figure.name));
                    }
                }
            }
            origin("throughHoleNm");
            assert_eq!(
                set.efficiency_origin,
                origin_of_both(&origin("permille"), &origin("factorPercent"))
            );
            if let Some(of) = &set.fixed_deduction_origin {
                assert_eq!(of, &origin("fixedDeductionNm"));
            }
            assert_eq!(
                set.fixed_deduction.is_some(),
                set.fixed_deduction_origin.is_some()
            );
        }
    }

    #[test]
    fn one_text_tells_the_origins_of_efficiency_and_factor() {
        let both = origin_of_both("sheet 7", "the designer");
        assert_eq!(both, "terminal efficiency: sheet 7; factor: the designer");
        assert_eq!(origins_apart(&both), Some(("sheet 7", "the designer")));
        assert_eq!(origin_of_both("sheet 7", "sheet 7"), "sheet 7");
        assert_eq!(origins_apart("sheet 7"), None);
    }

    #[test]
    fn stiffness_is_what_the_stated_origin_computes() {
        // EA = metallic area × 130 GPa (1x19) or 90 GPa (7x7, 7x19).
        for strand in strands() {
            let lay = match strand.figures.construction.as_str() {
                "1x19" => Construction::OneByNineteen,
                "7x7" => Construction::SevenBySeven,
                "7x19" => Construction::SevenByNineteen,
                other => panic!("{other}"),
            };
            let diameter = Millimetres(strand.figures.diameter_nm as f64 / 1e6);
            let computed = default_axial_stiffness(diameter, lay).unwrap();
            let held = strand.figures.ea_mn as f64 / 1e3;
            assert!(
                (held - computed.value.value()).abs() <= 0.5,
                "{}: {held} {}",
                strand.key,
                computed.value
            );
        }
    }
}
