//! The cells of a rule's table, each read as its head asks.

use chumsky::Parser;
use chumsky::error::{EmptyErr, Rich};
use chumsky::extra::SimpleState;
use knockon_text::Code;

use super::items::{Grammar, begins_rule_clause};
use super::parts::Parse;
use super::{Reader, report};
use crate::token::Tok;
use crate::tree::{Cell, Range, Rule, RuleClause, RuleRow};

/// What stands below a head.
#[derive(Clone, Copy)]
enum Below {
    Condition,
    Conclusions,
    Words,
}

impl<'t> Reader<'t> {
    /// Reads the cells of a rule's tables; false where one cannot be read, which is among the problems.
    pub(super) fn cells(&mut self, plain: &Grammar<'t, EmptyErr>, rule: &mut Rule) -> bool {
        let before = self.problems.len();
        for clause in &mut rule.clauses {
            let RuleClause::Table(rows) = clause else { continue };
            if let Some(clause) = rows.iter().find_map(|row| self.clause_below(row.row.range)) {
                let shown = self.tokens.text(self.text, clause);
                let message = format!("`{shown}` below the rows of a table");
                self.problem_at(
                    clause,
                    Code::UnexpectedWord,
                    &message,
                    "this line goes on with the row above it",
                    "the table stands last in its rule: write this line above `table`",
                );
                return false;
            }
            let Some((heads, rows)) = rows.split_first_mut() else { continue };
            let below: Vec<Below> = heads.row.cells.iter().map(|&head| self.below(head)).collect();
            heads.said = heads.row.cells.iter().map(|&cell| words(cell)).collect();
            for RuleRow { row, said } in rows {
                for (index, &cell) in row.cells.iter().enumerate() {
                    let below = below.get(index).copied().unwrap_or(Below::Words);
                    if let Some(cell) = self.cell(plain, cell, below) {
                        said.push(cell);
                    }
                }
            }
        }
        self.problems.len() == before
    }

    /// A line of a row that begins like a clause.
    fn clause_below(&self, row: Range) -> Option<u32> {
        let starts = &self.tokens.line_starts;
        let from = starts.partition_point(|&start| start <= row.first);
        let lines = starts.iter().skip(from).copied().take_while(|&start| start < row.end);
        lines.into_iter().find(|&start| self.tokens.kind(start).is_some_and(begins_rule_clause))
    }

    fn below(&self, head: Range) -> Below {
        match (self.tokens.kind(head.first), head.len()) {
            (Some(Tok::When | Tok::Unless), 1) => Below::Condition,
            (Some(Tok::Then), 1) => Below::Conclusions,
            _ => Below::Words,
        }
    }

    /// One cell, or nothing and a problem.
    fn cell(&mut self, plain: &Grammar<'t, EmptyErr>, cell: Range, below: Below) -> Option<Cell> {
        if cell.is_empty() {
            return Some(Cell::Empty);
        }
        let slice = self.tokens.kinds.get(cell.first as usize..cell.end as usize)?;
        let read = match below {
            Below::Words => Some(Cell::Words(cell)),
            Below::Condition => one(&plain.condition, slice, cell).map(Cell::Condition),
            Below::Conclusions => one(&plain.conclusions, slice, cell).map(Cell::Conclusions),
        };
        if read.is_some() {
            return read;
        }
        let strict = self.strict.get_or_insert_with(Grammar::new);
        let mut state = SimpleState(cell.first);
        let errors: Vec<Rich<'t, Tok>> = match below {
            Below::Words => Vec::new(),
            Below::Condition => strict.condition.parse_with_state(slice, &mut state).into_errors(),
            Below::Conclusions => strict.conclusions.parse_with_state(slice, &mut state).into_errors(),
        };
        let holds = match below {
            Below::Conclusions => "below `then` a cell holds conclusions, as in `require calibration of front radar`",
            Below::Words | Below::Condition => "below this head a cell holds a condition, as in `front cover removed`",
        };
        let problem = report::in_cell(self.file, self.text, self.tokens, cell, errors.first(), holds);
        self.problems.push(problem);
        None
    }
}

fn words(cell: Range) -> Cell {
    if cell.is_empty() { Cell::Empty } else { Cell::Words(cell) }
}

fn one<'t, O>(parser: &Parse<'t, O, EmptyErr>, slice: &'t [Tok], cell: Range) -> Option<O> {
    let mut state = SimpleState(cell.first);
    parser.parse_with_state(slice, &mut state).into_output()
}
