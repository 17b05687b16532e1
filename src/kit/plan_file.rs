//! A plan as `tumpline split --format json` wrote it, read back for a move: by
//! then the move may have changed, so what it does not know is reported, and is no
//! fault.

mod made;

pub use made::{MadeGoal, MadePlan, read_made};

use super::code::FaultCode;
use super::diagnostic::{Diagnostic, Diagnostics, Sink, counted, did_you_mean, quoted};
use super::plan_json::{Carried, Document, FORMAT, Version};
use super::source::{SourceId, Sources, TextSpan};
use crate::load::{Bearer, CarrierIx, ItemIx, MoveOrder, Packed, Placement, Plan, Stranger, Way};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// The most a plan may hold: 64 MiB. That of a column of hundreds takes some.
const MOST_BYTES: usize = 64 << 20;

/// A plan that was read, and what of it the move does not know.
#[derive(Debug, Clone)]
pub struct ReadPlan {
    /// The plan by the move's own places, and what the move does not know of it.
    pub packed: Packed,
    /// Warnings only.
    pub warnings: Diagnostics,
    /// Where it was read.
    pub file: PathBuf,
}

/// Reads a plan for a move.
///
/// # Errors
/// The first thing that makes it no plan of ours, with its place.
pub fn read_plan(path: &Path, order: &MoveOrder) -> Result<ReadPlan, Diagnostics> {
    let mut sources = Sources::default();
    let mut sink = Sink::default();
    let file = path.to_path_buf();
    let read = sources.add_file_up_to(path, MOST_BYTES);
    let packed = read.and_then(|id| packed(&sources, id, order, &mut sink));
    match packed {
        Ok(packed) => Ok(ReadPlan { packed, warnings: sink.finish(sources), file }),
        Err(d) => {
            let mut sink = Sink::default();
            sink.add(*d);
            Err(sink.finish(sources))
        }
    }
}

type Fault = Box<Diagnostic>;

const HELP: &str = "give a file that `tumpline split MOVE --format json -o FILE` wrote";

fn packed(
    sources: &Sources,
    id: SourceId,
    order: &MoveOrder,
    sink: &mut Sink,
) -> Result<Packed, Fault> {
    let raw = document(sources, id)?;
    let packed = Sorter::new(order, &raw).packed(raw);
    let text = sources.get(id).map_or("", |s| s.text.as_str());
    warn(&packed, text, id, order, sink);
    Ok(packed.packed)
}

/// The file as a plan, of the version that is read here.
fn document(sources: &Sources, id: SourceId) -> Result<Document, Fault> {
    let text = sources.get(id).map_or("", |s| s.text.as_str());
    let version: Version = serde_json::from_str(text).map_err(|e| no_plan(sources, id, &e))?;
    of_version(text, id, &version)?;
    let plan: Document = serde_json::from_str(text).map_err(|e| no_plan(sources, id, &e))?;
    refused_status(text, id, &plan.status)?;
    Ok(plan)
}

/// Refuses another version than is read here.
fn of_version(text: &str, id: SourceId, version: &Version) -> Result<(), Fault> {
    let given = version.format_version;
    if given == u64::from(FORMAT) {
        return Ok(());
    }
    let what = format!("this plan is of format version {given}, and {FORMAT} is read here");
    let d = Diagnostic::error(FaultCode::BadPlan, what);
    Err(d.at(find(text, id, "format_version"), "this version").help(HELP).boxed())
}

/// Refuses an answer that is no plan.
fn refused_status(text: &str, id: SourceId, status: &str) -> Result<(), Fault> {
    if !matches!(status, "no-plan" | "none-found") {
        return Ok(());
    }
    let what = format!("this file holds no plan: its status is {}", quoted(status));
    let d = Diagnostic::error(FaultCode::BadPlan, what);
    Err(d.at(find(text, id, "status"), "it holds no plan").help(HELP).boxed())
}

