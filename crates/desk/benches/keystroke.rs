//! How long a keystroke costs, and what could be written after it, in a short file and in a recipe book of 100,000
//! lines: `cargo bench -p desk`.
//!
//! Prints medians; compare two runs on one machine in one minute, not numbers from two machines.

#![expect(clippy::disallowed_methods, reason = "a benchmark asks the clock")]
#![expect(clippy::print_stdout, clippy::expect_used, reason = "a benchmark prints, and may stop")]

use desk::{Date, Desk, Encoding, MemoryShelf, Place};
use std::fmt::Write;
use std::hint::black_box;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

/// A book of ordinary creams of 25 lines each; one line in a thousand holds a slip.
fn book(lines: usize) -> String {
    let mut text = String::new();
    for number in 0..lines / 25 {
        let unit = if number % 40 == 7 { "grms" } else { "%" };
        let _ = write!(
            text,
            "formula Ferry cream {number}\nversion 2\nproduct cream, leave-on, hands\nbatch 500 g\npH 5.0 to 5.5\n\
             shelf life 3 months\n\nphase A water; heat to 75 °C\n  to  100     %     purified water\n        \
             4     {unit}     glycerin\n        0.3   %     xanthan gum; wetted in glycerin\n\nphase B oil; heat to \
             75 °C\n        8     %     jojoba oil\n        5     %     glyceryl stearate (and) PEG-100 stearate\n        \
             2     %     cetyl alcohol\n\nphase C cool-down; below 40 °C\n        1     %     phenoxyethanol (and) \
             ethylhexylglycerin\n     q.s.           lactic acid 80 %; to pH 5.3\n\nstep heat A and B to 75 °C\nstep \
             add B to A; homogenise 3 min\nstep cool below 40 °C; add C; adjust pH\n\n"
        );
    }
    text
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times.get(times.len() / 2).copied().unwrap_or_default()
}

/// Lines that are being written, each a while before its end.
const WRITTEN: [&str; 6] = ["  5 % gl", "  5 % ", "  5 % x; wetted in ", "  5 ", "  5 % x; pre", "st"];

/// How long it takes to find what could be written: the first time, then the median of each of the lines.
fn candidates(desk: &mut Desk, path: &Path) -> String {
    let mut told = String::new();
    for line in WRITTEN {
        // Below the glycerin of the twentieth formula.
        let place = Place { line: 19 * 24 + 10, column: 0 };
        desk.edit(path, place, place, Encoding::Utf16, line);
        let page = desk.page(path).expect("a page");
        let at = page.offset(place, Encoding::Utf16) + line.len() as u32;
        let mut times: Vec<Duration> = Vec::new();
        let mut many = 0;
        for _ in 0..60 {
            let start = Instant::now();
            many = black_box(desk.complete(path, &page, at, false)).candidates.len();
            times.push(start.elapsed());
        }
        let first = times.first().copied().unwrap_or_default();
        let _ = write!(
            told,
            "\n          `{line}`: {many} candidates, first {first:.2?}, then {:.2?}",
            median(times)
        );
        let end = Place { line: place.line, column: line.len() as u32 };
        desk.edit(path, place, end, Encoding::Utf16, "");
    }
    told
}

fn main() {
    let day = Date::read("2026-11-24").expect("a day");
    let path = Path::new("book.formula");
    for lines in [1_000, 100_000] {
        let text = book(lines);
        let mut desk = Desk::new(Arc::new(MemoryShelf::default()), day);
        let start = Instant::now();
        desk.open(path, text.clone());
        let read = start.elapsed();
        let start = Instant::now();
        let found = desk.page(path).expect("a page").gravest(200, desk::Level::Hint).1;
        let first = start.elapsed();
        let keys = (0..400u32).map(|key| {
            let place = Place { line: (key * 37) % 900, column: 0 };
            let start = Instant::now();
            desk.edit(path, place, place, Encoding::Utf16, " ");
            black_box(desk.page(path).expect("a page").gravest(200, desk::Level::Hint));
            start.elapsed()
        });
        let key = median(keys.collect());
        let candidates = candidates(&mut desk, path);
        println!(
            "{lines:>7} lines: read {read:.2?}, first page {first:.2?} ({found} findings), keystroke {key:.2?}{candidates}"
        );
    }
}
