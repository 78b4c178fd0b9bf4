//! The rows of a rule's table, taken apart: what each cell says of its row.

use knockon_syntax::Tok;
use knockon_syntax::tree::{Cell, Conclusion, ConclusionKind, Condition, Joint, Limb, Range, RuleClause, RuleRow};
use knockon_text::{Code, Problem};

use super::tables::{group, joined, wrong};
use crate::view::{Cursor, View};
use crate::vocabulary::Vocabulary;
use crate::words::{WordId, known};

const GAP: &[WordId] = &[known::GAP, known::AS, known::PRINTED];

/// What a column of a table holds: a clause of the rule, or a part of one.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Column {
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
pub(super) struct Parts<'t> {
    pub row: &'t RuleRow,
    /// What it is called, where it says so.
    pub label: Option<u32>,
    pub section: Option<u32>,
    pub when: Vec<Limb>,
    /// `other`: where no other row of the table counts.
    pub other: bool,
    pub unless: Vec<Condition>,
    pub then: Vec<Conclusion>,
    /// Texts: `says`, `because`, `without it`.
    pub texts: Vec<RuleClause>,
}

/// All rows of a table, taken apart.
pub(super) fn taken_apart<'t>(
    view: &View<'_>,
    vocabulary: &Vocabulary,
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
            let message =
                format!("this row has {}, the head has {}", super::tests::cells(row.row.cells.len()), columns.len());
            return Err(wrong(view, row.row.range, message, "one cell for each head is needed")
                .help("every row has one cell for each head; an empty cell is `| |`"));
        }
        all.push(row_parts(view, vocabulary, &columns, row)?);
    }
    gaps(view, vocabulary, rows, &columns, &mut all)?;
    if let [.., last] = all.as_slice()
        && all.iter().all(|parts| parts.other)
    {
        return Err(Problem::at(
            Code::RowEmpty,
            view.span(last.row.row.range),
            "`other` beside no other row",
            "other than which?",
        )
        .help(
            "`other` stands for every case that no other row of the table names: write the other rows, or no table",
        ));
    }
    Ok(all)
}

fn column(view: &View<'_>, vocabulary: &Vocabulary, head: Range) -> Result<Column, Problem> {
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
    vocabulary: &Vocabulary,
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
            _ => {
                return Err(wrong(
                    view,
                    range,
                    "this cell does not fit its head",
                    "below this head something else is meant",
                ));
            }
        }
    }
    match (part, work) {
        (Some(part), Some(work)) => {
            let happenings = split(view, work);
            let each =
                split(view, part).into_iter().map(|subject| Limb::Apart { subject, happenings: happenings.clone() });
            parts.when.extend(joined(row.row.range, Joint::Or, each.collect()).map(group));
        }
        (Some(part), None) if Cursor::new(view, vocabulary, part).rest() == [known::OTHER] => parts.other = true,
        (Some(half), None) | (None, Some(half)) => {
            return Err(wrong(view, half, "half a sentence", "the cell beside it is empty")
                .help("below `part` and `work` both cells are filled, or neither"));
        }
        (None, None) => {}
    }
    if parts.other && !parts.when.is_empty() {
        return Err(wrong(
            view,
            row.row.range,
            "`other` beside another condition",
            "other than the rows, or in this case?",
        )
        .help("`other` stands for every case that no other row names; it is the only condition of its row"));
    }
    Ok(parts)
}

/// `gap as printed` below `then`: what the other rows ask is open in this one.
fn gaps(
    view: &View<'_>,
    vocabulary: &Vocabulary,
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
fn verdict(view: &View<'_>, vocabulary: &Vocabulary, what: Range, cell: Range) -> Result<Conclusion, Problem> {
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
    Err(wrong(
        view,
        cell,
        format!("`{}` where a text in quotes is meant", view.written(cell)),
        "expected a text in quotes",
    )
    .help("below this head a cell holds one text, as in `\"3.1\"`"))
}

fn is_other(view: &View<'_>, vocabulary: &Vocabulary, condition: &Condition) -> bool {
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
