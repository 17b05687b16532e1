//! Circles in "contains" and "requires".

use crate::source::TextSpan;

/// An edge to another item, and where it was written.
pub(super) type Edges = Vec<Vec<(usize, TextSpan)>>;

/// The circles that a walk meets: each as its edges in order, from the item
/// that closes it. At least one if there is any circle at all. Walks without
/// recursion, for a chain may be as long as the file.
pub(super) fn circles(edges: &Edges) -> Vec<Vec<(usize, TextSpan)>> {
    #[derive(Clone, Copy, PartialEq)]
    enum State {
        New,
        Open,
        Done,
    }
    let mut state = vec![State::New; edges.len()];
    let mut found = Vec::new();
    for start in 0..edges.len() {
        if state[start] != State::New {
            continue;
        }
        state[start] = State::Open;
        // Item, the edge to look at next, and the edge that led here.
        let mut path: Vec<(usize, usize, Option<TextSpan>)> = vec![(start, 0, None)];
        while let Some((item, next, _)) = path.last_mut() {
            let item = *item;
            let Some(&(to, span)) = edges[item].get(*next) else {
                state[item] = State::Done;
                path.pop();
                continue;
            };
            *next += 1;
            match state.get(to) {
                Some(State::New) => {
                    state[to] = State::Open;
                    path.push((to, 0, Some(span)));
                }
                Some(State::Open) => {
                    let from = path.iter().position(|(i, ..)| *i == to).unwrap_or(0);
                    let inner = path[from + 1..].iter().filter_map(|(i, _, s)| Some((*i, (*s)?)));
                    let mut circle: Vec<_> = inner.collect();
                    circle.push((to, span));
                    found.push(circle);
                }
                _ => {}
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::SourceId;

    fn edges(list: &[&[usize]]) -> Edges {
        let span = TextSpan { source: SourceId(0), start: 0, end: 0 };
        list.iter().map(|to| to.iter().map(|&t| (t, span)).collect()).collect()
    }

    #[test]
    fn a_circle_is_found_from_where_it_closes() {
        let found = circles(&edges(&[&[1], &[2], &[1], &[]]));
        let items: Vec<Vec<usize>> =
            found.iter().map(|c| c.iter().map(|(i, _)| *i).collect()).collect();
        assert_eq!(items, [[2, 1]]);
    }

    #[test]
    fn a_diamond_is_no_circle_and_a_long_chain_no_trouble() {
        assert!(circles(&edges(&[&[1, 2], &[3], &[3], &[]])).is_empty());
        let n = 200_000;
        let span = TextSpan { source: SourceId(0), start: 0, end: 0 };
        let chain: Edges =
            (0..n).map(|i| if i + 1 < n { vec![(i + 1, span)] } else { vec![] }).collect();
        assert!(circles(&chain).is_empty());
    }
}
