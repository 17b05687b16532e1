//! Small stores, and what must be said of them, worked out by hand.

use super::{look, stores};
use serde_json::Value;

/// What is written into the stores file, a sheet of counts, the code, and what
/// the report has to say.
struct Case {
    name: &'static str,
    stores: &'static str,
    count: &'static str,
    code: i32,
    says: &'static [(&'static str, &'static str)],
}

const fn case(
    name: &'static str,
    stores: &'static str,
    count: &'static str,
    code: i32,
    says: &'static [(&'static str, &'static str)],
) -> Case {
    Case { name, stores, count, code, says }
}

const CASES: &[Case] = &[
    // 4 + 2 + 1 + 2 + 1 loose; 0.4 + 6 + 2 + 1 + 0.25 kg. In the bag 2 leads and
    // a pouch, in each of three pouches 3 tapes.
    case(
        "nothing written: as the catalogue",
        "",
        "",
        0,
        &[
            ("in_order", "true"),
            ("lamp.held", "4"),
            ("lamp.written", "false"),
            ("totals.held", "10"),
            ("totals.fit", "10"),
            ("totals.mass_g", "9650"),
            ("totals.packed", "12"),
            ("totals.found", "12"),
            ("lead.in_cases", "2"),
            ("pouch.in_cases", "1"),
        ],
    ),
    case(
        "scale above what is held",
        "scale: {lamp: 6}\n",
        "",
        1,
        &[
            ("lamp.short", "2"),
            ("lamp.short_of_fit", "2"),
            ("lamp.surplus", "0"),
            ("lamp.reconciled", "true"),
            ("totals.scale", "12"),
            ("totals.mass_scale_g", "9850"),
        ],
    ),
    case(
        "scale below what is held is no fault",
        "scale: {lamp: 1}\n",
        "",
        0,
        &[("lamp.surplus", "3"), ("lamp.short", "0"), ("in_order", "true")],
    ),
    case("a scale of nothing", "scale: {lamp: 0}\n", "", 0, &[("lamp.surplus", "4")]),
    case(
        "all four places reconcile",
        "holdings: [{id: lamp, held: 4, shelf: 1, issued: {ann: 1}, unserviceable: 1, on-loan: {club: 1}}]\n",
        "",
        1,
        &[
            ("lamp.reconciled", "true"),
            ("lamp.fit", "2"),
            ("lamp.short", "0"),
            ("lamp.short_of_fit", "2"),
            ("totals.fit", "8"),
            ("totals.mass_fit_g", "9450"),
        ],
    ),
    case(
        "issued things are fit and at hand",
        "holdings: [{id: lamp, held: 4, shelf: 1, issued: {ann: 1, bo: 2}}]\n",
        "",
        0,
        &[("lamp.fit", "4"), ("totals.issued", "3"), ("totals.shelf", "7")],
    ),
    case(
        "one is missing",
        "holdings: [{id: lamp, held: 4, shelf: 3}]\n",
        "",
        1,
        &[
            ("lamp.reconciled", "false"),
            ("lamp.missing", "1"),
            ("lamp.excess", "0"),
            // Nobody counts on what is missing.
            ("lamp.fit", "3"),
            ("lamp.short", "0"),
            ("lamp.short_of_fit", "1"),
        ],
    ),
    case(
        "one too many",
        "holdings: [{id: lamp, held: 4, shelf: 5}]\n",
        "",
        1,
        &[
            ("lamp.reconciled", "false"),
            ("lamp.missing", "0"),
            ("lamp.excess", "1"),
            // What is not on charge is not counted on.
            ("lamp.fit", "4"),
            ("lamp.short_of_fit", "0"),
        ],
    ),
    case(
        "more unfit than held",
        "holdings: [{id: lamp, held: 2, shelf: 0, unserviceable: 3}]\n",
        "",
        1,
        &[("lamp.fit", "0"), ("lamp.excess", "1"), ("lamp.short", "2"), ("lamp.short_of_fit", "4")],
    ),
    case(
        "held is the catalogue's if not said",
        "holdings: [{id: lamp, shelf: 4}]\n",
        "",
        0,
        &[("lamp.held", "4"), ("lamp.written", "true")],
    ),
    case(
        "more held than the catalogue says",
        "holdings: [{id: rope, held: 3, shelf: 3}]\n",
        "",
        0,
        &[("rope.surplus", "1"), ("rope.mass_g", "9000"), ("totals.mass_g", "12650")],
    ),
    case(
        "none left",
        "holdings: [{id: rope, held: 0, shelf: 0}]\n",
        "",
        1,
        &[("rope.short", "2"), ("rope.mass_g", "0")],
    ),
    case(
        "a case that lacks something",
        "cases: [{case: bag, found: {lead: 1}}]\n",
        "",
        1,
        &[
            ("bag 1.short", "1"),
            ("bag 1:lead.short", "1"),
            ("bag 1.mass_short_g", "250"),
            ("bag 1.mass_g", "2000"),
            ("lead.in_cases", "1"),
            ("totals.found", "11"),
            ("totals.packed", "12"),
            ("in_order", "false"),
        ],
    ),
    case(
        "a case with more than is packed",
        "cases: [{case: bag, found: {lead: 3}}]\n",
        "",
        0,
        &[("bag 1.surplus", "1"), ("bag 1.mass_over_g", "250"), ("in_order", "true")],
    ),
    case(
        "something that is not of the case",
        "cases: [{case: bag, found: {rope: 1}}]\n",
        "",
        0,
        &[
            ("bag 1:rope.scale", "0"),
            ("bag 1:rope.surplus", "1"),
            ("rope.in_cases", "1"),
            ("bag 1.mass_over_g", "3000"),
        ],
    ),
    case(
        "the second of two cases",
        "cases: [{case: pouch 2, found: {tape: 1}}]\n",
        "",
        1,
        &[("pouch 1.short", "0"), ("pouch 2.short", "2"), ("bag 1 / pouch 1.short", "0")],
    ),
    case(
        "a case inside another",
        "cases: [{case: bag 1 / pouch 1, found: {tape: 0}}]\n",
        "",
        1,
        &[("bag 1 / pouch 1.short", "3"), ("bag 1.short", "0"), ("pouch 1.short", "0")],
    ),
    case(
        "the number may be left out of the only one",
        "cases: [{case: bag / pouch, found: {tape: 2}}]\n",
        "",
        1,
        &[("bag 1 / pouch 1.short", "1")],
    ),
    case(
        "an inner case is missing, and what was in it",
        "cases: [{case: bag, found: {pouch: 0}}]\n",
        "",
        1,
        &[
            ("bag 1:pouch.short", "1"),
            ("bag 1.mass_short_g", "500"),
            // Its three tapes are not told again: there is no such case to look into.
            ("totals.packed", "9"),
            ("totals.found", "8"),
        ],
    ),
    case(
        "a third case on charge",
        "holdings: [{id: pouch, held: 3, shelf: 3}]\n",
        "",
        0,
        &[("pouch 3.short", "0"), ("totals.packed", "15")],
    ),
    // Counts.
    case(
        "counted as recorded",
        "",
        "item,counted\nlamp,4\nrope,2\n",
        0,
        &[("count.things", "2"), ("count.differences", "[]")],
    ),
    case(
        "fewer counted",
        "",
        "item,counted\nlamp,3\n",
        1,
        &[("lamp.shelf", "3"), ("lamp.held", "4"), ("lamp.missing", "1"), ("lamp.written", "true")],
    ),
    case(
        "the count settles what was missing",
        "holdings: [{id: lamp, held: 4, shelf: 2}]\n",
        "item,counted\nlamp,4\n",
        0,
        &[("lamp.reconciled", "true")],
    ),
    case(
        "a blank row was not counted",
        "",
        "item,counted\nlamp,\nrope,2\n",
        0,
        &[("count.things", "1"), ("count.blank", "1"), ("lamp.shelf", "4")],
    ),
    case(
        "nothing there is not the same as blank",
        "",
        "item,counted\nlamp,0\n",
        1,
        &[("lamp.missing", "4")],
    ),
    case(
        "where it is",
        "holdings: [{id: lamp, held: 4, shelf: 2, issued: {ann: 2}}]\n",
        "item,where,to,counted\nlamp,issued,ann,1\nlamp,unserviceable,,1\n",
        1,
        &[
            ("lamp.reconciled", "true"),
            ("lamp.unserviceable", "1"),
            ("lamp.fit", "3"),
            ("lamp.short_of_fit", "1"),
        ],
    ),
    case(
        "who has it need not be said if one has",
        "holdings: [{id: lamp, held: 4, shelf: 2, on-loan: {club: 2}}]\n",
        "item,where,counted\nlamp,on loan,0\nlamp,shelf,4\n",
        0,
        &[("lamp.shelf", "4"), ("lamp.fit", "4")],
    ),
    case(
        "names, capitals, semicolons, a mark, blank lines",
        "",
        "\u{feff}ITEM ; Counted By;COUNT\r\n\r\nLamp;Mo;3\r\n;;\r\n\"rope\";Mo;\"2\"\r\n",
        1,
        &[("lamp.shelf", "3"), ("rope.shelf", "2"), ("count.things", "2")],
    ),
    case(
        "a content that was counted",
        "",
        "item,case,counted\ntape,bag / pouch,2\nlead,Bag,2\n",
        1,
        &[("bag 1 / pouch 1.short", "1"), ("bag 1.short", "0"), ("count.things", "2")],
    ),
    case(
        "a second pouch in the bag, and what is in it",
        "",
        "item,case,counted\ntape,bag 1 / pouch 2,1\npouch,bag,2\n",
        1,
        &[("bag 1.surplus", "1"), ("bag 1 / pouch 2.short", "2"), ("bag 1 / pouch 1.short", "0")],
    ),
    case(
        "what is in a case and what is loose are two things",
        "",
        "item,case,counted\nlead,,0\nlead,bag,2\n",
        1,
        &[("lead.missing", "1"), ("lead.in_cases", "2"), ("bag 1.short", "0")],
    ),
    case(
        "a note and a name with a comma in them",
        "",
        "item,counted,by,note\nlamp,3,\"Mo, the driver\",\"one is \"\"lent\"\"\"\n",
        1,
        &[("lamp.missing", "1")],
    ),
    case(
        "columns by tabs, in another order",
        "",
        "counted\titem\n1\trope\n",
        1,
        &[("rope.missing", "1")],
    ),
];

