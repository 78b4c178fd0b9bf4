//! Rules that deny each other in a circle: found at load, and drawn.
//!
//! What a rule concludes (a state of a part, a duty's being due) depends on what it asks; where the way
//! back to itself passes a `not`, `no`, `every`, `unless` or a waiver, there is no answer that is the
//! same whatever is looked at first. A state of one part and the same state of another are two things.

mod circles;
mod dependences;
mod subjects;

use std::collections::{BTreeMap, BTreeSet};

use knockon_text::{Code, Problem};

use crate::resolved::{Resolved, Rule};
use crate::vocabulary::TermId;
use circles::{components, path};
use dependences::{Dependence, dependences};

/// What rules derive.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Derived {
    /// A state.
    State(TermId),
    /// Whether a procedure is due.
    Due(TermId),
}

/// Whom something derived is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Who {
    /// Of nothing, as a procedure may be.
    Nobody,
    /// One part.
    Part(TermId),
    /// Some member of the class word of this number, whichever.
    AnyOf(usize),
}

/// What rules derive, of somebody.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct DerivedOf {
    what: Derived,
    of: Who,
}

/// One step of a circle: by a rule, or from a class word to a member of it.
#[derive(Clone, Copy)]
struct Step<'r> {
    to: DerivedOf,
    denies: bool,
    by: Option<&'r Rule>,
}

/// One step of a circle as it is told: by a rule, to a part.
struct Told<'r> {
    to: DerivedOf,
    denies: bool,
    by: &'r Rule,
}

/// Reports every circle that passes a denial, once.
pub fn check(resolved: &Resolved) -> Vec<Problem> {
    let all = dependences(resolved);
    // Whatever parts they are of first, which is quick: most sets of rules have no circle even so.
    let component = whatever_part(&all);
    let inside = |dependence: &&Dependence<'_>| {
        let number = component.get(&dependence.head.what);
        number == component.get(&dependence.rests_on.what)
    };
    let denying: BTreeSet<Option<&u32>> = all
        .iter()
        .filter(inside)
        .filter(|dependence| dependence.denies)
        .map(|dependence| component.get(&dependence.head.what))
        .collect();
    let suspect: Vec<&Dependence<'_>> = all
        .iter()
        .filter(inside)
        .filter(|dependence| denying.contains(&component.get(&dependence.head.what)))
        .collect();
    if suspect.is_empty() { Vec::new() } else { of_the_same_parts(resolved, &suspect) }
}

/// The circles among dependences, part by part.
fn of_the_same_parts(resolved: &Resolved, suspect: &[&Dependence<'_>]) -> Vec<Problem> {
    let steps = subjects::steps(resolved, suspect);
    let next = steps.iter().map(|(&from, steps)| (from, steps.iter().map(|step| step.to).collect())).collect();
    let component = components(&next);
    let mut problems = Vec::new();
    // Of a circle that many parts go through, one is enough: the rules are told once.
    let mut told: BTreeSet<&str> = BTreeSet::new();
    for (&start, from) in &steps {
        for first in from.iter().filter(|step| step.denies) {
            let Some(rule) = first.by else { continue };
            if component.get(&start) != component.get(&first.to) || told.contains(rule.name.as_str()) {
                continue;
            }
            let Some(path) = path(&steps, first.to, start) else {
                continue;
            };
            let circle = by_rules(first, &path);
            if circle.iter().all(|step| !told.contains(step.by.name.as_str())) {
                problems.extend(draw(resolved, start, &circle));
            }
            told.insert(&rule.name);
            told.extend(circle.iter().map(|step| step.by.name.as_str()));
        }
    }
    problems
}

/// The steps of a circle that rules make, each to the part it comes to.
fn by_rules<'r>(first: &Step<'r>, path: &[Step<'r>]) -> Vec<Told<'r>> {
    let mut circle: Vec<Told<'r>> = Vec::new();
    for step in std::iter::once(first).chain(path) {
        match (step.by, circle.last_mut()) {
            (Some(by), _) => circle.push(Told { to: step.to, denies: step.denies, by }),
            (None, Some(before)) => before.to = step.to,
            (None, None) => {}
        }
    }
    circle
}

fn draw(resolved: &Resolved, start: DerivedOf, circle: &[Told<'_>]) -> Option<Problem> {
    let vocabulary = &resolved.vocabulary;
    let name = |derived: DerivedOf| match (derived.what, derived.of) {
        (Derived::State(state), Who::Part(of)) => format!("`{} is {}`", vocabulary.name(of), vocabulary.name(state)),
        (Derived::State(state), _) => format!("`... is {}`", vocabulary.name(state)),
        (Derived::Due(procedure), Who::Part(of)) => {
            format!("`{} of {} due`", vocabulary.name(procedure), vocabulary.name(of))
        }
        (Derived::Due(procedure), _) => format!("`{} due`", vocabulary.name(procedure)),
    };
    let mut drawing = format!("the circle: {}", name(start));
    for step in circle {
        let rests = if step.denies { "rests on the absence of" } else { "rests on" };
        drawing.push_str(&format!("\n  {rests} {}, by \"{}\"", name(step.to), step.by.name));
    }
    drawing.push_str("\nlet one step of it rest on work, a finding or a measure");
    let (first, more) = circle.split_first()?;
    let mut problem = Problem::at(
        Code::NegationCircle,
        first.by.span,
        format!("rules deny each other in a circle through {}", name(start)),
        "this rule rests on the absence of what it leads to",
    );
    for step in more {
        problem = problem.context(step.by.span, "the circle goes on here");
    }
    Some(problem.help(drawing))
}

/// Which derived things rest on each other in a circle, a thing being the same whatever part it is of: those of one
/// number do. What is rested on has the higher number.
fn whatever_part(all: &[Dependence<'_>]) -> BTreeMap<Derived, u32> {
    let mut next: BTreeMap<Derived, Vec<Derived>> = BTreeMap::new();
    for dependence in all {
        next.entry(dependence.head.what).or_default().push(dependence.rests_on.what);
    }
    components(&next)
}
