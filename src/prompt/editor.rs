//! The line editor: asks for lines at a terminal, with highlighting, hints, completion and history.

use std::borrow::Cow;
use std::cell::RefCell;
use std::path::PathBuf;
use std::rc::Rc;

use knockon_lang::terms::Vocabulary;
use knockon_lang::text::{Markup, Tag};
use rustyline::completion::Completer;
use rustyline::error::ReadlineError;
use rustyline::highlight::{CmdKind, Highlighter};
use rustyline::hint::Hinter;
use rustyline::history::DefaultHistory;
use rustyline::validate::{ValidationContext, ValidationResult, Validator};
use rustyline::{CompletionType, Config, Context, Editor, Helper};

use super::complete::Phrases;
use super::highlight::highlight;
use super::pieces;
use crate::files;
use crate::paint::paint;

/// What stands before a line.
const PROMPT: &str = "> ";

/// Lines kept from earlier sessions.
const MOST_HISTORY: usize = 2000;

/// What came of asking for a line.
pub enum Asked {
    /// A line, or several that belong together.
    Line(String),
    /// The line was given up.
    GivenUp,
    /// The end.
    End,
}

/// The words of the session, for highlighting and completion; changed as they change.
#[derive(Default)]
pub struct Words {
    vocabulary: Vocabulary,
    phrases: Phrases,
}

/// Asks for lines.
pub struct Lines {
    editor: Editor<Typing, DefaultHistory>,
    words: Rc<RefCell<Words>>,
    history: Option<PathBuf>,
}

impl Lines {
    /// An editor; or in words why there can be none.
    pub fn new(colour: bool) -> Result<Lines, String> {
        let config = Config::builder()
            .max_history_size(MOST_HISTORY)
            .and_then(|config| config.history_ignore_dups(true))
            .map_err(|error| error.to_string())?
            .history_ignore_space(true)
            .completion_type(CompletionType::List)
            .tab_stop(2)
            .build();
        let mut editor = Editor::with_config(config).map_err(|error| error.to_string())?;
        let words = Rc::new(RefCell::new(Words::default()));
        editor.set_helper(Some(Typing { words: Rc::clone(&words), colour }));
        let history = files::history();
        if let Some(path) = &history {
            // There is none yet the first time, and a session goes on without.
            let _ = editor.load_history(path);
        }
        Ok(Lines { editor, words, history })
    }

    /// Says which words there are now, and which names `why` may be asked about.
    pub fn set_words(&self, vocabulary: &Vocabulary, names: &[String]) {
        *self.words.borrow_mut() = Words { vocabulary: vocabulary.clone(), phrases: Phrases::new(vocabulary, names) };
    }

    /// Asks for a line; or says why none can be asked for.
    pub fn ask(&mut self) -> Result<Asked, String> {
        match self.editor.readline(PROMPT) {
            Ok(line) => {
                if !line.trim().is_empty() {
                    let _ = self.editor.add_history_entry(line.trim_end());
                }
                Ok(Asked::Line(line))
            }
            Err(ReadlineError::Interrupted) => Ok(Asked::GivenUp),
            Err(ReadlineError::Eof) => Ok(Asked::End),
            Err(error) => Err(error.to_string()),
        }
    }

    /// Keeps the history, if it can be kept.
    pub fn keep_history(&mut self) {
        if let Some(path) = &self.history {
            let _ = self.editor.append_history(path);
        }
    }
}

/// What helps while a line is typed.
struct Typing {
    words: Rc<RefCell<Words>>,
    colour: bool,
}

impl Helper for Typing {}

impl Completer for Typing {
    type Candidate = String;

    fn complete(&self, line: &str, at: usize, _: &Context<'_>) -> rustyline::Result<(usize, Vec<String>)> {
        let completion = self.words.borrow().phrases.complete(line.get(..at).unwrap_or(""));
        Ok((completion.start, completion.phrases))
    }
}

impl Hinter for Typing {
    type Hint = String;

    fn hint(&self, line: &str, at: usize, _: &Context<'_>) -> Option<String> {
        if at < line.len() {
            return None;
        }
        self.words.borrow().phrases.hint(line)
    }
}

impl Highlighter for Typing {
    fn highlight<'l>(&self, line: &'l str, _: usize) -> Cow<'l, str> {
        if !self.colour {
            return Cow::Borrowed(line);
        }
        match highlight(line, &self.words.borrow().vocabulary) {
            Some(text) => Cow::Owned(paint(&text, true)),
            None => Cow::Borrowed(line),
        }
    }

    fn highlight_hint<'h>(&self, hint: &'h str) -> Cow<'h, str> {
        if !self.colour {
            return Cow::Borrowed(hint);
        }
        let mut text = Markup::new();
        text.push(Tag::Faint, hint);
        Cow::Owned(paint(&text, true))
    }

    fn highlight_char(&self, _: &str, _: usize, _: CmdKind) -> bool {
        self.colour
    }
}

impl Validator for Typing {
    fn validate(&self, context: &mut ValidationContext<'_>) -> rustyline::Result<ValidationResult> {
        Ok(if pieces::goes_on(context.input(), false) {
            ValidationResult::Incomplete
        } else {
            ValidationResult::Valid(None)
        })
    }
}
