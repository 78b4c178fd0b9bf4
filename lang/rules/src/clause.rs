//! Rules as clauses: each way a rule's condition can hold is a list of literals that must all hold.

use knockon_terms::resolved::{Condition, Form, Quantifier, Rule, RuleId, VariableId};
use knockon_text::{Code, Problem, Span};

/// How many ways one rule's condition may hold. A rule a person can read has a handful; each is kept apart, so
/// brackets within brackets of `or` would grow without bound.
pub const MOST_ALTERNATIVES: usize = 256;

/// One literal of a clause.
#[derive(Clone, Debug, PartialEq)]
pub enum Literal {
    /// The sentence holds.
    Is(Form, Span),
    /// It does not.
    IsNot(Form, Span),
    /// A sentence about so many of a class, decided as one thing.
    Quantified {
        /// How many.
        quantifier: Quantifier,
        /// The class word.
        variable: VariableId,
        /// The sentence.
        body: Box<Condition>,
        /// Whether the whole is denied.
        denied: bool,
    },
}

/// One way a rule's condition can hold.
#[derive(Clone, Debug, PartialEq)]
pub struct Clause {
    /// The rule.
    pub rule: RuleId,
    /// Which of the rule's ways this is.
    pub way: u32,
    /// By which of the rule's readings.
    pub reading: usize,
    /// What must hold.
    pub literals: Vec<Literal>,
    /// The class words met under `any`: bound here, seen by the conclusions.
    pub variables: Vec<VariableId>,
}

/// One way: its literals and the class words it binds.
type Way = (Vec<Literal>, Vec<VariableId>);

/// The clauses of a rule.
pub fn clauses(id: RuleId, rule: &Rule) -> Result<Vec<Clause>, Problem> {
    let mut all: Vec<Clause> = Vec::new();
    for reading in 0..rule.reading_count() {
        let Some(when) = rule.when_by(reading) else { continue };
        let ways = ways(when, false).ok_or_else(|| too_many(rule))?;
        all.extend(ways.into_iter().map(|(literals, variables)| Clause {
            rule: id,
            way: 0,
            reading,
            literals,
            variables,
        }));
    }
    for (way, clause) in all.iter_mut().enumerate() {
        clause.way = way as u32;
    }
    Ok(all)
}

fn too_many(rule: &Rule) -> Problem {
    Problem::at(
        Code::TooManyAlternatives,
        rule.span,
        format!("the condition of \"{}\" can hold in more than {MOST_ALTERNATIVES} ways", rule.name),
        "this rule",
    )
    .help("give the inner condition a state of its own, and name the state here")
}

/// All ways a condition can hold, or nothing past the limit. `denied`: the ways it can fail.
fn ways(condition: &Condition, denied: bool) -> Option<Vec<Way>> {
    match condition {
        Condition::All(parts) if !denied => product(parts, denied),
        Condition::AnyOf(parts) if denied => product(parts, denied),
        Condition::All(parts) | Condition::AnyOf(parts) => {
            let mut all = Vec::new();
            for part in parts {
                all.extend(ways(part, denied)?);
            }
            (all.len() <= MOST_ALTERNATIVES).then_some(all)
        }
        Condition::Not(inner) => ways(inner, !denied),
        Condition::Quantified { quantifier: Quantifier::Any, variable, body } if !denied => {
            let mut all = ways(body, false)?;
            for (_, variables) in &mut all {
                variables.insert(0, *variable);
            }
            Some(all)
        }
        Condition::Quantified { quantifier, variable, body } => Some(vec![(
            vec![Literal::Quantified { quantifier: *quantifier, variable: *variable, body: body.clone(), denied }],
            Vec::new(),
        )]),
        Condition::Sentence(form, span) => {
            let literal = if denied { Literal::IsNot(form.clone(), *span) } else { Literal::Is(form.clone(), *span) };
            Some(vec![(vec![literal], Vec::new())])
        }
    }
}

fn product(parts: &[Condition], denied: bool) -> Option<Vec<Way>> {
    let mut all: Vec<Way> = vec![(Vec::new(), Vec::new())];
    for part in parts {
        let next = ways(part, denied)?;
        if all.len().saturating_mul(next.len()) > MOST_ALTERNATIVES {
            return None;
        }
        let mut grown = Vec::with_capacity(all.len() * next.len());
        for (literals, variables) in &all {
            for (more_literals, more_variables) in &next {
                let mut literals = literals.clone();
                literals.extend(more_literals.iter().cloned());
                let mut variables = variables.clone();
                variables.extend(more_variables.iter().copied());
                grown.push((literals, variables));
            }
        }
        all = grown;
    }
    Some(all)
}
