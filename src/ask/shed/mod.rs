//! What goes first: which wants, and then which needs, are shed as the limit
//! falls or as the party gets smaller, and what comes back as it rises.
//!
//! By limit, the question is put once for each step and never on a grid: the
//! best set of wants, and the smallest peak share that still has it, are one
//! step; the next is asked for strictly below that share, in whole milligrams.
//! (The ε-constraint method for two goals: Haimes, Lasdon & Wismer, "On a
//! bicriterion formulation of the problems of integrated system identification
//! and system optimization", IEEE Trans. SMC 1 (1971) 296–297; from memory.)

mod asked;
mod caps;
mod limit;
mod people;
mod walk;

pub use limit::{by_limit, given_up};
pub use people::{Crew, CrewOutcome, by_people, varied_party};

use crate::load::{CarrierIx, MoveOrder, PartyIx, Share};
use crate::quantity::Percent;
use crate::split::{Planned, Reason};

/// How far above the declared limits the question is put at the most.
pub const MOST_OVER: Percent = Percent::from_ppm(1_500_000);

/// A set of wants that is the best one from a share of the limits upwards,
/// until the step before it takes over.
#[derive(Debug, Clone)]
pub struct Step {
    /// Value of the wants taken.
    pub value: u64,
    /// The value that no plan passes below the step before; equal where proven.
    pub value_bound: u64,
    /// The smallest share of the limits, as far as is known, that still has
    /// it; above 100 % what rules hold back is on top of the load.
    pub from: Share,
    /// No smaller share has it; equal to `from` where proven.
    pub from_bound: Share,
    /// The plan, with the audit's findings by the limits as declared; over
    /// 100 % its faults name who is over them.
    pub planned: Planned,
    /// Some load passes a limit or reaches into what rules hold back: shown for
    /// comparison, never to be carried.
    pub over: bool,
    /// Needs given up in this step, by position in the move.
    pub needs: Vec<usize>,
    /// Against the step before: wants that go.
    pub goes: Vec<WantUnits>,
    /// Against the step before: wants that come back.
    pub comes: Vec<WantUnits>,
}

impl Step {
    /// Whether value and share are both proven.
    pub fn exact(&self) -> bool {
        self.value == self.value_bound && self.from == self.from_bound
    }
    /// Whether both are known to be this near to the best possible.
    pub fn within(&self, gap: Percent) -> bool {
        let near = |less: f64, more: f64| less >= more * (1.0 - gap.ppm() as f64 / 1e6);
        let value =
            self.value == self.value_bound || near(self.value as f64, self.value_bound as f64);
        value && self.share_within(gap)
    }
    /// Whether the share is.
    fn share_within(&self, gap: Percent) -> bool {
        let least = self.from.ratio() * (1.0 - gap.ppm() as f64 / 1e6);
        self.from == self.from_bound || self.from_bound.ratio() >= least
    }
}

/// So many units of a want, by its position in the move.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WantUnits {
    /// Position in the move's wants.
    pub want: usize,
    /// How many units.
    pub count: u32,
}

/// What is known below a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum Below {
    /// The next step, or for the last one nothing: a load of nothing.
    Next,
    /// Proven: with less, no plan meets the needs.
    NoPlan,
    /// Even what this carrier has on weighs more.
    Worn(CarrierIx),
    /// Not looked at for want of time, or not settled.
    Unknown,
}

/// The steps, the highest limit first.
#[derive(Debug, Clone)]
pub struct Shed {
    /// Each with less weight and fewer wants than the one before.
    pub steps: Vec<Step>,
    /// What is below each step, one for each.
    pub below: Vec<Below>,
    /// If there is no step at all: proven, with the reason, that there is no
    /// plan; nothing if none was found in time.
    pub none: Option<Reason>,
    /// Of all that is wanted.
    pub wanted: u64,
    /// Some step is not known as exactly as was asked, or not looked at.
    pub cut_short: bool,
}

/// Those whose shares count: people on foot outside the store, or if there are
/// none, the vehicles outside it.
pub fn bearers(order: &MoveOrder) -> Vec<CarrierIx> {
    let walkers = super::vary::walkers(order);
    if !walkers.is_empty() {
        return walkers;
    }
    let parties = order.parties().iter().enumerate().filter(|(p, _)| !order.is_store(PartyIx(*p)));
    let all = parties.flat_map(|(_, p)| p.who.iter().copied());
    all.filter(|c| order.carrier(*c).vehicle().is_some()).collect()
}

/// Value of everything wanted.
pub fn wanted(order: &MoveOrder) -> u64 {
    let each = order.wants().iter().map(|w| u64::from(w.value) * u64::from(w.up_to));
    each.fold(0, u64::saturating_add)
}

/// What goes and what comes back from one set of wants to another.
fn changes(before: &[u32], after: &[u32]) -> (Vec<WantUnits>, Vec<WantUnits>) {
    let diff = |a: &[u32], b: &[u32]| {
        let both = a.iter().zip(b).enumerate();
        let less = both.filter(|(_, (a, b))| a > b);
        less.map(|(want, (a, b))| WantUnits { want, count: a - b }).collect()
    };
    (diff(before, after), diff(after, before))
}
