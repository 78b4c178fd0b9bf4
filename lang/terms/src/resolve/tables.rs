//! Tables of rules: each row, taken apart with the clauses of the whole rule, is a rule of its own.

use std::collections::BTreeMap;

use knockon_syntax::Tok;
use knockon_syntax::tree::{self, Cell, Conclusion, ConclusionKind, Condition, Joint, Limb, Range, RuleClause, RuleRow};
use knockon_text::{Code, Problem, Span};

use super::Resolver;
use super::rules::Named;
use crate::reading;
use crate::resolved::{self, ScopeId};
use crate::view::{Cursor, View};
use crate::words::{WordId, known};

const GAP: &[WordId] = &[known::GAP, known::AS, known::PRINTED];

/// What a column of a table holds: a clause of the rule, or a part of one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Column {
    Row,
    Section,
    Part,
    Work,
    When,
    Unless,
    Then,
    /// `then P of S`: what is due, and the cells say whether.
    Due(Range),
    Says,
    Because,
    WithoutIt,
}

/// One row, taken apart.
struct Parts<'t> {
    row: &'t RuleRow,
    /// What it is called, where it says so.
    label: Option<u32>,
    section: Option<u32>,
    when: Vec<Limb>,
    /// `other`: where no other row of the table counts.
    other: bool,
    unless: Vec<Condition>,
    then: Vec<Conclusion>,
    /// Texts: `says`, `because`, `without it`.
    texts: Vec<RuleClause>,
}

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
        self.rule(view, &tree::Rule { name: rule.name, clauses }, named, range, scope);
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

fn group(condition: Condition) -> Limb {
    Limb::Group(Box::new(condition))
}

/// Limbs as one condition; nothing where there are none. The tokens of the row stand for the words between them.
fn joined(row: Range, joint: Joint, limbs: Vec<Limb>) -> Option<Condition> {
    let mut limbs = limbs.into_iter();
    let first = limbs.next()?;
    Some(Condition { range: row, first, rest: limbs.map(|limb| (joint, row.first, limb)).collect() })
}

fn wrong(view: &View<'_>, range: Range, message: impl Into<String>, label: impl Into<String>) -> Problem {
    Problem::at(Code::UnexpectedWord, view.span(range), message, label)
}

/// All rows of a table, taken apart.
fn taken_apart<'t>(
    view: &View<'_>,
    vocabulary: &crate::vocabulary::Vocabulary,
    rows: &'t [RuleRow],
) -> Result<Vec<Parts<'t>>, Problem> {
    let Some((heads, rows)) = rows.split_first() else { return Ok(Vec::new()) };
    if rows.is_empty() {
        return Err(wrong(view, heads.row.range, "a table with heads and no rows", "nothing follows the heads").help(
            "write one row for each case below the heads, as `| front cover removed | require calibration of front radar |`",
        ));
    }
    let mut columns: Vec<Column> = Vec::new();
    for &head in &heads.row.cells {
        let column = column(view, vocabulary, head)?;
        let once = !matches!(column, Column::When | Column::Unless | Column::Then | Column::Due(_));
        if once && columns.contains(&column) {
            let shown = view.written(head);
            return Err(wrong(view, head, format!("two columns `{shown}`"), "the second one")
                .help("put what they hold into one column"));
        }
        columns.push(column);
    }
    if let (true, false) | (false, true) = (columns.contains(&Column::Part), columns.contains(&Column::Work)) {
        return Err(wrong(view, heads.row.range, "`part` and `work` stand together", "one of them is missing")
            .help("side by side they are a sentence: below `part` front cover, below `work` removed or replaced; a whole sentence stands below `when`"));
    }
    let mut all = Vec::new();
    for row in rows {
        if row.row.cells.len() != columns.len() {
            let message = format!(
                "this row has {}, the head has {}",
                super::tests::cells(row.row.cells.len()),
                columns.len()
            );
            return Err(wrong(view, row.row.range, message, "one cell for each head is needed")
                .help("every row has one cell for each head; an empty cell is `| |`"));
        }
        all.push(row_parts(view, vocabulary, &columns, row)?);
    }
    gaps(view, vocabulary, rows, &columns, &mut all)?;
    if let [.., last] = all.as_slice()
        && all.iter().all(|parts| parts.other)
    {
        return Err(Problem::at(Code::RowEmpty, view.span(last.row.row.range), "`other` beside no other row", "other than which?")
            .help("`other` stands for every case that no other row of the table names: write the other rows, or no table"));
    }
    Ok(all)
}

