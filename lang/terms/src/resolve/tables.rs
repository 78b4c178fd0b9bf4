//! Tables of rules: each row, taken apart with the clauses of the whole rule, is a rule of its own.

use std::collections::BTreeMap;

use knockon_syntax::tree::{self, Condition, Joint, Limb, Range, RuleClause};
use knockon_text::{Code, Problem, Span};

use super::Resolver;
use super::rules::Named;
use super::table_rows::{Parts, taken_apart};
use crate::reading;
use crate::resolved::{self, ScopeId};
use crate::view::View;

impl<'a> Resolver<'a> {
    /// A rule, or the rules that the rows of its table are.
    pub(super) fn rule_or_rows(&mut self, view: &'a View<'a>, rule: &tree::Rule, range: Range, scope: ScopeId) {
        let named = Named { name: view.quoted(rule.name), span: view.span_of(rule.name) };
        let mut tables = rule.clauses.iter().filter_map(|clause| match clause {
            RuleClause::Table(rows) => Some(rows),
            _ => None,
        });
        let (first, second) = (tables.next(), tables.next());
        let Some(rows) = first else { return self.rule(view, rule, named, range, scope) };
        if let Some(second) = second.and_then(|rows| rows.first()) {
            let problem = wrong(view, second.row.range, "a second table in one rule", "the second table")
                .help("put all rows into one table, or write two rules");
            return self.problems.push(problem);
        }
        let again = self.rule_names.get(&named.name).and_then(|id| self.rules.get(id.0 as usize)).map(|rule| rule.span);
        if let Some(first) = again.or_else(|| self.tables.get(&named.name).map(|table| table.span)) {
            let message = format!("there are two rules \"{}\"", named.name);
            let help = "give each rule a name of its own: answers and exceptions name rules";
            return self.named_again(Code::RuleTwice, message, first, named.span, help);
        }
        let before = self.problems.len();
        let first_rule = self.rules.len();
        match taken_apart(view, self.vocabulary, rows) {
            Ok(parts) => {
                for (number, part) in parts.iter().enumerate() {
                    self.row(view, rule, &named, number, part, &parts, range, scope);
                }
            }
            Err(problem) => self.problems.push(problem),
        }
        // What is wrong with a clause of the whole rule is wrong in every row.
        let mut told: Vec<Problem> = Vec::new();
        for problem in self.problems.split_off(before) {
            if !told.contains(&problem) {
                told.push(problem);
            }
        }
        self.problems.append(&mut told);
        let is_whole = !self.has_erred(before);
        if is_whole {
            self.rows_alike(first_rule);
        }
        let rows = self.rules.iter().skip(first_rule).map(|rule| rule.name.clone()).collect();
        self.tables.insert(named.name, Table { rows, is_whole, span: named.span });
    }

