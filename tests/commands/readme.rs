//! The README, that of the kits and the pages of the guide tell the truth: their
//! output is what the commands print, they explain every key and name every
//! command, and their links lead somewhere.
//!
//! To write the output anew after a change of the reports or the optimiser:
//! `TUMPLINE_WRITE_README=1 cargo test --test commands readme::`.

use crate::common::folder::{Folder, tumpline};
use serde_json::Value;
use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};

/// A block with a command and what it prints begins so; `(code 1)` may follow.
const START: &str = "\n```console";
const END: &str = "```\n";

fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(name)
}

fn text(name: &str) -> String {
    fs::read_to_string(path(name)).unwrap_or_else(|e| panic!("{name}: {e}"))
}

/// The files of a folder that end in `.md`, by their path in the project.
fn pages_in(folder: &str) -> Vec<String> {
    let files = fs::read_dir(path(folder)).unwrap().map(|e| e.unwrap().file_name());
    let names = files.map(|n| format!("{folder}/{}", n.to_str().unwrap()));
    let mut names: Vec<_> = names.filter(|n| n.ends_with(".md")).collect();
    names.sort();
    names
}

/// The README, that of the kits and the pages of the guide.
fn pages() -> Vec<String> {
    let mut pages = vec!["README.md".to_string(), "kits/README.md".to_string()];
    pages.extend(pages_in("src/cli/guide"));
    assert!(pages.len() > 15, "{pages:?}");
    pages
}

fn printed<A: AsRef<OsStr>>(args: &[A], code: i32) -> String {
    tumpline(args).code(code).err("").out
}

/// What `tumpline ARGS --help` prints.
fn help(args: &[&str]) -> String {
    printed(&[args, &["--help"]].concat(), 0)
}

/// The names of all commands.
fn commands() -> BTreeSet<String> {
    let help = help(&[]);
    let (_, list) = help.split_once("Commands:\n").unwrap();
    let (list, _) = list.split_once("\n\n").unwrap();
    let names = list.lines().filter(|l| l.starts_with("  ") && !l.starts_with("   "));
    let names = names.filter_map(|l| l.split_whitespace().next()).map(str::to_string);
    names.filter(|name| name != "help").collect()
}

#[test]
fn the_output_shown_is_what_the_commands_print() {
    let write = std::env::var_os("TUMPLINE_WRITE_README").is_some();
    let (mut stale, mut shown_at_all) = (Vec::new(), 0);
    for page in pages() {
        let text = text(&page);
        let (mut fresh, mut rest) = (String::new(), text.as_str());
        while let Some((before, block)) = rest.split_once(START) {
            let (code, block) = block.split_once('\n').expect("what stands in the block");
            let (block, after) = block.split_once(END).expect("its end");
            // A line that goes on ends in a backslash.
            let lines = block.split_inclusive('\n').take_while(|l| l.ends_with("\\\n")).count() + 1;
            let command: String = block.split_inclusive('\n').take(lines).collect();
            let args = shell_words::split(&command).expect("a command line");
            assert_eq!(args[..2], ["$", "tumpline"], "{page}: {command}");
            let code_told = code.trim_matches([' ', '(', ')']).strip_prefix("code ");
            let printed = printed(&args[2..], code_told.map_or(0, |c| c.parse().unwrap()));
            if block[command.len()..] != printed {
                stale.push(format!("{page}: {command}{printed}"));
            }
            fresh.push_str(&format!("{before}{START}{code}\n{command}{printed}{END}"));
            rest = after;
            shown_at_all += 1;
        }
        fresh.push_str(rest);
        if write && fresh != text {
            fs::write(path(&page), fresh).unwrap();
        }
    }
    assert!(shown_at_all >= 15, "{shown_at_all}");
    let told = stale.join("\n");
    assert!(write || stale.is_empty(), "stale, see the top of this file; printed:\n{told}");
}

