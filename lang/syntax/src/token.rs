//! Tokens: one byte each, with their spans beside them, and which of them stand first on a line.
//!
//! Lexing never fails: what has no meaning becomes [`Tok::Bad`] or [`Tok::OpenText`] and is reported
//! by the parser, so that everything around it is still read.

use knockon_text::neutral::is_hidden;
use logos::Logos;

/// The kind of a token. It holds no text: that is the source's, at the token's span.
#[derive(Logos, Clone, Copy, Debug, PartialEq, Eq, Hash)]
#[logos(skip r"[ \t]+")]
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
    #[regex(r"[A-Za-z\u{b0}\u{b5}\u{c0}-\u{10ffff}][A-Za-z0-9'/\-\u{b0}\u{b5}\u{c0}-\u{10ffff}]*", priority = 3)]
    Word,
    /// A number, perhaps negative.
    #[regex(r"-?[0-9]+(\.[0-9]+)?", priority = 5)]
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
    #[regex(r"in[ \t]+force[ \t]+from", priority = 9)]
    InForceFrom,
    /// `replaces`
    #[token("replaces", ignore(case))]
    Replaces,
    /// `review every`
    #[regex(r"review[ \t]+every", priority = 9)]
    ReviewEvery,
    /// `read in part`
    #[regex(r"read[ \t]+in[ \t]+part", priority = 9)]
    ReadInPart,
    /// `read from`
    #[regex(r"read[ \t]+from", priority = 9)]
    ReadFrom,
    /// `read as`
    #[regex(r"read[ \t]+as", priority = 9)]
    ReadAs,
    /// `could also be read as`
    #[regex(r"could[ \t]+also[ \t]+be[ \t]+read[ \t]+as", priority = 9)]
    CouldAlsoBeReadAs,
    /// `borrowed from`
    #[regex(r"borrowed[ \t]+from", priority = 9)]
    BorrowedFrom,
    /// `encoded by`
    #[regex(r"encoded[ \t]+by", priority = 9)]
    EncodedBy,
    /// `carries over`
    #[regex(r"carries[ \t]+over", priority = 9)]
    CarriesOver,
    /// `defers to`
    #[regex(r"defers[ \t]+to", priority = 9)]
    DefersTo,
    /// `takes no view on`
    #[regex(r"takes[ \t]+no[ \t]+view[ \t]+on", priority = 9)]
    TakesNoViewOn,
    /// `in it`
    #[regex(r"in[ \t]+it", priority = 9)]
    InIt,
    /// `without it`
    #[regex(r"without[ \t]+it", priority = 9)]
    WithoutIt,
    /// `gives way to`
    #[regex(r"gives[ \t]+way[ \t]+to", priority = 9)]
    GivesWayTo,
    /// `vehicle`
    #[token("vehicle", ignore(case))]
    Vehicle,
    /// `equipped with`, first on a line
    #[regex(r"equipped[ \t]+with", priority = 9)]
    EquippedWith,
    /// `not equipped with`
    #[regex(r"not[ \t]+equipped[ \t]+with", priority = 9)]
    NotEquippedWith,
    /// `equipment is complete`
    #[regex(r"equipment[ \t]+is[ \t]+complete", priority = 9)]
    EquipmentIsComplete,
    /// `work`
    #[token("work", ignore(case))]
    Work,
    /// `work is complete`
    #[regex(r"work[ \t]+is[ \t]+complete", priority = 9)]
    WorkIsComplete,
    /// `also`
    #[token("also", ignore(case))]
    Also,
    /// `nothing else came off`
    #[regex(r"nothing[ \t]+else[ \t]+came[ \t]+off", priority = 9)]
    NothingElseCameOff,
    /// `found`
    #[token("found", ignore(case))]
    Found,
    /// `looked over`
    #[regex(r"looked[ \t]+over", priority = 9)]
    LookedOver,
    /// `happened`
    #[token("happened", ignore(case))]
    Happened,
    /// `not happened`
    #[regex(r"not[ \t]+happened", priority = 9)]
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
    /// `new`
    #[token("new", ignore(case))]
    New,
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
    #[regex(r"because[ \t]+of", priority = 9)]
    BecauseOf,
    /// `in the words`
    #[regex(r"in[ \t]+the[ \t]+words", priority = 9)]
    InTheWords,
    /// `require`
    #[token("require", ignore(case))]
    Require,
    /// `advise`
    #[token("advise", ignore(case))]
    Advise,
    /// `waive`
    #[token("waive", ignore(case))]
    Waive,
    /// `forbid`
    #[token("forbid", ignore(case))]
    Forbid,
    /// `allow`
    #[token("allow", ignore(case))]
    Allow,
    /// `hold`
    #[token("hold", ignore(case))]
    Hold,
    /// A conclusion of the design that is not evaluated yet.
    #[token("ask", ignore(case))]
    #[token("warn", ignore(case))]
    #[regex(r"leave[ \t]+open", priority = 9)]
    #[regex(r"until[ \t]+then", priority = 9)]
    #[regex(r"allow[ \t]+only", priority = 9)]
    #[regex(r"require[ \t]+either", priority = 9)]
    LaterConclusion,
    /// `after`
    #[token("after", ignore(case))]
    After,
    /// `until`
    #[token("until", ignore(case))]
    Until,
    /// `section`
    #[token("section", ignore(case))]
    Section,
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
    #[regex(r"second[ \t]+reading[ \t]+by", priority = 9)]
    SecondReadingBy,
    /// `also written`
    #[regex(r"also[ \t]+written", priority = 9)]
    AlsoWritten,
    /// `counts as`
    #[regex(r"counts[ \t]+as", priority = 9)]
    CountsAs,
    /// `disturbs nothing`
    #[regex(r"disturbs[ \t]+nothing", priority = 9)]
    DisturbsNothing,
    /// `passes along`
    #[regex(r"passes[ \t]+along", priority = 9)]
    PassesAlong,
    /// `passes disturbance`
    #[regex(r"passes[ \t]+disturbance", priority = 9)]
    PassesDisturbance,
    /// `serves`
    #[token("serves", ignore(case))]
    Serves,
    /// `asked as`
    #[regex(r"asked[ \t]+as", priority = 9)]
    AskedAs,
    /// `judged by a person`
    #[regex(r"judged[ \t]+by[ \t]+a[ \t]+person", priority = 9)]
    JudgedByAPerson,
    /// `ends in`
    #[regex(r"ends[ \t]+in", priority = 9)]
    EndsIn,
    /// `one of`
    #[regex(r"one[ \t]+of", priority = 9)]
    OneOf,
    /// `doing`
    #[token("doing", ignore(case))]
    Doing,
    /// `on the way`
    #[regex(r"on[ \t]+the[ \t]+way", priority = 9)]
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
    fn only_first_on_line(self) -> bool {
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

    /// Whether a word of a term may be of this kind: a word, a number, or a clause word out of its place.
    pub fn is_wordlike(self) -> bool {
        matches!(self, Tok::Word | Tok::Number) || self as u8 >= Tok::Use as u8
    }

    /// Whether a line that begins with this token states a fact or declares nothing, so that it begins
    /// an item of its own.
    fn begins_fact(self) -> bool {
        matches!(self, Tok::Word | Tok::Every | Tok::No | Tok::Any | Tok::Bad | Tok::OpenText)
    }

    /// The token as a person would write it, for messages.
    pub fn spelling(self) -> &'static str {
        spelling(self)
    }
}

