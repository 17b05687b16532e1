//! `weighed.yaml`.

use super::*;
use crate::shape::record;

record! {
    /// What things weigh by the scales, where the catalogue says otherwise.
    RawWeighed, "a file of weighed masses" {
        /// Each item that was weighed, once.
        weighed: Vec<RawWeighing>,
    }
}

record! {
    /// An item that was weighed.
    RawWeighing, "a weighed item" {
        /// The item, by its id in the catalogue.
        id: Id,
        /// What one of it weighs, packed if it is a case.
        mass: MassText,
    }
}
