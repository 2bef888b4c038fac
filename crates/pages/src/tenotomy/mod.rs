//! Around the tenotomy, to print: the list before it for one child, with the ceilings of local anaesthetics, and the
//! list of a day for the theatre.

mod ceiling;
mod checklist;
mod day_list;

pub use ceiling::{CeilingAnswer, CeilingView, DrugView, TopicalView, ceiling_field};
pub use checklist::{TenotomyView, tenotomy, tenotomy_paper};
pub use day_list::{TheatreDayRow, TheatreDayView, theatre_day, theatre_day_paper};
