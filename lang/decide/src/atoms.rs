//! Atoms and ground clauses: a job's rules over small integers.

use std::collections::BTreeMap;

use rustc_hash::FxHashMap;

use knockon_terms::TermId;
use knockon_terms::resolved::{RuleId, SourceId};

use crate::event::{Causes, EventId};
use crate::fact::{Ask, Domain, Fact, Variable};

/// An atom.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AtomId(pub u32);

/// A variable.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct VariableIndex(pub u32);

/// An atom, or its denial, or what is settled already.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Lit {
    /// Always so.
    True,
    /// Never so.
    False,
    /// The atom is true, or (`false`) is not.
    Atom(AtomId, bool),
}

impl Lit {
    /// The literal that says the opposite.
    #[must_use]
    pub fn denied(self) -> Lit {
        match self {
            Lit::True => Lit::False,
            Lit::False => Lit::True,
            Lit::Atom(atom, sign) => Lit::Atom(atom, !sign),
        }
    }
}

/// What an atom says.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Claim {
    /// A fact satisfies an ask.
    Leaf(VariableIndex, usize),
    /// Something happened.
    Happened(EventId),
    /// A part is touched by something that happened.
    Touched(TermId, EventId),
    /// A part is tied to another.
    Related(TermId, TermId, TermId),
    /// A part is in a state, because of these events.
    State {
        /// The state.
        state: TermId,
        /// The part.
        part: TermId,
        /// Because of these; none where it does not matter.
        causes: Option<Causes>,
    },
    /// A procedure is due, because of these events.
    Due {
        /// The procedure.
        procedure: TermId,
        /// Of what.
        of: Option<TermId>,
        /// Because of these; none where it does not matter.
        causes: Option<Causes>,
    },
    /// A part is in a state because of what happened up to a generation.
    StateBy {
        /// The state.
        state: TermId,
        /// The part.
        part: TermId,
        /// The generation.
        generation: u32,
    },
    /// A procedure is due because of what happened up to a generation.
    DueBy {
        /// The procedure.
        procedure: TermId,
        /// Of what.
        of: Option<TermId>,
        /// The generation.
        generation: u32,
    },
    /// A procedure is to be carried out because of what happened up to the generation before.
    CarriedOut {
        /// The procedure.
        procedure: TermId,
        /// Of what.
        of: Option<TermId>,
        /// The generation of what it does.
        generation: u32,
    },
    /// A conclusion of a rule.
    Concluded(usize),
    /// A conclusion of a rule that prevails over all against it.
    Stands(usize),
    /// A conclusion of a text that may not waive, if that text held.
    Would(usize),
    /// Some rule of the maker's speaks about a sensor for a cause.
    Spoken(TermId, EventId),
    /// A condition inside a rule: its own number.
    Inner(u32),
}

/// Why a ground clause holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Why {
    /// A line of the job.
    Line(usize),
    /// A fact of the library.
    Fact(usize),
    /// A rule, by one of its ways.
    Rule(RuleId),
    /// A rule, by its exception.
    Exception(RuleId),
    /// What a text says a procedure does.
    CarryingOut(usize),
    /// By the meaning of the language.
    Meaning,
    /// Known to be unknown: the possible event is the fact itself.
    Possible,
}

/// A ground clause.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GroundClause {
    /// What follows.
    pub head: AtomId,
    /// What must hold.
    pub body: Vec<(AtomId, bool)>,
    /// Why.
    pub why: Why,
}

/// What a conclusion of a rule is, with its terms.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Said {
    /// A duty.
    Ask,
    /// Advice.
    Advise,
    /// Not needed.
    Waive,
    /// Not needed, by an exception of the asking rule, or by a text that may not waive: it takes away nothing
    /// that another rule asks.
    Excuse,
    /// An operation is forbidden.
    Forbid,
    /// An operation is allowed.
    Allow,
    /// Held.
    Hold,
    /// An order.
    Before,
    /// A value of a procedure is set, by one row of a conclusion.
    Set {
        /// The measure.
        measure: TermId,
        /// Which of the rule's conclusions.
        conclusion: u32,
        /// Which row of it.
        row: u32,
    },
    /// A question is put, in `words`.
    Question,
    /// A warning is given, in `words`.
    Warn,
    /// A system (`what`) is off until a duty (`second`) is met.
    Off,
}

