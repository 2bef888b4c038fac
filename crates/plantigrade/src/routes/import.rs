//! stub
use crate::web::Answer;
pub async fn form() -> Answer { Err(crate::web::Fail::not_found()) }
pub async fn upload() -> Answer { Err(crate::web::Fail::not_found()) }
pub async fn confirm() -> Answer { Err(crate::web::Fail::not_found()) }
pub async fn refused() -> Answer { Err(crate::web::Fail::not_found()) }
