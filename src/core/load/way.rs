//! The ways in which a carrier takes a thing.

use std::fmt;

/// Where a carrier takes a thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Way {
    /// In or on the pack: counts against the pack's bulk.
    Back,
    /// Before the chest.
    Chest,
    /// Slung over a shoulder.
    Shoulder,
    /// On the belt.
    Belt,
    /// In one hand or two, as the item says.
    Hand,
    /// Between two people, a hand each.
    Pair,
    /// On the bed of a vehicle or sledge: every item can ride there.
    Bed,
}

impl Way {
    /// Every way, in the order in which tables list them.
    pub const ALL: [Way; 7] =
        [Way::Back, Way::Chest, Way::Shoulder, Way::Belt, Way::Hand, Way::Pair, Way::Bed];
    /// The ways in which one person alone takes a thing.
    pub const ALONE: [Way; 5] = [Way::Back, Way::Chest, Way::Shoulder, Way::Belt, Way::Hand];

    /// The word that names it in a kit.
    pub fn word(self) -> &'static str {
        match self {
            Way::Back => "back",
            Way::Chest => "chest",
            Way::Shoulder => "shoulder",
            Way::Belt => "belt",
            Way::Hand => "hand",
            Way::Pair => "pair",
            Way::Bed => "bed",
        }
    }
}

impl fmt::Display for Way {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// A set of ways.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub struct Ways(u8);

impl Ways {
    /// Whether the way is in the set.
    pub fn has(self, way: Way) -> bool {
        self.0 & (1 << way as u8) != 0
    }
    /// Puts the way into the set.
    pub fn insert(&mut self, way: Way) {
        self.0 |= 1 << way as u8;
    }
    /// Whether no way is in the set.
    pub fn is_empty(self) -> bool {
        self.0 == 0
    }
    /// In the order of [`Way::ALL`].
    pub fn iter(self) -> impl Iterator<Item = Way> {
        Way::ALL.into_iter().filter(move |w| self.has(*w))
    }
}

impl FromIterator<Way> for Ways {
    fn from_iter<I: IntoIterator<Item = Way>>(iter: I) -> Self {
        let mut set = Ways::default();
        for way in iter {
            set.insert(way);
        }
        set
    }
}
