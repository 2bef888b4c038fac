//! A photograph of one foot or of both, kept beside the record and named by its hash.

use crate::{
    Day, Finding, PhotographView, PictureHash, Sides, ViewFeet,
    field::{KindHooks, KindSpec, field, kept, long, time},
};

entry! {
    with hooks;
    /// A photograph, taken on the entry's day. The entry names the picture and never holds it; without a consent in
    /// force the picture is not shown. A wrong foot, view or day is corrected like any entry.
    #[derive(Eq)]
    Photograph = KindSpec::new("photograph", "photograph").since(9).day_label("Taken on")
        .first(&["side", "view"]);

    /// The foot or feet on it.
    required side: Sides => field("Which foot or feet");
    /// From where it was taken.
    required view: PhotographView => field("View");
    /// The kept picture.
    required picture: PictureHash => kept("Picture");
    /// Width of the kept picture, in pixels.
    required width_px: u16 => kept("Width of the picture");
    /// Height of the kept picture, in pixels.
    required height_px: u16 => kept("Height of the picture");
    /// The time of day at which it was taken, if somebody said so or confirmed that of the camera.
    optional taken_at: Option<String> => time("Taken at (time of day)");
    /// Anything else.
    optional note: Option<String> => long("Anything else");
}

impl Photograph {
    /// Whether this is the same kept picture: a correction never exchanges it.
    #[must_use]
    pub fn is_same_picture(&self, other: &Self) -> bool {
        (self.picture, self.width_px, self.height_px) == (other.picture, other.width_px, other.height_px)
    }

    /// The feet and the view in words, "right foot, from above".
    #[must_use]
    pub fn words(&self) -> String {
        self.view.of_feet(self.side)
    }
}

impl KindHooks for Photograph {
    fn rules(&self, _on: Day, findings: &mut Vec<Finding>) {
        for (field, pixels) in [("width_px", self.width_px), ("height_px", self.height_px)] {
            if pixels == 0 {
                findings.push(Finding::refuse(field, "A picture has at least one pixel."));
            }
        }
        match (self.view.feet(), self.side) {
            (ViewFeet::One, Sides::Both) => {
                let text = "This view shows one foot: say which, right or left.";
                findings.push(Finding::refuse("side", text));
            }
            (ViewFeet::Both, Sides::Right | Sides::Left) => {
                let text = "This view shows both feet. Say so, or choose the view of the one foot.";
                findings.push(Finding::refuse("side", text));
            }
            _ => {}
        }
    }

    fn sentence(&self) -> Option<String> {
        let feet = if self.side == Sides::Both { "both feet: " } else { "" };
        let mut sentence = format!("{feet}photograph, {}", self.view.words());
        if let Some(time) = self.taken_at.as_deref().map(str::trim).filter(|time| !time.is_empty()) {
            sentence.push_str(&format!(", taken at {time}"));
        }
        if let Some(note) = self.note.as_deref().map(str::trim).filter(|note| !note.is_empty()) {
            sentence.push_str(&format!("; {note}"));
        }
        Some(sentence)
    }
}

impl crate::Body {
    /// The kept picture that an entry names, also as what a correction brings.
    #[must_use]
    pub fn picture(&self) -> Option<PictureHash> {
        match self {
            Self::Photograph(photograph) => Some(photograph.picture),
            Self::Correction(correction) => correction.body.picture(),
            _ => None,
        }
    }
}
