//! What each conclusion of a rule rests on, and whether it is denied there.

use std::collections::BTreeMap;

use super::Derived;
use crate::resolved::{ConclusionKind, Condition, Duty, Form, Quantifier, Resolved, Rule, Subject};

/// Something derived, of whom a rule says or asks it.
#[derive(Clone, Copy, Debug)]
pub struct Said<'r> {
    pub what: Derived,
    pub of: Option<Subject>,
    /// The rule whose class words the subject may be.
    pub rule: &'r Rule,
}

/// That something derived rests on another, or on its absence.
#[derive(Clone, Copy, Debug)]
pub struct Dependence<'r> {
    pub head: Said<'r>,
    pub rests_on: Said<'r>,
    pub denies: bool,
    /// By which rule.
    pub by: &'r Rule,
}

/// All dependences of all rules.
pub fn dependences(resolved: &Resolved) -> Vec<Dependence<'_>> {
    let named: BTreeMap<&str, &Rule> = resolved.rules.iter().map(|rule| (rule.name.as_str(), rule)).collect();
    let mut out = Vec::new();
    for rule in &resolved.rules {
        let own = rests_on(rule);
        for conclusion in &rule.conclusions {
            match &conclusion.kind {
                ConclusionKind::Require { duty, .. } | ConclusionKind::LeaveOpen { duty, .. } => {
                    add(&mut out, rule, due(rule, duty), &own, false)
                }
                ConclusionKind::OpenList { advised: false, listed, .. } => {
                    for duty in listed {
                        add(&mut out, rule, due(rule, duty), &own, false);
                    }
                }
                // A waiver takes away: what it rests on is denied by what it waives.
                ConclusionKind::Waive { duty, .. } => add(&mut out, rule, due(rule, duty), &own, true),
                ConclusionKind::WaiveRule(name) => {
                    let Some(other) = named.get(name.as_str()) else { continue };
                    // It waives only while that rule asks, and so rests on all that rule rests on.
                    let theirs = rests_on(other);
                    for conclusion in &other.conclusions {
                        let asked = match &conclusion.kind {
                            ConclusionKind::Require { duty, .. } | ConclusionKind::LeaveOpen { duty, .. } => {
                                std::slice::from_ref(duty)
                            }
                            ConclusionKind::OpenList { advised: false, listed, .. } => listed.as_slice(),
                            _ => &[],
                        };
                        for duty in asked {
                            add(&mut out, rule, due(other, duty), &own, true);
                            add(&mut out, rule, due(other, duty), &theirs, true);
                        }
                    }
                }
                ConclusionKind::State(of, state) => {
                    let head = Said { what: Derived::State(*state), of: Some(*of), rule };
                    add(&mut out, rule, head, &own, false);
                }
                // A choice makes none of its duties due.
                ConclusionKind::Either { .. }
                | ConclusionKind::Advise { .. }
                | ConclusionKind::OpenList { advised: true, .. }
                | ConclusionKind::Forbid(_)
                | ConclusionKind::Allow { .. }
                | ConclusionKind::Hold { .. }
                | ConclusionKind::Set(_)
                | ConclusionKind::Ask(_)
                | ConclusionKind::Warn(_)
                | ConclusionKind::Off { .. }
                | ConclusionKind::Before(..) => {}
            }
        }
    }
    out
}

fn add<'r>(
    out: &mut Vec<Dependence<'r>>,
    by: &'r Rule,
    head: Said<'r>,
    rests_on: &[(Said<'r>, bool)],
    takes_away: bool,
) {
    out.extend(rests_on.iter().map(|&(rests_on, denied)| Dependence {
        head,
        rests_on,
        denies: denied || takes_away,
        by,
    }));
}

fn due<'r>(rule: &'r Rule, duty: &Duty) -> Said<'r> {
    Said { what: Derived::Due(duty.procedure), of: duty.of, rule }
}

/// What a rule asks about that rules derive, and whether it is denied there.
fn rests_on(rule: &Rule) -> Vec<(Said<'_>, bool)> {
    let mut out = Vec::new();
    for reading in 0..rule.reading_count() {
        if let Some(when) = rule.when_by(reading) {
            collect(rule, when, false, &mut out);
        }
        if let Some(unless) = rule.unless_by(reading) {
            collect(rule, unless, true, &mut out);
        }
    }
    // `every CLASS where ...` in a conclusion.
    for variable in rule.conclusions.iter().flat_map(|conclusion| &conclusion.every) {
        let word = rule.variables.get(variable.0 as usize);
        if let Some(narrowed) = word.and_then(|word| word.narrowed.as_deref()) {
            collect(rule, narrowed, false, &mut out);
        }
    }
    out
}

fn collect<'r>(rule: &'r Rule, condition: &Condition, denied: bool, out: &mut Vec<(Said<'r>, bool)>) {
    match condition {
        Condition::All(parts) | Condition::AnyOf(parts) => {
            for part in parts {
                collect(rule, part, denied, out);
            }
        }
        // Twice denied is still a dependence that must be settled first.
        Condition::Not(inner) => collect(rule, inner, true, out),
        Condition::Quantified { quantifier, variable, body } => {
            let denied = denied || matches!(quantifier, Quantifier::No | Quantifier::Every);
            collect(rule, body, denied, out);
            // Which of them is meant rests on what `where` says.
            let word = rule.variables.get(variable.0 as usize);
            if let Some(narrowed) = word.and_then(|word| word.narrowed.as_deref()) {
                collect(rule, narrowed, denied, out);
            }
        }
        Condition::Sentence(Form::State(of, state), _) => {
            out.push((Said { what: Derived::State(*state), of: Some(*of), rule }, denied));
        }
        Condition::Sentence(Form::Due(duty), _) => out.push((due(rule, duty), denied)),
        Condition::Sentence(..) => {}
    }
}
