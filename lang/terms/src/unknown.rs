//! What is said of a phrase nobody declared: where it stands, what it nearly matched, how to declare it.

use knockon_syntax::Tok;
use knockon_syntax::tree::Range;
use knockon_text::suggest::nearest;
use knockon_text::{Code, Problem};

use crate::view::{Cursor, View};
use crate::vocabulary::{Class, TermId, Vocabulary};

/// The problem of a range that names no term `accept` takes. `wanted` says what it should be.
pub fn phrase(
    view: &View<'_>,
    vocabulary: &Vocabulary,
    range: Range,
    wanted: &str,
    accept: &dyn Fn(TermId, Class) -> bool,
) -> Problem {
    let shown = view.name(range);
    // A term of another class is not unknown, only wrong here.
    let mut cursor = Cursor::new(view, vocabulary, range);
    if let Some((term, _)) = cursor.take_term(|_| true)
        && cursor.is_done()
    {
        let found = vocabulary.term(term);
        let what = if found.is_group() && accept(term, found.class) {
            "names several".to_string()
        } else {
            format!("is a {}", found.class.word())
        };
        return Problem::at(
            Code::WrongClass,
            view.span(range),
            format!("`{shown}` {what}, where {wanted} is meant"),
            format!("not {wanted}"),
        )
        .context(found.span, "declared here")
        .help(near_help(view, vocabulary, &shown, wanted, accept));
    }
    Problem::at(
        Code::UnknownPhrase,
        view.span(range),
        format!("`{shown}` is not {wanted} anybody declared"),
        near_label(view, vocabulary, &shown, accept).unwrap_or_else(|| "not declared".to_string()),
    )
    .help(near_help(view, vocabulary, &shown, wanted, accept))
}

fn near(view: &View<'_>, vocabulary: &Vocabulary, shown: &str, accept: &dyn Fn(TermId, Class) -> bool) -> Vec<String> {
    let names = vocabulary
        .iter()
        .filter(|(id, term)| accept(*id, term.class) && vocabulary.sees(view.source.file, term.span.file))
        .map(|(_, term)| term.name.as_str());
    nearest(shown, names).into_iter().map(|name| format!("`{name}`")).collect()
}

fn near_label(
    view: &View<'_>,
    vocabulary: &Vocabulary,
    shown: &str,
    accept: &dyn Fn(TermId, Class) -> bool,
) -> Option<String> {
    let near = near(view, vocabulary, shown, accept);
    if near.is_empty() { None } else { Some(format!("did you mean {}?", near.join(" or "))) }
}

fn near_help(
    view: &View<'_>,
    vocabulary: &Vocabulary,
    shown: &str,
    wanted: &str,
    accept: &dyn Fn(TermId, Class) -> bool,
) -> String {
    // Declared, but in a file this one does not use?
    let elsewhere = vocabulary.iter().find(|(id, term)| {
        accept(*id, term.class)
            && term.name.eq_ignore_ascii_case(shown)
            && !vocabulary.sees(view.source.file, term.span.file)
    });
    if elsewhere.is_some() {
        return format!("`{shown}` is declared in a file that this one does not use: add a `use \"...\"` line");
    }
    let class = wanted.split_whitespace().last().unwrap_or("part");
    const CLASSES: [&str; 17] = [
        "maker",
        "part",
        "sensor",
        "system",
        "module",
        "option",
        "kind",
        "operation",
        "event",
        "finding",
        "state",
        "procedure",
        "measure",
        "condition",
        "choice",
        "zone",
        "relation",
    ];
    if CLASSES.contains(&class) {
        format!("declare it: `{class} {shown}`; or use a declared word")
    } else {
        "use a declared word, or declare this one".to_string()
    }
}

/// The run of words at a token, up to what joins or ends a sentence: what a person would take as one name.
pub fn run_at(view: &View<'_>, at: u32, end: u32) -> Range {
    let stops = |kind: Tok| !kind.is_wordlike() || kind == Tok::Text;
    let mut last = at;
    while last < end && view.kind(last).is_some_and(|kind| !stops(kind)) {
        last += 1;
    }
    if last == at { Range { first: at, end: (at + 1).min(end.max(at + 1)) } } else { Range { first: at, end: last } }
}
