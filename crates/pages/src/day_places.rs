//! What is booked on a day beside the places it has: the same words wherever a day can be chosen.

/// What is booked on a day beside its places.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct DayPlaces {
    /// The appointments of that day: those that take one of `places`, or all where no places are known.
    pub booked: usize,
    /// Those of that day without a purpose, which may take one of `places` too.
    pub without_purpose: usize,
    /// The places of that day: "cast places", and how many; `None` where the clinic has not set any.
    pub places: Option<(&'static str, u32)>,
    /// "closed: Eid", on a day on which the clinic is closed.
    pub closed: Option<String>,
}

impl DayPlaces {
    /// "7 of 12 cast places booked".
    #[must_use]
    pub fn words(&self) -> String {
        let Self { booked, without_purpose, places, closed } = self;
        let more = match without_purpose {
            0 => String::new(),
            more => format!(", {more} without a purpose"),
        };
        if let Some(closed) = closed {
            return format!("{closed}; {booked} booked{more}");
        }
        match places {
            Some((what, 0)) => format!("no {what} on that day by the page Capacity, {booked} booked{more}"),
            Some((what, all)) if *booked >= *all as usize => {
                format!("full: {booked} of {all} {what} booked{more}")
            }
            Some((what, all)) => format!("{booked} of {all} {what} booked{more}"),
            None => format!("{booked} booked"),
        }
    }
}
