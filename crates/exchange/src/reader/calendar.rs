//! Dates that may be of another calendar: nothing is read of them until a person has said which.

use super::Reader;
use crate::{
    FileQuestion,
    calendars::{CALENDAR, from_ethiopian, is_buddhist},
    dates::DateCell,
    questions::QuestionTopic,
};

impl Reader<'_> {
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
        let columns = || self.layout.sittings.iter().filter_map(|sitting| sitting.date);
        let days = self.table.rows().flat_map(|row| columns().map(move |at| self.date(row, at)));
        let newest = days.filter_map(|day| day.ok().flatten()).max();
        newest.is_none_or(|newest| {
            let (year, month, day) = newest.parts();
            from_ethiopian(year, month, day.min(30)).is_none_or(|day| day <= self.today + 1)
        })
    }
}