/// The tokens of one text.
#[derive(Clone, Debug, Default)]
pub struct Tokens {
    /// The kind of each token.
    pub kinds: Vec<Tok>,
    /// The bytes of each token, start and end.
    pub spans: Vec<(u32, u32)>,
    /// The tokens that stand first on a line, ascending.
    pub line_starts: Vec<u32>,
    /// The tokens that begin an item or close a block, ascending; token 0 is one if there is any.
    pub item_starts: Vec<u32>,
    /// The comments, each with its bytes and how many tokens stand before it.
    pub comments: Vec<(u32, u32, u32)>,
}

impl Tokens {
    /// The kind of token `index`, if there is one.
    pub fn kind(&self, index: u32) -> Option<Tok> {
        self.kinds.get(index as usize).copied()
    }

    /// The bytes of token `index`; the end of the last token where there is none.
    pub fn span(&self, index: u32) -> (u32, u32) {
        match self.spans.get(index as usize) {
            Some(&span) => span,
            None => {
                let end = self.spans.last().map_or(0, |&(_, end)| end);
                (end, end)
            }
        }
    }

    /// The text of token `index` in `text`, the source these tokens were made from.
    pub fn text<'s>(&self, text: &'s str, index: u32) -> &'s str {
        let (start, end) = self.span(index);
        text.get(start as usize..end as usize).unwrap_or("")
    }

    /// How many tokens there are.
    pub fn len(&self) -> u32 {
        self.kinds.len() as u32
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.kinds.is_empty()
    }
}