/// What a verdict on a duty is about: a procedure and what it is of, or several, any one of which will do.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct DutyKey {
    /// The procedure; of a choice, that of its first by name.
    pub procedure: TermId,
    /// Of what.
    pub of: Option<TermId>,
    /// The others of a choice, by name; none for a duty of its own.
    pub or: Vec<(TermId, Option<TermId>)>,
}

impl DutyKey {
    /// A duty of its own.
    pub fn one(procedure: TermId, of: Option<TermId>) -> DutyKey {
        DutyKey { procedure, of, or: Vec::new() }
    }

    /// The duty, or all of a choice.
    pub fn ways(&self) -> impl Iterator<Item = (TermId, Option<TermId>)> {
        std::iter::once((self.procedure, self.of)).chain(self.or.iter().copied())
    }

    /// What it is of, each once.
    pub fn subjects(&self) -> Vec<TermId> {
        let mut all: Vec<TermId> = Vec::new();
        for of in self.ways().filter_map(|(_, of)| of) {
            if !all.contains(&of) {
                all.push(of);
            }
        }
        all
    }

    /// Whether it is a choice with this among its duties.
    pub fn chooses(&self, procedure: TermId, of: Option<TermId>) -> bool {
        !self.or.is_empty() && self.ways().any(|way| way == (procedure, of))
    }
}

/// One conclusion with its terms.
#[derive(Clone, Debug, PartialEq)]
pub struct Conclusion {
    /// The rule.
    pub rule: RuleId,
    /// Its source.
    pub source: SourceId,
    /// What is said.
    pub said: Said,
    /// The procedure, or the operation of a permission.
    pub what: TermId,
    /// Of what.
    pub of: Option<TermId>,
    /// Of a choice, the others.
    pub or: Vec<(TermId, Option<TermId>)>,
    /// The causes; for a waiver those it covers. Empty: the car as it stands, for a waiver every cause.
    pub causes: Causes,
    /// Of a waiver that names no cause: it is for the car as it stands, whatever was done to it.
    pub every_cause: bool,
    /// Only what this rule asks is waived.
    pub only_rule: Option<RuleId>,
    /// Of an exception that holds: it is of what was only advised.
    pub only_advised: bool,
    /// The zone of a permission.
    pub zone: Option<TermId>,
    /// The second duty of an order; the duty until which a system is off.
    pub second: Option<(TermId, Option<TermId>)>,
    /// Of a hold: what it waits for, and in words.
    pub until: Option<(Lit, String)>,
    /// The strength word; the words of a question or warning.
    pub words: Option<String>,
    /// Whether it is due is left open, for this reason.
    pub left_open: Option<String>,
    /// Of what a text that may not waive takes away: that it would, if the text held.
    pub would: Option<AtomId>,
    /// The latest generation it looks at; 0 for what rests on the record alone.
    pub generation: u32,
    /// Its atom.
    pub atom: AtomId,
}

impl Conclusion {
    /// The duty it is about.
    pub fn duty(&self) -> DutyKey {
        DutyKey { procedure: self.what, of: self.of, or: self.or.clone() }
    }

    /// Whether it is about a duty.
    pub fn is_about(&self, duty: &DutyKey) -> bool {
        self.what == duty.procedure && self.of == duty.of && self.or == duty.or
    }
}

/// All atoms, clauses and conclusions of one job.
#[derive(Clone, Debug, Default)]
pub struct Program {
    /// What each atom says.
    pub claims: Vec<Claim>,
    by_claim: FxHashMap<Claim, AtomId>,
    /// The clauses.
    pub clauses: Vec<GroundClause>,
    /// For each atom, the clauses with it as head.
    pub by_head: Vec<Vec<u32>>,
    /// The facts.
    pub variables: Vec<Variable>,
    by_fact: BTreeMap<Fact, VariableIndex>,
    /// The conclusions.
    pub conclusions: Vec<Conclusion>,
    inner: FxHashMap<(bool, Vec<Lit>), Lit>,
    known: rustc_hash::FxHashSet<(AtomId, Vec<(AtomId, bool)>)>,
}

impl Program {
    /// The atom of a claim, added if it is new.
    pub fn atom(&mut self, claim: Claim) -> AtomId {
        if let Some(&atom) = self.by_claim.get(&claim) {
            return atom;
        }
        let atom = AtomId(self.claims.len() as u32);
        self.claims.push(claim.clone());
        self.by_head.push(Vec::new());
        self.by_claim.insert(claim, atom);
        atom
    }