#[test]
fn every_case_is_as_worked_out_by_hand() {
    assert!(CASES.len() >= 30);
    for case in CASES {
        let folder = stores(case.stores);
        let mut args = vec![];
        if !case.count.is_empty() {
            folder.write("count.csv", case.count);
            args.extend(["--count", "@count.csv"]);
        }
        let doc = folder.mustered(&args);
        for (path, value) in case.says {
            let value: Value = serde_json::from_str(value).unwrap();
            assert_eq!(look(&doc, path), &value, "{}: {path}", case.name);
        }
        let done = folder.muster(&args);
        assert_eq!(done.code, case.code, "{}: {}{}", case.name, done.out, done.err);
        assert_eq!(done.err, "", "{}", case.name);
        // In words too, and not by colour alone.
        let bad = doc["in_order"] == false;
        assert_eq!(done.out.contains("NOT IN ORDER"), bad, "{}", done.out);
    }
}

/// Every form of the report is as the schema or its header says, and no line
/// of a table is wider than asked.
#[test]
fn every_form_holds_to_its_rules() {
    let schema: Value = serde_json::from_str(&tumpline::report::muster_schema()).unwrap();
    let validator = jsonschema::draft7::new(&schema).unwrap();
    for case in CASES {
        let folder = stores(case.stores);
        let mut args = vec![];
        if !case.count.is_empty() {
            folder.write("count.csv", case.count);
            args.extend(["--count", "@count.csv"]);
        }
        let faults: Vec<String> =
            validator.iter_errors(&folder.mustered(&args)).map(|e| e.to_string()).collect();
        assert!(faults.is_empty(), "{}: {faults:?}", case.name);
        for width in ["60", "80", "120"] {
            let done = folder.muster(&[&args[..], &["--width", width]].concat());
            let most: usize = width.parse().unwrap();
            let wide = done.out.lines().find(|l| l.chars().count() > most);
            assert_eq!(wide, None, "{}", case.name);
        }
        let csv = folder.muster(&[&args[..], &["--format", "csv"]].concat()).out;
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        let rows: Vec<csv::StringRecord> = reader.records().map(|r| r.unwrap()).collect();
        let header = reader.headers().unwrap().clone();
        let sum = |column: &str| -> u64 {
            let at = header.iter().position(|h| h == column).unwrap();
            rows.iter().filter_map(|r| r.get(at)?.parse::<u64>().ok()).sum()
        };
        let doc = folder.mustered(&args);
        assert_eq!(sum("held"), doc["totals"]["held"].as_u64().unwrap(), "{}", case.name);
        assert_eq!(sum("found"), doc["totals"]["found"].as_u64().unwrap(), "{}", case.name);
    }
}
