//! What goes first as a drawing: value of the wants against the limit, or
//! against the number of people. Plain SVG 1.1, in black and white, with no
//! font of its own and nothing fetched; every place is a whole number of tenths
//! of a pixel, so that the same answer gives the same bytes.

use super::by::By;
use super::words as say;
use crate::ask::shed::{Crew, Shed, Step, wanted};
use crate::load::{MoveOrder, PartyIx, Share};
use crate::report::CAUTION;
use crate::report::text::wrap;
use std::fmt::Write;
use tumpline_core::text::clean;

const WIDTH: i64 = 880;
const LEFT: i64 = 70;
const RIGHT: i64 = 850;
const TOP: i64 = 88;
const FOOT: i64 = 408;
/// A line of the key under the plot.
const LINE: i64 = 17;
const LETTERS: usize = 84;

pub(super) fn render(order: &MoveOrder, by: By<'_>) -> String {
    match by {
        By::Limit(shed) => by_limit(order, shed),
        By::People(party, crews) => by_people(order, party, crews),
    }
}

/// Text as it may stand in SVG.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in clean(text).chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // Not allowed in XML at all.
            '\u{fffe}' | '\u{ffff}' => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

/// Tenths of a pixel as pixels.
fn px(tenths: i64) -> String {
    format!("{}.{}", tenths / 10, (tenths % 10).abs())
}

/// The drawing as far as it is done.
struct Sheet {
    body: String,
    /// Lines of the key: a head and a text.
    key: Vec<(String, String)>,
}

