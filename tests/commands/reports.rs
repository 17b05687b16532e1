//! Goldens of the reports, and what holds for every one of them.

use crate::fixture;

use tumpline::load::GoalValue;
use tumpline::report::{CAUTION, Format, More, Style, render_with};
use tumpline::report::{compare_schema, plan_schema, render, shed_schema};
use tumpline::split::{Answer, Outcome};
use unicode_width::UnicodeWidthStr;

const FORMATS: [Format; 4] = [Format::Table, Format::Json, Format::Csv, Format::Markdown];

fn table(answer: &Answer, style: Style) -> String {
    render(&fixture::order(), answer, Format::Table, &style)
}

#[test]
fn tables_read_well() {
    let wide = Style { width: 120, ..Style::default() };
    let ascii = Style { unicode: false, ..Style::default() };
    let colour = Style { colour: true, ..Style::default() };
    insta::assert_snapshot!("table_80", table(&fixture::with_plan(), Style::default()));
    insta::assert_snapshot!("table_120", table(&fixture::with_plan(), wide));
    insta::assert_snapshot!("table_ascii", table(&fixture::with_plan(), ascii));
    insta::assert_snapshot!(
        "table_colour",
        table(&fixture::with_plan(), colour).replace('\u{1b}', "ESC")
    );
    insta::assert_snapshot!("table_proven", table(&fixture::proven(), Style::default()));
    insta::assert_snapshot!("table_feasible", table(&fixture::feasible(), Style::default()));
    insta::assert_snapshot!("table_no_plan", table(&fixture::no_plan(), Style::default()));
    insta::assert_snapshot!("table_none_found", table(&fixture::none_found(), Style::default()));
    let hostile =
        render(&fixture::hostile_order(), &fixture::with_plan(), Format::Table, &Style::default());
    insta::assert_snapshot!("table_hostile", hostile);
}

/// A tolerance, who takes over and the prices, in every form that tells them.
#[test]
fn conditions_read_well() {
    let (order, answer, prices, survival) = fixture::under_conditions(fixture::order());
    let more = More { prices: &prices, survival: Some(&survival), ..More::default() };
    let show = |format| render_with(&order, &answer, &more, format, &Style::default());
    let tail = |text: String, from: &str| text[text.find(from).expect(from)..].to_string();
    insta::assert_snapshot!("table_conditions", show(Format::Table));
    insta::assert_snapshot!("markdown_conditions", show(Format::Markdown));
    insta::assert_snapshot!("json_conditions", tail(show(Format::Json), "\"tolerance\""));
}

#[test]
fn conditions_are_inert_and_keep_their_width_and_schema() {
    let schema = serde_json::from_str(&plan_schema()).unwrap();
    let validator = jsonschema::draft7::new(&schema).unwrap();
    for order in [fixture::order(), fixture::hostile_order()] {
        let (order, answer, prices, survival) = fixture::under_conditions(order);
        let more = More { prices: &prices, survival: Some(&survival), ..More::default() };
        for width in [60, 80, 120] {
            let style = Style { width, ..Style::default() };
            for line in render_with(&order, &answer, &more, Format::Table, &style).lines() {
                assert!(line.width() <= width, "{} of {width}: {line}", line.width());
                assert_eq!(line.trim_end(), line);
            }
        }
        let show = |format| render_with(&order, &answer, &more, format, &Style::default());
        for format in FORMATS {
            for c in show(format).chars() {
                let line_end = c == '\n' || c == '\r' && format == Format::Csv;
                assert!(line_end || !c.is_control(), "{format:?} lets {c:?} through");
            }
        }
        let json: serde_json::Value = serde_json::from_str(&show(Format::Json)).unwrap();
        let faults: Vec<String> = validator.iter_errors(&json).map(|e| e.to_string()).collect();
        assert!(faults.is_empty(), "{faults:#?}");
    }
}

#[test]
fn other_formats_read_well() {
    let style = Style::default();
    let order = fixture::order();
    for (name, format) in
        [("json", Format::Json), ("csv", Format::Csv), ("markdown", Format::Markdown)]
    {
        insta::assert_snapshot!(name, render(&order, &fixture::with_plan(), format, &style));
    }
    insta::assert_snapshot!(
        "markdown_no_plan",
        render(&order, &fixture::no_plan(), Format::Markdown, &style)
    );
    insta::assert_snapshot!(
        "markdown_hostile",
        render(&fixture::hostile_order(), &fixture::with_plan(), Format::Markdown, &style)
    );
    insta::assert_snapshot!(
        "csv_hostile",
        render(&fixture::hostile_order(), &fixture::with_plan(), Format::Csv, &style)
    );
}

