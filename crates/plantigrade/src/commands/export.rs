//! stub
use crate::{cli::ExportArgs, exit::Failure};
pub fn export(_: &ExportArgs) -> Result<(), Failure> { Ok(()) }
