//! The tree of one text: items and their clauses, with sentences still as ranges of tokens.
//!
//! Every range counts tokens of the whole text, so the tree holds no text of its own.

/// The index of one token.
pub type TokenId = u32;

/// Tokens `first` to `end`, `end` not included.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Range {
    /// The first token.
    pub first: TokenId,
    /// One past the last token.
    pub end: TokenId,
}

impl Range {
    /// How many tokens.
    pub fn len(self) -> u32 {
        self.end.saturating_sub(self.first)
    }

    /// Whether it holds no token.
    pub fn is_empty(self) -> bool {
        self.end <= self.first
    }
}

/// A whole text.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct File {
    /// The items in the order of the text.
    pub items: Vec<Item>,
}

/// One item and the tokens it takes.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// All tokens of the item.
    pub range: Range,
    /// What it is.
    pub kind: ItemKind,
}

/// What an item is.
#[derive(Clone, Debug, PartialEq)]
pub enum ItemKind {
    /// `use "file"`.
    Use(TokenId),
    /// A word and what is known of it.
    Declaration(Declaration),
    /// A document.
    Source(Source),
    /// `for CARS { items }`.
    Scope(Scope),
    /// A sentence that states a fact.
    Fact(Fact),
    /// A rule.
    Rule(Rule),
    /// What carrying out a procedure takes.
    CarryingOut(CarryingOut),
    /// A job.
    Job(Job),
    /// A test.
    Test(Test),
    /// An item that could not be read; what is wrong with it is among the problems.
    Broken,
}

/// The class a declaration begins with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Class {
    /// A vehicle maker.
    Maker,
    /// A part.
    Part,
    /// A part that senses.
    Sensor,
    /// A function for the driver.
    System,
    /// A control unit.
    Module,
    /// An option a car may have.
    Option,
    /// A class of parts or sensors.
    Kind,
    /// Something done to a part.
    Operation,
    /// Something that happens.
    Event,
    /// Something seen on a part.
    Finding,
    /// A state that rules derive.
    State,
    /// What must be done.
    Procedure,
    /// A quantity that is measured.
    Measure,
    /// A yes-or-no fact about the car or the shop.
    Condition,
    /// One of several values.
    Choice,
    /// What a part may be beside new or old, such as painted.
    Quality,
    /// A region of a part.
    Zone,
    /// Parts one after the other.
    Line,
    /// A tie between parts.
    Relation,
    /// A class of the design that is not evaluated yet.
    Later,
}

/// A declaration: its class, its head up to the first clause, split at commas, and its clauses.
#[derive(Clone, Debug, PartialEq)]
pub struct Declaration {
    /// What is declared.
    pub class: Class,
    /// The name and what stands on the same line (relations, `of`, `in`, `on`), split at commas.
    pub head: Vec<Range>,
    /// The clauses.
    pub clauses: Vec<DeclarationClause>,
}

/// A clause of a declaration.
#[derive(Clone, Debug, PartialEq)]
pub enum DeclarationClause {
    /// `also written "...", "..."`
    AlsoWritten(Vec<TokenId>),
    /// `counts as A, B`
    CountsAs(Vec<Range>),
    /// `disturbs nothing`
    DisturbsNothing(TokenId),
    /// `puts on another part`
    PutsOnAnotherPart(TokenId),
    /// `disturbs when changed over 5 mm either way`: the limit
    DisturbsWhenChanged(Range),
    /// `passes along`
    PassesAlong(TokenId),
    /// `passes disturbance`
    PassesDisturbance(TokenId),
    /// `serves A, B`
    Serves(Vec<Range>),
    /// `asked as "..."`
    AskedAs(TokenId),
    /// `judged by a person`
    JudgedByAPerson(TokenId),
    /// `ends in A, B`
    EndsIn(Vec<Range>),
    /// `carried out by OPERATION [, OPERATION]`
    CarriedOutBy(Vec<Range>),
    /// `concerns SENSOR [, SENSOR]`
    Concerns(Vec<Range>),
    /// `one of A, B`
    OneOf(Vec<Range>),
    /// `doing "..."`
    Doing(TokenId),
    /// `on the way "..."`
    OnTheWay(TokenId),
    /// `positive "..."`
    Positive(TokenId),
    /// `makes A, B`
    Makes(Vec<Range>),
}

