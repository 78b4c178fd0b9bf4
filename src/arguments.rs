//! What the command was called with. Commands and options stand in one table, read here and by the help.

mod meaning;
mod table;

use std::ffi::OsString;

use knockon_lang::measure::Date;
use knockon_lang::text::suggest::nearest;
use knockon_lang::text::{Code, Problem};

use crate::files;
use crate::paint::Colour;

pub use meaning::{Command, STAGES, Stage};
pub use table::{COMMANDS, CommandEntry, EVERYWHERE, OptionEntry};

/// The version of the command.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

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
