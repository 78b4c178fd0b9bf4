//! What the command was called with: one table of commands and options, read by the parser and by the help.

use std::ffi::OsString;

use knockon_lang::measure::Date;
use knockon_lang::text::suggest::nearest;
use knockon_lang::text::{Code, Problem};

use crate::files;
use crate::paint::Colour;

/// One command, as the help shows it and the parser takes it.
#[derive(Debug, PartialEq, Eq)]
pub struct CommandEntry {
    /// Its word.
    pub name: &'static str,
    /// What stands after it.
    pub takes: &'static str,
    /// How many operands, at least and at most.
    pub operands: (usize, usize),
    /// Its options.
    pub options: &'static [OptionEntry],
    /// What it does, one sentence.
    pub summary: &'static str,
    /// More, for its own help; may be empty.
    pub more: &'static str,
}

/// One option.
#[derive(Debug, PartialEq, Eq)]
pub struct OptionEntry {
    /// With its dashes.
    pub name: &'static str,
    /// What stands after it; nothing for a switch.
    pub value: Option<&'static str>,
    /// What it does.
    pub summary: &'static str,
}

const MANY: usize = usize::MAX;

/// Every command, in the order the help shows them.
pub const COMMANDS: &[CommandEntry] = &[
    CommandEntry {
        name: "prompt",
        takes: "[FILE...]",
        operands: (0, MANY),
        options: &[],
        summary: "type a job line by line and see what each line changes; the command alone does the same",
        more: "FILE is used as if `use` lines named it. What is piped in is read line by line without a prompt.",
    },
    CommandEntry {
        name: "decide",
        takes: "JOB",
        operands: (1, 1),
        options: &[
            OptionEntry {
                name: "--json",
                value: None,
                summary: "one JSON document a line for each job, instead of words",
            },
            OptionEntry {
                name: "--as-of",
                value: Some("DATE"),
                summary: "decide as of this day, 2026-02-11, instead of the job's own",
            },
            OptionEntry { name: "--job", value: Some("NAME"), summary: "only the job of this name" },
        ],
        summary: "decide the jobs of a file, and say why",
        more: "JOB is a .knock file, or - for standard input.",
    },
    CommandEntry {
        name: "check",
        takes: "FILE...",
        operands: (1, MANY),
        options: &[],
        summary: "say everything that is wrong with files of rules or jobs",
        more: "FILE may be a folder: all .knock files below it, each on its own.",
    },
    CommandEntry {
        name: "test",
        takes: "FILE...",
        operands: (1, MANY),
        options: &[],
        summary: "run the tests written in files",
        more: "FILE may be a folder: all .knock files below it, each on its own.",
    },
    CommandEntry {
        name: "format",
        takes: "FILE...",
        operands: (1, MANY),
        options: &[OptionEntry {
            name: "--check",
            value: None,
            summary: "change nothing; list the files that would change",
        }],
        summary: "print files in the one style, in their place",
        more: "FILE may be a folder: all .knock files below it. With - standard input is printed to standard output. \
               A file with a mistake in it is left as it is.",
    },
    CommandEntry {
        name: "show",
        takes: "STAGE FILE",
        operands: (2, 2),
        options: &[OptionEntry {
            name: "--all",
            value: None,
            summary: "for resolved and clauses: also what the files it uses say",
        }],
        summary: "show a file at one stage: tokens, tree, resolved, clauses, program or proof",
        more: "program and proof are of the file's jobs. FILE may be - for standard input.",
    },
    CommandEntry {
        name: "explain",
        takes: "[CODE]",
        operands: (0, 1),
        options: &[],
        summary: "explain a code such as K0301; without one, list them all",
        more: "",
    },
    CommandEntry {
        name: "help",
        takes: "[COMMAND]",
        operands: (0, 1),
        options: &[],
        summary: "show this, or what one command takes",
        more: "",
    },
];

/// The options every command takes.
pub const EVERYWHERE: &[OptionEntry] = &[
    OptionEntry { name: "--colour", value: Some("WHEN"), summary: "auto, always or never; auto obeys NO_COLOR" },
    OptionEntry { name: "--help", value: None, summary: "show what the command takes" },
    OptionEntry { name: "--version", value: None, summary: "show the version" },
];

/// A stage a file can be shown at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// Its tokens.
    Tokens,
    /// Its tree.
    Tree,
    /// What it means.
    Resolved,
    /// Its rules as clauses.
    Clauses,
    /// Its jobs made ready for evaluation.
    Program,
    /// The proofs of its jobs' answers.
    Proof,
}

