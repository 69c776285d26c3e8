use crate::Adding;
use crate::card::rule;
use crate::case::Writing;
use crate::findings::Findings;
use notation::{Block, BlockKind, Edit, Edits, SlipKind, Span, Word, plain_blank};

rule! {
    /// A line fits no form of the notation.
    ///
    /// ## Why
    /// What cannot be read is not weighed, not checked and not added up. The line stays as it is; all other lines
    /// are read as usual.
    /// ## Fires
    /// ```formula
    /// formula Night balm
    /// varsion 2
    /// phase A oil
    ///    60     %     shea butter
    ///    40     %     jojoba oil
    /// ```
    /// A number that is written with a power, a sign, or an open point:
    /// ```formula
    /// formula Night balm
    /// phase A oil
    ///    60.    %     shea butter
    ///    40     %     jojoba oil
    /// ```
    /// Which of the two goes, and a quote that nothing closes:
    /// ```formula
    /// formula Night balm
    ///    60     %     shea butter
    ///    40     %     jojoba oil
    ///
    /// variant light
    /// substitute squalane for jojoba oil
    /// ```
    /// ```formula
    /// formula Night balm
    ///    60     %     shea butter
    ///    40     %     "jojoba oil
    /// ```
    /// A blank that the notation does not know, here the wide one of East Asian scripts before the `%`:
    /// ```formula
    /// formula Night balm
    /// phase A oil
    ///    60　%     shea butter
    ///    40     %     jojoba oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Night balm
    /// version 2
    /// phase A oil
    ///    60     %     shea butter
    ///    40     %     jojoba oil
    /// ```
    /// ## Fix
    /// A misspelt line word is replaced by the right one; two ingredients on one line are put on two; a number is
    /// written plainly; `substitute` is written as either `replace`; an open quote is taken out. All need a look, since the
    /// line had no meaning before. Blanks that the notation does not know
    /// are replaced by plain ones, and what cannot be seen is taken out.
    name: "line-unreadable",
    group: Reading,
    level: Error,
    since: "0.1.0",
    fixes: Sometimes,
    check: Writing(check)
}

fn check(writing: &Writing<'_>, out: &mut Findings<'_>) {
    let block = writing.block;
    let outside = block.slips.iter().filter(|slip| slip.kind == SlipKind::OutsideBlock).count();
    let mut told_outside = false;
    for slip in &block.slips {
        let text = block.at(slip.span);
        let _ = match &slip.kind {
            SlipKind::OutsideBlock if !told_outside => {
                told_outside = true;
                let lines = if outside == 1 {
                    "this line stands".to_owned()
                } else {
                    format!("{outside} lines stand")
                };
                out.add(slip.span, format!("{lines} before any block, so nothing can be said about them"))
                    .help("Begin the file with `formula NAME`, `ingredient NAME`, `workshop NAME` or `record NUMBER`.")
            }
            SlipKind::Unreadable => out
                .add(slip.span, format!("this line cannot be read: {text}"))
                .help(what_could_stand(block.kind)),
            SlipKind::ForeignBlanks(blanks) => foreign(block, blanks, out),
            SlipKind::MisspeltLine(word) => out
                .add(slip.span, format!("`{text}` is no line word"))
                .help(format!("Did you mean `{word}`? If it is an ingredient, give it an amount first."))
                .replace(format!("Write `{word}`"), slip.span, *word),
            SlipKind::NameMissing => {
                out.add(slip.span, "a name is missing here").help("Write the name after it.")
            }
            SlipKind::ValueMissing(word) => out
                .add(slip.span, format!("`{}` is not followed by what it needs", word.spelling()))
                .help(format!("For example: {}.", example(*word))),
            SlipKind::TwoItems(second) => {
                let edits = split(block.text.as_ref(), *second);
                out.add(slip.span, "two ingredients stand on one line")
                    .help("Give each its own line.")
                    .judgement_fix("Put the second ingredient on a line of its own", edits)
            }
            SlipKind::Substitute => {
                let adding = out
                    .add(slip.span, "`substitute` is read both ways round in the trade")
                    .help("Write `replace OLD with NEW`.");
                both_ways(text).into_iter().fold(adding, |adding, reading| {
                    adding.replace(format!("Write `{reading}`"), slip.span, reading)
                })
            }
            SlipKind::PhaseLabel => out
                .add(slip.span, format!("`{text}` is no phase label"))
                .help("A label is one letter and up to two digits: `phase A water`, `phase B2 oil`."),
            SlipKind::NumberUnreadable(write) => number(slip.span, text, write.as_deref(), out),
            SlipKind::QuoteOpen => out
                .add(slip.span, "this quote is not closed on its line")
                .help("Close it, or take it out: only names with `;` need quotes.")
                .replace("Take the quote out", slip.span, ""),
            _ => continue,
        };
    }
}

