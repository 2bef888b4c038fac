//! The protocol in force.

use crate::web::{PageResult, Shared, Visitor, page as shown};
use axum::extract::State;
use pages::{Here, ProtocolView};

/// Every value with its source.
pub async fn page(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let view = ProtocolView { settings: &app.protocol().settings, clinic_file: app.protocol_file.clone() };
    shown(pages::protocol(&app.frame(&visitor, Here::Protocol), &view))
}
