//! The clock of this machine. Window and command line ask it; every room below
//! them gets its date handed in, so that the same project and date give the
//! same page byte for byte.

use crate::drawing::page::Date;
use crate::project::Project;
use crate::sheet::Stamp;

/// Today's date as readings and kept states carry it: 2026-05-02.
#[must_use]
pub fn today() -> String {
    jiff::Zoned::now().strftime("%Y-%m-%d").to_string()
}

/// Date and time of day as the bench log writes them.
#[must_use]
pub fn now() -> String {
    jiff::Zoned::now().strftime("%Y-%m-%d %H:%M").to_string()
}

/// Today, and whose engine it is, for the title block.
///
/// # Errors
/// A sentence, if the clock of this machine shows no date.
pub fn stamp(project: &Project) -> Result<Stamp, String> {
    let today = jiff::Zoned::now().date();
    let date = u16::try_from(today.year())
        .ok()
        .zip(u8::try_from(today.month()).ok())
        .zip(u8::try_from(today.day()).ok())
        .and_then(|((year, month), day)| Date::new(year, month, day))
        .ok_or("the clock of this machine shows no date; set it")?;
    Ok(Stamp { date, author: project.owner.clone() })
}
