//! Grounding: the rules in scope, with their class words run over this car's parts and their
//! happenings over this job's events, as clauses over atoms.

mod carried_out;
mod changes;
mod clauses;
mod codes;
mod conclusions;
mod doings;
mod events;
mod instructions;
mod known;
mod qualities;
mod reasons;
mod record;
mod sentences;
mod ties;
mod unlisted;
mod values;
mod way;

use std::collections::{BTreeMap, BTreeSet};

use knockon_measure::CodePattern;
use knockon_rules::{JobProgram, KeyTest, Library, When};
use knockon_terms::resolved::{FactKind, List, RuleId, SourceId, VariableId};
use knockon_terms::strata::Derived;
use knockon_terms::{Class, Detail, TermId, Vocabulary};

use crate::atoms::{Claim, Conclusion, DutyKey, Lit, Program, Said, Why};
use crate::event::{Causes, Event, EventId, Origin, Procedure};
use crate::fact::{Ask, Domain, Fact};
use crate::job::JobFacts;
use crate::precedence::{TextOrder, takes_from, waiver_defeats};
pub use carried_out::CarriedOutAs;
use doings::Pending;
pub use doings::{Generations, MOST_GENERATIONS};
pub use instructions::{Instructions, Part, Told};

/// How many instances of rules one job may have. Beyond it a person could not read the answer either.
pub const MOST_INSTANCES: usize = 200_000;

/// How often grounding may go round: a rule that waits for a state or a duty is looked at again when one is new.
pub const MOST_ROUNDS: usize = 200;

/// A limit that was met while grounding.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Limit {
    /// More instances of rules than [`MOST_INSTANCES`].
    Instances,
    /// More rounds than [`MOST_ROUNDS`].
    Rounds,
    /// More generations of what procedures set off than [`MOST_GENERATIONS`].
    Generations,
    /// A fact cut into more values than [`crate::fact::MOST_VALUES`].
    Values(Fact),
}

impl Limit {
    /// Whether rules that could ask or take away are missing where it was met.
    pub fn leaves_rules_out(&self) -> bool {
        matches!(self, Limit::Instances | Limit::Rounds | Limit::Generations)
    }
}

/// A tie between parts that may hold for the car.
#[derive(Clone, Debug)]
pub struct Tie {
    /// The part tied.
    pub part: TermId,
    /// How.
    pub relation: TermId,
    /// To what.
    pub to: TermId,
    /// The fact, among the library's.
    pub fact: usize,
    /// What its being in scope turns on.
    pub when: Vec<Lit>,
}

/// A job made ready for evaluation.
#[derive(Clone, Debug)]
pub struct Grounded {
    /// The clauses.
    pub program: Program,
    /// What happened, and what may have.
    pub events: Vec<Event>,
    /// The ties.
    pub ties: Vec<Tie>,
    /// Work whose access list is not complete, with what usually comes off on the way.
    pub open_access: Vec<(EventId, Vec<EventId>)>,
    /// Limits met.
    pub limits: Vec<Limit>,
    /// Parts asked about for findings, untouched, and so assumed to be as they should.
    pub assumed_sound: bool,
    /// Whether something rests on events without a question not having happened to parts that nothing touches.
    pub assumed_untroubled: bool,
    /// Whether some condition rested on work that is not listed.
    pub assumed_unlisted: bool,
    /// Rules whose text another replaces for some cars, and whether for this one.
    pub replaced: Vec<(RuleId, SourceId, Lit)>,
    /// Which rules prevail over which by what their texts say.
    pub text_order: TextOrder,
    /// Whether a term is fitted of which nobody said so.
    pub fitted: BTreeMap<TermId, Lit>,
    /// As what procedures that are asked for are carried out.
    pub carried_out_as: Vec<CarriedOutAs>,
    /// The procedures that may have to be carried out, with the generations of what they do.
    pub generations: BTreeSet<(Procedure, u32)>,
    /// What texts tell to whoever carries out what may be due.
    pub instructions: Vec<Instructions>,
}