fn column(view: &View<'_>, vocabulary: &crate::vocabulary::Vocabulary, head: Range) -> Result<Column, Problem> {
    let alone = |column: Column| (head.len() == 1).then_some(column);
    let mut cursor = Cursor::new(view, vocabulary, head);
    let found = match view.kind(head.first).filter(|_| !head.is_empty()) {
        Some(Tok::When) => alone(Column::When),
        Some(Tok::Unless) => alone(Column::Unless),
        Some(Tok::Then) if head.len() > 1 => Some(Column::Due(Range { first: head.first + 1, ..head })),
        Some(Tok::Then) => Some(Column::Then),
        Some(Tok::Section) => alone(Column::Section),
        Some(Tok::Because) => alone(Column::Because),
        Some(Tok::WithoutIt) => alone(Column::WithoutIt),
        _ if cursor.take(known::ROW) => alone(Column::Row),
        _ if cursor.take(known::PART) => alone(Column::Part),
        _ if cursor.take(known::WORK) => alone(Column::Work),
        _ if cursor.take(known::SAYS) => alone(Column::Says),
        _ => None,
    };
    found.ok_or_else(|| {
        wrong(view, head, format!("`{}` is no head of a rule's table", view.written(head)), "what do its cells say?").help(
            "a head is `when`, `unless`, `then`, `then PROCEDURE of PART`, `part` and `work`, `section`, `row`, `says`, `because` or `without it`",
        )
    })
}

fn row_parts<'t>(
    view: &View<'_>,
    vocabulary: &crate::vocabulary::Vocabulary,
    columns: &[Column],
    row: &'t RuleRow,
) -> Result<Parts<'t>, Problem> {
    let mut parts = Parts {
        row,
        label: None,
        section: None,
        when: Vec::new(),
        other: false,
        unless: Vec::new(),
        then: Vec::new(),
        texts: Vec::new(),
    };
    let (mut part, mut work) = (None, None);
    for ((column, cell), &range) in columns.iter().zip(&row.said).zip(&row.row.cells) {
        match (column, cell) {
            (_, Cell::Empty) => {}
            (Column::When, Cell::Condition(condition)) if is_other(view, vocabulary, condition) => parts.other = true,
            (Column::When, Cell::Condition(condition)) => parts.when.push(group(condition.clone())),
            (Column::Unless, Cell::Condition(condition)) => parts.unless.push(condition.clone()),
            (Column::Then, Cell::Conclusions(conclusions)) => parts.then.extend(conclusions.iter().cloned()),
            (Column::Due(what), Cell::Words(words)) => parts.then.push(verdict(view, vocabulary, *what, *words)?),
            (Column::Part, Cell::Words(words)) => part = Some(*words),
            (Column::Work, Cell::Words(words)) => work = Some(*words),
            (Column::Row, Cell::Words(words)) => parts.label = Some(text(view, *words)?),
            (Column::Section, Cell::Words(words)) => parts.section = Some(text(view, *words)?),
            (Column::Says, Cell::Words(words)) => parts.texts.push(RuleClause::Says(text(view, *words)?)),
            (Column::Because, Cell::Words(words)) => parts.texts.push(RuleClause::Because(text(view, *words)?)),
            (Column::WithoutIt, Cell::Words(words)) => parts.texts.push(RuleClause::WithoutIt(text(view, *words)?)),
            _ => return Err(wrong(view, range, "this cell does not fit its head", "below this head something else is meant")),
        }
    }
    match (part, work) {
        (Some(part), Some(work)) => {
            let happenings = split(view, work);
            let each = split(view, part).into_iter().map(|subject| Limb::Apart { subject, happenings: happenings.clone() });
            parts.when.extend(joined(row.row.range, Joint::Or, each.collect()).map(group));
        }
        (Some(half), None) | (None, Some(half)) => {
            return Err(wrong(view, half, "half a sentence", "the cell beside it is empty")
                .help("below `part` and `work` both cells are filled, or neither"));
        }
        (None, None) => {}
    }
    if parts.other && !parts.when.is_empty() {
        return Err(wrong(view, row.row.range, "`other` beside another condition", "other than the rows, or in this case?")
            .help("`other` stands for every case that no other row names; it is the only condition of its row"));
    }
    Ok(parts)
}

