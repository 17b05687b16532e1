//! Why what must go with a party cannot be packed at all.

use super::even::splits;
use super::fits::spares;
use super::large::Large;
use super::musts::Musts;
use super::packing::{Misfit, Packing};
use super::units::{Units, merged};
use crate::facts::Facts;
use crate::load::{ItemIx, Way};

/// What tables of sums may cost in all, in words of 64 bits.
const TABLE_WORK: u64 = 2_000_000;

/// By mass.
pub(crate) fn mass_misfit(facts: &Facts, musts: &Musts, party: usize) -> Option<Misfit> {
    let here = &facts.by_party[party];
    let units = Units::new(facts, &musts.by_party[party], here);
    let spare = spares(facts);
    let caps: Vec<u64> = here.iter().map(|&c| spare[c.0]).collect();
    if let Some(misfit) = Packing::new(units.alone()).misfit(&caps) {
        return Some(misfit);
    }
    let most = caps.iter().copied().max()?;
    let mut work = TABLE_WORK;
    splits(&units).into_iter().find_map(|kinds| {
        let large = Large::new(&units, kinds, units.mass(), most, &mut work)?;
        let size = units.whole.get(kinds.saturating_sub(1)).map_or(0, |u| u.0);
        large.too_small(&caps).then_some(Misfit::Gaps { size })
    })
}

/// By bulk, of what nobody takes in any other way than on the back or the bed.
pub(crate) fn room_misfit(facts: &Facts, musts: &Musts, party: usize) -> Option<Misfit> {
    let here = &facts.by_party[party];
    let caps: Option<Vec<u64>> = here.iter().map(|&c| facts.carriers[c].room).collect();
    let stowed = |i: usize| {
        let mut ways = facts.order.item(ItemIx(i)).ways.iter();
        ways.all(|w| matches!(w, Way::Back | Way::Bed))
    };
    let units = (0..facts.items.len()).filter(|&i| stowed(i));
    let units = units.map(|i| (facts.items[i].bulk, musts.by_party[party][i])).collect();
    Packing::new(merged(units)).misfit(&caps?)
}
