//! Tokens: one byte each, with their spans beside them, and which of them stand first on a line.
//!
//! Lexing never fails: what has no meaning becomes [`Tok::Bad`] or [`Tok::OpenText`] and is reported
//! by the parser, so that everything around it is still read.

mod lexer;
mod spelling;

use logos::Logos;

pub use lexer::{Tokens, lex};
use spelling::spelling;

/// The kind of a token. It holds no text: that is the source's, at the token's span.
#[derive(Logos, Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[logos(skip r"[ \t]+")]
// Letters of other alphabets, `°` and `µ`. Left out are punctuation, spaces, signs and pictures, so that
// `“` or `≥` is reported at its place; and accents apart from their letter, or two names that look alike
// could differ.
#[logos(subpattern letter = r"[\u{b0}\u{b5}\u{c0}-\u{d6}\u{d8}-\u{f6}\u{f8}-\u{2ff}\u{370}-\u{167f}\u{1681}-\u{1fff}\u{2100}-\u{218f}\u{2c00}-\u{2dff}\u{2e80}-\u{2fff}\u{3005}-\u{3007}\u{3031}-\u{3035}\u{3040}-\u{d7ff}\u{f900}-\u{fe0f}\u{fe70}-\u{fefe}\u{ff10}-\u{ff19}\u{ff21}-\u{ff3a}\u{ff41}-\u{ff5a}\u{ff66}-\u{ffdc}\u{10000}-\u{1cfff}\u{20000}-\u{3ffff}]")]
pub enum Tok {
    // What ends a line. A bare carriage return does too, or it would hide the item after it.
    /// The end of a line; never stored.
    #[regex(r"\r\n|\n|\r")]
    Newline,
    /// A comment; stored apart from the tokens.
    #[regex(r"#[^\r\n]*", allow_greedy = true)]
    Comment,

    // Words and values.
    /// A word that is none of those below.
    #[regex(r"([A-Za-z]|(?&letter))([A-Za-z0-9'/\-]|(?&letter))*", priority = 3)]
    Word,
    /// A number, perhaps negative, or a byte in hexadecimal, `0x2F`.
    #[regex(r"-?[0-9]+(\.[0-9]+)?", priority = 5)]
    #[regex(r"0x[0-9A-Fa-f]{2}", priority = 7)]
    Number,
    /// Digits with commas in them, as in `1,200`, which could be read in two ways.
    #[regex(r"-?[0-9]+(,[0-9]{3})+(\.[0-9]+)?", priority = 6)]
    ThousandsNumber,
    /// A date, `2026-02-11`; whether it exists is checked later.
    #[regex(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", priority = 7)]
    Date,
    /// A time of day, `09:14`.
    #[regex(r"[0-9]{1,2}:[0-9]{2}", priority = 7)]
    Time,
    /// A text in quotes.
    #[regex(r#""[^"\r\n]*""#, priority = 8)]
    Text,
    /// A text whose closing quote is missing on its line.
    #[regex(r#""[^"\r\n]*"#, priority = 2)]
    OpenText,

    // Marks.
    /// `(`
    #[token("(")]
    OpenBracket,
    /// `)`
    #[token(")")]
    CloseBracket,
    /// `{`
    #[token("{")]
    OpenBlock,
    /// `}`
    #[token("}")]
    CloseBlock,
    /// `,`
    #[token(",")]
    Comma,
    /// `;`
    #[token(";")]
    Semicolon,
    /// `|`
    #[token("|")]
    Bar,
    /// `:`
    #[token(":")]
    Colon,
    /// `±` or `+/-`
    #[token("±")]
    #[token("+/-")]
    PlusMinus,
    /// `%`
    #[token("%")]
    Percent,
    /// A character with no meaning here.
    Bad,

