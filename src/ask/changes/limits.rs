//! More of what a carrier can take: limit, room, slots.

use super::{Remedy, RemedySearch};
use crate::ask::change::Change;
use crate::ask::vary;
use crate::load::{CarrierIx, MoveOrder, Way};
use crate::quantity::{Bulk, Mass};
use crate::split::{CarrierFinding, Findings};

/// One gram, in milligrams.
const GRAM: u64 = 1000;
/// The most things that a file may say a way holds.
const MOST_SLOTS: u32 = 1000;
/// The most hands that a file may give somebody.
const MOST_HANDS: u32 = 2;

fn of(findings: &Findings, c: CarrierIx) -> Option<&CarrierFinding> {
    findings.carriers.iter().find(|f| f.carrier == c)
}

/// The least limit in whole grams that leaves `load` after all reserves; `None`
/// over what a file may say.
fn limit_for(order: &MoveOrder, c: CarrierIx, load: Mass) -> Option<u64> {
    let most = Mass::MOST.mg() / GRAM;
    let bears = |g: u64| vary::with_limit(order, c, Mass::from_g(g)).usable_limit(c) >= load;
    if !bears(most) {
        return None;
    }
    let (mut no, mut yes) = (0, most);
    while yes - no > 1 {
        let middle = no + (yes - no) / 2;
        *(if bears(middle) { &mut yes } else { &mut no }) = middle;
    }
    Some(yes)
}

impl RemedySearch<'_, '_> {
    /// The least limit that does, to the gram.
    pub(super) fn limit(&self, c: CarrierIx, findings: &Findings) -> Option<Remedy> {
        let order = self.base.build();
        let g = |f: &Findings| of(f, c).and_then(|f| limit_for(&order, c, f.load));
        let change = |g| Change::Limit { carrier: c, to: Mass::from_g(g) };
        let no = order.carrier(c).limit().mg() / GRAM;
        let yes = g(findings)?.max(no + 1);
        // A reserve that is a share of the limit grows with it: let it be seen.
        if !self.works(&change(yes)) {
            return None;
        }
        Some(self.least(no, yes, change, Some(&|f| g(f).unwrap_or(u64::MAX))))
    }

    /// The least room that does, to the millilitre.
    pub(super) fn room(&self, c: CarrierIx, findings: &Findings) -> Option<Remedy> {
        let ml = |f: &Findings| of(f, c).map_or(u64::MAX, |f| f.bulk.ml());
        let change = |ml| Change::Room { carrier: c, to: Bulk::from_ml(ml) };
        let no = self.base.order.carrier(c).room()?.ml();
        let yes = ml(findings).max(no + 1);
        if yes > Bulk::MOST.ml() || !self.works(&change(yes)) {
            return None;
        }
        Some(self.least(no, yes, change, Some(&ml)))
    }

    /// The fewest slots that do, or hands.
    pub(super) fn slots(&self, c: CarrierIx, way: Way, findings: &Findings) -> Option<Remedy> {
        let change = |n: u64| Change::Slots { carrier: c, way, to: n as u32 };
        let no = self.base.order.carrier(c).person()?.slots.of(way)?;
        let (used, most) = match way {
            Way::Hand => (MOST_HANDS, MOST_HANDS),
            _ => {
                let mine = of(findings, c)?.lines.iter().filter(|l| l.way == way);
                (mine.map(|l| l.count).sum(), MOST_SLOTS)
            }
        };
        let yes = used.max(no.saturating_add(1));
        if yes > most || !self.works(&change(yes.into())) {
            return None;
        }
        Some(self.least(no.into(), yes.into(), change, None))
    }
}
