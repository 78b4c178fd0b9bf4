//! Where lines begin: from the tree to what stands before each token.

use super::{STEP, WIDTH, table};
use crate::parse::{Parsed, begins_carrying_out_clause, begins_rule_clause, begins_source_clause};
use crate::space::width;
use crate::token::{Tok, Tokens};
use crate::tree::{
    CarryingOut, CarryingOutClause, Conclusion, ConclusionKind, Fact, Instruction, Item, ItemKind, Joint, Range, Rule,
    RuleClause, Test, TestLine,
};

/// Further lines of a condition and of conclusions stand one deeper than the clause, so that `and`
/// stands under the sentence.
pub const JOINT: usize = 1;

/// What stands before a token.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Before {
    /// A space or nothing, as its neighbours are.
    Neighbour,
    /// This many spaces: the end of a cell.
    Spaces(usize),
    /// The end of a line, and this indent.
    Line(usize),
    /// The end of a line: an item begins, or a block closes.
    Item(Seam),
}

/// The seam between two items, or between an item and a brace.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seam {
    /// The indent of what follows.
    pub indent: usize,
    /// Whether a blank line must stand here.
    pub apart: bool,
    /// The indent of comments that belong to what follows.
    pub comments: usize,
    /// The indent of comments that still belong to what stands above, if there can be any.
    pub comments_above: Option<usize>,
    /// Whether a brace closes here.
    pub closes: bool,
}

/// The layout of a text.
pub struct Plan {
    /// What stands before each token.
    pub before: Vec<Before>,
    /// The indent of each token, should it have to begin a line that the layout does not ask for.
    pub deeper: Vec<usize>,
    /// The seam at the end of the text.
    pub last: Seam,
}

/// Lays a text out. The tree holds no broken item and every brace has its partner.
pub fn plan(text: &str, parsed: &Parsed) -> Plan {
    let count = parsed.tokens.len() as usize;
    let mut planner =
        Planner { text, tokens: &parsed.tokens, before: vec![Before::Neighbour; count], deeper: vec![STEP; count] };
    planner.items(&parsed.file.items, 0);
    planner.fill();
    let last = Seam {
        indent: 0,
        apart: false,
        comments: 0,
        comments_above: parsed.file.items.last().and_then(|item| comments_above(item, 0)),
        closes: true,
    };
    Plan { before: planner.before, deeper: planner.deeper, last }
}

/// Whether an item stands apart from its neighbours.
fn stands_apart(item: &Item) -> bool {
    matches!(
        item.kind,
        ItemKind::Rule(_)
            | ItemKind::CarryingOut(_)
            | ItemKind::Source(_)
            | ItemKind::Job(_)
            | ItemKind::Test(_)
            | ItemKind::Scope(_)
    )
}

/// The indent of comments right below an item of several lines, which still belong to it.
fn comments_above(item: &Item, indent: usize) -> Option<usize> {
    (stands_apart(item) && !matches!(item.kind, ItemKind::Scope(_))).then_some(indent + STEP)
}

/// Whether a line that is too long may be broken before this word. None of these begins an item.
fn may_begin_line(kind: Tok) -> bool {
    matches!(
        kind,
        Tok::With | Tok::By | Tok::Because | Tok::BecauseOf | Tok::InTheWords | Tok::Section | Tok::After | Tok::Until
    )
}

/// Fills in the layout, item by item.
pub struct Planner<'t> {
    /// The text.
    pub text: &'t str,
    /// Its tokens.
    pub tokens: &'t Tokens,
    /// What stands before each token.
    pub before: Vec<Before>,
    /// The indent of each token, should it have to begin a line.
    pub deeper: Vec<usize>,
}

