//! `levigate serve`

use super::{Done, Fault, label, sheet};
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
        keep_paper: Box::new(|paper, name, text| {
            let folder = match paper {
                Paper::Sheet => "sheets",
                Paper::Label => "labels",
            };
            disk::keep_paper(folder, name, text)
        }),
        is_alive: disk::is_alive,
    };
    Ok(Done::Status(server::serve(setup)?))
}
