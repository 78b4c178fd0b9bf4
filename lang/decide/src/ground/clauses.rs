//! Clauses and conclusions: a rule's condition joined over events and class words, and what follows.

use knockon_rules::{Clause, Library, Literal};
use knockon_terms::TermId;
use knockon_terms::resolved::{ConclusionKind, Condition, Form, Happens, Quantifier, Rule, Subject, VariableId};

use super::sentences::Member;
use super::way::{Instance, Partial};
use super::{Bound, Grounder, Limit, MOST_INSTANCES, MOST_ROUNDS};
use crate::atoms::{Claim, Lit};
use crate::event::Causes;
use crate::fact::{Ask, Domain, Fact};

impl<'a> Grounder<'a> {
    pub(super) fn clauses(&mut self) {
        for round in 0..=MOST_ROUNDS {
            let before = self.growth();
            for index in 0..self.scoped.clauses.len() {
                let Some(scoped) = self.scoped.clauses.get(index) else {
                    break;
                };
                let number = scoped.clause;
                let library: &'a Library = self.library;
                let Some(clause) = library.clauses.get(number) else { continue };
                if !self.may_fire(clause) {
                    continue;
                }
                // After the first round only clauses that wait for what rules derive can find anything new.
                if round > 0 && !waits(clause, library.rule(clause.rule)) {
                    continue;
                }
                let tests = self.scoped.clauses.get(index).map(|scoped| scoped.tests.clone()).unwrap_or_default();
                let Some(scope) = self.keys(&tests) else {
                    continue;
                };
                for generation in 0..=self.last {
                    self.horizon = generation;
                    self.clause(clause, scope.clone());
                }
                self.horizon = u32::MAX;
                if self.instances > MOST_INSTANCES {
                    self.out.limits.push(Limit::Instances);
                    return;
                }
            }
            if self.growth() == before {
                return;
            }
        }
        self.out.limits.push(Limit::Rounds);
    }

    /// False where the clause names work on a part to which nothing happened: most of a large library.
    fn may_fire(&self, clause: &Clause) -> bool {
        clause.literals.iter().all(|literal| match literal {
            Literal::Is(Form::Happens(happens), _) => match happens.subject {
                Some(Subject::Variable(_)) => true,
                Some(Subject::Term(term)) => !self.matching(happens, Some(term)).is_empty(),
                None => !self.matching(happens, None).is_empty(),
            },
            _ => true,
        })
    }

    fn growth(&self) -> (usize, usize, usize) {
        let states: usize = self.state_causes.values().map(Vec::len).sum();
        let dues: usize = self.due_causes.values().map(Vec::len).sum();
        (self.out.program.conclusions.len(), states, dues)
    }

    fn clause(&mut self, clause: &Clause, scope: Vec<Lit>) {
        let library: &'a Library = self.library;
        let Some(rule) = library.rule(clause.rule) else { return };
        let mut literals: Vec<&Literal> = clause.literals.iter().collect();
        // What happened to a named part is the narrowest; class words come last.
        literals.sort_by_key(|literal| match literal {
            Literal::Is(Form::Happens(happens), _) => match happens.subject {
                Some(Subject::Variable(_)) => 1,
                _ => 0,
            },
            _ => 2,
        });
        let names_events = literals.iter().any(|literal| names_events(literal));
        let mut lits = scope;
        if !rule.readings.is_empty() {
            lits.push(self.read_as(clause));
        }
        let mut partials = vec![Partial { lits, ..Partial::default() }];
        for literal in literals {
            let mut next = Vec::new();
            for partial in &partials {
                self.literal(rule, clause, literal, names_events, partial, &mut next);
            }
            partials = next;
            self.instances += partials.len();
            if partials.is_empty() || self.instances > MOST_INSTANCES {
                return;
            }
        }
        // A class word the condition bound to nothing yet stands for each of its members.
        for &variable in &clause.variables {
            partials = partials.iter().flat_map(|partial| self.run_over(rule, variable, partial)).collect();
        }
        let standing = !clause.literals.iter().any(bears_cause);
        for run in partials {
            if self.instances > MOST_INSTANCES {
                return;
            }
            let mut causes = if names_events { run.events.clone() } else { run.behind.clone() };
            let generation = if self.last == 0 { 0 } else { self.horizon };
            if generation > 0 {
                // What holds without a look at this generation was found in an earlier one.
                let named: Causes = run.events.iter().chain(&run.behind).chain(&run.reached).copied().collect();
                let new: Causes = named.into_iter().filter(|&event| self.generation(event) == generation).collect();
                if new.is_empty() {
                    continue;
                }
                if self.latest(&causes) < generation {
                    causes.extend(new);
                    causes.sort();
                    causes.dedup();
                }
            }
            let (excused, not_excused) = match rule.unless_by(clause.reading) {
                Some(unless) => {
                    (self.formula(rule, unless, &run.bound, false), self.formula(rule, unless, &run.bound, true))
                }
                None => (Lit::False, Lit::True),
            };
            self.conclude(Instance {
                rule,
                id: clause.rule,
                reading: clause.reading,
                run,
                excused,
                not_excused,
                causes,
                generation,
                standing,
            });
        }
    }

