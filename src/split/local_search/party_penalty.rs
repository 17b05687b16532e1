//! Incremental penalties of parties: per need, per requirement and for all that
//! depends on supplies, so that a step re-evaluates only what it touches.

use super::penalty;
use super::state::State;

impl State<'_, '_> {
    pub(super) fn refresh_party(&mut self, p: usize) {
        let facts = self.facts;
        facts.needs[p].plain.iter().for_each(|&n| self.refresh_need(p, n));
        self.refresh_supplies(p);
        (0..facts.requires.len()).for_each(|r| self.refresh_require(p, r));
        for k in (0..facts.order.brings().len()).filter(|&k| facts.order.brings()[k].party.0 == p) {
            self.refresh_bring(p, k);
        }
    }

    /// Re-evaluates what depends on the count of the item in the party.
    pub(super) fn refresh_dependents(&mut self, p: usize, item: usize) {
        let facts = self.facts;
        let on = &facts.dependents[p][item];
        on.needs.iter().for_each(|&n| self.refresh_need(p, n));
        on.wants.iter().for_each(|&w| self.refresh_want(w));
        on.brings.iter().for_each(|&k| self.refresh_bring(p, k));
        if on.supplied {
            self.refresh_supplies(p);
        }
        facts.dependent_requires[item].iter().for_each(|&r| self.refresh_require(p, r));
    }

    fn refresh_need(&mut self, p: usize, need: usize) {
        let now = penalty::need(self, need);
        self.party_penalty[p] += now - self.need_penalty[need];
        self.need_penalty[need] = now;
    }

    fn refresh_bring(&mut self, p: usize, bring: usize) {
        let now = penalty::bring(self, bring);
        self.party_penalty[p] += now - self.bring_penalty[bring];
        self.bring_penalty[bring] = now;
    }

    fn refresh_supplies(&mut self, p: usize) {
        let now = penalty::supplied(self, p);
        self.party_penalty[p] += now - self.supply_penalty[p];
        self.supply_penalty[p] = now;
    }

    fn refresh_require(&mut self, p: usize, require: usize) {
        let now = penalty::require(self, require, p);
        self.party_penalty[p] += now - self.require_penalty[p][require];
        self.require_penalty[p][require] = now;
    }

    pub(super) fn refresh_want(&mut self, want: usize) {
        let p = self.facts.order.wants()[want].party.0;
        let now = penalty::want(self, want);
        self.party_wants[p] = self.party_wants[p] + now - self.want_value[want];
        self.want_value[want] = now;
    }

    /// What is left of what something in the party lacks, the item's own
    /// requirements first: something required, or the best of a supply.
    pub(super) fn lacking(&self, item: usize, party: usize) -> Option<usize> {
        let facts = self.facts;
        let lacks = |r: &usize| self.require_penalty[party][*r] > 0;
        let own = facts.dependent_requires[item].iter().copied();
        let mut all = own.chain(0..facts.requires.len());
        if let Some(r) = all.find(lacks) {
            let cases = facts.found_in[facts.requires[r].required].iter().map(|(c, _)| *c);
            let left = cases.filter(|c| self.left(*c) > 0);
            return left.min_by_key(|&c| (facts.items[c].mass, c));
        }
        let (supply, short) = *penalty::lacking(self, party).first()?;
        let left = facts.suppliers[supply].iter().filter(|(i, _)| self.left(*i) > 0);
        // The least mass for what is lacking.
        let price = |&(i, amount): &(usize, u64)| {
            let units = short.div_ceil(amount.max(1));
            (units.saturating_mul(facts.items[i].mass), i)
        };
        left.copied().min_by_key(|s| price(s)).map(|s| s.0)
    }

    /// Whether something that looks at the item in the party is not met.
    pub(super) fn could_repair(&self, item: usize, party: usize) -> bool {
        let on = &self.facts.dependents[party][item];
        let supplies = !self.facts.items[item].supplies.is_empty();
        on.needs.iter().any(|&k| self.need_penalty[k] > 0)
            || (on.supplied && supplies && self.supply_penalty[party] > 0)
            || self.facts.dependent_requires[item]
                .iter()
                .any(|&r| self.require_penalty[party][r] > 0)
    }

    /// One more or one less of the item in the party, on no carrier: while only
    /// counts are chosen.
    pub(super) fn tally(&mut self, item: usize, party: usize, add: bool) {
        let f = &self.facts.items[item];
        if add {
            self.loose[party][item] += 1;
            self.outside[item] += 1;
            self.carried += f.mass;
            self.carried_bulk += f.bulk;
        } else {
            self.loose[party][item] -= 1;
            self.outside[item] -= 1;
            self.carried -= f.mass;
            self.carried_bulk -= f.bulk;
        }
        self.refresh_dependents(party, item);
        if let Some(store) = self.facts.store() {
            self.refresh_dependents(store, item);
        }
    }
}
