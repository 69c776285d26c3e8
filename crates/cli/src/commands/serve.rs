//! `levigate serve`

use super::{Done, Fault, compare, label, sheet};
use crate::disk::{self, Disk};
use server::{Paper, Setup};
use std::sync::Arc;

pub(crate) fn run() -> Result<Done, Fault> {
    let setup = Setup {
        shelf: Arc::new(Disk),
        law_day: disk::today(),
        keep_page: Box::new(disk::keep_page),
        write_paper: Box::new(|paper, page, settings, name| match paper {
            Paper::Sheet => sheet::written(page, settings, name),
            Paper::Label => label::written(page, name),
        }),
        committed: Arc::new(disk::committed),
        write_comparison: Arc::new(compare::written),
        keep_paper: Box::new(disk::keep_paper),
        is_alive: disk::is_alive,
    };
    Ok(Done::Status(server::serve(setup)?))
}
