//! Words as numbers: each spelling once, capitals put aside, with the language's own words known by name.

use rustc_hash::FxHashMap;

/// The number of a word.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct WordId(u32);

impl WordId {
    /// A word nobody declared.
    pub const UNKNOWN: WordId = WordId(u32::MAX);
}

/// All words seen in declarations, and the language's own.
#[derive(Clone, Debug)]
pub struct Words {
    ids: FxHashMap<Box<str>, u32>,
}

macro_rules! known {
    ($($name:ident $text:literal,)*) => {
        /// The words sentence forms are made of.
        pub mod known {
            use super::WordId;
            #[repr(u32)]
            #[expect(clippy::upper_case_acronyms, reason = "only counts the constants below, and is named like them")]
            enum Order { $($name,)* }
            $(
                #[doc = concat!("`", $text, "`")]
                pub const $name: WordId = WordId(Order::$name as u32);
            )*
        }
        const KNOWN: &[&str] = &[$($text,)*];
    };
}

known! {
    A "a", ACCESS "access", AFTER "after", ALL "all", ALSO "also", AND "and", ANY "any", ASKED "asked", ASKS "asks",
    AT "at", BEFORE "before", BUILT "built", BY "by", CAME "came", CANNOT "cannot", CAR "car", CHANGE "change",
    COMPLETE "complete", CONFLICT "conflict", ABSENT "absent", ADVISED "advised", ALLOWED "allowed", DATED "dated",
    DONE "done", DOWNWARDS "downwards", DUE "due", EITHER "either", ELSE "else", ENDED "ended", EQUIPMENT "equipment",
    EQUIPPED "equipped", EVERY "every", EVERYTHING "everything", FORBIDDEN "forbidden", FOUND "found", FROM "from",
    GIVEN "given", HAPPENED "happened", HAS "has", HELD "held", HOW "how", HOLDS "holds", IF "if", IN "in", IS "is", JUDGED "judged",
    LEAST "least", LEAVES "leaves", LIST "list", LOOKED "looked", LOOKING "looking", MEASURED "measured", MET "met", MODEL "model",
    MOST "most", NEEDED "needed", NO "no", NOT "not", NOTHING "nothing", OF "of", OFF "off", OFFERED "offered",
    ON "on", ONLY "only", OPEN "open", OR "or", ORDER "order", OUTSIDE "outside", OVER "over", PART "part", PER "per",
    REQUIRED "required", SENSOR "sensor", SILENT "silent", SINCE "since", SYSTEM "system", MODULE "module",
    TELL "tell", THAT "that", THE "the", TO "to", TOUCHED "touched", TOUCHING "touching", UNDER "under",
    UNTIL "until", UPWARDS "upwards", USUALLY "usually", VEHICLE "vehicle", VIN "vin", WAY "way", WHAT "what",
    WITH "with", WITHIN "within", WORK "work", YEAR "year", YES "yes", MAKER "maker", STATEMENT "statement",
    WORKSHOP "workshop", TEXT "text", COMMON "common", PRACTICE "practice", READ "read", SHOP "shop", POLICY "policy",
    MONTHS "months", REMOVED "removed", FREE "free", CARS "cars", STATED "stated", EVENT "event", SUPPOSE "suppose",
    EXPECT "expect", BECAUSE "because", ARRIVAL "arrival", CODE "code", CODES "codes", OTHER "other", PENDING "pending",
    RUN "run", SCAN "scan", STATUS "status", STORED "stored", TESTS "tests", THAN "than",
    FOR "for", ISSUED "issued", IT "it",
    WHY "why", WAS "was", NEW "new", OLD "old", AS "as", KNOWN "known", WARNED "warned", PERHAPS "perhaps",
    PROCEDURE "procedure", LIMIT "limit", SET "set", HERE "here", GAP "gap", PRINTED "printed", SAY "say", BE "be",
    WHICH "which", COUNTS "counts", ROW "row", SAYS "says", MEANS "means", CARRIED "carried", OUT "out", CHECK "check", READY "ready", INSTEAD "instead",
}

impl Default for Words {
    fn default() -> Self {
        let mut words = Words { ids: FxHashMap::default() };
        for text in KNOWN {
            words.intern(text);
        }
        words
    }
}

impl Words {
    /// The number of a word, given one if it is new.
    pub fn intern(&mut self, text: &str) -> WordId {
        let folded = fold(text);
        if let Some(&id) = self.ids.get(folded.as_ref()) {
            return WordId(id);
        }
        let next = self.ids.len() as u32;
        self.ids.insert(folded.as_ref().into(), next);
        WordId(next)
    }

    /// The number of a word, [`WordId::UNKNOWN`] if it was never declared.
    pub fn find(&self, text: &str) -> WordId {
        match self.ids.get(fold(text).as_ref()) {
            Some(&id) => WordId(id),
            None => WordId::UNKNOWN,
        }
    }
}

/// A word without its capitals.
fn fold(text: &str) -> std::borrow::Cow<'_, str> {
    if text.bytes().any(|byte| byte.is_ascii_uppercase() || !byte.is_ascii()) {
        std::borrow::Cow::Owned(text.to_lowercase())
    } else {
        std::borrow::Cow::Borrowed(text)
    }
}