    /// That the rule's text is read as this clause reads it. No line of a job settles that: an encoder does.
    fn read_as(&mut self, clause: &Clause) -> Lit {
        let count = self.library.rule(clause.rule).map_or(1, Rule::reading_count);
        let variable = self.out.program.variable(Fact::Reading(clause.rule), || Domain::Readings(count));
        self.out.program.leaf(variable, &Ask::Reading(clause.reading))
    }

    /// All ways to bind a class word, if it is not bound.
    pub(super) fn run_over(&mut self, rule: &Rule, variable: VariableId, partial: &Partial) -> Vec<Partial> {
        if partial.bound.contains_key(&variable) {
            return vec![partial.clone()];
        }
        let mut out = Vec::new();
        for start in self.starts(rule, variable, partial) {
            for Member { term, belongs, .. } in self.members(rule, variable, &start.bound) {
                if let Some(mut next) = start.with([belongs]) {
                    next.bound.insert(variable, term);
                    out.push(next);
                }
            }
        }
        out
    }

    /// Which of a class are meant may rest on one named before: `mounted on that bracket`. That one is bound first.
    fn starts(&mut self, rule: &Rule, variable: VariableId, partial: &Partial) -> Vec<Partial> {
        let mut starts = vec![partial.clone()];
        let Some(word) = rule.variables.get(variable.0 as usize) else { return starts };
        for before in word.rests_on(variable, &rule.variables) {
            starts = starts.iter().flat_map(|start| self.run_over(rule, before, start)).collect();
        }
        starts
    }

    fn literal(
        &mut self,
        rule: &Rule,
        clause: &Clause,
        literal: &Literal,
        names_events: bool,
        partial: &Partial,
        out: &mut Vec<Partial>,
    ) {
        match literal {
            Literal::Is(Form::Happens(happens), _) => self.happened(rule, happens, partial, out),
            Literal::Is(form, _) => {
                let mut starts = vec![partial.clone()];
                for variable in form.variables() {
                    if clause.variables.contains(&variable) {
                        starts = starts.iter().flat_map(|start| self.run_over(rule, variable, start)).collect();
                    }
                }
                for start in starts {
                    if names_events || !self.behind(form, &start, out) {
                        self.reached.clear();
                        let lit = self.sentence(rule, form, &start.bound, false);
                        let reached = std::mem::take(&mut self.reached);
                        out.extend(start.with([lit]).map(|mut next| {
                            next.reached.extend(reached);
                            // A change that is an event is a cause.
                            let changes = self.changes_named(form, &start.bound);
                            let causes = if names_events { &mut next.events } else { &mut next.behind };
                            causes.extend(changes);
                            causes.sort();
                            causes.dedup();
                            next
                        }));
                    }
                }
            }
            Literal::IsNot(form, _) => {
                let mut starts = vec![partial.clone()];
                for variable in form.variables() {
                    // What is named after `since` is bound by no condition.
                    if rule.variables.get(variable.0 as usize).is_some_and(|word| !word.loose) {
                        starts = starts.iter().flat_map(|start| self.run_over(rule, variable, start)).collect();
                    }
                }
                for start in starts {
                    let lit = self.sentence(rule, form, &start.bound, true);
                    out.extend(start.with([lit]));
                }
            }
            Literal::Quantified { quantifier, variable, body, denied } => {
                let condition =
                    Condition::Quantified { quantifier: *quantifier, variable: *variable, body: body.clone() };
                // Which of them are meant may rest on one named before.
                let mut starts = vec![partial.clone()];
                for named in condition.variables(&rule.variables) {
                    if clause.variables.contains(&named) {
                        starts = starts.iter().flat_map(|start| self.run_over(rule, named, start)).collect();
                    }
                }
                for start in starts {
                    self.reached.clear();
                    let lit = self.formula(rule, &condition, &start.bound, *denied);
                    let reached = std::mem::take(&mut self.reached);
                    let Some(mut next) = start.with([lit]) else { continue };
                    next.reached.extend(reached);
                    if !denied && names_events {
                        next.events.extend(self.events_in(rule, *variable, body, &start.bound, false));
                        next.events.sort();
                        next.events.dedup();
                    } else if !denied && *quantifier != Quantifier::No {
                        next.behind.extend(self.events_in(rule, *variable, body, &start.bound, true));
                        next.behind.sort();
                        next.behind.dedup();
                    }
                    out.push(next);
                }
            }
        }
    }

