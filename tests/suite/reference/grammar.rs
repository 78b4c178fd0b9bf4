//! The grammar page: its words are the language's, its lists are made from the tables, and what it allows is read.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

use knockon_lang::syntax::{Tok, parse};
use knockon_lang::terms::forms::SENTENCE_FORMS;
use knockon_lang::text::Sources;
use knockon_lang::text::draw::draw;

use super::coverage::{class_of, words};
use super::forms::{Node, grammar, visit};
use super::kept;
use crate::shelf::{Numbers, root};

const PAGE: &str = "lang/reference/grammar.md";

/// What stands on the page before the lists that are made.
const MADE: &str = "<!-- made from the tables: everything below -->\n";

/// How many texts are made from the grammar.
const TEXTS: u64 = 3_000;

/// Words the reader of sentences knows and no form needs by themselves, each with the reason.
const NOT_IN_FORMS: &[(&str, &str)] = &[
    ("all", "in the table, and read by nobody any more"),
    ("free", "in the table, and read by nobody any more"),
    ("removed", "in the table, and read by nobody any more"),
    ("stated", "in the table, and read by nobody any more"),
];

fn page() -> String {
    std::fs::read_to_string(root().join(PAGE)).unwrap()
}

fn seen(pick: impl Fn(&Node) -> Option<String>) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for node in grammar(&page()).values() {
        visit(node, &mut |node| found.extend(pick(node)));
    }
    found
}

#[test]
fn every_form_is_used_and_every_form_that_is_used_is_there() {
    let grammar = grammar(&page());
    let used = seen(|node| if let Node::Form(name) = node { Some(name.clone()) } else { None });
    let there: BTreeSet<String> = grammar.keys().cloned().collect();
    let missing: Vec<&String> = used.difference(&there).collect();
    assert!(missing.is_empty(), "used and not there: {missing:?}");
    let idle: Vec<&String> = there.difference(&used).filter(|name| *name != "file").collect();
    assert!(idle.is_empty(), "there and not used: {idle:?}");
}

#[test]
fn the_kept_words_of_the_grammar_are_the_words_of_the_lexer() {
    let kept = seen(|node| if let Node::Kept(word) = node { Some(word.clone()) } else { None });
    let kept: BTreeSet<String> = kept.into_iter().filter(|word| word.starts_with(char::is_alphabetic)).collect();
    let lexed: BTreeSet<String> = words().into_iter().map(|(_, word)| word).collect();
    let missing: Vec<&String> = lexed.difference(&kept).collect();
    assert!(missing.is_empty(), "words of the lexer that stand in no form of {PAGE}: {missing:?}");
    let unknown: Vec<&String> = kept.difference(&lexed).collect();
    assert!(unknown.is_empty(), "in double quotes in {PAGE}, and no words of the lexer: {unknown:?}");
}

#[test]
fn the_ordinary_words_of_the_grammar_are_those_the_reader_of_sentences_knows() {
    let table = std::fs::read_to_string(root().join("lang/terms/src/words.rs")).unwrap();
    let table = table.split("\nknown! {").nth(1).unwrap().split("\n}").next().unwrap().to_string();
    let known: BTreeSet<&str> = table.split('"').skip(1).step_by(2).collect();
    assert!(known.len() >= 100, "{known:?}");
    let said = seen(|node| match node {
        Node::Word(word) | Node::Kept(word) => Some(word.clone()),
        _ => None,
    });
    let spoken: BTreeSet<&str> = said.iter().flat_map(|words| words.split(' ')).collect();
    let excused: BTreeSet<&str> = NOT_IN_FORMS.iter().map(|(word, _)| *word).collect();
    let missing: Vec<&&str> = known.iter().filter(|word| !spoken.contains(*word) && !excused.contains(*word)).collect();
    assert!(missing.is_empty(), "known to lang/terms and in no form of {PAGE}: {missing:?}");
    let ordinary = seen(|node| if let Node::Word(word) = node { Some(word.clone()) } else { None });
    let unknown: Vec<&String> = ordinary.iter().filter(|word| !known.contains(word.as_str())).collect();
    assert!(unknown.is_empty(), "in single quotes in {PAGE}, and not known to lang/terms: {unknown:?}");
    let idle: Vec<&&str> = excused.iter().filter(|word| !known.contains(*word) || spoken.contains(*word)).collect();
    assert!(idle.is_empty(), "excused without need: {idle:?}");
}

/// Makes texts from the forms.
struct Maker<'g> {
    grammar: &'g BTreeMap<String, Node>,
    /// How deep the shallowest text of each form is.
    depths: BTreeMap<String, usize>,
    numbers: Numbers,
    out: String,
    /// The alternatives taken so far: of which form, which.
    taken: BTreeSet<(String, usize)>,
}

/// Deeper than this the shallowest way out is taken.
const DEEP: usize = 24;

