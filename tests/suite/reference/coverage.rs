//! Every word, sentence form and code of the language has its page; the index and the coverage are made from that.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

use knockon_lang::load;
use knockon_lang::syntax::{Tok, lex};
use knockon_lang::terms::forms::SENTENCE_FORMS;
use knockon_lang::terms::resolved::{ConclusionKind, Condition, Form, Happens};
use knockon_lang::text::{Code, FileId};

use super::lists::{ORDER, SHOWN_BY};
use super::pages::{Kind, Page};
use super::{constructs, kept, load_block};
use crate::shelf::{Repository, knock_files, root};

/// The folders whose files show constructs beside the pages.
const FOLDERS: &[&str] = &["tests/decisions", "tests/constructs", "tests/sources", "tests/stages", "tests/published"];

/// Every word of the language: what it is, and how it is spelt. Read from the list of spellings, which the compiler
/// keeps whole.
pub fn words() -> Vec<(Tok, String)> {
    let list = std::fs::read_to_string(root().join("lang/syntax/src/token/spelling.rs")).unwrap();
    let mut words = Vec::new();
    for line in list.lines() {
        let Some((_, rest)) = line.split_once("Tok::") else { continue };
        let Some(spelling) = rest.split_once("=> \"").and_then(|(_, rest)| rest.split('"').next()) else { continue };
        // What follows is for `in it`, which is one word only before it.
        let text = format!("{spelling} \"...\" means");
        let tokens = lex(&text);
        let is_word = spelling.starts_with(|first: char| first.is_ascii_lowercase());
        if let (true, Some(kind)) = (is_word, tokens.kinds.first())
            && tokens.text(&text, 0) == spelling
            && *kind != Tok::Word
            && kind.spelling() == spelling
        {
            words.push((*kind, spelling.to_string()));
        }
    }
    assert!(words.len() >= 120, "{} words", words.len());
    words
}

/// What a word is, for people.
pub fn class_of(kind: Tok) -> &'static str {
    if kind.is_item_word() {
        "begins an item"
    } else if kind.is_connecting() {
        "joins sentences"
    } else if kind.begins_declaration_clause() {
        "begins a clause of a declaration"
    } else if lex(&format!("x {}", kind.spelling())).kinds.get(1) != Some(&kind) {
        "begins a line of a source, rule, job or test"
    } else {
        "begins a clause, or joins its parts"
    }
}

fn kinds(text: &str) -> BTreeSet<&'static str> {
    lex(text).kinds.iter().map(|kind| kind.spelling()).collect()
}

/// The names of the forms a condition holds.
fn forms(condition: &Condition, out: &mut BTreeSet<String>) {
    match condition {
        Condition::All(parts) | Condition::AnyOf(parts) => parts.iter().for_each(|part| forms(part, out)),
        Condition::Not(inner) => forms(inner, out),
        Condition::Quantified { body, .. } => forms(body, out),
        Condition::Sentence(form, _) => {
            out.insert(form_name(form));
        }
    }
}

fn form_name(form: &Form) -> String {
    match form {
        Form::Happens(Happens { subject: None, .. }) => "Happens to the car".to_string(),
        Form::Measured { change: true, .. } => "Change".to_string(),
        form => {
            let shown = format!("{form:?}");
            shown.split(|letter: char| !letter.is_alphanumeric()).next().unwrap_or("").to_string()
        }
    }
}

/// The forms of all sentences of the rules a text holds itself.
fn forms_of(loaded: &knockon_lang::Loaded) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for rule in loaded.resolved.rules.iter().filter(|rule| rule.span.file == FileId(0)) {
        rule.conditions().for_each(|condition| forms(condition, &mut found));
        for conclusion in &rule.conclusions {
            if let ConclusionKind::Hold { until, .. } = &conclusion.kind {
                forms(until, &mut found);
            }
        }
    }
    found
}

/// What the pages show, and where.
struct Shown {
    pages: Vec<Page>,
    /// The pages in whose examples a word stands.
    words: BTreeMap<&'static str, BTreeSet<usize>>,
    /// The pages in whose forms it stands.
    in_forms: BTreeMap<&'static str, BTreeSet<usize>>,
    /// The words of what is refused for now.
    refused: BTreeSet<&'static str>,
    /// The pages in whose rules a form of sentence stands.
    sentences: BTreeMap<String, BTreeSet<usize>>,
    /// The pages that show a code.
    codes: BTreeMap<String, BTreeSet<usize>>,
    /// All examples, one blank between words.
    text: String,
}

