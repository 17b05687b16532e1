//! The check of holdings: what the kit ought to hold against what is on charge,
//! what is out, broken or lent, and what is in each case; and what is short for
//! the moves.
//!
//! `load/stores.rs` has what is written down and what follows where nothing is;
//! here is what is computed of it, and `fit.rs` makes the move with what is fit.
//! In stores cases of one kind may differ, and items may not: each sort becomes an
//! item that holds one of the kind, which is then a content only, so that needs,
//! wants and `requires` find it as before and only rules are translated
//! (`rules.rs`). `kit/count/` reads sheets with the place of each cell.
//! `kit/patch.rs` changes a stores file by the places of the vetted tree, and
//! refuses its own work unless it reads back as what was meant. `cli/journal.rs`
//! has the order in which lock, journal and file are written.

mod fit;
mod moves;
mod rules;
mod shortage;

pub use fit::{Fit, Unfit, fit};
pub use moves::{Failing, MoveCheck, Outlook, WantLost, check_move};
pub use shortage::Shortage;

use crate::load::{CaseContents, Catalogue, Counted, Holding, ItemIx, Stores};
use crate::quantity::{Mass, Units};

/// Everything that a muster says but for the moves.
#[derive(Debug, Clone)]
pub struct Muster {
    /// Of the stores.
    pub name: String,
    /// In which it is printed.
    pub units: Units,
    /// What the stores hold things of.
    pub catalogue: Catalogue,
    /// Every item that can be held loose, in the order of the catalogue.
    pub lines: Vec<ItemLine>,
    /// Every case that is held.
    pub cases: Vec<CaseLine>,
    /// Sums over the lines and cases.
    pub totals: Totals,
    /// What was counted otherwise than recorded; `None` if nothing was counted.
    pub count: Option<Count>,
}

/// An item that can be held loose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ItemLine {
    /// What it is.
    pub item: ItemIx,
    /// How many there ought to be.
    pub scale: u32,
    /// Where they are, by the stores file.
    pub holding: Holding,
    /// Whether the stores file has a holding of it.
    pub written: bool,
    /// How many more were found inside cases.
    pub in_cases: u64,
    /// Mass of the loose ones on charge.
    pub mass: Mass,
}

/// A case and what is in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CaseLine {
    /// The case, with what is directly in it.
    pub case: CaseContents,
    /// Of the case as packed, by the catalogue.
    pub mass: Mass,
    /// Of what is short, as far as it has a mass of its own.
    pub mass_short: Mass,
    /// Of what is over, likewise.
    pub mass_over: Mass,
}

/// Sums over all items or cases.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Totals {
    /// How many there ought to be.
    pub scale: u64,
    /// On charge.
    pub held: u64,
    /// On the shelf.
    pub shelf: u64,
    /// Issued.
    pub issued: u64,
    /// Not fit for use.
    pub unserviceable: u64,
    /// Lent.
    pub on_loan: u64,
    /// Fit for use and at hand.
    pub fit: u64,
    /// Of all that is on charge, loose or a case as packed.
    pub mass: Mass,
    /// Of all that is fit.
    pub mass_fit: Mass,
    /// Of all that there ought to be.
    pub mass_scale: Mass,
    /// Pieces that ought to be in cases.
    pub packed: u64,
    /// Pieces that were found in cases.
    pub found: u64,
}

/// What came of a count.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Count {
    /// Things that were counted.
    pub things: usize,
    /// Rows that were left blank.
    pub blank: usize,
    /// What was counted otherwise than recorded.
    pub differences: Vec<Difference>,
}

/// A thing that was counted otherwise than recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// What was counted.
    pub counted: Counted,
    /// What the stores file says.
    pub recorded: u32,
}

impl ItemLine {
    /// Fewer on charge than there ought to be.
    pub fn short(&self) -> u32 {
        self.scale.saturating_sub(self.holding.held)
    }
    /// More on charge than there ought to be.
    pub fn surplus(&self) -> u32 {
        self.holding.held.saturating_sub(self.scale)
    }
    /// Fewer fit for use than there ought to be.
    pub fn short_of_fit(&self) -> u32 {
        self.scale.saturating_sub(self.holding.fit())
    }
    /// Whether all that is on charge is accounted for.
    pub fn reconciled(&self) -> bool {
        u64::from(self.holding.held) == self.holding.accounted()
    }
    /// Enough, all fit, all accounted for.
    pub fn in_order(&self) -> bool {
        self.short_of_fit() == 0 && self.reconciled()
    }
}