/// What the JSON library says, at its place. It counts columns in bytes.
fn no_plan(sources: &Sources, id: SourceId, e: &serde_json::Error) -> Fault {
    let what = e.to_string();
    // Its place is shown as a place, and not said again.
    let what = what.rsplit_once(" at line ").map_or(what.as_str(), |(what, _)| what);
    let title = if e.is_data() { "this is no plan of tumpline's" } else { "this is not JSON" };
    let d = Diagnostic::error(FaultCode::BadPlan, format!("{title}: {}", short(what))).help(HELP);
    let Some(source) = sources.get(id) else { return d.boxed() };
    let mut byte = (source.line_start(e.line()) + e.column().saturating_sub(1))
        .min(source.text.len().saturating_sub(1));
    while !source.text.is_char_boundary(byte) {
        byte -= 1;
    }
    let next = source.text[byte..].chars().next().map_or(0, char::len_utf8);
    d.at(TextSpan { source: id, start: byte, end: byte + next }, "up to here").boxed()
}

/// Whatever a text holds, a message stays short.
fn short(what: &str) -> String {
    const MOST: usize = 200;
    let mut out: String = what.chars().take(MOST).collect();
    if out.len() < what.len() {
        out.push('…');
    }
    out
}

/// Where a text of the plan stands first.
fn find(text: &str, source: SourceId, word: &str) -> TextSpan {
    let start = text.find(&format!("\"{word}\"")).unwrap_or(0);
    TextSpan { source, start, end: (start + word.len() + 2).min(text.len()) }
}

/// What is known of the plan while it is sorted.
struct Sorter<'a> {
    order: &'a MoveOrder,
    carriers: BTreeMap<&'a str, CarrierIx>,
    /// The party that was the store when the plan was made.
    store: Option<String>,
}

struct Sorted {
    packed: Packed,
    /// Ids that the move does not know.
    items: Vec<String>,
}

impl<'a> Sorter<'a> {
    fn new(order: &'a MoveOrder, raw: &Document) -> Self {
        let carriers = order.carriers().iter().enumerate();
        Sorter {
            order,
            carriers: carriers.map(|(c, carrier)| (carrier.id.as_str(), CarrierIx(c))).collect(),
            store: raw.parties.iter().find(|p| p.store).map(|p| p.id.clone()),
        }
    }

    fn packed(&self, raw: Document) -> Sorted {
        let mut packed = Packed { made_for: raw.move_name, ..Packed::default() };
        packed.units = vec![0; self.order.catalogue().len()];
        let mut lost: BTreeMap<String, (String, u64)> = BTreeMap::new();
        let mut placements = Vec::new();
        let mut strangers = Vec::new();
        // Both ends of a pair tell of it: by item and both ids, what each bears.
        let mut pairs: BTreeMap<(ItemIx, String, String), Pair> = BTreeMap::new();
        let mut count = |id: &str, name: &str, n: u32, packed: &mut Packed| {
            let found = self.order.catalogue().find(id);
            match found {
                Some(i) => packed.units[i.0] = packed.units[i.0].saturating_add(n.into()),
                None => {
                    let entry = lost.entry(id.into()).or_insert((name.into(), 0));
                    entry.1 = entry.1.saturating_add(n.into());
                }
            }
            found
        };
        for left in &raw.left {
            count(&left.id, &left.name, left.count, &mut packed);
        }
        for carrier in raw.carriers {
            // What is in the store is counted as left.
            let stored = self.store.as_ref() == Some(&carrier.party);
            let known = self.carriers.get(carrier.id.as_str()).copied();
            let id = carrier.id.clone();
            let mut stranger = Stranger { id, name: carrier.name, items: Vec::new() };
            for item in carrier.items {
                let second_end = item.with.as_ref().is_some_and(|with| {
                    let (a, b) = ends(&carrier.id, with);
                    let key = |i| (i, a.to_string(), b.to_string());
                    let at = self.order.catalogue().find(&item.id);
                    at.is_some_and(|i| pairs.get(&key(i)).is_some_and(|p| p.first != carrier.id))
                });
                let found = if stored || second_end {
                    self.order.catalogue().find(&item.id)
                } else {
                    count(&item.id, &item.name, item.count, &mut packed)
                };
                let Some(i) = found else { continue };
                match (&item.with, known) {
                    (Some(with), _) if item.way == Way::Pair => {
                        let (a, b) = ends(&carrier.id, with);
                        let key = (i, a.to_string(), b.to_string());
                        let pair =
                            pairs.entry(key).or_insert_with(|| Pair::new(&carrier.id, &item));
                        pair.tell(&carrier.id, &item);
                    }
                    (_, Some(c)) => {
                        let by = Bearer::One { carrier: c, way: item.way };
                        placements.push(Placement { by, item: i, count: item.count });
                    }
                    // What the store had and has not where it was, it has still.
                    (_, None) if !stored => stranger.items.push((i, item.count)),
                    _ => {}
                }
            }
            if known.is_none() {
                strangers.push(stranger);
            }
        }
        for ((item, a, b), pair) in pairs {
            self.pair(item, [&a, &b], &pair, &mut placements, &mut strangers);
        }
        for stranger in &strangers {
            packed.before.astray.extend(stranger.items.iter().copied());
        }
        packed.before.plan = Plan::new(placements);
        packed.strangers = strangers;
        let (items, lost) = lost.into_iter().unzip();
        packed.lost = lost;
        Sorted { packed, items }
    }

