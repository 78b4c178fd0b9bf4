//! `knockon help` and `--version`: what the command takes, from the one table in `arguments`.

use knockon_lang::text::{Markup, Tag};

use crate::arguments::{COMMANDS, CommandEntry, EVERYWHERE, OptionEntry, VERSION};
use crate::screen::{Outcome, Screen};

/// Shows the help of one command, or of all.
pub fn run(of: Option<&CommandEntry>, screen: &mut Screen) -> Outcome {
    screen.show(&match of {
        Some(entry) => one(entry),
        None => all(),
    });
    Outcome::Complete
}

/// Shows the version.
pub fn version(screen: &mut Screen) -> Outcome {
    screen.line(&format!("knockon {VERSION}"));
    Outcome::Complete
}

fn all() -> Markup {
    let mut out = Markup::new();
    out.plain("Says what a repair sets off on a car's driver-assistance sensors, why, and on whose word.\n\n");
    for entry in COMMANDS {
        out.plain("  ");
        out.push(Tag::Command, format!("knockon {:<8}", entry.name));
        out.push(Tag::Faint, format!("{:<10}", entry.takes));
        out.plain(format!("  {}\n", entry.summary));
    }
    out.line();
    options(&mut out, EVERYWHERE);
    out.plain("\nEnds with 0 when all is done and nothing is open, 1 when a check or a test failed, 2 when it could\n");
    out.plain("not run, 3 when it answered but something is open, in conflict or silent.\n");
    out
}

fn one(entry: &CommandEntry) -> Markup {
    let mut out = Markup::new();
    out.push(Tag::Command, format!("knockon {}", entry.name));
    out.push(Tag::Faint, format!(" {}", entry.takes));
    out.plain(format!("\n  {}\n", entry.summary));
    if !entry.more.is_empty() {
        out.plain(format!("  {}\n", entry.more));
    }
    out.line();
    options(&mut out, entry.options);
    options(&mut out, EVERYWHERE);
    out
}

fn options(out: &mut Markup, options: &[OptionEntry]) {
    for option in options {
        let written = match option.value {
            Some(value) => format!("{} {value}", option.name),
            None => option.name.to_string(),
        };
        out.plain("  ");
        out.push(Tag::Command, format!("{written:<16}"));
        out.plain(format!("  {}\n", option.summary));
    }
}
