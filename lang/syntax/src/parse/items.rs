//! One parser an item word, and the choice between them by the item's first token.

use chumsky::extra::SimpleState;
use chumsky::prelude::*;

use super::conditions::{conclusions, condition, is_sentence_word};
use super::parts::{
    Complaint, Extra, Input, Parse, date, is_name_word, list, name, ranged, reference, run, text, token, whole,
};
use crate::token::{Tok, Tokens};
use crate::tree::{
    CarryingOut, CarryingOutClause, Class, Conclusion, Condition, Declaration, DeclarationClause, Fact, Instruction,
    ItemKind, Job, JobLine, Portion, Range, Row, Rule, RuleClause, RuleRow, Source, SourceClause, Test, TestLine,
};

/// The parsers of all items, for one error type.
pub struct Grammar<'t, X: Complaint<'t>> {
    uses: ItemParser<'t, X>,
    declaration: ItemParser<'t, X>,
    source: ItemParser<'t, X>,
    fact: ItemParser<'t, X>,
    rule: ItemParser<'t, X>,
    carrying_out: ItemParser<'t, X>,
    job: ItemParser<'t, X>,
    test: ItemParser<'t, X>,
    /// What stands in a cell of a table of a rule, by its head.
    pub condition: Parse<'t, Condition, X>,
    pub conclusions: Parse<'t, Vec<Conclusion>, X>,
}

/// The parser of one item.
pub struct ItemParser<'t, X: Complaint<'t>>(Parse<'t, ItemKind, X>);

impl<'t, X: Complaint<'t>> ItemParser<'t, X> {
    /// The errors of parsing `slice`; none where it can be read.
    pub fn parse_with_errors(&self, slice: &'t [Tok], state: &mut SimpleState<u32>) -> Vec<X> {
        self.0.parse_with_state(slice, state).into_errors()
    }
}

impl<'t, X: Complaint<'t>> Grammar<'t, X> {
    /// Builds all parsers.
    pub fn new() -> Self {
        Grammar {
            uses: ItemParser(just(Tok::Use).ignore_then(text()).map(ItemKind::Use).boxed()),
            declaration: ItemParser(declaration().map(ItemKind::Declaration).boxed()),
            source: ItemParser(source().map(ItemKind::Source).boxed()),
            fact: ItemParser(fact().map(ItemKind::Fact).boxed()),
            rule: ItemParser(rule().map(ItemKind::Rule).boxed()),
            carrying_out: ItemParser(carrying_out().map(ItemKind::CarryingOut).boxed()),
            job: ItemParser(job().map(ItemKind::Job).boxed()),
            test: ItemParser(test().map(ItemKind::Test).boxed()),
            condition: condition(),
            conclusions: conclusions(),
        }
    }

    /// The parser for an item that begins like `slice`.
    pub fn parser_for(&self, slice: &'t [Tok]) -> &ItemParser<'t, X> {
        match slice.first() {
            Some(Tok::Use) => &self.uses,
            Some(Tok::Source) => &self.source,
            Some(Tok::Rule) => &self.rule,
            Some(Tok::CarryingOut) => &self.carrying_out,
            Some(Tok::Job) => &self.job,
            Some(Tok::Test) => &self.test,
            Some(kind) if kind.is_item_word() => &self.declaration,
            _ => &self.fact,
        }
    }

    /// The item `slice` is, or nothing if it cannot be read; `base` is the index of its first token.
    pub fn item(&self, slice: &'t [Tok], base: u32) -> Option<ItemKind> {
        let mut state = SimpleState(base);
        self.parser_for(slice).0.parse_with_state(slice, &mut state).into_output()
    }
}

