//! Teams: carriers that the program treats as one.
//!
//! The full program has a team for each carrier. The merged program lumps
//! together carriers that the rules do not tell apart; that loosens it (a lump
//! may use one member's spare limit for another's load), so its optimum is a
//! bound on every plan, and it is small.

use crate::load::Way;
use crate::split::facts::Facts;

/// One or more kit carriers of one party.
#[derive(Debug, Clone)]
pub(in crate::split) struct Team {
    /// Positions in [`Facts::carriers`].
    pub members: Vec<usize>,
    pub party: usize,
    pub store: bool,
}

impl Team {
    pub fn size(&self) -> u32 {
        self.members.len() as u32
    }
    /// The member that stands for all: they may all take the same things.
    pub fn one(&self) -> usize {
        self.members[0]
    }
}

/// Each carrier for itself.
pub(in crate::split) fn singles(facts: &Facts) -> Vec<Team> {
    let team = |(c, f): (usize, &crate::split::facts::CarrierFact)| Team {
        members: vec![c],
        party: f.party,
        store: f.store,
    };
    facts.carriers.iter().enumerate().map(team).collect()
}

/// Carriers of one party that no rule, duty or way tells apart, together.
pub(in crate::split) fn merged(facts: &Facts) -> Vec<Team> {
    let mut teams: Vec<Team> = Vec::new();
    for (c, f) in facts.carriers.iter().enumerate() {
        match teams.iter_mut().find(|t| t.party == f.party && alike(facts, t.one(), c)) {
            Some(team) => team.members.push(c),
            None => teams.push(Team { members: vec![c], party: f.party, store: f.store }),
        }
    }
    teams
}

fn alike(facts: &Facts, a: usize, b: usize) -> bool {
    let fixed = |c| facts.fixed.iter().any(|(_, _, to)| *to == c);
    let even = |c: usize| facts.carriers[c].even;
    let no_room = |c: usize| facts.carriers[c].room.is_none();
    even(a) == even(b)
        && no_room(a) == no_room(b)
        && !fixed(a)
        && !fixed(b)
        && facts.at_most.iter().all(|r| r.carriers.contains(&a) == r.carriers.contains(&b))
        && (0..facts.items.len()).all(|i| {
            Way::ALL.into_iter().all(|w| facts.may(i, a, w) == facts.may(i, b, w))
                && facts.misplaced(i, a) == facts.misplaced(i, b)
        })
}
