//! Dumps of tokens and trees for people who want to see how a text was read.

use std::fmt::Write as _;

use knockon_text::Sources;
use knockon_text::neutral::one_line;

use crate::parse::Parsed;
use crate::space::words;
use crate::token::Tokens;
use crate::tree::{
    CarryingOut, CarryingOutClause, Cell, Conclusion, ConclusionKind, Condition, Declaration, DeclarationClause, Fact,
    Instruction, Item, ItemKind, Job, Joint, Limb, Portion, Range, Reference, Rule, RuleClause, Source, SourceClause,
    Test, TestLine, TokenId,
};

/// The tokens, one a line: `line:column Kind "text"`, with a `|` before those that stand first on a line
/// and a `>` before those that also begin an item or close a block. Comments stand where they were
/// written. Characters that do not show are written as escapes.
pub fn tokens(text: &str, tokens: &Tokens) -> String {
    let mut sources = Sources::new();
    let file = sources.add("", text);
    let place = |byte: u32| match sources.get(file) {
        Some(source) => source.place_at(byte),
        None => knockon_text::Place { line: 1, column: 1 },
    };
    let mut out = String::new();
    let mut line = |mark: &str, start: u32, end: u32, kind: &str| {
        let knockon_text::Place { line, column } = place(start);
        let written = text.get(start as usize..end as usize).unwrap_or("");
        // Writing into a string does not fail.
        let _ = writeln!(out, "{mark} {:>9} {kind:<20} {}", format!("{line}:{column}"), shown(written));
    };
    let mut comments = tokens.comments.iter().peekable();
    for index in 0..tokens.len() {
        while let Some(&&(start, end, _)) = comments.peek().filter(|&&&(_, _, before)| before <= index) {
            line(" ", start, end, "Comment");
            comments.next();
        }
        let mark = if tokens.item_starts.binary_search(&index).is_ok() {
            ">"
        } else if tokens.line_starts.binary_search(&index).is_ok() {
            "|"
        } else {
            " "
        };
        let (start, end) = tokens.span(index);
        let kind = tokens.kind(index).map(|kind| format!("{kind:?}")).unwrap_or_default();
        line(mark, start, end, &kind);
    }
    for &(start, end, _) in comments {
        line(" ", start, end, "Comment");
    }
    out
}

/// The tree, one node a line, indented: the names of the tree's types, and the words of their ranges
/// spaced as the printer does. No positions, so two texts that say the same give the same dump.
pub fn tree(text: &str, parsed: &Parsed) -> String {
    let mut dump = Dump { text, tokens: &parsed.tokens, out: String::from("File\n"), depth: 1 };
    for item in &parsed.file.items {
        dump.item(item);
    }
    dump.out
}

/// A text in quotes as it is written, anything else put in quotes.
fn shown(written: &str) -> String {
    let visible = one_line(written);
    if visible.starts_with('"') { visible.into_owned() } else { format!("\"{visible}\"") }
}

struct Dump<'t> {
    text: &'t str,
    tokens: &'t Tokens,
    out: String,
    depth: usize,
}