fn declaration<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, Declaration, Extra<X>> + Clone {
    let class = any().filter(|kind: &Tok| kind.is_item_word()).map(class_of);
    let phrase = run(is_head_word, "a name");
    let in_limit = |kind: Tok| is_name_word(kind) || matches!(kind, Tok::At | Tok::From | Tok::To | Tok::Percent);
    let limit = run(in_limit, "a limit such as `over 5 mm either way`");
    let clause = choice((
        just(Tok::AlsoWritten).ignore_then(list(text())).map(DeclarationClause::AlsoWritten),
        just(Tok::CountsAs).ignore_then(list(phrase.clone())).map(DeclarationClause::CountsAs),
        token(Tok::DisturbsNothing).map(DeclarationClause::DisturbsNothing),
        just(Tok::DisturbsWhenChanged).ignore_then(limit).map(DeclarationClause::DisturbsWhenChanged),
        token(Tok::PassesAlong).map(DeclarationClause::PassesAlong),
        token(Tok::PassesDisturbance).map(DeclarationClause::PassesDisturbance),
        just(Tok::Serves).ignore_then(list(phrase.clone())).map(DeclarationClause::Serves),
        just(Tok::AskedAs).ignore_then(text()).map(DeclarationClause::AskedAs),
        token(Tok::JudgedByAPerson).map(DeclarationClause::JudgedByAPerson),
        just(Tok::EndsIn).ignore_then(list(phrase.clone())).map(DeclarationClause::EndsIn),
        just(Tok::CarriedOutBy).ignore_then(list(phrase.clone())).map(DeclarationClause::CarriedOutBy),
        just(Tok::Concerns).ignore_then(list(phrase.clone())).map(DeclarationClause::Concerns),
        just(Tok::OneOf).ignore_then(list(phrase.clone())).map(DeclarationClause::OneOf),
        token(Tok::PutsOnAnotherPart).map(DeclarationClause::PutsOnAnotherPart),
        just(Tok::Doing).ignore_then(text()).map(DeclarationClause::Doing),
        just(Tok::OnTheWay).ignore_then(text()).map(DeclarationClause::OnTheWay),
        just(Tok::Positive).ignore_then(text()).map(DeclarationClause::Positive),
        just(Tok::Makes).ignore_then(list(phrase.clone())).map(DeclarationClause::Makes),
    ))
    .labelled("a clause of the declaration");
    class
        .then(list(phrase))
        .then(just(Tok::Comma).or_not().ignore_then(clause).repeated().collect::<Vec<_>>())
        .map(|((class, head), clauses)| Declaration { class, head, clauses })
}

/// The head of a declaration may also hold what joins a relation to its term.
fn is_head_word(kind: Tok) -> bool {
    is_name_word(kind)
        || matches!(
            kind,
            Tok::On | Tok::Of | Tok::In | Tok::To | Tok::From | Tok::By | Tok::With | Tok::At | Tok::Percent
        )
}

fn class_of(kind: Tok) -> Class {
    match kind {
        Tok::Maker => Class::Maker,
        Tok::Part => Class::Part,
        Tok::Sensor => Class::Sensor,
        Tok::System => Class::System,
        Tok::Module => Class::Module,
        Tok::Option => Class::Option,
        Tok::Kind => Class::Kind,
        Tok::Operation => Class::Operation,
        Tok::Event => Class::Event,
        Tok::Finding => Class::Finding,
        Tok::State => Class::State,
        Tok::Procedure => Class::Procedure,
        Tok::Measure => Class::Measure,
        Tok::Condition => Class::Condition,
        Tok::Choice => Class::Choice,
        Tok::Quality => Class::Quality,
        Tok::Zone => Class::Zone,
        Tok::Line => Class::Line,
        Tok::Relation => Class::Relation,
        _ => Class::Later,
    }
}

fn source<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, Source, Extra<X>> + Clone {
    let second = just(Tok::Comma).or_not().ignore_then(just(Tok::SecondReadingBy)).ignore_then(text());
    let checked = just(Tok::Comma).or_not().ignore_then(just(Tok::Checked)).ignore_then(date());
    let meaning = ranged(any().filter(|&kind: &Tok| !begins_source_clause(kind)).repeated());
    let clause = choice((
        just(Tok::Title).ignore_then(text()).map(SourceClause::Title),
        just(Tok::Issuer).ignore_then(name()).map(SourceClause::Issuer),
        just(Tok::Rank).ignore_then(name()).map(SourceClause::Rank),
        just(Tok::Issued).ignore_then(date()).map(SourceClause::Issued),
        just(Tok::Revised).ignore_then(date()).map(SourceClause::Revised),
        just(Tok::InForceFrom).ignore_then(date()).map(SourceClause::InForceFrom),
        just(Tok::Replaces).ignore_then(portion()).map(SourceClause::Replaces),
        just(Tok::CarriesOver).ignore_then(portion()).map(SourceClause::CarriesOver),
        just(Tok::PrevailsOver).ignore_then(list(name())).map(SourceClause::PrevailsOver),
        just(Tok::DefersTo).ignore_then(list(name())).map(SourceClause::DefersTo),
        just(Tok::TakesNoViewOn).ignore_then(list(name().or(ranged(text())))).map(SourceClause::TakesNoViewOn),
        just(Tok::ReviewEvery)
            .ignore_then(name())
            .then(checked.or_not())
            .map(|(every, checked)| SourceClause::Review { every, checked }),
        token(Tok::ReadInPart).map(SourceClause::ReadInPart),
        just(Tok::ReadFrom).ignore_then(text()).map(SourceClause::ReadFrom),
        just(Tok::BorrowedFrom).ignore_then(name()).map(SourceClause::BorrowedFrom),
        just(Tok::EncodedBy)
            .ignore_then(text())
            .then(second.or_not())
            .map(|(by, second)| SourceClause::EncodedBy { by, second }),
        // The lexer takes `in it` as one token only where `"..." means` follows.
        just(Tok::InIt)
            .ignore_then(text())
            .then_ignore(any())
            .then(meaning)
            .map(|(phrase, meaning)| SourceClause::InIt { phrase, meaning }),
    ))
    .labelled("a clause of the source");
    just(Tok::Source)
        .ignore_then(name())
        .then(clause.repeated().collect::<Vec<_>>())
        .map(|(name, clauses)| Source { name, clauses })
}

