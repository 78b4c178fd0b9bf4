//! Tests: one case each, or one for every row of a table.

use knockon_syntax::tree::{self, Range, Row, TestLine};
use knockon_text::{Code, Problem};

use super::Resolver;
use super::expect::Target;
use super::sentence::Sentences;
use crate::resolved::{self, Cell, Expect, Test};
use crate::view::{Cursor, View};
use crate::words::known;

impl<'a> Resolver<'a> {
    pub(super) fn test(&mut self, view: &'a View<'a>, test: &tree::Test, range: Range) {
        let before = self.problems.len();
        let mut common = Test {
            name: view.quoted(test.name),
            lines: Vec::new(),
            expects: Vec::new(),
            row: None,
            span: view.span(range),
        };
        let named = view.span_of(test.name);
        match self.test_names.get(&common.name).copied() {
            Some(first) => {
                let message = format!("there are two tests \"{}\"", common.name);
                let help = "give each test a name of its own: a report names the tests that fail";
                self.named_again(Code::TestTwice, message, first, named, help);
            }
            None => {
                self.test_names.insert(common.name.clone(), named);
            }
        }
        let mut tables: Vec<&[Row]> = Vec::new();
        for line in &test.lines {
            match line {
                TestLine::Suppose(pieces) => {
                    self.supposed_line(view, pieces, &mut common.lines);
                }
                TestLine::Expect(range) => self.expect(view, *range, &mut common.expects),
                TestLine::Table(rows) => tables.push(rows),
            }
        }
        if tables.is_empty() {
            if self.problems.len() == before {
                self.tests.push(common);
            }
            return;
        }
        for (number, rows) in tables.into_iter().enumerate() {
            self.rows(view, rows, &common, number as u32);
        }
    }

    fn rows(&mut self, view: &'a View<'a>, rows: &[Row], common: &Test, table: u32) {
        let Some((heads, rows)) = rows.split_first() else {
            return;
        };
        if rows.is_empty() {
            self.problems.push(
                Problem::at(
                    Code::UnexpectedWord,
                    view.span(heads.range),
                    "a table with heads and no rows",
                    "nothing is tried here",
                )
                .help("write one row for each case below the heads, as `| front fascia removed | required |`"),
            );
            return;
        }
        let mut columns = Vec::new();
        for &cell in &heads.cells {
            match self.column(view, cell) {
                Ok(column) => columns.push(column),
                Err(problem) => {
                    self.problems.push(problem);
                    return;
                }
            }
        }
        for (number, row) in rows.iter().enumerate() {
            let before = self.problems.len();
            if row.cells.len() != columns.len() {
                self.problems.push(
                    Problem::at(
                        Code::UnexpectedWord,
                        view.span(row.range),
                        format!("this row has {}, the head has {}", cells(row.cells.len()), columns.len()),
                        "one cell for each head is needed",
                    )
                    .help("every row has one cell for each head; an empty cell is `| |`"),
                );
                continue;
            }
            let mut case = common.clone();
            let mut written = Vec::new();
            let mut said = Vec::with_capacity(columns.len());
            for (column, &cell) in columns.iter().zip(&row.cells) {
                let (lines, expects) = (case.lines.len(), case.expects.len());
                if !cell.is_empty() {
                    written.push(view.written(cell));
                }
                match column {
                    Column::Suppose => {
                        self.supposed_line(view, &pieces(view, cell), &mut case.lines);
                    }
                    Column::Expect(_) if cell.is_empty() => {}
                    Column::Expect(target) => {
                        let mut reader = Sentences::new(view, self.vocabulary, self.sources);
                        let target = target.clone();
                        let read =
                            reader.reading(cell, |reader, cursor| reader.verdict(cursor, target.clone(), self.sources));
                        match read {
                            Ok(kinds) => {
                                let span = view.span(cell);
                                case.expects.extend(kinds.into_iter().map(|kind| Expect { kind, ending: None, span }));
                            }
                            Err(problem) => self.problems.push(problem),
                        }
                    }
                }
                said.push(match column {
                    Column::Suppose => Cell::Suppose(case.lines.len() - lines),
                    Column::Expect(_) => Cell::Expect(case.expects.len() - expects),
                });
            }
            case.row = Some(resolved::Row { test: common.name.clone(), table, cells: said });
            case.name = format!("{}, row {}: {}", common.name, number + 1, written.join(" | "));
            case.span = view.span(row.range);
            if self.problems.len() == before {
                self.tests.push(case);
            }
        }
    }

    fn column(&mut self, view: &'a View<'a>, cell: Range) -> Result<Column, Problem> {
        let mut cursor = Cursor::new(view, self.vocabulary, cell);
        if cursor.take(known::SUPPOSE) && cursor.is_done() {
            return Ok(Column::Suppose);
        }
        if cursor.take(known::EXPECT) {
            let mut reader = Sentences::new(view, self.vocabulary, self.sources);
            let target = reader.reading(cursor.rest_range(), |reader, cursor| reader.target(cursor))?;
            return Ok(Column::Expect(target));
        }
        Err(Problem::at(
            Code::UnexpectedWord,
            view.span(cell),
            format!("`{}` is no head of a table", view.written(cell)),
            "neither `suppose` nor `expect ...`",
        )
        .help("a head is `suppose`, or `expect` with a duty or a sensor, as in `expect static calibration of front radar`"))
    }

    fn expect(&mut self, view: &'a View<'a>, range: Range, expects: &mut Vec<Expect>) {
        let mut reader = Sentences::new(view, self.vocabulary, self.sources);
        let read = reader.reading(range, |reader, cursor| {
            let target = reader.target(cursor)?;
            let kinds = reader.verdict(cursor, target, self.sources)?;
            let ending = if cursor.take(known::IF) { Some(reader.ending(cursor)?) } else { None };
            Ok((kinds, ending))
        });
        match read {
            Ok((kinds, ending)) => {
                let span = view.span(range);
                expects.extend(kinds.into_iter().map(|kind| Expect { kind, ending, span }));
            }
            Err(problem) => self.problems.push(problem),
        }
    }
}

enum Column {
    Suppose,
    Expect(Target),
}

pub(super) fn cells(count: usize) -> String {
    if count == 1 { "1 cell".to_string() } else { format!("{count} cells") }
}

/// The pieces of a cell, split at `;`.
fn pieces(view: &View<'_>, cell: Range) -> Vec<Range> {
    let mut out = Vec::new();
    let mut first = cell.first;
    for token in cell.first..=cell.end {
        if token == cell.end || view.kind(token) == Some(knockon_syntax::Tok::Semicolon) {
            if token > first {
                out.push(Range { first, end: token });
            }
            first = token + 1;
        }
    }
    out
}
