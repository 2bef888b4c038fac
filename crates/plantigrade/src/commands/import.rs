//! stub
use crate::{cli::ImportArgs, exit::Failure};
pub fn import(_: &ImportArgs) -> Result<(), Failure> { Ok(()) }
