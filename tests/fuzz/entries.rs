//! What is fuzzed, and what must hold: shared by the fuzz targets and the
//! replay of the corpus.

use std::fmt::{Debug, Display};
use std::str::FromStr;
use tumpline::kit::{self, FaultStyle};
use tumpline::quantity::{Amount, Bulk, Energy, Length, Mass, Percent, Rate, Span};

/// Whatever can be read prints as something that reads back the same.
pub fn quantities(data: &[u8]) {
    fn back<T: FromStr + Display + Debug + PartialEq>(text: &str) {
        if let Ok(value) = text.parse::<T>() {
            let printed = value.to_string();
            assert_eq!(printed.parse::<T>().ok(), Some(value), "{text:?} → {printed:?}");
        }
    }
    let Ok(text) = std::str::from_utf8(data) else { return };
    back::<Mass>(text);
    back::<Bulk>(text);
    back::<Length>(text);
    back::<Energy>(text);
    back::<Span>(text);
    back::<Percent>(text);
    back::<Amount>(text);
    back::<Rate>(text);
    if let Ok(bulk) = Bulk::from_size(text) {
        assert!(bulk <= Bulk::MOST);
    }
}

/// A move is read, or refused with places and clean words.
pub fn reading(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    match kit::read_move_text("fuzz.move.yaml", text) {
        Ok(read) => {
            let order = read.order;
            assert!(!order.parties().is_empty() && !order.goals().is_empty());
            assert!(order.parties().iter().all(|p| !p.who.is_empty()));
            let items = order.catalogue().len();
            assert!(
                order.wants().iter().all(|w| w.item.0 < items && w.party.0 < order.parties().len())
            );
        }
        Err(faults) => {
            assert!(faults.errors() > 0);
            let told = faults.render(FaultStyle::Plain);
            assert!(!told.chars().any(|c| c.is_control() && c != '\n'), "{told:?}");
        }
    }
}
