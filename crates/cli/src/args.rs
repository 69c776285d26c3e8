//! What can be typed after `levigate`.

use clap::{ArgGroup, Parser, Subcommand, ValueEnum};
use desk::{Date, Exact, LAW_READ_ON, Level, Market, UnitWord, factor, find_unit};
use std::path::PathBuf;
use std::sync::LazyLock;

static VERSION: LazyLock<String> =
    LazyLock::new(|| format!("{} (law as read on {LAW_READ_ON})", env!("CARGO_PKG_VERSION")));

/// Reads skin-care formulas, works them out, and tells what a careful colleague would find on the sheet.
///
/// It never says that a product is safe, and never computes a sun protection factor: it knows only what is written.
#[derive(Parser, Debug)]
#[command(name = "levigate", version = VERSION.as_str(), max_term_width = 100, after_help = "\
Examples:
  levigate new cream --to hand-cream.formula
  levigate check
  levigate sheet hand-cream.formula --batch 2kg

`levigate COMMAND --help` shows the options of a command.")]
pub(crate) struct Args {
    /// When to use colour; `auto` is on a terminal, unless NO_COLOR is set
    #[arg(long, value_enum, value_name = "WHEN", default_value_t = Color::Auto, global = true)]
    pub(crate) color: Color,

    #[command(subcommand)]
    pub(crate) command: Command,
}

/// When to use colour.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum Color {
    Auto,
    Always,
    Never,
}

#[derive(Subcommand, Debug)]
pub(crate) enum Command {
    /// Read formulas and show what is wrong with them
    #[command(after_help = "\
Examples:
  levigate check                          all formulas under this folder
  levigate check hand-cream.formula --fail-on warning
  levigate check --as json | jq '.counts'
  levigate check --on 2027-05-01          by the law of that day
  git show HEAD:balm.formula | levigate check - --path balm.formula

Exit status: 0 nothing at or above --fail-on, 1 findings at or above it, 2 something could not be read.")]
    Check(CheckArgs),
    /// Show what changed between two versions of a formula, and which findings came or went
    #[command(
        override_usage = "levigate compare [OPTIONS] <OLD> <NEW>",
        after_help = "\
Examples:
  levigate compare hand-cream-4.formula hand-cream-5.formula
  git show HEAD:./balm.formula | levigate compare - balm.formula
  levigate compare old.formula new.formula --as markdown
  levigate compare old.formula new.formula --fail-on warning

For `git diff` in the words of the bench:
  echo '*.formula diff=levigate' >> .gitattributes
  git config diff.levigate.command 'levigate compare'

Ingredients are told apart by what they are, not by how they are spelt; layout, comments and the
order of lines within a phase are no changes.
Exit status: 0 no finding at or above --fail-on came, 1 one did, 2 something could not be read.
Called by git it is always 0."
    )]
    Compare(CompareArgs),
    /// Show a formula with everything worked out
    #[command(after_help = "\
Examples:
  levigate sheet hand-cream.formula
  levigate sheet hand-cream.formula --batch 2kg --variant unscented
  levigate sheet hand-cream.formula --as json | jq '.formulas[0].cost'

Where a figure cannot be known the text shows a dash and says why, and JSON has null.
Exit status: 0 it was worked out, 2 it could not be read or holds no formula.")]
    Sheet(SheetArgs),
    /// Write the words for the label: the list of ingredients, allergens, warnings, and what is still missing
    #[command(after_help = "\
Examples:
  levigate label hand-cream.formula
  levigate label hand-cream.formula --market us --variant unscented
  levigate label hand-cream.formula --as html > label.html
  levigate label hand-cream.formula --as json | jq -r '.labels[0].list'

What stands between the lines is for the label; all beneath it is not. Without --market there is a label for \
each market that the formula names. It never says that a product is safe or may be sold.
Exit status: 0 done, 1 a list is not complete or its amounts cannot be trusted, 2 it could not be read or \
holds no formula for a label.")]
    Label(LabelArgs),
    /// Write formulas in the canonical form
    #[command(after_help = "\
