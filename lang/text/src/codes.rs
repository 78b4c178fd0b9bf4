//! The one table of problem codes: number, severity, stage, summary, long explanation.
//!
//! A code is never given a second meaning. `K01` tokens, `K02` tree, `K03` words, `K04` kinds and
//! sense, `K05` sources and rules, `K06` jobs, `K07` limits, `K08` tests, `K09` the command.

/// How much a problem weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// The item cannot be used.
    Error,
    /// The item is used, but something about it is likely to be meant otherwise.
    Warning,
}

/// What a code stands for.
#[derive(Debug)]
pub struct CodeEntry {
    /// The code as printed, such as `K0301`.
    pub number: &'static str,
    /// Whether it stops the item.
    pub severity: Severity,
    /// One line, lower-case start, no full stop.
    pub summary: &'static str,
    /// The long explanation, as `knockon explain` prints it.
    pub explanation: &'static str,
}

macro_rules! codes {
    ($($name:ident $number:literal $severity:ident $summary:literal;)*) => {
        /// A problem code.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Code { $(#[doc = $summary] $name,)* }

        impl Code {
            /// Every code, in the order of their numbers.
            pub const ALL: &'static [Code] = &[$(Code::$name,)*];

            /// The table's row for this code.
            pub fn entry(self) -> &'static CodeEntry {
                match self {
                    $(Code::$name => &CodeEntry {
                        number: $number,
                        severity: Severity::$severity,
                        summary: $summary,
                        explanation: include_str!(concat!("../explain/", $number, ".md")),
                    },)*
                }
            }
        }
    };
}

codes! {
    UnknownCharacter "K0101" Error "a character that has no meaning here";
    UnclosedString "K0102" Error "a quoted text is not closed on its line";
    HiddenCharacter "K0103" Error "a character that does not show, or that changes the reading direction";
    ThousandsComma "K0104" Error "a comma inside a number";
    BadDate "K0105" Error "a date that does not exist";
    UnexpectedWord "K0201" Error "something that cannot stand here";
    ItemWordMisspelt "K0202" Error "the first word of a line begins no item";
    TooDeep "K0203" Error "brackets or `not` nested too deeply";
    BlockNotClosed "K0204" Error "a block that is not closed, or closed twice";
    DoubledWord "K0205" Error "a connecting word stands twice";
    UnknownPhrase "K0301" Error "a phrase that nobody declared";
    TwoReadings "K0302" Error "a phrase that can be read in two ways";
    DeclaredTwice "K0303" Error "a term is declared twice";
    ReservedWord "K0304" Error "a term holds a word that joins sentences";
    TermEndsInHappening "K0305" Error "a term ends in the name of an operation, finding or event";
    UseNotFound "K0306" Error "a file named after `use` is not there";
    AliasShared "K0308" Error "two terms share one alias";
    WrongClass "K0401" Error "a term of the wrong class";
    WrongUnit "K0402" Error "a quantity of the wrong kind";
    AndOrMixed "K0403" Error "`and` and `or` mixed without brackets";
    NotBeforeOr "K0404" Error "`not` before a list with `or`";
    ThatUnclear "K0405" Error "`that` points at nothing, or at two things";
    NotYetEvaluated "K0406" Error "a construct of the language that is not evaluated yet";
    SignedWithoutSide "K0407" Error "a limit on a signed quantity without a side";
    NegationCircle "K0408" Error "rules that deny each other in a circle";
    SideMissing "K0409" Error "a part with sides is named without its side";
    TooManyAlternatives "K0410" Error "a condition with too many alternatives";
    OutOfRange "K0411" Error "limits in the wrong order";
    NothingPutsOn "K0420" Error "a new or old part where no operation puts on another";
    NotKnownDecides "K0421" Error "a rule that decides by what is not known";
    ListOfNothing "K0430" Error "a list with others of a procedure that is of nothing";
    SilenceNotRecorded "K0431" Error "a recorded silence of a text read in part, or of one that is no maker's";
    OwnWordsElsewhere "K0434" Error "words of a text's own where that text does not speak";
    SecondFigure "K0435" Error "a second printed figure where only one counts";
    FiguresAndReadings "K0436" Error "more ways to read two printed figures than can be followed";
    NoSuchPlace "K0440" Error "a choice of a place that is none of its places";
    NoLimitSaid "K0441" Error "a value that says nothing of its limit";
    CaseMissing "K0442" Error "a value by case with a case that no row covers";
    CaseTwice "K0443" Error "a value by case with a case that two rows cover";
    CaseOfNothing "K0444" Error "a row of a value by case that no case is left for";
    ValueOfProcedure "K0445" Error "a value of a procedure where one of the car is meant, or the other way";
    RowTwice "K0446" Error "two rows of a rule's table for one case";
    RowEmpty "K0447" Error "a row of a rule's table that names no case or says nothing";
    GapOfNothing "K0448" Error "a gap in a rule's table of which no row says what it is about";
    CarryingOutNothing "K0450" Error "a procedure of which nothing is said that it takes";
    CarriedOutCircle "K0451" Error "procedures that are carried out as each other";
    InstructionWithoutWords "K0456" Error "an instruction without words";
    TimeOfNothing "K0457" Error "a time of nothing, or less";
    MissingCitation "K0501" Error "a rule that cites no source";
    UnknownSource "K0502" Error "a citation of a source nobody described";
    ReplacementCircle "K0503" Error "sources that replace each other in a circle";
    UnknownRule "K0504" Error "a rule that is named but not there";
    RuleTwice "K0505" Error "two rules of one name";
    SourceIncomplete "K0506" Error "a source without what deciding needs";
    DatesOutOfOrder "K0507" Error "dates of a source in an impossible order";
    ScopeEmpty "K0508" Error "a scope that no car can be in";
    RuleConcludesNothing "K0509" Error "a rule without a condition or a conclusion";
    GivesWayCircle "K0510" Error "rules that give way to each other in a circle";
    PlaceMismatch "K0511" Warning "a citation of a revision the source does not have";
    CarriedAndReplaced "K0515" Error "a text that is carried over and replaced at once";
    SectionMissing "K0516" Error "a rule that names no section of a text of which only a part holds";
    OrderCircle "K0517" Error "texts that prevail over each other in a circle";
    PrevailsOverMaker "K0518" Error "practice or policy that sets itself above a maker's text";
    TiedInACircle "K0519" Error "parts that sit on themselves";
    VinPatternWrong "K0520" Error "a pattern that no vehicle identification number fits";
    InsteadOfNothing "K0521" Error "`instead of` what nothing says";
    JobContradiction "K0601" Error "two lines of a job contradict each other";
    YearOutsideScopes "K0602" Warning "a model year outside every scope of the library";
    NoVehicle "K0603" Error "a job that names no vehicle";
    JobNeedsDate "K0604" Error "a job without a date to decide as of";
    VinWrong "K0605" Error "a vehicle identification number that cannot be one";
    NoJob "K0606" Error "there is no job of that name to decide";
    JobTwice "K0607" Error "two jobs of one name";
    NoOtherPart "K0608" Error "a new or old part where no other was put on";
    UnknownsLimit "K0701" Warning "too many unknowns to settle exactly";
    ClauseLimit "K0702" Error "more instances of rules than the limit";
    TestNeverFails "K0801" Warning "a test that could not fail";
    TestFailed "K0802" Error "an expectation that does not hold";
    TestTwice "K0803" Error "two tests of one name";
    FileNotRead "K0901" Error "a file that cannot be read";
    ArgumentWrong "K0902" Error "an argument of the command that is not understood";
}
