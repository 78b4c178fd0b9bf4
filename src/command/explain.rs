//! `knockon explain`: what a problem code stands for, or the list of all codes.

use knockon_lang::text::suggest::nearest;
use knockon_lang::text::{Code, Problem, Severity, Sources};

use crate::screen::{Outcome, Screen};

/// Explains a code, or lists all.
pub fn run(code: Option<&str>, screen: &mut Screen) -> Outcome {
    let Some(wanted) = code else {
        screen.say(&list());
        return Outcome::Complete;
    };
    match find(wanted) {
        Ok(code) => {
            screen.say(code.entry().explanation);
            Outcome::Complete
        }
        Err(problem) => {
            screen.complain(&[problem], &Sources::new());
            Outcome::CouldNotRun
        }
    }
}

/// The code of that number, however its letter is written.
pub fn find(wanted: &str) -> Result<Code, Problem> {
    let upper = wanted.to_uppercase();
    if let Some(code) = Code::ALL.iter().find(|code| code.entry().number == upper) {
        return Ok(*code);
    }
    let near = nearest(&upper, Code::ALL.iter().map(|code| code.entry().number));
    let help = match near.first() {
        Some(near) => format!("did you mean `{near}`? `knockon explain` lists all"),
        None => "`knockon explain` lists all; a code looks like `K0301`".to_string(),
    };
    Err(Problem::nowhere(Code::ArgumentWrong, format!("there is no code `{wanted}`")).help(help))
}

fn list() -> String {
    let mut text = String::new();
    for code in Code::ALL {
        let entry = code.entry();
        let severity = match entry.severity {
            Severity::Error => "error",
            Severity::Warning => "warning",
        };
        text.push_str(&format!("{}  {severity:<7}  {}\n", entry.number, entry.summary));
    }
    text
}