fn shown() -> Shown {
    let mut shown = Shown {
        pages: constructs(),
        words: BTreeMap::new(),
        in_forms: BTreeMap::new(),
        refused: BTreeSet::new(),
        sentences: BTreeMap::new(),
        codes: BTreeMap::new(),
        text: String::new(),
    };
    for (index, page) in shown.pages.iter().enumerate() {
        for word in kinds(&page.form()) {
            shown.in_forms.entry(word).or_default().insert(index);
        }
        for block in &page.blocks {
            match &block.kind {
                Kind::Knock => {
                    for word in kinds(&block.text) {
                        shown.words.entry(word).or_default().insert(index);
                    }
                    for form in forms_of(&load_block(page, block)) {
                        shown.sentences.entry(form).or_default().insert(index);
                    }
                    shown.text.push_str(&block.text.split_whitespace().collect::<Vec<_>>().join(" "));
                }
                Kind::Wrong(code) => {
                    shown.codes.entry(code.clone()).or_default().insert(index);
                    if code == "K0406" {
                        shown.refused.extend(kinds(&block.text));
                    }
                }
                Kind::Answer | Kind::Other => {}
            }
        }
    }
    shown
}

/// The form of a sentence that shows a row of the table, and the page about it.
fn shown_by(example: &str) -> Option<(&'static str, &'static str)> {
    SHOWN_BY.iter().find(|(known, _, _)| *known == example).map(|(_, form, page)| (*form, *page))
}

#[test]
fn every_word_and_sentence_form_of_the_language_stands_in_an_example_of_a_page() {
    let shown = shown();
    let mut wrong = Vec::new();
    for (kind, word) in words() {
        if !shown.words.contains_key(word.as_str()) && !shown.refused.contains(word.as_str()) {
            wrong.push(format!("`{word}`, which {}, stands in no example: it wants a page", class_of(kind)));
        }
    }
    for form in SENTENCE_FORMS {
        let there = match shown_by(form.example) {
            Some((name, about)) => {
                let pages = shown.sentences.get(name).into_iter().flatten();
                pages.filter_map(|&index| shown.pages.get(index)).any(|page| page.stem() == about)
            }
            None => shown.text.contains(form.example),
        };
        if !there {
            wrong.push(format!(
                "the sentence form `{}` (`{}`) stands in no example: it wants a page",
                form.form, form.example
            ));
        }
    }
    for (example, _, _) in
        SHOWN_BY.iter().filter(|(example, _, _)| !SENTENCE_FORMS.iter().any(|form| form.example == *example))
    {
        wrong.push(format!("`{example}` is no example of a sentence form any more: tests/suite/reference/lists.rs"));
    }
    assert!(wrong.is_empty(), "lang/reference/constructs:\n{}", wrong.join("\n"));
}

