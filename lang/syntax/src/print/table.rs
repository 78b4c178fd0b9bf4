//! The rows of a table, with their bars under each other.

use super::plan::{Before, Planner};
use crate::token::Tok;
use crate::tree::{Range, Row};

/// Lays the rows of one table out.
pub fn plan<'r>(planner: &mut Planner<'_>, rows: impl Iterator<Item = &'r Row> + Clone, indent: usize) {
    let mut columns: Vec<usize> = Vec::new();
    for row in rows.clone().filter(|row| is_one_line(planner, row)) {
        for (column, cell) in row.cells.iter().enumerate() {
            let width = planner.width(*cell);
            match columns.get_mut(column) {
                Some(widest) => *widest = (*widest).max(width),
                None => columns.push(width),
            }
        }
    }
    for row in rows {
        planner.line(row.range.first, indent);
        if !is_one_line(planner, row) {
            continue;
        }
        for (cell, &widest) in row.cells.iter().zip(&columns) {
            let Range { end, .. } = *cell;
            // The bar after the cell; a row may end without one.
            if end < row.range.end && planner.tokens.kind(end) == Some(Tok::Bar) {
                let gap = if cell.is_empty() { widest + 2 } else { widest - planner.width(*cell) + 1 };
                planner.set(end, Before::Spaces(gap));
            }
        }
    }
}

/// Whether a row can stand on one line: not if a comment ends a line within it, or if a word in it
/// counts only as the first of a line.
fn is_one_line(planner: &Planner<'_>, row: &Row) -> bool {
    let Range { first, end } = row.range;
    let comments = &planner.tokens.comments;
    let comment = comments.partition_point(|&(_, _, before)| before <= first);
    comments.get(comment).is_none_or(|&(_, _, before)| before >= end)
        && (first..end).all(|index| planner.tokens.kind(index).is_none_or(|kind| !kind.only_first_on_line()))
}
