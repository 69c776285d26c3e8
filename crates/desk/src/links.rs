//! Links to what a text names: files and addresses.

use crate::Page;
use notation::{Form, Span, Word};

/// A link.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Link {
    /// Bytes from the file's start.
    pub span: Span,
    /// Where it leads.
    pub target: LinkTarget,
}

/// Where a link leads.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum LinkTarget {
    /// A file, by the path as written: relative to the folder of this text.
    File(String),
    /// An address on the web.
    Address(String),
}

impl Page {
    /// The files that `include` and `stock` lines name, and every web address, in order.
    pub fn links(&self) -> Vec<Link> {
        let mut links = Vec::new();
        for leaf in self.leaves() {
            let block = leaf.block();
            let mut put = |span: Span, target| links.push(Link { span: span.shifted(leaf.start), target });
            for line in &block.lines {
                if let Form::Fact(fact) = &line.form {
                    let text = block.at(fact.rest);
                    let path = match fact.word {
                        Word::Include => text.rfind(" as ").and_then(|at| text.get(..at)).unwrap_or(text),
                        Word::Stock => text,
                        _ => "",
                    };
                    let path = path.trim_end();
                    if !path.is_empty() {
                        let file = path.split('#').next().unwrap_or(path).to_owned();
                        let span = Span::new(fact.rest.start, fact.rest.start + path.len() as u32);
                        put(span, LinkTarget::File(file));
                        continue;
                    }
                }
                for span in addresses(block.at(line.span)) {
                    let span = span.shifted(line.span.start);
                    put(span, LinkTarget::Address(block.at(span).to_owned()));
                }
            }
        }
        links
    }
}

/// Web addresses in a line.
fn addresses(line: &str) -> Vec<Span> {
    let mut found = Vec::new();
    let mut from = 0;
    while let Some(rest) = line.get(from..) {
        let Some(at) = ["https://", "http://"].iter().filter_map(|start| rest.find(start)).min() else {
            break;
        };
        let tail = rest.get(at..).unwrap_or("");
        let end = tail
            .find(|c: char| c.is_whitespace() || matches!(c, ';' | '"' | '<' | '>' | ')'))
            .unwrap_or(tail.len());
        let address = tail.get(..end).unwrap_or("").trim_end_matches(['.', ',', ':']);
        let start = from + at;
        found.push(Span::new(start as u32, (start + address.len()) as u32));
        from = start + end.max(1);
    }
    found
}
