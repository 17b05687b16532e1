//! The move order: everything that a plan has to answer.

use super::before::Before;
use super::brings::Brings;
use super::carrier::Carrier;
use super::catalogue::Catalogue;
use super::goal::Goal;
use super::item::Item;
use super::ix::{CarrierIx, ItemIx, PartyIx, SupplyIx};
use super::move_parts::MoveParts;
use super::need::{Need, Want};
use super::order_check;
use super::order_fault::BrokenOrder;
use super::party::{Party, Travel};
use super::rule::{Reserve, Rule, RuleKind};
use super::tolerance::Tolerance;
use crate::quantity::{Mass, Units};

/// Parties, needs, wants, rules, goals over a catalogue and carriers, complete
/// and consistent: every index is in range, every party has a carrier, nobody is in
/// two of them; [`OrderFault`](super::OrderFault) lists all that is looked at. It
/// stays so, for nothing in it can be changed but through [`MoveOrder::changed`],
/// which looks again. So whatever takes a move order need not check one.
///
/// How much all of it comes to is not looked at: sums saturate at what 64 bits hold. The
/// reader refuses what comes near that, and code that makes a move should stay below
/// 10^15 mg or mL of all that is held, and base units of each supply.
#[derive(Debug, Clone)]
pub struct MoveOrder(MoveParts);

impl MoveOrder {
    /// A move order of these parts.
    ///
    /// ```
    /// use tumpline_core::load::{
    ///     Carrier, CarrierIx, Catalogue, MoveOrder, MoveParts, OrderFault, Party, PartyIx, Riding,
    ///     Travel, Vehicle,
    /// };
    ///
    /// let vehicle = Vehicle { payload: "500 kg".parse()?, bed: None, seats: 1, hauled: false };
    /// let riding = Riding::Vehicle(vehicle);
    /// let truck = Carrier { id: "truck".into(), name: "Truck".into(), riding, place: None };
    /// let road = |who| Party {
    ///     id: "road".into(),
    ///     travel: Travel::Vehicle,
    ///     who,
    ///     aboard: vec![],
    ///     place: None,
    /// };
    /// let parts = |who| MoveParts {
    ///     carriers: vec![truck.clone()],
    ///     parties: vec![road(who)],
    ///     ..MoveParts::default()
    /// };
    ///
    /// let order = MoveOrder::new(parts(vec![CarrierIx(0)]))?;
    /// assert_eq!(order.party_of(CarrierIx(0)), Some(PartyIx(0)));
    ///
    /// let broken = MoveOrder::new(parts(vec![])).unwrap_err();
    /// assert_eq!(broken.faults, [OrderFault::EmptyParty { party: PartyIx(0) }]);
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    ///
    /// # Errors
    /// Everything in which they do not go together.
    pub fn new(parts: MoveParts) -> Result<Self, BrokenOrder> {
        let faults = order_check::faults(&parts);
        if faults.is_empty() { Ok(MoveOrder(parts)) } else { Err(BrokenOrder { faults }) }
    }
    /// This move with its parts changed.
    ///
    /// # Errors
    /// As of [`MoveOrder::new`]: the change broke it.
    pub fn changed(&self, change: impl FnOnce(&mut MoveParts)) -> Result<Self, BrokenOrder> {
        let mut parts = self.0.clone();
        change(&mut parts);
        MoveOrder::new(parts)
    }
    /// What it is made of, to make another of it.
    pub fn into_parts(self) -> MoveParts {
        self.0
    }
    /// The same move under another tolerance, or none. Any goes with any move.
    #[must_use]
    pub fn with_tolerance(mut self, tolerance: Option<Tolerance>) -> Self {
        self.0.tolerance = tolerance;
        self
    }

    // Searches read these in their innermost loops, so they are inlined in every build.

