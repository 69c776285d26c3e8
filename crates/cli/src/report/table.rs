//! Columns of text, numbers standing with their decimal points under each other.

use crate::look::columns;

/// How a column stands.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Stand {
    Left,
    Right,
    /// At the decimal point.
    Point,
}

/// A number cut at its point; words have no decimals.
fn cut(text: &str) -> (&str, &str) {
    text.find('.').map_or((text, ""), |at| text.split_at(at))
}

/// The rows with their cells in columns, two blanks between them, none at the end.
pub(crate) fn columns_of(rows: &[Vec<String>], stands: &[Stand]) -> Vec<String> {
    let widest = |at: usize, measure: fn(&str) -> usize| {
        rows.iter().filter_map(|row| row.get(at)).map(|cell| measure(cell)).max().unwrap_or(0)
    };
    let widths: Vec<(usize, usize)> = (0..stands.len())
        .map(|at| match stands.get(at) {
            Some(Stand::Point) => {
                (widest(at, |cell| columns(cut(cell).0)), widest(at, |cell| columns(cut(cell).1)))
            }
            _ => (widest(at, columns), 0),
        })
        .collect();
    rows.iter()
        .map(|row| {
            let cells: Vec<String> = row
                .iter()
                .zip(stands)
                .zip(&widths)
                .map(|((cell, stand), (before, after))| match stand {
                    Stand::Left => pad(cell, *before, false),
                    Stand::Right => pad(cell, *before, true),
                    Stand::Point => {
                        let (whole, decimals) = cut(cell);
                        pad(whole, *before, true) + &pad(decimals, *after, false)
                    }
                })
                .collect();
            cells.join("  ").trim_end().to_owned()
        })
        .collect()
}

fn pad(text: &str, width: usize, left: bool) -> String {
    let blanks = " ".repeat(width.saturating_sub(columns(text)));
    if left { blanks + text } else { text.to_owned() + &blanks }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_stand_under_each_other() {
        let row = |name: &str, number: &str| vec![name.to_owned(), number.to_owned()];
        let rows = [row("a", "12.5"), row("crème", "0.25"), row("c", "100"), row("d", "—")];
        let expected = ["a       12.5", "crème    0.25", "c      100", "d        —"];
        assert_eq!(columns_of(&rows, &[Stand::Left, Stand::Point]), expected);
    }
}
