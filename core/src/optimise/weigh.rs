//! The best point that can be weighed: variables in whole steps of a scale, each nothing or at
//! least its smallest sensible amount, and at most so many different items. `weighing` has the
//! demands and the result, `search` finds it.

use super::programme::Programme;
use super::programme_error::ProgrammeError;
use super::solver::Workspace;
use search::Search;

mod search;
mod weighing;

pub use weighing::{Portion, Regularisation, Weighed, Weighing};

/// The best point of a programme that can be weighed.
///
/// # Errors
/// When a portion names no variable of the programme.
pub fn weigh(programme: &Programme, weighing: &Weighing<'_>) -> Result<Weighed, ProgrammeError> {
    weigh_from(programme, weighing, &mut Workspace::new())
}

/// The same from where a workspace last ended, with this programme under other spans or another
/// gradient.
pub(crate) fn weigh_from(
    programme: &Programme,
    weighing: &Weighing<'_>,
    workspace: &mut Workspace,
) -> Result<Weighed, ProgrammeError> {
    let mut search = Search::new(programme, weighing, workspace)?;
    search.run();
    Ok(search.ended())
}