/// Grounds a job, with what procedures that may have to be carried out do.
pub fn ground(library: &Library, scoped: &JobProgram, job: &JobFacts, generations: &Generations) -> Grounded {
    let mut grounder = Grounder {
        library,
        vocabulary: library.vocabulary(),
        scoped,
        job,
        out: Grounded {
            program: Program::default(),
            events: Vec::new(),
            ties: Vec::new(),
            open_access: Vec::new(),
            limits: Vec::new(),
            assumed_sound: false,
            assumed_untroubled: false,
            assumed_unlisted: false,
            replaced: Vec::new(),
            text_order: TextOrder::default(),
            fitted: BTreeMap::new(),
            carried_out_as: Vec::new(),
            generations: generations.of.clone(),
            instructions: Vec::new(),
        },
        ties_of: BTreeMap::new(),
        ties_to: BTreeMap::new(),
        by_subject: BTreeMap::new(),
        conclusion_keys: BTreeMap::new(),
        state_causes: BTreeMap::new(),
        due_causes: BTreeMap::new(),
        more_parents: BTreeMap::new(),
        by_work: unlisted::by_work(library, scoped),
        code_pattern: codes::named_pattern(library),
        sure: BTreeSet::new(),
        instances: 0,
        generations,
        last: generations.last(),
        horizon: u32::MAX,
        reached: Vec::new(),
        pending: Vec::new(),
    };
    grounder.ties();
    grounder.events();
    grounder.settle_doings();
    grounder.clauses();
    grounder.instructions();
    for (rule, by, test) in &scoped.perhaps_replaced {
        let lit = grounder.key(test);
        grounder.out.replaced.push((*rule, *by, lit));
    }
    // INVARIANT: an answer from which rules are missing decides nothing; a missing rule could ask or take away.
    if grounder.out.limits.iter().any(Limit::leaves_rules_out) {
        grounder.out.program = Program::default();
    } else {
        grounder.finish();
    }
    grounder.out
}

/// What a conclusion is about, with the second duty of an order.
type About = (DutyKey, Option<(TermId, Option<TermId>)>);
type ConclusionKey = (u32, u32, Said, About, Causes, u32);

struct Grounder<'a> {
    library: &'a Library,
    vocabulary: &'a Vocabulary,
    scoped: &'a JobProgram,
    job: &'a JobFacts,
    out: Grounded,
    /// For each part, its ties.
    ties_of: BTreeMap<TermId, Vec<usize>>,
    /// For each part, the ties to it.
    ties_to: BTreeMap<TermId, Vec<usize>>,
    /// The events of each part.
    by_subject: BTreeMap<Option<TermId>, Vec<EventId>>,
    conclusion_keys: BTreeMap<ConclusionKey, usize>,
    /// The causes each state of a part may have.
    state_causes: BTreeMap<(TermId, TermId), Vec<Causes>>,
    /// The causes each duty may have.
    due_causes: BTreeMap<(TermId, Option<TermId>), Vec<Causes>>,
    /// For what is done on the way to several works, the works after the first.
    more_parents: BTreeMap<EventId, Vec<EventId>>,
    /// For each state and procedure, the conclusions by which work could bring it about.
    by_work: BTreeMap<Derived, Vec<unlisted::Head<'a>>>,
    /// One pattern of codes that rules name.
    code_pattern: Option<CodePattern>,
    /// What surely happened.
    sure: BTreeSet<EventId>,
    instances: usize,
    /// The procedures that may have to be carried out.
    generations: &'a Generations,
    /// The last generation.
    last: u32,
    /// The generation up to which events are looked at now.
    horizon: u32,
    /// The events of that generation which the sentence grounded last looked at, where it is not denied.
    reached: Causes,
    pending: Vec<Pending>,
}

/// The class words of a rule, with what they stand for.
type Bound = BTreeMap<VariableId, TermId>;

