//! Rules that deny each other in a circle: found at load, and drawn.
//!
//! What a rule concludes (a state, a duty's being due) depends on what it asks; where the way back
//! to itself passes a `not`, `no`, `every`, `unless` or a waiver, there is no answer that is the same
//! whatever is looked at first.

use std::collections::BTreeMap;

use knockon_text::{Code, Problem, Span};

use crate::resolved::{ConclusionKind, Condition, Form, Quantifier, Resolved, Rule};
use crate::vocabulary::TermId;

/// What rules derive.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Derived {
    /// A state.
    State(TermId),
    /// Whether a procedure is due.
    Due(TermId),
}

/// One dependence.
#[derive(Clone, Debug)]
struct Edge {
    to: Derived,
    denies: bool,
    rule: String,
    span: Span,
}

/// The dependences of all rules: for each derived thing, what it rests on.
fn edges(resolved: &Resolved) -> BTreeMap<Derived, Vec<Edge>> {
    let mut edges: BTreeMap<Derived, Vec<Edge>> = BTreeMap::new();
    for rule in &resolved.rules {
        let mut rests_on = Vec::new();
        if let Some(when) = &rule.when {
            collect(when, false, &mut rests_on);
        }
        if let Some(unless) = &rule.unless {
            collect(unless, true, &mut rests_on);
        }
        for (head, waives) in heads(rule, resolved) {
            for &(to, denies) in &rests_on {
                // A waiver takes away: what it rests on is denied by what it waives.
                let edge = Edge { to, denies: denies || waives, rule: rule.name.clone(), span: rule.span };
                edges.entry(head).or_default().push(edge);
            }
        }
    }
    edges
}

fn heads(rule: &Rule, resolved: &Resolved) -> Vec<(Derived, bool)> {
    let mut heads = Vec::new();
    for conclusion in &rule.conclusions {
        match &conclusion.kind {
            ConclusionKind::Require { duty, .. } => heads.push((Derived::Due(duty.procedure), false)),
            ConclusionKind::Waive { duty, .. } => heads.push((Derived::Due(duty.procedure), true)),
            ConclusionKind::WaiveRule(name) => {
                for other in resolved.rules.iter().filter(|other| &other.name == name) {
                    for conclusion in &other.conclusions {
                        if let ConclusionKind::Require { duty, .. } = &conclusion.kind {
                            heads.push((Derived::Due(duty.procedure), true));
                        }
                    }
                }
            }
            ConclusionKind::State(_, state) => heads.push((Derived::State(*state), false)),
            _ => {}
        }
    }
    heads
}

/// What a condition rests on, and whether it is denied there.
fn collect(condition: &Condition, denied: bool, out: &mut Vec<(Derived, bool)>) {
    match condition {
        Condition::All(parts) | Condition::AnyOf(parts) => {
            for part in parts {
                collect(part, denied, out);
            }
        }
        // Twice denied is still a dependence that must be settled first.
        Condition::Not(inner) => collect(inner, true, out),
        Condition::Quantified { quantifier, body, .. } => {
            collect(body, denied || matches!(quantifier, Quantifier::No | Quantifier::Every), out);
        }
        Condition::Sentence(Form::State(_, state), _) => out.push((Derived::State(*state), denied)),
        Condition::Sentence(Form::Due(duty), _) => out.push((Derived::Due(duty.procedure), denied)),
        Condition::Sentence(..) => {}
    }
}

/// Reports every circle that passes a denial, once.
pub fn check(resolved: &Resolved) -> Vec<Problem> {
    let edges = edges(resolved);
    let mut problems = Vec::new();
    let mut reported: Vec<Derived> = Vec::new();
    for (&start, from) in &edges {
        for edge in from.iter().filter(|edge| edge.denies) {
            let Some(path) = path(&edges, edge.to, start) else {
                continue;
            };
            if reported.contains(&start) {
                continue;
            }
            reported.extend(path.iter().map(|edge| edge.to).chain([start, edge.to]));
            problems.push(draw(resolved, start, edge, &path));
        }
    }
    problems
}

/// The shortest way from one derived thing to another; empty where they are the same.
fn path(edges: &BTreeMap<Derived, Vec<Edge>>, from: Derived, to: Derived) -> Option<Vec<&Edge>> {
    let mut came: BTreeMap<Derived, Option<(Derived, &Edge)>> = BTreeMap::new();
    came.insert(from, None);
    let mut open = std::collections::VecDeque::from([from]);
    while let Some(here) = open.pop_front() {
        if here == to {
            let mut path = Vec::new();
            let mut at = here;
            while let Some(Some((before, edge))) = came.get(&at) {
                path.push(*edge);
                at = *before;
            }
            path.reverse();
            return Some(path);
        }
        for edge in edges.get(&here).into_iter().flatten() {
            came.entry(edge.to).or_insert_with(|| {
                open.push_back(edge.to);
                Some((here, edge))
            });
        }
    }
    None
}

fn draw(resolved: &Resolved, start: Derived, first: &Edge, path: &[&Edge]) -> Problem {
    let name = |derived: Derived| match derived {
        Derived::State(term) => format!("`... is {}`", resolved.vocabulary.name(term)),
        Derived::Due(term) => format!("`{} due`", resolved.vocabulary.name(term)),
    };
    let mut drawing = format!("the circle: {}", name(start));
    for edge in std::iter::once(first).chain(path.iter().copied()) {
        let rests = if edge.denies { "rests on the absence of" } else { "rests on" };
        drawing.push_str(&format!("\n  {rests} {}, by \"{}\"", name(edge.to), edge.rule));
    }
    drawing.push_str(
        "\nlet one step of it rest on work, a finding or a measure; a state is taken as one, whatever part it is of",
    );
    let mut problem = Problem::at(
        Code::NegationCircle,
        first.span,
        format!("rules deny each other in a circle through {}", name(start)),
        "this rule rests on the absence of what it leads to",
    );
    for edge in path {
        problem = problem.context(edge.span, "the circle goes on here");
    }
    problem.help(drawing)
}

/// The order in which derived things are settled: everything a stratum denies lies in a lower one.
///
/// Only for a set of rules that [`check`] finds no circle in.
pub fn strata(resolved: &Resolved) -> BTreeMap<Derived, u32> {
    let edges = edges(resolved);
    let mut levels: BTreeMap<Derived, u32> = BTreeMap::new();
    for (&head, from) in &edges {
        levels.entry(head).or_insert(0);
        for edge in from {
            levels.entry(edge.to).or_insert(0);
        }
    }
    // Relaxed until nothing rises; without a circle through a denial it ends within as many rounds as there are things.
    for _ in 0..=levels.len() {
        let mut rose = false;
        for (&head, from) in &edges {
            for edge in from {
                let below = levels.get(&edge.to).copied().unwrap_or(0) + u32::from(edge.denies);
                if let Some(level) = levels.get_mut(&head)
                    && *level < below
                {
                    *level = below;
                    rose = true;
                }
            }
        }
        if !rose {
            break;
        }
    }
    levels
}
