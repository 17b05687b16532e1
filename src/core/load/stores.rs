//! The stores: what the kit ought to hold, what is on charge and where it is,
//! and what was found in each case.

use super::catalogue::Catalogue;
use super::ix::ItemIx;
use std::collections::BTreeMap;

/// The most cases, those inside others included, that are looked into.
pub const MOST_CASES: usize = 10_000;
/// Cases inside each other, and contents of all cases, that are looked into.
pub const MOST_CASES_DEEP: usize = 30;
const MOST_LINES: usize = 100_000;

/// What a quartermaster has written down. What is not said is as in the
/// catalogue: see [`Stores::scale_of`], [`Stores::holding`], [`Stores::cases`].
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Stores {
    /// What the stores are called, for reports.
    pub name: String,
    /// How many loose ones of an item there ought to be.
    pub scale: BTreeMap<ItemIx, u32>,
    /// What was counted loose, by item.
    pub holdings: BTreeMap<ItemIx, Holding>,
    /// By case, what was found of each kind where it differs or was counted.
    pub found: BTreeMap<CasePath, BTreeMap<ItemIx, u32>>,
}

/// How many loose ones of an item are on charge, and where they are.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Holding {
    /// On charge: what the store answers for.
    pub held: u32,
    /// On the shelf and fit for use.
    pub shelf: u32,
    /// Out with the crew and fit for use, by who has them.
    pub issued: BTreeMap<String, u32>,
    /// Not fit for use, wherever they are.
    pub unserviceable: u32,
    /// Lent to somebody outside the crew.
    pub on_loan: BTreeMap<String, u32>,
}

/// Where a loose thing is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Whereabouts {
    /// On the shelf and fit for use.
    Shelf,
    /// Out with this one of the crew, and fit for use.
    Issued(String),
    /// Not fit for use, wherever it is.
    Unserviceable,
    /// Lent to this one outside the crew.
    OnLoan(String),
}

/// One of the cases that are held: its kind and number from 1, and if it is
/// packed in another, that one first.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CasePath(pub Vec<(ItemIx, u32)>);

/// A case and what is directly in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CaseContents {
    /// Which case.
    pub path: CasePath,
    /// Kind, how many ought to be there, how many were found.
    pub lines: Vec<(ItemIx, u32, u32)>,
}

impl Holding {
    /// All `held` of them on the shelf.
    pub fn on_shelf(held: u32) -> Holding {
        Holding { held, shelf: held, ..Holding::default() }
    }
    /// How many are issued, to whomever.
    pub fn issued_total(&self) -> u64 {
        self.issued.values().map(|n| u64::from(*n)).sum()
    }
    /// How many are lent, to whomever.
    pub fn on_loan_total(&self) -> u64 {
        self.on_loan.values().map(|n| u64::from(*n)).sum()
    }
    /// Issued, on the shelf, unserviceable and on loan together.
    pub fn accounted(&self) -> u64 {
        let here = u64::from(self.shelf) + u64::from(self.unserviceable);
        here + self.issued_total() + self.on_loan_total()
    }
    /// On charge, but nobody knows where.
    pub fn missing(&self) -> u64 {
        u64::from(self.held).saturating_sub(self.accounted())
    }
    /// There, but not on charge.
    pub fn excess(&self) -> u64 {
        self.accounted().saturating_sub(u64::from(self.held))
    }
    /// Fit for use and at hand: held less unserviceable less on loan, and never
    /// more than are on the shelf or issued, so that nobody counts on what is
    /// missing.
    pub fn fit(&self) -> u32 {
        let out = u64::from(self.unserviceable) + self.on_loan_total();
        let by_charge = u64::from(self.held).saturating_sub(out);
        let seen = u64::from(self.shelf) + self.issued_total();
        // No more than `held`, so it fits.
        u32::try_from(by_charge.min(seen)).unwrap_or(self.held)
    }
    /// How many are there.
    pub fn at(&self, whereabouts: &Whereabouts) -> u32 {
        match whereabouts {
            Whereabouts::Shelf => self.shelf,
            Whereabouts::Unserviceable => self.unserviceable,
            Whereabouts::Issued(to) => self.issued.get(to).copied().unwrap_or(0),
            Whereabouts::OnLoan(to) => self.on_loan.get(to).copied().unwrap_or(0),
        }
    }
    /// Puts so many there.
    pub fn set(&mut self, whereabouts: &Whereabouts, count: u32) {
        match whereabouts {
            Whereabouts::Shelf => self.shelf = count,
            Whereabouts::Unserviceable => self.unserviceable = count,
            Whereabouts::Issued(to) => drop(self.issued.insert(to.clone(), count)),
            Whereabouts::OnLoan(to) => drop(self.on_loan.insert(to.clone(), count)),
        }
    }
}

impl Whereabouts {
    /// As files and forms call it.
    pub fn word(&self) -> &'static str {
        match self {
            Whereabouts::Shelf => "shelf",
            Whereabouts::Issued(_) => "issued",
            Whereabouts::Unserviceable => "unserviceable",
            Whereabouts::OnLoan(_) => "on loan",
        }
    }
    /// Who has it.
    pub fn to(&self) -> Option<&str> {
        match self {
            Whereabouts::Issued(to) | Whereabouts::OnLoan(to) => Some(to),
            Whereabouts::Shelf | Whereabouts::Unserviceable => None,
        }
    }
}