#[test]
fn every_key_is_explained() {
    for kind in ["equipment", "carriers", "move", "weighed", "stores"] {
        all_told(kind, &text("kits/README.md"));
    }
    let json = text("src/cli/guide/json.md");
    let section = |title: &str| {
        let (_, section) = json.split_once(&format!("\n## {title}\n")).unwrap();
        section.split_once("\n## ").map_or(section, |(section, _)| section)
    };
    // What is alike in several is told of the plan.
    let plan = section("A plan");
    all_told("plan", plan);
    for kind in ["Why", "Shed", "Compare", "Muster"] {
        all_told(&kind.to_lowercase(), &format!("{plan}{}", section(kind)));
    }
}

fn all_told(kind: &str, page: &str) {
    let told = words(page);
    let schema = text(&format!("kits/schema/{kind}.schema.json"));
    let mut keys = BTreeSet::new();
    collect(&serde_json::from_str(&schema).unwrap(), &mut keys);
    assert!(keys.len() > 2, "{kind}: {keys:?}");
    let missing: Vec<_> = keys.iter().filter(|k| !told.contains(k.as_str())).collect();
    assert!(missing.is_empty(), "{kind}: no page explains {missing:?}");
}

/// The text between backticks, fenced blocks left out.
fn spans(text: &str) -> impl Iterator<Item = &str> {
    let prose = text.split("```").step_by(2);
    prose.flat_map(|p| p.split('`').skip(1).step_by(2))
}

/// The words in code spans.
fn words(text: &str) -> BTreeSet<&str> {
    let word = |c: char| !c.is_ascii_alphanumeric() && c != '-' && c != '_';
    spans(text).flat_map(|s| s.split(word)).filter(|w| !w.is_empty()).collect()
}

/// The names of all properties, at any depth.
fn collect(schema: &Value, keys: &mut BTreeSet<String>) {
    match schema {
        Value::Object(object) => {
            for (name, value) in object {
                if let ("properties", Some(fields)) = (name.as_str(), value.as_object()) {
                    keys.extend(fields.keys().cloned());
                }
                collect(value, keys);
            }
        }
        Value::Array(list) => list.iter().for_each(|v| collect(v, keys)),
        _ => {}
    }
}

#[test]
fn the_readme_is_short_and_its_table_has_every_command() {
    let readme = text("README.md");
    assert!(readme.lines().count() <= 250, "{} lines", readme.lines().count());
    let rows = readme.lines().filter_map(|l| l.strip_prefix("| `tumpline "));
    let named: BTreeSet<String> =
        rows.map(|r| r.split([' ', '`']).next().unwrap().to_string()).collect();
    assert_eq!(named, commands());
}

/// What stands in code spans and is to be typed can be: the command exists, and so
/// does each option.
#[test]
fn what_is_to_be_typed_exists() {
    let commands = commands();
    let helps: Vec<(&str, String)> = commands.iter().map(|c| (c.as_str(), help(&[c]))).collect();
    let known = |option: &str, of: Option<&str>| {
        let of = helps.iter().filter(|(c, _)| of.is_none_or(|name| name == *c));
        let ends = |at: usize, help: &str| !help[at..].starts_with(|c: char| c.is_alphanumeric());
        of.into_iter().any(|(_, help)| {
            help.match_indices(option).any(|(at, _)| ends(at + option.len(), help))
        })
    };
    for page in pages() {
        let text = text(&page);
        let fenced = text.split("```").skip(1).step_by(2);
        // Of other programs: `cargo build --features highs`.
        let lines = fenced.flat_map(str::lines).map(|l| l.strip_prefix("$ ").unwrap_or(l));
        let lines = lines.filter(|l| l.starts_with("tumpline "));
        for typed in spans(&text).chain(lines).filter(|t| !t.starts_with("cargo ")) {
            let mut words = typed.split_whitespace().peekable();
            let of = words.next_if_eq(&"tumpline").and_then(|_| words.next());
            if let Some(of) = of.filter(|of| of.starts_with(|c: char| c.is_lowercase())) {
                assert!(commands.contains(of), "{page}: `{typed}`");
            }
            let of = of.filter(|of| commands.contains(*of));
            for option in words.chain(of.is_none().then_some(typed)).filter(|w| w.starts_with("--"))
            {
                let option = option.split([' ', '=']).next().unwrap();
                assert!(option == "--" || known(option, of), "{page}: `{typed}`");
            }
        }
    }
}