impl Sheet {
    fn line(&mut self, class: &str, from: (i64, i64), to: (i64, i64)) {
        if from == to {
            return;
        }
        let (x1, y1, x2, y2) = (px(from.0), px(from.1), px(to.0), px(to.1));
        let _ = writeln!(
            self.body,
            r#"<line class="{class}" x1="{x1}" y1="{y1}" x2="{x2}" y2="{y2}"/>"#
        );
    }
    fn rect(&mut self, class: &str, from: (i64, i64), to: (i64, i64)) {
        let (x, y) = (px(from.0.min(to.0)), px(from.1.min(to.1)));
        let (w, h) = ((from.0 - to.0).abs(), (from.1 - to.1).abs());
        if w == 0 || h == 0 {
            return;
        }
        let (w, h) = (px(w), px(h));
        let _ = writeln!(
            self.body,
            r#"<rect class="{class}" x="{x}" y="{y}" width="{w}" height="{h}"/>"#
        );
    }
    /// `anchor`: start, middle or end.
    fn text(&mut self, class: &str, anchor: &str, at: (i64, i64), text: &str) {
        let (x, y) = (px(at.0), px(at.1));
        let _ = writeln!(
            self.body,
            r#"<text class="{class}" text-anchor="{anchor}" x="{x}" y="{y}">{}</text>"#,
            escape(text)
        );
    }
    fn dot(&mut self, at: (i64, i64)) {
        let _ = writeln!(self.body, r#"<circle cx="{}" cy="{}" r="3"/>"#, px(at.0), px(at.1));
    }

    /// Values from none to `most`, with lines across.
    fn value_axis(&mut self, most: u64) {
        let step = nice(most.div_ceil(6).max(1));
        let mut v = 0;
        while v <= most {
            let y = y(v, most);
            self.line("grid", (LEFT * 10, y), (RIGHT * 10, y));
            self.text("small", "end", (LEFT * 10 - 60, y + 40), &v.to_string());
            v += step;
        }
        let (x, y) = (LEFT - 44, (TOP + FOOT) / 2);
        let _ = writeln!(
            self.body,
            r#"<text class="small" text-anchor="middle" transform="translate({x},{y}) rotate(-90)">value of the wants taken</text>"#
        );
    }

    /// The whole drawing with title, description and key.
    fn finish(self, title: &str, name: &str, about: &str, desc: &str) -> String {
        let mut key = String::new();
        let mut at = FOOT + 66;
        for (head, text) in &self.key {
            let _ =
                writeln!(key, r#"<text class="key" x="{LEFT}" y="{at}">{}</text>"#, escape(head));
            for line in wrap(text, LETTERS, 0, true) {
                let x = LEFT + 196;
                let _ =
                    writeln!(key, r#"<text class="key" x="{x}" y="{at}">{}</text>"#, escape(&line));
                at += LINE;
            }
        }
        at += LINE / 2;
        for line in wrap(CAUTION, LETTERS + 26, 0, true) {
            let _ = writeln!(
                key,
                r#"<text class="small" x="{LEFT}" y="{at}">{}</text>"#,
                escape(&line)
            );
            at += LINE;
        }
        let height = at + 6;
        format!(
            r##"<?xml version="1.0" encoding="UTF-8"?>
<svg xmlns="http://www.w3.org/2000/svg" version="1.1" width="{WIDTH}" height="{height}" viewBox="0 0 {WIDTH} {height}" role="img" aria-labelledby="title desc">
<title id="title">{title}</title>
<desc id="desc">{desc}</desc>
<defs>
<pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><line x1="0" y1="0" x2="0" y2="6" stroke="#777" stroke-width="1"/></pattern>
</defs>
<style>
text {{ font-family: sans-serif; fill: #000; }}
.head {{ font-size: 17px; font-weight: bold; }}
.about {{ font-size: 13px; }}
.small {{ font-size: 12px; }}
.key {{ font-size: 12px; }}
.number {{ font-size: 11px; font-weight: bold; }}
.grid {{ stroke: #ccc; stroke-width: 1; }}
.axis {{ stroke: #000; stroke-width: 1; }}
.curve {{ stroke: #000; stroke-width: 2; }}
.over {{ stroke: #000; stroke-width: 2; stroke-dasharray: 5 3; }}
.whole {{ stroke: #000; stroke-width: 3; }}
.shade {{ fill: #eee; }}
.unsure {{ fill: url(#hatch); }}
.bar {{ fill: #bbb; stroke: #000; stroke-width: 1; }}
</style>
<rect width="{WIDTH}" height="{height}" fill="#fff"/>
<text class="head" x="{LEFT}" y="26">{name}</text>
<text class="about" x="{LEFT}" y="47">{about}</text>
{body}{key}</svg>
"##,
            title = escape(title),
            desc = escape(desc),
            name = escape(name),
            about = escape(about),
            body = self.body,
        )
    }
}

/// 1, 2 or 5 times a power of ten, at least `n`.
fn nice(n: u64) -> u64 {
    let mut base = 1u64;
    loop {
        for step in [base, base.saturating_mul(2), base.saturating_mul(5)] {
            if step >= n {
                return step;
            }
        }
        base = base.saturating_mul(10);
    }
}

fn y(value: u64, most: u64) -> i64 {
    let (high, most) = (i128::from((FOOT - TOP) * 10), i128::from(most.max(1)));
    FOOT * 10 - (high * i128::from(value) / most) as i64
}

/// Hundredths of a percent.
fn hundredths(share: Share) -> i64 {
    let (load, limit) = (u128::from(share.load.mg()), u128::from(share.limit.mg().max(1)));
    i64::try_from(load * 10_000 / limit).unwrap_or(i64::MAX).min(1_000_000)
}

fn by_limit(order: &MoveOrder, shed: &Shed) -> String {
    let name = clean(order.name());
    let title = format!("{}: {name}", say::TITLE_LIMIT);
    let mut sheet = Sheet { body: String::new(), key: Vec::new() };
    let most = wanted(order).max(1);
    let (Some(first), Some(last)) = (shed.steps.first(), shed.steps.last()) else {
        let text = "No plan meets the needs, or none was found.";
        sheet.text("about", "start", (LEFT * 10, TOP * 10 + 200), text);
        return sheet.finish(&title, &name, say::TITLE_LIMIT, text);
    };
    // A little air on either side, and the limit itself always in sight.
    let (low, high) = (hundredths(last.from), hundredths(first.from));
    let low = (low.min(10_000) - 200).max(0) / 100 * 100;
    let high = (high.max(10_000) + 300) / 100 * 100;
    let x =
        |h: i64| LEFT * 10 + (h.clamp(low, high) - low) * (RIGHT - LEFT) * 10 / (high - low).max(1);
    sheet.rect("shade", (x(10_000), TOP * 10), (RIGHT * 10, FOOT * 10));
    sheet.value_axis(most);
    limit_axis(&mut sheet, low, high, &x);
    let end = x(hundredths(last.from_bound).max(low));
    sheet.rect("unsure", (LEFT * 10, FOOT * 10 - 60), (end, FOOT * 10));
    curve(&mut sheet, shed, most, high, &x);
    sheet.line("whole", (x(10_000), TOP * 10 - 80), (x(10_000), FOOT * 10 + 80));
    sheet.text("small", "middle", (x(10_000), TOP * 10 - 120), "100 %: as declared");
    let mut placed: Vec<(i64, i64)> = Vec::new();
    for (i, step) in shed.steps.iter().enumerate() {
        let at = (x(hundredths(step.from)), y(step.value, most));
        sheet.dot(at);
        let mut label = (at.0 - 50, at.1 - 50);
        let near = |l: (i64, i64)| {
            move |p: &&(i64, i64)| (p.0 - l.0).abs() < 150 && (p.1 - l.1).abs() < 110
        };
        while let Some(other) = placed.iter().find(near(label)) {
            label = (other.0 - 155, label.1);
        }
        placed.push(label);
        sheet.text("number", "end", label, &(i + 1).to_string());
        let text = match say::needs(order, step) {
            Some(needs) => format!("gives up {needs}"),
            None => say::changes(order, i == 0, &step.goes, &step.comes),
        };
        let over = if step.over { " (over)" } else { "" };
        sheet.key.push((
            format!("{}.  {}{over}", i + 1, say::from(step)),
            format!("value {}: {text}", say::value(step)),
        ));
        if let Some(below) = say::below(order, shed.below[i], i + 1 == shed.steps.len()) {
            sheet.key.push((String::new(), below));
        }
    }
    let about = format!("{}. Numbers: what goes at each step, below.", say::TITLE_LIMIT);
    let desc = described(&sheet.key, say::whose(order));
    sheet.finish(&title, &name, &about, &desc)
}

/// All in words, for those who do not see it.
fn described(key: &[(String, String)], whose: &str) -> String {
    let lines = key.iter().map(|(head, text)| match head.is_empty() {
        true => text.clone(),
        false => format!("{head}, {text}"),
    });
    format!("{whose} {}.", lines.collect::<Vec<_>>().join(". "))
}

fn limit_axis(sheet: &mut Sheet, low: i64, high: i64, x: &impl Fn(i64) -> i64) {
    let foot = FOOT * 10;
    sheet.line("axis", (LEFT * 10, foot), (RIGHT * 10, foot));
    let step = nice((((high - low) / 100 / 10).max(1)) as u64) as i64 * 100;
    let mut tick = (low + step - 1) / step * step;
    while tick <= high {
        sheet.line("axis", (x(tick), foot), (x(tick), foot + 50));
        sheet.text("small", "middle", (x(tick), foot + 190), &format!("{} %", tick / 100));
        tick += step;
    }
    let middle = (LEFT + RIGHT) * 5;
    sheet.text("small", "middle", (middle, foot + 370), "share of their limits that they may use");
}

fn curve(sheet: &mut Sheet, shed: &Shed, most: u64, high: i64, x: &impl Fn(i64) -> i64) {
    let mut right = x(high);
    let mut above: Option<&Step> = None;
    for step in &shed.steps {
        let class = if step.over { "over" } else { "curve" };
        let (left, level) = (x(hundredths(step.from)), y(step.value, most));
        if let Some(above) = above {
            let (bound, top) = (x(hundredths(above.from_bound)), y(above.value, most));
            // Between bound and reached the value may be anything between.
            sheet.rect("unsure", (bound.max(left), level), (right, top));
            let class = if above.over { "over" } else { "curve" };
            sheet.line(class, (right, level), (right, top));
        }
        sheet.line(class, (left, level), (right, level));
        right = left;
        above = Some(step);
    }
    if let Some(last) = above {
        sheet.line("axis", (right, y(last.value, most)), (right, FOOT * 10));
    }
}

fn by_people(order: &MoveOrder, party: PartyIx, crews: &[Crew]) -> String {
    let name = clean(order.name());
    let about = say::title_people(order, party);
    let mut sheet = Sheet { body: String::new(), key: Vec::new() };
    let most = wanted(order).max(1);
    sheet.value_axis(most);
    let foot = FOOT * 10;
    sheet.line("axis", (LEFT * 10, foot), (RIGHT * 10, foot));
    let slot = (RIGHT - LEFT) * 10 / (crews.len().max(1) as i64);
    let mut first = true;
    for (i, crew) in crews.iter().enumerate() {
        let middle = LEFT * 10 + slot * i as i64 + slot / 2;
        let count = crew.who.len().to_string();
        sheet.text("small", "middle", (middle, foot + 190), &count);
        let head = match crew.planned() {
            Some(planned) => {
                let (value, half) = (planned.findings.wants_value, (slot / 3).min(400));
                sheet.rect("bar", (middle - half, y(value, most)), (middle + half, foot));
                let share = say::percent(planned.findings.peak_share);
                let label = (middle, y(value, most) - 50);
                sheet.text("number", "middle", label, &value.to_string());
                format!("{count}:  value {value}, {share}")
            }
            None => {
                sheet.text("small", "middle", (middle, foot - 60), "no plan");
                format!("{count}:  no plan")
            }
        };
        let change = say::crew_change(order, first, crew);
        first &= crew.planned().is_none();
        let text = match crew.without {
            None => change,
            Some(_) => format!("{}: {change}", say::crew(order, crew)),
        };
        sheet.key.push((head, text));
    }
    let middle = (LEFT + RIGHT) * 5;
    sheet.text("small", "middle", (middle, foot + 370), "people who go");
    let desc = described(&sheet.key, &format!("{about}."));
    sheet.finish(&format!("{about}: {name}"), &name, &about, &desc)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_a_user_typed_becomes_markup() {
        assert_eq!(escape("<a b='c'>&\u{1b}"), "&lt;a b=&#39;c&#39;&gt;&amp;\\u{1b}");
    }

    #[test]
    fn ticks_are_round() {
        assert_eq!([1, 2, 3, 6, 7, 11, 21, 51].map(nice), [1, 2, 5, 10, 10, 20, 50, 100]);
    }
}