Examples:
  levigate tidy                           all formulas under this folder
  levigate tidy --dry-run                 only list them; status 1 if any would change
  levigate tidy - < rough.formula > fair.formula

Only blanks and spellings change; no amount is rounded, no line moved.
Exit status: 0 done, 1 with --dry-run when anything would change, 2 something could not be read or written.")]
    Tidy(TidyArgs),
    /// Make the fixes that leave the product as it is, and show them
    #[command(after_help = "\
Examples:
  levigate mend                           all formulas under this folder
  levigate mend --dry-run                 only show what would change; status 1 if anything would
  levigate mend --ask hand-cream.formula  go through all fixes, also those that change the product
  levigate mend - < rough.formula > fair.formula

A safe fix changes how a formula is written, never what is made. With --ask answer y (make it),
n (leave it) or q (stop); what a fix changes stands in its title.
Exit status: 0 done, 1 findings at or above --fail-on are left, or with --dry-run anything would
change, 2 something could not be read or written.")]
    Mend(MendArgs),
    /// Show the page of a rule
    #[command(after_help = "\
Examples:
  levigate explain over-limit
  levigate explain over-limit --as markdown
  levigate explain --all

Exit status: 0 shown, 2 there is no such rule.")]
    Explain(ExplainArgs),
    /// Show what the catalogue knows of an ingredient, with sources
    #[command(after_help = "\
Examples:
  levigate ingredient \"sodium benzoate\"
  levigate ingredient --like lavender
  levigate ingredient --function \"emulsifier O/W\"
  levigate ingredient glycerin --as json | jq '.ingredients[0].known'

The blocks of the workshop that you stand in go before the catalogue's.
Exit status: 0 shown, 1 there is no such ingredient.")]
    Ingredient(IngredientArgs),
    /// Print a starter file, or write it
    #[command(after_help = "\
Examples:
  levigate new balm
  levigate new workshop --to workshop.formula
  levigate new ingredient >> stock.formula

Exit status: 0 done, 2 the file is there already (it stays as it is) or cannot be written.")]
    New(NewArgs),
    /// Speak to an editor: the language server, on standard input and output
    #[command(after_help = "\
It takes no settings; editors start it themselves. Files are *.formula, the language id is levigate.")]
    Serve,
}

/// How findings are shown.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum Form {
    Text,
    Json,
}

/// How a label is shown.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum LabelForm {
    Text,
    Json,
    Markdown,
    Html,
}

/// How a rule's page is shown.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum PageForm {
    Text,
    Markdown,
}

#[derive(clap::Args, Debug)]
pub(crate) struct CheckArgs {
    /// Files, or folders to look through; `-` for standard input
    #[arg(value_name = "PATH", default_value = ".")]
    pub(crate) paths: Vec<PathBuf>,
    /// The form of the output
    #[arg(long = "as", value_enum, value_name = "FORM", default_value_t = Form::Text)]
    pub(crate) form: Form,
    /// The quietest level that makes the command fail: error, warning, note or hint
    #[arg(long, value_name = "LEVEL", default_value = "error", value_parser = level)]
    pub(crate) fail_on: Level,
    /// Show hints, too
    #[arg(long)]
    pub(crate) hints: bool,
    /// Show findings that an `allow` line silences, with its reason
    #[arg(long)]
    pub(crate) show_allowed: bool,
    /// Check against the law of this day (default: today)
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub(crate) on: Option<Date>,
    /// Where the text from standard input belongs: its includes and its workshop are looked for from there
    #[arg(long, value_name = "NAME")]
    pub(crate) path: Option<PathBuf>,
}

/// How a comparison is shown.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum CompareForm {
    Text,
    Json,
    Markdown,
}