/// `SOURCE [section "..." | except section "..."] [for CARS]`.
fn portion<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, Portion, Extra<X>> + Clone {
    let sections = just(Tok::Section).to(false).or(just(Tok::ExceptSection).to(true)).then(list(text()));
    let rest = any().filter(|&kind: &Tok| kind != Tok::Text && !begins_source_clause(kind)).repeated();
    name().then(sections.or_not()).then(ranged(rest)).map(|((source, sections), rest)| {
        let (except, sections) = sections.unwrap_or_default();
        Portion { source, except, sections, rest }
    })
}

/// Whether a clause of a source begins here.
pub fn begins_source_clause(kind: Tok) -> bool {
    (Tok::Title as u8..=Tok::InIt as u8).contains(&(kind as u8))
}

fn fact<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, Fact, Extra<X>> + Clone {
    let word = any()
        .filter(|&kind: &Tok| {
            // `when`, `unless` and `then` belong to a rule: a line of one that lost its `and` begins a fact.
            !matches!(kind, Tok::Per | Tok::When | Tok::Unless | Tok::Then)
                && (kind.is_wordlike() || kind.is_connecting() || kind == Tok::Percent)
        })
        .ignored();
    let more = just(Tok::Comma).then(word).ignored();
    let per = just(Tok::Comma).or_not().ignore_then(just(Tok::Per)).ignore_then(reference());
    let sentence = ranged(word.then(word.or(more).repeated())).labelled("a fact");
    let silent = reference().then_ignore(just(Tok::SaysNothingOf)).then(sentence.clone()).map(|(per, sentence)| Fact {
        sentence,
        per: Some(per),
        silent: true,
    });
    silent.or(sentence.then(per.or_not()).map(|(sentence, per)| Fact { sentence, per, silent: false }))
}

fn rule<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, Rule, Extra<X>> + Clone {
    let because = just(Tok::Because).ignore_then(text());
    let when = just(Tok::When).ignore_then(condition()).map(RuleClause::When);
    let unless = just(Tok::Unless).ignore_then(condition()).map(RuleClause::Unless);
    let then = just(Tok::Then).ignore_then(conclusions()).map(RuleClause::Then);
    let read = choice((when.clone(), unless.clone(), then.clone())).labelled("`when`, `unless` or `then`");
    let clause = choice((
        just(Tok::Cites).ignore_then(reference()).map(RuleClause::Cites),
        just(Tok::Says).ignore_then(text()).map(RuleClause::Says),
        when,
        unless,
        then,
        because.clone().map(RuleClause::Because),
        just(Tok::WithoutIt).ignore_then(text()).map(RuleClause::WithoutIt),
        just(Tok::GivesWayTo).ignore_then(list(text())).map(RuleClause::GivesWayTo),
        just(Tok::ReadAs)
            .ignore_then(text())
            .then(because.or_not())
            .map(|(reading, because)| RuleClause::ReadAs { reading, because }),
        just(Tok::CouldAlsoBeReadAs).ignore_then(read).map(|clause| RuleClause::CouldAlsoBeReadAs(Box::new(clause))),
        table().map(|row| RuleClause::Table(vec![RuleRow { row, said: Vec::new() }])),
    ))
    .labelled("a clause of the rule (cites, when, unless, then, because ...)");
    just(Tok::Rule)
        .ignore_then(text().labelled("the rule's name in quotes"))
        .then(clause.repeated().collect::<Vec<_>>())
        .map(|(name, clauses)| Rule { name, clauses })
}

