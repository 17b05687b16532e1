//! Files that mean harm, or look as if they did: each gets a message with its
//! place, soon, and nothing of it reaches the terminal raw.

use crate::common;
use crate::common::folder::Folder;
use std::fmt::Write as _;
use std::time::{Duration, Instant};
use tumpline::kit::{self, Diagnostics, FaultCode};

/// Far above what a release build takes on an idle machine (some tens of
/// milliseconds), far below what anything super-linear would take.
const SOON: Duration = Duration::from_secs(5);

/// Reads as a file of its own, by whatever is in it.
fn check(bytes: &[u8]) -> Diagnostics {
    let dir = Folder::with("kit.yaml", bytes);
    let path = dir.path("kit.yaml");
    let start = Instant::now();
    let found = kit::check(&[path]).diagnostics;
    let text = found.render(kit::FaultStyle::Plain);
    assert!(start.elapsed() < SOON, "{:?}", start.elapsed());
    assert!(!text.chars().any(|c| c.is_control() && c != '\n'), "{text:?}");
    assert!(text.lines().all(|l| l.chars().count() < 700), "a line is too long");
    found
}

/// The code of the first fault, which has a place.
fn first(bytes: &[u8]) -> FaultCode {
    let found = check(bytes);
    let d = found.iter().next().expect("a fault");
    assert!(d.primary.is_some(), "{found}");
    d.code
}

#[test]
fn nesting_is_cut_off() {
    assert_eq!(first("{a: ".repeat(80_000).as_bytes()), FaultCode::TooDeep);
    assert_eq!(first("[".repeat(400_000).as_bytes()), FaultCode::TooDeep);
    assert_eq!(first("- ".repeat(50_000).as_bytes()), FaultCode::TooDeep);
    let mut blocks = String::new();
    for i in 0..1000 {
        writeln!(blocks, "{}a:", "  ".repeat(i)).unwrap();
    }
    assert_eq!(first(blocks.as_bytes()), FaultCode::TooDeep);
}

#[test]
fn needs_nest_as_deep_as_lists_may() {
    let nested = |n: usize| {
        format!(
            "move: m\nequipment: [{{id: a, mass: 1 kg}}]\ncarriers: {{people: [{{id: p, limit: 9 kg}}]}}\n\
             parties: {{x: {{travel: foot, who: p}}}}\nneeds: {{x: [{{need: n, all: [{}a{}]}}]}}\n",
            "{all: [".repeat(n),
            "]}".repeat(n)
        )
    };
    assert!(kit::read_move_text("a", &nested(13)).is_ok());
    let faults = kit::read_move_text("a", &nested(14)).unwrap_err();
    assert_eq!(faults.iter().next().map(|d| d.code), Some(FaultCode::TooDeep));
}

#[test]
fn aliases_never_multiply() {
    let mut bomb = "a0: &a0 [x, x]\n".to_string();
    for i in 1..30 {
        writeln!(bomb, "a{i}: &a{i} [*a{0}, *a{0}]", i - 1).unwrap();
    }
    assert_eq!(first(bomb.as_bytes()), FaultCode::Anchor);
    assert_eq!(first(b"equipment:\n  - {<<: {a: b}, id: a, mass: 1 kg}\n"), FaultCode::Merge);
    assert_eq!(first(b"equipment:\n  - {id: !!str a, mass: 1 kg}\n"), FaultCode::Tag);
}

#[test]
fn duplicates_point_at_both() {
    let found = check(b"equipment:\n  - id: a\n    mass: 1 kg\n    mass: 2 kg\n");
    let d = found.iter().next().unwrap();
    assert_eq!(d.code, FaultCode::DuplicateKey);
    let line = |span: kit::TextSpan| found.sources().get(span.source).unwrap().line(span.start);
    assert_eq!(d.primary.as_ref().map(|l| line(l.span)), Some(4));
    assert_eq!(d.labels.iter().map(|l| line(l.span)).collect::<Vec<_>>(), [3]);
    assert_eq!(first(b"equipment: []\nequipment: []\n"), FaultCode::DuplicateKey);
}

#[test]
fn numbers_that_are_none() {
    let item = |fields: &str| first(format!("equipment: [{{id: a, {fields}}}]").as_bytes());
    for mass in
        [".nan", ".inf", "-.inf", "NaN kg", "1e5 kg", "-1 kg", "1_0 kg", "0x10 kg", "'4,2 kg'"]
    {
        assert_eq!(item(&format!("mass: {mass}")), FaultCode::BadQuantity, "{mass}");
    }
    for held in
        [".nan", "1e3", "0x10", "-1", "2.0", "1_000", "99999999999999999999999", "true", "100001"]
    {
        assert_eq!(item(&format!("mass: 1 kg, held: {held}")), FaultCode::BadCount, "{held}");
    }
    assert_eq!(item(&format!("mass: {}1 kg", "0".repeat(1 << 20))), FaultCode::BadQuantity);
    assert_eq!(item(&format!("mass: {} kg", "9".repeat(30))), FaultCode::BadQuantity);
    assert_eq!(item("mass: 200 t"), FaultCode::BadQuantity);
    assert_eq!(item("mass: 4,2 kg"), FaultCode::NoValue);
}