#[derive(clap::Args, Debug)]
pub(crate) struct CompareArgs {
    /// The old and the new version; `-` for standard input on one side. Also the seven words with which git calls its
    /// diff drivers
    #[arg(value_name = "OLD NEW", num_args = 1..=9, required = true, hide_possible_values = true)]
    pub(crate) paths: Vec<PathBuf>,
    /// The form of the output
    #[arg(long = "as", value_enum, value_name = "FORM", default_value_t = CompareForm::Text)]
    pub(crate) form: CompareForm,
    /// The quietest level of a finding that came that makes the command fail: error, warning, note or hint
    #[arg(long, value_name = "LEVEL", default_value = "error", value_parser = level)]
    pub(crate) fail_on: Level,
    /// Tell of hints, too
    #[arg(long)]
    pub(crate) hints: bool,
    /// Check both by the law of this day (default: today)
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub(crate) on: Option<Date>,
    /// Where the text from standard input belongs: its includes and its workshop are looked for from there
    #[arg(long, value_name = "NAME")]
    pub(crate) path: Option<PathBuf>,
}

#[derive(clap::Args, Debug)]
pub(crate) struct SheetArgs {
    /// The file; `-` for standard input
    #[arg(value_name = "PATH")]
    pub(crate) file: PathBuf,
    /// The form of the output
    #[arg(long = "as", value_enum, value_name = "FORM", default_value_t = Form::Text)]
    pub(crate) form: Form,
    /// Work out the grams for a batch of this size, such as 2kg
    #[arg(long, value_name = "AMOUNT", value_parser = grams)]
    pub(crate) batch: Option<Exact>,
    /// Only this variant
    #[arg(long, value_name = "NAME")]
    pub(crate) variant: Option<String>,
    /// Where the text from standard input belongs
    #[arg(long, value_name = "NAME")]
    pub(crate) path: Option<PathBuf>,
}

#[derive(clap::Args, Debug)]
pub(crate) struct LabelArgs {
    /// The file; `-` for standard input
    #[arg(value_name = "PATH")]
    pub(crate) file: PathBuf,
    /// Only this formula and its variants
    #[arg(long, value_name = "NAME")]
    pub(crate) formula: Option<String>,
    /// Only this variant
    #[arg(long, value_name = "NAME")]
    pub(crate) variant: Option<String>,
    /// For this market, whatever the formula says: eu, uk or us
    #[arg(long, value_name = "MARKET", value_parser = market)]
    pub(crate) market: Option<Market>,
    /// The form of the output
    #[arg(long = "as", value_enum, value_name = "FORM", default_value_t = LabelForm::Text)]
    pub(crate) form: LabelForm,
    /// By the law of this day (default: today)
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub(crate) on: Option<Date>,
    /// Where the text from standard input belongs
    #[arg(long, value_name = "NAME")]
    pub(crate) path: Option<PathBuf>,
}

#[derive(clap::Args, Debug)]
pub(crate) struct TidyArgs {
    /// Files, or folders to look through; `-` filters standard input
    #[arg(value_name = "PATH", default_value = ".")]
    pub(crate) paths: Vec<PathBuf>,
    /// Change nothing; list what would change, and fail if anything would
    #[arg(long)]
    pub(crate) dry_run: bool,
}

#[derive(clap::Args, Debug)]
pub(crate) struct MendArgs {
    /// Files, or folders to look through; `-` filters standard input
    #[arg(value_name = "PATH", default_value = ".")]
    pub(crate) paths: Vec<PathBuf>,
    /// Change nothing; show what would change, and fail if anything would
    #[arg(long)]
    pub(crate) dry_run: bool,
    /// Ask about each fix, also those that change the product
    #[arg(long, conflicts_with = "dry_run")]
    pub(crate) ask: bool,
    /// Ask about the fixes of hints, too
    #[arg(long, requires = "ask")]
    pub(crate) hints: bool,
    /// The quietest level of what is left that makes the command fail: error, warning, note or hint
    #[arg(long, value_name = "LEVEL", default_value = "error", value_parser = level)]
    pub(crate) fail_on: Level,
    /// Mend by the law of this day (default: today)
    #[arg(long, value_name = "DATE", value_parser = date)]
    pub(crate) on: Option<Date>,
    /// Where the text from standard input belongs: its includes and its workshop are looked for from there
    #[arg(long, value_name = "NAME")]
    pub(crate) path: Option<PathBuf>,
}

