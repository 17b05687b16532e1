//! The rules of a move order in YAML, both ways: of each kind its key, what goes
//! with it and what that makes. The schema, the reader (`lower/rules.rs`) and the
//! writer below take it from here.

use crate::load::{CarrierIx, ItemIx, MoveOrder, Reserve, RuleKind, RuleNumber, Travel};
use crate::yaml_text::list;

/// What stands under a key of a rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Holds {
    /// The id of one item.
    Item,
    /// An item or a tag, or a list of them.
    Items,
    /// A list that says nothing of less than two.
    Two,
    /// A whole number from this one on.
    Count(u32),
    /// Hands of a person.
    Hands,
    /// A mass, or a share of a limit.
    Kept,
    /// A carrier who takes kit.
    To,
    /// Carriers, whoever they are.
    Carriers,
    /// Carriers who take kit.
    Takers,
    /// People who take kit.
    People,
}

/// Whom a rule binds that names nobody.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Usual {
    /// Everybody who takes kit, outside the store.
    Takers,
    /// Everybody on foot.
    Walkers,
    /// Everybody on foot outside the store.
    WalkersOutside,
}

/// What was read of a rule.
#[derive(Debug, Default)]
pub(crate) struct Given {
    pub items: Vec<ItemIx>,
    pub carriers: Vec<CarrierIx>,
    pub to: Option<CarrierIx>,
    pub count: Option<u32>,
    pub kept: Option<Reserve>,
}

/// How a kind of rule is written.
pub(crate) struct Form {
    /// The key that names it.
    pub head: &'static str,
    /// What it means, for the schema.
    pub doc: &'static str,
    pub holds: Holds,
    /// What must stand beside it, and what may.
    pub must: &'static [(&'static str, Holds)],
    pub may: &'static [(&'static str, Holds)],
    pub usual: Option<Usual>,
    /// None if something of it was not there.
    pub kind: fn(Given) -> Option<RuleKind>,
}

pub(crate) static FORMS: [Form; 7] = [
    Form {
        head: "apart",
        doc: "nobody has more than one of these kinds",
        holds: Holds::Two,
        must: &[],
        may: &[],
        usual: None,
        kind: |g| Some(RuleKind::Apart { items: g.items }),
    },
    Form {
        head: "together",
        doc: "what goes of these is on one carrier",
        holds: Holds::Two,
        must: &[],
        may: &[],
        usual: None,
        kind: |g| Some(RuleKind::Together { items: g.items }),
    },
    Form {
        head: "at-most",
        doc: "each carrier has at most so many of these; default: everybody who takes kit",
        holds: Holds::Count(0),
        must: &[("of", Holds::Items)],
        may: &[("for", Holds::Carriers)],
        usual: Some(Usual::Takers),
        kind: |g| Some(RuleKind::AtMost { count: g.count?, items: g.items, carriers: g.carriers }),
    },
    Form {
        head: "fixed",
        doc: "a carrier has this item",
        holds: Holds::Item,
        must: &[("to", Holds::To)],
        may: &[("count", Holds::Count(1))],
        usual: None,
        kind: |g| {
            let (item, carrier) = (*g.items.first()?, g.to?);
            Some(RuleKind::Fixed { item, count: g.count.unwrap_or(1), carrier })
        },
    },
    Form {
        head: "keep-off",
        doc: "these carriers have none of these",
        holds: Holds::Items,
        must: &[("from", Holds::Carriers)],
        may: &[],
        usual: None,
        kind: |g| Some(RuleKind::KeepOff { items: g.items, carriers: g.carriers }),
    },
    Form {
        head: "hands-free",
        doc: "so many hands stay free; default: all people on foot",
        holds: Holds::Hands,
        must: &[],
        may: &[("for", Holds::People)],
        usual: Some(Usual::Walkers),
        kind: |g| Some(RuleKind::HandsFree { hands: g.count?, carriers: g.carriers }),
    },
    Form {
        head: "reserve",
        doc: "so much of the limit is kept back; default: all people on foot outside the store",
        holds: Holds::Kept,
        must: &[],
        may: &[("for", Holds::Takers)],
        usual: Some(Usual::WalkersOutside),
        kind: |g| Some(RuleKind::Reserve { reserve: g.kept?, carriers: g.carriers }),
    },
];

/// The keys that stand beside others, in the order in which they are laid out.
pub(crate) const BESIDE: [&str; 5] = ["of", "to", "from", "for", "count"];

/// What stands under a key, whatever the rule; of a key of several kinds the
/// reader tells them apart.
pub(crate) fn under(key: &str) -> Option<Holds> {
    FORMS.iter().flat_map(Form::keys).find(|(k, _)| *k == key).map(|(_, holds)| holds)
}

impl Form {
    /// All its keys, in the order in which they are read and written.
    pub fn keys(&self) -> impl Iterator<Item = (&'static str, Holds)> + use<> {
        let beside = self.must.iter().chain(self.may).copied();
        std::iter::once((self.head, self.holds)).chain(beside)
    }
}

impl Usual {
    /// Whether it is about this carrier: who walks, who takes kit, and who is of the
    /// store.
    pub fn binds(self, walks: bool, takes: bool, stored: bool) -> bool {
        match self {
            Usual::Takers => takes && !stored,
            Usual::Walkers => walks,
            Usual::WalkersOutside => walks && !stored,
        }
    }
}

fn form(kind: &RuleKind) -> Option<&'static Form> {
    FORMS.iter().find(|f| f.head == kind.word())
}

/// Whom the rule binds if it names nobody; none where it has to.
pub fn usual(order: &MoveOrder, kind: &RuleKind) -> Option<Vec<CarrierIx>> {
    let usual = form(kind)?.usual?;
    let bound = |c: &CarrierIx| {
        let party = order.party_of(*c);
        let foot = party.is_some_and(|p| order.party(p).travel == Travel::Foot);
        let walks = foot && order.carrier(*c).person().is_some();
        usual.binds(walks, order.takes_kit(*c), party.is_some_and(|p| order.is_store(p)))
    };
    Some((0..order.carriers().len()).map(CarrierIx).filter(bound).collect())
}

/// The rule as it is written in a move order, on one line.
pub fn written(order: &MoveOrder, kind: &RuleKind) -> String {
    let Some(form) = form(kind) else { return "{}".into() };
    let items = || kind.items().iter().map(|i| order.item(*i).id.as_str());
    let who = || kind.carriers().iter().map(|c| order.carrier(*c).id.as_str());
    let mut sorted = kind.carriers().to_vec();
    sorted.sort_unstable();
    let as_usual = usual(order, kind).is_some_and(|usual| usual == sorted);
    let value = |(key, holds): (&str, Holds)| {
        let optional = form.may.iter().any(|(k, _)| *k == key);
        let text = match (holds, kind.number()) {
            (Holds::Item, _) => items().next().map(String::from),
            (Holds::Items | Holds::Two, _) => Some(list(items())),
            (Holds::To, _) => who().next().map(String::from),
            (Holds::Carriers | Holds::Takers | Holds::People, _) => {
                (!(optional && as_usual)).then(|| list(who()))
            }
            (_, Some(RuleNumber::Count(n))) => (!(optional && n == 1)).then(|| n.to_string()),
            (_, Some(RuleNumber::Kept(Reserve::Mass(m)))) => Some(m.to_string()),
            (_, Some(RuleNumber::Kept(Reserve::Share(p)))) => Some(p.to_string()),
            (_, None) => None,
        };
        text.map(|text| format!("{key}: {text}"))
    };
    format!("{{{}}}", form.keys().filter_map(value).collect::<Vec<_>>().join(", "))
}
