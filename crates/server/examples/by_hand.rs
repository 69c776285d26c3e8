//! The language server without a disk, to be run by hand: `cargo run -p server --example by_hand`.

use desk::{Date, MemoryShelf};
use server::{Setup, serve};
use std::io;
use std::process::ExitCode;
use std::sync::Arc;

fn main() -> io::Result<ExitCode> {
    let setup = Setup {
        shelf: Arc::new(MemoryShelf::default()),
        law_day: Date { year: 2026, month: 11, day: 24 },
        keep_page: Box::new(|_, _| None),
        write_paper: Box::new(|_, _, _, _| None),
        committed: Arc::new(|_| None),
        write_comparison: Arc::new(|_, _| String::new()),
        keep_paper: Box::new(|_, _, _| None),
        is_alive: |_| true,
    };
    serve(setup).map(ExitCode::from)
}
