//! Goals: what makes one plan better than another, one after the other.

use crate::quantity::{Mass, Percent};
use std::cmp::Ordering;
use std::fmt;

/// One goal of a move, in the order in which the move asks for them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Goal {
    /// What is measured.
    pub kind: GoalKind,
    /// How much of what was reached here later goals may give up again, as a
    /// share of it. Zero by default: an earlier goal never loses to a later.
    pub give: Percent,
}

impl Goal {
    /// The goals of a move that names none: every kind that a move can ask for, in
    /// the default order, and none gives way.
    pub fn usual() -> Vec<Goal> {
        GoalKind::DEFAULT.map(|kind| Goal { kind, give: Percent::ZERO }).to_vec()
    }
}

/// What a goal measures. Only `Wants` is to be large; the rest small.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum GoalKind {
    /// Total value of the wants taken.
    Wants,
    /// Total mass of what leaves the store, worn mass not counted.
    Lightest,
    /// The peak share: the largest load against limit, worn included and
    /// reserves not, over the people of parties on foot outside the store
    /// (over the vehicles outside the store if no such people go).
    Even,
    /// Units carried on foot by somebody who lacks the duty of the item's
    /// keeper, in a party where somebody has it. A pair keeps a thing if
    /// either bearer has the duty.
    Keeper,
    /// Hands in use, over all people on foot.
    Hands,
    /// Units that change hands from the plan before: what each carrier outside
    /// the store has now and had not, and what the store (or what is left,
    /// without one) has now and had not. A pair's thing is on both. Another
    /// way on the same carrier is no change.
    Changes,
}

/// What sort of value a goal has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// The worth of wants: more is better.
    Points,
    /// A mass: less is better.
    Mass,
    /// A load against a limit: less is better.
    Share,
    /// So many of something: fewer are better.
    Count,
}

/// What a goal is in words, see [`sentence`](crate::sentence).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct GoalWords {
    /// What it measures: the heading of a row.
    pub measures: &'static str,
    /// That a plan has `{value}` of it.
    pub has: &'static str,
}

impl GoalKind {
    /// Those that a move can ask for.
    pub const ALL: [GoalKind; 5] =
        [GoalKind::Wants, GoalKind::Lightest, GoalKind::Even, GoalKind::Keeper, GoalKind::Hands];
    /// Those of a move that asks for none, in their order.
    pub const DEFAULT: [GoalKind; 5] =
        [GoalKind::Wants, GoalKind::Lightest, GoalKind::Even, GoalKind::Keeper, GoalKind::Hands];

    /// All that a plan may have been made for: `Changes` too, which is for moves
    /// that are split again.
    pub fn any() -> impl Iterator<Item = GoalKind> {
        GoalKind::ALL.into_iter().chain([GoalKind::Changes])
    }

    // All that tells the kinds apart outside programs, search and audits.
    fn parts(self) -> (&'static str, Measure, GoalWords) {
        let words = |measures, has| GoalWords { measures, has };
        match self {
            GoalKind::Wants => (
                "wants",
                Measure::Points,
                words("value of the wants taken", "wants worth {value} are taken"),
            ),
            GoalKind::Lightest => {
                ("lightest", Measure::Mass, words("mass carried, not worn", "{value} is carried"))
            }
            GoalKind::Even => (
                "even",
                Measure::Share,
                words("largest share of a limit", "the fullest load is at {value} of its limit"),
            ),
            GoalKind::Keeper => (
                "keeper",
                Measure::Count,
                words(
                    "away from their keeper",
                    "{value} {thing is away from its keeper|things are away from their keepers:value}",
                ),
            ),
            GoalKind::Hands => (
                "hands",
                Measure::Count,
                words("hands in use", "{value} {hand is|hands are:value} in use"),
            ),
            GoalKind::Changes => (
                "changes",
                Measure::Count,
                words("units that change hands", "{value} {unit changes|units change:value} hands"),
            ),
        }
    }

    /// Its name in a move order.
    pub fn word(self) -> &'static str {
        self.parts().0
    }
    /// What sort of value it has.
    pub fn measure(self) -> Measure {
        self.parts().1
    }
    /// What it is in words.
    pub fn words(self) -> GoalWords {
        self.parts().2
    }
    /// Whether more is better.
    pub fn up(self) -> bool {
        self.measure() == Measure::Points
    }
}

impl fmt::Display for GoalKind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// A load against a limit, both in mg: compared exactly, never by division.
/// A load of nothing is a share of zero whatever the limit.
#[derive(Debug, Clone, Copy)]
pub struct Share {
    /// What is borne.
    pub load: Mass,
    /// What it is held against.
    pub limit: Mass,
}

impl Share {
    /// Nothing, of any limit.
    pub const ZERO: Share = Share { load: Mass::ZERO, limit: Mass::from_mg(1) };

    /// For output: 0.5 is half the limit. Infinite for a load on no limit.
    pub fn ratio(self) -> f64 {
        if self.load == Mass::ZERO { 0.0 } else { self.load.mg() as f64 / self.limit.mg() as f64 }
    }
    /// Tenths of a percent, rounded up: what is shown never flatters.
    pub fn permille_up(self) -> u64 {
        if self.load == Mass::ZERO {
            return 0;
        }
        let limit = u128::from(self.limit.mg().max(1));
        let v = (u128::from(self.load.mg()) * 1000).div_ceil(limit);
        u64::try_from(v).unwrap_or(u64::MAX)
    }
}

impl Default for Share {
    fn default() -> Self {
        Share::ZERO
    }
}

impl Ord for Share {
    fn cmp(&self, o: &Self) -> Ordering {
        let side = |a: Mass, b: Mass| u128::from(a.mg()) * u128::from(b.mg());
        match (self.load == Mass::ZERO, o.load == Mass::ZERO) {
            (true, true) => Ordering::Equal,
            (true, false) => Ordering::Less,
            (false, true) => Ordering::Greater,
            (false, false) => side(self.load, o.limit).cmp(&side(o.load, self.limit)),
        }
    }
}
impl PartialOrd for Share {
    fn partial_cmp(&self, o: &Self) -> Option<Ordering> {
        Some(self.cmp(o))
    }
}
impl PartialEq for Share {
    fn eq(&self, o: &Self) -> bool {
        self.cmp(o) == Ordering::Equal
    }
}
impl Eq for Share {}

/// The value of a goal. Values of one kind compare; kinds do not.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GoalValue {
    /// Wants.
    Points(u64),
    /// Lightest.
    Mass(Mass),
    /// Even.
    Share(Share),
    /// Keeper, hands and changes.
    Count(u64),
}

impl GoalValue {
    /// As a plain number: points, grams, a ratio or a count.
    pub fn number(self) -> f64 {
        match self {
            GoalValue::Points(n) | GoalValue::Count(n) => n as f64,
            GoalValue::Mass(m) => m.mg() as f64 / 1000.0,
            GoalValue::Share(s) => s.ratio(),
        }
    }
}