/// The stages by their words.
pub const STAGES: &[(&str, Stage)] = &[
    ("tokens", Stage::Tokens),
    ("tree", Stage::Tree),
    ("resolved", Stage::Resolved),
    ("clauses", Stage::Clauses),
    ("program", Stage::Program),
    ("proof", Stage::Proof),
];

/// What is to be done.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Command {
    /// Type and see.
    Prompt {
        /// Files used from the start.
        files: Vec<String>,
    },
    /// Decide the jobs of a file.
    Decide {
        /// The file.
        file: String,
        /// Only this job.
        job: Option<String>,
        /// As of this day.
        as_of: Option<Date>,
        /// As JSON.
        json: bool,
    },
    /// Say what is wrong.
    Check {
        /// Files and folders.
        paths: Vec<String>,
    },
    /// Run tests.
    Test {
        /// Files and folders.
        paths: Vec<String>,
    },
    /// Print in the one style.
    Format {
        /// Files and folders.
        paths: Vec<String>,
        /// Only list what would change.
        check: bool,
    },
    /// Show a file at a stage.
    Show {
        /// The stage.
        stage: Stage,
        /// The file.
        file: String,
        /// With what the files it uses say.
        all: bool,
    },
    /// Explain a code.
    Explain {
        /// The code; all where none is named.
        code: Option<String>,
    },
    /// Show help.
    Help {
        /// Of one command.
        of: Option<&'static CommandEntry>,
    },
    /// Show the version.
    Version,
}

/// The command line as read: colour can be told even where the rest cannot.
#[derive(Debug)]
pub struct Arguments {
    /// When to use colour.
    pub colour: Colour,
    /// What is to be done, or what was not understood.
    pub command: Result<Command, Problem>,
}

/// Reads the arguments, the name of the command itself not among them.
pub fn read(arguments: impl Iterator<Item = OsString>) -> Arguments {
    let mut colour = Colour::Auto;
    let command = split(arguments).and_then(|split| {
        colour = split.colour;
        command(split)
    });
    Arguments { colour, command }
}

/// Operands and options, told apart.
#[derive(Default)]
struct Split {
    entry: Option<&'static CommandEntry>,
    operands: Vec<String>,
    options: Vec<(&'static str, String)>,
    colour: Colour,
}

fn wrong(message: impl Into<String>, help: impl Into<String>) -> Problem {
    Problem::nowhere(Code::ArgumentWrong, message).help(help)
}

/// `did you mean ...?`, or where to look.
fn nearest_or(wanted: &str, known: &[&'static str], otherwise: String) -> String {
    match nearest(wanted, known.iter().copied()).first() {
        Some(near) => format!("did you mean `{near}`?"),
        None => otherwise,
    }
}

fn see_help(entry: Option<&CommandEntry>) -> String {
    match entry {
        Some(entry) => format!("`knockon {} {}`; see `knockon help {}`", entry.name, entry.takes, entry.name),
        None => "see `knockon help`".to_string(),
    }
}

fn split(arguments: impl Iterator<Item = OsString>) -> Result<Split, Problem> {
    let mut split = Split::default();
    let mut arguments = arguments.map(|argument| {
        argument.into_string().map_err(|argument| {
            wrong(
                format!("the argument `{}` is not UTF-8 text", argument.to_string_lossy()),
                "a file under such a name can be piped in: `knockon decide - < FILE`",
            )
        })
    });
    let mut only_operands = false;
    while let Some(argument) = arguments.next() {
        let argument = argument?;
        if only_operands || argument == files::STANDARD_INPUT || !argument.starts_with('-') {
            if split.entry.is_none() && !only_operands {
                split.entry = Some(entry(&argument)?);
            } else {
                split.operands.push(argument);
            }
            continue;
        }
        if argument == "--" {
            only_operands = true;
            continue;
        }
        let (name, given) = match argument.split_once('=') {
            Some((name, value)) => (name.to_string(), Some(value.to_string())),
            None => (argument, None),
        };
        let found = option(&split, &name)?;
        let value = match (found.value, given) {
            (None, None) => String::new(),
            (None, Some(_)) => {
                return Err(wrong(format!("`{name}` takes no value"), see_help(split.entry)));
            }
            (Some(_), Some(value)) => value,
            (Some(what), None) => match arguments.next() {
                Some(value) => value?,
                None => {
                    return Err(wrong(
                        format!("`{name}` needs a value"),
                        format!("write `{name} {what}`: {}", found.summary),
                    ));
                }
            },
        };
        if found.name == "--colour" {
            split.colour = match value.as_str() {
                "auto" => Colour::Auto,
                "always" => Colour::Always,
                "never" => Colour::Never,
                _ => {
                    return Err(wrong(
                        format!("`--colour {value}` is not understood"),
                        nearest_or(&value, &["auto", "always", "never"], "write auto, always or never".to_string()),
                    ));
                }
            };
        } else if split.options.iter().any(|(known, _)| *known == found.name) {
            return Err(wrong(format!("`{name}` is given twice"), see_help(split.entry)));
        } else {
            split.options.push((found.name, value));
        }
    }
    Ok(split)
}

fn entry(word: &str) -> Result<&'static CommandEntry, Problem> {
    if let Some(found) = COMMANDS.iter().find(|entry| entry.name == word) {
        return Ok(found);
    }
    let help = if word.ends_with(".knock") {
        format!("to decide the job in it, write `knockon decide {word}`")
    } else {
        let names: Vec<&str> = COMMANDS.iter().map(|entry| entry.name).collect();
        nearest_or(word, &names, see_help(None))
    };
    Err(wrong(format!("there is no command `{word}`"), help))
}

fn option(split: &Split, name: &str) -> Result<&'static OptionEntry, Problem> {
    let long = match name {
        "-h" => "--help",
        "-V" => "--version",
        other => other,
    };
    let own = split.entry.map_or(&[][..], |entry| entry.options);
    let mut known = own.iter().chain(EVERYWHERE);
    if let Some(found) = known.clone().find(|option| option.name == long) {
        return Ok(found);
    }
    let names: Vec<&str> = known.by_ref().map(|option| option.name).collect();
    let elsewhere = COMMANDS.iter().find(|entry| entry.options.iter().any(|option| option.name == long));
    let help = match (split.entry, elsewhere) {
        (None, Some(entry)) => format!("write it after its command: `knockon {} {long}`", entry.name),
        (Some(here), Some(entry)) => format!("`{}` does not take it, `{}` does", here.name, entry.name),
        _ => nearest_or(name, &names, see_help(split.entry)),
    };
    Err(wrong(format!("there is no option `{name}`"), help))
}

