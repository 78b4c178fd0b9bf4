//! The table of commands and options.

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
        summary: "show a file at one stage: tokens, tree, resolved, reading, clauses, program or proof",
        more: "reading says the file again in the language's own words, one way: a file that says the same, without its \
               comments. program and proof are of the file's jobs. FILE may be - for standard input.",
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