/// A document.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Its short name.
    pub name: Range,
    /// What is known of it.
    pub clauses: Vec<SourceClause>,
}

/// A clause of a source.
#[derive(Clone, Debug, PartialEq)]
pub enum SourceClause {
    /// `title "..."`
    Title(TokenId),
    /// `issuer NAME`
    Issuer(Range),
    /// `rank ...`
    Rank(Range),
    /// `issued DATE`
    Issued(TokenId),
    /// `revised DATE`
    Revised(TokenId),
    /// `in force from DATE`
    InForceFrom(TokenId),
    /// `replaces SOURCE [section "..."] [for CARS]`
    Replaces(Portion),
    /// `carries over SOURCE [except section "..."] [for CARS]`
    CarriesOver(Portion),
    /// `prevails over SOURCE`, or a rank and perhaps `issued before it`
    PrevailsOver(Vec<Range>),
    /// `defers to SOURCE`, or a rank and perhaps `issued after it`
    DefersTo(Vec<Range>),
    /// `takes no view on "...", TERM`: names, or words of the document in quotes
    TakesNoViewOn(Vec<Range>),
    /// `review every N months, checked DATE`
    Review {
        /// How often, such as `12 months`.
        every: Range,
        /// When last checked.
        checked: Option<TokenId>,
    },
    /// `read in part`
    ReadInPart(TokenId),
    /// `read from "..."`
    ReadFrom(TokenId),
    /// `borrowed from CAR`
    BorrowedFrom(Range),
    /// `encoded by "...", second reading by "..."`
    EncodedBy {
        /// Who encoded it.
        by: TokenId,
        /// Who read it a second time.
        second: Option<TokenId>,
    },
    /// `in it "..." means TERM`, or several of what happens to a part with `or`
    InIt {
        /// The words of the document.
        phrase: TokenId,
        /// What they mean.
        meaning: Range,
    },
}

/// Another source, whole or in part: `SOURCE [section "...", "..." | except section "...", "..."] [for CARS]`.
#[derive(Clone, Debug, PartialEq)]
pub struct Portion {
    /// The source, and `for CARS` where no section stands between: where its name ends depends on the sources.
    pub source: Range,
    /// Whether the sections are those left out.
    pub except: bool,
    /// The sections; none for the whole of it.
    pub sections: Vec<TokenId>,
    /// What follows: the rest of `for CARS`.
    pub rest: Range,
}

/// `for CARS { ... }`.
#[derive(Clone, Debug, PartialEq)]
pub struct Scope {
    /// Which cars.
    pub cars: Range,
    /// What holds for them.
    pub items: Vec<Item>,
}

/// A sentence that states a fact, with its citation.
#[derive(Clone, Debug, PartialEq)]
pub struct Fact {
    /// The sentence, with its commas.
    pub sentence: Range,
    /// `per SOURCE ...`; or who says nothing of the sentence.
    pub per: Option<Reference>,
    /// `SOURCE says nothing of SENTENCE`.
    pub silent: bool,
}

/// A place in a source.
#[derive(Clone, Debug, PartialEq)]
pub struct Reference {
    /// The source's short name.
    pub source: Range,
    /// Its revision or issue date.
    pub of: Option<TokenId>,
    /// The section.
    pub section: Option<TokenId>,
}

/// A rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Rule {
    /// Its name, a text.
    pub name: TokenId,
    /// Its clauses in the order of the text.
    pub clauses: Vec<RuleClause>,
}

