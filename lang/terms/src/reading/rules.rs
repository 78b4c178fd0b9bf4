//! Rules in words, a clause a line.

use super::conclusions::{conclusion_words, reading_words};
use super::conditions::condition;
use super::{facts, quoted};
use crate::resolved::{Conclusion, ConclusionKind, Differs, Resolved, Rule};

/// A rule: its first line, and a line for each clause; `then` has one for each conclusion.
pub(super) fn rule(resolved: &Resolved, rule: &Rule) -> Vec<String> {
    let Rule {
        name,
        scope: _,
        cites,
        says,
        variables,
        when,
        unless,
        conclusions: _,
        readings,
        gives_way,
        read_as,
        because,
        without_it,
        span: _,
    } = rule;
    let mut lines = vec![format!("rule \"{name}\""), format!("cites {}", facts::citation(resolved, cites))];
    lines.extend(says.iter().map(|says| format!("says \"{says}\"")));
    lines.extend(when.as_ref().map(|when| format!("when {}", condition(resolved, variables, when))));
    lines.extend(unless.as_ref().map(|unless| format!("unless {}", condition(resolved, variables, unless))));
    let own: Vec<&Conclusion> = rule.conclusions_by(0).into_iter().map(|(_, conclusion)| conclusion).collect();
    let mut before: Option<&Conclusion> = None;
    for conclusion in own {
        // A sentence after `until` or `where` would be one more thing to wait for.
        let joins = before.is_some_and(|before| !(ends_in_condition(before) && is_sentence(conclusion)));
        let words = conclusion_words(resolved, rule, conclusion);
        lines.push(format!("{} {words}", if joins { "and" } else { "then" }));
        before = Some(conclusion);
    }
    if !gives_way.is_empty() {
        let names: Vec<String> = gives_way.iter().map(|(name, _)| name.clone()).collect();
        lines.push(format!("gives way to {}", quoted(&names)));
    }
    // Before `read as`, which a `because` after it would be the reason of.
    lines.extend(because.as_ref().map(|because| format!("because \"{because}\"")));
    lines.extend(without_it.as_ref().map(|without| format!("without it \"{without}\"")));
    for (read, because) in read_as {
        let because = because.as_ref().map_or_else(String::new, |because| format!(" because \"{because}\""));
        lines.push(format!("read as \"{read}\"{because}"));
    }
    // Readings of figures are made again from the figures.
    let others = readings.iter().enumerate().skip(1);
    let said = others.filter(|(_, reading)| !matches!(reading.differs, Differs::Figures(_)));
    for (reading, _) in said {
        lines.push(format!("could also be read as {}", reading_words(resolved, rule, reading)));
    }
    lines
}

/// Whether a conclusion ends in a condition, which an `and` would go on with.
fn ends_in_condition(conclusion: &Conclusion) -> bool {
    match &conclusion.kind {
        ConclusionKind::Hold { .. } => true,
        ConclusionKind::Allow { limit, .. } => limit.is_some(),
        ConclusionKind::Require { .. }
        | ConclusionKind::Either { .. }
        | ConclusionKind::Advise { .. }
        | ConclusionKind::OpenList { .. }
        | ConclusionKind::LeaveOpen { .. }
        | ConclusionKind::Waive { .. }
        | ConclusionKind::WaiveRule(_)
        | ConclusionKind::Forbid(_)
        | ConclusionKind::Set(_)
        | ConclusionKind::Ask(_)
        | ConclusionKind::Warn(_)
        | ConclusionKind::Off { .. }
        | ConclusionKind::Before(..)
        | ConclusionKind::State(..) => false,
    }
}

/// Whether a conclusion begins like a sentence, with no verb of its own.
fn is_sentence(conclusion: &Conclusion) -> bool {
    match &conclusion.kind {
        ConclusionKind::Before(..) | ConclusionKind::State(..) => true,
        ConclusionKind::Require { .. }
        | ConclusionKind::Either { .. }
        | ConclusionKind::Advise { .. }
        | ConclusionKind::OpenList { .. }
        | ConclusionKind::LeaveOpen { .. }
        | ConclusionKind::Waive { .. }
        | ConclusionKind::WaiveRule(_)
        | ConclusionKind::Forbid(_)
        | ConclusionKind::Allow { .. }
        | ConclusionKind::Hold { .. }
        | ConclusionKind::Set(_)
        | ConclusionKind::Ask(_)
        | ConclusionKind::Warn(_)
        | ConclusionKind::Off { .. } => false,
    }
}