    /// The events a sentence about a change names.
    fn changes_named(&self, form: &Form, bound: &Bound) -> Causes {
        let Form::Measured { measure, of, change: true, .. } = form else { return Vec::new() };
        let of = match of {
            Some(subject) => match self.term(*subject, bound) {
                Some(term) => Some(term),
                None => return Vec::new(),
            },
            None => None,
        };
        self.changes_of(*measure, of)
    }

    /// The events a sentence about so many of a class names, or (`behind`) those behind what it names: all that match,
    /// of members that may belong.
    fn events_in(
        &mut self,
        rule: &Rule,
        variable: VariableId,
        body: &Condition,
        bound: &Bound,
        behind: bool,
    ) -> Causes {
        let mut all = Vec::new();
        for Member { term, .. } in self.members(rule, variable, bound) {
            let mut bound = bound.clone();
            bound.insert(variable, term);
            self.collect_events(rule, body, &bound, behind, &mut all);
        }
        all
    }

    fn collect_events(&mut self, rule: &Rule, condition: &Condition, bound: &Bound, behind: bool, out: &mut Causes) {
        match condition {
            Condition::All(parts) | Condition::AnyOf(parts) => {
                for part in parts {
                    self.collect_events(rule, part, bound, behind, out);
                }
            }
            Condition::Quantified { quantifier: Quantifier::No, .. } | Condition::Not(_) => {}
            Condition::Quantified { variable, body, .. } => {
                out.extend(self.events_in(rule, *variable, body, bound, behind));
            }
            Condition::Sentence(Form::Happens(happens), _) => {
                let subject = match happens.subject {
                    None => None,
                    Some(subject) => match self.term(subject, bound) {
                        Some(term) => Some(term),
                        None => return,
                    },
                };
                for event in self.matching(happens, subject) {
                    if !self.is_it(happens, event).contains(&Lit::False) {
                        out.push(event);
                    }
                }
            }
            Condition::Sentence(form @ Form::Measured { .. }, _) => out.extend(self.changes_named(form, bound)),
            Condition::Sentence(Form::Touched(subject), _) if behind => {
                if let Some(part) = self.term(*subject, bound) {
                    out.extend(self.touching(part));
                }
            }
            Condition::Sentence(Form::State(subject, state), _) if behind => {
                if let Some(part) = self.term(*subject, bound) {
                    let all = self.state_causes.get(&(*state, part)).into_iter().flatten().flatten().copied();
                    out.extend(all.filter(|&event| self.in_sight(event)));
                }
            }
            Condition::Sentence(Form::Due(duty), _) if behind => {
                if let Some(of) = self.of(duty, bound) {
                    let all = self.due_causes.get(&(duty.procedure, of)).into_iter().flatten().flatten().copied();
                    out.extend(all.filter(|&event| self.in_sight(event)));
                }
            }
            Condition::Sentence(..) => {}
        }
    }

    /// Each event that may be what the sentence asks for.
    fn happened(&mut self, rule: &Rule, happens: &Happens, partial: &Partial, out: &mut Vec<Partial>) {
        let mut add = |grounder: &mut Self, start: &Partial, subject: Option<TermId>| {
            for event in grounder.matching(happens, subject) {
                let lits = grounder.is_it(happens, event);
                if let Some(mut next) = start.with(lits) {
                    if !next.events.contains(&event) {
                        next.events.push(event);
                        next.events.sort();
                    }
                    out.push(next);
                }
            }
        };
        match happens.subject {
            None => add(self, partial, None),
            Some(Subject::Term(term)) => add(self, partial, Some(term)),
            Some(Subject::Variable(variable)) => match partial.bound.get(&variable).copied() {
                Some(term) => add(self, partial, Some(term)),
                None => {
                    let Some(word) = rule.variables.get(variable.0 as usize).cloned() else {
                        return;
                    };
                    let subjects: Vec<TermId> = self.by_subject.keys().copied().flatten().collect();
                    let starts = self.starts(rule, variable, partial);
                    for term in subjects {
                        if !self.in_class(word.domain, term) || self.matching(happens, Some(term)).is_empty() {
                            continue;
                        }
                        for start in &starts {
                            let Some(member) = self.member(rule, variable, term, &start.bound) else { continue };
                            if let Some(mut start) = start.with([member.belongs]) {
                                start.bound.insert(variable, term);
                                add(self, &start, Some(term));
                            }
                        }
                    }
                }
            },
        }
    }

