//! The forecast for one foot.

mod answer;
pub mod windows;

pub use answer::{
    Band, Basis, Chance, CountForecast, CountWindow, DateForecast, DayWindow, FootForecast, Input, PathPoint,
    Stage, Unlike, UnlikeWhy,
};