fn carrying_out<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, CarryingOut, Extra<X>> + Clone {
    let happening = run(is_sentence_word, "what happens by it, as in `battery disconnected`");
    let when = just(Tok::When).ignore_then(condition());
    let time = || run(|kind| is_name_word(kind) && kind != Tok::After, "a time, as in `4 min`");
    let instruction = choice((
        just(Tok::ReadyWhen).ignore_then(condition()).map(Instruction::ReadyWhen),
        just(Tok::GoodWhen).ignore_then(condition()).map(Instruction::GoodWhen),
        just(Tok::Throughout).ignore_then(condition()).map(Instruction::Throughout),
        just(Tok::Step).ignore_then(text()).map(Instruction::Step),
        just(Tok::Takes).ignore_then(time()).map(Instruction::Takes),
        just(Tok::WaitAtLeast)
            .ignore_then(time())
            .then_ignore(just(Tok::After))
            .then(text())
            .map(|(least, after)| Instruction::Wait { least, after }),
        just(Tok::IfShown)
            .ignore_then(text())
            .then(token(Tok::Word).labelled("`check`"))
            .then(list(text()))
            .map(|((shown, check), at)| Instruction::IfShown { shown, check, at }),
    ));
    let later = one_of([Tok::Needs, Tok::Mark, Tok::Place, Tok::Drive])
        .then(any().filter(|&kind| !begins_carrying_out_clause(kind)).repeated());
    let clause = choice((
        just(Tok::Cites).ignore_then(reference()).map(CarryingOutClause::Cites),
        just(Tok::Says).ignore_then(text()).map(CarryingOutClause::Says),
        just(Tok::Involves)
            .ignore_then(list(happening))
            .then(when.clone().or_not())
            .map(|(what, when)| CarryingOutClause::Involves { what, when }),
        whole(instruction.then(when.or_not())).map(|((what, when), range)| CarryingOutClause::Instruction {
            what,
            when,
            range,
        }),
        ranged(later).map(CarryingOutClause::Later),
    ))
    .labelled("a clause of `carrying out` (cites, says, involves, ready when, step ...)");
    just(Tok::CarryingOut)
        .ignore_then(run(is_sentence_word, "a procedure, as in `calibration of front radar`"))
        .then(clause.repeated().collect::<Vec<_>>())
        .map(|(what, clauses)| CarryingOut { what, clauses })
}

/// Whether a clause of `carrying out` begins here.
pub fn begins_carrying_out_clause(kind: Tok) -> bool {
    matches!(kind, Tok::Cites | Tok::Says) || (Tok::Involves as u8..=Tok::Drive as u8).contains(&(kind as u8))
}

/// Whether a clause of a rule begins here.
pub fn begins_rule_clause(kind: Tok) -> bool {
    matches!(
        kind,
        Tok::Cites
            | Tok::Says
            | Tok::When
            | Tok::Unless
            | Tok::Then
            | Tok::Because
            | Tok::WithoutIt
            | Tok::GivesWayTo
            | Tok::ReadAs
            | Tok::CouldAlsoBeReadAs
            | Tok::Table
    )
}

/// `table` and all its bars, as one row.
fn table<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, Row, Extra<X>> + Clone {
    // Where a row ends is a matter of lines, which tokens do not show: `cut_rows` cuts them afterwards.
    let cell = any().filter(|&kind| is_cell_word(kind)).repeated();
    let bars = just(Tok::Bar).then(cell).repeated().at_least(1);
    just(Tok::Table).ignore_then(ranged(bars)).map(|range| Row { range, cells: Vec::new() })
}

/// The words a line of a job begins with.
pub fn is_job_word(kind: Tok) -> bool {
    (Tok::Vehicle as u8..=Tok::Scan as u8).contains(&(kind as u8))
}

/// What may stand in an entry of a job or test line: anything but what ends it or begins a line of its own.
fn is_entry_word(kind: Tok) -> bool {
    !matches!(kind, Tok::Semicolon | Tok::Bar | Tok::OpenBlock | Tok::CloseBlock) && !kind.only_first_on_line()
}

fn entries<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, Vec<Range>, Extra<X>> + Clone {
    run(is_entry_word, "an entry").separated_by(just(Tok::Semicolon)).allow_trailing().at_least(1).collect()
}

