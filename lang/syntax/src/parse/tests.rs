//! What the parser makes of every construct, and of texts that are not in order.

mod conclusions;
mod constructs;
mod lines;
mod nesting;
mod places;
mod words;

use knockon_text::{Code, FileId, Problem};

use super::{Parsed, parse};
use crate::tree::ItemKind;
use crate::{Item, Tok, dump, lex};

const FILE: FileId = FileId(0);

fn read(text: &str) -> Parsed {
    parse(FILE, text)
}

/// The dump of a text that must be in order, without its first line.
fn tree(text: &str) -> String {
    let parsed = read(text);
    assert!(parsed.problems.is_empty(), "{:?}\n{text}", parsed.problems);
    dump::tree(text, &parsed).strip_prefix("File\n").unwrap().to_string()
}

/// The codes of all problems, each with the source text at its main label.
fn told(text: &str) -> Vec<(Code, &str)> {
    let place = |problem: &Problem| {
        let span = problem.main.as_ref().unwrap().span;
        (problem.code, &text[span.start as usize..span.end as usize])
    };
    read(text).problems.iter().map(place).collect()
}

/// What each item is, in a word.
fn kinds(items: &[Item]) -> Vec<&'static str> {
    let name = |item: &Item| match item.kind {
        ItemKind::Use(_) => "use",
        ItemKind::Declaration(_) => "declaration",
        ItemKind::Source(_) => "source",
        ItemKind::Scope(_) => "scope",
        ItemKind::Fact(_) => "fact",
        ItemKind::Rule(_) => "rule",
        ItemKind::CarryingOut(_) => "carrying out",
        ItemKind::Job(_) => "job",
        ItemKind::Test(_) => "test",
        ItemKind::Broken => "broken",
    };
    items.iter().map(name).collect()
}

fn items(text: &str) -> Vec<&'static str> {
    kinds(&read(text).file.items)
}

fn tokens(text: &str) -> Vec<Tok> {
    lex(text).kinds
}