/// Blanks of other scripts, and characters that cannot be seen.
fn foreign<'a>(block: &Block, blanks: &[Span], out: &'a mut Findings<'_>) -> Adding<'a> {
    let first = blanks.first().copied().unwrap_or_default();
    let character = block.at(first).chars().next().unwrap_or(' ');
    let what = match character {
        '\u{3000}' => "an ideographic space",
        '\u{200b}' => "a zero-width space",
        '\u{2060}' => "a word joiner",
        '\u{feff}' => "a byte-order mark",
        '\u{ad}' => "a soft hyphen",
        _ => "a blank of another kind",
    };
    let plain = |span: &Span| {
        let text = block.at(*span).chars().next().map_or("", plain_blank);
        Edit { span: *span, text: text.to_owned() }
    };
    let edits = Edits::new(blanks.iter().map(plain).collect()).unwrap_or_default();
    let hidden = plain_blank(character).is_empty();
    let title = if hidden { "Take it out" } else { "Write a plain space" };
    let seen = if hidden { " and cannot be seen" } else { "" };
    let more = if blanks.len() > 1 { "; the line holds more of the kind" } else { "" };
    out.add(first, format!("{what} (U+{:04X}) stands here{seen}{more}", u32::from(character)))
        .help("It often comes with pasted text. The notation's blanks are the space and the tab, and the no-break and thin spaces.")
        .judgement_fix(title, edits)
}

fn number<'a>(span: Span, text: &str, write: Option<&str>, out: &'a mut Findings<'_>) -> Adding<'a> {
    let adding = out.add(span, format!("`{text}` cannot be read as a number"));
    match write {
        Some(write) => {
            adding.help(format!("Write `{write}`.")).replace(format!("Write `{write}`"), span, write)
        }
        None => adding.help("Write it in plain digits: `0.001`, `1 1/2`, `0.5 to 1`."),
    }
}

fn what_could_stand(kind: BlockKind) -> &'static str {
    match kind {
        BlockKind::Formula => {
            "Here can stand: an amount, a unit and a name (`5 % glycerin`), `phase A water`, `step …`, `variant …`, \
             `note …`, or a header line such as `pH 5.0 to 5.5`."
        }
        BlockKind::Ingredient => {
            "Here can stand facts of the ingredient: `INCI …`, `also …`, `function …`, `density 0.92 g/mL`, `price …`."
        }
        BlockKind::Workshop => {
            "Here can stand `market …`, `scales 0.01 g`, `stock PATH`, `treat RULE as note` and the like."
        }
        BlockKind::Record => {
            "Here can stand `of NAME version 3`, `date …`, `weighed 20.02 g glycerin`, `yield 478 g` and the like."
        }
        BlockKind::Loose => "Begin with `formula NAME`.",
    }
}

fn example(word: Word) -> &'static str {
    match word {
        Word::Batch => "`batch 500 g`",
        Word::Ph => "`pH 5.0 to 5.5`",
        Word::Pack => "`pack 50 mL jar`",
        Word::ShelfLife => "`shelf life 9 months`",
        Word::NotAbove => "`not above 45 °C because the scent fades`",
        Word::Density => "`density 0.92 g/mL`",
        Word::Usage => "`usage 1 to 3 %`",
        Word::Price => "`price 14.20 EUR per kg`",
        Word::Melts => "`melts 32 to 36 °C`",
        Word::Scales => "`scales 0.01 g`",
        _ => "see `levigate explain line-unreadable` and the notation's page for this line",
    }
}

fn split(text: &str, second: Span) -> notation::Edits {
    let before = text.get(..second.start as usize).unwrap_or("");
    let comma = before.rfind(',').map_or(second.start, |at| at as u32);
    notation::Edits::one(Span::new(comma, second.start), notation::line_end(text))
}

/// Both readings of `substitute A for B`; none where the line holds more than that.
fn both_ways(text: &str) -> Vec<String> {
    let names = text.split_once(char::is_whitespace).map_or("", |(_, names)| names);
    let joints = [" for ", " with ", " by "];
    let Some((one, other)) = joints.into_iter().find_map(|joint| names.split_once(joint)) else {
        return Vec::new();
    };
    if names.contains([';', '#', '"']) {
        return Vec::new();
    }
    let (one, other) = (one.trim(), other.trim());
    vec![format!("replace {other} with {one}"), format!("replace {one} with {other}")]
}
