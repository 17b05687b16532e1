//! Arguments for what a plan has to bear besides the move order.

use crate::ask::Conditions;
use crate::load::Tolerance;
use crate::quantity::{Percent, QuantityError};
use clap::Args;

/// How far weights may be off.
#[derive(Debug, Args)]
pub(crate) struct Weights {
    /// Plan so that limits hold although weights may be off by so much
    ///
    /// Any `--off` kinds of item may weigh that much more than the catalogue
    /// says, whichever they are. The report tells each carrier's worst load,
    /// and what the tolerance costs.
    #[arg(long, value_name = "PERCENT", value_parser = tolerance)]
    pub tolerance: Option<Percent>,

    /// How many kinds of item may be off at once: a number, or `all`
    #[arg(long, value_name = "KINDS", default_value = "all", value_parser = off)]
    #[arg(requires = "tolerance")]
    pub off: Off,
}

impl Weights {
    pub fn tolerance(&self) -> Option<Tolerance> {
        self.tolerance.map(|share| Tolerance { share, off: self.off.0 })
    }
}

/// What the plan has to bear.
#[derive(Debug, Args)]
pub(crate) struct Bear {
    #[command(flatten)]
    pub weights: Weights,

    /// Plan so that the rest can go on if any one of a party drops out
    ///
    /// Whichever one person of a party on foot drops out, the rest can carry
    /// what the party needs, within their emergency limits, out of what it
    /// brought. Only 1 can be given, or 0 for not asking.
    #[arg(long, value_name = "COUNT", default_value = "0", value_parser = survives)]
    #[arg(hide_default_value = true)]
    #[arg(conflicts_with_all = ["after", "without", "emptied", "weighed"])]
    pub survives: u32,
}

/// How many kinds of item may be off at once; `None` is all of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Off(pub Option<u32>);

impl Bear {
    pub fn tolerance(&self) -> Option<Tolerance> {
        self.weights.tolerance()
    }
    /// What is to be asked, if anything is.
    pub fn conditions(&self) -> Option<Conditions> {
        let survives = self.survives == 1;
        (survives || self.weights.tolerance.is_some()).then_some(Conditions { survives })
    }
}

/// A percentage, with or without its sign.
fn tolerance(text: &str) -> Result<Percent, String> {
    let read = match text.parse::<Percent>() {
        Err(QuantityError::NoUnit { .. }) => format!("{text} %").parse(),
        read => read,
    };
    match read {
        Ok(share) if share > Percent::WHOLE => Err("the most that can be given is 100 %".into()),
        Ok(share) => Ok(share),
        Err(QuantityError::TooLarge { .. }) => Err("the most that can be given is 100 %".into()),
        Err(e) => Err(told(&e, "write a percentage, as in `5%`")),
    }
}

fn off(text: &str) -> Result<Off, String> {
    match text.parse() {
        _ if text == "all" => Ok(Off(None)),
        Ok(n) if text.bytes().all(|b| b.is_ascii_digit()) => Ok(Off(Some(n))),
        _ => Err("write a whole number of kinds, as in `2`, or `all`".into()),
    }
}

fn survives(text: &str) -> Result<u32, String> {
    match text {
        "0" => Ok(0),
        "1" => Ok(1),
        _ => Err("only the loss of one person can be planned for: write 1, or 0 for none".into()),
    }
}

/// What is wrong with a quantity, and what would be right.
pub(super) fn told(e: &QuantityError, help: &str) -> String {
    format!("{e}; {help}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_the_plan_bears_is_read() {
        assert_eq!(tolerance("5%"), Ok(Percent::from_ppm(50_000)));
        assert_eq!(tolerance("5"), tolerance("5 %"));
        assert_eq!((off("2"), off("all")), (Ok(Off(Some(2))), Ok(Off(None))));
        assert_eq!((survives("0"), survives("1")), (Ok(0), Ok(1)));
        for bad in ["", "-1", "101%", "5000%", "1 kg", "a"] {
            assert!(tolerance(bad).is_err(), "{bad}");
        }
        for bad in ["", "-1", "+2", "1.5", "none", "99999999999"] {
            assert!(off(bad).is_err(), "{bad}");
        }
        for bad in ["", "2", "-1", "one"] {
            assert!(survives(bad).unwrap_err().contains("one person"), "{bad}");
        }
    }
}
