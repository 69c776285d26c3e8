//! The catalogue as pages of the user guide: one for each family, and one that lists them.

use formula::{Catalogue, Ceiling, Condition, Exact, Limit, Material, Source, Standing, Window};
use std::fmt::Write;
use std::sync::Arc;

/// Where the pages lie.
pub const FOLDER: &str = "grammar/guide/catalogue";

/// How many limits a row shows.
const MOST_LIMITS: usize = 4;

/// The documents of a page, in the order in which they are quoted.
#[derive(Default)]
struct Sources(Vec<(String, bool)>);

impl Sources {
    /// `[2]` for a document; a letter for what rests on none.
    fn mark(&mut self, source: &Source) -> String {
        match source.standing {
            Standing::Default => "ᵈ".to_owned(),
            Standing::FromMemory => "ᵐ".to_owned(),
            Standing::CommonPractice => "ᵖ".to_owned(),
            Standing::SecondHand | Standing::Read => {
                let own = (source.text.to_string(), source.standing == Standing::SecondHand);
                let at = self.0.iter().position(|known| *known == own).unwrap_or_else(|| {
                    self.0.push(own);
                    self.0.len() - 1
                });
                format!(" [{}]", at + 1)
            }
        }
    }
}

/// The pages: file name and text.
#[must_use]
pub fn families() -> Vec<(String, String)> {
    let mut pages = Vec::new();
    let mut index = String::from(
        "# The catalogue\n\n\
         What the tool knows of each ingredient, in short, one page for each family. All of it, with every \
         source,\nis shown by `levigate ingredient NAME`; `levigate ingredient --like TEXT` searches in all \
         names. A block of\nyour own [goes before it](../notation.md).\n\n\
         These pages are made from the catalogue's files by `cargo xtask pages`.\n\n\
         | family | ingredients | |\n| --- | ---: | --- |\n",
    );
    for (file, materials) in by_file() {
        let (title, about) = heading(file);
        let _ = writeln!(index, "| [{title}]({file}.md) | {} | {about} |", materials.len());
        pages.push((format!("{file}.md"), page(&title, &about, &materials)));
    }
    pages.push(("README.md".to_owned(), index));
    pages
}

/// The materials of each file, in the files' order.
fn by_file() -> Vec<(&'static str, Vec<Arc<Material>>)> {
    let mut all = Catalogue::built_in().all();
    let count = |text: &str| text.lines().filter(|line| line.starts_with("ingredient ")).count();
    Catalogue::files()
        .iter()
        .map(|(file, text)| (*file, all.by_ref().take(count(text)).cloned().collect()))
        .collect()
}

/// A title from the file's name, and what its first comment says.
fn heading(file: &str) -> (String, String) {
    let mut title = file.replace('-', " ").replace("ph adjusters", "pH adjusters").replace("uv ", "UV ");
    for pair in ["alcohols acids", "powders clays"] {
        title = title.replace(pair, &pair.replace(' ', " and "));
    }
    if let Some(first) = title.get_mut(..1)
        && !file.starts_with("ph-")
    {
        first.make_ascii_uppercase();
    }
    let text = Catalogue::files().iter().find(|(name, _)| *name == file).map_or("", |(_, text)| *text);
    let about: Vec<&str> = text.lines().map_while(|line| line.strip_prefix('#')).map(str::trim).collect();
    (title, about.join(" "))
}

