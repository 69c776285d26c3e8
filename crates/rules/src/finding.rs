//! What a rule has found: where, what, why, and what to do about it.

use notation::{Edits, Span};

/// How loud a finding is. Ordered: a hint is the quietest.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug, PartialOrd, Ord)]
pub enum Level {
    /// Quiet; shown in the editor, and elsewhere when asked for.
    Hint,
    /// Sloppy, or worth knowing.
    Note,
    /// Likely spoils the product.
    Warning,
    /// Harms someone, breaks a law of a declared market, or cannot be made as written.
    Error,
}

impl Level {
    /// The word for it, in outputs and in `treat` lines.
    pub fn word(self) -> &'static str {
        match self {
            Level::Hint => "hint",
            Level::Note => "note",
            Level::Warning => "warning",
            Level::Error => "error",
        }
    }

    /// The level with a word.
    pub fn of_word(word: &str) -> Option<Level> {
        [Level::Hint, Level::Note, Level::Warning, Level::Error]
            .into_iter()
            .find(|level| level.word().eq_ignore_ascii_case(word))
    }

    /// One level quieter; a hint stays one.
    pub fn lower(self) -> Level {
        match self {
            Level::Error => Level::Warning,
            Level::Warning => Level::Note,
            Level::Note | Level::Hint => Level::Hint,
        }
    }
}

/// Another place that belongs to a finding.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Related {
    /// Where; counted as the finding's own span is.
    pub span: Span,
    /// What is to be seen there.
    pub message: String,
}

/// Whether a fix may be made without being asked for.
#[derive(Clone, Copy, PartialEq, Eq, Hash, Debug)]
pub enum Safety {
    /// The product stays the same.
    Safe,
    /// The maker has to decide.
    Judgement,
}

/// A change of the text that settles a finding.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Fix {
    /// What it does, in the imperative.
    pub title: String,
    /// The edits; counted as the finding's own span is.
    pub edits: Edits,
    /// Whether it may be made without being asked for.
    pub safety: Safety,
}

/// A finding.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Finding {
    /// The rule's name.
    pub rule: &'static str,
    /// How loud.
    pub level: Level,
    /// The main place.
    pub span: Span,
    /// What is wrong, with its numbers.
    pub message: String,
    /// What to do.
    pub help: Option<String>,
    /// Where the figures come from.
    pub sources: Vec<String>,
    /// Other places.
    pub related: Vec<Related>,
    /// What would settle it.
    pub fixes: Vec<Fix>,
    /// The name of the block in which it stands.
    pub block: String,
    /// The formula; none outside formula blocks.
    pub formula: Option<String>,
    /// The variant; none for the parent.
    pub variant: Option<String>,
    /// Whether a law says it: an `allow` changes no law.
    pub law: bool,
    /// The reason of the `allow` that silences it.
    pub allowed: Option<String>,
}

/// Rules that find what does nothing where it stands: a name that silences nothing, a phase that is empty or never used.
const IDLE: &[&str] = &["allow-unused", "phase-empty", "phase-unused"];

impl Finding {
    /// Whether it is about something that does nothing where it stands.
    pub fn is_idle(&self) -> bool {
        IDLE.contains(&self.rule)
    }

    /// The same finding, counted from a place `by` bytes earlier.
    #[must_use]
    pub fn shifted(&self, by: u32) -> Finding {
        let mut moved = self.clone();
        moved.span = moved.span.shifted(by);
        for related in &mut moved.related {
            related.span = related.span.shifted(by);
        }
        for fix in &mut moved.fixes {
            fix.edits = fix.edits.shifted(by);
        }
        moved
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_idle_is_found_by_rules_that_there_are() {
        for name in IDLE {
            assert!(crate::rule(name).is_some(), "{name}");
        }
    }
}
