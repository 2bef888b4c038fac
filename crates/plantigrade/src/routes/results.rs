//! Results: how well the service does.

use crate::{
    agreement_table,
    app::App,
    clock, results_table,
    web::{Fail, PageResult as Reply, Shared, Visitor, drawn, page as shown, work},
};
use audit::{
    ClinicAgreement, ClinicHistory, DetailLevel, Measure, MeasureResult, ResultsBasis, Selection,
    report::YearReport,
    results,
    watch::{Watch, own_share},
};
use axum::{
    extract::{Path, Query, State},
    http::{HeaderValue, header},
    response::IntoResponse,
};
use clinic::{SharedResults, results_basis};
use pages::{
    AgreementView, ChartFile, Here, Names, ResultsFilter, ResultsView, WatchChoice, WatchView, YearView,
};

/// Seconds after which the page reloads while the records are read.
const AGAIN_SECONDS: u64 = 2;

type Pairs = Query<Vec<(String, String)>>;

/// The definitions of the measures.
pub async fn definitions(State(app): State<Shared>, visitor: Visitor) -> Reply {
    shown(pages::definitions(&app.frame(&visitor, Here::Results)))
}

/// All measures of the service.
pub async fn page(State(app): State<Shared>, visitor: Visitor, Query(pairs): Pairs) -> Reply {
    let filter = ResultsFilter::from_pairs(&pairs);
    let Some(clinic) = clinic(&app, basis(&app, &filter)).await? else {
        return working(&app, &visitor).await;
    };
    let frame = app.frame(&visitor, Here::Results);
    let sheet = format!("/results {filter:?}");
    drawn(&app, &visitor, sheet, move |app| {
        Ok(pages::results(&frame, &view(app, &clinic, filter, None, WatchChoice::default())))
    })
    .await
}

/// One measure, as a page or, with the ending `.csv`, as a table that may leave the clinic.
pub async fn measure(
    State(app): State<Shared>,
    visitor: Visitor,
    Path(name): Path<String>,
    Query(pairs): Pairs,
) -> Reply {
    let (key, table) = match name.strip_suffix(".csv") {
        Some(key) => (key, true),
        None => (name.as_str(), false),
    };
    let measure = Measure::of_key(key).ok_or_else(Fail::not_found)?;
    let filter = ResultsFilter::from_pairs(&pairs);
    let Some(clinic) = clinic(&app, basis(&app, &filter)).await? else {
        return working(&app, &visitor).await;
    };
    if table {
        let text = work(&app, move |app| {
            let view = view(app, &clinic, filter, Some(measure), WatchChoice::default());
            let selected = view.filter.words(&view.names.sites, &view.names.clinicians);
            Ok(results_table::csv(&view.answers, &view.names, selected.as_deref()))
        })
        .await?;
        return csv(measure.key(), text);
    }
    let frame = app.frame(&visitor, Here::Results);
    let choice = WatchChoice::from_pairs(&pairs);
    let sheet = format!("/results/{} {filter:?} {choice:?}", measure.key());
    drawn(&app, &visitor, sheet, move |app| {
        Ok(pages::result(&frame, &view(app, &clinic, filter, Some(measure), choice)))
    })
    .await
}

/// The year in figures: the requested year, or the last complete one.
pub async fn year(State(app): State<Shared>, visitor: Visitor, Query(pairs): Pairs) -> Reply {
    let asked = ResultsFilter::from_pairs(&pairs);
    let filter = ResultsFilter {
        as_of: asked.as_of,
        as_written: asked.as_written,
        site: asked.site,
        clinician: asked.clinician,
        ..ResultsFilter::default()
    };
    let (this, _, _) = app.clock.today().parts();
    let year = pairs.iter().find(|(name, _)| name == "year").and_then(|(_, year)| year.trim().parse().ok());
    let year = year.filter(|year| (1900..=this).contains(year)).unwrap_or(this - 1);
    let Some(clinic) = clinic(&app, basis(&app, &filter)).await? else {
        return working(&app, &visitor).await;
    };
    let frame = app.frame(&visitor, Here::Results);
    let sheet = format!("/results/year {year} {filter:?}");
    drawn(&app, &visitor, sheet, move |app| {
        let names = names(app, &clinic);
        let report = YearReport::of_selection(&clinic, year, &filter.selection(&names));
        Ok(pages::year(&frame, &YearView { filter, report, names, clinic: app.settings().name.clone() }))
    })
    .await
}

/// The agreement of raters.
pub async fn agreement(State(app): State<Shared>, visitor: Visitor, Query(pairs): Pairs) -> Reply {
    let filter = ResultsFilter::from_pairs(&pairs).days();
    let Some(clinic) = clinic(&app, basis(&app, &filter)).await? else {
        return working(&app, &visitor).await;
    };
    let frame = app.frame(&visitor, Here::Results);
    let sheet = format!("/results/agreement {filter:?}");
    drawn(&app, &visitor, sheet, move |app| Ok(pages::agreement(&frame, &agreed(app, &clinic, filter)))).await
}

