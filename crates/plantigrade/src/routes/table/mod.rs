//! The table of routes: every path with what it needs, one file for each subject.

mod children;
mod media;
mod people;
mod practice;
mod program;
mod records;
mod service;
mod settings;

use super::{Route, import};
use crate::{
    access::AccessNeed,
    web::{FILE_BYTES, Shared},
};
use axum::{extract::DefaultBodyLimit, middleware::from_fn, routing::MethodRouter};
use record::Right;

const OPEN: AccessNeed = AccessNeed::Nothing;
const SIGNED_IN: AccessNeed = AccessNeed::SignIn;
const CHILDREN: AccessNeed = AccessNeed::Right(Right::SeeChildren);
const CONTACT: AccessNeed = AccessNeed::Right(Right::RecordContact);
const CLINICAL: AccessNeed = AccessNeed::Right(Right::SeeClinical);
const RECORD: AccessNeed = AccessNeed::Right(Right::RecordClinical);
const STOCK: AccessNeed = AccessNeed::Right(Right::KeepStock);
const CAPACITY: AccessNeed = AccessNeed::Right(Right::SeeCapacity);
const THEATRE: AccessNeed = AccessNeed::Right(Right::SeeTheatreList);
const RESULTS: AccessNeed = AccessNeed::Right(Right::SeeResults);
const RECORDS: AccessNeed = AccessNeed::Right(Right::CareForRecords);
const PEOPLE: AccessNeed = AccessNeed::Right(Right::ManagePeople);
const SETTINGS: AccessNeed = AccessNeed::Right(Right::ChangeSettings);
const ACCESS_LOG: AccessNeed = AccessNeed::Right(Right::SeeAccessLog);
const PROTECT: AccessNeed = AccessNeed::Right(Right::ProtectRecords);

/// The paths at which a page is drawn.
pub(super) fn pages() -> Vec<Route> {
    let by_subject = [
        service::pages(),
        children::pages(),
        settings::pages(),
        records::pages(),
        people::pages(),
        program::pages(),
        media::pages(),
        practice::pages(),
    ];
    by_subject.into_iter().flatten().collect()
}

/// The paths that save, redirect or return a file, and draw a page only if something is refused.
pub(super) fn actions() -> Vec<Route> {
    let by_subject = [
        service::actions(),
        children::actions(),
        settings::actions(),
        records::actions(),
        people::actions(),
        program::actions(),
        media::actions(),
        practice::actions(),
    ];
    by_subject.into_iter().flatten().collect()
}

/// A path that accepts a file.
fn takes_file(methods: MethodRouter<Shared>) -> MethodRouter<Shared> {
    methods.layer(DefaultBodyLimit::max(FILE_BYTES)).layer(from_fn(import::not_too_large))
}
