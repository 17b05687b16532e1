//! A file written anew as badly as YAML allows: keys in any order, any style,
//! any indents, remarks anywhere. What it says stays what it was, but for the
//! order of entries.

use serde_yaml::Value;

pub struct Untidy {
    state: u64,
    pub remarks: usize,
}

impl Untidy {
    pub fn new(seed: u64) -> Self {
        Untidy { state: seed | 1, remarks: 0 }
    }

    fn below(&mut self, n: usize) -> usize {
        self.state ^= self.state << 13;
        self.state ^= self.state >> 7;
        self.state ^= self.state << 17;
        (self.state >> 11) as usize % n.max(1)
    }

    fn one_in(&mut self, n: usize) -> bool {
        self.below(n) == 0
    }

    fn blanks(&mut self, least: usize) -> String {
        let more = if self.one_in(5) { self.below(5) } else { 0 };
        " ".repeat(least + more)
    }

    fn remark(&mut self) -> String {
        self.remarks += 1;
        let tail = ["", ": a", " \"q", " - {", " #b", " größer", "\t-"][self.below(7)];
        format!("#{}n{}{tail}", self.blanks(0), self.remarks)
    }

    pub fn file(&mut self, value: &Value) -> String {
        let mut out = String::new();
        if self.one_in(2) {
            out.push_str(&format!("{}\n", self.remark()));
            out.push_str(["", "\n", "---\n"][self.below(3)]);
        }
        self.block(value, 0, &mut out);
        if self.one_in(4) {
            out.push_str(&format!("\n  {}\n", self.remark()));
        }
        match self.below(4) {
            0 => out.replace('\n', "\r\n"),
            1 => out.trim_end().to_string(),
            _ => out,
        }
    }

    /// Lines between entries: blank, or remarks at any indent.
    fn between(&mut self, out: &mut String) {
        while self.one_in(5) {
            out.push_str(["\n", "\n\n", "   \n"][self.below(3)]);
        }
        while self.one_in(6) {
            let indent = self.below(9);
            out.push_str(&format!("{}{}\n", " ".repeat(indent), self.remark()));
        }
    }

    fn end(&mut self, out: &mut String) {
        if self.one_in(6) {
            out.push_str(&format!("{}{}", self.blanks(1), self.remark()));
        }
        out.push('\n');
    }

    fn entries<'a>(&mut self, value: &'a Value) -> Vec<(Option<&'a str>, &'a Value)> {
        match value {
            Value::Mapping(map) => {
                let mut all: Vec<_> = map.iter().map(|(k, v)| (k.as_str(), v)).collect();
                if self.one_in(2) {
                    for i in (1..all.len()).rev() {
                        all.swap(i, self.below(i + 1));
                    }
                }
                all
            }
            Value::Sequence(list) => list.iter().map(|v| (None, v)).collect(),
            _ => Vec::new(),
        }
    }

    /// A list or mapping, each entry on lines of its own at this indent.
    fn block(&mut self, value: &Value, indent: usize, out: &mut String) {
        for (key, value) in self.entries(value) {
            self.between(out);
            out.push_str(&" ".repeat(indent));
            self.entry(key, value, indent, out);
        }
    }

    fn entry(&mut self, key: Option<&str>, value: &Value, indent: usize, out: &mut String) {
        match key {
            Some(key) => {
                let key = if self.one_in(8) { format!("\"{key}\"") } else { key.to_string() };
                out.push_str(&format!("{key}:"));
            }
            None => out.push('-'),
        }
        let many = matches!(value, Value::Mapping(_) | Value::Sequence(_));
        if !many || self.one_in(3) {
            out.push_str(&self.blanks(1));
            let broken = self.one_in(3);
            self.flow(value, indent + 1, broken, false, out);
            return self.end(out);
        }
        let step = 1 + self.below(4);
        let list = value.is_sequence();
        let step = if key.is_some() && list && self.one_in(3) { 0 } else { step };
        if key.is_none() && self.one_in(2) {
            // On the line of the dash.
            out.push_str(&" ".repeat(step));
            let mut rest = String::new();
            self.block(value, indent + 1 + step, &mut rest);
            let first = rest.trim_start_matches(' ');
            // What begins with a remark or a blank line goes below the dash.
            if first.starts_with(['#', '\n']) {
                out.push('\n');
                out.push_str(&rest);
            } else {
                out.push_str(first);
            }
            return;
        }
        self.end(out);
        self.block(value, indent + step, out);
    }

    /// On one line, or broken at will.
    fn flow(&mut self, value: &Value, indent: usize, broken: bool, inside: bool, out: &mut String) {
        let (open, close) = match value {
            Value::Mapping(_) => ('{', '}'),
            Value::Sequence(_) => ('[', ']'),
            _ => return self.scalar(value, inside, out),
        };
        out.push(open);
        let entries = self.entries(value);
        for (n, (key, value)) in entries.iter().enumerate() {
            self.space(indent, broken, out);
            if let Some(key) = key {
                out.push_str(&format!("{key}:{}", self.blanks(1)));
            }
            self.flow(value, indent, broken, true, out);
            if n + 1 < entries.len() || self.one_in(6) {
                out.push_str(&self.blanks(0));
                out.push_str(", ");
            }
        }
        self.space(indent, broken, out);
        out.push(close);
    }

    fn space(&mut self, indent: usize, broken: bool, out: &mut String) {
        out.push_str(&self.blanks(0));
        if broken && self.one_in(3) {
            if self.one_in(4) {
                out.push_str(&format!(" {}", self.remark()));
            }
            let more = self.below(5);
            out.push_str(&format!("\n{}", " ".repeat(indent + more)));
        }
    }

    fn scalar(&mut self, value: &Value, inside: bool, out: &mut String) {
        let text = match value {
            Value::String(s) => s.clone(),
            Value::Number(n) => n.to_string(),
            Value::Bool(b) => b.to_string(),
            _ => String::new(),
        };
        let plain = !text.contains([':', ',', '[', ']', '{', '}', '#', '\'', '"']);
        match self.below(8) {
            0 => out.push_str(&format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))),
            1 => out.push_str(&format!("'{}'", text.replace('\'', "''"))),
            2 if plain => out.push_str(&text.replacen(' ', if inside { "  " } else { " " }, 1)),
            _ if plain => out.push_str(&text),
            _ => out.push_str(&format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))),
        }
    }
}