#[test]
fn totals_stay_within_reach() {
    let mut heavy = "equipment:\n".to_string();
    for i in 0..1000 {
        writeln!(heavy, "  - {{id: i{i}, mass: 100 t, held: 100000, bulk: 100000 L}}").unwrap();
    }
    assert_eq!(first(heavy.as_bytes()), FaultCode::TooMuch);
    let cases = |count: u32| {
        let mut text = "equipment:\n".to_string();
        for i in 0..30 {
            let next = i + 1;
            writeln!(text, "  - {{id: i{i}, mass: 1 kg, contents: {{i{next}: {count}}}}}").unwrap();
        }
        text
    };
    assert_eq!(first(cases(100_000).as_bytes()), FaultCode::TooMuch);
    assert!(check(cases(1).as_bytes()).is_empty());
    let mut chain = "equipment:\n".to_string();
    for i in 0..5000 {
        writeln!(chain, "  - {{id: i{i}, mass: 1 kg, contents: {{i{}: 1}}}}", i + 1).unwrap();
    }
    assert_eq!(first(chain.as_bytes()), FaultCode::TooMuch);
    let supply = "move: m\nequipment: [{id: c, mass: 1 kg, held: 100000, contents: {b: 100000}},\
        {id: b, mass: 1 kg, supplies: {power: 90000 kWh}}]\ncarriers: {people: [{id: p, limit: 9 kg}]}\n\
        parties: {x: {travel: foot, who: p}}\n";
    assert_eq!(first(supply.as_bytes()), FaultCode::TooMuch);
    let people: String = (0..1000).map(|i| format!("{{id: p{i}, limit: 9 kg}},")).collect();
    let who: String = (0..1000).map(|i| format!("p{i},")).collect();
    let needs = format!(
        "move: m\nequipment: [{{id: b, mass: 1 kg, supplies: {{power: 1 Wh}}}}]\n\
         carriers: {{people: [{people}]}}\nparties: {{x: {{travel: foot, who: [{who}]}}}}\n\
         needs: {{x: [{{need: n, all: [{}]}}]}}\n",
        "{supply: power, per-person: 100000 kWh},".repeat(100)
    );
    assert_eq!(first(needs.as_bytes()), FaultCode::TooMuch);
    let wants = "move: m\nequipment: [{id: a, mass: 1 kg}, {id: b, mass: 1 kg}]\n\
        carriers: {people: [{id: p, limit: 9 kg}]}\nparties: {x: {travel: foot, who: p}}\n\
        wants: {x: {a: {value: 1000000, up-to: 100000}, b: {value: 1000001, up-to: 1}}}\n";
    assert_eq!(first(wants.as_bytes()), FaultCode::BadCount);
}

#[test]
fn circles_are_pointed_along() {
    let circle = |word: &str| {
        format!(
            "equipment:\n  - {{id: a, mass: 1 kg, {word}: {{b: 1}}}}\n  - {{id: b, mass: 1 kg, {word}: \
             {{c: 1}}}}\n  - {{id: c, mass: 1 kg, {word}: {{a: 1}}}}\n"
        )
    };
    let found = check(circle("contents").as_bytes());
    let d = found.iter().next().unwrap();
    assert_eq!((d.code, d.labels.len()), (FaultCode::ContentsCircle, 2));
    assert_eq!(first(circle("requires").as_bytes()), FaultCode::RequiresCircle);
    assert_eq!(
        first(b"equipment: [{id: a, mass: 1 kg, requires: {a: 1}}]"),
        FaultCode::RequiresCircle
    );
    let mut long = "equipment:\n".to_string();
    for i in 0..10_000 {
        let next = (i + 1) % 10_000;
        writeln!(long, "  - {{id: i{i}, mass: 1 kg, contents: {{i{next}: 1}}}}").unwrap();
    }
    assert_eq!(first(long.as_bytes()), FaultCode::ContentsCircle);
}

/// A megabyte that looks random and is the same every time.
fn junk(from: u8, to: u8) -> Vec<u8> {
    let mut state = 0x2545_F491_4F6C_DD1D_u64;
    let next = |_| {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
        from + (state % (u64::from(to - from) + 1)) as u8
    };
    (0..1 << 20).map(next).collect()
}

#[test]
fn a_megabyte_of_junk() {
    assert_eq!(first(&junk(0, 255)), FaultCode::NotUtf8);
    check(&junk(32, 126));
    check(&junk(b'a', b'z'));
    for piece in [
        "a", "\"", ": ", "? ", "*a ", "- &a b\n", "- !a b\n", "a: b\n", "-\n", "\n", "# ", "[a, ",
        "| ",
    ] {
        let found = check(piece.repeat((1 << 20) / piece.len()).as_bytes());
        assert!(found.errors() > 0, "{piece:?}");
    }
    let wide = format!("equipment: [{}]", "a,".repeat(1 << 18));
    assert_eq!(first(wide.as_bytes()), FaultCode::WrongKind);
    let many = format!("equipment: [{}]", "a,".repeat(1 << 19));
    assert_eq!(first(many.as_bytes()), FaultCode::TooMany);
    let found = check(&b" ".repeat((4 << 20) + 1));
    assert_eq!(found.iter().map(|d| d.code).collect::<Vec<_>>(), [FaultCode::TooLarge]);
}