fn command(split: Split) -> Result<Command, Problem> {
    let has = |name: &str| split.options.iter().any(|(known, _)| *known == name);
    let value = |name: &str| {
        let found = split.options.iter().find(|(known, _)| *known == name);
        found.map(|(_, value)| value.clone())
    };
    if has("--version") {
        return Ok(Command::Version);
    }
    if has("--help") {
        return Ok(Command::Help { of: split.entry });
    }
    let Some(entry) = split.entry else {
        if let Some(first) = split.operands.first() {
            return Err(wrong(format!("`{first}` stands where a command should"), see_help(None)));
        }
        return Ok(Command::Prompt { files: Vec::new() });
    };
    let (least, most) = entry.operands;
    if split.operands.len() < least {
        return Err(wrong(format!("`knockon {}` needs more than that", entry.name), see_help(Some(entry))));
    }
    if let Some(over) = split.operands.get(most) {
        return Err(wrong(format!("`{over}` is one argument too many"), see_help(Some(entry))));
    }
    let paths: Vec<String> = split.operands.iter().map(|operand| files::named(operand)).collect();
    let first = paths.first().cloned().unwrap_or_default();
    let plain = split.operands.first().cloned();
    Ok(match entry.name {
        "prompt" => Command::Prompt { files: paths },
        "decide" => Command::Decide {
            file: first,
            job: value("--job"),
            as_of: value("--as-of").map(|text| day(&text)).transpose()?,
            json: has("--json"),
        },
        "check" => Command::Check { paths },
        "test" => Command::Test { paths },
        "format" => Command::Format { paths, check: has("--check") },
        "show" => Command::Show {
            stage: stage(&plain.unwrap_or_default())?,
            file: paths.get(1).cloned().unwrap_or_default(),
            all: has("--all"),
        },
        "explain" => Command::Explain { code: plain },
        _ => Command::Help { of: plain.map(|word| self::entry(&word)).transpose()? },
    })
}

fn day(text: &str) -> Result<Date, Problem> {
    Date::parse(text)
        .map_err(|why| wrong(format!("`--as-of {text}`: {why}"), "write a day as year-month-day: `--as-of 2026-02-11`"))
}

fn stage(word: &str) -> Result<Stage, Problem> {
    if let Some((_, stage)) = STAGES.iter().find(|(name, _)| *name == word) {
        return Ok(*stage);
    }
    let names: Vec<&str> = STAGES.iter().map(|(name, _)| *name).collect();
    Err(wrong(
        format!("there is no stage `{word}`"),
        nearest_or(word, &names, format!("the stages are {}", names.join(", "))),
    ))
}

#[cfg(test)]
mod tests;
