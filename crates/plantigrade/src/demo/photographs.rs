//! Photographs of one invented child: drawings of a sole and of both feet, made by the program. Nobody's foot was
//! photographed for them.

use super::{person, site};
use course::pairing::{self, Rater, ScorePair};
use image::{ExtendedColorType, ImageEncoder, Rgb, RgbImage, codecs::png::PngEncoder};
use photographs::{PictureLimits, PreparedPhotograph, prepare};
use record::{
    Body, ChildId, Consent, ConsentAnswer, ConsentForm, ConsentMatter, Day, DocumentHanded, Entry, EntryId,
    FamilyLanguage, HandedDocument, Photograph, PhotographAngle, PhotographAngleMeasured, PhotographView,
    PictureHash, PictureTaps, Side, Sides, Sign, Timestamp,
};
use uuid::Uuid;

/// The hospital number of the child.
pub(super) const NUMBER: &str = "SK20029";
/// The first of the ids of the entries.
const FIRST_ID: u128 = 0x0190_0000_0000_7000_8000_0000_0000_0c01;
/// The first of the ids of the entries about a foot that was scored twice.
const SCORED_ID: u128 = 0x0190_0000_0000_7000_8000_0000_0000_0c41;
/// The id of the upload that waits to be named.
pub const WAITING_UPLOAD: Uuid = Uuid::from_u128(0x0190_0000_0000_7000_8000_0000_0000_0d01);
/// Width and height of a drawing, in pixels.
const SIZE: (u32, u32) = (900, 1200);

/// A drawing with its hash.
pub struct DrawnPhotograph {
    /// The picture and its thumbnail, as they are kept.
    pub prepared: PreparedPhotograph,
    /// The hash of the picture.
    pub hash: PictureHash,
}

/// What is planted about one child.
pub struct PlantedPhotographs {
    /// The child.
    pub child: ChildId,
    /// The entries: the consent, the photographs, an angle on each sole, a letter with both soles.
    pub entries: Vec<Entry>,
    /// The pictures that the entries name.
    pub kept: Vec<DrawnPhotograph>,
    /// A picture that nobody has named yet.
    pub waiting: PreparedPhotograph,
}

/// The photographs of the invented clinic, if the child is among these entries. `hash` gives the hash of a picture.
#[must_use]
pub fn planted(
    entries: &[Entry],
    today: Day,
    hash: impl Fn(&[u8]) -> PictureHash,
) -> Option<PlantedPhotographs> {
    let is_it = |entry: &&Entry| matches!(&entry.body, Body::Registration(about) if about.numbers.iter().any(|number| number == NUMBER));
    let child = entries.iter().find(is_it)?.child;
    let side = entries.iter().filter(|entry| entry.child == child).find_map(|entry| match &entry.body {
        Body::Diagnosis(diagnosis) => Some(diagnosis.side),
        _ => None,
    })?;
    let drawn = |turned_in_deg: f64, both: bool| {
        let prepared = prepare(&drawing(side, turned_in_deg, both), &PictureLimits::USUAL).ok()?;
        Some(DrawnPhotograph { hash: hash(&prepared.jpeg), prepared })
    };
    let kept = vec![drawn(24.0, false)?, drawn(8.0, false)?, drawn(0.0, true)?];
    let mut writer = PhotographWriter { child, first_id: FIRST_ID, written: 0, entries: Vec::new() };
    writer.write(today - 60, consent(true, false));
    let mut soles = Vec::new();
    for (picture, (days_ago, turned_in)) in kept.iter().zip([(42, 24.0), (7, 8.0)]) {
        let photograph = writer.write(today - days_ago, of(picture, side.into(), PhotographView::Sole));
        soles.push(photograph);
        if let Some(taps) = taps(side, turned_in) {
            let angle = PhotographAngle::ForefootAdduction;
            let measured = PhotographAngleMeasured::of(photograph, side, angle, turned_in, 2.5, taps);
            writer.write(today - days_ago, measured);
        }
    }
    if let Some(both) = kept.last() {
        writer.write(today - 7, of(both, Sides::Both, PhotographView::BothFeet));
    }
    let summary = DocumentHanded::of(HandedDocument::ClinicSummary, FamilyLanguage::English);
    let to = Some("the district hospital".to_owned());
    writer.write(today - 6, DocumentHanded { to, photographs: soles, ..summary });
    let waiting = drawn(12.0, false)?.prepared;
    Some(PlantedPhotographs { child, entries: writer.entries, kept, waiting })
}