#[test]
fn every_word_of_the_prompt_stands_on_its_page() {
    let table = std::fs::read_to_string(root().join("src/prompt/words.rs")).unwrap();
    let page = constructs().into_iter().find(|page| page.stem() == "prompt").unwrap();
    let names: Vec<&str> = table.split("name: \"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    assert!(names.len() >= 10, "{names:?}");
    let missing: Vec<&&str> = names.iter().filter(|name| !page.text.contains(&format!("`{name}"))).collect();
    assert!(missing.is_empty(), "not on lang/reference/constructs/prompt.md: {missing:?}");
}

/// Some names of a list, the first few, linked or not.
fn some(names: impl Iterator<Item = String>) -> String {
    const SHOWN: usize = 3;
    names.take(SHOWN).collect::<Vec<_>>().join(", ")
}

fn link(stem: &str) -> String {
    format!("[{stem}](constructs/{stem}.md)")
}

/// The pages nearest to a word: those named after it, then those whose form says least besides.
fn links(pages: &[Page], of: Option<&BTreeSet<usize>>, word: &str) -> String {
    let mut found: Vec<&Page> = of.into_iter().flatten().filter_map(|&index| pages.get(index)).collect();
    let named = |page: &Page| page.stem().contains(&word.replace(' ', "-"));
    found.sort_by_key(|page| (!named(page), page.form().len()));
    some(found.into_iter().map(|page| link(page.stem())))
}

#[test]
fn the_index_of_constructs_is_up_to_date() {
    let pages = constructs();
    let mut out = String::from(
        "# Constructs\n\nA page for each thing a file can say: its form, what it means, an example that runs, and \
         usual mistakes.\nThis list is made from the pages by the tests; begin with [rules](rule.md), [jobs](job.md) and \
         [tests](test.md).\n",
    );
    let mut left: BTreeSet<&str> = pages.iter().map(Page::stem).collect();
    let mut wrong = Vec::new();
    let mut rest = Vec::new();
    for (_, names) in ORDER {
        for name in *names {
            if !left.remove(name) {
                wrong.push(format!("the page `{name}` is not there, or stands twice: tests/suite/reference/lists.rs"));
            }
        }
    }
    rest.extend(left);
    let groups = ORDER.iter().map(|(heading, names)| (*heading, names.to_vec())).chain([("Others", rest)]);
    for (heading, names) in groups.filter(|(_, names)| !names.is_empty()) {
        write!(out, "\n## {heading}\n\n| construct | what is said with it |\n| --- | --- |\n").unwrap();
        for page in names.iter().filter_map(|name| pages.iter().find(|page| page.stem() == *name)) {
            writeln!(out, "| [{}]({}.md) | {} |", page.title(), page.stem(), page.first_sentence().replace('|', "/"))
                .unwrap();
        }
    }
    wrong.extend(kept("lang/reference/constructs/README.md", &out));
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_coverage_is_up_to_date() {
    let shown = shown();
    let mut files_by_word: BTreeMap<&'static str, Vec<String>> = BTreeMap::new();
    let mut files_by_form: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for file in FOLDERS.iter().flat_map(|folder| knock_files(folder)) {
        let text = std::fs::read_to_string(root().join(&file)).unwrap();
        for word in kinds(&text) {
            files_by_word.entry(word).or_default().push(file.clone());
        }
        for form in forms_of(&load(&[&file], &Repository)) {
            files_by_form.entry(form).or_default().push(file.clone());
        }
    }
    let files = |found: Option<&Vec<String>>| some(found.into_iter().flatten().map(|file| format!("`{file}`")));
    let mut out = String::from(
        "# Coverage\n\nWhich page shows a word, a sentence form or a code, and which rule files use it (the first three of \
         each).\nMade by the tests; a word, form or code without a page fails them.\n\n## Words\n\nWords that join sentences \
         stand everywhere and are left out.\n\n| word | what it does | pages | rule files |\n| --- | --- | --- | --- |\n",
    );
    for (kind, word) in words().into_iter().filter(|(kind, _)| !kind.is_connecting()) {
        // A page whose form holds the word is about it; else any page that uses it.
        let pages = shown.in_forms.get(word.as_str()).or_else(|| shown.words.get(word.as_str()));
        let pages = links(&shown.pages, pages, &word);
        let files = files(files_by_word.get(word.as_str()));
        writeln!(out, "| `{word}` | {} | {pages} | {files} |", class_of(kind)).unwrap();
    }
    out.push_str("\n## Sentence forms\n\n| form | example | pages | rule files |\n| --- | --- | --- | --- |\n");
    for form in SENTENCE_FORMS {
        let (name, page) = shown_by(form.example).unwrap_or(("", "README"));
        let files = files(files_by_form.get(name));
        writeln!(out, "| {} | `{}` | {} | {files} |", form.form, form.example, link(page)).unwrap();
    }
    out.push_str("\n## Problem codes\n\nEach code has its long explanation: `knockon explain CODE`.\n\n");
    out.push_str("| code | what is wrong | pages | files with the mistake |\n| --- | --- | --- | --- |\n");
    let mistakes = knock_files("tests/errors");
    for code in Code::ALL {
        let entry = code.entry();
        let pages = links(&shown.pages, shown.codes.get(entry.number), entry.number);
        let files = some(
            mistakes
                .iter()
                .filter(|file| file.contains(&format!("/{}-", entry.number)))
                .map(|file| format!("`{file}`")),
        );
        writeln!(out, "| {} | {} | {pages} | {files} |", entry.number, entry.summary).unwrap();
    }
    let wrong = kept("lang/reference/coverage.md", &out);
    assert!(wrong.is_none(), "{}", wrong.unwrap_or_default());
}