    /// The name of the move, for reports.
    #[inline]
    pub fn name(&self) -> &str {
        &self.0.name
    }
    /// The units in which reports print.
    #[inline]
    pub fn units(&self) -> Units {
        self.0.units
    }
    /// Every item and supply that may go.
    #[inline]
    pub fn catalogue(&self) -> &Catalogue {
        &self.0.catalogue
    }
    /// Every carrier, those in no party among them; a [`CarrierIx`] counts these.
    #[inline]
    pub fn carriers(&self) -> &[Carrier] {
        &self.0.carriers
    }
    /// Who goes with whom; at least one party. A [`PartyIx`] counts these.
    #[inline]
    pub fn parties(&self) -> &[Party] {
        &self.0.parties
    }
    /// The store: the party by vehicle that keeps what no other takes.
    #[inline]
    pub fn store(&self) -> Option<PartyIx> {
        self.0.store
    }
    /// What must work where a party ends up.
    #[inline]
    pub fn needs(&self) -> &[Need] {
        &self.0.needs
    }
    /// What is worth taking where it fits.
    #[inline]
    pub fn wants(&self) -> &[Want] {
        &self.0.wants
    }
    /// Who may carry what.
    #[inline]
    pub fn rules(&self) -> &[Rule] {
        &self.0.rules
    }
    /// What makes a plan better, the weightiest first: at least one, each kind once.
    #[inline]
    pub fn goals(&self) -> &[Goal] {
        &self.0.goals
    }
    /// What people have packed already.
    #[inline]
    pub fn before(&self) -> Option<&Before> {
        self.0.before.as_ref()
    }
    /// What was used up where a party is, in base units of the supply. One party
    /// and supply may be listed more than once; [`MoveOrder::spent_of`] adds up.
    #[inline]
    pub fn spent(&self) -> &[(PartyIx, SupplyIx, u64)] {
        &self.0.spent
    }
    /// How far the catalogue's weights may be off; `None`: they are right.
    #[inline]
    pub fn tolerance(&self) -> Option<Tolerance> {
        self.0.tolerance
    }
    /// What follows from a question asked of the move.
    #[inline]
    pub fn brings(&self) -> &[Brings] {
        &self.0.brings
    }

    /// The carrier at this place; a panic beyond the list.
    #[inline]
    pub fn carrier(&self, c: CarrierIx) -> &Carrier {
        &self.0.carriers[c.0]
    }
    /// The party at this place; a panic beyond the list.
    #[inline]
    pub fn party(&self, p: PartyIx) -> &Party {
        &self.0.parties[p.0]
    }
    /// The item at this place; a panic beyond the catalogue.
    #[inline]
    pub fn item(&self, i: ItemIx) -> &Item {
        &self.0.catalogue[i]
    }
    /// The party that the carrier is in.
    pub fn party_of(&self, c: CarrierIx) -> Option<PartyIx> {
        self.0.parties.iter().position(|p| p.who.contains(&c)).map(PartyIx)
    }
    /// Whether the party is the store.
    pub fn is_store(&self, p: PartyIx) -> bool {
        self.0.store == Some(p)
    }
    /// Carriers that can take kit: people of parties on foot, and vehicles.
    pub fn takes_kit(&self, c: CarrierIx) -> bool {
        self.party_of(c).is_some_and(|p| {
            self.carrier(c).vehicle().is_some() || self.party(p).travel == Travel::Foot
        })
    }
    /// What is on the carrier before any kit: worn mass, or the people aboard
    /// with what they wear.
    pub fn burden(&self, c: CarrierIx) -> Mass {
        let worn = self.carrier(c).person().map_or(Mass::ZERO, |p| p.worn);
        let aboard = self.0.parties.iter().flat_map(|p| &p.aboard).filter(|(_, v)| *v == c);
        aboard.fold(worn, |sum, (person, _)| {
            let p = self.carrier(*person).person();
            sum + p.map_or(Mass::ZERO, |p| p.worn + p.body_mass.unwrap_or_default())
        })
    }
    /// The declared limit less every reserve on this carrier.
    pub fn usable_limit(&self, c: CarrierIx) -> Mass {
        let limit = self.carrier(c).limit();
        let kept = self.0.rules.iter().filter_map(|r| match &r.kind {
            RuleKind::Reserve { reserve, carriers } if carriers.contains(&c) => {
                Some(match reserve {
                    Reserve::Mass(m) => *m,
                    Reserve::Share(p) => p.of_mass_up(limit),
                })
            }
            _ => None,
        });
        limit - kept.sum::<Mass>()
    }
    /// What was used up of the supply where the party is, in its base units.
    pub fn spent_of(&self, party: PartyIx, supply: SupplyIx) -> u64 {
        let here = self.0.spent.iter().filter(|s| (s.0, s.1) == (party, supply));
        here.fold(0, |sum, s| sum.saturating_add(s.2))
    }
    /// The hands that must stay free: the most that any rule asks.
    pub fn hands_kept_free(&self, c: CarrierIx) -> u32 {
        let asks = self.0.rules.iter().filter_map(|r| match &r.kind {
            RuleKind::HandsFree { hands, carriers } if carriers.contains(&c) => Some(*hands),
            _ => None,
        });
        asks.max().unwrap_or(0)
    }
}