/// A photograph of a foot that two people scored alike, neither of them the person of the link: for practice. The
/// consent, the photograph of the sole, and its picture; `None` if there is no such foot.
#[must_use]
pub fn of_scored_foot(
    entries: &[Entry],
    today: Day,
    hash: impl Fn(&[u8]) -> PictureHash,
) -> Option<(Vec<Entry>, DrawnPhotograph)> {
    let mut children: Vec<ChildId> = entries.iter().map(|entry| entry.child).collect();
    children.dedup();
    let (child, pair_on, side) = children.into_iter().rev().find_map(|child| {
        let own: Vec<Entry> = entries.iter().filter(|entry| entry.child == child).cloned().collect();
        let pairs = pairing::pairs(&own, today).into_iter().filter_map(|(_, pair)| pair.ok());
        let found = pairs.into_iter().find(is_for_practice)?;
        Some((child, found.on, found.side))
    })?;
    let prepared = prepare(&drawing(side, 18.0, false), &PictureLimits::USUAL).ok()?;
    let picture = DrawnPhotograph { hash: hash(&prepared.jpeg), prepared };
    let mut writer = PhotographWriter { child, first_id: SCORED_ID, written: 0, entries: Vec::new() };
    writer.write(pair_on, consent(false, true));
    writer.write(pair_on, of(&picture, side.into(), PhotographView::Sole));
    Some((writer.entries, picture))
}

fn is_for_practice(pair: &ScorePair<'_>) -> bool {
    let [one, two] = pair.scores.map(|score| score.pirani.sign(Sign::LateralBorder));
    let others = pair.scores.iter().all(|score| matches!(score.rater, Rater::Writer(by) if by != person(0)));
    others && one.is_some() && one == two
}

fn of(picture: &DrawnPhotograph, feet: Sides, view: PhotographView) -> Photograph {
    let pixels = |side: u32| u16::try_from(side).unwrap_or(u16::MAX);
    let PreparedPhotograph { width, height, .. } = picture.prepared;
    Photograph::of(feet, view, picture.hash, pixels(width), pixels(height))
}

/// A consent that the mother signed, for the record and for these.
fn consent(letters: bool, teaching: bool) -> Consent {
    Consent {
        relation: Some("mother".to_owned()),
        how: Some(ConsentForm::Signed),
        photographs_in_letters: Some(letters),
        photographs_in_teaching: Some(teaching),
        ..Consent::of(ConsentMatter::Photographs, ConsentAnswer::Given)
    }
}

struct PhotographWriter {
    child: ChildId,
    first_id: u128,
    written: u128,
    entries: Vec<Entry>,
}

impl PhotographWriter {
    fn write(&mut self, on: Day, body: impl Into<Body>) -> EntryId {
        let id = EntryId::new(Uuid::from_u128(self.first_id + self.written));
        let seconds = i64::from(on.number()) * 86_400 + 11 * 3600;
        let at = Timestamp::from_seconds(seconds + i64::try_from(self.written).unwrap_or(0));
        self.written += 1;
        let body = body.into();
        self.entries.push(Entry {
            id,
            child: self.child,
            body,
            on,
            at,
            by: person(0),
            site: site(),
            follows: None,
        });
        id
    }
}

/// Heel and forefoot of the drawing of a sole, in pixels: the middle of the heel's back and front edge, and the middle
/// of the forefoot, which turns in by an angle.
fn landmarks(side: Side, turned_in_deg: f64) -> [(f64, f64); 3] {
    let (width, height) = (f64::from(SIZE.0), f64::from(SIZE.1));
    let (middle, heel, front) = (width / 2.0, height * 0.88, height * 0.62);
    // With the toes up the inner edge of a left sole is on the left.
    let inward = if side == Side::Left { -1.0 } else { 1.0 };
    let (sine, cosine) = turned_in_deg.to_radians().sin_cos();
    let reach = height * 0.38;
    [(middle, heel), (middle, front), (middle + inward * reach * sine, front - reach * cosine)]
}

