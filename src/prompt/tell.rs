//! What the words of the prompt show.

use knockon_lang::decide::why;
use knockon_lang::terms::Vocabulary;
use knockon_lang::terms::forms::SENTENCE_FORMS;
use knockon_lang::text::suggest::nearest;
use knockon_lang::text::{Code, Markup, Tag};

use super::answering::answers;
use super::session::Session;
use super::words::{WORDS, WordEntry};

/// What to do while there is no answer yet.
pub fn no_answer() -> Markup {
    let mut out = Markup::new();
    out.plain("  no vehicle yet, so nothing is decided; type ");
    out.push(Tag::Command, "vehicle MAKER MODEL YEAR");
    out.line();
    out
}

/// Why something stands as it does.
pub fn why_words(session: &Session, words: &str) -> Markup {
    let Some(decided) = &session.now.decided else { return no_answer() };
    match why::why(&session.now.ready.library, decided, words) {
        Ok(text) => text,
        Err(near) => {
            let mut out = Markup::new();
            out.plain(format!("  there is no verdict on `{words}`"));
            let all = why::names(decided);
            let list = if near.is_empty() { &all } else { &near };
            let lead = match (near.is_empty(), all.is_empty()) {
                (false, _) => "; did you mean:",
                (true, false) => "; there are:",
                (true, true) => ", nor on anything else yet",
            };
            out.plain(lead).line();
            for name in list {
                out.plain("    ");
                out.push(Tag::Command, format!("why {name}"));
                out.line();
            }
            out
        }
    }
}

/// What is to be asked, what turns on it, and how each answer is typed.
pub fn ask(session: &Session) -> Markup {
    let Some(decided) = &session.now.decided else { return no_answer() };
    let mut out = Markup::new();
    for came_off in &decided.answer.came_off {
        out.plain("  ");
        out.push(Tag::Fact, format!("What came off on the way: {}?", came_off.work));
        out.line();
        if !came_off.offered.is_empty() {
            let usual: Vec<&str> = came_off.offered.iter().map(|(_, words)| words.as_str()).collect();
            out.push(Tag::Faint, format!("      usually {}\n", usual.join(", ")));
        }
        typed(&mut out, &["also removed PART".to_string(), "nothing else came off".to_string()]);
    }
    for question in &decided.answer.questions {
        out.plain("  ");
        out.push(Tag::Fact, &question.text);
        if question.cannot_tell {
            out.push(Tag::Faint, "   looked at, and could not be told");
        }
        out.line();
        out.push(Tag::Faint, format!("      decides {}\n", question.decides.join("; ")));
        typed(&mut out, &answers(session, decided, question));
    }
    for ask in &decided.answer.asks {
        out.plain("  ");
        out.push(Tag::Fact, &ask.text);
        out.push(Tag::Source, format!("   \"{}\"", ask.rule));
        out.line();
    }
    if out.is_empty() {
        out.plain("  nothing is open\n");
    }
    out
}

fn typed(out: &mut Markup, lines: &[String]) {
    for (index, line) in lines.iter().enumerate() {
        out.push(Tag::Faint, if index == 0 { "      type " } else { ", or " });
        out.push(Tag::Command, line);
    }
    if !lines.is_empty() {
        out.line();
    }
}

/// The words of the prompt.
pub fn help() -> Markup {
    let mut out = Markup::new();
    out.plain("  Type a job line by line, as a file holds it: ");
    out.push(Tag::Command, "vehicle ...");
    out.plain(", ");
    out.push(Tag::Command, "work ...");
    out.plain(", ");
    out.push(Tag::Command, "found ...");
    out.plain(";\n  or a sentence alone: ");
    out.push(Tag::Command, "left headlamp replaced");
    out.plain(
        ". Words, sources, rules and tests are typed as in a file too;\n  an empty line ends one of several lines.\n\n",
    );
    for entry in WORDS {
        out.plain("  ");
        out.push(Tag::Command, format!("{:<8}", entry.name));
        out.push(Tag::Faint, format!("{:<28}", entry.arguments));
        out.plain(format!("{}\n", entry.summary));
    }
    out
}

/// How a word is used that was used otherwise.
pub fn usage(entry: &WordEntry) -> Markup {
    let mut out = Markup::new();
    out.plain("  ");
    out.push(Tag::Command, format!("{} {}", entry.name, entry.arguments).trim());
    out.plain(format!(": {}\n", entry.summary));
    out
}

/// Help on one thing: sentences, words, or a code.
pub fn help_on(session: &Session, topic: &str) -> Markup {
    match topic.to_lowercase().as_str() {
        "sentences" => forms(),
        "words" => declared(session.now.ready.library.vocabulary()),
        _ => explain(topic),
    }
}

/// The forms of sentences.
pub fn forms() -> Markup {
    let mut out = Markup::new();
    for form in SENTENCE_FORMS {
        out.plain("  ");
        out.push(Tag::Command, form.form);
        out.plain(format!("\n      {}: ", form.meaning));
        out.push(Tag::Quote, form.example);
        out.line();
    }
    out
}

/// The words declared, by class.
fn declared(vocabulary: &Vocabulary) -> Markup {
    let mut classes: Vec<_> = vocabulary.iter().map(|(_, term)| term.class).collect();
    classes.sort();
    classes.dedup();
    let mut out = Markup::new();
    for class in classes {
        let mut names: Vec<&str> =
            vocabulary.iter().filter(|(_, term)| term.class == class).map(|(_, term)| term.name.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        out.push(Tag::Keyword, format!("  {}\n", class.word()));
        let mut line = String::new();
        for name in names {
            if !line.is_empty() && line.chars().count() + name.chars().count() > 96 {
                out.plain(format!("    {line},\n"));
                line.clear();
            }
            if !line.is_empty() {
                line.push_str(", ");
            }
            line.push_str(name);
        }
        out.plain(format!("    {line}\n"));
    }
    if out.is_empty() {
        out.plain("  no words are declared\n");
    }
    out
}

/// What a code stands for.
pub fn explain(wanted: &str) -> Markup {
    let upper = wanted.to_uppercase();
    let mut out = Markup::new();
    match Code::ALL.iter().find(|code| code.entry().number == upper) {
        Some(code) => {
            out.plain(code.entry().explanation);
        }
        None => {
            out.plain(format!("  there is no code or topic `{wanted}`"));
            let known = Code::ALL.iter().map(|code| code.entry().number).chain(["SENTENCES", "WORDS"]);
            if let Some(near) = nearest(&upper, known).first() {
                out.plain(format!(
                    "; did you mean `{}`?",
                    if near.starts_with('K') { near.to_string() } else { near.to_lowercase() }
                ));
            }
            out.line();
        }
    }
    out
}