impl Grounder<'_> {
    /// What a car's being in scope turns on, as literals; nothing where it cannot be.
    fn keys(&mut self, tests: &[KeyTest]) -> Option<Vec<Lit>> {
        let mut lits = Vec::with_capacity(tests.len());
        for test in tests {
            match self.key(test) {
                Lit::False => return None,
                Lit::True => {}
                lit => lits.push(lit),
            }
        }
        Some(lits)
    }

    /// One thing a car's being in scope turns on, as a literal.
    fn key(&mut self, test: &KeyTest) -> Lit {
        match test {
            KeyTest::Model(models) => {
                let all = match &self.vocabulary.term(self.scoped.car.maker).detail {
                    Detail::Maker(models) => models.clone(),
                    _ => Vec::new(),
                };
                let variable = self.out.program.variable(Fact::Model, || Domain::Terms(all));
                self.out.program.leaf(variable, &Ask::OneOf(models.clone()))
            }
            KeyTest::Year(years) => {
                let variable = self.out.program.variable(Fact::ModelYear, || Domain::Whole(None));
                let ask = Ask::Whole(years.first.map(i64::from), years.last.map(i64::from));
                self.out.program.leaf(variable, &ask)
            }
            KeyTest::Built(days) => {
                let variable = self.out.program.variable(Fact::Built, || Domain::Whole(None));
                let ask = Ask::Whole(days.first.map(|day| day.days()), days.last.map(|day| day.days()));
                self.out.program.leaf(variable, &ask)
            }
            KeyTest::Vin(patterns) => {
                let variable = self.out.program.variable(Fact::Vin, || Domain::AnyVin);
                self.out.program.leaf(variable, &Ask::Fits(patterns.clone()))
            }
            KeyTest::Equipped(term) => self.equipped(*term),
            KeyTest::Chosen(choice, of, value) => self.chosen(*choice, *of, *value),
            KeyTest::Holds(source) => self.source_holds(*source),
            KeyTest::All(tests) => {
                let lits = tests.iter().map(|test| self.key(test)).collect();
                self.out.program.all(lits)
            }
            KeyTest::Any(tests) => {
                let lits = tests.iter().map(|test| self.key(test)).collect();
                self.out.program.any(lits)
            }
            KeyTest::Not(test) => self.key(test).denied(),
        }
    }

    /// Whether the car is equipped with a term, as a fact.
    fn equipped(&mut self, term: TermId) -> Lit {
        let known = self.known_fitted(term);
        let variable = self.out.program.variable(Fact::Equipped(term), || Domain::YesNo);
        if let Some(yes) = known
            && let Some(found) = self.out.program.variable_mut(variable)
        {
            found.given = Some(yes_no(yes));
        }
        let leaf = self.out.program.leaf(variable, &Ask::Yes);
        if known.is_some() {
            return leaf;
        }
        let fitted = self.as_texts_say(term, leaf);
        self.out.fitted.insert(term, fitted);
        fitted
    }

    /// Whether a term is fitted where nobody said so, and texts say that no car such as this one may be has it.
    fn as_texts_say(&mut self, term: TermId, leaf: Lit) -> Lit {
        let said: Vec<Vec<KeyTest>> = self
            .scoped
            .facts
            .iter()
            .filter(|fact| !fact.tests.is_empty())
            .filter(|fact| match self.library.facts().get(fact.fact).map(|fact| &fact.kind) {
                Some(FactKind::Has { what, yes: false, .. }) => *what == term,
                _ => false,
            })
            .map(|fact| fact.tests.clone())
            // What hangs on equipment could hang on this.
            .filter(|tests| !tests.iter().any(asks_equipment))
            .collect();
        let mut fitted = leaf;
        for tests in said {
            let Some(lits) = self.keys(&tests) else { continue };
            let in_scope = self.out.program.all(lits);
            fitted = self.out.program.all(vec![fitted, in_scope.denied()]);
        }
        fitted
    }

    /// What is known of a term's being fitted: the car itself first, then the maker's facts about such cars.
    fn known_fitted(&self, term: TermId) -> Option<bool> {
        let class = self.vocabulary.class(term);
        if let Some((yes, line)) = self.job.fitted(term, class) {
            // That nobody named it does not settle it where a text may say that every such car has it.
            let unnamed = self.job.equipment_complete == Some(line) && !self.job.equipped.contains_key(&term);
            let open = !yes && unnamed && self.job.text_may_give(self.library, self.scoped, term);
            return (!open).then_some(yes);
        }
        self.scoped.facts.iter().filter(|fact| fact.tests.is_empty()).find_map(|fact| {
            match self.library.facts().get(fact.fact).map(|fact| &fact.kind) {
                Some(FactKind::Has { what, yes, .. }) if *what == term => Some(*yes),
                _ => None,
            }
        })
    }

    /// Whether something about a part can matter: a part is taken to be there unless it is said not to be;
    /// what a car may or may not have is a fact of its own.
    fn present(&mut self, term: TermId) -> Lit {
        match self.vocabulary.class(term) {
            Class::Part => match self.stated_absent(term) {
                true => Lit::False,
                false => Lit::True,
            },
            class if class.is_equipment() => self.equipped(term),
            _ => Lit::True,
        }
    }

    fn stated_absent(&self, term: TermId) -> bool {
        if let Some((yes, _)) = self.job.equipped.get(&term) {
            return !yes;
        }
        let worked_on = self.job.happened.iter().any(|(happened, _)| happened.subject == Some(term));
        !worked_on
            && self.scoped.facts.iter().filter(|fact| fact.tests.is_empty()).any(|fact| {
                matches!(
                    self.library.facts().get(fact.fact).map(|fact| &fact.kind),
                    Some(FactKind::Has { what, yes: false, .. }) if *what == term
                )
            })
    }

    /// Whether a list is complete, as a literal.
    fn list_complete(&mut self, list: List, of: Option<TermId>) -> Lit {
        let mut ways = Vec::new();
        let facts: Vec<(usize, Vec<KeyTest>)> = self
            .scoped
            .facts
            .iter()
            .filter(|fact| {
                matches!(
                    self.library.facts().get(fact.fact).map(|fact| &fact.kind),
                    Some(FactKind::Complete { list: found, of: about })
                        if *found == list && (about.is_none() || *about == of)
                )
            })
            .map(|fact| (fact.fact, fact.tests.clone()))
            .collect();
        for (_, tests) in facts {
            if let Some(lits) = self.keys(&tests) {
                ways.push(self.out.program.all(lits));
            }
        }
        if ways.contains(&Lit::True) {
            return Lit::True;
        }
        let variable = self.out.program.variable(Fact::ListComplete(list, of), || Domain::YesNo);
        ways.push(self.out.program.leaf(variable, &Ask::Yes));
        self.out.program.any(ways)
    }

    /// Joins what was grounded: what prevails, what is due, about what somebody speaks; cuts the facts.
    fn finish(&mut self) {
        let conclusions = self.out.program.conclusions.clone();
        self.text_order(&conclusions);
        let mut waivers: BTreeMap<DutyKey, Vec<&Conclusion>> = BTreeMap::new();
        for waiver in conclusions.iter().filter(|waiver| matches!(waiver.said, Said::Waive | Said::Excuse)) {
            waivers.entry(waiver.duty()).or_default().push(waiver);
        }
        for (index, ask) in conclusions.iter().enumerate() {
            if ask.said != Said::Ask {
                continue;
            }
            let stands = self.out.program.atom(Claim::Stands(index));
            let mut body = vec![Lit::Atom(ask.atom, true)];
            for waiver in waivers.get(&ask.duty()).into_iter().flatten() {
                if !takes_from(self.library, waiver, ask) {
                    continue;
                }
                let prevails = waiver_defeats(self.library, &self.out.text_order, waiver, ask);
                if prevails != Lit::False {
                    body.push(self.out.program.all(vec![Lit::Atom(waiver.atom, true), prevails]).denied());
                }
            }
            self.out.program.clause(stands, body, Why::Meaning);
            if !ask.or.is_empty() {
                // Each of a choice is only a way to meet it.
                continue;
            }
            for causes in [None, Some(ask.causes.clone())] {
                let due = self.out.program.atom(Claim::Due { procedure: ask.what, of: ask.of, causes });
                self.out.program.clause(due, [Lit::Atom(stands, true)], Why::Meaning);
            }
            for generation in ask.generation..self.last {
                let claim = Claim::DueBy { procedure: ask.what, of: ask.of, generation };
                let due = self.out.program.atom(claim);
                self.out.program.clause(due, [Lit::Atom(stands, true)], Why::Meaning);
            }
        }
        self.carried_out_as(&conclusions);
        self.carried_out(&conclusions);
        for conclusion in &conclusions {
            self.speaks(conclusion);
        }
        // Whether a touched sensor is fitted is a fact of its own, whether or not some rule asks about it.
        let sensors: BTreeSet<TermId> = self
            .out
            .program
            .claims
            .iter()
            .filter_map(|claim| match claim {
                Claim::Touched(part, _) if self.vocabulary.class(*part) == Class::Sensor => Some(*part),
                _ => None,
            })
            .collect();
        for sensor in sensors {
            self.equipped(sensor);
        }
        let mut past: Vec<Limit> = self.out.program.cut().into_iter().map(Limit::Values).collect();
        self.out.limits.append(&mut past);
    }

    /// Which rules prevail over which by what their texts say, for every two that speak of one thing.
    fn text_order(&mut self, conclusions: &[Conclusion]) {
        if self.scoped.is_without_order() {
            return;
        }
        let mut about: BTreeMap<(TermId, Option<TermId>), BTreeSet<RuleId>> = BTreeMap::new();
        for conclusion in conclusions {
            about.entry((conclusion.what, conclusion.of)).or_default().insert(conclusion.rule);
        }
        let pairs: BTreeSet<(RuleId, RuleId)> = about
            .values()
            .flat_map(|rules| rules.iter().flat_map(|&one| rules.iter().map(move |&two| (one, two))))
            .filter(|(one, two)| one != two)
            .collect();
        for (strong, weak) in pairs {
            let lit = match self.scoped.prevails(self.library, strong, weak).0 {
                When::Always => Lit::True,
                When::Never => Lit::False,
                When::If(test) => self.key(&test),
            };
            self.out.text_order.note(strong, weak, lit);
        }
    }

    /// A maker's rule that concludes something about a sensor, or a system it serves, speaks about it for its causes.
    fn speaks(&mut self, conclusion: &Conclusion) {
        if !matches!(conclusion.said, Said::Ask | Said::Advise | Said::Waive | Said::Excuse) {
            return;
        }
        let makers = self.library.source(conclusion.source).is_some_and(|source| source.rank.is_makers());
        // A text that may not waive does not speak for whatever was done.
        if !makers || (conclusion.every_cause && conclusion.would.is_some()) {
            return;
        }
        let of = |of: &TermId| -> Vec<TermId> {
            match self.vocabulary.class(*of) {
                Class::Sensor => vec![*of],
                Class::System => self
                    .vocabulary
                    .iter()
                    .filter(|(_, term)| matches!(&term.detail, Detail::Sensor(serves) if serves.contains(of)))
                    .map(|(id, _)| id)
                    .collect(),
                _ => Vec::new(),
            }
        };
        let mut sensors: BTreeSet<TermId> = conclusion.duty().subjects().iter().flat_map(of).collect();
        for (procedure, _) in conclusion.duty().ways() {
            if let Detail::Procedure { concerns, .. } = &self.vocabulary.term(procedure).detail {
                sensors.extend(concerns.iter().flat_map(|&sensor| self.vocabulary.members(sensor)));
            }
        }
        for sensor in sensors {
            let events: Vec<EventId> =
                if conclusion.every_cause { self.touching(sensor) } else { conclusion.causes.clone() };
            for event in events {
                let mut reached = vec![event];
                if conclusion.said == Said::Ask {
                    // Who asks something of a sensor for a work speaks of what that work takes off on the way;
                    // who waives does not: the waiver is for its own cause and no other.
                    reached.extend(self.on_the_way_to(event));
                }
                for event in reached {
                    let spoken = self.out.program.atom(Claim::Spoken(sensor, event));
                    self.out.program.clause(spoken, [Lit::Atom(conclusion.atom, true)], Why::Meaning);
                }
            }
        }
    }

    /// Everything done, or perhaps done, on the way to an event, to the end of the chain.
    fn on_the_way_to(&self, event: EventId) -> Vec<EventId> {
        let mut all = self.also_done_for(event);
        let mut at = event;
        let mut next = 0;
        loop {
            for (index, found) in self.out.events.iter().enumerate() {
                let id = EventId(index as u32);
                let parent = match found.origin {
                    Origin::Access { parent, .. } | Origin::MayHaveComeOff { parent } => parent,
                    _ => continue,
                };
                let for_another = self.more_parents.get(&id).is_some_and(|parents| parents.contains(&at));
                if (parent == at || for_another) && !all.contains(&id) {
                    all.push(id);
                }
            }
            match all.get(next) {
                Some(&id) => at = id,
                None => return all,
            }
            next += 1;
        }
    }

    /// What lines say was `also` done, where only one work is listed that it can have been on the way to.
    fn also_done_for(&self, event: EventId) -> Vec<EventId> {
        let listed = |also: bool| -> Vec<EventId> {
            (0..self.out.events.len() as u32)
                .map(EventId)
                .filter(|id| match self.out.events.get(id.0 as usize).map(|event| (event.origin, event.what)) {
                    Some((Origin::Line(line), what)) => {
                        self.vocabulary.class(what) == Class::Operation && self.on_the_way_line(line) == also
                    }
                    _ => false,
                })
                .collect()
        };
        if listed(false) == [event] { listed(true) } else { Vec::new() }
    }

    /// The events that may touch a part.
    fn touching(&self, part: TermId) -> Vec<EventId> {
        (0..self.out.events.len() as u32)
            .map(EventId)
            .filter(|&event| self.out.program.find(&Claim::Touched(part, event)).is_some())
            .filter(|&event| self.in_sight(event))
            .collect()
    }
}

/// Whether a key asks what the car is equipped with.
fn asks_equipment(test: &KeyTest) -> bool {
    match test {
        KeyTest::Equipped(_) => true,
        KeyTest::All(tests) | KeyTest::Any(tests) => tests.iter().any(asks_equipment),
        KeyTest::Not(test) => asks_equipment(test),
        _ => false,
    }
}

/// The values of a yes-or-no fact that is known.
pub fn yes_no(yes: bool) -> u64 {
    if yes { 0b10 } else { 0b01 }
}
