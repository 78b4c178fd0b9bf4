//! Events as individuals: those listed, those on the way to them, and those that may have happened.

use std::collections::BTreeSet;

use knockon_rules::Literal;
use knockon_terms::resolved::{
    ConclusionKind, Condition, Domain as ClassWord, FactKind, Form, Happens, List, Rule, Subject,
};
use knockon_terms::{Class, TermId};

use super::doings::as_rule;
use super::{Grounder, Limit};
use crate::atoms::{Claim, Lit, Why};
use crate::event::{Event, EventId, Origin, doing_of};
use crate::fact::{Ask, Domain, Fact};

/// How many steps work on the way to work on the way may go.
const MOST_STEPS: usize = 1_000;

impl Grounder<'_> {
    pub(super) fn events(&mut self) {
        for (happened, line) in &self.job.happened {
            let mut places: Vec<_> = happened.place.into_iter().collect();
            places.extend(
                self.job
                    .placed
                    .iter()
                    .filter(|(what, subject, _, _)| *what == happened.what && Some(*subject) == happened.subject)
                    .map(|(_, _, place, _)| *place),
            );
            let event = Event {
                what: happened.what,
                subject: happened.subject,
                places,
                sizes: happened.sizes.clone(),
                at: happened.at,
                because: happened.because,
                origin: Origin::Line(*line),
            };
            // The same thing listed twice, with nothing to tell the two apart, happened once.
            let again = self.out.events.iter().any(|known| Event { origin: event.origin, ..known.clone() } == event);
            if again {
                continue;
            }
            let id = self.add_event(event);
            self.sure.insert(id);
            let atom = self.out.program.atom(Claim::Happened(id));
            self.out.program.clause(atom, [], Why::Line(*line));
        }
        self.changes();
        self.doings();
        self.on_the_way();
        self.may_have_come_off();
        for event in 0..self.out.events.len() as u32 {
            self.touch(EventId(event));
        }
        self.not_said();
    }

    pub(super) fn add_event(&mut self, event: Event) -> EventId {
        let id = EventId(self.out.events.len() as u32);
        self.by_subject.entry(event.subject).or_default().push(id);
        self.out.events.push(event);
        id
    }

    /// Work that other work makes necessary, by facts of the library, to the end of the chain.
    fn on_the_way(&mut self) {
        let mut next = 0;
        let listed = self.out.events.len();
        while next < self.out.events.len() {
            // Only what was added counts: a long list of work is no chain.
            if self.out.events.len() > listed + MOST_STEPS {
                self.out.limits.push(Limit::Instances);
                return;
            }
            let parent = EventId(next as u32);
            next += 1;
            let Some(event) = self.out.events.get(parent.0 as usize).cloned() else {
                break;
            };
            let Some(part) = event.subject else { continue };
            for index in 0..self.scoped.facts.len() {
                let Some(scoped) = self.scoped.facts.get(index) else {
                    break;
                };
                let (fact, tests) = (scoped.fact, scoped.tests.clone());
                let Some(FactKind::Access { operation, part: worked_on, usually: false, effect, to }) =
                    self.library.facts().get(fact).map(|fact| fact.kind.clone())
                else {
                    continue;
                };
                if worked_on != part || !self.vocabulary.counts_as(event.what, operation) {
                    continue;
                }
                let Some(lits) = self.keys(&tests) else {
                    continue;
                };
                // On the way to two works it is done once, and for both.
                let doing = doing_of(&self.out.events, parent);
                let known =
                    self.by_subject.get(&Some(to)).into_iter().flatten().copied().find(|id| {
                        doing_of(&self.out.events, *id) == doing
                            && self.out.events.get(id.0 as usize).is_some_and(|event| {
                                event.what == effect && matches!(event.origin, Origin::Access { .. })
                            })
                    });
                if let Some(id) = known {
                    let from = self.out.program.atom(Claim::Happened(parent));
                    let atom = self.out.program.atom(Claim::Happened(id));
                    if lits.is_empty() && self.sure.contains(&parent) && self.surely_there(to) {
                        self.sure.insert(id);
                    }
                    let body = lits.into_iter().chain([Lit::Atom(from, true)]);
                    self.out.program.clause(atom, body, Why::Fact(fact));
                    self.more_parents.entry(id).or_default().push(parent);
                    continue;
                }
                // The same thing is not done twice over.
                // But for what a procedure does: that is another time.
                if doing.is_none() && self.surely_happened(effect, Some(to)) {
                    continue;
                }
                // What a car may not have does not come off it for certain.
                let present = self.present(to);
                if present == Lit::False {
                    continue;
                }
                let sure = lits.is_empty() && self.sure.contains(&parent) && self.surely_there(to);
                let lits: Vec<Lit> = lits.into_iter().chain([present]).collect();
                let id = self.add_event(Event {
                    what: effect,
                    subject: Some(to),
                    places: Vec::new(),
                    sizes: Vec::new(),
                    at: event.at,
                    because: None,
                    origin: Origin::Access { parent, fact },
                });
                if sure {
                    self.sure.insert(id);
                }
                let from = self.out.program.atom(Claim::Happened(parent));
                let atom = self.out.program.atom(Claim::Happened(id));
                let body = lits.into_iter().chain([Lit::Atom(from, true)]);
                self.out.program.clause(atom, body, Why::Fact(fact));
            }
        }
    }

    /// Whether this, or something that counts as it, surely happened. What may have happened does not count: that it
    /// did not would say nothing of the milder thing.
    fn surely_happened(&self, what: TermId, subject: Option<TermId>) -> bool {
        self.by_subject.get(&subject).into_iter().flatten().any(|id| {
            self.sure.contains(id)
                && doing_of(&self.out.events, *id).is_none()
                && self.out.events.get(id.0 as usize).is_some_and(|event| self.vocabulary.counts_as(event.what, what))
        })
    }

    /// Whether just this is known as something that may have happened, whatever facts of the library say of it.
    fn may_have_happened(&self, what: TermId, subject: Option<TermId>) -> bool {
        self.by_subject.get(&subject).into_iter().flatten().filter_map(|id| self.out.events.get(id.0 as usize)).any(
            |event| event.what == what && !matches!(event.origin, Origin::Access { .. } | Origin::Procedure { .. }),
        )
    }

    /// Whether the car surely has a part.
    fn surely_there(&self, term: TermId) -> bool {
        match self.vocabulary.class(term) {
            Class::Part => true,
            _ => self.known_fitted(term) == Some(true),
        }
    }

    /// For listed work whose access list is not complete: what usually comes off, as events nobody confirmed.
    fn may_have_come_off(&mut self) {
        if self.job.nothing_else_came_off.is_some() {
            return;
        }
        let listed: Vec<(EventId, TermId, TermId)> = self
            .out
            .events
            .iter()
            .enumerate()
            .filter(|(_, event)| matches!(event.origin, Origin::Line(_)))
            .filter(|(_, event)| self.vocabulary.class(event.what) == Class::Operation)
            .filter_map(|(index, event)| Some((EventId(index as u32), event.what, event.subject?)))
            .collect();
        for (parent, what, part) in listed {
            let disturbs = self.vocabulary.happening(what).is_some_and(|happening| happening.disturbs);
            let on_the_way = match self.out.events.get(parent.0 as usize).map(|event| event.origin) {
                Some(Origin::Line(line)) => self.on_the_way_line(line),
                _ => false,
            };
            if !disturbs || on_the_way || self.list_complete(List::Access, Some(part)) == Lit::True {
                continue;
            }
            let usual: BTreeSet<(TermId, TermId)> = self
                .scoped
                .facts
                .iter()
                .filter_map(|scoped| match self.library.facts().get(scoped.fact).map(|fact| &fact.kind) {
                    Some(FactKind::Access { operation, part: worked_on, usually: true, effect, to })
                        if *worked_on == part && self.vocabulary.counts_as(what, *operation) =>
                    {
                        Some((*effect, *to))
                    }
                    _ => None,
                })
                .collect();
            let mut offered = Vec::new();
            for (effect, to) in usual {
                let known = self.surely_happened(effect, Some(to)) || self.may_have_happened(effect, Some(to));
                if known || self.denied(effect, Some(to)) {
                    continue;
                }
                offered.push(self.may_have_been_done(effect, to, parent));
            }
            self.out.open_access.push((parent, offered));
        }
    }

    pub(super) fn on_the_way_line(&self, line: usize) -> bool {
        self.job.happened.iter().any(|(happened, at)| *at == line && happened.on_the_way)
    }

    /// Whether a line says that this, or something it counts as, did not happen.
    fn denied(&self, what: TermId, subject: Option<TermId>) -> bool {
        let mut denied = self.job.not_happened.keys().filter(|(_, known)| *known == subject);
        denied.any(|(denied, _)| self.vocabulary.counts_as(what, *denied))
    }

    /// Work that may have been done to a part on the way to other work. All that may have been done to one part is one
    /// fact: what was done at most.
    fn may_have_been_done(&mut self, what: TermId, part: TermId, parent: EventId) -> EventId {
        let variable = self.out.program.variable(Fact::OnTheWay(part), || Domain::Done(Vec::new()));
        let counts_as = self.vocabulary.happening(what).map(|happening| happening.counts_as.clone());
        if let Some(Domain::Done(operations)) = self.out.program.variable_mut(variable).map(|known| &mut known.domain) {
            operations.push((what, counts_as.unwrap_or_default()));
        }
        let leaf = self.out.program.leaf(variable, &Ask::OneOf(vec![what]));
        self.uncertain_event(what, Some(part), Origin::MayHaveComeOff { parent }, leaf)
    }

    /// An event that may have happened: whether it did is a fact of its own.
    fn possible_event(&mut self, what: TermId, subject: Option<TermId>, origin: Origin) -> EventId {
        let variable =
            self.out.program.variable(Fact::Occurred(EventId(self.out.events.len() as u32)), || Domain::YesNo);
        let leaf = self.out.program.leaf(variable, &Ask::Yes);
        self.uncertain_event(what, subject, origin, leaf)
    }

    fn uncertain_event(&mut self, what: TermId, subject: Option<TermId>, origin: Origin, leaf: Lit) -> EventId {
        let id = self.add_event(Event {
            what,
            subject,
            places: Vec::new(),
            sizes: Vec::new(),
            at: None,
            because: None,
            origin,
        });
        let atom = self.out.program.atom(Claim::Happened(id));
        self.out.program.clause(atom, [leaf], Why::Possible);
        id
    }

    /// What rules ask about and nobody spoke of: events of the world, findings on touched parts, and work on the
    /// way to work whose access list is open.
    fn not_said(&mut self) {
        // What is touched if what may have come off did is asked about once that is known.
        let touched: BTreeSet<TermId> = self
            .out
            .program
            .claims
            .iter()
            .filter_map(|claim| match claim {
                Claim::Touched(part, event) => Some((*part, *event)),
                _ => None,
            })
            .filter(|(_, event)| {
                self.out
                    .events
                    .get(event.0 as usize)
                    .is_some_and(|event| !matches!(event.origin, Origin::MayHaveComeOff { .. }))
            })
            // Nor is it known yet what a procedure to come leaves behind.
            .filter(|(_, event)| !self.is_to_come(*event))
            .map(|(part, _)| part)
            .collect();
        let mut wanted: BTreeSet<(TermId, Option<TermId>)> = BTreeSet::new();
        for index in 0..self.scoped.clauses.len() {
            let Some(clause) =
                self.scoped.clauses.get(index).and_then(|scoped| self.library.clauses.get(scoped.clause))
            else {
                continue;
            };
            let Some(rule) = self.library.rule(clause.rule) else {
                continue;
            };
            for happens in happenings(rule, &clause.literals) {
                self.wanted(rule, happens, &touched, &mut wanted);
            }
        }
        for pending in &self.pending {
            let (item, when) = pending.condition(self.library);
            let (Some(item), Some(when)) = (item, when) else { continue };
            let rule = as_rule(item);
            let mut asked = Vec::new();
            of_condition(when, &mut asked);
            for happens in asked {
                self.wanted(&rule, happens, &touched, &mut wanted);
            }
        }
        let first_new = self.out.events.len();
        for (what, subject) in wanted {
            let class = self.vocabulary.class(what);
            if self.surely_happened(what, subject) || self.may_have_happened(what, subject) {
                continue;
            }
            if self.denied(what, subject) {
                continue;
            }
            match (class, subject) {
                // An event of a part that has no question is, like a finding, looked for where work was done.
                (Class::Event, Some(part)) if !self.has_question(what) && !touched.contains(&part) => {
                    self.out.assumed_untroubled = true;
                }
                (Class::Event, _) => {
                    self.possible_event(what, subject, Origin::NotSaid);
                }
                (Class::Finding, Some(part)) => {
                    if self.job.looked_over(part).is_some() {
                        continue;
                    }
                    if touched.contains(&part) {
                        self.possible_event(what, subject, Origin::NotLookedOver);
                    } else {
                        self.out.assumed_sound = true;
                    }
                }
                (Class::Operation, Some(part)) => {
                    if let Some(parent) = self.may_be_on_the_way(what, part) {
                        self.may_have_been_done(what, part, parent);
                    }
                }
                _ => {}
            }
        }
        for event in first_new..self.out.events.len() {
            self.touch(EventId(event as u32));
        }
    }

    fn has_question(&self, what: TermId) -> bool {
        self.vocabulary.happening(what).is_some_and(|happening| happening.question.is_some())
    }

    /// Listed work with an open access list that reaches the part: the part may have come off on the way to it.
    fn may_be_on_the_way(&self, what: TermId, part: TermId) -> Option<EventId> {
        let comes_off = self.vocabulary.happening(what).is_some_and(|happening| happening.on_the_way.is_some());
        if !comes_off {
            return None;
        }
        self.out.open_access.iter().map(|(parent, _)| *parent).find(|parent| {
            self.out
                .events
                .get(parent.0 as usize)
                .and_then(|event| event.subject)
                .is_some_and(|worked_on| worked_on != part && self.reach(worked_on).contains(&part))
        })
    }

    fn wanted(
        &self,
        rule: &Rule,
        happens: &Happens,
        touched: &BTreeSet<TermId>,
        out: &mut BTreeSet<(TermId, Option<TermId>)>,
    ) {
        let subjects: Vec<Option<TermId>> = match happens.subject {
            None => vec![None],
            Some(Subject::Term(term)) => vec![Some(term)],
            Some(Subject::Variable(variable)) => {
                let Some(variable) = rule.variables.get(variable.0 as usize) else {
                    return;
                };
                match variable.domain {
                    ClassWord::Group(group) => self.vocabulary.members(group).into_iter().map(Some).collect(),
                    ClassWord::Stretch { line, first, last } => {
                        self.vocabulary.stretch(line, first, last).into_iter().map(Some).collect()
                    }
                    // Over all parts only those in question: the touched ones.
                    _ => {
                        touched.iter().copied().filter(|&part| self.in_class(variable.domain, part)).map(Some).collect()
                    }
                }
            }
        };
        for &what in &happens.what {
            for &subject in &subjects {
                out.insert((what, subject));
            }
        }
    }

    /// Whether a term is of the class a class word names.
    pub(super) fn in_class(&self, word: ClassWord, term: TermId) -> bool {
        let class = self.vocabulary.class(term);
        match word {
            ClassWord::Part => class.is_part(),
            ClassWord::Sensor => class == Class::Sensor,
            ClassWord::System => class == Class::System,
            ClassWord::Module => class == Class::Module,
            ClassWord::Group(group) => self.vocabulary.members(group).contains(&term),
            ClassWord::Stretch { line, first, last } => self.vocabulary.stretch(line, first, last).contains(&term),
        }
    }
}