#[test]
fn many_faults_are_capped_and_counted() {
    let mut text = "equipment:\n".to_string();
    for i in 0..5000 {
        writeln!(text, "  - {{id: item-{i}, mass: 1 kg, requires: {{itm-{i}: 1}}}}").unwrap();
    }
    let found = check(text.as_bytes());
    assert_eq!(found.iter().count(), kit::MOST_FAULTS);
    assert_eq!(found.errors(), 5000);
    assert!(found.render(kit::FaultStyle::Plain).ends_with("and 4950 more errors not shown\n"));
}

#[test]
fn marks_and_line_ends() {
    let found = check("\u{feff}equipment:\r\n  - id: a\r\n    mass: 3\r\n".as_bytes());
    let d = found.iter().next().unwrap();
    assert_eq!((d.code, found.errors()), (FaultCode::BadQuantity, 1));
    let span = d.primary.as_ref().unwrap().span;
    assert_eq!(found.sources().get(span.source).unwrap().line_column(span.start), (3, 11));
    let wide = "equipment: [{id: a, name: Größe, mass: 3}]";
    let found = check(wide.as_bytes());
    let span = found.iter().next().unwrap().primary.as_ref().unwrap().span;
    assert_eq!(found.sources().get(span.source).unwrap().line_column(span.start), (1, 40));
    assert_eq!(first(b"equipment:\r  - id: a\r"), FaultCode::Control);
    assert_eq!(first(b"equipment: [{id: a, name: \x1b[31m}]"), FaultCode::Control);
    assert_eq!(first("equipment: [{id: a, name: \u{202e}x}]".as_bytes()), FaultCode::Control);
    assert_eq!(first(b"equipment: [{id: \"\\e[31m\", mass: \"\\a\"}]"), FaultCode::BadId);
    assert_eq!(first(b"equipment: [{id: a, name: \"a\\nb\", mass: 1 kg}]"), FaultCode::BadName);
    assert_eq!(first(b"equipment: [{id: a, name: caf\xe9}]"), FaultCode::NotUtf8);
    assert_eq!(first(b"\xff\xfee\0q\0"), FaultCode::NotUtf8);
    assert_eq!(first(b"equipment:\n\t- id: a\n"), FaultCode::Syntax);
}

#[test]
fn nothing_at_all() {
    for text in ["", "# only a remark\n", "---\n", "~\n", "   \n\n"] {
        assert_eq!(first(text.as_bytes()), FaultCode::Empty, "{text:?}");
    }
    assert_eq!(first(b"---\nequipment: []\n---\nequipment: []\n"), FaultCode::Documents);
    assert_eq!(first(b"equipment:\n"), FaultCode::NoValue);
    assert_eq!(first(b"equipment:\n  -\n"), FaultCode::NoValue);
    assert_eq!(first(b"equipment: [{id: a, mass: 1 kg, name: ~}]"), FaultCode::NoValue);
    assert_eq!(first(b"- a\n- b\n"), FaultCode::UnknownFile);
    assert_eq!(first(b"equipment: [{[a]: b}]"), FaultCode::OddKey);
    // One reader takes this for a key, another for a word.
    assert_eq!(first(b"goals: [?even]"), FaultCode::OddKey);
}

#[test]
fn folders_and_missing_files() {
    let dir = Folder::new();
    let missing = kit::check(&[dir.path("a\u{1b}b.yaml")]).diagnostics;
    assert!(missing.only_io());
    assert!(missing.to_string().contains("a\\u{1b}b.yaml"), "{missing}");
    let text = "move: m\nequipment: .\ncarriers: ../..\nparties: {a: {travel: foot, who: b}}\n";
    dir.write("m.move.yaml", text);
    let found = kit::read_move(&dir.path("m.move.yaml")).unwrap_err();
    assert!(found.only_io());
    assert_eq!(found.iter().map(|d| d.code).collect::<Vec<_>>(), [FaultCode::IsFolder; 2]);
}

#[test]
fn a_plan_of_another_move_is_a_fault_and_no_panic() {
    use tumpline::load::{Bearer, CarrierIx, ItemIx, Placement, Plan, Way};
    let order = common::random_move::small(3);
    for (item, first) in [(0, 99), (99, 0), (0, usize::MAX)] {
        let (item, first) = (ItemIx(item), CarrierIx(first));
        let one = Bearer::One { carrier: first, way: Way::Back };
        for by in [one, Bearer::Pair { first: CarrierIx(0), second: first }] {
            let plan = Plan::new(vec![Placement { by, item, count: 1 }]);
            let faults = tumpline::split::audit(&order, &plan).faults;
            assert!(faults.contains(&tumpline::split::Fault::Unknown {}), "{faults:?}");
        }
    }
}