/// `gap as printed` below `then`: what the other rows ask is open in this one.
fn gaps(
    view: &View<'_>,
    vocabulary: &crate::vocabulary::Vocabulary,
    rows: &[RuleRow],
    columns: &[Column],
    all: &mut [Parts<'_>],
) -> Result<(), Problem> {
    let mut asked: Vec<Range> = Vec::new();
    let cells = rows.iter().flat_map(|row| columns.iter().zip(&row.said));
    for (_, cell) in cells.filter(|(column, _)| **column == Column::Then) {
        let Cell::Conclusions(conclusions) = cell else { continue };
        for conclusion in conclusions {
            if let ConclusionKind::Require { what, .. } | ConclusionKind::Advise { what, .. } = conclusion.kind
                && asked.iter().all(|known| view.name(*known) != view.name(what))
            {
                asked.push(what);
            }
        }
    }
    for parts in all {
        let is_gap = |conclusion: &Conclusion| match conclusion.kind {
            ConclusionKind::Statement(range) => Cursor::new(view, vocabulary, range).rest() == GAP,
            _ => false,
        };
        let Some(at) = parts.then.iter().position(is_gap) else { continue };
        let range = parts.then.remove(at).range;
        if asked.is_empty() {
            return Err(Problem::at(
                Code::GapOfNothing,
                view.span(range),
                "a gap, and no other row says of what",
                "what does the text leave out here?",
            )
            .help("write `leave open PROCEDURE of PART because \"gap as printed\"`, or put the duty into the head, as `then calibration of front radar`"));
        }
        parts.then.extend(asked.iter().map(|&what| Conclusion { range, kind: ConclusionKind::Gap(what) }));
    }
    Ok(())
}

/// A cell below `then P of S`.
fn verdict(
    view: &View<'_>,
    vocabulary: &crate::vocabulary::Vocabulary,
    what: Range,
    cell: Range,
) -> Result<Conclusion, Problem> {
    let kinds: Vec<Option<Tok>> = (cell.first..cell.end).map(|token| view.kind(token)).collect();
    let kind = match kinds.as_slice() {
        [Some(Tok::Require)] => Some(ConclusionKind::Require { what, words: None }),
        [Some(Tok::Advise)] => Some(ConclusionKind::Advise { what, words: None }),
        [Some(Tok::Waive)] => Some(ConclusionKind::Waive { what }),
        [Some(Tok::Require), Some(Tok::InTheWords), Some(Tok::Text)] => {
            Some(ConclusionKind::Require { what, words: Some(cell.end - 1) })
        }
        [Some(Tok::Advise), Some(Tok::InTheWords), Some(Tok::Text)] => {
            Some(ConclusionKind::Advise { what, words: Some(cell.end - 1) })
        }
        _ if Cursor::new(view, vocabulary, cell).rest() == GAP => Some(ConclusionKind::Gap(what)),
        _ => None,
    };
    kind.map(|kind| Conclusion { range: cell, kind }).ok_or_else(|| {
        let shown = view.written(cell);
        wrong(view, cell, format!("`{shown}` does not say whether it is due"), "the head names what may be due").help(
            "write `require`, `advise` or `waive`, perhaps `in the words \"...\"`; `gap as printed` where the text leaves it out; or leave the cell empty: then this row says nothing of it",
        )
    })
}

/// The one text of a cell.
fn text(view: &View<'_>, cell: Range) -> Result<u32, Problem> {
    if cell.len() == 1 && view.kind(cell.first) == Some(Tok::Text) {
        return Ok(cell.first);
    }
    Err(wrong(view, cell, format!("`{}` where a text in quotes is meant", view.written(cell)), "expected a text in quotes")
        .help("below this head a cell holds one text, as in `\"3.1\"`"))
}

fn is_other(view: &View<'_>, vocabulary: &crate::vocabulary::Vocabulary, condition: &Condition) -> bool {
    match &condition.first {
        Limb::Sentence(range) if condition.rest.is_empty() => {
            Cursor::new(view, vocabulary, *range).rest() == [known::OTHER]
        }
        _ => false,
    }
}

/// A cell cut at each `or`.
fn split(view: &View<'_>, cell: Range) -> Vec<Range> {
    let mut out = Vec::new();
    let mut first = cell.first;
    for token in cell.first..=cell.end {
        if token == cell.end || view.kind(token) == Some(Tok::Or) {
            out.push(Range { first, end: token });
            first = token + 1;
        }
    }
    out
}
