//! Columns and the rows of limits.
//!
//! `x[item, team, way]` counts units, `y[item, team, team]` counts things that
//! two people carry between them. Masses are in kg and bulks in L here, so
//! that coefficients stay between 1e-3 and 1e2 where solvers are at ease.

use super::model::{Affine, Col, Model};
use super::sub_program::FixedRest;
use super::symmetry::spared;
use super::teams::{Team, TeamIx};
use crate::facts::{Facts, KitIx};
use crate::load::Way;

/// Half a milligram in kg: masses are whole milligrams, so a row that allows
/// this much more allows no other plan, and rounding cannot cut one off.
pub(super) const HAIR: f64 = 0.5e-6;

/// Milligrams in a kg, millilitres in an L.
pub(super) const MG: f64 = 1e6;
pub(super) const ML: f64 = 1e3;

pub(super) fn kg(mg: u64) -> f64 {
    mg as f64 / 1e6
}

/// Units of an item with a team by a way.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Alone {
    pub item: usize,
    pub team: TeamIx,
    pub way: Way,
    pub col: Col,
}

/// Units of an item between two teams, or inside one of several people.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Between {
    pub item: usize,
    /// Bears the first of the item's pair shares.
    pub first: TeamIx,
    pub second: TeamIx,
    pub col: Col,
}

/// A model and what its columns mean.
#[derive(Clone)]
pub(crate) struct Program<'f, 'o> {
    pub facts: &'f Facts<'o>,
    pub teams: Vec<Team>,
    pub model: Model,
    pub alone: Vec<Alone>,
    pub between: Vec<Between>,
    /// With relaxed ways: how many of an item a party has, pairs and all.
    pub(super) totals: Vec<(usize, usize, Col)>,
    /// Columns by way are continuous: only how many of an item each team has is
    /// whole. A relaxation with far less to branch on.
    pub loose_ways: bool,
    /// The one team of the store, whose counts are what the others leave.
    pub rest: Option<TeamIx>,
    /// What the carriers outside a sub-program bear.
    pub(super) fixed_rest: Option<FixedRest>,
    /// Positions in `alone`, `between` and `totals`, by item.
    pub(super) by_item: Vec<(Vec<usize>, Vec<usize>, Vec<usize>)>,
    pub(super) by_team: Vec<(Vec<usize>, Vec<usize>)>,
    /// No ways at all, see [`Program::counts_only`].
    pub counts_only: bool,
    /// Of the counts-only relaxation, by team: kg on vehicles that go with
    /// people.
    pub(super) hauled: Vec<Option<Col>>,
}

impl<'f, 'o> Program<'f, 'o> {
    /// All columns, limits, needs and rules; no objective yet.
    pub fn new(facts: &'f Facts<'o>, teams: Vec<Team>) -> Self {
        Self::with_rest_fixed(facts, teams, None)
    }

    /// The sub-program of the freed carriers alone. The vehicles of the store
    /// are taken as one.
    pub fn around(facts: &'f Facts<'o>, fixed_rest: FixedRest) -> Self {
        let single =
            |&c: &KitIx| Team { members: vec![c], party: facts.carriers[c].party, store: false };
        let mut teams: Vec<Team> = fixed_rest.freed.iter().map(single).collect();
        if let Some(store) = facts.store().filter(|s| !facts.by_party[*s].is_empty()) {
            let members = facts.by_party[store].clone();
            teams.push(Team { members, party: store, store: true });
        }
        Self::with_rest_fixed(facts, teams, Some(fixed_rest))
    }

    fn with_rest_fixed(
        facts: &'f Facts<'o>,
        teams: Vec<Team>,
        fixed_rest: Option<FixedRest>,
    ) -> Self {
        let loose_ways = fixed_rest.is_none() && teams.iter().any(|t| t.size() > 1);
        let mut program = Program { loose_ways, fixed_rest, ..Self::blank(facts, teams) };
        program.columns();
        program.sums();
        program.held();
        program.limits();
        program.need_rows();
        program.bring_rows();
        program.require_rows();
        program.rule_rows();
        program
    }

