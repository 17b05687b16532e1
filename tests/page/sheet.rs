//! Goldens of the load sheet, and what holds for every one of them.

use crate::fixture;

use crate::markup::{Element, read};
use std::collections::{BTreeMap, BTreeSet};
use tumpline::load::{CarrierIx, MoveOrder, Tolerance, Way};
use tumpline::quantity::{Mass, Percent, Units};
use tumpline::report::CAUTION;
use tumpline::report::sheet::{Look, Paper, Sheet, board, html};
use tumpline::split::{Planned, Stop};

const LOOKS: [Look; 4] = [
    Look { paper: Paper::A4, plain: false },
    Look { paper: Paper::A4, plain: true },
    Look { paper: Paper::Letter, plain: false },
    Look { paper: Paper::Letter, plain: true },
];
const PLAIN: Look = LOOKS[1];

/// Without the scripts, which `tests/browser` and `live_audit.rs` look at.
fn sheet(order: &MoveOrder, planned: &Planned, look: Look) -> String {
    unscripted(&html(&Sheet { order, planned, stopped: None, notes: &[] }, look), look.plain)
}

/// The page without its data, its script, and the policy that lets no other in.
fn unscripted(page: &str, plain: bool) -> String {
    let mut out = String::new();
    let (mut rest, mut scripts) = (page, 0);
    while let Some((before, script)) = rest.split_once("<script") {
        let (own, after) = script.split_once("</script>").expect("its end");
        assert!(
            own.starts_with('>')
                || own.starts_with(" id=\"sheet-data\" type=\"application/json\">")
        );
        out.push_str(before);
        rest = after;
        scripts += 1;
    }
    out.push_str(rest);
    let policy = "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; ";
    assert_eq!((scripts, out.contains(policy)), if plain { (0, false) } else { (2, true) });
    out.replace("http-equiv", "")
}

/// A line for each tag, and without the style.
fn golden(page: &str) -> String {
    let (head, rest) = page.split_once("<style>").expect("a style");
    let rest = rest.split_once("</style>").expect("its end").1;
    format!("{head}{rest}").replace("><", ">\n<")
}

#[test]
fn the_sheet_reads_well() {
    let (order, planned) = (fixture::order(), fixture::planned());
    insta::assert_snapshot!("sheet", golden(&sheet(&order, &planned, PLAIN)));
    let hostile = golden(&sheet(&fixture::hostile_order(), &planned, PLAIN));
    insta::assert_snapshot!("sheet_hostile", hostile);
    let told = Sheet { order: &order, planned: &planned, stopped: None, notes: &[] };
    insta::assert_snapshot!("sheet_board", board(&told).replace("><", ">\n<"));
}

/// All that a person can have: things by every way, a hand each, no store.
fn laden() -> (MoveOrder, Planned) {
    let (order, mut planned) = (fixture::order(), fixture::planned());
    let order = order.changed(|parts| {
        parts.store = None;
        parts.units = Units::Imperial;
        parts.tolerance = Some(Tolerance { share: Percent::from_ppm(50_000), off: Some(1) });
    });
    let order = order.expect("a move");
    let first = &mut planned.findings.carriers[0];
    first.worst = Some(first.load + Mass::from_g(345));
    let mut line = first.lines[0].clone();
    for (way, count) in [(Way::Chest, 1), (Way::Shoulder, 2), (Way::Hand, 1)] {
        line = tumpline::split::Line { way, count, ..line };
        first.lines.push(line.clone());
    }
    let second = &mut planned.findings.carriers[1];
    second.lines.retain(|l| l.way != Way::Pair);
    second.lines.push(tumpline::split::Line { way: Way::Hand, count: 2, ..line });
    second.lines.sort_by_key(|l| (l.way, l.item));
    (order, planned)
}

fn sheets() -> Vec<(MoveOrder, Planned)> {
    let mut many = many();
    many.1.findings.carriers.truncate(40);
    vec![
        (fixture::order(), fixture::planned()),
        (fixture::hostile_order(), fixture::planned()),
        laden(),
        many,
    ]
}