/// A clause of a rule.
#[derive(Clone, Debug, PartialEq)]
pub enum RuleClause {
    /// `cites SOURCE ...`
    Cites(Reference),
    /// `says "..."`
    Says(TokenId),
    /// `when ...`
    When(Condition),
    /// `unless ...`
    Unless(Condition),
    /// `then ...`
    Then(Vec<Conclusion>),
    /// `because "..."`
    Because(TokenId),
    /// `without it "..."`
    WithoutIt(TokenId),
    /// `gives way to "...", "..."`
    GivesWayTo(Vec<TokenId>),
    /// `read as "..." because "..."`
    ReadAs {
        /// The reading taken.
        reading: TokenId,
        /// Why.
        because: Option<TokenId>,
    },
    /// `could also be read as when ...`, `... unless ...` or `... then ...`: a reading with this clause instead.
    CouldAlsoBeReadAs(Box<RuleClause>),
    /// `table` and its rows, the first of them the heads: each other row is a rule of its own.
    Table(Vec<RuleRow>),
}

/// One row of a table of a rule.
#[derive(Clone, Debug, PartialEq)]
pub struct RuleRow {
    /// Its tokens and its cells.
    pub row: Row,
    /// What each cell says.
    pub said: Vec<Cell>,
}

/// What a cell of a table of a rule says, read as its head asks.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// Nothing.
    Empty,
    /// A condition, below `when` or `unless`.
    Condition(Condition),
    /// Conclusions, below `then`.
    Conclusions(Vec<Conclusion>),
    /// Anything else: a text, or words of a sentence.
    Words(Range),
}

/// `carrying out P of S`: what carrying out a procedure takes.
#[derive(Clone, Debug, PartialEq)]
pub struct CarryingOut {
    /// Procedure and subject.
    pub what: Range,
    /// Its clauses in the order of the text.
    pub clauses: Vec<CarryingOutClause>,
}

/// A clause of `carrying out`.
#[derive(Clone, Debug, PartialEq)]
pub enum CarryingOutClause {
    /// `cites SOURCE ...`
    Cites(Reference),
    /// `says "..."`
    Says(TokenId),
    /// `involves HAPPENING, HAPPENING [when CONDITION]`
    Involves {
        /// What happens by carrying it out.
        what: Vec<Range>,
        /// Only then.
        when: Option<Condition>,
    },
    /// What is told to whoever carries it out.
    Instruction {
        /// What.
        what: Instruction,
        /// Only then.
        when: Option<Condition>,
        /// All of it.
        range: Range,
    },
    /// A clause of the language that is not evaluated yet.
    Later(Range),
}

/// What is told to whoever carries a procedure out.
#[derive(Clone, Debug, PartialEq)]
pub enum Instruction {
    /// `ready when CONDITION`
    ReadyWhen(Condition),
    /// `good when CONDITION`
    GoodWhen(Condition),
    /// `throughout CONDITION`
    Throughout(Condition),
    /// `step "..."`
    Step(TokenId),
    /// `takes 35 min`
    Takes(Range),
    /// `wait at least 4 min after "..."`
    Wait {
        /// How long.
        least: Range,
        /// After what.
        after: TokenId,
    },
    /// `if shown "..." check "...", "..."`
    IfShown {
        /// What shows.
        shown: TokenId,
        /// The word `check`.
        check: TokenId,
        /// What to look at.
        at: Vec<TokenId>,
    },
}

/// `and` or `or`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Joint {
    /// `and`
    And,
    /// `or`
    Or,
}

/// Sentences joined by `and` and `or`, not grouped yet: which words an `or` joins depends on the
/// vocabulary (`left or right headlamp replaced` is one sentence).
#[derive(Clone, Debug, PartialEq)]
pub struct Condition {
    /// All its tokens.
    pub range: Range,
    /// The first limb.
    pub first: Limb,
    /// The others, each with what joins it to the one before and the token that does.
    pub rest: Vec<(Joint, TokenId, Limb)>,
}

/// One limb of a condition.
#[derive(Clone, Debug, PartialEq)]
pub enum Limb {
    /// A sentence.
    Sentence(Range),
    /// `not` and what it denies.
    Not(TokenId, Box<Limb>),
    /// A condition in brackets.
    Group(Box<Condition>),
    /// A sentence in two cells of a table: who, and one of these things that happen to it. The parser makes none; what
    /// takes a row apart does.
    Apart {
        /// Who it happens to.
        subject: Range,
        /// What happens.
        happenings: Vec<Range>,
    },
}