    // Connecting words: never part of a term.
    /// `and`
    #[token("and", ignore(case))]
    And,
    /// `or`
    #[token("or", ignore(case))]
    Or,
    /// `not`
    #[token("not", ignore(case))]
    Not,
    /// `of`
    #[token("of", ignore(case))]
    Of,
    /// `to`
    #[token("to", ignore(case))]
    To,
    /// `on`
    #[token("on", ignore(case))]
    On,
    /// `in`
    #[token("in", ignore(case))]
    In,
    /// `from`
    #[token("from", ignore(case))]
    From,
    /// `when`
    #[token("when", ignore(case))]
    When,
    /// `unless`
    #[token("unless", ignore(case))]
    Unless,
    /// `then`
    #[token("then", ignore(case))]
    Then,
    /// `that`
    #[token("that", ignore(case))]
    That,
    /// `any`
    #[token("any", ignore(case))]
    Any,
    /// `every`
    #[token("every", ignore(case))]
    Every,
    /// `no`
    #[token("no", ignore(case))]
    No,
    /// `is`
    #[token("is", ignore(case))]
    Is,
    /// `at`
    #[token("at", ignore(case))]
    At,
    /// `by`
    #[token("by", ignore(case))]
    By,
    /// `with`
    #[token("with", ignore(case))]
    With,
    /// `where`
    #[token("where", ignore(case))]
    Where,

    // Item words: themselves only as the first word of a line.
    /// `use`
    #[token("use", ignore(case))]
    Use,
    /// `maker`
    #[token("maker", ignore(case))]
    Maker,
    /// `part`
    #[token("part", ignore(case))]
    Part,
    /// `sensor`
    #[token("sensor", ignore(case))]
    Sensor,
    /// `system`
    #[token("system", ignore(case))]
    System,
    /// `module`
    #[token("module", ignore(case))]
    Module,
    /// `option`
    #[token("option", ignore(case))]
    Option,
    /// `kind`
    #[token("kind", ignore(case))]
    Kind,
    /// `operation`
    #[token("operation", ignore(case))]
    Operation,
    /// `event`
    #[token("event", ignore(case))]
    Event,
    /// `finding`
    #[token("finding", ignore(case))]
    Finding,
    /// `state`
    #[token("state", ignore(case))]
    State,
    /// `procedure`
    #[token("procedure", ignore(case))]
    Procedure,
    /// `measure`
    #[token("measure", ignore(case))]
    Measure,
    /// `condition`
    #[token("condition", ignore(case))]
    Condition,
    /// `choice`
    #[token("choice", ignore(case))]
    Choice,
    /// `quality`
    #[token("quality", ignore(case))]
    Quality,
    /// `zone`
    #[token("zone", ignore(case))]
    Zone,
    /// `line`
    #[token("line", ignore(case))]
    Line,
    /// `relation`
    #[token("relation", ignore(case))]
    Relation,
    /// `source`
    #[token("source", ignore(case))]
    Source,
    /// `for`
    #[token("for", ignore(case))]
    For,
    /// `rule`
    #[token("rule", ignore(case))]
    Rule,
    /// `job`
    #[token("job", ignore(case))]
    Job,
    /// `carrying out`
    #[regex(r"carrying[ \t]+out", priority = 9, ignore(case))]
    CarryingOut,
    /// `test`
    #[token("test", ignore(case))]
    Test,