fn job<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, Job, Extra<X>> + Clone {
    let entry = run(|kind| is_entry_word(kind) && !is_job_word(kind), "an entry");
    // `given equipped with air springs` is one line, though `equipped with` may begin one.
    let equipped = one_of([Tok::EquippedWith, Tok::NotEquippedWith]).or_not();
    let given = token(Tok::Given)
        .then(
            ranged(equipped.then(entry.clone()))
                .separated_by(just(Tok::Semicolon))
                .allow_trailing()
                .collect::<Vec<_>>(),
        )
        .map(|(word, entries)| JobLine { word, entries });
    let line = token_where(|kind| is_job_word(kind) && kind != Tok::Given)
        .then(entry.separated_by(just(Tok::Semicolon)).allow_trailing().collect::<Vec<_>>())
        .map(|(word, entries)| JobLine { word, entries })
        .or(given)
        .labelled("a line of the job (vehicle, work, found, given ...)");
    just(Tok::Job)
        .ignore_then(text().labelled("the job's name in quotes"))
        .then(just(Tok::Dated).ignore_then(date()).or_not())
        .then(line.repeated().collect::<Vec<_>>())
        .map(|((name, dated), lines)| Job { name, dated, lines })
}

fn token_where<'t, X: Complaint<'t>>(accept: fn(Tok) -> bool) -> impl Parser<'t, Input<'t>, u32, Extra<X>> + Clone {
    any().filter(move |&kind| accept(kind)).map_with(|_, at| {
        let span: SimpleSpan = at.span();
        let base: &mut SimpleState<u32> = at.state();
        base.0 + span.start as u32
    })
}

fn test<'t, X: Complaint<'t>>() -> impl Parser<'t, Input<'t>, Test, Extra<X>> + Clone {
    let suppose = just(Tok::Suppose).ignore_then(entries()).map(TestLine::Suppose);
    let expect = just(Tok::Expect).ignore_then(run(is_entry_word, "an expectation")).map(TestLine::Expect);
    let table = table().map(|row| TestLine::Table(vec![row]));
    just(Tok::Test)
        .ignore_then(text().labelled("the test's name in quotes"))
        .then(choice((suppose, expect, table)).labelled("suppose, expect or table").repeated().collect::<Vec<_>>())
        .map(|(name, lines)| Test { name, lines })
}

fn is_cell_word(kind: Tok) -> bool {
    is_entry_word(kind) || kind == Tok::Semicolon
}

/// Cuts the tables of a test or rule into rows at the ends of lines, and the rows into cells at bars.
pub fn cut_rows(item: &mut ItemKind, tokens: &Tokens) {
    if let ItemKind::Rule(rule) = item {
        for clause in &mut rule.clauses {
            if let RuleClause::Table(rows) = clause
                && let Some(whole) = rows.first().map(|row| row.row.range)
            {
                let cut = rows_of(whole, tokens).into_iter();
                *rows = cut.map(|row| RuleRow { row, said: Vec::new() }).collect();
            }
        }
    }
    let ItemKind::Test(test) = item else { return };
    for line in &mut test.lines {
        let TestLine::Table(rows) = line else {
            continue;
        };
        let Some(whole) = rows.first().map(|row| row.range) else {
            continue;
        };
        *rows = rows_of(whole, tokens);
    }
}

fn rows_of(whole: Range, tokens: &Tokens) -> Vec<Row> {
    let from = tokens.line_starts.partition_point(|&start| start <= whole.first);
    let ends = tokens.line_starts.iter().skip(from).copied().take_while(|&start| start < whole.end).chain([whole.end]);
    let mut rows = Vec::new();
    let mut first = whole.first;
    for end in ends {
        // A line that does not begin with a bar goes on with the row above it.
        if end < whole.end && tokens.kind(end) != Some(Tok::Bar) {
            continue;
        }
        let mut cells = Vec::new();
        let mut cell = Range { first: first + 1, end: first + 1 };
        for index in first + 1..end {
            if tokens.kind(index) == Some(Tok::Bar) {
                cells.push(Range { end: index, ..cell });
                cell.first = index + 1;
            }
        }
        // The bar that closes a row may be left out.
        if cell.first < end {
            cells.push(Range { end, ..cell });
        }
        rows.push(Row { range: Range { first, end }, cells });
        first = end;
    }
    rows
}