/// Forty people and two hundred items, made of the fixture.
fn many() -> (MoveOrder, Planned) {
    use tumpline::load::Catalogue;
    let (mut parts, mut planned) = (fixture::hostile_order().into_parts(), fixture::planned());
    let old = parts.catalogue.clone();
    let items = (0..200).map(|i| {
        let (_, like) = old.items().nth(i % 6).expect("six items");
        let mut item = like.clone();
        item.id = format!("thing-{i}");
        item.name = format!("{} {i}", like.name);
        item
    });
    let supplies = old.supplies().map(|(_, s)| s.clone()).collect();
    parts.catalogue = Catalogue::new(items.collect(), supplies).expect("a catalogue");
    for c in 4..40 {
        let mut carrier = parts.carriers[c % 2].clone();
        carrier.id = format!("walker-{c}");
        carrier.name = format!("{} {c}", carrier.name);
        parts.carriers.push(carrier);
        parts.parties[0].who.push(CarrierIx(c));
        let mut finding = planned.findings.carriers[c % 2].clone();
        finding.carrier = CarrierIx(c);
        finding.lines.retain(|l| l.with.is_none());
        for line in &mut finding.lines {
            line.item.0 += 6 * (c - 4) % 190;
        }
        finding.lines.sort_by_key(|l| (l.way, l.item));
        planned.findings.carriers.push(finding);
    }
    (MoveOrder::new(parts).expect("a move"), planned)
}

/// Every carrier and every line of it stands on one card, once, with its count,
/// way and mass; masses are what they say.
#[test]
fn every_carrier_and_every_thing_is_on_its_card_once() {
    for (order, planned) in sheets() {
        let page = read(&sheet(&order, &planned, LOOKS[0]));
        let cards = find(&page, "cards");
        for c in &planned.findings.carriers {
            let ix = c.carrier.0.to_string();
            let mine: Vec<&Element> = cards
                .with("data-carrier")
                .into_iter()
                .filter(|e| e.get("data-carrier") == Some(ix.as_str()))
                .collect();
            assert_eq!(mine.len(), 1, "carrier {ix}");
            let rows = mine[0].with("data-item");
            assert_eq!(rows.len(), c.lines.len(), "carrier {ix}");
            for line in &c.lines {
                let row: Vec<_> = rows
                    .iter()
                    .filter(|r| {
                        r.get("data-item") == Some(line.item.0.to_string().as_str())
                            && r.get("data-way") == Some(line.way.word())
                    })
                    .collect();
                assert_eq!(row.len(), 1, "carrier {ix}, item {}", line.item.0);
                let cells = row[0].named("td");
                let count = cells.iter().find(|td| td.has_class("count")).expect("a count");
                assert_eq!(count.text, line.count.to_string());
                let masses = row[0].with("data-mg");
                assert_eq!(masses.len(), 1);
                assert_eq!(masses[0].get("data-mg"), Some(line.mass.mg().to_string().as_str()));
                assert_eq!(row[0].named("input").len(), 2);
            }
            if order.takes_kit(c.carrier) {
                let loads: Vec<_> = mine[0]
                    .all()
                    .into_iter()
                    .filter(|e| e.get("data-is") == Some("load"))
                    .collect();
                assert_eq!(loads.len(), 1);
                assert_eq!(loads[0].get("data-mg"), Some(c.load.mg().to_string().as_str()));
            }
        }
        let left = find(&page, "stays").with("data-item");
        assert_eq!(left.len(), planned.findings.left.len());
        let needs: Vec<_> = page.with("data-need");
        assert_eq!(needs.len(), order.needs().len());
        for e in page.with("data-mg") {
            let mg: u64 = e.get("data-mg").unwrap().parse().unwrap();
            assert_eq!(e.text, Mass::from_mg(mg).rounded(order.units()));
        }
    }
}

fn find<'e>(page: &'e Element, id: &str) -> &'e Element {
    page.all().into_iter().find(|e| e.get("id") == Some(id)).unwrap_or_else(|| panic!("no #{id}"))
}

