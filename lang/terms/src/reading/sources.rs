//! Sources in words, a clause a line.

use knockon_text::Span;

use super::{facts::scope_own, names, quoted, source_name};
use crate::resolved::{OwnWords, Portion, Resolved, Sections, Source};

/// Another source, whole or in part.
pub fn portion(resolved: &Resolved, portion: &Portion) -> String {
    let mut words = source_name(resolved, portion.source).to_string();
    match &portion.sections {
        Sections::All => {}
        Sections::Only(only) => words.push_str(&format!(" section {}", quoted(only))),
        Sections::Except(except) => words.push_str(&format!(" except section {}", quoted(except))),
    }
    if let Some(scope) = portion.cars.and_then(|cars| resolved.scopes.get(cars.0 as usize)) {
        words.push_str(&format!(" for cars {}", scope_own(resolved, scope)));
    }
    words
}

/// The words a source defines for itself.
pub fn own_words(resolved: &Resolved, own: &OwnWords) -> String {
    format!("in it \"{}\" means {}", own.phrase, own.meaning(&resolved.vocabulary))
}

/// A source: its first line, and a line for each clause.
pub(super) fn source(resolved: &Resolved, source: &Source) -> Vec<String> {
    let Source {
        name,
        span: _,
        title,
        issuer,
        rank,
        issued,
        revised,
        in_force,
        replaces,
        carries_over,
        no_view,
        own_words,
        order,
        review,
        read_in_part,
        read_from,
        borrowed_from,
        encoded_by,
        second_reading,
    } = source;
    let mut lines = vec![format!("source {name}")];
    lines.extend(title.as_ref().map(|title| format!("title \"{title}\"")));
    lines.extend(issuer.as_ref().map(|issuer| format!("issuer {issuer}")));
    lines.push(format!("rank {}", rank.words()));
    lines.push(format!("issued {issued}"));
    lines.extend(revised.map(|date| format!("revised {date}")));
    // Where nothing else is said a text is in force from its last date.
    if *in_force != revised.unwrap_or(*issued) {
        lines.push(format!("in force from {in_force}"));
    }
    // In the order of the text, which is that of the cars they name among all scopes.
    let mut portions: Vec<(Span, &str, &Portion)> = Vec::new();
    portions.extend(replaces.iter().map(|portion| (portion.span, "replaces", portion)));
    portions.extend(carries_over.iter().map(|portion| (portion.span, "carries over", portion)));
    portions.sort_by_key(|(span, ..)| (span.file, span.start));
    lines.extend(portions.iter().map(|(_, word, other)| format!("{word} {}", portion(resolved, other))));
    if !no_view.is_empty() {
        lines.push(format!("takes no view on {}", names(resolved, no_view)));
    }
    lines.extend(own_words.iter().map(|own| self::own_words(resolved, own)));
    lines.extend(order.iter().map(|precedence| precedence.words(&resolved.sources)));
    if let Some((months, checked)) = review {
        let checked = checked.map_or_else(String::new, |date| format!(", checked {date}"));
        lines.push(format!("review every {months} months{checked}"));
    }
    lines.extend(read_in_part.then(|| "read in part".to_string()));
    lines.extend(read_from.as_ref().map(|pages| format!("read from \"{pages}\"")));
    lines.extend(borrowed_from.as_ref().map(|car| format!("borrowed from {car}")));
    if let Some(by) = encoded_by {
        let second = second_reading.as_ref().map_or_else(String::new, |by| format!(", second reading by \"{by}\""));
        lines.push(format!("encoded by \"{by}\"{second}"));
    }
    lines
}