/// Cuts a text into tokens. Never fails; the text is at most 4 GiB.
pub fn lex(text: &str) -> Tokens {
    let mut tokens = Tokens {
        kinds: Vec::with_capacity(text.len() / 6),
        spans: Vec::with_capacity(text.len() / 6),
        line_starts: Vec::with_capacity(text.len() / 40),
        item_starts: Vec::with_capacity(text.len() / 160),
        comments: Vec::new(),
    };
    let mut first_on_line = true;
    let mut lexer = Tok::lexer(text);
    while let Some(found) = lexer.next() {
        let range = lexer.span();
        let (start, mut end) = (range.start as u32, range.end as u32);
        let mut kind = found.unwrap_or(Tok::Bad);
        match kind {
            Tok::Newline => {
                first_on_line = true;
                continue;
            }
            Tok::Comment => {
                tokens.comments.push((start, end, tokens.kinds.len() as u32));
                continue;
            }
            _ if kind as u8 >= Tok::Use as u8 && runs_into_a_word(text, range.end) && kind.is_several_words() => {
                // `ends inside` is not `ends in` + `side`: take the first word alone and go on after it.
                let first = lexer.slice().split([' ', '\t']).next().unwrap_or("");
                kind = Tok::lexer(first).next().and_then(Result::ok).unwrap_or(Tok::Word);
                end = start + first.len() as u32;
                lexer = Tok::lexer(text);
                lexer.bump(end as usize);
            }
            Tok::Word if !lexer.slice().is_ascii() && lexer.slice().chars().any(is_hidden) => kind = Tok::Bad,
            _ => {}
        }
        if kind == Tok::Bad
            && tokens.kinds.last() == Some(&Tok::Bad)
            && tokens.spans.last().is_some_and(|&(_, before)| before == start)
        {
            // A run of characters without meaning is one mistake, not one for each of them.
            if let Some(span) = tokens.spans.last_mut() {
                span.1 = end;
            }
            continue;
        }
        let index = tokens.kinds.len() as u32;
        if first_on_line {
            let goes_on = tokens.kinds.last() == Some(&Tok::Comma);
            tokens.line_starts.push(index);
            if goes_on && kind.only_first_on_line() {
                kind = Tok::Word;
            }
            let begins = kind == Tok::CloseBlock || kind.is_item_word() || kind.begins_fact();
            if index == 0 || (begins && !goes_on) {
                tokens.item_starts.push(index);
            }
        } else {
            if kind.only_first_on_line() {
                kind = Tok::Word;
            }
            if kind == Tok::CloseBlock {
                tokens.item_starts.push(index);
            }
        }
        // What follows a brace on its line may begin an item as if it stood on a line of its own.
        first_on_line = matches!(kind, Tok::OpenBlock | Tok::CloseBlock);
        tokens.kinds.push(kind);
        tokens.spans.push((start, end));
    }
    tokens
}

/// Whether the byte at `at` would go on with the word before it.
fn runs_into_a_word(text: &str, at: usize) -> bool {
    text.get(at..).and_then(|rest| rest.chars().next()).is_some_and(|next| {
        next.is_ascii_alphanumeric() || matches!(next, '\'' | '/' | '-') || !next.is_ascii() && next != '±'
    })
}

