//! What `list` writes, `import` reads back: the same items and carriers, for
//! every demo kit and for random ones, by CSV and by workbook.

use crate::common::cases::cases;
use crate::common::folder::{Folder, demo_files};
use proptest::prelude::*;
use std::fmt::Write;
use std::fs;
use std::path::Path;
use tumpline::kit::{Asked, SheetOf, import, read_stock, read_stock_text};
use tumpline::load::{Carrier, Item, Riding, Stock};
use tumpline::report::list::{Listing, Of, Section, render};
use tumpline::report::{Format, Style};

/// Without the place where each was written.
fn items(stock: &Stock) -> Vec<String> {
    let all = stock.items.iter().flatten();
    all.map(|i| format!("{:?}", Item { place: None, ..i.clone() })).collect()
}

/// Without places, and what each uses by the names of the supplies: in a move
/// those of the items come first.
fn carriers(stock: &Stock) -> Vec<String> {
    let one = |c: &Carrier| {
        let mut c = Carrier { place: None, ..c.clone() };
        let mut uses = Vec::new();
        if let Riding::Person(person) = &mut c.riding {
            let all = std::mem::take(&mut person.uses).into_iter();
            uses = all.map(|(ix, used)| (&stock.supplies[ix.0].id, used)).collect();
        }
        format!("{c:?} {uses:?}")
    };
    stock.carriers.iter().flatten().map(one).collect()
}

/// Writes the list, reads it back as the command does, and compares.
fn round(stock: &Stock, of: Of, workbook: bool, folder: &Path) {
    let Some(section) = Section::new(stock, of) else { return };
    if section.is_empty() {
        return;
    }
    let listing = Listing { sections: vec![section] };
    let path = folder.join(if workbook { "list.xlsx" } else { "list.csv" });
    let bytes = match workbook {
        #[cfg(feature = "spreadsheets")]
        true => tumpline::report::list::workbook(&listing).unwrap(),
        #[cfg(not(feature = "spreadsheets"))]
        true => return,
        false => render(&listing, Format::Csv, &Style::default()).into_bytes(),
    };
    fs::write(&path, bytes).unwrap();
    let asked = Asked {
        of: Some(if of == Of::Equipment { SheetOf::Equipment } else { SheetOf::Carriers }),
        ..Asked::default()
    };
    let found = import(&path, &asked);
    let told = format!("{}:\n{}\n{}", stock.file, found.diagnostics, found.yaml);
    let back = found.stock.as_ref().unwrap_or_else(|| panic!("{told}"));
    match of {
        Of::Equipment => {
            assert_eq!(items(back), items(stock), "{told}");
            // In a file with carriers too, theirs may come after.
            let before: Vec<_> = stock.supplies.iter().take(back.supplies.len()).collect();
            assert_eq!(back.supplies.iter().collect::<Vec<_>>(), before, "{told}");
        }
        Of::Carriers => {
            assert_eq!(carriers(back), carriers(stock), "{told}");
        }
    }
    // What was written says it too.
    let written = read_stock_text("written", &found.yaml).unwrap();
    assert_eq!(items(&written.stocks[0]), items(back));
}

#[test]
fn every_demo_kit_comes_back_as_it_was() {
    let folder = Folder::new();
    let (mut equipment, mut people) = (0, 0);
    for path in demo_files(&["equipment.yaml", "carriers.yaml", ".move.yaml"]) {
        for stock in read_stock(&path).unwrap().stocks {
            equipment += usize::from(stock.items.is_some());
            people += usize::from(stock.carriers.is_some());
            for workbook in [false, true] {
                round(&stock, Of::Equipment, workbook, folder.here());
                round(&stock, Of::Carriers, workbook, folder.here());
            }
        }
    }
    assert!(equipment >= 4 && people >= 4, "{equipment} {people}");
}

const NAMES: [&str; 16] = [
    "Tent",
    "=cmd|' /C calc'!A0",
    "+1",
    "-2",
    "@SUM(A1)",
    "Lamp; bright",
    "Rope, 20 m",
    "\"Set\"",
    "O'Neill's bag",
    "12",
    "1,234",
    "true",
    "担架 🧑‍🚒",
    "Écharpe",
    "a  b",
    "total",
];

fn name() -> impl Strategy<Value = String> {
    prop_oneof![
        proptest::sample::select(&NAMES[..]).prop_map(String::from),
        "[A-Za-zäöüÉ0-9(][A-Za-zäöü0-9 ,;:#'\"/|%+=@-]{0,20}[a-z)]",
    ]
}

