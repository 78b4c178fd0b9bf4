//! The prompt: a job typed line by line, each line answered with what it changes.

mod answering;
mod change;
mod clock;
mod complete;
mod editor;
mod highlight;
mod journal;
mod pieces;
mod said;
mod session;
mod tell;
mod words;

use std::collections::BTreeSet;
use std::io::{self, BufRead, IsTerminal};

use knockon_lang::decide::why;
use knockon_lang::text::draw::draw_plain_line;
use knockon_lang::text::{Code, Markup, Problem, Sources, Tag};

use crate::arguments::VERSION;
use crate::screen::{Outcome, Screen};
use editor::{Asked, Lines};
use pieces::Kind;
use session::{Refused, Session};
use words::Word;

/// Runs the prompt, or takes what is piped in line by line.
pub fn run(uses: &[String], screen: &mut Screen) -> Outcome {
    let Some(today) = clock::today() else {
        let problem = Problem::nowhere(Code::ArgumentWrong, "the clock of this machine shows no day")
            .help("set it; which texts hold depends on the day");
        screen.complain(&[problem], &Sources::new());
        return Outcome::CouldNotRun;
    };
    let piped = !io::stdin().is_terminal();
    let session = match Session::new(uses, today, piped) {
        Ok(session) => session,
        Err(Refused { problems, sources, .. }) => {
            screen.complain(&problems, &sources);
            return Outcome::CouldNotRun;
        }
    };
    let mut prompt = Prompt { session, screen, warned: BTreeSet::new(), refused: false };
    if piped { prompt.read_piped() } else { prompt.ask_lines(today.to_string()) }
}

struct Prompt<'s> {
    session: Session,
    screen: &'s mut Screen,
    /// Warnings shown already.
    warned: BTreeSet<String>,
    /// Whether anything was refused.
    refused: bool,
}