    // Clause words that count only as the first word of a line.
    /// `says`
    #[token("says", ignore(case))]
    Says,
    /// `title`
    #[token("title", ignore(case))]
    Title,
    /// `issuer`
    #[token("issuer", ignore(case))]
    Issuer,
    /// `rank`
    #[token("rank", ignore(case))]
    Rank,
    /// `issued`
    #[token("issued", ignore(case))]
    Issued,
    /// `revised`
    #[token("revised", ignore(case))]
    Revised,
    /// `in force from`
    #[regex(r"in[ \t]+force[ \t]+from", priority = 9, ignore(case))]
    InForceFrom,
    /// `replaces`
    #[token("replaces", ignore(case))]
    Replaces,
    /// `review every`
    #[regex(r"review[ \t]+every", priority = 9, ignore(case))]
    ReviewEvery,
    /// `read in part`
    #[regex(r"read[ \t]+in[ \t]+part", priority = 9, ignore(case))]
    ReadInPart,
    /// `read from`
    #[regex(r"read[ \t]+from", priority = 9, ignore(case))]
    ReadFrom,
    /// `read as`
    #[regex(r"read[ \t]+as", priority = 9, ignore(case))]
    ReadAs,
    /// `could also be read as`
    #[regex(r"could[ \t]+also[ \t]+be[ \t]+read[ \t]+as", priority = 9, ignore(case))]
    CouldAlsoBeReadAs,
    /// `borrowed from`
    #[regex(r"borrowed[ \t]+from", priority = 9, ignore(case))]
    BorrowedFrom,
    /// `encoded by`
    #[regex(r"encoded[ \t]+by", priority = 9, ignore(case))]
    EncodedBy,
    /// `carries over`
    #[regex(r"carries[ \t]+over", priority = 9, ignore(case))]
    CarriesOver,
    /// `defers to`
    #[regex(r"defers[ \t]+to", priority = 9, ignore(case))]
    DefersTo,
    /// `prevails over`
    #[regex(r"prevails[ \t]+over", priority = 9, ignore(case))]
    PrevailsOver,
    /// `takes no view on`
    #[regex(r"takes[ \t]+no[ \t]+view[ \t]+on", priority = 9, ignore(case))]
    TakesNoViewOn,
    /// `in it`
    #[regex(r"in[ \t]+it", priority = 9, ignore(case))]
    InIt,
    /// `without it`
    #[regex(r"without[ \t]+it", priority = 9, ignore(case))]
    WithoutIt,
    /// `gives way to`
    #[regex(r"gives[ \t]+way[ \t]+to", priority = 9, ignore(case))]
    GivesWayTo,
    /// `involves`
    #[token("involves", ignore(case))]
    Involves,
    /// `ready when`
    #[regex(r"ready[ \t]+when", priority = 9, ignore(case))]
    ReadyWhen,
    /// `good when`
    #[regex(r"good[ \t]+when", priority = 9, ignore(case))]
    GoodWhen,
    /// `throughout`
    #[token("throughout", ignore(case))]
    Throughout,
    /// `wait at least`
    #[regex(r"wait[ \t]+at[ \t]+least", priority = 9, ignore(case))]
    WaitAtLeast,
    /// `step`
    #[token("step", ignore(case))]
    Step,
    /// `takes`
    #[token("takes", ignore(case))]
    Takes,
    /// `if shown`
    #[regex(r"if[ \t]+shown", priority = 9, ignore(case))]
    IfShown,
    /// `needs`
    #[token("needs", ignore(case))]
    Needs,
    /// `mark`
    #[token("mark", ignore(case))]
    Mark,
    /// `place`
    #[token("place", ignore(case))]
    Place,
    /// `drive`
    #[token("drive", ignore(case))]
    Drive,
    /// `vehicle`
    #[token("vehicle", ignore(case))]
    Vehicle,
    /// `equipped with`, first on a line
    #[regex(r"equipped[ \t]+with", priority = 9, ignore(case))]
    EquippedWith,
    /// `not equipped with`
    #[regex(r"not[ \t]+equipped[ \t]+with", priority = 9, ignore(case))]
    NotEquippedWith,
    /// `equipment is complete`
    #[regex(r"equipment[ \t]+is[ \t]+complete", priority = 9, ignore(case))]
    EquipmentIsComplete,
    /// `work`
    #[token("work", ignore(case))]
    Work,
    /// `work is complete`
    #[regex(r"work[ \t]+is[ \t]+complete", priority = 9, ignore(case))]
    WorkIsComplete,
    /// `also`
    #[token("also", ignore(case))]
    Also,
    /// `nothing else came off`
    #[regex(r"nothing[ \t]+else[ \t]+came[ \t]+off", priority = 9, ignore(case))]
    NothingElseCameOff,
    /// `found`
    #[token("found", ignore(case))]
    Found,
    /// `looked over`
    #[regex(r"looked[ \t]+over", priority = 9, ignore(case))]
    LookedOver,
    /// `happened`
    #[token("happened", ignore(case))]
    Happened,
    /// `not happened`
    #[regex(r"not[ \t]+happened", priority = 9, ignore(case))]
    NotHappened,
    /// `measured`
    #[token("measured", ignore(case))]
    Measured,
    /// `given`
    #[token("given", ignore(case))]
    Given,
    /// `judged`
    #[token("judged", ignore(case))]
    Judged,
    /// `done`
    #[token("done", ignore(case))]
    Done,
    /// `in hand`
    #[regex(r"in[ \t]+hand", priority = 9, ignore(case))]
    InHand,
    /// `new`
    #[token("new", ignore(case))]
    New,
    /// `old`
    #[token("old", ignore(case))]
    Old,
    /// `shop`
    #[token("shop", ignore(case))]
    Shop,
    /// `scan`
    #[token("scan", ignore(case))]
    Scan,
    /// `suppose`
    #[token("suppose", ignore(case))]
    Suppose,
    /// `expect`
    #[token("expect", ignore(case))]
    Expect,
    /// `table`
    #[token("table", ignore(case))]
    Table,

