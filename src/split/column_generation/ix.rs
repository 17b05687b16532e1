//! The numberings of the decomposition: links, classes and families are all
//! counted from zero, and meet in the same functions.

/// The place of a link in `Classes::links`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct LinkIx(pub usize);

/// The place of a class in `Classes::classes`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct ClassIx(pub usize);

/// The place of a family in `Classes::families`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct FamilyIx(pub usize);
