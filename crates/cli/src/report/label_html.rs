//! Labels as a page for a browser: all in one file, nothing fetched.

use super::label_text::{title, unknown};
use crate::look::harmless;
use desk::Label;
use std::fmt::Write;

const HEAD: &str = "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
    <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>Labels</title>\n<style>\n\
    body { font: 1rem/1.5 serif; max-width: 42rem; margin: 2rem auto; padding: 0 1rem; }\n\
    h1 { font-size: 1.2rem; } h2 { font-size: 1rem; margin-bottom: 0; }\n\
    .label { border: 1px solid; padding: .5rem 1rem; } .label p { margin: .5rem 0; }\n\
    .name { font-weight: bold; } aside { font-size: .85rem; }\n\
    @media print { aside, h1 { display: none; } }\n</style>\n</head>\n<body>\n";

/// A page with all labels. Printed, it shows only what is for the label.
pub(crate) fn text(labels: &[Label<'_>], others: &[&str]) -> String {
    let mut out = HEAD.to_owned();
    for label in labels {
        article(label, &mut out);
    }
    if !others.is_empty() {
        let _ = writeln!(out, "<aside><p>{}</p></aside>", plain(&format!("No label: {}.", unknown(others))));
    }
    out.push_str("</body>\n</html>\n");
    harmless(&out)
}

fn article(label: &Label<'_>, out: &mut String) {
    let _ = writeln!(out, "<article>\n<h1>{}</h1>\n<div class=\"label\">", plain(&title(label)));
    for (at, line) in label.block().iter().enumerate() {
        let class = if at == 0 { " class=\"name\"" } else { "" };
        let _ = writeln!(out, "<p{class}>{}</p>", plain(line));
    }
    out.push_str("</div>\n<aside>\n<p>Not part of the label:</p>\n");
    for section in label.notes() {
        let _ = writeln!(out, "<h2>{}</h2>\n<ul>", plain(section.title));
        for line in &section.lines {
            let _ = writeln!(out, "<li>{}</li>", marked(line));
        }
        out.push_str("</ul>\n");
    }
    out.push_str("</aside>\n</article>\n");
}

/// A note, with what is to be typed set apart.
fn marked(note: &str) -> String {
    let mut pieces = note.split('`');
    let mut out = plain(pieces.next().unwrap_or_default());
    while let Some(typed) = pieces.next() {
        match pieces.next() {
            Some(after) => {
                let _ = write!(out, "<code>{}</code>{}", plain(typed), plain(after));
            }
            None => {
                let _ = write!(out, "`{}", plain(typed));
            }
        }
    }
    out
}

/// A text whose marks mean nothing in HTML.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_is_set_apart() {
        assert_eq!(marked("say `a < b` or `c`"), "say <code>a &lt; b</code> or <code>c</code>");
        assert_eq!(marked("a ` alone"), "a ` alone");
        assert_eq!(marked(""), "");
    }
}
