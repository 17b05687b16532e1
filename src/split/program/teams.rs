//! Teams: carriers that the program treats as one.
//!
//! The full program has a team for each carrier. The coarse program aggregates
//! all people of a party into one, and all its vehicles into another; that
//! relaxes it (a team may use one member's spare limit, hands or duty for
//! another's load), so its optimum is a bound on every plan, and it is small.

use crate::facts::{Facts, KitIx};
use crate::load::Way;
use std::ops::Index;

/// The place of a team in its program: not to be taken for a carrier's in
/// [`Facts::carriers`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct TeamIx(pub usize);

impl Index<TeamIx> for Vec<Team> {
    type Output = Team;

    fn index(&self, t: TeamIx) -> &Team {
        &self.as_slice()[t.0]
    }
}

/// One or more kit carriers of one party.
#[derive(Debug, Clone)]
pub(crate) struct Team {
    /// Positions in [`Facts::carriers`].
    pub members: Vec<KitIx>,
    pub party: usize,
    pub store: bool,
}

impl Team {
    pub fn size(&self) -> u32 {
        self.members.len() as u32
    }
    /// Whether they are people.
    pub fn people(&self, facts: &Facts) -> bool {
        self.members.iter().any(|&c| facts.carriers[c].person)
    }
    /// Whether one of them may take the item by this way.
    pub fn may(&self, facts: &Facts, item: usize, way: Way) -> bool {
        self.members.iter().any(|&c| facts.may(item, c, way))
    }
    /// Whether the item is away from its keeper with every one of them.
    pub fn misplaced(&self, facts: &Facts, item: usize) -> bool {
        self.members.iter().all(|&c| facts.misplaced(item, c))
    }
}

/// As [`coarse`], but people with different duties are teams of their own.
pub(crate) fn by_duty(facts: &Facts) -> Vec<Team> {
    let alike = |a: KitIx, b: KitIx| {
        (0..facts.items.len()).all(|i| facts.misplaced(i, a) == facts.misplaced(i, b))
    };
    lump(facts, alike)
}

/// Each carrier for itself.
pub(crate) fn singles(facts: &Facts) -> Vec<Team> {
    let team = |(c, f): (KitIx, &crate::facts::CarrierFact)| Team {
        members: vec![c],
        party: f.party,
        store: f.store,
    };
    facts.kit().zip(&facts.carriers).map(team).collect()
}

/// All people of a party as one, and all vehicles of a party as one.
pub(crate) fn coarse(facts: &Facts) -> Vec<Team> {
    lump(facts, |_, _| true)
}

fn lump(facts: &Facts, alike: impl Fn(KitIx, KitIx) -> bool) -> Vec<Team> {
    let mut teams: Vec<Team> = Vec::new();
    for (c, f) in facts.kit().zip(&facts.carriers) {
        let same =
            |t: &Team| t.party == f.party && t.people(facts) == f.person && alike(t.members[0], c);
        match teams.iter_mut().find(|t| same(t)) {
            Some(team) => team.members.push(c),
            None => teams.push(Team { members: vec![c], party: f.party, store: f.store }),
        }
    }
    teams
}
