//! The command `levigate`: takes what the maker typed, asks the desk, and prints what it says.
//!
//! [`disk`] alone touches files, clock and streams; [`report`] turns data into text and touches nothing;
//! [`commands`] join the two, one file a command.

mod args;
mod commands;
mod disk;
mod look;
mod report;

use clap::Parser;
use std::process::ExitCode;

fn main() -> ExitCode {
    let args = args::Args::parse();
    match commands::run(&args) {
        Ok(done) => ExitCode::from(done.status()),
        Err(fault) => {
            disk::complain(&fault.to_string());
            ExitCode::from(2)
        }
    }
}
