//! Just enough of HTML to look at a sheet: its elements with their attributes
//! and text, and that each one is closed.
#![allow(dead_code)] // each test binary uses a part

use std::collections::BTreeMap;

/// An element with all that is in it.
#[derive(Debug, Default)]
pub struct Element {
    pub name: String,
    pub attributes: BTreeMap<String, String>,
    pub children: Vec<Element>,
    /// Of it and all in it.
    pub text: String,
}

impl Element {
    pub fn get(&self, name: &str) -> Option<&str> {
        self.attributes.get(name).map(String::as_str)
    }
    pub fn has_class(&self, class: &str) -> bool {
        self.get("class").is_some_and(|c| c.split(' ').any(|c| c == class))
    }
    /// It and all elements in it, in their order.
    pub fn all(&self) -> Vec<&Element> {
        std::iter::once(self).chain(self.children.iter().flat_map(Element::all)).collect()
    }
    pub fn named(&self, name: &str) -> Vec<&Element> {
        self.all().into_iter().filter(|e| e.name == name).collect()
    }
    pub fn with(&self, attribute: &str) -> Vec<&Element> {
        self.all().into_iter().filter(|e| e.get(attribute).is_some()).collect()
    }
}

const VOID: [&str; 3] = ["meta", "input", "col"];

/// Reads markup; panics where a tag is not closed in its turn.
pub fn read(text: &str) -> Element {
    let mut stack = vec![Element::default()];
    let mut rest = text;
    while !rest.is_empty() {
        let Some(at) = rest.find('<') else {
            say(&mut stack, rest);
            break;
        };
        let (before, tag) = rest.split_at(at);
        say(&mut stack, before);
        let end = tag.find('>').unwrap_or_else(|| panic!("a tag without end: {tag:.60}"));
        let (tag, after) = (&tag[1..end], &tag[end + 1..]);
        rest = after;
        if tag.starts_with(['!', '?']) {
            continue;
        }
        if let Some(name) = tag.strip_prefix('/') {
            let closed = stack.pop().unwrap();
            assert_eq!(closed.name, name, "closed out of turn");
            let above = stack.last_mut().unwrap_or_else(|| panic!("`{name}` is closed twice"));
            above.text.push_str(&closed.text);
            above.children.push(closed);
            continue;
        }
        let element = opened(tag);
        if VOID.contains(&element.name.as_str()) {
            stack.last_mut().unwrap().children.push(element);
        } else if ["style", "script", "template"].contains(&element.name.as_str()) {
            // What is in them is no markup, or not in the page.
            let end = format!("</{}>", element.name);
            rest = rest.split_once(&end).unwrap_or_else(|| panic!("no {end}")).1;
            stack.last_mut().unwrap().children.push(element);
        } else {
            stack.push(element);
        }
    }
    assert_eq!(stack.len(), 1, "`{}` is never closed", stack.last().unwrap().name);
    stack.pop().unwrap()
}

fn say(stack: &mut [Element], text: &str) {
    assert!(!text.contains('>'), "a bare `>`: {text:.60}");
    stack.last_mut().unwrap().text.push_str(&plain(text));
}

fn opened(tag: &str) -> Element {
    let (name, mut rest) = tag.split_once(' ').unwrap_or((tag, ""));
    let mut element = Element { name: name.into(), ..Element::default() };
    while !rest.trim_start().is_empty() {
        rest = rest.trim_start();
        let end = rest.find(['=', ' ']).unwrap_or(rest.len());
        let (key, after) = rest.split_at(end);
        let value = match after.strip_prefix("=\"") {
            None => {
                rest = after;
                String::new()
            }
            Some(quoted) => {
                let (value, after) = quoted.split_once('"').expect("a quoted value");
                rest = after;
                plain(value)
            }
        };
        let twice = element.attributes.insert(key.into(), value);
        assert!(twice.is_none(), "`{key}` twice in `{tag}`");
    }
    element
}

fn plain(text: &str) -> String {
    let text = text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"");
    text.replace("&amp;", "&")
}
