//! How good the past forecasts were.

use crate::web::{PageResult, Shared, Visitor, work};
use axum::{
    extract::State,
    http::{HeaderValue, header},
};
use pages::{ForecastsView, Here};

/// Seconds after which the page reloads while the result is being computed.
const AGAIN_SECONDS: u64 = 2;

/// The page. While the result is being computed it says so and reloads.
pub async fn page(State(app): State<Shared>, visitor: Visitor) -> PageResult {
    let frame = app.frame(&visitor, Here::Elsewhere);
    let (markup, done) = work(&app, move |app| {
        let as_of = app.clock.today();
        let tested = app.records.forecast_review(as_of)?;
        let view = match &tested {
            Some(tested) => ForecastsView::Done {
                report: &tested.report,
                as_of: tested.as_of,
                left_out: tested.left_out.clone(),
            },
            None => ForecastsView::Working { children: app.records.children_count()? },
        };
        Ok((pages::forecasts(&frame, &view), tested.is_some()))
    })
    .await?;
    let mut response = crate::web::page(markup)?;
    if !done {
        response.headers_mut().insert(header::REFRESH, HeaderValue::from(AGAIN_SECONDS));
    }
    Ok(response)
}