impl Dump<'_> {
    /// One line, and what `inside` writes one deeper.
    fn node(&mut self, name: &str, inside: impl FnOnce(&mut Self)) {
        self.leaf(name);
        self.depth += 1;
        inside(self);
        self.depth -= 1;
    }

    fn leaf(&mut self, line: &str) {
        self.out.extend(std::iter::repeat_n("  ", self.depth));
        self.out.push_str(line);
        self.out.push('\n');
    }

    fn words(&self, range: Range) -> String {
        one_line(&words(self.text, self.tokens, range.first, range.end)).into_owned()
    }

    fn range(&mut self, name: &str, range: Range) {
        let words = self.words(range);
        self.leaf(&format!("{name} `{words}`"));
    }

    fn token(&mut self, name: &str, token: TokenId) {
        self.range(name, Range { first: token, end: token + 1 });
    }

    fn token_if(&mut self, name: &str, token: Option<TokenId>) {
        if let Some(token) = token {
            self.token(name, token);
        }
    }

    fn ranges(&mut self, name: &str, ranges: &[Range]) {
        self.node(name, |dump| {
            for &range in ranges {
                dump.leaf(&format!("`{}`", dump.words(range)));
            }
        });
    }

    fn texts(&mut self, name: &str, tokens: &[TokenId]) {
        let ranges: Vec<Range> = tokens.iter().map(|&first| Range { first, end: first + 1 }).collect();
        self.ranges(name, &ranges);
    }

    fn item(&mut self, item: &Item) {
        match &item.kind {
            ItemKind::Use(text) => self.token("Use", *text),
            ItemKind::Declaration(declaration) => self.declaration(declaration),
            ItemKind::Source(source) => self.source(source),
            ItemKind::Scope(scope) => self.node("Scope", |dump| {
                dump.range("cars", scope.cars);
                for item in &scope.items {
                    dump.item(item);
                }
            }),
            ItemKind::Fact(fact) => self.fact(fact),
            ItemKind::Rule(rule) => self.rule(rule),
            ItemKind::CarryingOut(carrying_out) => self.carrying_out(carrying_out),
            ItemKind::Job(job) => self.job(job),
            ItemKind::Test(test) => self.test(test),
            ItemKind::Broken => self.range("Broken", item.range),
        }
    }

    fn declaration(&mut self, declaration: &Declaration) {
        self.node(&format!("Declaration {:?}", declaration.class), |dump| {
            dump.ranges("head", &declaration.head);
            for clause in &declaration.clauses {
                match clause {
                    DeclarationClause::AlsoWritten(texts) => dump.texts("AlsoWritten", texts),
                    DeclarationClause::CountsAs(ranges) => dump.ranges("CountsAs", ranges),
                    DeclarationClause::DisturbsNothing(token) => dump.token("DisturbsNothing", *token),
                    DeclarationClause::PassesAlong(token) => dump.token("PassesAlong", *token),
                    DeclarationClause::PassesDisturbance(token) => dump.token("PassesDisturbance", *token),
                    DeclarationClause::Serves(ranges) => dump.ranges("Serves", ranges),
                    DeclarationClause::AskedAs(text) => dump.token("AskedAs", *text),
                    DeclarationClause::JudgedByAPerson(token) => dump.token("JudgedByAPerson", *token),
                    DeclarationClause::EndsIn(ranges) => dump.ranges("EndsIn", ranges),
                    DeclarationClause::CarriedOutBy(ranges) => dump.ranges("CarriedOutBy", ranges),
                    DeclarationClause::Concerns(ranges) => dump.ranges("Concerns", ranges),
                    DeclarationClause::OneOf(ranges) => dump.ranges("OneOf", ranges),
                    DeclarationClause::Doing(text) => dump.token("Doing", *text),
                    DeclarationClause::OnTheWay(text) => dump.token("OnTheWay", *text),
                    DeclarationClause::DisturbsWhenChanged(limit) => dump.ranges("DisturbsWhenChanged", &[*limit]),
                    DeclarationClause::PutsOnAnotherPart(token) => dump.token("PutsOnAnotherPart", *token),
                    DeclarationClause::Positive(text) => dump.token("Positive", *text),
                    DeclarationClause::Makes(ranges) => dump.ranges("Makes", ranges),
                }
            }
        });
    }

    fn carrying_out(&mut self, carrying_out: &CarryingOut) {
        self.node("CarryingOut", |dump| {
            dump.range("what", carrying_out.what);
            for clause in &carrying_out.clauses {
                match clause {
                    CarryingOutClause::Cites(reference) => dump.reference("Cites", reference),
                    CarryingOutClause::Says(text) => dump.token("Says", *text),
                    CarryingOutClause::Involves { what, when } => dump.node("Involves", |dump| {
                        dump.ranges("what", what);
                        if let Some(when) = when {
                            dump.node("when", |dump| dump.condition(when));
                        }
                    }),
                    CarryingOutClause::Instruction { what, when, range: _ } => {
                        dump.instruction(what);
                        if let Some(when) = when {
                            dump.node("when", |dump| dump.condition(when));
                        }
                    }
                    CarryingOutClause::Later(range) => dump.range("Later", *range),
                }
            }
        });
    }

    fn instruction(&mut self, instruction: &Instruction) {
        match instruction {
            Instruction::ReadyWhen(condition) => self.node("ReadyWhen", |dump| dump.condition(condition)),
            Instruction::GoodWhen(condition) => self.node("GoodWhen", |dump| dump.condition(condition)),
            Instruction::Throughout(condition) => self.node("Throughout", |dump| dump.condition(condition)),
            Instruction::Step(text) => self.token("Step", *text),
            Instruction::Takes(time) => self.range("Takes", *time),
            Instruction::Wait { least, after } => self.node("Wait", |dump| {
                dump.range("least", *least);
                dump.token("after", *after);
            }),
            Instruction::IfShown { shown, check: _, at } => self.node("IfShown", |dump| {
                dump.token("shown", *shown);
                for at in at {
                    dump.token("at", *at);
                }
            }),
        }
    }

    fn source(&mut self, source: &Source) {
        self.node("Source", |dump| {
            dump.range("name", source.name);
            for clause in &source.clauses {
                match clause {
                    SourceClause::Title(text) => dump.token("Title", *text),
                    SourceClause::Issuer(range) => dump.range("Issuer", *range),
                    SourceClause::Rank(range) => dump.range("Rank", *range),
                    SourceClause::Issued(date) => dump.token("Issued", *date),
                    SourceClause::Revised(date) => dump.token("Revised", *date),
                    SourceClause::InForceFrom(date) => dump.token("InForceFrom", *date),
                    SourceClause::Replaces(portion) => dump.portion("Replaces", portion),
                    SourceClause::CarriesOver(portion) => dump.portion("CarriesOver", portion),
                    SourceClause::PrevailsOver(ranges) => dump.ranges("PrevailsOver", ranges),
                    SourceClause::DefersTo(ranges) => dump.ranges("DefersTo", ranges),
                    SourceClause::TakesNoViewOn(ranges) => dump.ranges("TakesNoViewOn", ranges),
                    SourceClause::Review { every, checked } => dump.node("Review", |dump| {
                        dump.range("every", *every);
                        dump.token_if("checked", *checked);
                    }),
                    SourceClause::ReadInPart(token) => dump.token("ReadInPart", *token),
                    SourceClause::ReadFrom(text) => dump.token("ReadFrom", *text),
                    SourceClause::BorrowedFrom(range) => dump.range("BorrowedFrom", *range),
                    SourceClause::EncodedBy { by, second } => dump.node("EncodedBy", |dump| {
                        dump.token("by", *by);
                        dump.token_if("second", *second);
                    }),
                    SourceClause::InIt { phrase, meaning } => dump.node("InIt", |dump| {
                        dump.token("phrase", *phrase);
                        dump.range("meaning", *meaning);
                    }),
                }
            }
        });
    }

    fn portion(&mut self, name: &str, portion: &Portion) {
        self.node(name, |dump| {
            dump.range("source", portion.source);
            for section in &portion.sections {
                dump.token(if portion.except { "except" } else { "section" }, *section);
            }
            if !portion.rest.is_empty() {
                dump.range("rest", portion.rest);
            }
        });
    }

    fn reference(&mut self, name: &str, reference: &Reference) {
        self.node(name, |dump| {
            dump.range("source", reference.source);
            dump.token_if("of", reference.of);
            dump.token_if("section", reference.section);
        });
    }

    fn fact(&mut self, fact: &Fact) {
        self.node(if fact.silent { "SaysNothingOf" } else { "Fact" }, |dump| {
            dump.range("sentence", fact.sentence);
            if let Some(per) = &fact.per {
                dump.reference("per", per);
            }
        });
    }

    fn rule(&mut self, rule: &Rule) {
        self.node("Rule", |dump| {
            dump.token("name", rule.name);
            for clause in &rule.clauses {
                dump.rule_clause(clause);
            }
        });
    }

    fn rule_clause(&mut self, clause: &RuleClause) {
        match clause {
            RuleClause::Cites(reference) => self.reference("Cites", reference),
            RuleClause::Says(text) => self.token("Says", *text),
            RuleClause::When(condition) => self.node("When", |dump| dump.condition(condition)),
            RuleClause::Unless(condition) => self.node("Unless", |dump| dump.condition(condition)),
            RuleClause::Then(conclusions) => self.node("Then", |dump| {
                for conclusion in conclusions {
                    dump.conclusion(conclusion);
                }
            }),
            RuleClause::Because(text) => self.token("Because", *text),
            RuleClause::WithoutIt(text) => self.token("WithoutIt", *text),
            RuleClause::GivesWayTo(texts) => self.texts("GivesWayTo", texts),
            RuleClause::ReadAs { reading, because } => self.node("ReadAs", |dump| {
                dump.token("reading", *reading);
                dump.token_if("because", *because);
            }),
            RuleClause::CouldAlsoBeReadAs(clause) => {
                self.node("CouldAlsoBeReadAs", |dump| dump.rule_clause(clause));
            }
            RuleClause::Table(rows) => self.node("Table", |dump| {
                for row in rows {
                    dump.node("Row", |dump| row.said.iter().for_each(|cell| dump.cell(cell)));
                }
            }),
        }
    }

    fn cell(&mut self, cell: &Cell) {
        match cell {
            Cell::Empty => self.leaf("Empty"),
            Cell::Condition(condition) => self.node("Condition", |dump| dump.condition(condition)),
            Cell::Conclusions(conclusions) => self.node("Conclusions", |dump| {
                for conclusion in conclusions {
                    dump.conclusion(conclusion);
                }
            }),
            Cell::Words(range) => self.range("Words", *range),
        }
    }

    fn condition(&mut self, condition: &Condition) {
        self.limb(&condition.first);
        for (joint, _, limb) in &condition.rest {
            self.leaf(match joint {
                Joint::And => "And",
                Joint::Or => "Or",
            });
            self.limb(limb);
        }
    }

    fn limb(&mut self, limb: &Limb) {
        match limb {
            Limb::Sentence(range) => self.range("Sentence", *range),
            Limb::Not(_, denied) => self.node("Not", |dump| dump.limb(denied)),
            Limb::Group(condition) => self.node("Group", |dump| dump.condition(condition)),
            Limb::Apart { subject, happenings } => self.node("Apart", |dump| {
                dump.range("subject", *subject);
                dump.ranges("happenings", happenings);
            }),
        }
    }

    fn conclusion(&mut self, conclusion: &Conclusion) {
        match &conclusion.kind {
            ConclusionKind::Require { what, words } => self.node("Require", |dump| {
                dump.range("what", *what);
                dump.token_if("words", *words);
            }),
            ConclusionKind::Either { advised, ways, words } => {
                self.node(if *advised { "AdviseEither" } else { "RequireEither" }, |dump| {
                    dump.ranges("ways", ways);
                    dump.token_if("words", *words);
                });
            }
            ConclusionKind::OpenList { advised, listed, words } => {
                self.node(if *advised { "AdviseOpenList" } else { "RequireOpenList" }, |dump| {
                    dump.ranges("listed", listed);
                    dump.token_if("words", *words);
                });
            }
            ConclusionKind::Advise { what, words } => self.node("Advise", |dump| {
                dump.range("what", *what);
                dump.token_if("words", *words);
            }),
            ConclusionKind::LeaveOpen { what, because } => self.node("LeaveOpen", |dump| {
                dump.range("what", *what);
                dump.token("because", *because);
            }),
            ConclusionKind::Waive { what } => self.range("Waive", *what),
            ConclusionKind::Forbid { what } => self.range("Forbid", *what),
            ConclusionKind::Allow { only, what, limit } => {
                self.node(if *only { "AllowOnly" } else { "Allow" }, |dump| {
                    dump.range("what", *what);
                    if let Some(limit) = limit {
                        dump.node("where", |dump| dump.condition(limit));
                    }
                });
            }
            ConclusionKind::Set { what, by, rows } => self.node("Set", |dump| {
                dump.range("what", *what);
                if let Some(by) = by {
                    dump.range("by", *by);
                }
                dump.ranges("rows", rows);
            }),
            ConclusionKind::Hold { what, until } => self.node("Hold", |dump| {
                dump.range("what", *what);
                dump.node("until", |dump| dump.condition(until));
            }),
            ConclusionKind::Gap(what) => self.range("Gap", *what),
            ConclusionKind::Ask(text) => self.token("Ask", *text),
            ConclusionKind::Warn(text) => self.token("Warn", *text),
            ConclusionKind::UntilThen(range) => self.range("UntilThen", *range),
            ConclusionKind::Statement(range) => self.range("Statement", *range),
        }
    }

    fn job(&mut self, job: &Job) {
        self.node("Job", |dump| {
            dump.token("name", job.name);
            dump.token_if("dated", job.dated);
            for line in &job.lines {
                let word = dump.words(Range { first: line.word, end: line.word + 1 });
                dump.ranges(&format!("JobLine `{word}`"), &line.entries);
            }
        });
    }

    fn test(&mut self, test: &Test) {
        self.node("Test", |dump| {
            dump.token("name", test.name);
            for line in &test.lines {
                match line {
                    TestLine::Suppose(entries) => dump.ranges("Suppose", entries),
                    TestLine::Expect(range) => dump.range("Expect", *range),
                    TestLine::Table(rows) => dump.node("Table", |dump| {
                        for row in rows {
                            dump.ranges("Row", &row.cells);
                        }
                    }),
                }
            }
        });
    }
}