    /// The atom of a claim, if there is one.
    pub fn find(&self, claim: &Claim) -> Option<AtomId> {
        self.by_claim.get(claim).copied()
    }

    /// What an atom says.
    pub fn claim(&self, atom: AtomId) -> Option<&Claim> {
        self.claims.get(atom.0 as usize)
    }

    /// Adds a clause; false if it was there.
    pub fn clause(&mut self, head: AtomId, body: impl IntoIterator<Item = Lit>, why: Why) -> bool {
        let mut literals = Vec::new();
        for lit in body {
            match lit {
                Lit::True => {}
                Lit::False => return false,
                Lit::Atom(atom, sign) => literals.push((atom, sign)),
            }
        }
        literals.sort();
        literals.dedup();
        if literals.windows(2).any(|pair| matches!(pair, [one, two] if one.0 == two.0)) {
            return false;
        }
        if !self.known.insert((head, literals.clone())) {
            return false;
        }
        let index = self.clauses.len() as u32;
        self.clauses.push(GroundClause { head, body: literals, why });
        if let Some(list) = self.by_head.get_mut(head.0 as usize) {
            list.push(index);
        }
        true
    }

    /// The variable of a fact, added with this domain if it is new.
    pub fn variable(&mut self, fact: Fact, domain: impl FnOnce() -> Domain) -> VariableIndex {
        if let Some(&index) = self.by_fact.get(&fact) {
            return index;
        }
        let index = VariableIndex(self.variables.len() as u32);
        self.variables.push(Variable::new(fact, domain()));
        self.by_fact.insert(fact, index);
        index
    }

    /// The variable of a fact, if there is one.
    pub fn find_variable(&self, fact: Fact) -> Option<VariableIndex> {
        self.by_fact.get(&fact).copied()
    }

    /// A variable to change.
    pub fn variable_mut(&mut self, index: VariableIndex) -> Option<&mut Variable> {
        self.variables.get_mut(index.0 as usize)
    }

    /// The atom that a fact satisfies an ask.
    pub fn leaf(&mut self, variable: VariableIndex, ask: &Ask) -> Lit {
        let Some(found) = self.variables.get_mut(variable.0 as usize) else {
            return Lit::False;
        };
        let number = found.ask(ask);
        Lit::Atom(self.atom(Claim::Leaf(variable, number)), true)
    }

    /// Cuts every fact at what is asked of it; the facts that would take more values than one may have are cut for
    /// each ask alone, and told.
    pub fn cut(&mut self) -> Vec<Fact> {
        let mut past = Vec::new();
        for index in 0..self.variables.len() {
            let first = self.variables.len() as u32;
            let Some(variable) = self.variables.get_mut(index) else { break };
            if variable.cut() {
                continue;
            }
            past.push(variable.fact);
            let parts = variable.split();
            self.variables.extend(parts);
            for claim in &mut self.claims {
                if let Claim::Leaf(known, ask) = claim
                    && known.0 as usize == index
                {
                    *claim = Claim::Leaf(VariableIndex(first + *ask as u32), 0);
                }
            }
        }
        past
    }

    /// All of the literals as one.
    pub fn all(&mut self, lits: Vec<Lit>) -> Lit {
        self.joined(lits, true)
    }

    /// At least one of the literals as one.
    pub fn any(&mut self, lits: Vec<Lit>) -> Lit {
        self.joined(lits, false)
    }

    fn joined(&mut self, mut lits: Vec<Lit>, all: bool) -> Lit {
        let (neutral, decisive) = if all { (Lit::True, Lit::False) } else { (Lit::False, Lit::True) };
        lits.retain(|&lit| lit != neutral);
        lits.sort();
        lits.dedup();
        if lits.contains(&decisive) {
            return decisive;
        }
        match lits.as_slice() {
            [] => return neutral,
            &[one] => return one,
            _ => {}
        }
        if let Some(&known) = self.inner.get(&(all, lits.clone())) {
            return known;
        }
        let number = self.inner.len() as u32;
        let atom = self.atom(Claim::Inner(number));
        if all {
            self.clause(atom, lits.iter().copied(), Why::Meaning);
        } else {
            for &lit in &lits {
                self.clause(atom, [lit], Why::Meaning);
            }
        }
        let lit = Lit::Atom(atom, true);
        self.inner.insert((all, lits), lit);
        lit
    }
}
