//! Units that change hands from the plan before.
//!
//! What several carriers gain together is no more than what each gains for
//! itself, so lumping only relaxes it.

use super::build::Program;
use super::model::Affine;
use crate::facts::KitIx;

impl Program<'_, '_> {
    pub(super) fn changes(&mut self) -> Affine {
        let facts = self.facts;
        let Some(before) = &facts.before else { return Affine::default() };
        let stands = self.fixed_rest.as_ref().map_or(0, |s| s.changes);
        let mut sum = Affine::constant(stands as f64);
        for i in (0..facts.items.len()).filter(|&i| facts.items[i].held > 0) {
            let had = |members: &[KitIx]| {
                members.iter().map(|&c| u64::from(before.on[c.0][i])).sum::<u64>()
            };
            if self.counts_only {
                // A pair's thing is there once and was on two: no less.
                let parties = 0..facts.by_party.len();
                for p in parties.filter(|p| Some(*p) != facts.store()) {
                    let now = self.loose(i, p);
                    self.gained(&mut sum, now, had(&facts.by_party[p]));
                }
            } else {
                for t in self.all_teams().filter(|&t| !self.teams[t].store).collect::<Vec<_>>() {
                    let now = self.on(i, t);
                    self.gained(&mut sum, now, had(&self.teams[t].members));
                }
            }
            let mut left = -self.outside(i);
            left.constant += f64::from(facts.items[i].held);
            self.gained(&mut sum, left, before.stayed[i].into());
        }
        sum
    }

    /// Adds what there is now over what there was.
    fn gained(&mut self, sum: &mut Affine, now: Affine, had: u64) {
        let had = had as f64;
        let most = self.most(&now) - had;
        if most <= 0.0 {
            return;
        }
        if had == 0.0 || now.terms.is_empty() {
            *sum += &now;
            sum.constant -= had;
            return;
        }
        let gained = self.model.real_in(1.0, 0.0, most);
        let mut link = -now;
        link.constant += had;
        link.add(gained, 1.0);
        self.model.at_least(&link, 0.0);
        sum.add(gained, 1.0);
    }
}
