//! Where everything on the sheet of the diary is, in millimetres from its upper left corner. It is the same in every
//! language, also in those that are written from right to left.

/// The width of the sheet.
pub(crate) const WIDTH: f64 = 182.0;
/// The side of the mark in each corner.
pub(crate) const MARK: f64 = 6.0;
/// The hours that can be ticked, from none to a whole day.
pub(crate) const HOURS: u8 = 25;
/// The side of a box.
pub(crate) const BOX: f64 = 4.0;
/// The line around a box.
pub(crate) const BOX_LINE: f64 = 0.3;
/// The right end of the name of a day.
pub(crate) const DAY_END: f64 = 25.5;

/// From the left side of a box to that of the next.
const BOX_STEP: f64 = 5.0;
/// The left side of the box of no hours.
const FIRST_BOX: f64 = 27.0;
/// The left side of the box for the skin.
const SKIN_BOX: f64 = 160.0;
/// The upper side of the first week.
const FIRST_WEEK: f64 = 25.0;
/// The height of a week: its name, the hours, seven days.
const WEEK_STEP: f64 = 46.5;
/// From the top of a week to its first row.
const WEEK_HEAD: f64 = 8.2;
/// From a row to the next.
const ROW_STEP: f64 = 5.4;

/// A rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Place {
    /// Its left side.
    pub x: f64,
    /// Its upper side.
    pub y: f64,
    /// Its width and height.
    pub side: f64,
}

impl Place {
    /// Its middle.
    pub(crate) fn middle(self) -> (f64, f64) {
        (self.x + self.side / 2.0, self.y + self.side / 2.0)
    }

    /// Its corners, clockwise from the upper left.
    pub(crate) fn corners(self) -> [(f64, f64); 4] {
        let (right, below) = (self.x + self.side, self.y + self.side);
        [(self.x, self.y), (right, self.y), (right, below), (self.x, below)]
    }
}

/// The height of a sheet with so many weeks.
pub(crate) fn height(weeks: u8) -> f64 {
    FIRST_WEEK + f64::from(weeks) * WEEK_STEP + MARK + 1.0
}

/// The code without the white around it.
pub(crate) const CODE: Place = Place { x: 148.0, y: 2.0, side: 20.0 };

/// The marks: upper left, upper right, lower right, lower left.
pub(crate) fn marks(weeks: u8) -> [Place; 4] {
    let (right, below) = (WIDTH - MARK, height(weeks) - MARK);
    [(0.0, 0.0), (right, 0.0), (right, below), (0.0, below)].map(|(x, y)| Place { x, y, side: MARK })
}

/// The upper side of a week.
pub(crate) fn week(week: u8) -> f64 {
    FIRST_WEEK + f64::from(week) * WEEK_STEP
}

/// The upper side of the boxes of a row, counted from the first day.
pub(crate) fn row(row: u8) -> f64 {
    week(row / 7) + WEEK_HEAD + f64::from(row % 7) * ROW_STEP
}

/// The box of so many hours in a row with this upper side.
pub(crate) fn hour_box(top: f64, hours: u8) -> Place {
    Place { x: FIRST_BOX + f64::from(hours) * BOX_STEP, y: top, side: BOX }
}

/// The box for the skin, which only people read.
pub(crate) fn skin_box(top: f64) -> Place {
    Place { x: SKIN_BOX, y: top, side: BOX }
}

/// The upper side of the row of the example, which nothing reads.
pub(crate) const EXAMPLE: f64 = 16.5;
/// The boxes of the example, which leave room for the code beside them.
pub(crate) const EXAMPLE_BOXES: u8 = 21;
/// The hours that are ticked in the example.
pub(crate) const EXAMPLE_HOURS: u8 = 14;

#[cfg(test)]
mod tests {
    use super::*;

    /// Nothing lies over anything else or outside of the sheet.
    #[test]
    fn nothing_overlaps() {
        for weeks in 1..=4 {
            let mut places = vec![CODE];
            places.extend(marks(weeks));
            places.extend((0..EXAMPLE_BOXES).map(|hours| hour_box(EXAMPLE, hours)));
            for top in (0..weeks * 7).map(row) {
                places.extend((0..HOURS).map(|hours| hour_box(top, hours)));
                places.push(skin_box(top));
            }
            // The code needs white around it: four modules of 25.
            let white = |place: &Place| if *place == CODE { 4.0 * CODE.side / 25.0 } else { 0.5 };
            for (n, one) in places.iter().enumerate() {
                assert!(one.x >= 0.0 && one.x + one.side <= WIDTH && one.y + one.side <= height(weeks));
                for other in &places[n + 1..] {
                    let gap = white(one).max(white(other));
                    let apart = |a: f64, b: f64, a_side: f64, b_side: f64| {
                        a + a_side + gap <= b + 1e-9 || b + b_side + gap <= a + 1e-9
                    };
                    assert!(
                        apart(one.x, other.x, one.side, other.side)
                            || apart(one.y, other.y, one.side, other.side),
                        "{one:?} {other:?}"
                    );
                }
            }
        }
        assert!(height(4) < 225.0, "title, words and telephone have room on a page of A4");
    }
}