    /// Whoever bears more has the larger of uneven shares.
    fn pair(
        &self,
        item: ItemIx,
        ids: [&str; 2],
        pair: &Pair,
        placements: &mut Vec<Placement>,
        strangers: &mut [Stranger],
    ) {
        let [a, b] = ids.map(|id| self.carriers.get(id).copied());
        let thing = self.order.item(item);
        let count = pair.count;
        match (a, b) {
            (Some(a), Some(b)) => {
                let falls = thing.pair_shares[0] > thing.pair_shares[1];
                let heavier_first = pair.mass[0] >= pair.mass[1];
                let as_written = thing.pair_is_even() || falls == heavier_first;
                let (first, second) = if as_written { (a, b) } else { (b, a) };
                let by = Bearer::Pair { first, second };
                placements.push(Placement { by, item, count });
            }
            // Whoever is left of them has it.
            (Some(carrier), None) | (None, Some(carrier)) => {
                let way = thing.ways.iter().find(|w| *w != Way::Pair).unwrap_or(Way::Hand);
                placements.push(Placement { by: Bearer::One { carrier, way }, item, count });
            }
            (None, None) => {
                if let Some(s) = strangers.iter_mut().find(|s| s.id == ids[0]) {
                    s.items.push((item, count));
                }
            }
        }
    }
}

/// Ids of a pair in their order.
fn ends<'i>(a: &'i str, b: &'i str) -> (&'i str, &'i str) {
    if a <= b { (a, b) } else { (b, a) }
}

struct Pair {
    /// Where it was written first.
    first: String,
    count: u32,
    /// mg that each bears of it, in the order of the ids.
    mass: [u64; 2],
}

impl Pair {
    fn new(id: &str, item: &Carried) -> Self {
        Pair { first: id.into(), count: item.count, mass: [0; 2] }
    }
    fn tell(&mut self, id: &str, item: &Carried) {
        let other = item.with.as_deref().unwrap_or("");
        self.mass[usize::from(id > other)] = item.mass_g.0.mg();
    }
}

/// Says what of the plan the move does not know.
fn warn(sorted: &Sorted, text: &str, id: SourceId, order: &MoveOrder, sink: &mut Sink) {
    let packed = &sorted.packed;
    if packed.made_for != order.name() {
        let what = format!(
            "the plan was made for {}, the move is {}",
            quoted(&packed.made_for),
            quoted(order.name())
        );
        sink.add(
            Diagnostic::warning(FaultCode::ChangedSince, what)
                .at(find(text, id, "move"), "the plan's move"),
        );
    }
    for (item, (_, n)) in sorted.items.iter().zip(&packed.lost) {
        let what = format!(
            "{} of the plan {} not in the catalogue: {} gone",
            quoted(item),
            if *n == 1 { "is" } else { "are" },
            if *n == 1 { "it is".into() } else { counted(*n as usize, "is", "are") }
        );
        let ids = order.catalogue().items().map(|(_, i)| i.id.as_str());
        sink.add(
            Diagnostic::warning(FaultCode::ChangedSince, what)
                .at(find(text, id, item), "no item has this id now")
                .maybe_help(did_you_mean(item, ids)),
        );
    }
    for carrier in packed.strangers.iter().map(|s| &s.id) {
        let what = format!(
            "{} of the plan is not in the move: others take over, or it is put back",
            quoted(carrier)
        );
        let ids = order.carriers().iter().map(|c| c.id.as_str());
        sink.add(
            Diagnostic::warning(FaultCode::ChangedSince, what)
                .at(find(text, id, carrier), "no carrier has this id now")
                .maybe_help(did_you_mean(carrier, ids)),
        );
    }
}
