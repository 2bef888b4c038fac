//! Cells of dates: refused where the order of day and month is open, and where they may be of another calendar.

use super::{Reader, Refusal};
use crate::{
    DateOrder, FileQuestion, ImportReason, Remark,
    calendars::{CALENDAR, from_ethiopian, is_buddhist},
    dates::{self, DateCell, Figures},
    questions::QuestionTopic,
    table::{Cell, CellKind},
};
use record::Day;

impl Reader<'_> {
    /// A date cell, refused where it is none or where its order is open.
    pub(crate) fn date(&self, row: usize, column: usize) -> Result<Option<Day>, Refusal> {
        let cell = self.cell(row, column);
        let refuse = |reason, text: &str| Err(self.refuse(reason, column, cell, text.to_owned()));
        if cell.kind == CellKind::Date && self.dates.suspect.contains(&column) {
            return refuse(
                ImportReason::AmbiguousDate,
                "A spreadsheet program seems to have exchanged day and month in this column: dates it understood all have a day of 12 or less, the others stayed text.",
            );
        }
        let read = dates::read(cell, self.dates.pivot);
        if let Some(question) = self.calendar_in_doubt(&read) {
            let text = "The date may be of another calendar than the Gregorian one.";
            let refusal = self.remark(ImportReason::ImpossibleDate, column, cell, text);
            return Err(Box::new(Remark { question: Some(Box::new(question)), ..refusal }));
        }
        match read {
            DateCell::Blank => Ok(None),
            DateCell::Day(day) => Ok(Some(day)),
            DateCell::Impossible => {
                refuse(ImportReason::ImpossibleDate, "There is no such day, or its year cannot be right.")
            }
            DateCell::Other => refuse(ImportReason::ImpossibleDate, "This cannot be read as a date."),
            DateCell::Figures(figures) => match self.dates.order {
                Some(order) => match figures.under(order, self.dates.pivot) {
                    Some(day) => Ok(Some(day)),
                    None => self.contrary_date(figures, order, column, cell),
                },
                None if figures.is_open() => refuse(
                    ImportReason::AmbiguousDate,
                    "Day and month could be exchanged, and nothing in the file settles which is which; a map file with date_order settles it.",
                ),
                None => {
                    let order = figures.only().unwrap_or(DateOrder::DayFirst);
                    match figures.under(order, self.dates.pivot) {
                        Some(day) => Ok(Some(day)),
                        None => refuse(
                            ImportReason::ImpossibleDate,
                            "There is no such day, or its year cannot be right.",
                        ),
                    }
                }
            },
        }
    }

    /// A date that exists in another order than that of the file only: read where a person says so.
    fn contrary_date(
        &self,
        figures: Figures,
        order: DateOrder,
        column: usize,
        cell: Cell<'_>,
    ) -> Result<Option<Day>, Refusal> {
        let day = figures.only().and_then(|only| figures.under(only, self.dates.pivot));
        if day.is_some() && self.contrary_dates_are_read() {
            return Ok(day);
        }
        let text = format!("There is no such day when dates are read {}.", order.words());
        let refusal = self.refuse(ImportReason::ImpossibleDate, column, cell, text);
        Err(match day {
            Some(day) => Box::new(self.ask_about_contrary_date(day, *refusal)),
            None => refusal,
        })
    }

    /// The question about the calendar, where a date may be of another one.
    pub(super) fn calendar_in_doubt(&self, read: &DateCell) -> Option<FileQuestion> {
        let year = match read {
            DateCell::Day(day) => day.parts().0,
            DateCell::Figures(figures) if !figures.short => i32::try_from(figures.third).ok()?,
            DateCell::Figures(_) => 0,
            _ => return None,
        };
        let topic = || QuestionTopic::Other(CALENDAR.to_owned());
        if is_buddhist(year) && !self.map.answers.contains_key(CALENDAR) {
            let text = format!("Years such as {year} may be of the Buddhist calendar. Are they?");
            let question = FileQuestion::new(&topic(), text).blocking();
            return Some(
                question
                    .choice("buddhist", format!("yes: {year} is {}", year - 543))
                    .choice("gregorian", "no: refuse them"),
            );
        }
        self.may_be_ethiopian.then(|| {
            let text =
                "The headings are Amharic. Are the dates of the Gregorian or of the Ethiopian calendar?";
            FileQuestion::new(&topic(), text)
                .blocking()
                .choice("ethiopian", "Ethiopian: they are converted")
                .choice("gregorian", "Gregorian: they are read as written")
        })
    }

    /// Whether the headings are Amharic and no visit would lie in the future by the Ethiopian calendar, whose years
    /// are seven or eight less.
    pub(super) fn dates_may_be_ethiopian(&self) -> bool {
        if self.map.languages.first() != Some(&"am") || self.map.answers.contains_key(CALENDAR) {
            return false;
        }
        let columns = || self.layout.visits.iter().filter_map(|visit| visit.date);
        let days = self.table.rows().flat_map(|row| columns().map(move |at| self.date(row, at)));
        let newest = days.filter_map(|day| day.ok().flatten()).max();
        newest.is_none_or(|newest| {
            let (year, month, day) = newest.parts();
            from_ethiopian(year, month, day.min(30)).is_none_or(|day| day <= self.today + 1)
        })
    }
}
