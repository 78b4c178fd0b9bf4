//! Conclusions: what follows where one way of a rule's condition holds.

use knockon_terms::TermId;
use knockon_terms::resolved::{Conclusion as RuleConclusion, ConclusionKind, Duty, Happens, Permission, Rule, RuleId};

use super::record::NamedEvent;
use super::way::{Instance, Partial};
use super::{Bound, ConclusionKey, Grounder};
use crate::atoms::{Claim, Conclusion, DutyKey, Lit, Said, Why};
use crate::event::{Causes, EventId};
use crate::fact::{Ask, Domain, Fact};

impl Grounder<'_> {
    pub(super) fn conclude(&mut self, instance: Instance<'_>) {
        for (number, conclusion) in instance.rule.conclusions_by(instance.reading) {
            let mut runs = vec![instance.run.clone()];
            for &variable in &conclusion.every {
                runs = runs.iter().flat_map(|run| self.run_over(instance.rule, variable, run)).collect();
            }
            self.instances += runs.len();
            for run in runs {
                self.conclusion(&instance, &run, number as u32, conclusion);
            }
        }
    }

    fn conclusion(&mut self, instance: &Instance<'_>, run: &Partial, number: u32, conclusion: &RuleConclusion) {
        let Instance { rule, id, causes, .. } = instance;
        let id = *id;
        let source = rule.cites.source;
        let weak = !self.scoped.weaknesses(self.library, &rule.cites).is_empty();
        let base = Conclusion {
            rule: id,
            source,
            said: Said::Ask,
            what: TermId(0),
            of: None,
            or: Vec::new(),
            causes: causes.clone(),
            every_cause: false,
            only_rule: None,
            only_advised: false,
            zone: None,
            second: None,
            until: None,
            words: None,
            left_open: None,
            would: None,
            generation: instance.generation,
            atom: crate::atoms::AtomId(0),
        };
        // What asks stands unless its exception is shown; what takes away stands only if its exception is shown not
        // to hold. So work nobody listed makes neither less demanding.
        let holds: Vec<Lit> = run.lits.iter().copied().chain([instance.excused.denied()]).collect();
        let surely: Vec<Lit> = run.lits.iter().copied().chain([instance.not_excused]).collect();
        match &conclusion.kind {
            ConclusionKind::Require { words, .. }
            | ConclusionKind::Advise { words, .. }
            | ConclusionKind::Either { words, .. } => {
                let (said, ways) = match &conclusion.kind {
                    ConclusionKind::Advise { duty, .. } => (Said::Advise, std::slice::from_ref(duty)),
                    ConclusionKind::Require { duty, .. } => (Said::Ask, std::slice::from_ref(duty)),
                    ConclusionKind::Either { advised: true, ways, .. } => (Said::Advise, ways.as_slice()),
                    ConclusionKind::Either { ways, .. } => (Said::Ask, ways.as_slice()),
                    _ => return,
                };
                let Some(DutyKey { procedure, of, or }) = self.duty_key(ways, &run.bound) else {
                    return;
                };
                let stated = Conclusion { said, what: procedure, of, or, words: words.clone(), ..base };
                self.add(number, stated.clone(), holds, id, false);
                self.excuse(number, instance, run, stated, weak);
            }
            ConclusionKind::LeaveOpen { duty, because } => {
                let Some(of) = self.of(duty, &run.bound) else {
                    return;
                };
                // Due or not, and nobody knows which until the maker is asked.
                let variable = self.out.program.variable(Fact::LeftOpen(id, number), || Domain::YesNo);
                let asked = self.out.program.leaf(variable, &Ask::Yes);
                let left_open = Some(because.clone());
                let stated = Conclusion { what: duty.procedure, of, left_open, ..base };
                self.add(number, stated, holds.into_iter().chain([asked]).collect(), id, false);
            }
            ConclusionKind::OpenList { advised, listed, words } => {
                let said = if *advised { Said::Advise } else { Said::Ask };
                let base = Conclusion { said, words: words.clone(), ..base };
                for duty in listed {
                    let Some(of) = self.of(duty, &run.bound) else { continue };
                    let stated = Conclusion { what: duty.procedure, of, ..base.clone() };
                    self.add(number, stated.clone(), holds.clone(), id, false);
                    self.excuse(number, instance, run, stated, weak);
                }
                let Some(first) = listed.first() else { return };
                // Which others the text means, nobody knows until they are read there.
                let variable = self.out.program.variable(Fact::LeftOpen(id, number), || Domain::YesNo);
                let asked = self.out.program.leaf(variable, &Ask::Yes);
                let left_open = Some("the list goes on with others that it does not name".to_string());
                let stated = Conclusion { what: first.procedure, of: None, left_open, ..base };
                let body = holds.into_iter().chain([asked]).collect();
                self.add(number, stated.clone(), body, id, false);
                self.excuse(number, instance, run, Conclusion { left_open: None, ..stated }, weak);
            }
            ConclusionKind::Waive { duty, after } => {
                let Some(of) = self.of(duty, &run.bound) else {
                    return;
                };
                let mut stated = Conclusion { said: Said::Waive, what: duty.procedure, of, ..base };
                if let Some(after) = after {
                    // Waived after something that did not happen: nothing is waived.
                    for (causes, belongs) in self.caused(rule, after, &run.bound) {
                        let body = surely.iter().copied().chain(belongs).collect();
                        self.take_away(number, Conclusion { causes, ..stated.clone() }, body, weak, false);
                    }
                    return;
                } else if causes.is_empty() && !instance.standing {
                    // The condition names causes, and there are none: the waiver is for no cause, not for every one.
                    return;
                }
                stated.every_cause = stated.causes.is_empty();
                self.take_away(number, stated, surely, weak, false);
            }
            ConclusionKind::WaiveRule(name) => {
                let Some(other) = self.library.rule_named(name) else {
                    return;
                };
                let asked: Vec<Conclusion> = self
                    .out
                    .program
                    .conclusions
                    .iter()
                    .filter(|ask| ask.rule == other && matches!(ask.said, Said::Ask | Said::Advise))
                    .cloned()
                    .collect();
                // For every cause that rule asks for, and only while it asks.
                for ask in asked {
                    let stated = Conclusion {
                        said: Said::Waive,
                        what: ask.what,
                        of: ask.of,
                        or: ask.or.clone(),
                        causes: ask.causes.clone(),
                        only_rule: Some(other),
                        generation: base.generation.max(ask.generation),
                        ..base.clone()
                    };
                    let body = surely.iter().copied().chain([Lit::Atom(ask.atom, true)]).collect();
                    self.take_away(number, stated, body, weak, false);
                }
            }
            ConclusionKind::Forbid(permission) => {
                let Some(stated) = self.permission(Said::Forbid, permission, &run.bound, base) else {
                    return;
                };
                self.add(number, stated, holds, id, false);
            }
            ConclusionKind::Allow { permission, only, limit } => {
                let Some(stated) = self.permission(Said::Allow, permission, &run.bound, base) else {
                    return;
                };
                let within = match limit {
                    Some(limit) => self.formula(rule, limit, &run.bound, false),
                    None => Lit::True,
                };
                if *only {
                    // Whatever is not shown to lie within: a limit that nobody measured leaves it open.
                    let beyond = holds.iter().copied().chain([within.denied()]).collect();
                    self.add(number, Conclusion { said: Said::Forbid, ..stated.clone() }, beyond, id, false);
                }
                let surely = surely.into_iter().chain([within]).collect();
                self.take_away(number, stated, surely, weak, false);
            }
            ConclusionKind::Hold { duty, until } => {
                let Some(of) = self.of(duty, &run.bound) else {
                    return;
                };
                let until_lit = self.formula(rule, until, &run.bound, false);
                let words = knockon_terms::reading::condition(&self.library.resolved, &rule.variables, until);
                let stated =
                    Conclusion { said: Said::Hold, what: duty.procedure, of, until: Some((until_lit, words)), ..base };
                self.add(number, stated, holds, id, false);
            }
            ConclusionKind::Before(first, second) => {
                let (Some(of), Some(second_of)) = (self.of(first, &run.bound), self.of(second, &run.bound)) else {
                    return;
                };
                let stated = Conclusion {
                    said: Said::Before,
                    what: first.procedure,
                    of,
                    second: Some((second.procedure, second_of)),
                    ..base
                };
                self.add(number, stated, holds, id, false);
            }
            ConclusionKind::Set(value) => {
                // It is set whatever the cause: what is due brings the value with it.
                self.value(rule, number, value, &run.bound, &Conclusion { causes: Vec::new(), ..base }, &holds);
            }
            ConclusionKind::Ask(text) => {
                self.add(
                    number,
                    Conclusion { said: Said::Question, words: Some(text.clone()), ..base },
                    holds,
                    id,
                    false,
                );
            }
            ConclusionKind::Warn(text) => {
                self.add(number, Conclusion { said: Said::Warn, words: Some(text.clone()), ..base }, holds, id, false);
            }
            ConclusionKind::Off { system, duties } => {
                let Some(system) = self.term(*system, &run.bound) else { return };
                let present = self.present(system);
                for duty in duties {
                    let Some(of) = self.of(duty, &run.bound) else { continue };
                    let second = Some((duty.procedure, of));
                    let stated = Conclusion { said: Said::Off, what: system, second, ..base.clone() };
                    let body = holds.iter().copied().chain([present]).collect();
                    self.add(number, stated, body, id, false);
                }
            }
            ConclusionKind::State(subject, state) => {
                let Some(part) = self.term(*subject, &run.bound) else {
                    return;
                };
                let present = self.present(part);
                let with = self.out.program.atom(Claim::State { state: *state, part, causes: Some(causes.clone()) });
                let body = holds.iter().copied().chain([present]);
                self.out.program.clause(with, body, Why::Rule(id));
                let any = self.out.program.atom(Claim::State { state: *state, part, causes: None });
                self.out.program.clause(any, [Lit::Atom(with, true)], Why::Meaning);
                for generation in instance.generation..self.last {
                    let by = self.out.program.atom(Claim::StateBy { state: *state, part, generation });
                    self.out.program.clause(by, [Lit::Atom(with, true)], Why::Meaning);
                }
                let known = self.state_causes.entry((*state, part)).or_default();
                if !known.contains(causes) {
                    known.push(causes.clone());
                }
            }
        }
    }

    /// Adds that an exception of the rule excuses what it asks or advises, where it has one.
    fn excuse(&mut self, number: u32, instance: &Instance<'_>, run: &Partial, stated: Conclusion, weak: bool) {
        if instance.excused == Lit::False {
            return;
        }
        let only_advised = stated.said == Said::Advise;
        let body: Vec<Lit> = run.lits.iter().copied().chain([instance.excused]).collect();
        self.take_away(number, Conclusion { said: Said::Excuse, only_advised, ..stated }, body, weak, true);
    }

    /// Adds what takes away. A text that may not waive or allow takes nothing away from others, and whether it holds
    /// is an open fact; what it would take away is kept, so that where it does not hold somebody must look.
    fn take_away(&mut self, number: u32, mut stated: Conclusion, mut body: Vec<Lit>, weak: bool, exception: bool) {
        if weak {
            if stated.said == Said::Waive {
                stated.said = Said::Excuse;
            }
            let held = self.source_holds(stated.source);
            let id = stated.rule;
            let would = body.clone();
            body.push(held);
            if let Some(index) = self.add(number, stated, body, id, exception) {
                self.would(index, would);
            }
            return;
        }
        let id = stated.rule;
        self.add(number, stated, body, id, exception);
    }

    /// Adds a way in which a conclusion of a text that may not waive would hold.
    fn would(&mut self, index: usize, mut body: Vec<Lit>) {
        let Some(duty) = self.out.program.conclusions.get(index).map(Conclusion::duty) else { return };
        body.push(self.some_present(&duty));
        let would = self.out.program.atom(Claim::Would(index));
        self.out.program.clause(would, body, Why::Meaning);
        if let Some(conclusion) = self.out.program.conclusions.get_mut(index) {
            conclusion.would = Some(would);
        }
    }

    pub(super) fn source_holds(&mut self, source: knockon_terms::resolved::SourceId) -> Lit {
        let variable = self.out.program.variable(Fact::SourceHolds(source), || Domain::YesNo);
        self.out.program.leaf(variable, &Ask::Yes)
    }

    fn permission(&self, said: Said, permission: &Permission, bound: &Bound, base: Conclusion) -> Option<Conclusion> {
        let part = self.term(permission.part, bound)?;
        Some(Conclusion { said, what: permission.operation, of: Some(part), zone: permission.zone, ..base })
    }

    /// The events a waiver's `after` names, with what their being named turns on: those surely named together, and
    /// beside these all that may be.
    fn caused(&mut self, rule: &Rule, after: &Happens, bound: &Bound) -> Vec<(Causes, Vec<Lit>)> {
        let named = self.named_events(rule, Some(after), bound, None);
        let mut sure: Causes = Vec::new();
        let (mut all, mut turns_on) = (Causes::new(), Vec::new());
        for NamedEvent { event, belongs, .. } in named {
            match belongs {
                Lit::True => sure.push(event),
                Lit::False => continue,
                belongs if !turns_on.contains(&belongs) => turns_on.push(belongs),
                _ => {}
            }
            all.push(event);
        }
        all.sort();
        sure.sort();
        let mut ways = Vec::new();
        if !sure.is_empty() {
            ways.push((sure, Vec::new()));
        }
        if !turns_on.is_empty() {
            ways.push((all, turns_on));
        }
        ways
    }

    /// The duty, or the choice between several by name; nothing where one of them is of no part.
    fn duty_key(&self, ways: &[Duty], bound: &Bound) -> Option<DutyKey> {
        let mut all: Vec<(TermId, Option<TermId>)> = Vec::with_capacity(ways.len());
        for duty in ways {
            let way = (duty.procedure, self.of(duty, bound)?);
            if !all.contains(&way) {
                all.push(way);
            }
        }
        // By name, so that a choice is the same whatever is said first.
        let name = |term: TermId| self.vocabulary.name(term);
        all.sort_by_key(|(procedure, of)| (name(*procedure), of.map(name)));
        let (&(procedure, of), or) = all.split_first()?;
        Some(DutyKey { procedure, of, or: or.to_vec() })
    }

    /// That the car has what a duty is of, or of a choice what one of its duties is of.
    fn some_present(&mut self, duty: &DutyKey) -> Lit {
        let lits: Vec<Lit> = duty.ways().map(|(_, of)| of.map_or(Lit::True, |of| self.present(of))).collect();
        self.out.program.any(lits)
    }

    /// What a procedure does itself makes it neither due nor not needed: nothing where nothing else is named.
    fn without_own_doings(&self, stated: &mut Conclusion) -> Option<()> {
        if self.scoped.carrying_out.is_empty() || stated.causes.is_empty() {
            return Some(());
        }
        let duty = stated.duty();
        let own = |event: &EventId| duty.ways().any(|way| self.is_own_doing(*event, way));
        if stated.said == Said::Waive {
            stated.causes.retain(|event| !own(event));
            return (!stated.causes.is_empty()).then_some(());
        }
        (!stated.causes.iter().any(own)).then_some(())
    }

    /// Adds one way in which a conclusion holds; its number, unless it cannot hold that way.
    pub(super) fn add(
        &mut self,
        number: u32,
        mut stated: Conclusion,
        mut body: Vec<Lit>,
        rule: RuleId,
        exception: bool,
    ) -> Option<usize> {
        if !matches!(stated.said, Said::Forbid | Said::Allow) {
            // What is due on a sensor is due only if the car has it.
            let present = self.some_present(&stated.duty());
            body.push(present);
        }
        if body.contains(&Lit::False) {
            return None;
        }
        match stated.said {
            Said::Ask | Said::Advise | Said::Excuse | Said::Waive => self.without_own_doings(&mut stated)?,
            // Of these nothing is rested on: they are one, in whatever generation they come about.
            _ => stated.generation = 0,
        }
        let about = (stated.duty(), stated.second);
        let key: ConclusionKey = (rule.0, number, stated.said.clone(), about, stated.causes.clone(), stated.generation);
        let index = match self.conclusion_keys.get(&key) {
            Some(&index) => index,
            None => {
                let index = self.out.program.conclusions.len();
                stated.atom = self.out.program.atom(Claim::Concluded(index));
                if stated.said == Said::Ask && stated.or.is_empty() {
                    let known = self.due_causes.entry((stated.what, stated.of)).or_default();
                    if !known.contains(&stated.causes) {
                        known.push(stated.causes.clone());
                    }
                }
                self.out.program.conclusions.push(stated);
                self.conclusion_keys.insert(key, index);
                index
            }
        };
        let atom = self.out.program.conclusions.get(index).map(|conclusion| conclusion.atom)?;
        let why = if exception { Why::Exception(rule) } else { Why::Rule(rule) };
        self.out.program.clause(atom, body, why);
        Some(index)
    }
}