#[derive(clap::Args, Debug)]
#[command(group = ArgGroup::new("what").required(true).args(["rule", "all"]))]
pub(crate) struct ExplainArgs {
    /// The rule's name, as it stands with each finding
    #[arg(value_name = "RULE")]
    pub(crate) rule: Option<String>,
    /// List all rules
    #[arg(long)]
    pub(crate) all: bool,
    /// The form of the output
    #[arg(long = "as", value_enum, value_name = "FORM", default_value_t = PageForm::Text)]
    pub(crate) form: PageForm,
}

#[derive(clap::Args, Debug)]
#[command(group = ArgGroup::new("what").required(true).args(["name", "like", "function"]))]
pub(crate) struct IngredientArgs {
    /// Any of its names
    #[arg(value_name = "NAME")]
    pub(crate) name: Option<String>,
    /// List those with this text in one of their names
    #[arg(long, value_name = "TEXT")]
    pub(crate) like: Option<String>,
    /// List those with this function, such as humectant
    #[arg(long, value_name = "WORD")]
    pub(crate) function: Option<String>,
    /// The form of the output
    #[arg(long = "as", value_enum, value_name = "FORM", default_value_t = Form::Text)]
    pub(crate) form: Form,
}

#[derive(clap::Args, Debug)]
pub(crate) struct NewArgs {
    /// What to start
    #[arg(value_enum, value_name = "KIND")]
    pub(crate) kind: Kind,
    /// Write it to this file, which must not be there yet
    #[arg(long, value_name = "PATH")]
    pub(crate) to: Option<PathBuf>,
}

/// What a starter file is for.
#[derive(Clone, Copy, PartialEq, Eq, Debug, ValueEnum)]
pub(crate) enum Kind {
    Cream,
    Lotion,
    Balm,
    Gel,
    Cleanser,
    SunCream,
    Oil,
    Scrub,
    Powder,
    Bath,
    Ingredient,
    Workshop,
}

fn level(text: &str) -> Result<Level, String> {
    Level::of_word(text).ok_or_else(|| "say error, warning, note or hint".to_owned())
}

fn market(text: &str) -> Result<Market, String> {
    Market::of_word(text).ok_or_else(|| "say eu, uk or us".to_owned())
}

fn date(text: &str) -> Result<Date, String> {
    Date::read(text).map_err(|_| "write a day as 2026-11-24".to_owned())
}

/// `2kg`, `500 g`, `1,5 kg`
fn grams(text: &str) -> Result<Exact, String> {
    let example = "write an amount by weight, such as 500g or 2kg";
    let text = text.trim();
    let unit_at = text.find(|c: char| c.is_alphabetic()).ok_or(example)?;
    let (number, unit) = text.split_at(unit_at);
    let UnitWord::Known(unit) = find_unit(unit.trim()) else { return Err(example.to_owned()) };
    let factor = factor::grams(unit).ok_or(example)?;
    let number = Exact::read(number.trim()).ok_or(example)?;
    if number.is_zero() || number.is_negative() { Err(example.to_owned()) } else { Ok(number * factor) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;

    #[test]
    fn the_command_line_is_sound() {
        Args::command().debug_assert();
    }

    #[test]
    fn batches_are_weights() {
        for (text, expected) in
            [("2kg", "2000"), ("500 g", "500"), ("1,5 kg", "1500"), ("250", ""), ("5 mL", "")]
        {
            let read = grams(text).map(|grams| grams.data()).unwrap_or_default();
            assert_eq!(read, expected, "{text}");
        }
    }
}