/// One conclusion of a rule.
#[derive(Clone, Debug, PartialEq)]
pub struct Conclusion {
    /// All its tokens.
    pub range: Range,
    /// What it concludes.
    pub kind: ConclusionKind,
}

/// What a rule concludes.
#[derive(Clone, Debug, PartialEq)]
pub enum ConclusionKind {
    /// `require P of S`
    Require {
        /// Procedure and subject.
        what: Range,
        /// The source's strength word.
        words: Option<TokenId>,
    },
    /// `require either P of S or Q of S`, or `advise either ...`
    Either {
        /// Advised, not required.
        advised: bool,
        /// The duties, any one of which will do.
        ways: Vec<Range>,
        /// The source's strength word.
        words: Option<TokenId>,
    },
    /// `require P of A, B and others not listed`, or `advise ...`
    OpenList {
        /// Advised, not required.
        advised: bool,
        /// Procedure and subject, then each further subject.
        listed: Vec<Range>,
        /// The source's strength word.
        words: Option<TokenId>,
    },
    /// `advise P of S`
    Advise {
        /// Procedure and subject.
        what: Range,
        /// The source's strength word.
        words: Option<TokenId>,
    },
    /// `leave open P of S because "..."`
    LeaveOpen {
        /// Procedure and subject.
        what: Range,
        /// Why.
        because: TokenId,
    },
    /// `waive P of S after SENTENCE`, or `waive what "rule" asks`
    Waive {
        /// Procedure and subject with the cause it is waived for, or the rule named. Where the procedure
        /// ends depends on the vocabulary: `scan after repair` may be one.
        what: Range,
    },
    /// `forbid DOING of PART`
    Forbid {
        /// Operation, part and zone.
        what: Range,
    },
    /// `allow DOING of PART where CONDITION`, or `allow only ...`
    Allow {
        /// Beyond the limit it is forbidden.
        only: bool,
        /// Operation, part and zone.
        what: Range,
        /// Up to where.
        limit: Option<Condition>,
    },
    /// `set MEASURE of P of S to VALUE, LIMIT`, or `set MEASURE of P of S by KEY, LIMIT: ROW; ROW`
    Set {
        /// Measure, procedure and subject.
        what: Range,
        /// The case it goes by, and perhaps a limit for all rows.
        by: Option<Range>,
        /// The rows: case and value, which the vocabulary tells apart; without `by` the one value.
        rows: Vec<Range>,
    },
    /// `hold P of S until CONDITION`
    Hold {
        /// Procedure and subject.
        what: Range,
        /// Until when.
        until: Condition,
    },
    /// `gap as printed` in a table, of what its other rows ask. The parser makes none; what takes a row apart does.
    Gap(Range),
    /// `ask "..."`
    Ask(TokenId),
    /// `warn "..."`
    Warn(TokenId),
    /// `until then SYSTEM is off`: the sentence
    UntilThen(Range),
    /// `A before B`, or `SUBJECT is STATE`
    Statement(Range),
}

/// A job.
#[derive(Clone, Debug, PartialEq)]
pub struct Job {
    /// Its name, a text.
    pub name: TokenId,
    /// The date it is decided as of.
    pub dated: Option<TokenId>,
    /// Its lines.
    pub lines: Vec<JobLine>,
}

/// One line of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct JobLine {
    /// The word the line begins with.
    pub word: TokenId,
    /// What follows it, split at `;`. Each may hold commas.
    pub entries: Vec<Range>,
}

/// A test.
#[derive(Clone, Debug, PartialEq)]
pub struct Test {
    /// Its name, a text.
    pub name: TokenId,
    /// Its lines.
    pub lines: Vec<TestLine>,
}

/// One line of a test.
#[derive(Clone, Debug, PartialEq)]
pub enum TestLine {
    /// `suppose A; B`
    Suppose(Vec<Range>),
    /// `expect ...`
    Expect(Range),
    /// `table` and its rows, the first of them the heads.
    Table(Vec<Row>),
}

/// One row of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// All its tokens.
    pub range: Range,
    /// Its cells; a cell may be empty.
    pub cells: Vec<Range>,
}
