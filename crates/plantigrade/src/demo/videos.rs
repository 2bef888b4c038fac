//! A video of one invented child: two drawn feet that walk, recorded by a browser from a drawing. Nobody was filmed for
//! it.

use super::{person, photographs::NUMBER, site};
use record::{
    Body, ChildId, Consent, ConsentAnswer, ConsentForm, ConsentMatter, Day, Entry, EntryId, GaitActivity,
    GaitVideo, GaitView, Timestamp, VideoHash,
};
use uuid::Uuid;
use videos::{PreparedVideo, VideoLimits, prepare};

/// The first of the ids of the entries.
const FIRST_ID: u128 = 0x0190_0000_0000_7000_8000_0000_0000_0e01;
/// The id of the video that waits to be named.
pub const WAITING_VIDEO: Uuid = Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0f01);
/// The drawing.
const DRAWN: &[u8] = include_bytes!("gait.webm");

/// What is planted about one child.
pub struct PlantedVideos {
    /// The child.
    pub child: ChildId,
    /// The entries: the consent and the video.
    pub entries: Vec<Entry>,
    /// The video that the entry names, and that waits once more to be named.
    pub video: PreparedVideo,
}

/// The video of the invented clinic, if the child is among these entries. `hash` gives the hash of a video.
#[must_use]
pub fn planted(entries: &[Entry], today: Day, hash: impl Fn(&[u8]) -> VideoHash) -> Option<PlantedVideos> {
    let is_it = |entry: &&Entry| matches!(&entry.body, Body::Registration(about) if about.numbers.iter().any(|number| number == NUMBER));
    let child = entries.iter().find(is_it)?.child;
    let video = prepare(DRAWN, &VideoLimits::USUAL).ok()?;
    let given = Consent::of(ConsentMatter::Videos, ConsentAnswer::Given);
    let (relation, how) = (Some("mother".to_owned()), Some(ConsentForm::Signed));
    let size = u32::try_from(video.bytes.len()).ok()?;
    let walk = GaitVideo {
        note: Some("A drawing".to_owned()),
        ..GaitVideo::of(GaitActivity::Walking, GaitView::Side, hash(&video.bytes), size, video.duration_ms)
    };
    let bodies: [(i32, Body); 2] = [(60, Consent { relation, how, ..given }.into()), (7, walk.into())];
    let entry = |(number, (days_ago, body)): (u128, (i32, Body))| {
        let on = today - days_ago;
        Entry {
            id: EntryId::new(Uuid::from_u128(FIRST_ID + number)),
            child,
            body,
            on,
            // Noon of that day in UTC.
            at: Timestamp::from_seconds(i64::from(on.number()) * 86_400 + 12 * 3600),
            by: person(0),
            site: site(),
            follows: None,
        }
    };
    Some(PlantedVideos { child, entries: (0..).zip(bodies).map(entry).collect(), video })
}
