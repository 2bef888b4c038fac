//! Photographs and videos, what is measured on them, and the text of hashes and points.

use super::only_refusal;
use crate::examples::{entry, full_entry};
use record::*;
use rstest::rstest;

fn photograph() -> Photograph {
    let picture = PictureHash::new([7; 32]);
    Photograph::of(Sides::Left, PhotographView::Sole, picture, 1500, 2000)
}

fn angle(degrees: f64, error_deg: f64) -> PhotographAngleMeasured {
    let taps = PictureTaps::new(vec![(10, 20), (30, 40)]).unwrap();
    let of = full_entry(Kind::Note).id;
    PhotographAngleMeasured::of(of, Side::Right, PhotographAngle::HeelVarus, degrees, error_deg, taps)
}

fn length(length_mm: f64, points: Vec<(u16, u16)>) -> PhotographLengthMeasured {
    let of = full_entry(Kind::Note).id;
    let taps = PictureTaps::new(points).unwrap();
    PhotographLengthMeasured::of(of, Side::Right, length_mm, 1.5, taps, 1.0, 1.5, ScaleCard::BankCard)
}

#[rstest]
#[case::two_feet_in_a_view_of_one(
    Photograph { side: Sides::Both, ..photograph() }.into(),
    "side",
    "This view shows one foot: say which, right or left."
)]
#[case::one_foot_in_a_view_of_both(
    Photograph { view: PhotographView::Squatting, ..photograph() }.into(),
    "side",
    "This view shows both feet. Say so, or choose the view of the one foot."
)]
#[case::no_pixel(
    Photograph { width_px: 0, ..photograph() }.into(),
    "width_px",
    "A picture has at least one pixel."
)]
#[case::no_angle(
    angle(181.0, 2.0).into(),
    "degrees",
    "angle on a photograph 181° cannot be right: −180 to 180° is expected. Beyond a right angle the points were probably tapped in another order."
)]
#[case::no_length(
    length(20.0, vec![(10, 20); 6]).into(),
    "length_mm",
    "length on a photograph 20 mm cannot be right: 30 to 300 mm is expected. Newborn feet are about 78 mm, SD 4 (Kuponiyi & Ogunlesi 2023); a length far from that has the wrong points or the wrong card."
)]
#[case::five_points(
    length(80.0, vec![(10, 20); 5]).into(),
    "taps",
    "A length has six points: the four corners of the card, heel and toe."
)]
#[case::no_error(
    angle(10.0, f64::NAN).into(),
    "error_deg",
    "error of the angle without a number cannot be right: 0 to 45° is expected. Points that lie too near to each other give no angle."
)]
fn a_photograph_is_refused(#[case] body: Body, #[case] field: &str, #[case] text: &str) {
    assert_eq!(only_refusal(body), (field, text.to_owned()));
}

#[test]
fn a_photograph_says_what_it_shows_and_names_its_picture_also_when_corrected() {
    let both = Photograph { side: Sides::Both, view: PhotographView::BothFeet, ..photograph() };
    let timed = Photograph { taken_at: Some("09:10".into()), note: Some("asleep".into()), ..photograph() };
    for (body, sentence) in [
        (Body::from(photograph()), "Left foot: photograph, sole"),
        (both.into(), "Both feet: photograph, both feet together"),
        (timed.clone().into(), "Left foot: photograph, sole, taken at 09:10; asleep"),
        (angle(-12.4, 2.6).into(), "Right foot: on a photograph: varus of the heel −12° ± 3°"),
    ] {
        assert_eq!(body.sentence(), sentence);
        assert_eq!(entry(body).findings(), []);
    }
    let correction = Correction {
        entry: full_entry(Kind::Note).id,
        body: Box::new(timed.into()),
        on: None,
        reason: "Wrong foot".into(),
    };
    assert_eq!(Body::from(correction).picture(), Some(PictureHash::new([7; 32])));
    assert_eq!(Body::from(angle(1.0, 1.0)).picture(), None);
}

fn gait_video() -> GaitVideo {
    GaitVideo::of(GaitActivity::Walking, GaitView::Side, VideoHash::new([7; 32]), 8_000_000, 14_200)
}

#[rstest]
#[case::no_byte(GaitVideo { size_bytes: 0, ..gait_video() }, "size_bytes", "A video has at least one byte.")]
#[case::no_time(
    GaitVideo { duration_ms: 0, ..gait_video() },
    "duration_ms",
    "A video lasts at least a millisecond."
)]
fn a_video_of_nothing_is_refused(#[case] video: GaitVideo, #[case] field: &str, #[case] text: &str) {
    assert_eq!(only_refusal(video), (field, text.to_owned()));
}

#[test]
fn a_video_says_what_it_shows_and_names_its_video_also_when_corrected() {
    let timed = GaitVideo { taken_at: Some("09:10".into()), note: Some("barefoot".into()), ..gait_video() };
    let short = GaitVideo { duration_ms: 40, activity: GaitActivity::Squatting, ..gait_video() };
    for (video, sentence) in [
        (gait_video(), "Video of both feet, walking, from the side, 14 seconds"),
        (timed.clone(), "Video of both feet, walking, from the side, 14 seconds, taken at 09:10; barefoot"),
        (short, "Video of both feet, squatting, from the side, 1 second"),
    ] {
        let body = Body::from(video);
        assert_eq!(body.sentence(), sentence);
        assert_eq!((body.side(), body.version(), body.picture()), (None, 10, None));
        assert_eq!(entry(body).findings(), []);
    }
    let correction = Correction {
        entry: full_entry(Kind::Note).id,
        body: Box::new(timed.into()),
        on: None,
        reason: "Wrong view".into(),
    };
    assert_eq!(Body::from(correction).video(), Some(VideoHash::new([7; 32])));
    assert_eq!(Body::from(photograph()).video(), None);
}

#[test]
fn the_text_of_a_hash_or_of_points_is_read_as_it_is_written_and_no_other() {
    let hash = PictureHash::new(std::array::from_fn(|n| n as u8 * 8 + 1));
    assert_eq!(hash.to_string().parse(), Ok(hash));
    for wrong in [
        hash.to_string().to_uppercase(),
        hash.to_string()[1..].to_owned(),
        format!("{hash}0"),
        "g".repeat(64),
    ] {
        assert_eq!(wrong.parse::<PictureHash>(), Err(PictureHashError), "{wrong}");
        assert_eq!(wrong.parse::<VideoHash>(), Err(VideoHashError), "{wrong}");
    }
    assert_eq!(hash.to_string().parse(), Ok(VideoHash::new(*hash.bytes())));
    let taps = PictureTaps::new(vec![(0, 65_535), (12, 3)]).unwrap();
    assert_eq!(taps.to_string(), "0,65535 12,3");
    assert_eq!(taps.to_string().parse(), Ok(taps));
    let many = vec!["1,2"; 17].join(" ");
    for wrong in ["", "1", "1,2 ", "1,2  3,4", "1,+2", "1,65536", "1,2,3", many.as_str()] {
        assert_eq!(wrong.parse::<PictureTaps>(), Err(PictureTapsError), "{wrong}");
    }
}