fn answers() -> [Answer; 5] {
    [
        fixture::with_plan(),
        fixture::proven(),
        fixture::feasible(),
        fixture::no_plan(),
        fixture::none_found(),
    ]
}

#[test]
fn no_line_of_a_table_is_wider_than_the_terminal() {
    for order in [fixture::order(), fixture::hostile_order()] {
        for answer in answers() {
            for width in [60, 80, 81, 100, 120, 200] {
                for unicode in [true, false] {
                    let style = Style { width, unicode, colour: false };
                    for line in render(&order, &answer, Format::Table, &style).lines() {
                        assert!(
                            line.width() <= width.min(120),
                            "{} of {width}: {line}",
                            line.width()
                        );
                        assert_eq!(line.trim_end(), line);
                    }
                }
            }
        }
    }
}

#[test]
fn colour_only_adds_colour() {
    for answer in answers() {
        let plain = table(&answer, Style::default());
        let colour = table(&answer, Style { colour: true, ..Style::default() });
        assert_eq!(anstream::adapter::strip_str(&colour).to_string(), plain);
    }
}

#[test]
fn ascii_bars_leave_nothing_else_behind() {
    let ascii = Style { unicode: false, ..Style::default() };
    let text = table(&fixture::with_plan(), ascii).replace("3 × 4 m", "");
    assert!(text.is_ascii(), "{text}");
}

#[test]
fn hostile_names_are_inert_in_every_format() {
    let order = fixture::hostile_order();
    for format in FORMATS {
        let text = render(&order, &fixture::with_plan(), format, &Style::default());
        for c in text.chars() {
            let line_end = c == '\n' || c == '\r' && format == Format::Csv;
            assert!(line_end || !c.is_control(), "{format:?} lets {c:?} through");
            assert!(!('\u{202a}'..='\u{202e}').contains(&c), "{format:?} lets {c:?} through");
            assert!(!('\u{2066}'..='\u{2069}').contains(&c), "{format:?} lets {c:?} through");
        }
    }
    let markdown = render(&order, &fixture::with_plan(), Format::Markdown, &Style::default());
    for (at, c) in markdown.match_indices(['<', '[', '`', '*', '_']) {
        assert!(markdown[..at].ends_with('\\'), "`{c}` is let through at {at}");
    }
}

#[test]
fn no_csv_cell_is_a_formula() {
    for order in [fixture::order(), fixture::hostile_order()] {
        let text = render(&order, &fixture::with_plan(), Format::Csv, &Style::default());
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let rows: Vec<_> = reader.records().map(|r| r.unwrap()).collect();
        assert_eq!(rows.len(), 11, "a row for each carrier, item and way");
        for cell in rows.iter().flatten() {
            assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r']), "{cell}");
        }
    }
}

/// The columns of a Markdown table stay as many as its head has.
#[test]
fn hostile_names_break_no_markdown_table() {
    let text = render(
        &fixture::hostile_order(),
        &fixture::with_plan(),
        Format::Markdown,
        &Style::default(),
    );
    let pipes = |line: &str| line.replace("\\\\", "").replace("\\|", "").matches('|').count();
    let mut head = None;
    for line in text.lines() {
        if line.starts_with('|') {
            assert_eq!(*head.get_or_insert(pipes(line)), pipes(line), "{line}");
        } else {
            head = None;
        }
    }
}

#[test]
fn every_json_answer_keeps_to_the_schema() {
    let schema = serde_json::from_str(&plan_schema()).unwrap();
    let validator = jsonschema::draft7::new(&schema).unwrap();
    for order in [fixture::order(), fixture::hostile_order()] {
        for answer in answers() {
            let text = render(&order, &answer, Format::Json, &Style::default());
            let json: serde_json::Value = serde_json::from_str(&text).unwrap();
            let faults: Vec<String> = validator
                .iter_errors(&json)
                .map(|e| format!("{}: {e}", e.instance_path()))
                .collect();
            assert!(faults.is_empty(), "{faults:#?}");
            assert_eq!(json["move"], order.name(), "names come back as they were");
        }
    }
    let mut json: serde_json::Value = serde_json::from_str(&render(
        &fixture::order(),
        &fixture::proven(),
        Format::Json,
        &Style::default(),
    ))
    .unwrap();
    json["status"] = "perhaps".into();
    assert!(!validator.is_valid(&json), "the schema lets anything through");
}

