//! Supplies: implied by use, each of one dimension.

use super::scalar;
use crate::code::FaultCode;
use crate::diagnostic::{Diagnostic, Sink, did_you_mean, quoted};
use crate::load::{Supply, SupplyIx, Use};
use crate::quantity::{Amount, Dimension, Rate};
use crate::raw::{AmountText, Entries, UseText};
use crate::source::TextSpan;
use crate::tree::At;
use std::collections::{BTreeMap, BTreeSet};

/// The supplies met so far.
#[derive(Debug, Default)]
pub(crate) struct Supplies {
    pub list: Vec<Supply>,
    /// Where the dimension of each was first given.
    first: Vec<TextSpan>,
    by_id: BTreeMap<String, SupplyIx>,
    /// Those that an item supplies.
    supplied: BTreeSet<SupplyIx>,
}

impl Supplies {
    /// Notes a mention; the first one settles the dimension.
    fn mention(
        &mut self,
        id: &str,
        dim: Dimension,
        span: TextSpan,
        sink: &mut Sink,
    ) -> Option<SupplyIx> {
        let Some(&ix) = self.by_id.get(id) else {
            let ix = SupplyIx(self.list.len());
            self.list.push(Supply { id: id.to_string(), dimension: dim });
            self.first.push(span);
            self.by_id.insert(id.to_string(), ix);
            return Some(ix);
        };
        self.agree(ix, dim, span, sink).then_some(ix)
    }

    /// Whether an amount is of the dimension of the supply.
    pub fn agree(&self, ix: SupplyIx, dim: Dimension, span: TextSpan, sink: &mut Sink) -> bool {
        let (Some(supply), Some(first)) = (self.list.get(ix.0), self.first.get(ix.0)) else {
            return false;
        };
        if supply.dimension == dim {
            return true;
        }
        sink.fault(|| {
            let (was, is) = (supply.dimension.word(), dim.word());
            let what = format!("{} is measured as {was}, and here as {is}", quoted(&supply.id));
            Diagnostic::error(FaultCode::Dimension, what)
                .at(span, format!("{is} here"))
                .label(*first, format!("{was} here"))
                .help("give every amount of a supply in units of one kind")
        });
        false
    }

    /// A supply that a need asks for: one that some item supplies.
    pub fn supplied(&self, id: &str, span: TextSpan, sink: &mut Sink) -> Option<SupplyIx> {
        if let Some(ix) = self.by_id.get(id).filter(|ix| self.supplied.contains(*ix)) {
            return Some(*ix);
        }
        sink.fault(|| {
            let names = self.supplied.iter().filter_map(|ix| self.list.get(ix.0));
            let what = format!("nothing in the catalogue supplies {}", quoted(id));
            Diagnostic::error(FaultCode::UnknownSupply, what)
                .at(span, "no item lists this under `supplies`")
                .maybe_help(did_you_mean(id, names.map(|s| s.id.as_str())))
        });
        None
    }

    /// What an item supplies.
    pub fn amounts(
        &mut self,
        raw: &Entries<AmountText>,
        at: At<'_>,
        sink: &mut Sink,
    ) -> Vec<(SupplyIx, Amount)> {
        let mut out = Vec::new();
        for (id, text) in &raw.0 {
            let at = at.get(id);
            let formed = scalar::id(id, at.key_span(), sink);
            let amount = scalar::quantity::<Amount>(&text.0, at, sink);
            let (true, Some(amount)) = (formed, amount) else { continue };
            if let Some(ix) = self.mention(id, amount.dimension, at.span(), sink) {
                self.supplied.insert(ix);
                out.push((ix, amount));
            }
        }
        out
    }

    /// What an item or a person uses.
    pub fn uses(
        &mut self,
        raw: &Entries<UseText>,
        at: At<'_>,
        sink: &mut Sink,
    ) -> Vec<(SupplyIx, Use)> {
        let mut out = Vec::new();
        for (id, text) in &raw.0 {
            let at = at.get(id);
            let formed = scalar::id(id, at.key_span(), sink);
            let over = text.0.contains('/') || text.0.trim_end().ends_with('W');
            let used = if over {
                scalar::quantity::<Rate>(&text.0, at, sink).map(Use::Over)
            } else {
                scalar::quantity::<Amount>(&text.0, at, sink).map(Use::Once)
            };
            let (true, Some(used)) = (formed, used) else { continue };
            let dim = match used {
                Use::Once(a) => a.dimension,
                Use::Over(r) => r.amount.dimension,
            };
            if let Some(ix) = self.mention(id, dim, at.span(), sink) {
                out.push((ix, used));
            }
        }
        out
    }
}