/// The board has everyone who bears something, in picture and in numbers.
#[test]
fn the_board_has_everybody_who_bears_something() {
    for (order, planned) in sheets() {
        let page = read(&sheet(&order, &planned, PLAIN));
        let told = Sheet { order: &order, planned: &planned, stopped: None, notes: &[] };
        let alone = read(&board(&told));
        let expected: BTreeSet<String> = planned
            .findings
            .carriers
            .iter()
            .filter(|c| order.takes_kit(c.carrier))
            .map(|c| c.carrier.0.to_string())
            .collect();
        let figures: Vec<&Element> =
            page.named("figure").into_iter().flat_map(|f| f.named("g")).collect();
        for rows in [figures, alone.named("g")] {
            let rows: Vec<&str> = rows.iter().filter_map(|g| g.get("data-carrier")).collect();
            assert_eq!(rows.len(), expected.len());
            assert!(rows.iter().all(|r| expected.contains(*r)));
        }
    }
}

/// Nothing is fetched, no id is there twice, and what a label, title or link
/// names is there.
#[test]
fn sheets_stand_alone() {
    for (order, planned) in sheets() {
        for look in LOOKS {
            let text = sheet(&order, &planned, look);
            // The fixture's hostile names hold an address and a script, as text.
            let bare = text.replace("[f](http://g)", "").replace("&lt;script&gt;", "");
            for bad in ["http", "<link", "src=", "<script", "@import", "<img", "<iframe", "style="]
            {
                assert!(!bare.contains(bad), "{bad}");
            }
            let page = read(&text);
            let ids: Vec<&str> = page.all().iter().filter_map(|e| e.get("id")).collect();
            let unique: BTreeSet<&str> = ids.iter().copied().collect();
            assert_eq!(ids.len(), unique.len(), "an id is there twice");
            for e in page.all() {
                let names = e.get("aria-labelledby").unwrap_or("").split_whitespace();
                let link = e.get("href").and_then(|h| h.strip_prefix('#'));
                for name in names.chain(link) {
                    assert!(unique.contains(name), "nothing is called {name}");
                }
                for value in e.attributes.values() {
                    let shade = value.strip_prefix("url(#").and_then(|v| v.strip_suffix(')'));
                    assert!(shade.is_none_or(|s| unique.contains(s)), "{value}");
                }
            }
            let ticks: Vec<&str> =
                page.named("input").iter().filter_map(|e| e.get("data-tick")).collect();
            assert_eq!(ticks.len(), page.named("input").len());
            let unique: BTreeSet<&&str> = ticks.iter().collect();
            assert_eq!(ticks.len(), unique.len(), "a tick is there twice");
            let script = ids.contains(&"by-hand") && ids.contains(&"tools");
            assert_eq!(script, !look.plain);
            let size = if look.paper == Paper::A4 { "size:A4" } else { "size:letter" };
            assert!(text.contains(size));
        }
    }
}

/// What helps those who hear the page or go through it by keys.
#[test]
fn sheets_can_be_heard() {
    for (order, planned) in sheets() {
        let page = read(&sheet(&order, &planned, LOOKS[0]));
        assert_eq!(page.named("html")[0].get("lang"), Some("en"));
        assert_eq!((page.named("main").len(), page.named("h1").len()), (1, 1));
        assert!(page.named("title")[0].text.starts_with("Load sheet: "));
        let mut level = 0;
        for e in page.all() {
            if let Some(n) = e.name.strip_prefix('h').and_then(|n| n.parse::<u32>().ok()) {
                assert!(n <= level + 1, "h{n} after h{level}");
                assert!(!e.text.is_empty());
                level = n;
            }
        }
        for table in page.named("table") {
            assert_eq!(table.named("caption").len(), 1);
            for th in table.named("th") {
                assert!(th.get("scope").is_some(), "{}", th.text);
                assert!(!th.text.is_empty());
            }
        }
        for label in page.named("label") {
            assert_eq!(label.named("input").len(), 1);
            assert!(!label.text.is_empty());
        }
        assert_eq!(page.named("label").len(), page.named("input").len());
        for svg in page.named("svg") {
            let inner = svg.get("x").is_some();
            let image = svg.get("role") == Some("img");
            assert!(image || inner || svg.get("aria-hidden") == Some("true"));
            if image {
                assert!(svg.children[0].name == "title" && svg.children[1].name == "desc");
            }
        }
    }
}

