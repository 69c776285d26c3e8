//! How a session file is written: steps at the margin, their texts four columns in, and what came back behind `>`.

/// A session file, line by line, so that it can be written again with other answers.
pub(super) struct Script {
    pieces: Vec<Piece>,
}

enum Piece {
    /// Prose, and empty lines.
    Prose(String),
    Step(Step),
}

/// One thing that is done.
#[derive(Clone, Default)]
pub(super) struct Step {
    /// The line of the file, counted from 1.
    pub(super) line: usize,
    pub(super) words: String,
    pub(super) text: Vec<String>,
    pub(super) answer: Vec<String>,
}

impl Script {
    pub(super) fn read(file: &str) -> Script {
        let mut pieces: Vec<Piece> = Vec::new();
        for (at, line) in file.lines().enumerate() {
            let answer = line.strip_prefix("> ").or_else(|| line.strip_prefix('>'));
            let text = line.strip_prefix("    ");
            if let (Some(answer), Some(Piece::Step(step))) = (answer, pieces.last_mut()) {
                step.answer.push(answer.to_owned());
            } else if let Some(text) = text {
                // Empty lines inside a text belong to it.
                let mut empty = 0;
                while matches!(pieces.last(), Some(Piece::Prose(prose)) if prose.is_empty()) {
                    let _ = pieces.pop();
                    empty += 1;
                }
                let Some(Piece::Step(step)) = pieces.last_mut() else {
                    panic!("line {}: a text that belongs to no step", at + 1)
                };
                step.text.extend(std::iter::repeat_n(String::new(), empty));
                step.text.push(text.to_owned());
            } else if line.is_empty() || line.starts_with('#') || answer.is_some() {
                pieces.push(Piece::Prose(line.to_owned()));
            } else {
                pieces.push(Piece::Step(Step { line: at + 1, words: line.to_owned(), ..Step::default() }));
            }
        }
        Script { pieces }
    }

    pub(super) fn steps(&self) -> impl Iterator<Item = &Step> {
        self.pieces.iter().filter_map(|piece| match piece {
            Piece::Step(step) => Some(step),
            Piece::Prose(_) => None,
        })
    }

    /// The file with these answers, one list for each step.
    pub(super) fn written(&self, answers: &[Vec<String>]) -> String {
        let (mut out, mut answers) = (String::new(), answers.iter());
        let mut put = |line: &str| {
            out.push_str(line.trim_end());
            out.push('\n');
        };
        for piece in &self.pieces {
            match piece {
                Piece::Prose(prose) => put(prose),
                Piece::Step(step) => {
                    put(&step.words);
                    for line in &step.text {
                        put(&format!("    {line}"));
                    }
                    let answer = answers.next().unwrap_or(&step.answer);
                    for line in answer {
                        put(&format!("> {line}"));
                    }
                }
            }
        }
        out
    }
}

/// Where whole lines stand in a text. They have to stand there once, or nobody knows which are meant.
pub(super) fn find(text: &str, lines: &str) -> Result<usize, String> {
    let fits = |at: &usize| {
        let end = at + lines.len();
        (*at == 0 || text[..*at].ends_with('\n')) && (end == text.len() || text[end..].starts_with('\n'))
    };
    let found: Vec<usize> = text.match_indices(lines).map(|(at, _)| at).filter(fits).collect();
    match found[..] {
        [at] => Ok(at),
        [] => Err(format!("the text has no such lines:\n{lines}\nin\n{text}")),
        _ => Err(format!("the text has these lines more than once; draw more of them:\n{lines}")),
    }
}

/// Lines with edits drawn as `{-old-}` and `{+new+}`: the lines before, and the edits in their bytes.
pub(super) fn drawn_edits(drawn: &str) -> (String, Vec<(std::ops::Range<usize>, String)>) {
    let (mut before, mut edits) = (String::new(), Vec::new());
    let mut rest = drawn;
    while let Some(at) = rest.find("{-").into_iter().chain(rest.find("{+")).min() {
        before.push_str(&rest[..at]);
        let start = before.len();
        rest = &rest[at..];
        let mut old = String::new();
        if let Some((inside, after)) = rest.strip_prefix("{-").and_then(|rest| rest.split_once("-}")) {
            old = inside.to_owned();
            rest = after;
        }
        let mut new = String::new();
        if let Some((inside, after)) = rest.strip_prefix("{+").and_then(|rest| rest.split_once("+}")) {
            new = inside.to_owned();
            rest = after;
        }
        before.push_str(&old);
        edits.push((start..before.len(), new));
    }
    before.push_str(rest);
    (before, edits)
}
