//! `levigate explain`

use super::{Done, Fault};
use crate::args::{Color, ExplainArgs, PageForm};
use crate::disk;
use crate::look::Look;
use crate::report::page;
use desk::{RULES, fold, nearest, rule};

pub(crate) fn run(args: &ExplainArgs, color: Color) -> Result<Done, Fault> {
    let look = Look::of_stdout(color);
    let Some(name) = &args.rule else {
        disk::say(&match args.form {
            PageForm::Text => page::list(RULES, look),
            PageForm::Markdown => page::markdown_list(RULES),
        })?;
        return Ok(Done::Well);
    };
    let Some(rule) = rule(name) else { return Err(unknown(name)) };
    let markdown = rule.page();
    disk::say(&match args.form {
        PageForm::Text => page::text(&markdown, look),
        PageForm::Markdown => markdown,
    })?;
    Ok(Done::Well)
}

fn unknown(name: &str) -> Fault {
    let near = nearest(&fold(name), RULES.iter().map(|rule| rule.name), 3);
    let help = near.map_or_else(
        || "`levigate explain --all` lists the rules".to_owned(),
        |near| format!("did you mean `{near}`?"),
    );
    Fault(format!("no rule is called `{name}`; {help}"))
}