#[test]
fn hostile_names_are_inert() {
    let (order, planned) = (fixture::hostile_order(), fixture::planned());
    let notes = ["<b>a note</b> \u{202e}".to_string()];
    let told = Sheet { order: &order, planned: &planned, stopped: None, notes: &notes };
    let page = html(&told, LOOKS[0]);
    for text in [page.clone(), board(&told)] {
        for c in text.chars() {
            assert!(c == '\n' || !c.is_control(), "{c:?} is let through");
            assert!(!('\u{202a}'..='\u{202e}').contains(&c), "{c:?} is let through");
            assert!(!('\u{2066}'..='\u{2069}').contains(&c), "{c:?} is let through");
        }
    }
    for text in [unscripted(&page, false), board(&told)] {
        let names: BTreeMap<String, usize> =
            read(&text).all().iter().fold(BTreeMap::new(), |mut all, e| {
                *all.entry(e.name.clone()).or_default() += 1;
                all
            });
        assert!(!names.contains_key("script") && !names.contains_key("b"), "{names:?}");
    }
    let name = "a\u{fffe}b\u{ffff}".to_string();
    let odd = fixture::order().changed(|parts| parts.name = name).expect("a move");
    let told = Sheet { order: &odd, planned: &planned, stopped: None, notes: &[] };
    assert!(!board(&told).contains(['\u{fffe}', '\u{ffff}']), "XML does not hold these");
}

#[test]
fn what_must_be_said_is_said() {
    let order = fixture::order();
    let mut planned = fixture::planned();
    let page = sheet(&order, &planned, PLAIN);
    // Once for the leader, and on every card that somebody lifts by.
    assert_eq!(page.matches(CAUTION).count(), 4);
    assert!(page.contains("Good enough as asked") && page.contains("Needs met: 2 of 2."));
    assert!(page.contains("pair with <bdi>Second operator</bdi>"));
    assert!(page.contains("Kept back"));
    assert!(page.contains("What stays with <bdi>road</bdi>"));
    assert!(page.contains("common practice, no source"));
    let told = Sheet {
        order: &order,
        planned: &planned,
        stopped: Some(Stop::Deadline),
        notes: &["As weighed.".into()],
    };
    let page = html(&told, PLAIN);
    assert!(page.contains("stopped for want of time.") && page.contains("<p>As weighed.</p>"));
    // A plan that fails the audit has no sheet; if ever one had, it would say so.
    planned.findings.carriers[0].load = "25 kg".parse().unwrap();
    planned.findings.needs[0].met = false;
    let page = sheet(&order, &planned, PLAIN);
    assert!(page.contains("OVER THE LIMIT by 1.00 kg") && page.contains("NOT MET"));
    let (order, planned) = laden();
    let page = sheet(&order, &planned, PLAIN);
    assert!(page.contains("What is left behind"));
    assert!(page.contains("At worst") && page.contains("if 1 kind weighs 5 % more"));
    for words in ["left hand", "right hand", "one in each hand", "shoulder", "chest", "belt"] {
        assert!(page.contains(words), "{words}");
    }
}

/// Of a pair who walk side by side one has it to the right, one to the left.
#[test]
fn the_cards_of_a_pair_agree() {
    let page = read(&sheet(&fixture::order(), &fixture::planned(), PLAIN));
    let side = |card: &str| {
        let card = find(&page, card);
        let row = card.with("data-item").into_iter().find(|r| r.get("data-way") == Some("pair"));
        row.expect("a pair").text.clone()
    };
    assert!(side("card-0").contains("right hand, pair with Second operator"));
    assert!(side("card-1").contains("left hand, pair with First operator"));
}

/// By hand, with the usual practice of loading a bed (common practice, no
/// source): of 7.065 kg the drum (3.1 kg) and both mast sections (2.3 kg) are
/// the heaviest pieces; the drum alone is less than half.
#[test]
fn the_heaviest_goes_low_and_first() {
    let page = read(&sheet(&fixture::order(), &fixture::planned(), PLAIN));
    let rows = find(&page, "card-3").with("data-item");
    let told: Vec<(&str, bool)> = rows
        .iter()
        .map(|r| (r.get("data-item").unwrap(), r.text.contains("low, forward")))
        .collect();
    assert_eq!(told, [("3", true), ("1", true), ("4", false), ("2", false)]);
}
