//! Documents: rank, dates, and places in them.

use knockon_measure::{Clock, Date};
use knockon_text::Span;

use super::{Precedence, ScopeId, SourceId};
use crate::phrases::{Meaning, Role};
use crate::vocabulary::{TermId, Vocabulary};

/// A day, and perhaps the time of day, in the shop's own time.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct When {
    /// The day.
    pub date: Date,
    /// The time of day.
    pub clock: Option<Clock>,
}

impl When {
    /// Whether this is before, at or after another; nothing where the day is the same and a time is missing.
    pub fn compare(&self, other: &When) -> Option<std::cmp::Ordering> {
        if self.date != other.date {
            return Some(self.date.cmp(&other.date));
        }
        Some(self.clock?.cmp(&other.clock?))
    }
}

/// How much weight a document has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rank {
    /// A maker's position statement.
    MakerStatement,
    /// A maker's workshop text.
    WorkshopText,
    /// Common practice of the trade.
    CommonPractice,
    /// The shop's own policy.
    ShopPolicy,
}

impl Rank {
    /// The rank as the language writes it.
    pub fn words(self) -> &'static str {
        match self {
            Rank::MakerStatement => "maker statement",
            Rank::WorkshopText => "workshop text",
            Rank::CommonPractice => "common practice",
            Rank::ShopPolicy => "shop policy",
        }
    }

    /// Whether it is the maker's own word.
    pub fn is_makers(self) -> bool {
        matches!(self, Rank::MakerStatement | Rank::WorkshopText)
    }
}

/// A document.
#[derive(Clone, Debug, PartialEq)]
pub struct Source {
    /// Its short name.
    pub name: String,
    /// Where it is described.
    pub span: Span,
    /// Its title.
    pub title: Option<String>,
    /// Who issued it.
    pub issuer: Option<String>,
    /// Its rank.
    pub rank: Rank,
    /// When issued.
    pub issued: Date,
    /// When last revised.
    pub revised: Option<Date>,
    /// From when it holds.
    pub in_force: Date,
    /// What it replaces.
    pub replaces: Vec<Portion>,
    /// What it says stays good of other sources: as if it stood in this one too.
    pub carries_over: Vec<Portion>,
    /// The terms it says it takes no view on.
    pub no_view: Vec<TermId>,
    /// The words it defines for itself.
    pub own_words: Vec<OwnWords>,
    /// What it says of which text prevails.
    pub order: Vec<Precedence>,
    /// Review interval in months and the day it was last checked.
    pub review: Option<(u32, Option<Date>)>,
    /// Whether only a part was read.
    pub read_in_part: bool,
    /// The pages read.
    pub read_from: Option<String>,
    /// The car it was borrowed from.
    pub borrowed_from: Option<String>,
    /// Who encoded it.
    pub encoded_by: Option<String>,
    /// Who read it a second time.
    pub second_reading: Option<String>,
}

/// Words a document defines for itself: `in it "near the radar" means radar window`.
#[derive(Clone, Debug, PartialEq)]
pub struct OwnWords {
    /// The words.
    pub phrase: String,
    /// The one term they mean; several only of what happens to a part, any of which is meant.
    pub means: Vec<Meaning>,
    /// Where it was written.
    pub span: Span,
}

impl OwnWords {
    /// What they mean, in words.
    pub fn meaning(&self, vocabulary: &Vocabulary) -> String {
        let names = self.means.iter().map(|meaning| match meaning.role {
            Role::Doing => vocabulary.doing(meaning.term),
            Role::Name | Role::Alias | Role::OnTheWay => vocabulary.name(meaning.term),
        });
        names.collect::<Vec<_>>().join(" or ")
    }

    /// Whether a phrase is these words, whatever its capitals and spaces.
    pub fn is_written(&self, phrase: &str) -> bool {
        let words = |text: &str| text.split_whitespace().map(str::to_lowercase).collect::<Vec<_>>();
        words(&self.phrase) == words(phrase)
    }
}

/// A document, whole or in part, for every car or for some.
#[derive(Clone, Debug, PartialEq)]
pub struct Portion {
    /// The document.
    pub source: SourceId,
    /// Which sections.
    pub sections: Sections,
    /// For which cars; every car where none is named.
    pub cars: Option<ScopeId>,
    /// Where it was written.
    pub span: Span,
}

/// Sections of a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Sections {
    /// All of it.
    All,
    /// These, and what is inside them.
    Only(Vec<String>),
    /// All but these and what is inside them.
    Except(Vec<String>),
}

impl Portion {
    /// Whether a section of the document, or the document where none is named, is in this portion, cars left aside.
    pub fn holds(&self, section: Option<&str>) -> bool {
        let within = |wanted: &[String]| {
            section.is_some_and(|section| wanted.iter().any(|wanted| is_in_section(section, wanted)))
        };
        match &self.sections {
            Sections::All => true,
            Sections::Only(only) => within(only),
            Sections::Except(except) => !within(except),
        }
    }

    /// Whether it singles out sections or cars: an exception to what is said of the whole document.
    pub fn singles_out(&self) -> bool {
        matches!(self.sections, Sections::Only(_)) || self.cars.is_some()
    }
}

/// Whether `4.2` lies in section `4`.
fn is_in_section(section: &str, within: &str) -> bool {
    section == within || section.strip_prefix(within).is_some_and(|rest| rest.starts_with(['.', ' ', '(', '-']))
}

/// A place in a document.
#[derive(Clone, Debug, PartialEq)]
pub struct Citation {
    /// The document.
    pub source: SourceId,
    /// The revision cited.
    pub of: Option<Date>,
    /// The section.
    pub section: Option<String>,
    /// Where it is cited.
    pub span: Span,
}
