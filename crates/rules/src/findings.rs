//! Collecting the findings of one rule on one formula.

use crate::Rule;
use crate::finding::{Finding, Fix, Level, Related, Safety};
use formula::{Source, Standing};
use notation::{Edits, Span};

/// A finding with what the engine needs to know of it.
pub(crate) struct Raised {
    pub(crate) finding: Finding,
    /// The ingredient that it is about, for comparing variants with their parent.
    pub(crate) subject: String,
    /// Lines that it takes in: findings on them that come later in a chain become related lines.
    pub(crate) lines: Vec<Span>,
    /// Whether a law says it, so that no `treat` can lower it.
    pub(crate) law: bool,
    /// Place within a chain of one cause; a rule may raise at several.
    pub(crate) rank: Option<u8>,
    /// What it speaks for: findings of the same cause that are not told.
    pub(crate) untold: Vec<Untold>,
}

/// A finding that is not told, because another speaks for it.
#[derive(Clone, Copy)]
pub(crate) struct Untold {
    pub(crate) rule: &'static str,
    pub(crate) span: Span,
}

impl Raised {
    /// This finding and all that it speaks for, as findings that are not told.
    pub(crate) fn silent(&self) -> impl Iterator<Item = Untold> {
        let own = Untold { rule: self.finding.rule, span: self.finding.span };
        std::iter::once(own).chain(self.untold.iter().copied())
    }
}

/// Where a rule puts what it finds.
pub struct Findings<'a> {
    rule: &'static Rule,
    pub(crate) raised: &'a mut Vec<Raised>,
}

impl<'a> Findings<'a> {
    pub(crate) fn of(rule: &'static Rule, raised: &'a mut Vec<Raised>) -> Findings<'a> {
        Findings { rule, raised }
    }

    /// Adds a finding at the rule's own level. What it says stands in `message`; the rest follows on what is
    /// returned.
    pub fn add(&mut self, span: Span, message: impl Into<String>) -> Adding<'_> {
        let finding = Finding {
            rule: self.rule.name,
            level: self.rule.level,
            span,
            message: message.into(),
            help: None,
            sources: Vec::new(),
            related: Vec::new(),
            fixes: Vec::new(),
            block: String::new(),
            formula: None,
            variant: None,
            law: false,
            allowed: None,
        };
        self.raised.push(Raised {
            finding,
            subject: String::new(),
            lines: vec![span],
            law: false,
            rank: None,
            untold: Vec::new(),
        });
        let at = self.raised.len() - 1;
        Adding { raised: self.raised, at }
    }
}

/// A finding that is being put together.
pub struct Adding<'a> {
    raised: &'a mut Vec<Raised>,
    at: usize,
}

impl Adding<'_> {
    fn with(self, change: impl FnOnce(&mut Raised)) -> Self {
        if let Some(raised) = self.raised.get_mut(self.at) {
            change(raised);
        }
        self
    }

    /// At this level instead of the rule's own.
    pub fn level(self, level: Level) -> Self {
        self.with(|raised| raised.finding.level = level)
    }

    /// No louder than this.
    pub fn at_most(self, level: Level) -> Self {
        self.with(|raised| raised.finding.level = raised.finding.level.min(level))
    }

    /// No louder than a figure's standing lets it be: second-hand and common practice at most a warning, from memory
    /// and defaults at most a note. The source is named with the finding.
    pub fn founded_on(self, source: &Source) -> Self {
        let text = source.text.to_string();
        self.standing(source.standing).source(text)
    }

    /// No louder than a standing lets it be.
    pub fn standing(self, standing: Standing) -> Self {
        match standing {
            Standing::Read => self,
            Standing::SecondHand | Standing::CommonPractice => self.at_most(Level::Warning),
            Standing::FromMemory | Standing::Default => self.at_most(Level::Note),
        }
    }

    /// Names a source.
    pub fn source(self, text: impl Into<String>) -> Self {
        let text = text.into();
        self.with(|raised| {
            if !raised.finding.sources.contains(&text) {
                raised.finding.sources.push(text);
            }
        })
    }

    /// What to do about it.
    pub fn help(self, help: impl Into<String>) -> Self {
        let help = help.into();
        self.with(|raised| raised.finding.help = Some(help))
    }

    /// Another place that belongs to it.
    pub fn related(self, span: Span, message: impl Into<String>) -> Self {
        let related = Related { span, message: message.into() };
        self.with(|raised| raised.finding.related.push(related))
    }

    /// The ingredient that it is about.
    pub fn subject(self, subject: impl Into<String>) -> Self {
        let subject = subject.into();
        self.with(|raised| raised.subject = subject)
    }

    /// Lines that have the same cause: weaker findings on them are not told again.
    pub fn lines(self, lines: impl IntoIterator<Item = Span>) -> Self {
        self.with(|raised| raised.lines.extend(lines))
    }

    /// A law says it, and no `treat` lowers it.
    pub fn law(self) -> Self {
        self.duty().with(|raised| raised.law = true)
    }

    /// A law asks for it; how loud it is told is still for the workshop to say.
    pub fn duty(self) -> Self {
        self.with(|raised| raised.finding.law = true)
    }

    /// Its place among findings of one cause, where the rule's name does not decide it.
    pub fn rank(self, rank: u8) -> Self {
        self.with(|raised| raised.rank = Some(rank))
    }

    /// A change that keeps the product as it is.
    pub fn safe_fix(self, title: impl Into<String>, edits: Edits) -> Self {
        self.fix(title, edits, Safety::Safe)
    }

    /// A change that the maker has to decide on.
    pub fn judgement_fix(self, title: impl Into<String>, edits: Edits) -> Self {
        self.fix(title, edits, Safety::Judgement)
    }

    /// A change of one piece of text that the maker has to decide on.
    pub fn replace(self, title: impl Into<String>, span: Span, text: impl Into<String>) -> Self {
        self.fix(title, Edits::one(span, text), Safety::Judgement)
    }

    fn fix(self, title: impl Into<String>, edits: Edits, safety: Safety) -> Self {
        let fix = Fix { title: title.into(), edits, safety };
        self.with(|raised| raised.finding.fixes.push(fix))
    }
}
