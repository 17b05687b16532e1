//! What carriers may bear of kit under a candidate for the peak share.

use super::fits::spares;
use super::loads::Loads;
use super::musts::Musts;
use crate::facts::{CarrierFact, Facts, KitIx};
use crate::load::Share;
use crate::pins::Pins;
use crate::quantity::Mass;

/// Units times carriers up to which a packing is built.
const MOST_STEPS: u64 = 4_000_000;

/// mg of kit on each carrier at most, by limits and by pins.
pub(super) fn pinned(facts: &Facts, pins: &Pins) -> Vec<u64> {
    let mut spare = spares(facts);
    if let Some(caps) = &pins.even {
        for (c, spare) in spare.iter_mut().enumerate() {
            *spare = (*spare).min(caps[c].saturating_sub(facts.carriers[c].burden));
        }
    }
    spare
}

/// Limits of kit under a candidate share.
pub(super) struct Caps<'f, 'o> {
    facts: &'f Facts<'o>,
    /// Without any share: mg of kit on each carrier at most.
    spare: Vec<u64>,
    loads: Loads,
    /// The largest limit that counts, in mg.
    scale: u64,
}

impl<'f, 'o> Caps<'f, 'o> {
    pub fn new(facts: &'f Facts<'o>, pins: &Pins, scale: u64) -> Self {
        Caps { facts, spare: pinned(facts, pins), loads: Loads::new(facts), scale }
    }

    /// mg of kit on each carrier at most. One that bears too much before any
    /// kit has none: `fixed` bounds that.
    pub fn of(&self, share: Share) -> Vec<u64> {
        let (load, limit) = (u128::from(share.load.mg()), u128::from(share.limit.mg().max(1)));
        let cap = |(f, spare): (&CarrierFact, &u64)| {
            if !f.even {
                return *spare;
            }
            let all = load * u128::from(f.limit) / limit;
            let all = u64::try_from(all).unwrap_or(u64::MAX);
            all.saturating_sub(f.burden).min(*spare)
        };
        self.facts.carriers.iter().zip(&self.spare).map(cap).collect()
    }

    /// The least share above this one that some carrier can have.
    pub fn next(&self, share: Share) -> Share {
        let (load, limit) = (u128::from(share.load.mg()), u128::from(share.limit.mg().max(1)));
        let even = self.facts.carriers.iter().filter(|c| c.even && c.limit > 0);
        let next = even.map(|f| {
            let over = load * u128::from(f.limit) / limit + 1;
            let over = u64::try_from(over).unwrap_or(u64::MAX);
            let kit = self.loads.least(over.saturating_sub(f.burden));
            let load = Mass::from_mg(f.burden.saturating_add(kit));
            Share { load, limit: Mass::from_mg(f.limit) }
        });
        next.min().unwrap_or(share)
    }

    /// A share under which what must go is packed greedily, rules, ways and
    /// room aside: no test here can show more than that to be too small. Else
    /// the share of full limits.
    pub fn packed(&self, musts: &Musts, least_mass: u64) -> Share {
        let facts = self.facts;
        let share = |c: KitIx, load: u64| Share {
            load: Mass::from_mg(load),
            limit: Mass::from_mg(facts.carriers[c].limit),
        };
        let even = || facts.kit().filter(|&c| facts.carriers[c].even);
        let full =
            even().map(|c| share(c, facts.carriers[c].burden.saturating_add(self.spare[c.0])));
        let full = full.max().unwrap_or(Share::ZERO);
        let units: u64 = musts.by_party.iter().flatten().fold(0, |n, m| n.saturating_add(*m));
        let each = units.saturating_mul(facts.carriers.len() as u64);
        let must = (0..facts.by_party.len()).map(|p| musts.mass(facts, p));
        if least_mass > must.fold(0, u64::saturating_add) || each > MOST_STEPS {
            return self.rounded(full);
        }
        // The heaviest first, to whom it makes the smallest share (Graham 1969).
        let mut loads: Vec<u64> = facts.carriers.iter().map(|f| f.burden).collect();
        for (party, least) in musts.by_party.iter().enumerate() {
            let here: Vec<KitIx> =
                facts.by_party[party].iter().copied().filter(|&c| facts.carriers[c].even).collect();
            let mut kinds: Vec<usize> = (0..least.len()).filter(|&i| least[i] > 0).collect();
            kinds.sort_by_key(|&i| std::cmp::Reverse(facts.items[i].mass));
            for i in kinds {
                let mass = facts.items[i].mass;
                for _ in 0..least[i] {
                    let after = |c: KitIx| share(c, loads[c.0].saturating_add(mass));
                    let Some(&c) = here.iter().min_by_key(|&&c| after(c)) else { continue };
                    loads[c.0] = loads[c.0].saturating_add(mass);
                }
            }
        }
        let peak = even().map(|c| share(c, loads[c.0])).max().unwrap_or(full);
        self.rounded(peak.min(full))
    }

    /// On the scale of candidates, rounded up.
    fn rounded(&self, share: Share) -> Share {
        let load = u128::from(share.load.mg()) * u128::from(self.scale);
        let load = load.div_ceil(u128::from(share.limit.mg().max(1)));
        let load = Mass::from_mg(u64::try_from(load).unwrap_or(u64::MAX).min(1 << 62));
        Share { load, limit: Mass::from_mg(self.scale) }
    }
}
