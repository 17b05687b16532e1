//! What parties have to bring for something else to hold, as rows.

use super::build::Program;
use super::model::Affine;

impl Program<'_, '_> {
    /// One of each list at least, in the number it says.
    pub(super) fn bring_rows(&mut self) {
        for bring in self.facts.order.brings() {
            let party = bring.party.0;
            if self.idle(party) {
                continue;
            }
            let mut any = Affine::default();
            for &(item, count) in &bring.any {
                let here = self.loose(item.0, party);
                if count == 1 {
                    any += &here;
                    continue;
                }
                let enough = self.model.binary();
                let mut row = here;
                row.add(enough, -f64::from(count));
                self.model.at_least(&row, 0.0);
                any.add(enough, 1.0);
            }
            self.model.at_least(&any, 1.0);
        }
    }
}