/// One item: mass in mg, bulk in mL, held, ways, hands, share, keeper, amounts,
/// rate, contents, requirement, tags.
#[derive(Debug, Clone)]
struct Made {
    name: String,
    mass: u64,
    bulk: u64,
    size: Option<(u32, u32, u32)>,
    held: u32,
    ways: Vec<&'static str>,
    hands: u32,
    share: u32,
    keeper: bool,
    supplies: Vec<(&'static str, u32)>,
    uses: bool,
    contents: Vec<u32>,
    requires: Option<(u8, u32)>,
    tags: Vec<&'static str>,
}

fn made() -> impl Strategy<Value = Made> {
    let ways = ["pair", "back", "chest", "shoulder", "belt", "hand", "bed"];
    let sets = (
        proptest::sample::subsequence(ways.to_vec(), 1..=4),
        proptest::sample::subsequence(
            vec![("power", 0), ("line", 1), ("water", 2), ("meals", 3)],
            0..=3,
        ),
        proptest::sample::subsequence(vec!["signal", "tag-2", "3x"], 0..=2),
        proptest::collection::vec(1u32..9, 0..=2),
    );
    let sizes = (
        prop_oneof![30 => 1u64..=60_000_000, 1 => 1u64..=100_000_000_000],
        0u64..=100_000_000,
        proptest::option::of((1u32..99, 1u32..99, 1u32..99)),
    );
    let counts = (
        prop_oneof![30 => 0u32..=200, 1 => 0u32..=100_000],
        1u32..=2,
        0u32..=10_000,
        proptest::option::of((0u8..3, 1u32..9)),
    );
    (name(), sizes, counts, sets, any::<(bool, bool)>()).prop_map(
        |(
            name,
            (mass, bulk, size),
            (held, hands, share, requires),
            (ways, supplies, tags, contents),
            (keeper, uses),
        )| Made {
            name,
            mass,
            bulk,
            size,
            held,
            ways,
            hands,
            share,
            keeper,
            supplies: supplies.into_iter().map(|(s, n)| (s, n as u32)).collect(),
            uses,
            contents,
            requires,
            tags,
        },
    )
}

fn decimal(base: u64, places: usize) -> String {
    let one = 10u64.pow(places as u32);
    format!("{}.{:0places$}", base / one, base % one)
}

/// The text of an equipment file, each item requiring and containing later ones.
fn text(all: &[Made], imperial: bool) -> String {
    let mut out = String::from(if imperial { "units: imperial\n" } else { "" });
    out.push_str("equipment:\n");
    for (i, m) in all.iter().enumerate() {
        let name = m.name.replace('\\', "\\\\").replace('"', "\\\"");
        let _ = writeln!(
            out,
            "  - id: item-{i}\n    name: \"{name}\"\n    mass: {} kg",
            decimal(m.mass, 6)
        );
        match m.size {
            Some((a, b, c)) => writeln!(out, "    size: {a} x {b}.5 x {c} cm"),
            None => writeln!(out, "    bulk: {} L", decimal(m.bulk, 3)),
        }
        .unwrap();
        let _ = writeln!(
            out,
            "    held: {}\n    carry: [{}]\n    hands: {}",
            m.held,
            m.ways.join(", "),
            m.hands
        );
        let rest = 10_000 - m.share;
        let _ = writeln!(
            out,
            "    pair-shares: [{} %, {} %]",
            decimal(m.share.into(), 2),
            decimal(rest.into(), 2)
        );
        if m.keeper {
            out.push_str("    keeper: operator\n");
        }
        if !m.supplies.is_empty() {
            let amounts = ["390.5 Wh", "20 m", "1.25 L", "3"];
            let list = m.supplies.iter().map(|(s, n)| format!("{s}: {}", amounts[*n as usize]));
            let _ = writeln!(out, "    supplies: {{{}}}", list.collect::<Vec<_>>().join(", "));
        }
        if m.uses {
            out.push_str("    uses: {power: 14.5 W, water: 0.5 L/h, meals: 2}\n");
        }
        let later = all.len() - i - 1;
        if !m.contents.is_empty() {
            let list = m.contents.iter().enumerate().map(|(k, n)| match k {
                0 if later > 0 => format!("item-{}: {n}", i + 1),
                k => format!("thing-{k}: {n}"),
            });
            let _ = writeln!(out, "    contents: {{{}}}", list.collect::<Vec<_>>().join(", "));
        }
        if let (Some((kind, n)), true) = (m.requires, later > 0) {
            let n = if kind == 0 { "shared".to_string() } else { n.to_string() };
            let _ = writeln!(out, "    requires: {{item-{}: {n}}}", all.len() - 1);
        }
        if !m.tags.is_empty() {
            let _ = writeln!(out, "    tags: [{}]", m.tags.join(", "));
        }
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(32, 64), ..ProptestConfig::default() })]

    #[test]
    fn random_catalogues_come_back_as_they_were(
        all in proptest::collection::vec(made(), 1..7),
        imperial: bool,
    ) {
        let text = text(&all, imperial);
        // Too much in a case, or held in all, is a fault of its own.
        if let Ok(read) = read_stock_text("made up", &text) {
            let folder = Folder::new();
            for workbook in [false, true] {
                round(&read.stocks[0], Of::Equipment, workbook, folder.here());
            }
        }
    }
}