    #[expect(clippy::too_many_arguments, reason = "one row, and all that stands around it")]
    fn row(
        &mut self,
        view: &'a View<'a>,
        rule: &tree::Rule,
        table: &Named,
        number: usize,
        part: &Parts<'_>,
        all: &[Parts<'_>],
        range: Range,
        scope: ScopeId,
    ) {
        let row = part.row.row.range;
        let common = |wanted: fn(&RuleClause) -> bool| rule.clauses.iter().any(wanted);
        if part.when.is_empty() && !part.other {
            return self.problems.push(
                Problem::at(
                    Code::RowEmpty,
                    view.span(row),
                    format!("this row of \"{}\" names no case", table.name),
                    "when does it hold?",
                )
                .help("fill its cell below `when`, or below `part` and `work`; `other` stands for every case that no other row names"),
            );
        }
        if part.then.is_empty() && !common(|clause| matches!(clause, RuleClause::Then(_))) {
            return self.problems.push(
                Problem::at(
                    Code::RowEmpty,
                    view.span(row),
                    format!("this row of \"{}\" says nothing", table.name),
                    "all its cells below `then` are empty",
                )
                .help("where the printed row gives no verdict, write `gap as printed`: then what it would be about is open; a row that is about nothing is left out"),
            );
        }
        let mut when: Vec<Limb> = Vec::new();
        let (mut unless, mut clauses): (Vec<&Condition>, Vec<RuleClause>) = (Vec::new(), Vec::new());
        for clause in &rule.clauses {
            match clause {
                RuleClause::Table(_) => {}
                RuleClause::When(condition) => when.push(Limb::Group(Box::new(condition.clone()))),
                RuleClause::Unless(condition) => unless.push(condition),
                RuleClause::Cites(reference) => clauses.push(RuleClause::Cites(tree::Reference {
                    section: part.section.or(reference.section),
                    ..reference.clone()
                })),
                clause => clauses.push(clause.clone()),
            }
        }
        when.extend(part.when.iter().cloned());
        if part.other {
            let others = all.iter().filter(|other| !other.other);
            let each = others.filter_map(|other| joined(row, Joint::And, other.when.clone())).map(group);
            if let Some(any) = joined(row, Joint::Or, each.collect()) {
                when.push(Limb::Not(row.first, Box::new(group(any))));
            }
        }
        unless.extend(&part.unless);
        clauses.extend(joined(row, Joint::And, when).map(RuleClause::When));
        let each = unless.into_iter().cloned().map(group).collect();
        clauses.extend(joined(row, Joint::Or, each).map(RuleClause::Unless));
        if !part.then.is_empty() {
            clauses.push(RuleClause::Then(part.then.clone()));
        }
        clauses.extend(part.texts.iter().cloned());
        let label = part.label.map_or_else(|| (number + 1).to_string(), |label| view.quoted(label));
        let named = Named { name: format!("{}, row {label}", table.name), span: view.span(row) };
        let range = Range { end: range.end, ..row };
        let before = self.problems.len();
        self.rule(view, &tree::Rule { name: rule.name, clauses }, named, range, scope);
        if part.other {
            // What another row names it can point at itself; denied, it names nobody.
            let outside = |span: Span| span.start < view.span(row).start || span.end > view.span(row).end;
            for problem in self.problems.iter_mut().skip(before) {
                if problem.main.as_ref().is_some_and(|label| outside(label.span)) {
                    let told = problem.clone().context(view.span(row), "`other` here asks that this row does not hold");
                    *problem = told.help("a row that names a class word and points back to it cannot be denied as a whole: write out the cases that are left in place of `other`");
                }
            }
        }
        if let Some(rule) = self.rules.last_mut().filter(|rule| rule.span == view.span(range)) {
            rule.span = view.span(row);
        }
    }

    /// Two rows of one table for the same case: one of them is a slip, whatever they conclude.
    fn rows_alike(&mut self, first_rule: usize) {
        let mut seen: BTreeMap<String, (Span, Vec<String>)> = BTreeMap::new();
        for rule in self.rules.iter().skip(first_rule) {
            let words = |condition: &resolved::Condition| {
                reading::limbs(self.vocabulary, &rule.variables, condition).join(" and ")
            };
            let when = rule.when.as_ref().map(words).unwrap_or_default();
            let unless = rule.unless.as_ref().map(words).unwrap_or_default();
            let then = rule.conclusions.iter().map(|conclusion| format!("{:?}", conclusion.kind)).collect();
            match seen.get(&format!("{when} unless {unless}")) {
                Some((first, concluded)) => {
                    let same = concluded == &then;
                    let message = if same {
                        "two rows of the table say the same".to_string()
                    } else {
                        "two rows of the table are for the same case and conclude different things".to_string()
                    };
                    self.problems.push(
                        Problem::at(Code::RowTwice, rule.span, message, format!("when {when}"))
                            .context(*first, "this row is for the same case")
                            .help(if same {
                                "take one of them out"
                            } else {
                                "put into one row what is due in that case, or say what tells the two cases apart; where the text itself prints both, write two rules, so that the conflict is seen"
                            }),
                    );
                }
                None => {
                    seen.insert(format!("{when} unless {unless}"), (rule.span, then));
                }
            }
        }
    }

    /// `gives way to` a table means to each of its rows.
    pub(super) fn give_way_to_rows(&mut self) {
        for rule in &mut self.rules {
            let tables = &self.tables;
            let named = std::mem::take(&mut rule.gives_way).into_iter();
            rule.gives_way = named
                .flat_map(|(name, span)| match tables.get(&name) {
                    Some(table) => table.rows.iter().map(|row| (row.clone(), span)).collect(),
                    None => vec![(name, span)],
                })
                .collect();
        }
    }
}

/// The rows of a rule with a table.
#[derive(Clone, Debug)]
pub(super) struct Table {
    /// The rules they are, by name.
    pub rows: Vec<String>,
    /// Whether all could be read.
    pub is_whole: bool,
    /// Where the rule's name stands.
    pub span: Span,
}

pub(super) fn group(condition: Condition) -> Limb {
    Limb::Group(Box::new(condition))
}

/// Limbs as one condition; nothing where there are none. The tokens of the row stand for the words between them.
pub(super) fn joined(row: Range, joint: Joint, limbs: Vec<Limb>) -> Option<Condition> {
    let mut limbs = limbs.into_iter();
    let first = limbs.next()?;
    Some(Condition { range: row, first, rest: limbs.map(|limb| (joint, row.first, limb)).collect() })
}

pub(super) fn wrong(view: &View<'_>, range: Range, message: impl Into<String>, label: impl Into<String>) -> Problem {
    Problem::at(Code::UnexpectedWord, view.span(range), message, label)
}