    // Clause words wherever they stand.
    /// `cites`
    #[token("cites", ignore(case))]
    Cites,
    /// `because`
    #[token("because", ignore(case))]
    Because,
    /// `because of`
    #[regex(r"because[ \t]+of", priority = 9, ignore(case))]
    BecauseOf,
    /// `in the words`
    #[regex(r"in[ \t]+the[ \t]+words", priority = 9, ignore(case))]
    InTheWords,
    /// `require`
    #[token("require", ignore(case))]
    Require,
    /// `require either`
    #[regex(r"require[ \t]+either", priority = 9, ignore(case))]
    RequireEither,
    /// `advise`
    #[token("advise", ignore(case))]
    Advise,
    /// `advise either`
    #[regex(r"advise[ \t]+either", priority = 9, ignore(case))]
    AdviseEither,
    /// `waive`
    #[token("waive", ignore(case))]
    Waive,
    /// `forbid`
    #[token("forbid", ignore(case))]
    Forbid,
    /// `allow`
    #[token("allow", ignore(case))]
    Allow,
    /// `allow only`
    #[regex(r"allow[ \t]+only", priority = 9, ignore(case))]
    AllowOnly,
    /// `leave open`
    #[regex(r"leave[ \t]+open", priority = 9, ignore(case))]
    LeaveOpen,
    /// `set`
    #[token("set", ignore(case))]
    Set,
    /// `hold`
    #[token("hold", ignore(case))]
    Hold,
    /// `ask`
    #[token("ask", ignore(case))]
    Ask,
    /// `warn`
    #[token("warn", ignore(case))]
    Warn,
    /// `until then`
    #[regex(r"until[ \t]+then", priority = 9, ignore(case))]
    UntilThen,
    /// `says nothing of`
    #[regex(r"says[ \t]+nothing[ \t]+of", priority = 12, ignore(case))]
    SaysNothingOf,
    /// `others not listed`
    #[regex(r"others[ \t]+not[ \t]+listed", priority = 12, ignore(case))]
    OthersNotListed,
    /// `after`
    #[token("after", ignore(case))]
    After,
    /// `until`
    #[token("until", ignore(case))]
    Until,
    /// `section`
    #[token("section", ignore(case))]
    Section,
    /// `except section`
    #[regex(r"except[ \t]+section", priority = 9, ignore(case))]
    ExceptSection,
    /// `per`
    #[token("per", ignore(case))]
    Per,
    /// `dated`
    #[token("dated", ignore(case))]
    Dated,
    /// `checked`
    #[token("checked", ignore(case))]
    Checked,
    /// `second reading by`
    #[regex(r"second[ \t]+reading[ \t]+by", priority = 9, ignore(case))]
    SecondReadingBy,
    /// `also written`
    #[regex(r"also[ \t]+written", priority = 9, ignore(case))]
    AlsoWritten,
    /// `counts as`
    #[regex(r"counts[ \t]+as", priority = 9, ignore(case))]
    CountsAs,
    /// `disturbs nothing`
    #[regex(r"disturbs[ \t]+nothing", priority = 9, ignore(case))]
    DisturbsNothing,
    /// `disturbs when changed`
    #[regex(r"disturbs[ \t]+when[ \t]+changed", priority = 9, ignore(case))]
    DisturbsWhenChanged,
    /// `passes along`
    #[regex(r"passes[ \t]+along", priority = 9, ignore(case))]
    PassesAlong,
    /// `passes disturbance`
    #[regex(r"passes[ \t]+disturbance", priority = 9, ignore(case))]
    PassesDisturbance,
    /// `serves`
    #[token("serves", ignore(case))]
    Serves,
    /// `asked as`
    #[regex(r"asked[ \t]+as", priority = 9, ignore(case))]
    AskedAs,
    /// `judged by a person`
    #[regex(r"judged[ \t]+by[ \t]+a[ \t]+person", priority = 9, ignore(case))]
    JudgedByAPerson,
    /// `ends in`
    #[regex(r"ends[ \t]+in", priority = 9, ignore(case))]
    EndsIn,
    /// `carried out by`
    #[regex(r"carried[ \t]+out[ \t]+by", priority = 9, ignore(case))]
    CarriedOutBy,
    /// `concerns`
    #[token("concerns", ignore(case))]
    Concerns,
    /// `one of`
    #[regex(r"one[ \t]+of", priority = 9, ignore(case))]
    OneOf,
    /// `puts on another part`
    #[regex(r"puts[ \t]+on[ \t]+another[ \t]+part", priority = 9, ignore(case))]
    PutsOnAnotherPart,
    /// `doing`
    #[token("doing", ignore(case))]
    Doing,
    /// `on the way`
    #[regex(r"on[ \t]+the[ \t]+way", priority = 9, ignore(case))]
    OnTheWay,
    /// `positive`
    #[token("positive", ignore(case))]
    Positive,
    /// `makes`
    #[token("makes", ignore(case))]
    Makes,
}