/// Every happening a clause and its rule's other conditions ask about.
fn happenings<'r>(rule: &'r Rule, literals: &'r [Literal]) -> Vec<&'r Happens> {
    let mut out = Vec::new();
    for literal in literals {
        match literal {
            Literal::Is(form, _) | Literal::IsNot(form, _) => of_form(form, &mut out),
            Literal::Quantified { body, .. } => of_condition(body, &mut out),
        }
    }
    for unless in (0..rule.reading_count()).filter_map(|reading| rule.unless_by(reading)) {
        of_condition(unless, &mut out);
    }
    for narrowed in rule.variables.iter().filter_map(|word| word.narrowed.as_deref()) {
        of_condition(narrowed, &mut out);
    }
    for conclusion in &rule.conclusions {
        // A waiver's cause is looked for among what happened, not asked about.
        if let ConclusionKind::Hold { until: asked, .. } | ConclusionKind::Allow { limit: Some(asked), .. } =
            &conclusion.kind
        {
            of_condition(asked, &mut out);
        }
    }
    out
}

fn of_condition<'r>(condition: &'r Condition, out: &mut Vec<&'r Happens>) {
    match condition {
        Condition::All(parts) | Condition::AnyOf(parts) => {
            for part in parts {
                of_condition(part, out);
            }
        }
        Condition::Not(inner) => of_condition(inner, out),
        Condition::Quantified { body, .. } => of_condition(body, out),
        Condition::Sentence(form, _) => of_form(form, out),
    }
}

fn of_form<'r>(form: &'r Form, out: &mut Vec<&'r Happens>) {
    // What a procedure was done *since* only matters if it happened.
    if let Form::Happens(happens) = form {
        out.push(happens);
    }
}