    /// No columns and no rows yet.
    pub(super) fn blank(facts: &'f Facts<'o>, teams: Vec<Team>) -> Self {
        let store: Vec<TeamIx> = (0..teams.len()).map(TeamIx).filter(|&t| teams[t].store).collect();
        let (n, m) = (facts.items.len(), teams.len());
        Program {
            facts,
            teams,
            model: Model::default(),
            alone: Vec::new(),
            between: Vec::new(),
            totals: Vec::new(),
            loose_ways: true,
            rest: if store.len() == 1 { Some(store[0]) } else { None },
            fixed_rest: None,
            by_item: vec![Default::default(); n],
            by_team: vec![Default::default(); m],
            counts_only: false,
            hauled: vec![None; m],
        }
    }

    /// Every team of the program.
    pub fn all_teams(&self) -> impl Iterator<Item = TeamIx> + use<> {
        (0..self.teams.len()).map(TeamIx)
    }

    fn columns(&mut self) {
        let facts = self.facts;
        let spared = spared(facts, &self.teams);
        for (i, item) in facts.items.iter().enumerate().filter(|(_, f)| f.held > 0) {
            if self.fixed_rest.as_ref().is_some_and(|s| !s.active[i]) {
                continue;
            }
            for (t, spared) in self.all_teams().zip(&spared) {
                if self.rest == Some(t) || spared[i] {
                    continue;
                }
                for way in Way::ALL.into_iter().filter(|w| *w != Way::Pair) {
                    if !self.teams[t].may(facts, i, way) {
                        continue;
                    }
                    // More than the useful count only burdens whoever takes it.
                    let store = self.teams[t].store;
                    let asked =
                        if store { item.held } else { facts.most_in(i, self.teams[t].party) };
                    let most = u64::from(asked).min(self.most_by_way(i, t, way));
                    if most == 0 {
                        continue;
                    }
                    let col = self.units(most);
                    self.by_item[i].0.push(self.alone.len());
                    self.by_team[t.0].0.push(self.alone.len());
                    self.alone.push(Alone { item: i, team: t, way, col });
                }
            }
            self.pair_columns(i, &spared);
        }
    }

    fn pair_columns(&mut self, i: usize, spared: &[Vec<bool>]) {
        let facts = self.facts;
        let can: Vec<TeamIx> = self
            .all_teams()
            .filter(|&t| self.teams[t].may(facts, i, Way::Pair))
            .filter(|&t| self.hands(t) > 0 && !spared[t.0][i])
            .filter(|&t| facts.most_in(i, self.teams[t].party) > 0)
            .collect();
        for (k, &a) in can.iter().enumerate() {
            for &b in &can[k..] {
                if self.teams[a].party != self.teams[b].party {
                    continue;
                }
                let (m, n) = (self.teams[a].size(), self.teams[b].size());
                let most = if a == b { m / 2 } else { m.min(n) };
                let most = most.min(facts.most_in(i, self.teams[a].party));
                if most == 0 {
                    continue;
                }
                let mut ends = vec![(a, b)];
                if a != b && !facts.items[i].pair_even {
                    ends.push((b, a));
                }
                for (first, second) in ends {
                    let col = self.units(most.into());
                    let at = self.between.len();
                    self.by_item[i].1.push(at);
                    self.by_team[first.0].1.push(at);
                    if second != first {
                        self.by_team[second.0].1.push(at);
                    }
                    self.between.push(Between { item: i, first, second, col });
                }
            }
        }
    }

    fn units(&mut self, most: u64) -> Col {
        if self.loose_ways {
            return self.model.real(0.0, most.min(i32::MAX as u64) as f64);
        }
        self.model.whole(most)
    }

    /// The most units that the slots, hands or limit of the team could take:
    /// each must fit on some member.
    pub(super) fn most_by_way(&self, i: usize, t: TeamIx, way: Way) -> u64 {
        let item = &self.facts.items[i];
        let fits = |c: &KitIx| {
            let f = &self.facts.carriers[*c];
            let mass = f.usable.saturating_sub(f.burden) / item.mass.max(1);
            let room = match (way, f.room) {
                (Way::Back | Way::Bed, Some(room)) if item.bulk > 0 => room / item.bulk,
                _ => u64::MAX,
            };
            let slots = match way {
                Way::Hand => u64::from(f.hands / item.hands.max(1)),
                Way::Bed | Way::Pair => u64::MAX,
                _ => u64::from(f.slots[way as usize]),
            };
            mass.min(room).min(slots)
        };
        self.teams[t].members.iter().map(fits).fold(0, u64::saturating_add)
    }

