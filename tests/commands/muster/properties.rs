//! Properties over made-up stores, laid out in many ways.

use super::{look, stores};
use crate::common::folder::Folder;
use proptest::prelude::*;
use serde_json::Value;

/// A holding, and how it is written.
#[derive(Debug, Clone)]
struct Made {
    held: Option<u32>,
    shelf: u32,
    issued: Vec<(&'static str, u32)>,
    unserviceable: Option<u32>,
    on_loan: Vec<(&'static str, u32)>,
    flow: bool,
    comment: bool,
}

const ITEMS: [(&str, u32); 5] = [("lamp", 4), ("rope", 2), ("bag", 1), ("pouch", 2), ("lead", 1)];
const HOLDERS: [&str; 3] = ["ann", "hill club", "O'Hara \"Mo\""];

fn holders() -> impl Strategy<Value = Vec<(&'static str, u32)>> {
    proptest::sample::subsequence(HOLDERS.to_vec(), 0..=3)
        .prop_flat_map(|names| names.into_iter().map(|n| (Just(n), 0u32..4)).collect::<Vec<_>>())
}

fn made() -> impl Strategy<Value = Made> {
    (
        proptest::option::of(0u32..7),
        0u32..5,
        holders(),
        proptest::option::of(0u32..3),
        holders(),
        any::<bool>(),
        any::<bool>(),
    )
        .prop_map(|(held, shelf, issued, unserviceable, on_loan, flow, comment)| Made {
            held,
            shelf,
            issued,
            unserviceable,
            on_loan,
            flow,
            comment,
        })
}

#[derive(Debug, Clone)]
struct Layout {
    holdings: Vec<(usize, Made)>,
    found: Vec<(&'static str, Vec<(&'static str, u32)>)>,
    list_flow: bool,
    crlf: bool,
    open_end: bool,
    cases_first: bool,
    mark: bool,
}

fn layout() -> impl Strategy<Value = Layout> {
    let holdings = proptest::sample::subsequence((0..ITEMS.len()).collect::<Vec<_>>(), 0..=4)
        .prop_flat_map(|at| at.into_iter().map(|i| (Just(i), made())).collect::<Vec<_>>());
    let contents = proptest::sample::subsequence(vec!["lead", "tape", "lamp"], 0..=2)
        .prop_flat_map(|ids| ids.into_iter().map(|i| (Just(i), 0u32..5)).collect::<Vec<_>>());
    let found = proptest::option::of(contents);
    (holdings, found, any::<[bool; 5]>()).prop_map(|(mut holdings, found, flags)| {
        // The bag that is looked into has to be there.
        for (_, made) in holdings.iter_mut().filter(|(i, _)| ITEMS[*i].0 == "bag") {
            made.held = made.held.map(|n| n.max(1));
        }
        Layout {
            holdings,
            found: found.into_iter().map(|f| ("bag 1 / pouch 1", f)).collect(),
            list_flow: flags[0],
            crlf: flags[1],
            open_end: flags[2],
            cases_first: flags[3],
            mark: flags[4],
        }
    })
}

fn map(of: &[(&str, u32)]) -> String {
    let quoted = |k: &str| match k.contains(['"', ' ']) {
        true => format!("\"{}\"", k.replace('"', "\\\"")),
        false => k.to_string(),
    };
    let each: Vec<String> = of.iter().map(|(k, n)| format!("{}: {n}", quoted(k))).collect();
    format!("{{{}}}", each.join(", "))
}

impl Made {
    fn keys(&self, id: &str) -> Vec<(String, String)> {
        let mut out = vec![("id".to_string(), id.to_string())];
        out.extend(self.held.map(|n| ("held".into(), n.to_string())));
        if self.flow {
            out.push(("shelf".into(), self.shelf.to_string()));
        }
        if !self.issued.is_empty() {
            out.push(("issued".into(), map(&self.issued)));
        }
        if !self.flow {
            out.push(("shelf".into(), self.shelf.to_string()));
        }
        out.extend(self.unserviceable.map(|n| ("unserviceable".into(), n.to_string())));
        if !self.on_loan.is_empty() {
            out.push(("on-loan".into(), map(&self.on_loan)));
        }
        out
    }
    fn inline(&self, id: &str) -> String {
        let keys: Vec<String> =
            self.keys(id).into_iter().map(|(k, v)| format!("{k}: {v}")).collect();
        format!("{{{}}}", keys.join(", "))
    }
    fn block(&self, id: &str) -> String {
        let keys = self.keys(id).into_iter().enumerate().map(|(n, (k, v))| {
            let lead = if n == 0 { "  - " } else { "    " };
            let comment = if self.comment { format!("   # on {k} of {id}") } else { String::new() };
            format!("{lead}{k}: {v}{comment}\n")
        });
        keys.collect()
    }
}

impl Layout {
    fn text(&self) -> String {
        let mut holdings = String::new();
        if self.list_flow {
            let all: Vec<String> =
                self.holdings.iter().map(|(i, m)| m.inline(ITEMS[*i].0)).collect();
            holdings = format!("holdings: [{}]   # all of it\n", all.join(",\n  "));
        } else if !self.holdings.is_empty() {
            holdings.push_str("# what is there\nholdings:\n");
            for (i, m) in &self.holdings {
                let id = ITEMS[*i].0;
                match m.flow {
                    true => holdings.push_str(&format!("  - {}   # {id}\n", m.inline(id))),
                    false => holdings.push_str(&m.block(id)),
                }
            }
        }
        let cases: String = self
            .found
            .iter()
            .map(|(case, found)| {
                format!("cases:\n- case: {case}   # looked into\n  found: {}\n", map(found))
            })
            .collect();
        let mut out = match self.cases_first {
            true => format!("{cases}{holdings}"),
            false => format!("{holdings}{cases}"),
        };
        out.push_str("# the end\n");
        if self.open_end {
            out.pop();
        }
        out
    }
    fn folder(&self) -> Folder {
        let folder = stores(&self.text());
        let mut text = folder.read("stores.yaml");
        if self.crlf {
            text = text.replace('\n', "\r\n");
        }
        if self.mark {
            text.insert(0, '\u{feff}');
        }
        folder.write("stores.yaml", &text);
        folder
    }
}

/// The blank sheet, filled in by `fill` from item, where, to, case and what is
/// recorded.
fn filled(folder: &Folder, mut fill: impl FnMut(u32) -> Option<u32>) -> String {
    let doc = folder.mustered(&[]);
    let blank = folder.muster(&["--blank-count"]).out;
    let mut reader = csv::Reader::from_reader(blank.as_bytes());
    let header = reader.headers().unwrap().clone();
    let mut out = csv::Writer::from_writer(Vec::new());
    out.write_record(&header).unwrap();
    for row in reader.records() {
        let mut row: Vec<String> = row.unwrap().iter().map(String::from).collect();
        let (id, at, to, case) = (&row[0], &row[2], &row[3], &row[4]);
        let who = |list: &Value| {
            let entry = list.as_array().unwrap().iter().find(|h| h["to"] == **to);
            entry.map_or(0, |h| h["count"].as_u64().unwrap())
        };
        let key = |key: &str| look(&doc, &format!("{id}.{key}"));
        let was = match at.as_str() {
            "" => look(&doc, &format!("{case}:{id}.found")).as_u64().unwrap(),
            "shelf" | "unserviceable" => key(at).as_u64().unwrap(),
            "issued" => who(key("issued")),
            "on loan" => who(key("on_loan")),
            at => panic!("{at}"),
        };
        if let Some(n) = fill(was as u32) {
            row[5] = n.to_string();
        }
        out.write_record(&row).unwrap();
    }
    String::from_utf8(out.into_inner().unwrap()).unwrap()
}

fn comments(text: &str) -> Vec<String> {
    let of = |l: &str| l.split_once('#').map(|(_, c)| c.trim_end().to_string());
    text.lines().filter_map(of).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    /// Held is issued and shelf and unserviceable and on loan together, or the
    /// report says by how much not.
    #[test]
    fn it_reconciles_or_says_by_how_much_not(layout in layout()) {
        let folder = layout.folder();
        let (doc, text) = (folder.mustered(&[]), folder.muster(&[]).out);
        let mut good = true;
        for (i, made) in &layout.holdings {
            let (id, usual) = ITEMS[*i];
            let held = i64::from(made.held.unwrap_or(usual));
            let sum = |of: &[(&str, u32)]| of.iter().map(|(_, n)| i64::from(*n)).sum::<i64>();
            let there = i64::from(made.shelf) + sum(&made.issued)
                + i64::from(made.unserviceable.unwrap_or(0)) + sum(&made.on_loan);
            let number = |key: &str| look(&doc, &format!("{id}.{key}")).as_i64().unwrap();
            prop_assert_eq!(number("held") + number("excess") - number("missing"), there);
            prop_assert!(number("excess") == 0 || number("missing") == 0);
            prop_assert_eq!(look(&doc, &format!("{id}.reconciled")), held == there);
            if held > there {
                let told = format!("NOT RECONCILED, {} missing: {held} held, {there} accounted", held - there);
                prop_assert!(text.contains(&told), "{}", text);
            }
            if there > held {
                let told = format!("NOT RECONCILED, {} too many: {held} held, {there} accounted", there - held);
                prop_assert!(text.contains(&told), "{}", text);
            }
            let out = i64::from(made.unserviceable.unwrap_or(0)) + sum(&made.on_loan);
            let fit = (held - out).max(0).min(i64::from(made.shelf) + sum(&made.issued));
            prop_assert_eq!(number("fit"), fit);
            good &= held == there && fit >= i64::from(usual);
        }
        // Tapes that ought to be in the inner pouch; leads are no part of it.
        good &= layout.found.iter().flat_map(|(_, f)| f).all(|(id, n)| *id != "tape" || *n >= 3);
        prop_assert_eq!(&doc["in_order"], good);
    }

    /// Counting exactly what is recorded changes nothing, byte for byte.
    #[test]
    fn counted_as_recorded_changes_no_byte(layout in layout()) {
        let folder = layout.folder();
        let before = folder.read("stores.yaml");
        let sheet = filled(&folder, Some);
        folder.write("count.csv", &sheet);
        let done = folder.muster(&["--count", "@count.csv", "--write", "--yes", "--by", "Mo"]);
        prop_assert_eq!(&done.err, "All is as recorded: nothing to write.\n");
        prop_assert_eq!(folder.read("stores.yaml"), before);
        prop_assert!(!folder.path("stores.journal.csv").exists());
    }

    /// What was written is what was counted: mustered again, nothing differs.
    /// Comments stay, in their order, and a line of the journal tells of each
    /// change.
    #[test]
    fn written_and_mustered_again_nothing_differs(layout in layout(), numbers in proptest::collection::vec(proptest::option::of(1u32..5), 40)) {
        let folder = layout.folder();
        let before = folder.read("stores.yaml");
        let mut next = numbers.into_iter().cycle();
        let sheet = filled(&folder, |_| next.next().flatten());
        // A second pouch in the bag would want its own rows.
        let sheet: String = sheet.lines().filter(|l| !l.starts_with("pouch,") || !l.contains("bag 1"))
            .map(|l| format!("{l}\n")).collect();
        folder.write("count.csv", &sheet);
        let args = ["--count", "@count.csv", "--write", "--yes", "--by", "Mo", "--on", "2026-05-31"];
        let first = folder.mustered(&["--count", "@count.csv"]);
        let done = folder.muster(&args);
        prop_assert!(matches!(done.code, 0 | 1), "{}", done.err);
        let differ = first["count"]["differences"].as_array().unwrap().len();
        let again = folder.mustered(&["--count", "@count.csv"]);
        prop_assert_eq!(&again["count"]["differences"], &Value::Array(vec![]), "{}", folder.read("stores.yaml"));
        // All that is said of things is the same as it was as counted.
        for key in ["holdings", "cases", "totals"] {
            let bare = |doc: &Value| doc[key].to_string();
            prop_assert_eq!(bare(&again), bare(&first));
        }
        let after = folder.read("stores.yaml");
        prop_assert_eq!(comments(&after), comments(&before));
        prop_assert_eq!(after.matches("\r\n").count() == after.matches('\n').count(), layout.crlf);
        prop_assert_eq!(after.starts_with('\u{feff}'), layout.mark);
        let journal = if differ > 0 { folder.read("stores.journal.csv").lines().count() - 1 } else { 0 };
        prop_assert_eq!(journal, differ);
    }
}
