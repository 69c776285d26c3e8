use crate::Level;
use crate::card::rule;
use crate::case::Writing;
use crate::findings::{Adding, Findings};
use notation::{
    Block, Edits, FORMS, MARKETS, PHASE_KINDS, SlipKind, Span, Word, known_product_word, list_words,
};

rule! {
    /// A word of a fixed list is not known: a product word, a qualifier, a market, a kind of phase, a function, a date.
    ///
    /// ## Why
    /// What the product is, where it is sold and how an ingredient is used decide which limits apply. A word that
    /// is not known decides nothing.
    /// ## Fires
    /// ```formula
    /// formula Plain balm
    /// product blam, lips
    ///    60     %     shea butter
    ///    40     %     jojoba oil
    /// ```
    /// ```formula
    /// formula Plain balm
    /// product balm, lips
    ///    60     %     shea butter; unrefind
    ///    40     %     jojoba oil
    /// ```
    /// ```formula
    /// formula Plain balm
    /// product balm, lips
    /// dated 2026-02-30
    ///    60     %     shea butter
    ///    40     %     jojoba oil
    /// ```
    /// Another craft:
    /// ```formula
    /// formula Kitchen bar
    /// product soap
    ///   700     g     olive oil
    ///   300     g     coconut oil
    /// ```
    /// ## Quiet
    /// ```formula
    /// formula Plain balm
    /// product balm, lips
    /// dated 2026-02-28
    /// for chapped skin, own use
    ///    60     %     shea butter; unrefined
    ///    40     %     jojoba oil; cold-pressed; as Golden Seed 7
    /// ```
    /// American and British spellings, and words that join two:
    /// ```formula
    /// formula Plain balm
    /// product ointment, diaper area, leave on
    ///    60     %     shea butter
    ///    40     %     jojoba oil
    /// ```
    /// ## Fix
    /// Writes the nearest word of the list, or puts what stands behind the last `;` of a line behind a `#`. Both
    /// need a look: the nearest need not be the one that was meant.
    name: "word-unknown",
    group: Reading,
    level: Note,
    since: "0.1.0",
    fixes: Sometimes,
    check: Writing(check)
}

fn check(writing: &Writing<'_>, out: &mut Findings<'_>) {
    for slip in &writing.block.slips {
        let text = writing.block.at(slip.span);
        match &slip.kind {
            SlipKind::WordUnknown(list, near) => {
                let adding = unknown(list, *near, text, slip.span, out);
                if let Some(edits) = remark(writing.block, list, slip.span) {
                    let _ = adding.judgement_fix("Put it behind a `#`, as a remark", edits);
                }
            }
            SlipKind::NotThisTool => {
                let applied = if names_a_form(writing.block) {
                    "The rules go by the other words of the line."
                } else {
                    "The lines are read and added up; no other rule is applied."
                };
                let _ = out.add(slip.span, format!("{text}: not this tool")).help(format!(
                    "This is another craft, with sums, dangers and rules of its own that are not known \
                     here: follow its own teaching and the rules of your country. {applied}"
                ));
            }
            SlipKind::DateUnreadable => {
                let _ = out
                    .add(slip.span, format!("`{text}` is no date of the calendar"))
                    .help("Write the year, the month and the day: `2026-03-14`, or `2026-03`.");
            }
            _ => {}
        }
    }
}

/// Whether the product line also names a form that is known.
fn names_a_form(block: &Block) -> bool {
    block.facts(Word::Product).any(|(_, fact)| {
        list_words(&block.text, fact.rest)
            .into_iter()
            .flat_map(|span| known_product_word(block.at(span)))
            .any(|word| FORMS.iter().any(|(form, _)| form == word))
    })
}

/// What stands as the last qualifier of its line, and is none, as a remark.
fn remark(block: &Block, list: &str, span: Span) -> Option<Edits> {
    let line = block.lines.iter().find(|line| line.span.start <= span.start && span.end <= line.span.end)?;
    let last = line.comment.is_none() && span.end == line.span.trimmed(&block.text).end;
    let before = block.text.get(..span.start as usize)?;
    let semicolon = before.trim_end().strip_suffix(';')?.trim_end().len();
    (list == "qualifier" && last).then(|| Edits::one(Span::new(semicolon as u32, span.start), " # "))
}

fn unknown<'a>(
    list: &str,
    near: Option<&'static str>,
    text: &str,
    span: Span,
    out: &'a mut Findings<'_>,
) -> Adding<'a> {
    let message = match list {
        "who it is for" => format!("`{text}` is not known among those a product can be for"),
        _ => format!("`{text}` is no {list} that is known"),
    };
    let adding = out.add(span, message);
    match near {
        Some(near) => {
            adding.help(format!("Did you mean `{near}`?")).replace(format!("Write `{near}`"), span, near)
        }
        // Words in which makers are free; without a likely meaning there is nothing to correct.
        None if matches!(list, "product word" | "who it is for") => {
            adding.level(Level::Hint).help(what_stands(list))
        }
        None => adding.help(what_stands(list)),
    }
}

fn what_stands(list: &str) -> String {
    match list {
        "market" => format!("The markets that can be named: {}.", MARKETS.join(", ")),
        "qualifier" => "After `;` stands a qualifier: a function (`emulsifier`), a grade (`unrefined`), \
         `strength 80 %`, `dissolved in …`, `lot …`. A remark goes into a `note` line, or behind a `#`."
            .to_owned(),
        "phase clause" => "After `;` of a phase stands `heat to 75 °C`, `hold 20 min`, `below 40 °C`, \
         `cool to 40 °C`, `room temperature` or `cold process`."
            .to_owned(),
        "product word" => "The product line takes its form (`cream`, `balm` …), `leave-on` or `rinse-off`, \
         and where it is used (`face`, `hands` …). The limits go by the words that are known."
            .to_owned(),
        "who it is for" => {
            "For example: `dry skin`, `babies`, `children under 3`, `sale`, `own use`.".to_owned()
        }
        "kind of phase" => {
            let kinds: Vec<&str> = PHASE_KINDS.iter().map(|(word, _)| *word).collect();
            format!("The kinds are: {}.", kinds.join(", "))
        }
        "status" => "The words are: trial, approved, withdrawn.".to_owned(),
        "origin" => "The words are: plant, animal, mineral, synthetic.".to_owned(),
        "solvent" => "The words are: water, oil, alcohol, both, nothing.".to_owned(),
        "measures" => "The words are: US, metric, imperial.".to_owned(),
        _ => "Take a word of the list, or leave it out.".to_owned(),
    }
}
