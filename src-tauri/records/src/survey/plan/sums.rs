//! What bays and posts of a run add up to once the file is taken, which its lengths are held against.
//!
//! Invariant: the rule is `mechanics::plausible`, as for a length that is read by hand; here is only
//! put together what the job knows and what the file adds. Nothing where something is missing.

use mechanics::Millimetres;
use mechanics::plausible::AddedUp;

use super::super::facts::{Given, Survey};
use super::{Layout, Planner};
use crate::ids::ItemId;
use crate::model::fields;
use crate::model::values::{Along, Length, PostRole};
use crate::subject::{ItemKind, Subject};

impl Planner<'_, '_> {
    /// Bays and inner posts of a run along its wires; none where one of them is not told, or where the
    /// run ends at a post between: an end of it was not taken, and what is left is not the whole.
    pub(super) fn added_up(
        &self,
        survey: &Survey,
        run: ItemId,
        layout: &Layout,
    ) -> Option<AddedUp> {
        let stretch = layout.stretch()?;
        let ends = [layout.posts.first()?, layout.posts.last()?];
        if ends.iter().any(|end| end.role == PostRole::Intermediate) {
            return None;
        }
        let mut sum = 0.0;
        let mut measured = true;
        for bay in layout.bays() {
            if let Some(clear) = self.clear(run, &bay, stretch) {
                sum += clear;
                continue;
            }
            measured = false;
            let Subject::Bay(left, right) = bay else {
                return None;
            };
            let halves = (self.along(survey, left)? + self.along(survey, right)?) / 2.0;
            sum += (layout.apart(&bay)?.0 - halves) * stretch;
        }
        let inner = layout.posts.len().checked_sub(2).filter(|_| sum > 0.0)?;
        for placed in layout.posts.iter().skip(1).take(inner) {
            sum += self.along(survey, placed.post)? * stretch;
        }
        Some(AddedUp {
            sum: Millimetres(sum),
            measured,
        })
    }

    /// The longest that was read of a bay along the wires, in the file or before.
    fn clear(&self, run: ItemId, bay: &Subject, stretch: f64) -> Option<f64> {
        let known = self.job.run(run).into_iter().flat_map(|r| &r.bays);
        let known = known.filter(|b| b.measured && b.subject == *bay);
        let read = self.clears.iter().filter(|(of, ..)| of == bay);
        let all = known
            .filter_map(|b| b.longest)
            .chain(read.map(|(_, clear, along)| (*clear, *along)));
        let along_wire = |(clear, along): (Length, Along)| match along {
            Along::Slope => clear.as_mm(),
            Along::Level => clear.as_mm() * stretch,
        };
        all.map(along_wire).reduce(f64::max)
    }

    /// A post's width along its run, in millimetres.
    fn along(&self, survey: &Survey, post: ItemId) -> Option<f64> {
        let named = |name: &String| {
            let key = (ItemKind::Post, name.clone());
            self.ids.get(&key).is_some_and(|ids| ids.contains(&post))
        };
        let things = survey.things.iter();
        let said = things
            .filter(|t| t.kind == ItemKind::Post && named(&t.name))
            .flat_map(|t| &t.facts)
            .find(|fact| fact.field == fields::POST_SECTION.name);
        let told = match said.map(|fact| &fact.value) {
            Some(Given::Value(value)) => value.get("alongNm")?.as_i64(),
            _ => None,
        };
        let known = || Some(self.job.post(post)?.section?.along_nm);
        let nm = told.or_else(known)?;
        Some(Length { nm }.as_mm())
    }
}
