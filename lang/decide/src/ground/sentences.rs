//! Sentences as literals, once class words stand for terms.

use knockon_measure::Range;
use knockon_terms::resolved::{
    Condition, Domain as ClassWord, Duty, Form, Happens, Limit, List, Placing, Quantifier, Rule, Subject, Variable,
    VariableId,
};
use knockon_terms::strata::Derived;
use knockon_terms::{Class, Detail, TermId};

use super::{Bound, Grounder, yes_no};
use crate::atoms::{Claim, Lit};
use crate::event::EventId;
use crate::fact::{Ask, Domain, Fact};

impl Grounder<'_> {
    /// The term a subject stands for.
    pub(super) fn term(&self, subject: Subject, bound: &Bound) -> Option<TermId> {
        match subject {
            Subject::Term(term) => Some(term),
            Subject::Variable(variable) => bound.get(&variable).copied(),
        }
    }

    /// The literal that a condition holds, or (`denied`) that it does not.
    pub(super) fn formula(&mut self, rule: &Rule, condition: &Condition, bound: &Bound, denied: bool) -> Lit {
        match condition {
            Condition::All(parts) | Condition::AnyOf(parts) => {
                let lits = parts.iter().map(|part| self.formula(rule, part, bound, denied)).collect();
                if matches!(condition, Condition::All(_)) != denied {
                    self.out.program.all(lits)
                } else {
                    self.out.program.any(lits)
                }
            }
            Condition::Not(inner) => self.formula(rule, inner, bound, !denied),
            Condition::Sentence(form, _) => self.sentence(rule, form, bound, denied),
            Condition::Quantified { quantifier, variable, body } => {
                self.quantified(rule, *quantifier, *variable, body, bound, denied)
            }
        }
    }

    /// The members of a class word.
    pub(super) fn members(&mut self, rule: &Rule, id: VariableId, bound: &Bound) -> Vec<Member> {
        let Some(word) = rule.variables.get(id.0 as usize) else { return Vec::new() };
        let terms: Vec<TermId> = match word.domain {
            ClassWord::Group(group) => self.vocabulary.members(group),
            ClassWord::Stretch { line, first, last } => self.vocabulary.stretch(line, first, last),
            class => self
                .vocabulary
                .iter()
                .filter(|(_, term)| !term.is_group())
                .map(|(id, _)| id)
                .filter(|&id| self.in_class(class, id))
                .collect(),
        };
        terms.into_iter().filter_map(|term| self.member(rule, id, term, bound)).collect()
    }

    /// A term as a member of a class word; nothing where it cannot be one.
    pub(super) fn member(&mut self, rule: &Rule, id: VariableId, term: TermId, bound: &Bound) -> Option<Member> {
        let word = rule.variables.get(id.0 as usize)?;
        if is_another(rule, id, term, bound) {
            return None;
        }
        let belongs = self.membership(word, term, bound);
        if belongs == Lit::False {
            return None;
        }
        let Some(narrowed) = word.narrowed.as_deref() else {
            return Some(Member { term, belongs, does_not: belongs.denied() });
        };
        let mut bound = bound.clone();
        bound.insert(id, term);
        // That it is not so is no plain denial: of work it rests on the work list.
        let (is_so, is_not) = (self.formula(rule, narrowed, &bound, false), self.formula(rule, narrowed, &bound, true));
        let does_not = self.out.program.any(vec![belongs.denied(), is_not]);
        let belongs = self.out.program.all(vec![belongs, is_so]);
        (does_not != Lit::True).then_some(Member { term, belongs, does_not })
    }

    /// What a term's belonging to a class word turns on, but for `where`: being fitted, and tied as asked.
    fn membership(&mut self, variable: &Variable, term: TermId, bound: &Bound) -> Lit {
        if !self.in_class(variable.domain, term) {
            return Lit::False;
        }
        let tied = match variable.related {
            Some((relation, to)) => match self.term(to, bound) {
                Some(to) => self.related(term, relation, to),
                None => Lit::False,
            },
            None => Lit::True,
        };
        if tied == Lit::False {
            return Lit::False;
        }
        let present = self.present(term);
        self.out.program.all(vec![tied, present])
    }

    /// Whether all members of a class word are known.
    fn all_known(&mut self, variable: &Variable, bound: &Bound) -> Lit {
        if let Some((relation, to)) = variable.related {
            let to = self.term(to, bound);
            return self.list_complete(List::Relation(relation), to);
        }
        let (list, whole) = match variable.domain {
            // A line's parts are all that its declaration names.
            ClassWord::Stretch { .. } => return Lit::True,
            // A sided name's members are all of its sides.
            ClassWord::Group(group) if self.vocabulary.class(group) != Class::Kind => {
                return Lit::True;
            }
            // A kind of plain parts is the list it was declared with; what equipment belongs to a kind is another thing.
            ClassWord::Group(group) if self.is_plain_parts(group) => return Lit::True,
            // That all equipment is named does not say which of it belongs to a kind.
            ClassWord::Group(group) => (List::Kind(group), false),
            ClassWord::Part => (List::Class(Class::Part), false),
            ClassWord::Sensor => (List::Class(Class::Sensor), true),
            ClassWord::System => (List::Class(Class::System), true),
            ClassWord::Module => (List::Class(Class::Module), true),
        };
        if whole && self.job.equipment_complete.is_some() {
            return Lit::True;
        }
        self.list_complete(list, None)
    }

    fn is_plain_parts(&self, kind: TermId) -> bool {
        self.vocabulary.members(kind).iter().all(|&member| self.vocabulary.class(member) == Class::Part)
    }

    fn quantified(
        &mut self,
        rule: &Rule,
        quantifier: Quantifier,
        variable: VariableId,
        body: &Condition,
        bound: &Bound,
        denied: bool,
    ) -> Lit {
        let Some(word) = rule.variables.get(variable.0 as usize).cloned() else {
            return Lit::False;
        };
        let members = self.members(rule, variable, bound);
        let each = |grounder: &mut Self, denied: bool| -> Vec<Lit> {
            members
                .iter()
                .map(|&Member { term, belongs, does_not }| {
                    let mut bound = bound.clone();
                    bound.insert(variable, term);
                    let lit = grounder.formula(rule, body, &bound, denied);
                    if denied {
                        // Denied of a member: it does not belong, or it is not so.
                        grounder.out.program.any(vec![does_not, lit])
                    } else {
                        grounder.out.program.all(vec![belongs, lit])
                    }
                })
                .collect()
        };
        match (quantifier, denied) {
            (Quantifier::Any, false) | (Quantifier::No, true) => {
                let lits = each(self, false);
                self.out.program.any(lits)
            }
            (Quantifier::Any, true) | (Quantifier::No, false) => {
                let mut lits = each(self, true);
                lits.push(self.all_known(&word, bound));
                self.out.program.all(lits)
            }
            (Quantifier::Every, false) => {
                // For each: it does not belong, or it is so.
                let mut lits: Vec<Lit> = Vec::new();
                for &Member { term, does_not, .. } in &members {
                    let mut bound = bound.clone();
                    bound.insert(variable, term);
                    let lit = self.formula(rule, body, &bound, false);
                    lits.push(self.out.program.any(vec![does_not, lit]));
                }
                lits.push(self.all_known(&word, bound));
                self.out.program.all(lits)
            }
            (Quantifier::Every, true) => {
                let mut lits: Vec<Lit> = Vec::new();
                for &Member { term, belongs, .. } in &members {
                    let mut bound = bound.clone();
                    bound.insert(variable, term);
                    let lit = self.formula(rule, body, &bound, true);
                    lits.push(self.out.program.all(vec![belongs, lit]));
                }
                self.out.program.any(lits)
            }
            (Quantifier::AtLeast(count), false) => {
                let lits = each(self, false);
                self.at_least(count, &lits)
            }
            (Quantifier::AtLeast(count), true) => {
                let lits = each(self, false);
                let enough = self.at_least(count, &lits);
                let known = self.all_known(&word, bound);
                self.out.program.all(vec![enough.denied(), known])
            }
        }
    }

    /// At least `count` of the literals, built up one literal at a time.
    fn at_least(&mut self, count: u32, lits: &[Lit]) -> Lit {
        let count = count as usize;
        if count > lits.len() {
            return Lit::False;
        }
        // reached[k]: at least k of those seen so far.
        let mut reached = vec![Lit::False; count + 1];
        if let Some(none) = reached.first_mut() {
            *none = Lit::True;
        }
        for &lit in lits {
            for k in (1..=count).rev() {
                let (before, below) =
                    (reached.get(k).copied().unwrap_or(Lit::False), reached.get(k - 1).copied().unwrap_or(Lit::False));
                let step = self.out.program.all(vec![below, lit]);
                let now = self.out.program.any(vec![before, step]);
                if let Some(place) = reached.get_mut(k) {
                    *place = now;
                }
            }
        }
        reached.last().copied().unwrap_or(Lit::False)
    }

    /// The literal that a sentence holds, or (`denied`) that it does not.
    pub(super) fn sentence(&mut self, rule: &Rule, form: &Form, bound: &Bound, denied: bool) -> Lit {
        let lit = match form {
            Form::Happens(happens) => return self.happens_anywhere(happens, bound, denied),
            Form::Touched(subject) => {
                let Some(part) = self.term(*subject, bound) else {
                    return Lit::False;
                };
                let events = self.touching(part);
                self.reaches(&events, denied);
                let touched: Vec<Lit> = events
                    .into_iter()
                    .filter_map(|event| self.out.program.find(&Claim::Touched(part, event)))
                    .map(|atom| Lit::Atom(atom, true))
                    .collect();
                let any = self.out.program.any(touched);
                let present = self.present(part);
                if denied {
                    // Not there, or not touched by anything listed; work nobody listed may still have touched it.
                    let complete = self.nothing_unlisted();
                    let untouched = self.out.program.all(vec![any.denied(), complete]);
                    return self.out.program.any(vec![present.denied(), untouched]);
                }
                self.out.program.all(vec![any, present])
            }
            Form::State(subject, state) => {
                let Some(part) = self.term(*subject, bound) else {
                    return Lit::False;
                };
                let lit = self.in_state(*state, part, denied);
                return self.derived(Derived::State(*state), Some(part), lit, denied);
            }
            Form::Equipped(subject) => match self.term(*subject, bound) {
                Some(term) => self.equipped(term),
                None => Lit::False,
            },
            Form::Measured { measure, of, change, limit } => {
                let of = match of {
                    Some(subject) => match self.term(*subject, bound) {
                        Some(term) => Some(term),
                        None => return Lit::False,
                    },
                    None => None,
                };
                self.measured(*measure, of, *change, limit)
            }
            Form::ModelYear(years) => {
                let known = self.scoped.car.year.map(i64::from);
                let variable = self.out.program.variable(Fact::ModelYear, || Domain::Whole(known));
                let ask = Ask::Whole(years.first.map(i64::from), years.last.map(i64::from));
                self.out.program.leaf(variable, &ask)
            }
            Form::Built(days) => {
                let known = self.scoped.car.built.map(|day| day.days());
                let variable = self.out.program.variable(Fact::Built, || Domain::Whole(known));
                let ask = Ask::Whole(days.first.map(|day| day.days()), days.last.map(|day| day.days()));
                self.out.program.leaf(variable, &ask)
            }
            Form::Dated(days) => match knockon_rules::scope::within(days, &self.scoped.as_of) {
                true => Lit::True,
                false => Lit::False,
            },
            Form::Holds(condition, of) => {
                let of = of.and_then(|subject| self.term(subject, bound));
                let answered = self.job.conditions.get(&(*condition, of)).copied();
                let variable = self.out.program.variable(Fact::Condition(*condition, of), || Domain::YesNo);
                if let Some(answered) = answered
                    && let Some(found) = self.out.program.variable_mut(variable)
                {
                    found.given = answered.yes.map(yes_no);
                    found.cannot_tell = answered.yes.is_none();
                }
                self.out.program.leaf(variable, &Ask::Yes)
            }
            Form::Quality(quality) => return self.quality(*quality, bound, denied),
            Form::Chosen(choice, of, value) => {
                let of = of.and_then(|subject| self.term(subject, bound));
                self.chosen(*choice, of, *value)
            }
            Form::Due(duty) => {
                let Some(of) = self.of(duty, bound) else {
                    return Lit::False;
                };
                let lit = self.is_due(duty.procedure, of, denied);
                return self.derived(Derived::Due(duty.procedure), of, lit, denied);
            }
            Form::Code { codes, kept, module } => {
                let Some(module) = self.term(*module, bound) else {
                    return Lit::False;
                };
                let (present, holds) = (self.present(module), self.code(module, *codes, *kept));
                self.out.program.all(vec![present, holds])
            }
            Form::Read(module) => match self.term(*module, bound) {
                Some(module) => self.was_read(module),
                None => Lit::False,
            },
            Form::Done { duty, outcome, since, before } => {
                self.done(rule, duty, *outcome, (since.as_deref(), before.as_deref()), bound)
            }
            Form::NotKnown(knowable) => match self.is_known(knowable, bound) {
                true => Lit::False,
                false => Lit::True,
            },
            Form::WorkComplete => self.work_complete(),
            Form::EquipmentComplete => {
                let variable = self.out.program.variable(Fact::EquipmentComplete, || Domain::YesNo);
                if self.job.equipment_complete.is_some()
                    && let Some(found) = self.out.program.variable_mut(variable)
                {
                    found.given = Some(yes_no(true));
                }
                self.out.program.leaf(variable, &Ask::Yes)
            }
            Form::Related(subject, relation, to) => {
                let (Some(part), Some(to)) = (self.term(*subject, bound), self.term(*to, bound)) else {
                    return Lit::False;
                };
                let related = self.related(part, *relation, to);
                if denied {
                    let complete = self.list_complete(List::Relation(*relation), Some(part));
                    return self.out.program.all(vec![related.denied(), complete]);
                }
                related
            }
        };
        if denied { lit.denied() } else { lit }
    }

    /// The subject of a duty: nothing where it has one that stands for nothing.
    pub(super) fn of(&self, duty: &Duty, bound: &Bound) -> Option<Option<TermId>> {
        match duty.of {
            None => Some(None),
            Some(subject) => self.term(subject, bound).map(Some),
        }
    }

    pub(super) fn chosen(&mut self, choice: TermId, of: Option<TermId>, value: TermId) -> Lit {
        let values = match &self.vocabulary.term(choice).detail {
            Detail::Choice { values, .. } => values.clone(),
            _ => Vec::new(),
        };
        let left = match self.job.choices.get(&(choice, of)) {
            Some((is, is_not, _)) => {
                values.into_iter().filter(|value| is.is_none_or(|is| is == *value) && !is_not.contains(value)).collect()
            }
            None => values,
        };
        let variable = self.out.program.variable(Fact::Choice(choice, of), || Domain::Terms(left));
        self.out.program.leaf(variable, &Ask::OneOf(vec![value]))
    }

    fn measured(&mut self, measure: TermId, of: Option<TermId>, change: bool, limit: &Limit) -> Lit {
        let readings = self.job.measured.get(&(measure, of, change)).cloned().unwrap_or_default();
        let ask = Ask::Within(limit.ranges.clone());
        let mut lits = Vec::new();
        for reading in 0..readings.len().max(1) {
            let read = readings.get(reading).map(|(reading, _)| reading.interval());
            let fact = Fact::Measure { measure, of, change, reading };
            let variable = self.out.program.variable(fact, || Domain::Number(read));
            lits.push(self.out.program.leaf(variable, &ask));
        }
        // Of several readings one over the limit is enough to be over it, and all must be under it to be under it.
        let upward = limit.ranges.iter().any(|range: &Range| range.high.is_none());
        if upward { self.out.program.any(lits) } else { self.out.program.all(lits) }
    }

    /// The events that may be what a sentence asks for.
    pub(super) fn matching(&self, happens: &Happens, subject: Option<TermId>) -> Vec<EventId> {
        self.by_subject
            .get(&subject)
            .into_iter()
            .flatten()
            .copied()
            .filter(|id| {
                self.out
                    .events
                    .get(id.0 as usize)
                    .is_some_and(|event| happens.what.iter().any(|&what| self.vocabulary.counts_as(event.what, what)))
            })
            .filter(|&event| self.in_sight(event))
            .collect()
    }

    /// What it takes for one event to be what a sentence asks for.
    pub(super) fn is_it(&mut self, happens: &Happens, event: EventId) -> Vec<Lit> {
        let happened = self.out.program.atom(Claim::Happened(event));
        let mut lits = vec![Lit::Atom(happened, true)];
        let Some(found) = self.out.events.get(event.0 as usize).cloned() else {
            return vec![Lit::False];
        };
        if let Some((placing, zone)) = happens.place {
            let part = match self.vocabulary.term(zone).detail {
                Detail::Zone(part) => Some(part),
                _ => None,
            };
            let on_it = part.is_some_and(|part| {
                found.subject.is_some_and(|subject| self.vocabulary.members(part).contains(&subject))
            });
            if !on_it {
                return vec![Lit::False];
            }
            let variable = self.out.program.variable(Fact::Place { event, zone }, || Domain::Place);
            let mut given = 0b111_u64;
            for &(placing, known) in &found.places {
                if known == zone {
                    given &= match placing {
                        Placing::In => 0b001,
                        Placing::Touching => 0b011,
                        Placing::Outside => 0b100,
                    };
                }
            }
            if given != 0b111
                && let Some(variable) = self.out.program.variable_mut(variable)
            {
                variable.given = Some(given);
            }
            let ask = match placing {
                Placing::In => Ask::Placed { inside: true, edge: false, outside: false },
                Placing::Touching => Ask::Placed { inside: true, edge: true, outside: false },
                Placing::Outside => Ask::Placed { inside: false, edge: false, outside: true },
            };
            lits.push(self.out.program.leaf(variable, &ask));
        }
        for (measure, limit) in &happens.sizes {
            let read = found.sizes.iter().find(|(known, _)| known == measure).map(|(_, reading)| reading.interval());
            let fact = Fact::Size { event, measure: *measure };
            let variable = self.out.program.variable(fact, || Domain::Number(read));
            lits.push(self.out.program.leaf(variable, &Ask::Within(limit.ranges.clone())));
        }
        if let Some(cause) = happens.because {
            lits.push(self.because(event, cause));
        }
        lits
    }

    /// Notes which events of the generation grounded now a sentence looks at.
    fn reaches(&mut self, events: &[EventId], denied: bool) {
        if self.last > 0 && !denied {
            let new: Vec<EventId> =
                events.iter().copied().filter(|&event| self.generation(event) == self.horizon).collect();
            self.reached.extend(new);
        }
    }

    /// That a part is in a state, by what happened up to the generation grounded now.
    fn in_state(&mut self, state: TermId, part: TermId, denied: bool) -> Lit {
        let causes: Vec<EventId> =
            self.state_causes.get(&(state, part)).into_iter().flatten().flatten().copied().collect();
        self.reaches(&causes, denied);
        let claim = match self.horizon < self.last {
            true => Claim::StateBy { state, part, generation: self.horizon },
            false => Claim::State { state, part, causes: None },
        };
        Lit::Atom(self.out.program.atom(claim), true)
    }

    /// The same of a duty.
    fn is_due(&mut self, procedure: TermId, of: Option<TermId>, denied: bool) -> Lit {
        let causes: Vec<EventId> =
            self.due_causes.get(&(procedure, of)).into_iter().flatten().flatten().copied().collect();
        self.reaches(&causes, denied);
        let claim = match self.horizon < self.last {
            true => Claim::DueBy { procedure, of, generation: self.horizon },
            false => Claim::Due { procedure, of, causes: None },
        };
        Lit::Atom(self.out.program.atom(claim), true)
    }

    /// Whether anything is what a sentence asks for.
    fn happens_anywhere(&mut self, happens: &Happens, bound: &Bound, denied: bool) -> Lit {
        let subject = match happens.subject {
            None => None,
            Some(subject) => match self.term(subject, bound) {
                Some(term) => Some(term),
                None => return Lit::False,
            },
        };
        let mut ways = Vec::new();
        let events = self.matching(happens, subject);
        self.reaches(&events, denied);
        for event in events {
            let lits = self.is_it(happens, event);
            ways.push(self.out.program.all(lits));
        }
        let any = self.out.program.any(ways);
        if !denied {
            return any;
        }
        let work = happens.what.iter().any(|&what| self.vocabulary.class(what) == Class::Operation);
        let mut lits = vec![any.denied()];
        if work {
            // Work not listed sets nothing off, but that it was not done rests on the list being complete.
            lits.push(self.nothing_unlisted());
        }
        self.out.program.all(lits)
    }
}

/// A term that may be what a class word stands for.
#[derive(Clone, Copy, Debug)]
pub(super) struct Member {
    pub(super) term: TermId,
    /// That it is one.
    pub(super) belongs: Lit,
    /// That it is not.
    pub(super) does_not: Lit,
}

/// Whether a term is taken by another class word, and `other` says that the two are not the same.
fn is_another(rule: &Rule, id: VariableId, term: TermId, bound: &Bound) -> bool {
    let excludes = |one: VariableId, two: VariableId| {
        rule.variables.get(one.0 as usize).is_some_and(|word| word.other_than.contains(&two))
    };
    bound.iter().any(|(&other, &taken)| taken == term && (excludes(id, other) || excludes(other, id)))
}