fn taps(side: Side, turned_in_deg: f64) -> Option<PictureTaps> {
    let pixel = |value: f64| format!("{:.0}", value.max(0.0)).parse::<u16>().ok();
    let points: Option<Vec<(u16, u16)>> =
        landmarks(side, turned_in_deg).into_iter().map(|(x, y)| Some((pixel(x)?, pixel(y)?))).collect();
    PictureTaps::new(points?).ok()
}

/// A drawing of a sole, or of two, as PNG: a heel, a forefoot and five toes on a cloth.
fn drawing(side: Side, turned_in_deg: f64, both: bool) -> Vec<u8> {
    let feet: &[(Side, f64, f64)] =
        if both { &[(Side::Right, -190.0, 0.55), (Side::Left, 190.0, 0.55)] } else { &[(side, 0.0, 1.0)] };
    let discs: Vec<Disc> =
        feet.iter().flat_map(|&(side, shift, size)| discs(side, turned_in_deg, shift, size)).collect();
    let shade = |x: u32, y: u32| {
        let at = (f64::from(x), f64::from(y));
        let depth = discs.iter().map(|disc| disc.depth(at)).fold(0.0, f64::max);
        // A weave, so that the cloth is not of one shade.
        let cloth = 150 + ((x / 6 + y / 6) % 2) * 18;
        if depth <= 0.0 { [cloth, cloth + 12, cloth + 24] } else { skin(depth) }
    };
    let picture = RgbImage::from_fn(SIZE.0, SIZE.1, |x, y| {
        Rgb(shade(x, y).map(|value| u8::try_from(value).unwrap_or(u8::MAX)))
    });
    let mut png = Vec::new();
    let written =
        PngEncoder::new(&mut png).write_image(picture.as_raw(), SIZE.0, SIZE.1, ExtendedColorType::Rgb8);
    if written.is_ok() { png } else { Vec::new() }
}

/// From the edge to the middle of a disc the skin gets lighter.
fn skin(depth: f64) -> [u32; 3] {
    let lighter = if depth > 0.5 {
        40
    } else if depth > 0.15 {
        22
    } else {
        0
    };
    [188 + lighter, 132 + lighter, 108 + lighter]
}

/// A round part of a foot.
struct Disc {
    at: (f64, f64),
    radius: f64,
}

impl Disc {
    /// 1 in the middle, 0 at the edge, below outside.
    fn depth(&self, (x, y): (f64, f64)) -> f64 {
        1.0 - (x - self.at.0).hypot(y - self.at.1) / self.radius
    }
}

fn discs(side: Side, turned_in_deg: f64, shift: f64, size: f64) -> Vec<Disc> {
    let [heel, middle, forefoot] = landmarks(side, turned_in_deg);
    let centre = (f64::from(SIZE.0) / 2.0, f64::from(SIZE.1) / 2.0);
    let placed = |(x, y): (f64, f64), radius: f64| Disc {
        at: ((x - centre.0) * size + centre.0 + shift, (y - centre.1) * size + centre.1),
        radius: radius * size,
    };
    let along = |from: (f64, f64), to: (f64, f64), part: f64| {
        (from.0 + (to.0 - from.0) * part, from.1 + (to.1 - from.1) * part)
    };
    let mut discs = vec![placed(along(heel, middle, 0.35), 150.0)];
    discs.extend(
        (0..=6).map(|n| placed(along(along(heel, middle, 0.5), forefoot, f64::from(n) / 7.0), 140.0)),
    );
    let inward = if side == Side::Left { -1.0 } else { 1.0 };
    for n in 0..5_u8 {
        let across = (f64::from(n) - 2.0) * 62.0 * -inward;
        let size = if n == 0 { 52.0 } else { 36.0 };
        discs.push(placed((forefoot.0 + across, forefoot.1 + 10.0 + 9.0 * f64::from(n)), size));
    }
    discs
}