impl Prompt<'_> {
    /// Asks a person for lines until they leave.
    fn ask_lines(&mut self, today: String) -> Outcome {
        let mut lines = match Lines::new(self.screen.colour) {
            Ok(lines) => lines,
            Err(why) => return self.no_terminal(&why),
        };
        let mut greeting = Markup::new();
        greeting.push(Tag::Heading, format!("Knockon {VERSION}"));
        greeting.plain(format!(", as of today, {today} (UTC). Type a job line by line; "));
        greeting.push(Tag::Command, "help");
        greeting.plain(" says how.\n");
        if self.session.journal.default_library {
            greeting.push(Tag::Faint, "standard/all is used: the words and the common practice of the trade.\n");
        }
        if self.session.jobs_elsewhere() {
            greeting.push(
                Tag::Faint,
                "The jobs in these files are not part of this one; `load \"FILE\"` goes on with one.\n",
            );
        }
        self.screen.show(&greeting);
        self.tell_words(&lines);
        loop {
            self.screen.flush();
            match lines.ask() {
                Ok(Asked::Line(line)) => {
                    let before = self.session.mark();
                    let goes_on = self.take(&line);
                    if self.session.journal != before {
                        self.tell_words(&lines);
                    }
                    if !goes_on {
                        break;
                    }
                }
                Ok(Asked::GivenUp) => {}
                Ok(Asked::End) => break,
                Err(why) => return self.no_terminal(&why),
            }
        }
        lines.keep_history();
        Outcome::Complete
    }

    fn tell_words(&self, lines: &Lines) {
        let names = self.session.now.decided.as_ref().map(why::names).unwrap_or_default();
        lines.set_words(self.session.now.ready.library.vocabulary(), &names);
    }

    fn no_terminal(&mut self, why: &str) -> Outcome {
        let problem = Problem::nowhere(Code::FileNotRead, format!("the terminal cannot be read: {why}"))
            .help("lines can be piped in: `knockon < FILE`");
        self.screen.complain(&[problem], &Sources::new());
        Outcome::CouldNotRun
    }

    /// Takes what is piped in. Ends as `knockon decide` would on the last state; what was refused counts too.
    fn read_piped(&mut self) -> Outcome {
        let mut typed = String::new();
        let mut left = false;
        for line in io::stdin().lock().lines() {
            let line = match line {
                Ok(line) => line,
                Err(error) => {
                    let problem =
                        Problem::nowhere(Code::FileNotRead, format!("standard input cannot be read: {error}"));
                    self.screen.complain(&[problem], &Sources::new());
                    return Outcome::CouldNotRun;
                }
            };
            typed.push_str(&line);
            if pieces::goes_on(&typed, true) {
                typed.push('\n');
                continue;
            }
            if !self.take(&std::mem::take(&mut typed)) {
                left = true;
                break;
            }
        }
        if !left {
            self.take(&typed);
        }
        match &self.session.now.decided {
            _ if self.refused => Outcome::CouldNotRun,
            Some(decided) if !decided.answer.is_complete() => Outcome::Incomplete,
            _ => Outcome::Complete,
        }
    }

    /// Takes what was typed, piece by piece; false to end. What fails ends it, and leaves out what stands after it.
    fn take(&mut self, typed: &str) -> bool {
        let mut mark = self.session.mark();
        let pieces = pieces::cut(typed);
        let mut goes_on = true;
        for (index, piece) in pieces.iter().enumerate() {
            if piece.kind == Kind::Word {
                goes_on = self.word(&piece.text);
                if words::read(&piece.text).is_some_and(|said| said.word == Word::Undo) {
                    // What was taken back is not taken back once more.
                    mark = self.session.mark();
                }
                if !goes_on {
                    break;
                }
                continue;
            }
            if let Some(entry) = words::misused(&piece.text)
                && piece.kind != Kind::Item
            {
                self.refused = true;
                self.screen.show(&tell::usage(entry));
                break;
            }
            if !self.one(piece) {
                if let Some(word) = words::nearly(&piece.text).filter(|_| piece.kind == Kind::Bare) {
                    self.note(&format!("did you mean the word `{word}` of the prompt?"));
                }
                let left = pieces.len() - index - 1;
                if left > 0 {
                    self.screen.line(&format!("  what stands after it was not taken ({left} more)"));
                }
                break;
            }
        }
        self.session.keep(mark);
        goes_on
    }

    fn one(&mut self, piece: &pieces::Piece) -> bool {
        let before = self.session.now.decided.as_ref().map(|decided| decided.answer.clone());
        let tests = self.session.test_names();
        match self.session.take(piece) {
            Ok(taken) => {
                for note in taken.notes {
                    self.note(&note);
                }
                self.show_change(before.as_ref());
                self.show_tests(&tests);
                true
            }
            Err(refused) => {
                self.refuse(&refused);
                false
            }
        }
    }

    fn note(&mut self, note: &str) {
        let mut text = Markup::new();
        text.push(Tag::Faint, format!("  {note}\n"));
        self.screen.show(&text);
    }

    fn refuse(&mut self, refused: &Refused) {
        self.refused = true;
        self.screen.draw(&refused.problems, &refused.sources);
    }

    fn show_change(&mut self, before: Option<&knockon_lang::decide::Answer>) {
        match &self.session.now.decided {
            Some(decided) => {
                let text = change::change(before, &decided.answer);
                self.screen.show(&text);
            }
            None => self.note("taken; nothing is decided before there is a vehicle"),
        }
        let sources = &self.session.now.ready.sources;
        let warnings: Vec<Problem> = self
            .session
            .warnings()
            .into_iter()
            .filter(|warning| self.warned.insert(draw_plain_line(warning, sources)))
            .collect();
        self.screen.draw(&warnings, sources);
    }

    fn show_tests(&mut self, known: &BTreeSet<String>) {
        for (name, failures) in self.session.tests_beyond(known) {
            if failures.is_empty() {
                self.note(&format!("the test \"{name}\" passes"));
            } else {
                self.screen.draw(&failures, &self.session.now.ready.sources);
            }
        }
    }
}