#[test]
fn the_committed_schema_is_the_one_in_use() {
    let all = [("plan", plan_schema()), ("shed", shed_schema()), ("compare", compare_schema())];
    for (kind, schema) in all {
        let path = format!("{}/kits/schema/{kind}.schema.json", env!("CARGO_MANIFEST_DIR"));
        if std::env::var_os("TUMPLINE_WRITE_SCHEMAS").is_some() {
            std::fs::write(&path, &schema).unwrap();
        }
        let committed = std::fs::read_to_string(&path).unwrap();
        assert_eq!(committed, schema, "run with TUMPLINE_WRITE_SCHEMAS=1 and commit");
    }
}

#[test]
fn a_plan_never_goes_without_the_caution() {
    let words: String = CAUTION.split_whitespace().collect();
    for format in [Format::Table, Format::Json, Format::Markdown] {
        let text = render(&fixture::order(), &fixture::with_plan(), format, &Style::default());
        let text: String = text.split_whitespace().collect();
        assert!(text.contains(&words), "{format:?}");
    }
}

#[test]
fn over_a_limit_is_said_in_words() {
    let mut planned = fixture::planned();
    planned.findings.carriers[0].load = "25 kg".parse().unwrap();
    planned.findings.carriers[1].load = "22 kg".parse().unwrap();
    planned.findings.needs[0].met = false;
    let answer = fixture::answer(Outcome::Plan(Box::new(planned)), None);
    for format in [Format::Table, Format::Markdown] {
        let text = render(&fixture::order(), &answer, format, &Style::default());
        assert!(text.contains("OVER THE LIMIT by 1.00 kg"), "{text}");
        assert!(text.contains("INTO THE RESERVE by 0.50 kg"), "{text}");
        assert!(text.contains("NOT MET"), "{text}");
        assert!(!text.contains("No limit is passed"), "{text}");
    }
}

/// What a goal gave up for later ones is told with what it had reached.
#[test]
fn a_goal_that_gave_way_says_so() {
    let mut planned = fixture::planned();
    planned.goals[1].bound = GoalValue::Mass("26 kg".parse().unwrap());
    planned.goals[1].reached = planned.goals[1].bound;
    let answer = fixture::answer(Outcome::Plan(Box::new(planned)), None);
    let show = |format| render(&fixture::order(), &answer, format, &Style::default());
    assert!(show(Format::Table).contains("26.67 kg  best possible"));
    for format in [Format::Table, Format::Markdown] {
        assert!(show(format).contains("had reached 26.00 kg, then gave way"), "{format:?}");
        assert!(show(format).contains("`lightest` gave way, as the move allows."), "{format:?}");
    }
    let json: serde_json::Value = serde_json::from_str(&show(Format::Json)).unwrap();
    assert_eq!(
        (&json["goals"][1]["reached"], &json["goals"][1]["value"]),
        (&26000.into(), &26665.into())
    );
    // Bettered by a later goal: nothing was given.
    let mut planned = fixture::planned();
    planned.goals[1].reached = GoalValue::Mass("27 kg".parse().unwrap());
    let answer = fixture::answer(Outcome::Plan(Box::new(planned)), None);
    assert!(!render(&fixture::order(), &answer, Format::Table, &Style::default()).contains("gave"));
}

/// Without a store, what is not taken is left behind, and every format says so.
#[test]
fn without_a_store_the_rest_is_left() {
    let order = fixture::order().changed(|parts| parts.store = None).expect("a move");
    let show = |format| render(&order, &fixture::with_plan(), format, &Style::default());
    assert!(show(Format::Table).contains("Left behind"));
    assert!(show(Format::Markdown).contains("## Left behind"));
    assert!(show(Format::Csv).contains("left,,,,mast-section,\"Mast section, aluminium\",2,,,"));
    let json: serde_json::Value = serde_json::from_str(&show(Format::Json)).unwrap();
    assert!(json["left"][0]["where"].is_null());
}

/// Prints the fixture for the eye: `cargo test --test commands reports:: -- --ignored --nocapture`.
#[test]
#[ignore = "to be looked at, in a terminal"]
fn show() {
    let width = std::env::var("COLUMNS").ok().and_then(|w| w.parse().ok()).unwrap_or(80);
    let style = Style { width, colour: true, unicode: true };
    for answer in answers() {
        println!("{}", table(&answer, style));
    }
}
