//! The journal: everything taken at the prompt, as one text of the language.

use knockon_lang::load::resolve_name;
use knockon_lang::measure::Date;
use knockon_lang::syntax::{Tok, lex};

use super::pieces::{Kind, Piece, cut};
use crate::files;

/// The name the journal is loaded under.
pub const NAME: &str = "prompt";

/// What is used while no file is named.
pub const DEFAULT_LIBRARY: &str = "standard/all.knock";

/// What was taken so far. The order among files, items and lines is that of the text: files, items, the job.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Journal {
    /// Files used, as the loader names them.
    pub uses: Vec<String>,
    /// Whether `uses` is what nobody named.
    pub default_library: bool,
    /// Words, sources, rules, facts, tests.
    pub items: Vec<String>,
    /// `job "..." dated ...`.
    pub header: String,
    /// The lines of the job.
    pub lines: Vec<String>,
}

impl Journal {
    /// A journal that uses these files, or the standard library where none is named.
    pub fn new(uses: &[String], today: Date) -> Journal {
        let default_library = uses.is_empty();
        Journal {
            uses: if default_library { vec![DEFAULT_LIBRARY.to_string()] } else { uses.to_vec() },
            default_library,
            items: Vec::new(),
            header: format!("job \"{NAME}\" dated {today}"),
            lines: Vec::new(),
        }
    }

    /// The journal a file holds, `path` being its name; nothing where it holds more than one job.
    pub fn of_file(path: &str, text: &str, today: Date) -> Option<Journal> {
        let mut journal = Journal { uses: Vec::new(), default_library: false, ..Journal::new(&[], today) };
        let pieces = cut(text);
        if pieces.iter().filter(|piece| piece.kind == Kind::Job).count() > 1 {
            return None;
        }
        for Piece { kind, text } in pieces {
            match kind {
                Kind::Use => journal.uses.extend(used(path, &text)),
                Kind::Job => journal.header = with_day(&text, today),
                Kind::Line => journal.lines.push(text),
                Kind::GoesOn => journal.go_on(&text),
                Kind::Item | Kind::Bare | Kind::Word | Kind::Dated => journal.items.push(text),
            }
        }
        Some(journal)
    }

    /// Adds a line to the item before.
    pub fn go_on(&mut self, text: &str) {
        match self.items.last_mut() {
            Some(item) => {
                item.push_str("\n  ");
                item.push_str(text);
            }
            None => self.items.push(text.to_string()),
        }
    }

    /// The text, as a file at `path` would hold it.
    pub fn text(&self, path: &str) -> String {
        let mut text = String::new();
        for used in &self.uses {
            let name = files::relative(path, used);
            text.push_str(&format!("use \"{}\"\n", name.trim_end_matches(".knock")));
        }
        for item in &self.items {
            if !text.is_empty() {
                text.push('\n');
            }
            text.push_str(item);
            text.push('\n');
        }
        if !text.is_empty() {
            text.push('\n');
        }
        text.push_str(&self.header);
        text.push('\n');
        for line in &self.lines {
            text.push_str(&format!("  {line}\n"));
        }
        text
    }

    /// The line that names the vehicle, if there is one.
    pub fn vehicle_line(&self) -> Option<usize> {
        self.lines.iter().position(|line| is_vehicle(line))
    }
}

/// Whether a job line names the vehicle.
pub fn is_vehicle(line: &str) -> bool {
    lex(line).kind(0) == Some(Tok::Vehicle)
}

/// The file a `use` line in the text at `path` names.
pub fn used(path: &str, line: &str) -> Option<String> {
    let tokens = lex(line);
    let text = (tokens.kind(1) == Some(Tok::Text)).then(|| tokens.text(line, 1).trim_matches('"'))?;
    Some(resolve_name(path, text))
}

/// A `job` line that says a day.
pub fn with_day(line: &str, today: Date) -> String {
    if lex(line).kinds.contains(&Tok::Dated) { line.to_string() } else { format!("{line} dated {today}") }
}

/// The header with another day: `dated ...` as typed.
pub fn dated(header: &str, day: &str) -> String {
    let tokens = lex(header);
    let name = (0..tokens.len()).find(|&index| tokens.kind(index) == Some(Tok::Text));
    let name = name.map_or("\"prompt\"", |index| tokens.text(header, index));
    format!("job {name} {day}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day() -> Date {
        Date::new(2026, 2, 11).unwrap()
    }

    #[test]
    fn what_a_file_holds_is_the_same_after_a_round_through_the_journal() {
        let text = "use \"../words\"\nuse \"standard/all\"\n\nmaker Brindle makes Sedge\nevery car has lidar\n\n\
                    job \"QG\" dated 2026-01-05\n  vehicle Brindle Sedge 2022\n  equipped with lidar,\n    front radar\n";
        let journal = Journal::of_file("jobs/a.knock", text, day()).unwrap();
        assert_eq!(journal.uses, ["words.knock", "standard/all.knock"]);
        assert_eq!(journal.items, ["maker Brindle makes Sedge", "every car has lidar"]);
        assert_eq!(journal.lines.len(), 2);
        let again = Journal::of_file("other/b.knock", &journal.text("other/b.knock"), day()).unwrap();
        assert_eq!(again, journal);
    }

    #[test]
    fn a_job_without_a_day_gets_one_and_a_day_can_be_changed() {
        assert_eq!(with_day("job \"QG\"", day()), "job \"QG\" dated 2026-02-11");
        assert_eq!(with_day("job \"QG\" dated 2026-01-05", day()), "job \"QG\" dated 2026-01-05");
        assert_eq!(dated("job \"QG dated\" dated 2026-01-05", "dated 2025-01-01"), "job \"QG dated\" dated 2025-01-01");
    }

    #[test]
    fn a_file_of_two_jobs_is_no_session() {
        assert_eq!(Journal::of_file("a.knock", "job \"a\"\njob \"b\"\n", day()), None);
    }
}