/// Anchors as code forges make them of headings.
fn anchors(page: &str) -> BTreeSet<String> {
    let mut inside = false;
    let headings = page.lines().filter(|line| {
        inside ^= line.starts_with("```");
        !inside && line.starts_with('#')
    });
    let kept = |c: &char| c.is_alphanumeric() || matches!(c, '-' | '_' | ' ');
    let slug = |h: &str| h.trim_start_matches('#').trim().chars().filter(kept).collect::<String>();
    headings.map(|h| slug(h).to_lowercase().replace(' ', "-")).collect()
}

#[test]
fn every_link_leads_somewhere() {
    let mut all = pages();
    all.extend(["DEVELOPERS.md".to_string(), "CHANGELOG.md".to_string()]);
    let kits = fs::read_dir(path("kits")).unwrap().map(|e| e.unwrap().path().join("README.md"));
    let kits = kits.filter(|p| p.is_file()).map(|p| p.to_str().unwrap().to_string());
    all.extend(kits);
    let mut links = 0;
    for page in all {
        let text = text(&page);
        let folder = path(&page).parent().unwrap().to_path_buf();
        let prose: String = text.split("```").step_by(2).collect();
        for (before, after) in prose.split("](").zip(prose.split("](").skip(1)) {
            let (target, _) = after.split_once(')').unwrap();
            let Some((_, name)) = before.rsplit_once('[') else { continue };
            if target.starts_with("https://") {
                continue;
            }
            links += 1;
            let (file, anchor) = target.split_once('#').unwrap_or((target, ""));
            let file = if file.is_empty() { path(&page) } else { folder.join(file) };
            let file = file.canonicalize().unwrap_or_else(|e| panic!("{page}: {target}: {e}"));
            if !anchor.is_empty() {
                let there = anchors(&fs::read_to_string(&file).unwrap());
                assert!(there.contains(anchor), "{page}: {target}: {there:?}");
            }
            // On a terminal the name is all there is of a link to a page.
            let topic = match file.strip_prefix(path("").canonicalize().unwrap()).unwrap() {
                p if p == Path::new("kits/README.md") => "files",
                p if p.starts_with("src/cli/guide") => p.file_stem().unwrap().to_str().unwrap(),
                _ => continue,
            };
            assert_eq!(name, format!("`tumpline guide {topic}`"), "{page}: {target}");
        }
    }
    assert!(links > 60, "{links}");
}

#[test]
fn every_page_has_its_topic_and_the_readme_leads_to_it() {
    let readme = text("README.md");
    for page in pages_in("src/cli/guide").into_iter().chain(["kits/README.md".to_string()]) {
        let topic = Path::new(&page).file_stem().unwrap().to_str().unwrap();
        let topic = if topic == "README" { "files" } else { topic };
        let shown = printed(&["guide", topic], 0);
        let title = text(&page).lines().next().unwrap().trim_start_matches("# ").to_string();
        assert_eq!(shown.lines().next(), Some(title.as_str()), "{page}");
        assert!(readme.contains(&format!("`tumpline guide {topic}`")), "{page}");
    }
}