/// A person or a vehicle: a name, masses in mg, a share in ppm, volumes, slots,
/// words.
fn carrier() -> impl Strategy<Value = String> {
    let mass = || 1u64..=300_000_000;
    let person = (
        (
            name(),
            mass(),
            mass(),
            proptest::option::of(1u32..=900_000),
            proptest::option::of(0u64..=200_000_000),
        ),
        (any::<(bool, bool, bool)>(), 0u64..=150_000, (0u32..9, 0u32..3)),
    );
    let person = person.prop_map(|((name, body, limit, share, more), (has, pack, slots))| {
        let mut out = format!("name: {}, body-mass: {} kg", yaml(&name), decimal(body, 6));
        match share {
            Some(ppm) => write!(out, ", limit: {} %", decimal(ppm.into(), 4)),
            None => write!(out, ", limit: {} kg", decimal(limit, 6)),
        }
        .unwrap();
        if let (Some(more), None) = (more, share) {
            let _ = write!(out, ", emergency-limit: {} kg", decimal(limit + more, 6));
        }
        if has.0 {
            let _ = write!(out, ", worn: 3.25 kg, pack: {} L", decimal(pack, 3));
        }
        if has.1 {
            let _ = write!(
                out,
                ", duties: [operator, first-aider], uses: {{water: 0.1 L/h, meals: 2}}"
            );
        }
        if has.2 {
            let _ = write!(out, ", slots: {{back: {}, hand: {}}}", slots.0, slots.1);
        }
        format!("p{{{out}}}")
    });
    let vehicle = (name(), mass(), proptest::option::of(0u64..=9_000_000), 0u32..9, any::<bool>());
    let vehicle = vehicle.prop_map(|(name, payload, bed, seats, hauled)| {
        let bed = bed.map_or(String::new(), |b| format!(", bed: {} L", decimal(b, 3)));
        format!(
            "v{{name: {}, payload: {} kg{bed}, seats: {seats}, hauled: {hauled}}}",
            yaml(&name),
            decimal(payload, 6)
        )
    });
    prop_oneof![3 => person, 1 => vehicle]
}

fn yaml(name: &str) -> String {
    format!("\"{}\"", name.replace('\\', "\\\\").replace('"', "\\\""))
}

/// The text of a carriers file.
fn crew(all: &[String]) -> String {
    let mut out = String::new();
    for (list, lead) in [("people", 'p'), ("vehicles", 'v')] {
        let some: Vec<_> = all.iter().enumerate().filter(|(_, c)| c.starts_with(lead)).collect();
        if !some.is_empty() {
            let _ = writeln!(out, "{list}:");
        }
        for (i, c) in some {
            let _ = writeln!(out, "  - {{id: c-{i}, {}", &c[2..]);
        }
    }
    out
}

proptest! {
    #![proptest_config(ProptestConfig { cases: cases(32, 64), ..ProptestConfig::default() })]

    #[test]
    fn random_carriers_come_back_as_they_were(
        all in proptest::collection::vec(carrier(), 1..7),
    ) {
        let text = crew(&all);
        let read = read_stock_text("made up", &text).unwrap_or_else(|e| panic!("{text}{e}"));
        let folder = Folder::new();
        for workbook in [false, true] {
            round(&read.stocks[0], Of::Carriers, workbook, folder.here());
        }
    }
}

/// Most made-up catalogues are sound, or the property would say little.
#[test]
fn made_up_catalogues_are_mostly_sound() {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let mut faults = String::new();
    let mut sound = 0;
    for _ in 0..40 {
        let all = proptest::collection::vec(made(), 1..7).new_tree(&mut runner).unwrap().current();
        match read_stock_text("made up", &text(&all, false)) {
            Ok(_) => sound += 1,
            Err(found) => faults.push_str(&found.to_string()),
        }
    }
    assert!(sound >= 25, "{sound} of 40\n{faults}");
}
