//! What work that nobody listed could change: which denials rest on the work list.

use std::collections::{BTreeMap, BTreeSet};

use knockon_rules::{JobProgram, Library};
use knockon_terms::resolved::{Conclusion, ConclusionKind, Condition, Duty, Form, Rule, Subject, Variable};
use knockon_terms::strata::Derived;
use knockon_terms::{Class, TermId, Vocabulary};

use super::{Grounder, yes_no};
use crate::atoms::Lit;
use crate::fact::{Ask, Domain, Fact};

/// One conclusion of a rule: of what it can bring a state or a duty about.
#[derive(Clone, Copy, Debug)]
pub(super) struct Head<'a> {
    rule: &'a Rule,
    of: Option<Subject>,
}

impl Grounder<'_> {
    /// The sentence that the work list is complete.
    pub(super) fn work_complete(&mut self) -> Lit {
        self.said_complete(Fact::WorkComplete)
    }

    /// That no work is left unlisted, for a denial. Apart from the sentence: where a rule derives something because the
    /// list is complete, an open list leaves both what it derives and its denial open.
    pub(super) fn nothing_unlisted(&mut self) -> Lit {
        self.said_complete(Fact::NothingUnlisted)
    }

    fn said_complete(&mut self, fact: Fact) -> Lit {
        self.out.assumed_unlisted = true;
        let variable = self.out.program.variable(fact, || Domain::YesNo);
        if self.job.work_complete.is_some()
            && let Some(found) = self.out.program.variable_mut(variable)
        {
            found.given = Some(yes_no(true));
        }
        self.out.program.leaf(variable, &Ask::Yes)
    }

    /// What rules derive, or its denial. That it is not so rests on the work list where work could make it so.
    pub(super) fn derived(&mut self, what: Derived, of: Option<TermId>, lit: Lit, denied: bool) -> Lit {
        if !denied {
            return lit;
        }
        let heads = self.by_work.get(&what).cloned().unwrap_or_default();
        let mut could = false;
        for head in heads {
            could |= match (head.of, of) {
                (None, None) => true,
                (Some(Subject::Term(term)), Some(of)) => term == of,
                (Some(Subject::Variable(variable)), Some(of)) => {
                    match head.rule.variables.get(variable.0 as usize).cloned() {
                        Some(word) => self.may_be_one(head.rule, &word, of),
                        None => false,
                    }
                }
                _ => false,
            };
        }
        if !could {
            return lit.denied();
        }
        let complete = self.nothing_unlisted();
        self.out.program.all(vec![lit.denied(), complete])
    }
}

impl Grounder<'_> {
    /// Whether a term may be what a class word stands for, whatever those named before it stand for.
    fn may_be_one(&mut self, rule: &Rule, word: &Variable, term: TermId) -> bool {
        if !self.in_class(word.domain, term) || self.present(term) == Lit::False {
            return false;
        }
        match word.related {
            None => true,
            Some((relation, Subject::Term(to))) => self.related(term, relation, to) != Lit::False,
            Some((relation, Subject::Variable(to))) => {
                let Some(to) = rule.variables.get(to.0 as usize).cloned() else { return false };
                let all: Vec<TermId> = self.vocabulary.iter().map(|(id, _)| id).collect();
                all.into_iter().any(|to_term| {
                    self.in_class(to.domain, to_term) && self.related(term, relation, to_term) != Lit::False
                })
            }
        }
    }
}

/// The conclusions, of rules that may be in scope, that work can bring about directly or through each other.
pub(super) fn by_work<'a>(library: &'a Library, scoped: &JobProgram) -> BTreeMap<Derived, Vec<Head<'a>>> {
    let ids: BTreeSet<_> = scoped
        .clauses
        .iter()
        .filter_map(|scoped| library.clauses.get(scoped.clause))
        .map(|clause| clause.rule)
        .collect();
    let mut heads: Vec<(Derived, Head<'a>, bool, Vec<Derived>)> = Vec::new();
    for rule in ids.into_iter().filter_map(|id| library.rule(id)) {
        let concluded: Vec<_> = rule.conclusions.iter().flat_map(|conclusion| heads_of(rule, conclusion)).collect();
        if concluded.is_empty() {
            continue;
        }
        let (mut work, mut derived) = (false, Vec::new());
        let narrowed = rule.variables.iter().filter_map(|word| word.narrowed.as_deref());
        for condition in rule.conditions().chain(narrowed) {
            collect(condition, library.vocabulary(), &mut work, &mut derived);
        }
        heads.extend(concluded.into_iter().map(|(what, head)| (what, head, work, derived.clone())));
    }
    let mut rests: BTreeSet<Derived> = BTreeSet::new();
    loop {
        let before = rests.len();
        for (what, _, work, derived) in &heads {
            if *work || derived.iter().any(|derived| rests.contains(derived)) {
                rests.insert(*what);
            }
        }
        if rests.len() == before {
            break;
        }
    }
    let mut all: BTreeMap<Derived, Vec<Head<'a>>> = BTreeMap::new();
    for (what, head, work, derived) in heads {
        if work || derived.iter().any(|derived| rests.contains(derived)) {
            all.entry(what).or_default().push(head);
        }
    }
    all
}

fn heads_of<'a>(rule: &'a Rule, conclusion: &Conclusion) -> Vec<(Derived, Head<'a>)> {
    let due = |duty: &Duty| (Derived::Due(duty.procedure), Head { rule, of: duty.of });
    match &conclusion.kind {
        ConclusionKind::Require { duty, .. } | ConclusionKind::LeaveOpen { duty, .. } => {
            vec![due(duty)]
        }
        ConclusionKind::OpenList { advised: false, listed, .. } => listed.iter().map(due).collect(),
        ConclusionKind::State(of, state) => vec![(Derived::State(*state), Head { rule, of: Some(*of) })],
        _ => Vec::new(),
    }
}

/// Whether a condition asks about work, and what else that rules derive.
fn collect(condition: &Condition, vocabulary: &Vocabulary, work: &mut bool, derived: &mut Vec<Derived>) {
    match condition {
        Condition::All(parts) | Condition::AnyOf(parts) => {
            for part in parts {
                collect(part, vocabulary, work, derived);
            }
        }
        Condition::Not(inner) => collect(inner, vocabulary, work, derived),
        Condition::Quantified { body, .. } => collect(body, vocabulary, work, derived),
        Condition::Sentence(form, _) => match form {
            Form::Touched(_) | Form::WorkComplete => *work = true,
            Form::Happens(happens) => {
                *work |= happens.what.iter().any(|&what| vocabulary.class(what) == Class::Operation);
            }
            Form::State(_, state) => derived.push(Derived::State(*state)),
            Form::Due(duty) => derived.push(Derived::Due(duty.procedure)),
            _ => {}
        },
    }
}