impl Tok {
    /// Whether the token begins an item when it stands first on a line.
    pub fn is_item_word(self) -> bool {
        (Tok::Use as u8..=Tok::Test as u8).contains(&(self as u8))
    }

    /// Whether the token is itself only as the first word of a line, else an ordinary word. What is
    /// made of several words keeps its kind everywhere.
    pub(crate) fn only_first_on_line(self) -> bool {
        (Tok::Use as u8..=Tok::Table as u8).contains(&(self as u8)) && !self.is_several_words()
    }

    /// Whether the token is made of several words, such as `counts as`.
    pub fn is_several_words(self) -> bool {
        spelling(self).contains(' ') && self as u8 >= Tok::Use as u8
    }

    /// Whether the token is a connecting word, which no term may hold.
    pub fn is_connecting(self) -> bool {
        (Tok::And as u8..=Tok::Where as u8).contains(&(self as u8))
    }

    /// Whether the token begins a clause of a declaration.
    pub fn begins_declaration_clause(self) -> bool {
        (Tok::AlsoWritten as u8..=Tok::Makes as u8).contains(&(self as u8))
    }

    /// Whether a word of a term may be of this kind: a word, a number, or one of the single words that
    /// are clause words wherever they stand (`part hold down clip`). A word that counts only first on
    /// its line is out of its place as [`Tok::Word`] and in its place never part of a term.
    pub fn is_wordlike(self) -> bool {
        matches!(self, Tok::Word | Tok::Number) || (self as u8 >= Tok::Cites as u8 && !self.is_several_words())
    }

    /// Whether a line that begins with this token states a fact or declares nothing, so that it begins
    /// an item of its own.
    pub(crate) fn begins_fact(self) -> bool {
        matches!(self, Tok::Word | Tok::Every | Tok::No | Tok::Any | Tok::Bad | Tok::OpenText)
    }

    /// The token as a person would write it, for messages.
    pub fn spelling(self) -> &'static str {
        spelling(self)
    }
}
