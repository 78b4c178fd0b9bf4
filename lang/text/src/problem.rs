//! A problem as data: what is wrong, where, what stands around it, and how to go on.

use crate::codes::{Code, Severity};
use crate::source::Span;

/// A place in a text with a few words about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// The bytes the label stands under.
    pub span: Span,
    /// What is to be said there; lower-case start, no full stop.
    pub text: String,
}

/// One problem. Stages make these; only [`crate::draw`] turns them into text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// The code, with its summary, severity and long explanation.
    pub code: Code,
    /// One line: what is wrong. The user's own words stand in backticks.
    pub message: String,
    /// Where it is wrong; absent only where no text is concerned (a missing file).
    pub main: Option<Label>,
    /// Places that explain it.
    pub context: Vec<Label>,
    /// How to go on.
    pub help: Option<String>,
}

impl Problem {
    /// A problem at `span`; `label` is what stands under the place itself.
    pub fn at(code: Code, span: Span, message: impl Into<String>, label: impl Into<String>) -> Problem {
        Problem {
            code,
            message: message.into(),
            main: Some(Label { span, text: label.into() }),
            context: Vec::new(),
            help: None,
        }
    }

    /// A problem that stands in no text, such as a file that is missing.
    pub fn nowhere(code: Code, message: impl Into<String>) -> Problem {
        Problem { code, message: message.into(), main: None, context: Vec::new(), help: None }
    }

    /// Adds how to go on.
    #[must_use]
    pub fn help(mut self, text: impl Into<String>) -> Problem {
        self.help = Some(text.into());
        self
    }

    /// Adds a place that explains the problem.
    #[must_use]
    pub fn context(mut self, span: Span, text: impl Into<String>) -> Problem {
        self.context.push(Label { span, text: text.into() });
        self
    }

    /// The severity of the problem's code.
    pub fn severity(&self) -> Severity {
        self.code.entry().severity
    }
}
