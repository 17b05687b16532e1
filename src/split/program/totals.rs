//! Columns for how many of an item each party has: what branch and bound
//! settles first, and the only integer columns of a relaxation.

use super::build::Program;
use super::model::{Affine, Col};
use super::teams::{Team, TeamIx};

impl Program<'_, '_> {
    /// How many of an item a party has, then a team, is branched on first: by
    /// which way they go seldom changes a plan's value.
    pub(super) fn sums(&mut self) {
        for i in 0..self.facts.items.len() {
            if self.loose_ways {
                self.totals_of(i);
                continue;
            }
            for party in 0..self.facts.by_party.len() {
                let here: Vec<TeamIx> =
                    self.all_teams().filter(|&t| self.teams[t].party == party).collect();
                let mut all: Vec<Col> = Vec::new();
                for &t in &here {
                    let own: Vec<Col> =
                        self.alone_of_item(i).filter(|a| a.team == t).map(|a| a.col).collect();
                    if here.len() > 1 && own.len() > 1 {
                        self.model.sum(&own, 1);
                    }
                    all.extend(own);
                }
                let teams = &self.teams;
                let pairs = self.between_of_item(i).filter(|b| teams[b.first].party == party);
                all.extend(pairs.map(|b| b.col));
                if all.len() > 1 {
                    self.model.sum(&all, 2);
                }
            }
        }
    }

    /// A whole column for each party's count of the item.
    fn totals_of(&mut self, i: usize) {
        for party in 0..self.facts.by_party.len() {
            let mut ways = Affine::default();
            let teams = &self.teams;
            let alone = self.alone_of_item(i).filter(|a| teams[a.team].party == party);
            alone.for_each(|a| ways.add(a.col, 1.0));
            let pairs = self.between_of_item(i).filter(|b| teams[b.first].party == party);
            pairs.for_each(|b| ways.add(b.col, 1.0));
            if ways.terms.is_empty() {
                continue;
            }
            self.split_sums(i, party);
            let facts = self.facts;
            let store = facts.store() == Some(party);
            let most = if store { facts.items[i].held } else { facts.most_in(i, party) };
            let total = self.model.whole(most.into());
            ways.add(total, -1.0);
            self.model.row(&ways, 0.0, 0.0);
            self.by_item[i].2.push(self.totals.len());
            self.totals.push((i, party, total));
        }
    }

    /// Where a party has several teams of people, what each bears alone of an
    /// item is whole too.
    fn split_sums(&mut self, i: usize, party: usize) {
        let people = |t: &&Team| t.party == party && t.people(self.facts);
        if self.teams.iter().filter(people).count() < 2 {
            return;
        }
        for t in self.all_teams().filter(|&t| self.teams[t].party == party) {
            let own: Vec<Col> =
                self.alone_of_item(i).filter(|a| a.team == t).map(|a| a.col).collect();
            if !own.is_empty() {
                self.model.sum(&own, 1);
            }
        }
    }
}
