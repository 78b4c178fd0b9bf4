//! A whole file in words, in the order in which it says things, and in the one style.

use knockon_syntax::{parse, print};
use knockon_text::{FileId, Span};

use super::{carrying_out, declarations, facts, jobs, rules, sources, tests};
use crate::resolved::{Cell, ExpectKind, Fact, Resolved, ScopeId, Test};

/// What a file of the load says, read aloud: a file of its own that says the same. Comments are not read; what stands
/// in a scope and holds for every car (declarations, sources, jobs, tests) is read after that scope.
pub fn file(resolved: &Resolved, file: FileId) -> String {
    let text = File { resolved, file }.items(None);
    let parsed = parse(FileId(0), &text);
    // What cannot be printed in the one style is shown as it is, so that whoever looks sees why.
    print::format(&text, &parsed).unwrap_or(text)
}

/// What stands at a place, and whether it is one line among others of its sort.
struct Piece {
    place: Span,
    sort: Sort,
    text: String,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Sort {
    Use,
    Term,
    Fact,
    Apart,
}

struct File<'a> {
    resolved: &'a Resolved,
    file: FileId,
}

impl File<'_> {
    /// Everything that stands in a scope, or outside of all.
    fn items(&self, scope: Option<ScopeId>) -> String {
        let mut pieces = self.held_by(scope.unwrap_or(ScopeId::EVERY_CAR));
        if scope.is_none() {
            pieces.extend(self.held_by_none());
        }
        pieces.retain(|piece| piece.place.file == self.file);
        pieces.sort_by_key(|piece| piece.place.start);
        let mut out = String::new();
        let mut before = None;
        for piece in pieces {
            if before.is_some_and(|before| before != piece.sort || before == Sort::Apart) {
                out.push('\n');
            }
            before = Some(piece.sort);
            out.push_str(&piece.text);
        }
        out
    }

    /// Facts, rules, what procedures take, and scopes.
    fn held_by(&self, scope: ScopeId) -> Vec<Piece> {
        let mut pieces = Vec::new();
        let mut lines: Vec<Vec<&Fact>> = Vec::new();
        for fact in self.resolved.facts.iter().filter(|fact| fact.scope == scope && fact.declared.is_none()) {
            match lines.last_mut() {
                Some(line) if line.last().is_some_and(|before| facts::goes_on(before, fact)) => line.push(fact),
                _ => lines.push(vec![fact]),
            }
        }
        for line in lines {
            if let Some(first) = line.first() {
                let text = format!("{}\n", facts::line(self.resolved, &line));
                pieces.push(Piece { place: first.span, sort: Sort::Fact, text });
            }
        }
        for rule in self.resolved.rules.iter().filter(|rule| rule.scope == scope) {
            pieces.push(Piece {
                place: rule.span,
                sort: Sort::Apart,
                text: on_lines(&rules::rule(self.resolved, rule)),
            });
        }
        for item in self.resolved.carrying_out.iter().filter(|item| item.scope == scope) {
            let text = on_lines(&carrying_out::carrying_out(self.resolved, item));
            pieces.push(Piece { place: item.span, sort: Sort::Apart, text });
        }
        for (index, inner) in self.resolved.scopes.iter().enumerate() {
            let id = ScopeId(index as u32);
            if let (Some(place), true) = (inner.span, inner.parent == Some(scope) && !self.of_a_source(id)) {
                let cars = facts::scope_own(self.resolved, inner);
                let text = format!("for {cars} {{\n{}}}\n", self.items(Some(id)));
                pieces.push(Piece { place, sort: Sort::Apart, text });
            }
        }
        pieces
    }

    /// Whether a scope is that of a clause of a source: `replaces VEL-PS-9 for Brindle Sedge`.
    fn of_a_source(&self, id: ScopeId) -> bool {
        let portions =
            self.resolved.sources.iter().flat_map(|source| source.replaces.iter().chain(&source.carries_over));
        portions.into_iter().any(|portion| portion.cars == Some(id))
    }

    /// What holds whatever scope it stands in.
    fn held_by_none(&self) -> Vec<Piece> {
        let resolved = self.resolved;
        let mut pieces = Vec::new();
        for used in &resolved.uses {
            let text = format!("use \"{}\"\n", used.name);
            pieces.push(Piece { place: used.span, sort: Sort::Use, text });
        }
        for (id, term) in resolved.vocabulary.iter().filter(|(_, term)| term.span.file == self.file) {
            if let Some(lines) = declarations::declaration(resolved, id) {
                pieces.push(Piece { place: term.span, sort: Sort::Term, text: on_lines(&lines) });
            }
        }
        for source in &resolved.sources {
            let text = on_lines(&sources::source(resolved, source));
            pieces.push(Piece { place: source.span, sort: Sort::Apart, text });
        }
        for job in &resolved.jobs {
            let dated = job.dated.map_or_else(String::new, |date| format!(" dated {date}"));
            let mut lines = vec![format!("job \"{}\"{dated}", job.name)];
            lines.extend(job.lines.iter().map(|line| jobs::line(&resolved.vocabulary, &line.entry)));
            pieces.push(Piece { place: job.span, sort: Sort::Apart, text: on_lines(&lines) });
        }
        let mut rest = resolved.tests.as_slice();
        while let Some(first) = rest.first() {
            let same = |test: &Test| match (&first.row, &test.row) {
                (Some(one), Some(two)) => one.test == two.test,
                _ => false,
            };
            let count = 1 + rest.iter().skip(1).take_while(|test| same(test)).count();
            let (these, others) = rest.split_at(count.min(rest.len()));
            rest = others;
            pieces.push(Piece { place: first.span, sort: Sort::Apart, text: self.test(these) });
        }
        pieces
    }

    /// A test, or all rows of the tables of one.
    fn test(&self, rows: &[Test]) -> String {
        let resolved = self.resolved;
        let Some(first) = rows.first() else { return String::new() };
        let name = first.row.as_ref().map_or(&first.name, |row| &row.test);
        let (in_lines, in_expects) = first.row.as_ref().map_or((0, 0), |row| {
            row.cells.iter().fold((0, 0), |(lines, expects), cell| match cell {
                Cell::Suppose(count) => (lines + count, expects),
                Cell::Expect(count) => (lines, expects + count),
            })
        });
        let mut lines = vec![format!("test \"{name}\"")];
        for line in first.lines.iter().take(first.lines.len().saturating_sub(in_lines)) {
            lines.push(format!("suppose {}", jobs::line(&resolved.vocabulary, &line.entry)));
        }
        for expect in first.expects.iter().take(first.expects.len().saturating_sub(in_expects)) {
            lines.push(format!("expect {}", tests::expect(resolved, expect)));
        }
        let mut rest = rows;
        while let Some(number) = rest.first().and_then(|test| test.row.as_ref()).map(|row| row.table) {
            let same = |test: &Test| test.row.as_ref().is_some_and(|row| row.table == number);
            let (table, others) = rest.split_at(rest.iter().take_while(|test| same(test)).count());
            rest = others;
            lines.push("table".to_string());
            lines.extend(self.table(table));
        }
        on_lines(&lines)
    }

    /// The rows of one table, its heads before them. A column in which nothing stands is left out.
    fn table(&self, rows: &[Test]) -> Vec<String> {
        let cut: Vec<Vec<(String, String)>> = rows.iter().map(|row| self.cells(row)).collect();
        let columns = cut.first().map_or(0, Vec::len);
        let head = |column: usize| {
            cut.iter().filter_map(|row| row.get(column)).map(|(head, _)| head.as_str()).find(|head| !head.is_empty())
        };
        let kept: Vec<(usize, &str)> =
            (0..columns).filter_map(|column| head(column).map(|head| (column, head))).collect();
        let row = |cells: Vec<&str>| format!("| {} |", cells.join(" | "));
        let mut lines = vec![row(kept.iter().map(|(_, head)| *head).collect())];
        for cells in &cut {
            let cell = |column: usize| cells.get(column).map_or("", |(_, cell)| cell.as_str());
            lines.push(row(kept.iter().map(|&(column, _)| cell(column)).collect()));
        }
        lines
    }

    /// The cells of a row, each with the head its column has; no head where the cell does not tell.
    fn cells(&self, test: &Test) -> Vec<(String, String)> {
        let resolved = self.resolved;
        let cells = test.row.as_ref().map_or(&[][..], |row| row.cells.as_slice());
        let (mut lines, mut expects) = (test.lines.len(), test.expects.len());
        for cell in cells {
            match cell {
                Cell::Suppose(count) => lines = lines.saturating_sub(*count),
                Cell::Expect(count) => expects = expects.saturating_sub(*count),
            }
        }
        let mut out = Vec::new();
        for cell in cells {
            out.push(match cell {
                Cell::Suppose(count) => {
                    let these = test.lines.iter().skip(lines).take(*count);
                    let words: Vec<String> = these.map(|line| jobs::line(&resolved.vocabulary, &line.entry)).collect();
                    lines += count;
                    ("suppose".to_string(), words.join("; "))
                }
                Cell::Expect(count) => {
                    let these: Vec<ExpectKind> =
                        test.expects.iter().skip(expects).take(*count).map(|expect| expect.kind.clone()).collect();
                    expects += count;
                    let target = these.first().and_then(|kind| tests::target(resolved, kind));
                    let head = target.map_or_else(String::new, |target| format!("expect {target}"));
                    (head, tests::cell(resolved, &these))
                }
            });
        }
        out
    }
}

fn on_lines(lines: &[String]) -> String {
    lines.iter().map(|line| format!("{line}\n")).collect()
}
