//! stub
pub struct Plan;