/// A chart of a page of results by its key; `None` where there is none, or the records are still being read.
pub(super) async fn chart(
    app: &Shared,
    name: &str,
    key: String,
    pairs: &[(String, String)],
) -> Result<Option<ChartFile>, Fail> {
    let of_raters = name == "agreement";
    let filter = ResultsFilter::from_pairs(pairs);
    let (filter, choice) = (if of_raters { filter.days() } else { filter }, WatchChoice::from_pairs(pairs));
    let measure = Measure::of_key(name).filter(|_| !of_raters);
    if measure.is_none() && !of_raters {
        return Err(Fail::not_found());
    }
    let Some(clinic) = clinic(app, basis(app, &filter)).await? else { return Ok(None) };
    work(app, move |app| {
        let of = app.settings().name.clone();
        Ok(match measure {
            Some(measure) => {
                pages::result_chart(&view(app, &clinic, filter, Some(measure), choice), &key, &of)
            }
            None => pages::agreement_chart(&agreed(app, &clinic, filter), &key, &of),
        })
    })
    .await
}

fn agreed(app: &App, clinic: &ClinicHistory, filter: ResultsFilter) -> AgreementView {
    let found = ClinicAgreement::of(clinic, filter.from, filter.to);
    let names = found.who.iter().map(|who| results_table::clinician(who, |user| app.name_of(user)).words);
    AgreementView { filter, names: names.collect(), found }
}

/// The agreement of raters as a table that may leave the clinic.
pub async fn agreement_table(State(app): State<Shared>, visitor: Visitor, Query(pairs): Pairs) -> Reply {
    let filter = ResultsFilter::from_pairs(&pairs).days();
    let Some(clinic) = clinic(&app, basis(&app, &filter)).await? else {
        return working(&app, &visitor).await;
    };
    let text =
        work(&app, move |_| Ok(agreement_table::csv(&ClinicAgreement::of(&clinic, filter.from, filter.to))))
            .await?;
    csv("agreement", text)
}

/// A table as a download.
fn csv(name: &str, text: String) -> Reply {
    let name = format!("attachment; filename=\"plantigrade-{name}.csv\"");
    let kind = "text/csv; charset=utf-8".to_owned();
    Ok(([(header::CONTENT_TYPE, kind), (header::CONTENT_DISPOSITION, name)], text).into_response())
}

/// The requested day, never one in the future, and which entries count as known on it.
fn basis(app: &App, filter: &ResultsFilter) -> ResultsBasis {
    let today = app.clock.today();
    let as_of = filter.as_of.map_or(today, |day| day.min(today));
    results_basis(&app.protocol(), as_of, clock::known_by(as_of, filter.as_written))
}

async fn clinic(app: &Shared, basis: ResultsBasis) -> Result<Option<SharedResults>, Fail> {
    work(app, move |app| Ok(app.records.results(&basis)?)).await
}

/// The rows of the clinic as known today, for scoring alike; `None` while they are made.
pub(super) async fn calibration_rows(app: &Shared) -> Result<Option<SharedResults>, Fail> {
    clinic(app, basis(app, &ResultsFilter::default())).await
}

pub(super) async fn working(app: &Shared, visitor: &Visitor) -> Reply {
    let frame = app.frame(visitor, Here::Results);
    let children = work(app, |app| Ok(app.records.children_count()?)).await?;
    let mut response = shown(pages::results_working(&frame, children))?;
    response.headers_mut().insert(header::REFRESH, HeaderValue::from(AGAIN_SECONDS));
    Ok(response)
}

fn view(
    app: &App,
    clinic: &ClinicHistory,
    filter: ResultsFilter,
    measure: Option<Measure>,
    choice: WatchChoice,
) -> ResultsView {
    let names = names(app, clinic);
    let selection = filter.selection(&names);
    let answers = match measure {
        None => results(clinic, &selection),
        Some(measure) => vec![MeasureResult::of(clinic, &selection, measure, DetailLevel::Full)],
    };
    let known = (clinic.children.len(), clinic.feet());
    let watch = measure.and_then(|measure| watched(clinic, &selection, measure, choice));
    ResultsView { filter, as_of: clinic.as_of, known_by: clinic.known_by, known, names, answers, watch }
}

/// The chart of a measure child by child, if the measure has one.
fn watched(
    clinic: &ClinicHistory,
    selection: &Selection,
    measure: Measure,
    choice: WatchChoice,
) -> Option<WatchView> {
    measure.watched()?;
    let own = own_share(clinic, selection, measure);
    let design = choice.design(own, measure.acceptable_choices());
    Some(WatchView { design, own, watch: Watch::of(clinic, selection, measure, design) })
}

/// The names of sites and clinicians, in the order of their numbers.
fn names(app: &App, clinic: &ClinicHistory) -> Names {
    let site_name = |site| app.records.site_name(site).ok().flatten();
    results_table::named(clinic, app.site, &app.settings().name, site_name, |user| app.name_of(user))
}