impl CasePath {
    /// The kind of the innermost case.
    pub fn kind(&self) -> Option<ItemIx> {
        self.0.last().map(|(kind, _)| *kind)
    }
    /// The case of this kind and number, counted from 1, inside this one.
    pub fn inner(&self, kind: ItemIx, number: u32) -> CasePath {
        let mut path = self.0.clone();
        path.push((kind, number));
        CasePath(path)
    }
    /// `operator-satchel 1`, or `trauma-pack 1 / pouch 2`.
    pub fn text(&self, catalogue: &Catalogue) -> String {
        let one = |(kind, number): &(ItemIx, u32)| format!("{} {number}", catalogue[*kind].id);
        self.0.iter().map(one).collect::<Vec<_>>().join(" / ")
    }
}

impl Stores {
    /// How many there ought to be: what the scale says, else what the catalogue
    /// holds.
    pub fn scale_of(&self, catalogue: &Catalogue, item: ItemIx) -> u32 {
        self.scale.get(&item).copied().unwrap_or(catalogue[item].held)
    }
    /// The holding of an item; where none is written down, as many as the
    /// catalogue holds, all on the shelf.
    pub fn holding(&self, catalogue: &Catalogue, item: ItemIx) -> Holding {
        let written = self.holdings.get(&item).cloned();
        written.unwrap_or_else(|| Holding::on_shelf(catalogue[item].held))
    }
    /// Items that can be held loose, in the order of the catalogue.
    pub fn loose(catalogue: &Catalogue) -> impl Iterator<Item = ItemIx> {
        catalogue.items().filter(|(_, item)| !item.ways.is_empty()).map(|(i, _)| i)
    }
    /// What is directly in a case: its kind's contents in their order, then
    /// what else was found.
    pub fn contents(&self, catalogue: &Catalogue, path: &CasePath) -> Vec<(ItemIx, u32, u32)> {
        let Some(kind) = path.kind() else { return Vec::new() };
        let found = self.found.get(path);
        let was = |i: ItemIx| found.and_then(|f| f.get(&i)).copied();
        let ought = &catalogue[kind].contents;
        let packed = ought.iter().map(|(i, n)| (*i, *n, was(*i).unwrap_or(*n)));
        let more = found.into_iter().flatten();
        let more = more.filter(|(i, _)| !ought.iter().any(|(o, _)| o == *i));
        packed.chain(more.map(|(i, n)| (*i, 0, *n))).collect()
    }
    /// Every case on charge and those inside it, in the order of the catalogue;
    /// `None` if there are more than [`MOST_CASES`], or too many in them.
    pub fn cases(&self, catalogue: &Catalogue) -> Option<Vec<CaseContents>> {
        let mut out: Vec<CaseContents> = Vec::new();
        let mut inside = 0;
        // The last is looked into next.
        let mut open: Vec<CasePath> = Vec::new();
        let is_case = |i: ItemIx| !catalogue[i].contents.is_empty();
        for kind in Stores::loose(catalogue).filter(|i| is_case(*i)) {
            let held = self.holding(catalogue, kind).held;
            if held as usize > MOST_CASES {
                return None;
            }
            open.extend((1..=held).rev().map(|n| CasePath(vec![(kind, n)])));
            while let Some(path) = open.pop() {
                let lines = self.contents(catalogue, &path);
                for (i, _, found) in lines.iter().rev().filter(|(i, ..)| is_case(*i)) {
                    if *found as usize > MOST_CASES {
                        return None;
                    }
                    if out.len() + open.len() + *found as usize > MOST_CASES {
                        return None;
                    }
                    open.extend((1..=*found).rev().map(|n| path.inner(*i, n)));
                }
                inside += lines.len();
                if path.0.len() > MOST_CASES_DEEP || inside > MOST_LINES {
                    return None;
                }
                out.push(CaseContents { path, lines });
                if out.len() + open.len() > MOST_CASES {
                    return None;
                }
            }
        }
        Some(out)
    }
}

/// What somebody counted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Counted {
    /// What was counted.
    pub what: Counting,
    /// How many there are.
    pub count: u32,
    /// Who counted.
    pub by: Option<String>,
    /// What they wrote beside it.
    pub note: Option<String>,
}

/// The thing that was counted.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Counting {
    /// Loose units, at one of the places.
    Loose(ItemIx, Whereabouts),
    /// Units of an item in a case.
    InCase(CasePath, ItemIx),
}

impl Stores {
    /// How many the stores say there are.
    pub fn recorded(&self, catalogue: &Catalogue, what: &Counting) -> u32 {
        match what {
            Counting::Loose(item, at) => self.holding(catalogue, *item).at(at),
            Counting::InCase(path, item) => {
                let lines = self.contents(catalogue, path);
                lines.iter().find(|(i, ..)| i == item).map_or(0, |(_, _, found)| *found)
            }
        }
    }
    /// The stores as counted. What was counted as recorded changes nothing.
    #[must_use]
    pub fn with(&self, catalogue: &Catalogue, counted: &[Counted]) -> Stores {
        let mut stores = self.clone();
        counted.iter().for_each(|c| stores.take(catalogue, c));
        stores
    }
    /// Takes over one count; one as recorded changes nothing.
    pub fn take(&mut self, catalogue: &Catalogue, counted: &Counted) {
        if self.recorded(catalogue, &counted.what) == counted.count {
            return;
        }
        match &counted.what {
            Counting::Loose(item, at) => {
                let mut holding = self.holding(catalogue, *item);
                holding.set(at, counted.count);
                self.holdings.insert(*item, holding);
            }
            Counting::InCase(path, item) => {
                self.found.entry(path.clone()).or_default().insert(*item, counted.count);
            }
        }
    }
}