impl<'g> Maker<'g> {
    fn new(grammar: &'g BTreeMap<String, Node>) -> Maker<'g> {
        let mut maker =
            Maker { grammar, depths: BTreeMap::new(), numbers: Numbers(7), out: String::new(), taken: BTreeSet::new() };
        for _ in grammar {
            for (name, node) in grammar {
                let depth = maker.depth(node);
                maker.depths.insert(name.clone(), depth);
            }
        }
        maker
    }

    fn depth(&self, node: &Node) -> usize {
        match node {
            Node::All(parts) => parts.iter().map(|part| self.depth(part)).max().unwrap_or(0),
            Node::One(parts) => parts.iter().map(|part| self.depth(part)).min().unwrap_or(0),
            Node::Maybe(_) | Node::Many(_) => 0,
            Node::Form(name) => self.depths.get(name).map_or(1_000, |depth| depth + 1),
            Node::Kept(_) | Node::Word(_) | Node::Sort(_) => 0,
        }
    }

    fn make(&mut self, form: &str, node: &Node, deep: usize) {
        match node {
            Node::All(parts) => parts.iter().for_each(|part| self.make(form, part, deep)),
            Node::One(parts) => {
                let way = if deep > DEEP {
                    (0..parts.len()).min_by_key(|&way| parts.get(way).map(|part| self.depth(part))).unwrap_or(0)
                } else {
                    self.numbers.below(parts.len())
                };
                if let Some(part) = parts.get(way) {
                    if parts.len() > 1 {
                        self.taken.insert((format!("{form}/{}", parts.len()), way));
                    }
                    self.make(form, part, deep);
                }
            }
            Node::Maybe(inner) => {
                if deep <= DEEP && self.numbers.below(2) == 0 {
                    self.make(form, inner, deep);
                }
            }
            Node::Many(inner) => {
                let times = if deep > DEEP { 0 } else { self.numbers.below(3) };
                (0..times).for_each(|_| self.make(form, inner, deep));
            }
            Node::Form(name) => {
                if let Some(node) = self.grammar.get(name) {
                    self.make(name, node, deep + 1);
                }
            }
            Node::Kept(word) | Node::Word(word) => self.say(word),
            Node::Sort(sort) => self.sort(sort),
        }
    }

    fn say(&mut self, word: &str) {
        self.out.push_str(word);
        self.out.push(' ');
    }

    fn sort(&mut self, sort: &str) {
        const PLAIN: &[&str] = &["bumper", "radar", "quartz", "pump", "glow-plug", "VEL-PS-31", "mast", "B3A17"];
        let word = match sort {
            "LINE" => {
                self.out.push('\n');
                return;
            }
            "WORD" => PLAIN[self.numbers.below(PLAIN.len())],
            "NUMBER" => ["12", "0.15", "-3", "2022"][self.numbers.below(4)],
            "TEXT" => "\"front and rear\"",
            "DATE" => "2026-02-11",
            "TIME" => "09:14",
            other => panic!("`{other}` is no sort of token"),
        };
        self.say(word);
    }
}

#[test]
fn texts_made_from_the_grammar_are_read_without_a_problem() {
    let grammar = grammar(&page());
    let mut maker = Maker::new(&grammar);
    let file = grammar.get("file").unwrap();
    let (mut wrong, mut items) = (Vec::new(), 0);
    for _ in 0..TEXTS {
        maker.out.clear();
        maker.make("file", file, 0);
        let mut sources = Sources::new();
        let id = sources.add("made.knock", &maker.out);
        let parsed = parse(id, &maker.out);
        items += parsed.file.items.len();
        if !parsed.problems.is_empty() && wrong.len() < 5 {
            wrong.push(format!("{}\nin\n{}", draw(&parsed.problems, &sources, false), maker.out));
        }
    }
    println!("{items} items made and read, {} ways taken", maker.taken.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
    assert!(items > TEXTS as usize / 2 && maker.taken.len() > 150, "{items} items, {} ways", maker.taken.len());
}

#[test]
fn the_lists_of_the_grammar_are_up_to_date() {
    let text = page();
    let (written, _) = text.split_once(MADE).unwrap_or_else(|| panic!("{PAGE} says nowhere `{MADE}`"));
    let mut out = format!("{written}{MADE}\n## The words of the language\n");
    let mut by_class: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    for (kind, word) in words() {
        by_class.entry(heading(kind)).or_default().push(format!("`{word}`"));
    }
    for (class, words) in by_class {
        write!(out, "\n### {class}\n\n{}\n", filled(&words.join(", "))).unwrap();
    }
    out.push_str("\n## The forms of sentences\n\n| form | means | example |\n| --- | --- | --- |\n");
    for form in SENTENCE_FORMS {
        writeln!(out, "| {} | {} | `{}` |", form.form, form.meaning, form.example).unwrap();
    }
    let wrong = kept(PAGE, &out);
    assert!(wrong.is_none(), "{}", wrong.unwrap_or_default());
}

fn heading(kind: Tok) -> &'static str {
    match class_of(kind) {
        "begins an item" => "Words that begin an item, first on a line only",
        "joins sentences" => "Connecting words, which no name may hold",
        "begins a clause of a declaration" => "Words of declarations",
        "begins a line of a source, rule, job or test" => "Words that count first on a line only",
        _ => "Words that count wherever they stand",
    }
}

/// A text on lines of a page's width.
fn filled(text: &str) -> String {
    let mut lines = vec![String::new()];
    for word in text.split(", ") {
        if lines.last().is_some_and(|line| line.len() + word.len() > 110) {
            lines.push(String::new());
        }
        if let Some(line) = lines.last_mut() {
            line.push_str(word);
            line.push_str(", ");
        }
    }
    lines.iter().map(|line| line.trim_end()).collect::<Vec<_>>().join("\n").trim_end_matches(',').to_string()
}
