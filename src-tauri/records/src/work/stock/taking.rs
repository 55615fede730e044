//! Taking pieces from stock one after the other: what each cut loses, and when a reel is too short.

use std::collections::BTreeMap;

use super::{Stock, StockItem, StockState};
use crate::model::values::{CuttingRules, Length};

/// A reel or offcut that has less left than a piece.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error(
    "{name} has {left_mm} mm left by the record, and {cut_mm} mm is to come off it. Are its metres \
     right, and was every piece cut from it that is told so?"
)]
pub struct TooShort {
    /// Name of the reel or offcut.
    pub name: String,
    /// What is left of it.
    pub left_mm: f64,
    /// What is to be cut.
    pub cut_mm: f64,
}

/// Stock while an act takes several pieces from it.
#[derive(Debug)]
pub struct Taking {
    rules: CuttingRules,
    items: BTreeMap<String, Item>,
}

#[derive(Debug)]
struct Item {
    name: String,
    left: i64,
    fresh: bool,
    known: bool,
}

impl Taking {
    /// Begins with what is left now.
    #[must_use]
    pub fn of(stock: &Stock) -> Self {
        let item = |item: &StockItem| Item {
            name: item.name.clone(),
            left: Length::from_mm(item.left_mm).nm,
            fresh: item.fresh(),
            known: item.state != StockState::NotKnown && item.length_mm.is_some(),
        };
        Taking {
            rules: stock.rules,
            items: stock
                .items
                .iter()
                .map(|i| (i.id.clone(), item(i)))
                .collect(),
        }
    }

    /// Takes a piece; gives what is lost with it, in nanometres. A stock whose length is not known
    /// loses kerf and trim and is never too short. Where less is left than the piece it is taken all the
    /// same, and told.
    pub fn take(&mut self, stock: &str, cut_nm: i64) -> (i64, Option<TooShort>) {
        let rules = self.rules;
        let Some(item) = self.items.get_mut(stock) else {
            return (0, None);
        };
        let trim = if item.fresh { rules.end_trim_nm } else { 0 };
        let loss = trim + rules.kerf_nm;
        if !item.known {
            item.fresh = false;
            return (loss, None);
        }
        // The last cut may fall on the end.
        let spare = item.left - trim - cut_nm;
        let short = (spare < 0).then(|| TooShort {
            name: item.name.clone(),
            left_mm: super::mm(item.left),
            cut_mm: super::mm(cut_nm),
        });
        let lost = loss.min((item.left - cut_nm).max(0));
        item.left -= (cut_nm + lost).min(item.left);
        item.fresh = false;
        (lost, short)
    }
}
