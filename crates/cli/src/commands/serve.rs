//! `levigate serve`

use super::{Done, Fault, compare, sheet};
use crate::disk::{self, Disk};
use server::Setup;
use std::sync::Arc;

pub(crate) fn run() -> Result<Done, Fault> {
    let setup = Setup {
        shelf: Arc::new(Disk),
        law_day: disk::today(),
        keep_page: Box::new(disk::keep_page),
        write_sheet: Box::new(sheet::written),
        committed: Arc::new(disk::committed),
        write_comparison: Arc::new(compare::written),
        keep_sheet: Box::new(disk::keep_sheet),
        is_alive: disk::is_alive,
    };
    Ok(Done::Status(server::serve(setup)?))
}
