//! A problem on one line, for machines and the prompt.

use crate::codes::Severity;
use crate::neutral::one_line;
use crate::problem::{Label, Problem};
use crate::source::{Sources, Span};

/// One line without an end: `name:line:column: error[K0301]: message (help)`. The place is that of the
/// main label, else of the first label that has one; without any the line begins with the severity.
pub fn draw_plain_line(problem: &Problem, sources: &Sources) -> String {
    let mut line = String::new();
    if let Some(location) = problem.main.iter().chain(&problem.context).find_map(|label| location(label.span, sources))
    {
        line.push_str(&location);
        line.push_str(": ");
    }
    line.push_str(&kind_and_code(problem));
    line.push_str(": ");
    line.push_str(&one_line(&problem.message));
    if let Some(help) = &problem.help {
        line.push_str(" (");
        line.push_str(&one_line(&help.replace('\n', " ")));
        line.push(')');
    }
    line
}

/// `error[K0301]`.
pub(super) fn kind_and_code(problem: &Problem) -> String {
    let word = match problem.severity() {
        Severity::Error => "error",
        Severity::Warning => "warning",
    };
    format!("{word}[{}]", problem.code.entry().number)
}

/// `name:line:column`, `None` if the span names no text.
pub(super) fn location(span: Span, sources: &Sources) -> Option<String> {
    let source = sources.get(span.file)?;
    let place = source.place_at(span.start);
    Some(format!("{}:{}:{}", one_line(source.name()), place.line, place.column))
}

/// The place, as far as it is known, and what is to be said there.
pub(super) fn location_or_text(label: &Label, sources: &Sources) -> String {
    let place = location(label.span, sources).unwrap_or_else(|| "a text that is not there".to_owned());
    let text = one_line(&label.text);
    if text.is_empty() { place } else { format!("{place}: {text}") }
}