impl CaseLine {
    /// Pieces that are missing.
    pub fn short(&self) -> u64 {
        self.case
            .lines
            .iter()
            .map(|(_, ought, found)| u64::from(ought.saturating_sub(*found)))
            .sum()
    }
    /// Pieces that are too many.
    pub fn over(&self) -> u64 {
        self.case
            .lines
            .iter()
            .map(|(_, ought, found)| u64::from(found.saturating_sub(*ought)))
            .sum()
    }
}

impl Muster {
    /// Whether nothing is short, unfit or unaccounted for.
    pub fn in_order(&self) -> bool {
        self.lines.iter().all(ItemLine::in_order) && self.cases.iter().all(|c| c.short() == 0)
    }
}

/// Computes everything in whole numbers. The reader has seen to it that there
/// are not too many cases; beyond what it allows no case is listed.
pub fn muster(
    stores: &Stores,
    catalogue: &Catalogue,
    units: Units,
    count: Option<Count>,
) -> Muster {
    let cases = stores.cases(catalogue).unwrap_or_default();
    let mut in_cases = vec![0u64; catalogue.len()];
    for (item, _, found) in cases.iter().flat_map(|c| &c.lines) {
        in_cases[item.0] += u64::from(*found);
    }
    let lines: Vec<ItemLine> = Stores::loose(catalogue)
        .map(|item| {
            let holding = stores.holding(catalogue, item);
            ItemLine {
                item,
                scale: stores.scale_of(catalogue, item),
                written: stores.holdings.contains_key(&item),
                in_cases: in_cases[item.0],
                mass: catalogue[item].mass * holding.held,
                holding,
            }
        })
        .collect();
    let cases: Vec<CaseLine> = cases.into_iter().map(|case| case_line(catalogue, case)).collect();
    let totals = totals(catalogue, &lines, &cases);
    let name = stores.name.clone();
    Muster { name, units, catalogue: catalogue.clone(), lines, cases, totals, count }
}

fn case_line(catalogue: &Catalogue, case: CaseContents) -> CaseLine {
    let mass = case.path.kind().map_or(Mass::ZERO, |i| catalogue[i].mass);
    let of = |n: &dyn Fn(u32, u32) -> u32| {
        case.lines.iter().map(|(i, ought, found)| catalogue[*i].mass * n(*ought, *found)).sum()
    };
    CaseLine {
        mass,
        mass_short: of(&|ought, found| ought.saturating_sub(found)),
        mass_over: of(&|ought, found| found.saturating_sub(ought)),
        case,
    }
}

fn totals(catalogue: &Catalogue, lines: &[ItemLine], cases: &[CaseLine]) -> Totals {
    let mut sum = Totals::default();
    for line in lines {
        let one = catalogue[line.item].mass;
        sum.scale += u64::from(line.scale);
        sum.held += u64::from(line.holding.held);
        sum.shelf += u64::from(line.holding.shelf);
        sum.issued += line.holding.issued_total();
        sum.unserviceable += u64::from(line.holding.unserviceable);
        sum.on_loan += line.holding.on_loan_total();
        sum.fit += u64::from(line.holding.fit());
        sum.mass += line.mass;
        sum.mass_fit += one * line.holding.fit();
        sum.mass_scale += one * line.scale;
    }
    for (_, ought, found) in cases.iter().flat_map(|c| &c.case.lines) {
        sum.packed += u64::from(*ought);
        sum.found += u64::from(*found);
    }
    sum
}

/// What was counted otherwise than recorded, in the order of the count.
pub fn count(stores: &Stores, catalogue: &Catalogue, counted: &[Counted], blank: usize) -> Count {
    // What is in an inner case depends on how many are in the outer one.
    let differences = counted
        .iter()
        .map(|c| Difference { counted: c.clone(), recorded: stores.recorded(catalogue, &c.what) })
        .filter(|d| d.recorded != d.counted.count)
        .collect();
    Count { things: counted.len(), blank, differences }
}