impl Planner<'_> {
    fn items(&mut self, items: &[Item], indent: usize) {
        let mut above: Option<&Item> = None;
        for item in items {
            let apart = above.is_some_and(|above| stands_apart(above) || stands_apart(item));
            let comments_above = above.and_then(|above| comments_above(above, indent));
            let seam = Seam { indent, apart, comments: indent, comments_above, closes: false };
            self.set(item.range.first, Before::Item(seam));
            self.set_deeper(item.range, indent + 2 * STEP);
            self.item(item, indent);
            above = Some(item);
        }
    }

    fn item(&mut self, item: &Item, indent: usize) {
        match &item.kind {
            ItemKind::Use(_) | ItemKind::Broken => {}
            ItemKind::Declaration(_) => self.declaration(item.range, indent),
            ItemKind::Source(_) => {
                self.lines(item.range, indent, begins_source_clause);
            }
            ItemKind::Scope(scope) => {
                self.items(&scope.items, indent + STEP);
                let seam = Seam {
                    indent,
                    apart: false,
                    comments: indent + STEP,
                    comments_above: scope.items.last().and_then(|item| comments_above(item, indent + STEP)),
                    closes: true,
                };
                self.set(item.range.end.saturating_sub(1), Before::Item(seam));
            }
            ItemKind::Fact(fact) => self.fact(item.range, fact, indent),
            ItemKind::Rule(rule) => self.rule(item.range, rule, indent),
            ItemKind::CarryingOut(carrying_out) => self.carrying_out(item.range, carrying_out, indent),
            ItemKind::Job(job) => {
                let words: Vec<u32> = job.lines.iter().map(|line| line.word).collect();
                self.lines_at(item.range, indent, &words);
            }
            ItemKind::Test(test) => self.test(item.range, test, indent),
        }
    }

    /// A declaration on one line, with the longer clauses on lines of their own; or, where that does not
    /// fit, every clause on its own line. A clause after a comma stays with what stands before it.
    fn declaration(&mut self, range: Range, indent: usize) {
        let clauses: Vec<u32> = (range.first..range.end)
            .filter(|&index| self.tokens.kind(index).is_some_and(Tok::begins_declaration_clause))
            .collect();
        let both_forms = clauses.iter().any(|&clause| self.tokens.kind(clause) == Some(Tok::OnTheWay));
        let own_line = |index: &u32| {
            let long = match self.tokens.kind(*index) {
                Some(Tok::AlsoWritten | Tok::CountsAs | Tok::Serves | Tok::DisturbsNothing) => true,
                // With `on the way` beside it the line of an operation would grow too full.
                Some(Tok::Doing) => both_forms,
                _ => false,
            };
            long && self.tokens.kind(index.saturating_sub(1)) != Some(Tok::Comma)
        };
        let few: Vec<u32> = clauses.iter().copied().filter(own_line).collect();
        let fits = self.pieces(range, &few).into_iter().all(|piece| {
            let indent = if piece.first == range.first { indent } else { indent + STEP };
            indent + self.width(piece) <= WIDTH
        });
        self.lines_at(range, indent, if fits { &few } else { &clauses });
        self.clauses_deeper(&clauses, indent);
    }

    /// A fact on one line, its citation on the next where it does not fit.
    fn fact(&mut self, range: Range, fact: &Fact, indent: usize) {
        let per = (fact.sentence.end..range.end).find(|&index| self.tokens.kind(index) == Some(Tok::Per));
        if let Some(per) = per.filter(|_| indent + self.width(range) > WIDTH) {
            self.line(per, indent + STEP);
        }
    }

    fn rule(&mut self, range: Range, rule: &Rule, indent: usize) {
        let kept: Vec<u32> = rule
            .clauses
            .iter()
            .flat_map(|clause| match clause {
                RuleClause::ReadAs { because: Some(text), .. } => vec![text - 1],
                RuleClause::Then(conclusions) => left_open(conclusions),
                RuleClause::CouldAlsoBeReadAs(clause) => match clause.as_ref() {
                    RuleClause::Then(conclusions) => left_open(conclusions),
                    _ => Vec::new(),
                },
                RuleClause::Table(rows) => rows.iter().flat_map(|row| row.row.range.first..row.row.range.end).collect(),
                _ => Vec::new(),
            })
            .collect();
        let starts: Vec<u32> = (range.first..range.end)
            .filter(|&index| self.tokens.kind(index).is_some_and(begins_rule_clause) && !kept.contains(&index))
            .filter(|&index| self.tokens.kind(index.saturating_sub(1)) != Some(Tok::CouldAlsoBeReadAs))
            .collect();
        self.lines_at(range, indent, &starts);
        for clause in &rule.clauses {
            // Another reading's clause begins on the line of its own first word.
            let (clause, read) = match clause {
                RuleClause::CouldAlsoBeReadAs(clause) => (clause.as_ref(), 1),
                clause => (clause, 0),
            };
            match clause {
                RuleClause::When(condition) | RuleClause::Unless(condition) => {
                    let before = self.width(Range { first: condition.range.first - 1 - read, ..condition.range })
                        - self.width(condition.range);
                    self.condition(condition, indent + STEP + JOINT, indent + STEP + before);
                }
                RuleClause::Then(conclusions) => self.conclusions(conclusions, indent + STEP + JOINT),
                RuleClause::ReadAs { reading, because: Some(text) } => {
                    let whole = Range { first: reading - 1, end: text + 1 };
                    if indent + STEP + self.width(whole) > WIDTH {
                        self.line(text - 1, indent + 2 * STEP);
                    }
                }
                RuleClause::Table(rows) => table::plan(self, rows.iter().map(|row| &row.row), indent + STEP),
                _ => {}
            }
        }
    }

    /// A clause a line; its condition on the same line where that fits.
    fn carrying_out(&mut self, range: Range, carrying_out: &CarryingOut, indent: usize) {
        self.lines(range, indent, begins_carrying_out_clause);
        for clause in &carrying_out.clauses {
            let (first, when) = match clause {
                CarryingOutClause::Involves { what, when: Some(when) } => {
                    (what.first().map_or(when.range.first, |what| what.first) - 1, when)
                }
                CarryingOutClause::Instruction { what, when, range } => {
                    self.instruction(what, *range, indent);
                    let Some(when) = when else { continue };
                    (range.first, when)
                }
                _ => continue,
            };
            let before = Range { first, end: when.range.first };
            let fits = indent + STEP + self.width(Range { end: when.range.end, ..before }) <= WIDTH;
            if fits && when.rest.iter().all(|&(joint, _, _)| joint == Joint::Or) {
                continue;
            }
            self.line(when.range.first - 1, indent + 2 * STEP);
            let column = indent + 2 * STEP + self.width(Range { first: when.range.first - 1, ..when.range })
                - self.width(when.range);
            self.condition(when, indent + 2 * STEP + JOINT, column);
        }
    }

    /// The condition of an instruction, a line each sentence where it is long or has several joined by `and`.
    fn instruction(&mut self, instruction: &Instruction, range: Range, indent: usize) {
        let (Instruction::ReadyWhen(condition) | Instruction::GoodWhen(condition) | Instruction::Throughout(condition)) =
            instruction
        else {
            return;
        };
        let column =
            indent + STEP + self.width(Range { first: range.first, ..condition.range }) - self.width(condition.range);
        self.condition(condition, indent + STEP + JOINT, column);
    }

    fn test(&mut self, range: Range, test: &Test, indent: usize) {
        let starts: Vec<u32> = (range.first..range.end)
            .filter(|&index| matches!(self.tokens.kind(index), Some(Tok::Suppose | Tok::Expect | Tok::Table)))
            .collect();
        self.lines_at(range, indent, &starts);
        for line in &test.lines {
            if let TestLine::Table(rows) = line {
                table::plan(self, rows.iter(), indent + STEP);
            }
        }
    }

    /// Begins a line at each of these tokens of an item.
    fn lines(&mut self, range: Range, indent: usize, begins: fn(Tok) -> bool) {
        let starts: Vec<u32> =
            (range.first + 1..range.end).filter(|&index| self.tokens.kind(index).is_some_and(begins)).collect();
        self.lines_at(range, indent, &starts);
    }

    fn lines_at(&mut self, range: Range, indent: usize, starts: &[u32]) {
        for &start in starts.iter().filter(|&&start| start > range.first) {
            self.line(start, indent + STEP);
        }
    }

    /// The range cut before each of `starts`.
    fn pieces(&self, range: Range, starts: &[u32]) -> Vec<Range> {
        let mut pieces = Vec::with_capacity(starts.len() + 1);
        let mut first = range.first;
        for &start in starts.iter().filter(|&&start| start > range.first && start < range.end) {
            pieces.push(Range { first, end: start });
            first = start;
        }
        pieces.push(Range { first, end: range.end });
        pieces
    }

    /// Breaks each line that is still too long where that keeps the meaning: after a comma, since what
    /// follows one goes on with the item whatever its first word is, and before words that begin no item.
    fn fill(&mut self) {
        let starts: Vec<(u32, usize)> = (0..self.tokens.len())
            .zip(&self.before)
            .filter_map(|(index, before)| match before {
                Before::Line(indent) => Some((index, *indent)),
                Before::Item(seam) => Some((index, seam.indent)),
                Before::Neighbour | Before::Spaces(_) => None,
            })
            .collect();
        let ends = starts.iter().skip(1).map(|&(start, _)| start).chain([self.tokens.len()]);
        for (&(first, indent), end) in starts.iter().zip(ends) {
            let line = Range { first, end };
            if self.tokens.kind(first) != Some(Tok::Bar) && indent + self.width(line) > WIDTH {
                self.fill_line(line, indent);
            }
        }
    }

    fn fill_line(&mut self, line: Range, indent: usize) {
        let places: Vec<u32> = (line.first + 1..line.end)
            .filter(|&index| {
                self.tokens.kind(index - 1) == Some(Tok::Comma) || self.tokens.kind(index).is_some_and(may_begin_line)
            })
            .collect();
        let mut column = indent;
        for piece in self.pieces(line, &places) {
            let width = self.width(piece);
            if piece.first > line.first && column + 1 + width > WIDTH {
                let deeper = self.deeper.get(piece.first as usize).copied().unwrap_or(0).max(indent + STEP);
                self.line(piece.first, deeper);
                column = deeper + width;
            } else {
                column += width + usize::from(piece.first > line.first);
            }
        }
    }

    /// How many characters a range takes on one line.
    pub fn width(&self, range: Range) -> usize {
        width(self.text, self.tokens, range.first, range.end)
    }

    /// Begins a line at a token.
    pub fn line(&mut self, index: u32, indent: usize) {
        self.set(index, Before::Line(indent));
    }

    /// Says what stands before a token.
    pub fn set(&mut self, index: u32, before: Before) {
        if let Some(place) = self.before.get_mut(index as usize) {
            *place = before;
        }
    }

    /// A clause stands one step in, should a comment push it onto a line of its own.
    fn clauses_deeper(&mut self, clauses: &[u32], indent: usize) {
        for &clause in clauses {
            self.set_deeper(Range { first: clause, end: clause + 1 }, indent + STEP);
        }
    }

    fn set_deeper(&mut self, range: Range, indent: usize) {
        for place in self.deeper.iter_mut().take(range.end as usize).skip(range.first as usize) {
            *place = indent;
        }
    }
}

/// The `because` that belongs to what is left open, and begins no clause of the rule.
fn left_open(conclusions: &[Conclusion]) -> Vec<u32> {
    let becauses = conclusions.iter().filter_map(|conclusion| match conclusion.kind {
        ConclusionKind::LeaveOpen { because, .. } => Some(because - 1),
        _ => None,
    });
    becauses.collect()
}