/// "How do I say …?": each row, put where it says it belongs, reads, and the plan
/// does what the row says.
#[test]
fn what_the_readme_says_how_to_say_means_that() {
    let readme = text("README.md");
    let (_, table) = readme.split_once("| to say | under | write |\n|---|---|---|\n").unwrap();
    let (table, _) = table.split_once("\n\n").unwrap();
    let rows: Vec<(&str, &str)> = table
        .lines()
        .map(|row| {
            let cells: Vec<&str> = row.trim_matches('|').split('|').map(str::trim).collect();
            (cells[1].trim_matches('`'), cells[2].trim_matches('`'))
        })
        .collect();
    assert_eq!(rows.len(), 10);
    let under = |part: &str| -> String {
        let of = rows.iter().filter(|(under, _)| *under == part);
        of.map(|(_, line)| format!("    {line}\n")).collect()
    };
    let of_items: Vec<&str> =
        rows.iter().filter(|(under, _)| *under == "an item").map(|(_, line)| *line).collect();
    let item = |key: &str| *of_items.iter().find(|l| l.starts_with(key)).expect(key);
    // Made up for this: two people, a pick-up that stays.
    let kit = format!(
        "move: rows\n\
         equipment:\n  \
           - {{id: ladder, mass: 9 kg, {}}}\n  \
           - {{id: lead-box, mass: 2 kg, {}}}\n  \
           - {{id: radio, mass: 3 kg, {}}}\n  \
           - {{id: dressings, mass: 1 kg, {}}}\n  \
           - {{id: line-reel, mass: 500 g, held: 9, supplies: {{line: 100 m}}}}\n  \
           - {{id: whip, mass: 1 kg}}\n  \
           - {{id: mast, mass: 8 kg}}\n  \
           - {{id: camp-lamp, mass: 400 g, held: 3}}\n  \
           - {{id: battery, mass: 1 kg}}\n  \
           - {{id: lamp-oil, mass: 1 kg}}\n\
         carriers:\n  \
           people:\n    \
             - {{id: mo, limit: 20 kg, duties: [medic]}}\n    \
             - {{id: ola, limit: 20 kg}}\n  \
           vehicles: [{{id: pickup, payload: 500 kg}}]\n\
         parties:\n  \
           hill: {{travel: foot, who: [mo, ola]}}\n  \
           road: {{travel: vehicle, who: pickup}}\n\
         stays-with: road\n\
         needs:\n  hill:\n{}    \
             - {{need: rest, all: [ladder, radio, dressings, battery, lamp-oil]}}\n\
         wants:\n  hill:\n{}\
         rules:\n{}",
        item("carry"),
        item("contents"),
        item("requires"),
        item("keeper"),
        under("needs"),
        under("wants"),
        under("rules"),
    );
    let args = ["split", "rows.move.yaml", "--format", "json", "--gap", "0%", "--quiet"];
    let plan = Folder::with("rows.move.yaml", kit).run(args).code(0).err("").json();
    let of = |who: &str| {
        plan["carriers"].as_array().unwrap().iter().find(|c| c["id"] == who).unwrap().clone()
    };
    let has = |who: &str, what: &str| -> u64 {
        let items = of(who)["items"].as_array().unwrap().clone();
        items.iter().filter(|i| i["id"] == what).map(|i| i["count"].as_u64().unwrap()).sum()
    };
    let on_foot = |what: &str| has("mo", what) + has("ola", what);
    // The ladder is with both, whoever has it by `pair`.
    let way = |who: &str| of(who)["items"].as_array().unwrap().iter().any(|i| i["way"] == "pair");
    assert!(way("mo") && way("ola"), "{plan}");
    // The lead is only to be had in the box, which goes whole.
    assert_eq!((on_foot("radio"), on_foot("lead-box")), (1, 1));
    assert_eq!(has("mo", "dressings"), 1);
    // 385 m of line is four reels; one aerial will do, and the lighter one goes.
    assert_eq!((on_foot("line-reel"), on_foot("whip"), on_foot("mast")), (4, 1, 0));
    // Three are held, and no more than two are worth it.
    assert_eq!(on_foot("camp-lamp"), 2);
    assert_eq!(plan["wants_value"], 6);
    assert_eq!(has("mo", "battery") + has("mo", "lamp-oil"), 1);
    assert!(of("mo")["hands_free"].as_u64().unwrap() >= 1);
    assert_eq!(
        (of("mo")["limit_g"].clone(), of("mo")["usable_g"].clone()),
        (20000.into(), 18000.into())
    );
}