fn spelling(tok: Tok) -> &'static str {
    match tok {
        Tok::Newline => "end of line",
        Tok::Comment => "comment",
        Tok::Word => "word",
        Tok::Number | Tok::ThousandsNumber => "number",
        Tok::Date => "date",
        Tok::Time => "time",
        Tok::Text | Tok::OpenText => "quoted text",
        Tok::OpenBracket => "(",
        Tok::CloseBracket => ")",
        Tok::OpenBlock => "{",
        Tok::CloseBlock => "}",
        Tok::Comma => ",",
        Tok::Semicolon => ";",
        Tok::Bar => "|",
        Tok::Colon => ":",
        Tok::PlusMinus => "±",
        Tok::Percent => "%",
        Tok::Bad => "character without meaning",
        Tok::And => "and",
        Tok::Or => "or",
        Tok::Not => "not",
        Tok::Of => "of",
        Tok::To => "to",
        Tok::On => "on",
        Tok::In => "in",
        Tok::From => "from",
        Tok::When => "when",
        Tok::Unless => "unless",
        Tok::Then => "then",
        Tok::That => "that",
        Tok::Any => "any",
        Tok::Every => "every",
        Tok::No => "no",
        Tok::Is => "is",
        Tok::At => "at",
        Tok::By => "by",
        Tok::With => "with",
        Tok::Where => "where",
        Tok::Use => "use",
        Tok::Maker => "maker",
        Tok::Part => "part",
        Tok::Sensor => "sensor",
        Tok::System => "system",
        Tok::Module => "module",
        Tok::Option => "option",
        Tok::Kind => "kind",
        Tok::Operation => "operation",
        Tok::Event => "event",
        Tok::Finding => "finding",
        Tok::State => "state",
        Tok::Procedure => "procedure",
        Tok::Measure => "measure",
        Tok::Condition => "condition",
        Tok::Choice => "choice",
        Tok::Quality => "quality",
        Tok::Zone => "zone",
        Tok::Line => "line",
        Tok::Relation => "relation",
        Tok::Source => "source",
        Tok::For => "for",
        Tok::Rule => "rule",
        Tok::Job => "job",
        Tok::Test => "test",
        Tok::Says => "says",
        Tok::Title => "title",
        Tok::Issuer => "issuer",
        Tok::Rank => "rank",
        Tok::Issued => "issued",
        Tok::Revised => "revised",
        Tok::InForceFrom => "in force from",
        Tok::Replaces => "replaces",
        Tok::ReviewEvery => "review every",
        Tok::ReadInPart => "read in part",
        Tok::ReadFrom => "read from",
        Tok::ReadAs => "read as",
        Tok::CouldAlsoBeReadAs => "could also be read as",
        Tok::BorrowedFrom => "borrowed from",
        Tok::EncodedBy => "encoded by",
        Tok::CarriesOver => "carries over",
        Tok::DefersTo => "defers to",
        Tok::TakesNoViewOn => "takes no view on",
        Tok::InIt => "in it",
        Tok::WithoutIt => "without it",
        Tok::GivesWayTo => "gives way to",
        Tok::Vehicle => "vehicle",
        Tok::EquippedWith => "equipped with",
        Tok::NotEquippedWith => "not equipped with",
        Tok::EquipmentIsComplete => "equipment is complete",
        Tok::Work => "work",
        Tok::WorkIsComplete => "work is complete",
        Tok::Also => "also",
        Tok::NothingElseCameOff => "nothing else came off",
        Tok::Found => "found",
        Tok::LookedOver => "looked over",
        Tok::Happened => "happened",
        Tok::NotHappened => "not happened",
        Tok::Measured => "measured",
        Tok::Given => "given",
        Tok::Judged => "judged",
        Tok::Done => "done",
        Tok::New => "new",
        Tok::Shop => "shop",
        Tok::Scan => "scan",
        Tok::Suppose => "suppose",
        Tok::Expect => "expect",
        Tok::Table => "table",
        Tok::Cites => "cites",
        Tok::Because => "because",
        Tok::BecauseOf => "because of",
        Tok::InTheWords => "in the words",
        Tok::Require => "require",
        Tok::Advise => "advise",
        Tok::Waive => "waive",
        Tok::Forbid => "forbid",
        Tok::Allow => "allow",
        Tok::Hold => "hold",
        Tok::LaterConclusion => "later conclusion",
        Tok::After => "after",
        Tok::Until => "until",
        Tok::Section => "section",
        Tok::Per => "per",
        Tok::Dated => "dated",
        Tok::Checked => "checked",
        Tok::SecondReadingBy => "second reading by",
        Tok::AlsoWritten => "also written",
        Tok::CountsAs => "counts as",
        Tok::DisturbsNothing => "disturbs nothing",
        Tok::PassesAlong => "passes along",
        Tok::PassesDisturbance => "passes disturbance",
        Tok::Serves => "serves",
        Tok::AskedAs => "asked as",
        Tok::JudgedByAPerson => "judged by a person",
        Tok::EndsIn => "ends in",
        Tok::OneOf => "one of",
        Tok::Doing => "doing",
        Tok::OnTheWay => "on the way",
        Tok::Positive => "positive",
        Tok::Makes => "makes",
    }
}
