//! Rules on what is on one carrier, as rows.
//!
//! A lump of several carriers relaxes a rule or drops it, never tightens it.

use super::build::Program;
use super::model::{Affine, Col};
use super::sub_program::FixedRest;
use super::teams::TeamIx;

impl Program<'_, '_> {
    pub(super) fn rule_rows(&mut self) {
        self.apart_rows();
        self.together_rows();
        self.at_most_rows();
        self.fixed_rows();
    }

    /// The single carriers outside the store.
    fn lone(&self) -> Vec<TeamIx> {
        self.all_teams().filter(|&t| self.teams[t].size() == 1 && !self.teams[t].store).collect()
    }

    /// The most units of an item that a single carrier can have: the big-M
    /// where a binary stands for "some". A larger one would weaken the
    /// relaxation.
    fn most_on(&self, i: usize, t: TeamIx) -> f64 {
        let item = &self.facts.items[i];
        let carriers = self.teams[t].members.iter().map(|&c| &self.facts.carriers[c]);
        let lightest = item.mass.min(item.pair[0]).min(item.pair[1]).max(1);
        let mass = carriers.map(|f| f.usable.saturating_sub(f.burden) / lightest);
        let mass = mass.fold(0, u64::saturating_add) as f64;
        f64::from(item.held).min(mass).min(self.most(&self.on(i, t)))
    }

    /// A clique row a carrier for each set of kinds: much stronger than by
    /// pairs.
    fn apart_rows(&mut self) {
        for items in &self.facts.rules.apart {
            for t in self.lone() {
                let mut row = Affine::default();
                for &i in items {
                    let on = self.on(i, t);
                    if on.terms.is_empty() {
                        continue;
                    }
                    let most = self.most_on(i, t);
                    if most <= 1.0 {
                        row += &on;
                        continue;
                    }
                    let present = self.model.binary();
                    let mut link = on;
                    link.add(present, -most);
                    self.model.at_most(&link, 0.0);
                    row.add(present, 1.0);
                }
                if row.terms.len() > 1 {
                    self.model.at_most(&row, 1.0);
                }
            }
        }
    }

    /// In each party one carrier has whatever goes of the group. A party with
    /// a lump in it is left out: its members could be that one carrier.
    fn together_rows(&mut self) {
        let facts = self.facts;
        for (group, items) in facts.rules.together.iter().enumerate() {
            for party in (0..facts.by_party.len()).filter(|p| Some(*p) != facts.store()) {
                let teams: Vec<TeamIx> =
                    self.all_teams().filter(|&t| self.teams[t].party == party).collect();
                if teams.iter().any(|&t| self.teams[t].size() > 1) {
                    continue;
                }
                let chosen: Vec<(TeamIx, Col)> =
                    teams.iter().map(|&t| (t, self.model.binary())).collect();
                let of = |t: TeamIx| chosen.iter().find(|(u, _)| *u == t).map(|(_, c)| *c);
                let mut one = Affine::default();
                chosen.iter().for_each(|(_, c)| one.add(*c, 1.0));
                let stands = |s: &FixedRest| s.together[group].contains(&party);
                let most = if self.fixed_rest.as_ref().is_some_and(stands) { 0.0 } else { 1.0 };
                self.model.at_most(&one, most);
                for &i in items {
                    for &(t, c) in &chosen {
                        let mut row = Affine::default();
                        for a in self.alone_of_item(i).filter(|a| a.team == t) {
                            row.add(a.col, 1.0);
                        }
                        row.add(c, -self.most_on(i, t).min(self.most(&row)));
                        self.model.at_most(&row, 0.0);
                    }
                    let pairs: Vec<(Col, TeamIx, TeamIx)> = self
                        .between_of_item(i)
                        .filter(|b| self.teams[b.first].party == party)
                        .map(|b| (b.col, b.first, b.second))
                        .collect();
                    for (col, first, second) in pairs {
                        let mut row = Affine::default();
                        row.add(col, 1.0);
                        for end in [first, second] {
                            if let Some(c) = of(end) {
                                row.add(c, -1.0);
                            }
                        }
                        self.model.at_most(&row, 0.0);
                    }
                }
            }
        }
    }

    fn at_most_rows(&mut self) {
        for rule in &self.facts.rules.at_most {
            for t in self.all_teams() {
                if !self.teams[t].members.iter().all(|c| rule.carriers.contains(c)) {
                    continue;
                }
                let mut row = Affine::default();
                for &i in &rule.items {
                    row += &self.on(i, t);
                }
                let most = f64::from(rule.count) * f64::from(self.teams[t].size());
                self.model.at_most(&row, most);
            }
        }
    }

    fn fixed_rows(&mut self) {
        for &(i, count, c) in &self.facts.rules.fixed {
            let Some(t) = self.all_teams().find(|&t| self.teams[t].members.contains(&c)) else {
                continue;
            };
            let row = self.on(i, t);
            self.model.at_least(&row, f64::from(count));
        }
    }
}