    /// Where a rule names no event, each event behind a state, *touched* or *due* is a cause of its own.
    fn behind(&mut self, form: &Form, start: &Partial, out: &mut Vec<Partial>) -> bool {
        let ways: Vec<(Lit, Causes)> = match form {
            Form::Touched(subject) => {
                let Some(part) = self.term(*subject, &start.bound) else {
                    return true;
                };
                let present = self.present(part);
                let mut ways = Vec::new();
                for event in self.touching(part) {
                    let Some(atom) = self.out.program.find(&Claim::Touched(part, event)) else {
                        continue;
                    };
                    let lit = self.out.program.all(vec![Lit::Atom(atom, true), present]);
                    ways.push((lit, vec![event]));
                }
                ways
            }
            Form::State(subject, state) => {
                let Some(part) = self.term(*subject, &start.bound) else {
                    return true;
                };
                let all = self.state_causes.get(&(*state, part)).cloned().unwrap_or_default();
                all.into_iter()
                    .filter(|causes| causes.iter().all(|&event| self.in_sight(event)))
                    .collect::<Vec<_>>()
                    .into_iter()
                    .map(|causes| {
                        let claim = Claim::State { state: *state, part, causes: Some(causes.clone()) };
                        (Lit::Atom(self.out.program.atom(claim), true), causes)
                    })
                    .collect()
            }
            Form::Due(duty) => {
                let Some(of) = self.of(duty, &start.bound) else {
                    return true;
                };
                let all = self.due_causes.get(&(duty.procedure, of)).cloned().unwrap_or_default();
                all.into_iter()
                    .filter(|causes| causes.iter().all(|&event| self.in_sight(event)))
                    .collect::<Vec<_>>()
                    .into_iter()
                    .map(|causes| {
                        let claim = Claim::Due { procedure: duty.procedure, of, causes: Some(causes.clone()) };
                        (Lit::Atom(self.out.program.atom(claim), true), causes)
                    })
                    .collect()
            }
            _ => return false,
        };
        for (lit, causes) in ways {
            if let Some(mut next) = start.with([lit]) {
                next.behind.extend(causes);
                next.behind.sort();
                next.behind.dedup();
                out.push(next);
            }
        }
        true
    }
}

/// Whether a clause asks about what rules derive, so that it must be looked at again when that grows.
fn waits(clause: &Clause, rule: Option<&Rule>) -> bool {
    let of_form = |form: &Form| matches!(form, Form::State(..) | Form::Due(_));
    let names_rules = rule.is_some_and(|rule| {
        rule.conclusions.iter().any(|conclusion| matches!(conclusion.kind, ConclusionKind::WaiveRule(_)))
    });
    let narrowed = rule.into_iter().flat_map(|rule| &rule.variables).filter_map(|word| word.narrowed.as_deref());
    names_rules
        || narrowed.into_iter().any(|narrowed| any_form_at_all(narrowed, &of_form))
        || clause.literals.iter().any(|literal| match literal {
            Literal::Is(form, _) | Literal::IsNot(form, _) => of_form(form),
            Literal::Quantified { .. } => true,
        })
}

/// Whether a literal names something that happens, not denied.
fn names_events(literal: &Literal) -> bool {
    match literal {
        Literal::Is(form, _) => matches!(form, Form::Happens(_)),
        Literal::IsNot(..) => false,
        Literal::Quantified { body, denied, quantifier, .. } => {
            !denied && *quantifier != Quantifier::No && any_form(body, &|form| matches!(form, Form::Happens(_)))
        }
    }
}

/// Whether a literal names causes: events, or under a number of a class what events cause. A state or duty named by
/// itself brings its own causes, and where those are none it is the car as it stands.
fn bears_cause(literal: &Literal) -> bool {
    match literal {
        Literal::Quantified { body, denied, quantifier, .. } => {
            let bears =
                |form: &Form| matches!(form, Form::Happens(_) | Form::Touched(_) | Form::State(..) | Form::Due(_));
            !denied && *quantifier != Quantifier::No && any_form(body, &bears)
        }
        other => names_events(other),
    }
}

/// Whether a condition holds a form, not denied.
fn any_form(condition: &Condition, wanted: &dyn Fn(&Form) -> bool) -> bool {
    match condition {
        Condition::All(parts) | Condition::AnyOf(parts) => parts.iter().any(|part| any_form(part, wanted)),
        Condition::Not(_) => false,
        Condition::Quantified { quantifier, body, .. } => *quantifier != Quantifier::No && any_form(body, wanted),
        Condition::Sentence(form, _) => wanted(form),
    }
}

/// Whether a condition holds a form, denied or not.
fn any_form_at_all(condition: &Condition, wanted: &dyn Fn(&Form) -> bool) -> bool {
    match condition {
        Condition::All(parts) | Condition::AnyOf(parts) => parts.iter().any(|part| any_form_at_all(part, wanted)),
        Condition::Not(inner) => any_form_at_all(inner, wanted),
        Condition::Quantified { body, .. } => any_form_at_all(body, wanted),
        Condition::Sentence(form, _) => wanted(form),
    }
}
