//! What is fewer than the catalogue says, one by one.

use crate::load::{CasePath, Catalogue, Holding, ItemIx, Stores};

/// Fewer than the catalogue says, fit for use or in a case.
#[derive(Debug, Clone, PartialEq, Eq)]
#[allow(missing_docs, reason = "each line says what its fields are")]
#[non_exhaustive]
pub enum Shortage {
    /// So many fewer loose ones are fit for use.
    Loose { item: ItemIx, short: u32 },
    /// So many fewer are in a case.
    InCase { case: CasePath, item: ItemIx, short: u32 },
}

impl Shortage {
    /// What there is less of.
    pub fn item(&self) -> ItemIx {
        match self {
            Shortage::Loose { item, .. } | Shortage::InCase { item, .. } => *item,
        }
    }
    /// How many are missing.
    pub fn short(&self) -> u32 {
        match self {
            Shortage::Loose { short, .. } | Shortage::InCase { short, .. } => *short,
        }
    }
    /// The stores if it were not for this.
    #[must_use]
    pub fn made_good(&self, stores: &Stores, catalogue: &Catalogue) -> Stores {
        let mut stores = stores.clone();
        match self {
            Shortage::Loose { item, .. } => {
                stores.holdings.insert(*item, Holding::on_shelf(catalogue[*item].held));
            }
            Shortage::InCase { case, item, .. } => {
                let lines = stores.contents(catalogue, case);
                let ought = lines.iter().find(|(i, ..)| i == item).map_or(0, |(_, n, _)| *n);
                stores.found.entry(case.clone()).or_default().insert(*item, ought);
            }
        }
        stores
    }
}

/// Every shortage: loose things first, then cases, in the order of the
/// catalogue.
pub(super) fn shortages(stores: &Stores, catalogue: &Catalogue) -> Vec<Shortage> {
    let loose = Stores::loose(catalogue).filter_map(|item| {
        let short = catalogue[item].held.saturating_sub(stores.holding(catalogue, item).fit());
        (short > 0).then_some(Shortage::Loose { item, short })
    });
    let cases = stores.cases(catalogue).unwrap_or_default();
    let inside = cases.iter().flat_map(|c| {
        c.lines.iter().filter(|(_, ought, found)| found < ought).map(|(item, ought, found)| {
            Shortage::InCase { case: c.path.clone(), item: *item, short: ought - found }
        })
    });
    loose.chain(inside).collect()
}
