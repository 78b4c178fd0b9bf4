//! The only file that draws problems, and the only one that names ariadne.
//!
//! ariadne breaks lines at characters where our line table does not, and counts bytes in one place
//! and characters in another. So it is given a copy of each text in which every character stands for
//! one of ours and lines end where ours end, and offsets in characters that come from
//! [`Sources`]: a drawn place is always the place everybody else reports.

mod copy;
mod line;

use std::collections::BTreeMap;
use std::ops::Range;

use ariadne::{CharSet, Color, Config, Fmt, IndexType, LabelAttach, Report, ReportKind};

use crate::codes::Severity;
use crate::neutral::one_line;
use crate::problem::{Label, Problem};
use crate::source::{FileId, Sources};

use copy::TextCopy;
pub use line::draw_plain_line;

/// A line longer than this is named but not shown: it would fill the screen and hide the message.
const LONGEST_SHOWN_LINE: usize = 400;

/// A main label over more lines than this is shown by its first line, as context always is.
const MOST_BRACKETED_LINES: u32 = 40;

/// Draws every problem in order: code and message, the places with their labels, and how to go on.
/// Two problems are parted by an empty line; no problems give an empty text.
///
/// A label whose span leaves its text is drawn at the text's end; one that names no text at all is
/// written below the message without a place. Colour is decided by whoever knows the terminal.
pub fn draw(problems: &[Problem], sources: &Sources, colour: bool) -> String {
    let mut copies = Copies { sources, of_file: BTreeMap::new() };
    let drawn: Vec<String> = problems.iter().map(|problem| draw_one(problem, &mut copies, colour)).collect();
    drawn.join("\n")
}

/// The copies of the texts that problems touch, each made once.
struct Copies<'a> {
    sources: &'a Sources,
    of_file: BTreeMap<FileId, TextCopy>,
}

impl Copies<'_> {
    fn of(&mut self, file: FileId) -> Option<&TextCopy> {
        let source = self.sources.get(file)?;
        Some(self.of_file.entry(file).or_insert_with(|| TextCopy::new(source)))
    }
}

impl ariadne::Cache<FileId> for &Copies<'_> {
    type Storage = String;

    fn fetch(&mut self, file: &FileId) -> Result<&ariadne::Source<String>, impl std::fmt::Debug> {
        self.of_file.get(file).map(TextCopy::text).ok_or("a text nobody added")
    }

    fn display<'b>(&self, file: &'b FileId) -> Option<impl std::fmt::Display + 'b> {
        self.sources.get(*file).map(|source| one_line(source.name()).into_owned())
    }
}

/// A label with its place in characters.
struct Placed<'a> {
    file: FileId,
    characters: Range<usize>,
    text: &'a str,
    is_main: bool,
}

fn draw_one(problem: &Problem, copies: &mut Copies<'_>, colour: bool) -> String {
    let mut drawn = head(problem, colour);
    let mut placed = Vec::new();
    let mut elsewhere = Vec::new();
    let labels = problem.main.iter().map(|label| (label, true));
    for (label, is_main) in labels.chain(problem.context.iter().map(|label| (label, false))) {
        match place_label(label, is_main, copies) {
            Some(label) => placed.push(label),
            None => elsewhere.push(label),
        }
    }
    drawn.push_str(&draw_places(&placed, problem.severity(), copies, colour));
    for label in elsewhere {
        write_below(&mut drawn, "at", &line::location_or_text(label, copies.sources));
    }
    if let Some(help) = &problem.help {
        write_below(&mut drawn, "help", help);
    }
    drawn
}

/// The first line: severity, code, message.
fn head(problem: &Problem, colour: bool) -> String {
    let kind = line::kind_and_code(problem);
    let message = one_line(&problem.message);
    if colour {
        format!("{}: {message}\n", kind.fg(main_colour(problem.severity())))
    } else {
        format!("{kind}: {message}\n")
    }
}

fn main_colour(severity: Severity) -> Color {
    match severity {
        Severity::Error => Color::Red,
        Severity::Warning => Color::Yellow,
    }
}

/// `None` where there is nothing to show: the label names no text, or its line is too long.
fn place_label<'a>(label: &'a Label, is_main: bool, copies: &mut Copies<'_>) -> Option<Placed<'a>> {
    let source = copies.sources.get(label.span.file)?;
    let start = source.place_at(label.span.start);
    // An empty span still needs a mark; every line of a copy has a last character to take it.
    let end = source.place_at(label.span.end.max(label.span.start));
    let copy = copies.of(label.span.file)?;
    if copy.line_length(start.line) > LONGEST_SHOWN_LINE || (is_main && copy.line_length(end.line) > LONGEST_SHOWN_LINE)
    {
        return None;
    }
    let first = copy.offset_of(start);
    // A whole rule as context is named by its first line; bracketing it all would bury the main label.
    let most_lines = if is_main { MOST_BRACKETED_LINES } else { 0 };
    let last = if end.line - start.line <= most_lines { copy.offset_of(end) } else { copy.end_of_line(start.line) };
    Some(Placed { file: label.span.file, characters: first..last.max(first + 1), text: &label.text, is_main })
}

fn draw_places(placed: &[Placed<'_>], severity: Severity, copies: &Copies<'_>, colour: bool) -> String {
    let Some(first) = placed.first() else {
        return String::new();
    };
    let config = Config::new()
        .with_color(colour)
        // Characters, not bytes: see the head of this file.
        .with_index_type(IndexType::Char)
        .with_char_set(CharSet::Unicode)
        .with_label_attach(LabelAttach::Start);
    let kind = ReportKind::Custom("", main_colour(severity));
    let mut report = Report::build(kind, (first.file, first.characters.clone())).with_config(config);
    // One box a text, the main label's first: ariadne opens another whenever the order goes back.
    let mut ordered: Vec<&Placed<'_>> = placed.iter().collect();
    ordered.sort_by_key(|label| (label.file != first.file, label.file, label.characters.end, label.characters.start));
    for label in ordered {
        let mut shown = ariadne::Label::new((label.file, label.characters.clone()))
            .with_color(if label.is_main { main_colour(severity) } else { Color::Blue })
            .with_priority(i32::from(label.is_main));
        if !label.text.is_empty() {
            shown = shown.with_message(one_line(label.text));
        }
        report = report.with_label(shown);
    }
    let mut bytes = Vec::new();
    // Writing into memory does not fail; were it to, the message above still stands.
    if report.finish().write(copies, &mut bytes).is_err() {
        return String::new();
    }
    let text = String::from_utf8_lossy(&bytes);
    // The first line is ariadne's own heading, for which `head` stands.
    text.lines().skip(1).fold(String::new(), |mut lines, line| {
        lines.push_str(line.trim_end());
        lines.push('\n');
        lines
    })
}

fn write_below(drawn: &mut String, word: &str, text: &str) {
    for (index, line) in text.split('\n').enumerate() {
        let word = if index == 0 { format!("{word}: ") } else { " ".repeat(word.len() + 2) };
        drawn.push_str(format!("  {word}{}", one_line(line)).trim_end());
        drawn.push('\n');
    }
}

#[cfg(test)]
mod tests;
