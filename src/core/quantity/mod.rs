//! Quantities: whole base units inside, exact parsing, canonical printing.
//!
//! Nothing here ever goes through a float. What a user typed is read as a
//! decimal number of a unit whose size is a whole number of nano-units of the
//! base, added up exactly, and rounded once, half up, to the base unit.
//!
//! | type | base unit | read |
//! |---|---|---|
//! | [`Mass`] | mg | kg, g, mg, t, lb, oz, `9 lb 4 oz` |
//! | [`Bulk`] | mL | L, mL, cL, dL, `42 x 31 x 17 cm` |
//! | [`Length`] | mm | m, km, cm, mm, yd, ft, in, mi |
//! | [`Energy`] | mWh | Wh, kWh, mWh |
//! | [`Span`] | s | h, min, s, d |
//! | [`Percent`] | ppm | % |
//! | [`Amount`] | one of the above, or a count | |
//! | [`Rate`] | an amount in a span | W, `0.5 L/h`, `2 L/d` |
//!
//! The international pound and yard are exact by definition (1959 agreement):
//! 1 lb = 453.592 37 g and 1 yd = 0.9144 m.
//!
//! ```
//! use tumpline_core::quantity::{Bulk, Mass, Percent, QuantityError, Rate, Span, Units};
//!
//! let rope: Mass = "9 lb 4 oz".parse()?;
//! assert_eq!(rope.mg(), 4_195_729); // 148 oz of 28 349.523 125 mg
//! assert_eq!(rope.rounded(Units::Metric), "4.20 kg");
//! assert_eq!(rope.to_string().parse::<Mass>()?, rope);
//!
//! assert_eq!(Bulk::from_size("42 x 31 x 17 cm")?.ml(), 22_134);
//! let third: Percent = "33.3 %".parse()?;
//! assert_eq!(third.of_mass_down("10 kg".parse()?).mg(), 3_330_000);
//! let drink: Rate = "2 L/d".parse()?;
//! assert_eq!(drink.over("6 h".parse()?), 500); // mL
//!
//! let refused = "4,2 kg".parse::<Mass>();
//! assert!(matches!(refused, Err(QuantityError::Comma { .. })));
//! # Ok::<(), QuantityError>(())
//! ```

mod amount;
mod bulk;
mod decimal;
mod energy;
mod exact_sum;
mod length;
mod mass;
mod percent;
mod span;
mod spelling;
mod units;

pub use amount::{Amount, Dimension, Rate};
pub use bulk::Bulk;
pub use decimal::QuantityError;
pub use energy::Energy;
pub use exact_sum::ExactSum;
pub use length::Length;
pub use mass::Mass;
pub use percent::Percent;
pub use span::Span;
pub use units::Units;