fn page(title: &str, about: &str, materials: &[Arc<Material>]) -> String {
    let mut sources = Sources::default();
    let mut out = format!("# {title}\n\n{about}\n\n[All families](README.md)\n\n");
    let (asked, named): (Vec<&Arc<Material>>, Vec<&Arc<Material>>) =
        materials.iter().partition(|material| !material.ambiguous.is_empty());
    if !named.is_empty() {
        out.push_str("| name | INCI | functions | usual share | not above | pH | limits |\n");
        out.push_str("| --- | --- | --- | --- | --- | --- | --- |\n");
    }
    for material in named {
        let cells = [
            material.name.clone(),
            material.inci.clone().unwrap_or_default(),
            material.functions.join(", "),
            joined(material.usage.iter().map(|own| percent(&own.value) + &sources.mark(&own.source))),
            joined(
                material
                    .not_above
                    .iter()
                    .map(|own| format!("{} °C{}", own.value.0, sources.mark(&own.source))),
            ),
            ph(material, &mut sources),
            limits(material, &mut sources),
        ];
        let cells: Vec<String> = cells.iter().map(|cell| cell.replace('|', "\\|")).collect();
        let _ = writeln!(out, "| {} |", cells.join(" | "));
    }
    if !asked.is_empty() {
        out.push_str("\nNames that can mean several things, so that the tool asks:\n\n");
        for material in asked {
            let _ = writeln!(out, "- {}: {}", material.name, material.ambiguous.join(", "));
        }
    }
    out.push_str("\nᵈ a default of the tables · ᵐ from memory, not checked · ᵖ common practice\n");
    if !sources.0.is_empty() {
        out.push_str("\n## Sources\n\n");
    }
    for (at, (text, second_hand)) in sources.0.iter().enumerate() {
        let hand = if *second_hand { " (at second hand)" } else { "" };
        let _ = writeln!(out, "{}. {text}{hand}", at + 1);
    }
    out
}

fn joined(words: impl Iterator<Item = String>) -> String {
    words.collect::<Vec<_>>().join("; ")
}

fn percent(window: &Window) -> String {
    format!("{} %", window.scaled(&Exact::whole(100)).text())
}

fn ph(material: &Material, sources: &mut Sources) -> String {
    let windows = [
        ("works at ", &material.works_at_ph),
        ("stable at ", &material.stable_at_ph),
        ("has ", &material.own_ph),
    ];
    joined(windows.into_iter().filter_map(|(word, window)| {
        let window = window.as_ref()?;
        Some(format!("{word}{}{}", window.value.text(), sources.mark(&window.source)))
    }))
}

fn limits(material: &Material, sources: &mut Sources) -> String {
    let counted = material.counts_as.iter().map(|own| {
        let share = own.value.share.as_ref().map(|share| percent(share) + " ").unwrap_or_default();
        format!("counts as {share}{}{}", own.value.name, sources.mark(&own.source))
    });
    let mut words: Vec<String> = counted.collect();
    words.extend(material.limits.iter().take(MOST_LIMITS).map(|limit| in_short(limit, sources)));
    if let Some(more) = material.limits.len().checked_sub(MOST_LIMITS).filter(|more| *more > 0) {
        words.push(format!("{more} more"));
    }
    words.join("; ")
}

/// `EU law 0.5 % as benzoic acid (leave-on) [2]`
fn in_short(limit: &Limit, sources: &mut Sources) -> String {
    let market =
        if limit.force.markets.is_empty() { "all".to_owned() } else { limit.force.markets.join(", ") };
    let mut text = format!("{market} {} ", limit.force.rank.word());
    let _ = match &limit.ceiling {
        Ceiling::AtMost(most) => write!(text, "{} %", most.percent()),
        Ceiling::NotAllowed => write!(text, "not allowed"),
        Ceiling::Free => write!(text, "no limit"),
    };
    if let Some(substance) = &limit.counted_as {
        let _ = write!(text, " as {substance}");
    }
    let mut when: Vec<String> = limit.conditions.iter().map(condition).collect();
    when.extend(limit.force.from.map(|day| format!("from {day}")));
    when.extend(limit.force.until.map(|day| format!("until {day}")));
    if !when.is_empty() {
        let _ = write!(text, " ({})", when.join(", "));
    }
    text + &sources.mark(&limit.source)
}

fn condition(condition: &Condition) -> String {
    match condition {
        Condition::Words(words) => words.join(" or "),
        Condition::NotIn(words) => format!("not in {}", words.join(" or ")),
        Condition::Under(years) => format!("under {years} years"),
        Condition::Inhalable => "where it can be breathed in".to_owned(),
        Condition::As(function) => format!("as {function}"),
        Condition::AtPh(window) => format!("at pH {}", window.text()),
        Condition::AtLeast(least) => format!("from {} % on", least.percent()),
        Condition::Grade(grade) => grade.clone(),
        Condition::Unread(text) => text.clone(),
    }
}
