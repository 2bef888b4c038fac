//! Charts as files: SVG and PNG.

use super::{brace_fitting, day::day_of, results, wear};
use crate::{
    app::App,
    chart_png,
    web::{Fail, PageResult, Shared, work},
};
use axum::{
    extract::{Path, Query, State},
    http::header,
    response::IntoResponse,
};
use clinic::ChildRecord;
use pages::{ChartFile, ChartFormat, course_chart, growth_chart, wear_chart};
use record::{ChildId, Side};
use serde::Deserialize;

/// As of which day, and whether the number of the child is named.
#[derive(Debug, Deserialize)]
pub struct ChartQuery {
    as_of: Option<String>,
    number: Option<String>,
}

/// A chart of a child: the course of a foot, its wear, the growth of its feet. The file names the child only by its
/// number, and only where that is asked for.
pub async fn of_child(
    State(app): State<Shared>,
    Path((child, file)): Path<(ChildId, String)>,
    Query(asked): Query<ChartQuery>,
) -> PageResult {
    let (key, format) = ChartFormat::of_file(&file).ok_or_else(Fail::not_found)?;
    let wanted = ChildChart::from_key(key).ok_or_else(Fail::not_found)?;
    let as_of = day_of(&app, asked.as_of.as_deref())?.min(app.clock.today());
    let with_number = asked.number.as_deref() == Some("on");
    let made = work(&app, move |app| {
        let known = app.known(child, as_of)?;
        let numbers = &known.outlook.course.about.numbers;
        let who = numbers.first().filter(|_| with_number).map(|number| format!("number {number}"));
        chart_of(app, &known, wanted, who.as_deref())
    });
    let chart = made.await?.ok_or_else(Fail::not_found)?;
    sent(&app, chart, wanted.file_name().to_owned(), format).await
}

/// A chart of a child.
#[derive(Debug, Clone, Copy)]
enum ChildChart {
    /// The course of a foot.
    Course(Side),
    /// Hours in the brace.
    Wear,
    /// The length of the feet.
    Growth,
}

impl ChildChart {
    fn from_key(key: &str) -> Option<Self> {
        match key {
            "wear" => Some(Self::Wear),
            "growth" => Some(Self::Growth),
            side => Side::BOTH.into_iter().find(|one| one.word() == side).map(Self::Course),
        }
    }

    const fn file_name(self) -> &'static str {
        match self {
            Self::Course(Side::Right) => "course-right-foot",
            Self::Course(Side::Left) => "course-left-foot",
            Self::Wear => "wear",
            Self::Growth => "growth",
        }
    }
}

fn chart_of(
    app: &App,
    known: &ChildRecord,
    wanted: ChildChart,
    who: Option<&str>,
) -> Result<Option<ChartFile>, Fail> {
    let (course, clinic) = (&known.outlook.course, app.settings().name.clone());
    Ok(match wanted {
        ChildChart::Course(side) => {
            let forecasts = app.records.forecasts(course)?;
            let forecast = forecasts.iter().find(|forecast| forecast.side == side);
            course_chart(&known.outlook, side, forecast, who, &clinic)
        }
        ChildChart::Wear => Some(wear_chart(&wear::adherence(app, known), who, &clinic, course.as_of)),
        ChildChart::Growth => {
            brace_fitting::curves(course).and_then(|curves| growth_chart(&curves, who, &clinic, course.as_of))
        }
    })
}

/// A chart of a measure, or of the agreement of raters.
pub async fn of_results(
    State(app): State<Shared>,
    Path((measure, file)): Path<(String, String)>,
    Query(pairs): Query<Vec<(String, String)>>,
) -> PageResult {
    let (key, format) = ChartFormat::of_file(&file).ok_or_else(Fail::not_found)?;
    let chart = results::chart(&app, &measure, key.to_owned(), &pairs).await?.ok_or_else(Fail::not_found)?;
    sent(&app, chart, format!("{measure}-{key}"), format).await
}

/// The file as a download.
async fn sent(app: &Shared, chart: ChartFile, name: String, format: ChartFormat) -> PageResult {
    let made = work(app, move |_| {
        let svg = chart.svg().ok_or_else(Fail::not_found)?;
        match format {
            ChartFormat::Svg => Ok(svg.into_bytes()),
            ChartFormat::Png => chart_png::png(&svg).map_err(|error| Fail::fault(&error.to_string())),
        }
    });
    let (kind, ending) = match format {
        ChartFormat::Svg => ("image/svg+xml", "svg"),
        ChartFormat::Png => ("image/png", "png"),
    };
    let headers = [
        (header::CONTENT_TYPE, kind.to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"plantigrade-{name}.{ending}\"")),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    Ok((headers, made.await?).into_response())
}
