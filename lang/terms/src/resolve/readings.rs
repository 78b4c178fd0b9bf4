//! Readings: a rule whose text can be read in several ways, each way as a rule of its own kind.

use knockon_syntax::tree::{self, Range, RuleClause};
use knockon_text::{Code, Problem};

use super::sentence::Sentences;
use crate::quantity::figures;
use crate::resolved::{Differs, Reading, ReadingConclusion, Rule};
use crate::view::Cursor;
use crate::words::known;

impl<'a> Sentences<'a> {
    /// Adds the readings of a rule whose own clauses have been read.
    pub(super) fn readings(&mut self, rule: &tree::Rule, range: Range, out: &mut Rule) -> Result<(), Problem> {
        let others: Vec<&RuleClause> = rule
            .clauses
            .iter()
            .filter_map(|clause| match clause {
                RuleClause::CouldAlsoBeReadAs(clause) => Some(clause.as_ref()),
                _ => None,
            })
            .collect();
        let apart = figures::apart(self.view, range);
        if others.is_empty() && apart.is_empty() {
            return Ok(());
        }
        let own = (0..out.conclusions.len()).map(|index| ReadingConclusion { index, same_as: index }).collect();
        let mut readings = vec![Reading {
            when: out.when.clone(),
            unless: out.unless.clone(),
            conclusions: own,
            differs: Differs::When,
        }];
        if !apart.is_empty() {
            self.of_few_ways(&apart, others.first().copied())?;
            return self.readings_of_figures(rule, &apart, readings, out);
        }
        for other in others {
            self.says_otherwise(rule, other)?;
            readings.push(self.reading_of(rule, other, out)?);
        }
        if let [first, second, ..] = readings.as_mut_slice() {
            first.differs = second.differs.clone();
        }
        out.readings = readings;
        Ok(())
    }

    pub(super) fn reading_of(
        &mut self,
        rule: &tree::Rule,
        other: &RuleClause,
        out: &mut Rule,
    ) -> Result<Reading, Problem> {
        let mut reading = Reading {
            when: out.when.clone(),
            unless: out.unless.clone(),
            conclusions: Vec::new(),
            differs: Differs::When,
        };
        match other {
            RuleClause::When(when) => {
                // `that` in all else points into this condition now, so all else is read again.
                let own = std::mem::take(&mut self.nameable);
                self.read_again_from = self.variables.len();
                reading.when = Some(self.condition(when)?);
                for clause in &rule.clauses {
                    if let RuleClause::Unless(unless) = clause {
                        reading.unless = Some(self.exception(unless).map_err(|problem| self.inside(when, problem))?);
                    }
                }
                let mut before = Vec::new();
                for (same_as, conclusion) in conclusions_of(rule).enumerate() {
                    let index = out.conclusions.len();
                    let conclusion =
                        self.conclusion(conclusion, &before).map_err(|problem| self.inside(when, problem))?;
                    before.push(conclusion.clone());
                    out.conclusions.push(conclusion);
                    reading.conclusions.push(ReadingConclusion { index, same_as });
                }
                // What is read in another way after this one points into the rule's own `when` again.
                self.nameable = own;
            }
            RuleClause::Unless(unless) => {
                reading.unless = Some(self.exception(unless)?);
                reading.differs = Differs::Unless;
                reading.conclusions = (0..conclusions_of(rule).count())
                    .map(|index| ReadingConclusion { index, same_as: index })
                    .collect();
            }
            RuleClause::Then(conclusions) => {
                reading.differs = Differs::Then;
                let own = conclusions_of(rule).count();
                let conclusions = if self.is_nothing(conclusions) { &[] } else { conclusions.as_slice() };
                let mut before = Vec::new();
                for conclusion in conclusions {
                    let conclusion = self.conclusion(conclusion, &before)?;
                    before.push(conclusion.clone());
                    let same = out.conclusions.iter().take(own).position(|known| {
                        known.kind == conclusion.kind && known.every.is_empty() && conclusion.every.is_empty()
                    });
                    let index = same.unwrap_or(out.conclusions.len());
                    if same.is_none() {
                        out.conclusions.push(conclusion);
                    }
                    reading.conclusions.push(ReadingConclusion { index, same_as: index });
                }
            }
            _ => {}
        }
        Ok(reading)
    }

    /// What is wrong once this condition stands in the place of the rule's own.
    fn inside(&self, when: &tree::Condition, problem: Problem) -> Problem {
        problem.context(self.view.span(when.range), "by this reading this is the condition, and `that` points into it")
    }

    /// `then nothing`: by this reading the passage asks and waives nothing.
    fn is_nothing(&self, conclusions: &[tree::Conclusion]) -> bool {
        match conclusions {
            [tree::Conclusion { kind: tree::ConclusionKind::Statement(range), .. }] => {
                Cursor::new(self.view, self.vocabulary, *range).rest() == [known::NOTHING]
            }
            _ => false,
        }
    }

    fn exception(&mut self, unless: &tree::Condition) -> Result<crate::resolved::Condition, Problem> {
        let was = std::mem::replace(&mut self.binding, false);
        let read = self.condition(unless);
        self.binding = was;
        read
    }

    /// A reading that is word for word the rule's own clause is none.
    fn says_otherwise(&self, rule: &tree::Rule, other: &RuleClause) -> Result<(), Problem> {
        let Some(range) = range_of(other) else { return Ok(()) };
        let written = self.view.written(range);
        let same = rule.clauses.iter().any(|clause| {
            std::mem::discriminant(clause) == std::mem::discriminant(other)
                && range_of(clause).is_some_and(|range| self.view.written(range) == written)
        });
        if !same {
            return Ok(());
        }
        Err(Problem::at(
            Code::UnexpectedWord,
            self.view.span(range),
            "another reading that says the same as the rule",
            "the rule says so already",
        )
        .help("write what the text would mean if it is read in the other way"))
    }
}

pub(super) fn conclusions_of(rule: &tree::Rule) -> impl Iterator<Item = &tree::Conclusion> {
    rule.clauses
        .iter()
        .filter_map(|clause| match clause {
            RuleClause::Then(conclusions) => Some(conclusions),
            _ => None,
        })
        .flatten()
}

fn range_of(clause: &RuleClause) -> Option<Range> {
    match clause {
        RuleClause::When(condition) | RuleClause::Unless(condition) => Some(condition.range),
        RuleClause::Then(conclusions) => match (conclusions.first(), conclusions.last()) {
            (Some(first), Some(last)) => Some(Range { first: first.range.first, end: last.range.end }),
            _ => None,
        },
        _ => None,
    }
}