    pub(super) fn hands(&self, t: TeamIx) -> u64 {
        self.teams[t].members.iter().map(|&c| u64::from(self.facts.carriers[c].hands)).sum()
    }

    pub(super) fn alone_of_item(&self, i: usize) -> impl Iterator<Item = &Alone> {
        self.by_item[i].0.iter().map(|&k| &self.alone[k])
    }
    pub(super) fn between_of_item(&self, i: usize) -> impl Iterator<Item = &Between> {
        self.by_item[i].1.iter().map(|&k| &self.between[k])
    }
    pub(super) fn alone_of_team(&self, t: TeamIx) -> impl Iterator<Item = &Alone> {
        self.by_team[t.0].0.iter().map(|&k| &self.alone[k])
    }
    pub(super) fn between_of_team(&self, t: TeamIx) -> impl Iterator<Item = &Between> {
        self.by_team[t.0].1.iter().map(|&k| &self.between[k])
    }

    /// Units of the item with the parties that `of` picks, a pair's thing once.
    fn with(&self, i: usize, of: impl Fn(usize) -> bool) -> Affine {
        let mut sum = Affine::default();
        if let Some(s) = &self.fixed_rest {
            let here = s.counts.iter().enumerate().filter(|(p, _)| of(*p));
            sum.constant = here.map(|(_, items)| f64::from(items[i])).sum();
        }
        if self.loose_ways {
            for &k in &self.by_item[i].2 {
                let (_, party, col) = self.totals[k];
                if of(party) {
                    sum.add(col, 1.0);
                }
            }
            return sum;
        }
        for a in self.alone_of_item(i).filter(|a| of(self.teams[a.team].party)) {
            sum.add(a.col, 1.0);
        }
        for b in self.between_of_item(i).filter(|b| of(self.teams[b.first].party)) {
            sum.add(b.col, 1.0);
        }
        sum
    }

    /// Units of the item that leave the store (all that are taken, without one).
    pub(super) fn outside(&self, i: usize) -> Affine {
        let store = self.facts.store();
        self.with(i, |p| Some(p) != store)
    }

    /// Units of the item, loose or as cases, in the party.
    pub(super) fn loose(&self, i: usize, party: usize) -> Affine {
        if self.facts.store() == Some(party) {
            let mut left = -self.outside(i);
            left.constant += f64::from(self.facts.items[i].held);
            return left;
        }
        self.with(i, |p| p == party)
    }

    /// Units of the item in the party, those inside cases included.
    pub(super) fn there(&self, i: usize, party: usize) -> Affine {
        let mut sum = Affine::default();
        for &(case, n) in &self.facts.found_in[i] {
            sum.add_scaled(&self.loose(case, party), f64::from(n));
        }
        sum
    }

    /// Units of the item on the team, a pair's thing on both its bearers.
    pub(super) fn on(&self, i: usize, t: TeamIx) -> Affine {
        if self.rest == Some(t) {
            return self.loose(i, self.teams[t].party);
        }
        let mut sum = Affine::default();
        for a in self.alone_of_item(i).filter(|a| a.team == t) {
            sum.add(a.col, 1.0);
        }
        for b in self.between_of_item(i) {
            for end in [b.first, b.second] {
                if end == t {
                    sum.add(b.col, 1.0);
                }
            }
        }
        sum
    }

    pub(super) fn held(&mut self) {
        for i in 0..self.facts.items.len() {
            let held = f64::from(self.facts.items[i].held);
            let mut sum = self.outside(i);
            if let Some(t) = self.rest {
                // What may not stay must go.
                let may_stay = self.teams[t].may(self.facts, i, Way::Bed);
                let least = if may_stay { f64::NEG_INFINITY } else { held };
                self.model.row(&sum, least, held);
                continue;
            }
            if self.facts.store().is_none() {
                self.model.at_most(&sum, held);
                continue;
            }
            // Several vehicles keep the rest: each unit is on one of them.
            let kept: Vec<Col> =
                self.alone_of_item(i).filter(|a| self.teams[a.team].store).map(|a| a.col).collect();
            kept.into_iter().for_each(|c| sum.add(c, 1.0));
            self.model.row(&sum, held, held);
        }
    }
}
