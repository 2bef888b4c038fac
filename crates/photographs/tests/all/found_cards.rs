//! How often a card is found in drawn pictures, how exactly, and how often something else is taken for one.

use crate::world::{
    carded::{Behind, CardPicture, CardShot, carded},
    normal, quantile,
};
use photographs::*;
use rand::{RngExt, SeedableRng, rngs::StdRng};
use std::{sync::LazyLock, time::Instant};

const SIZE: (u32, u32) = (2000, 1500);
const PLAIN: CardShot = CardShot {
    size: SIZE,
    behind: Behind::Plain,
    tilt_deg: 5.0,
    blur_px: 1.0,
    noise: 3.0,
    cards: 1,
    thumb: false,
    other: false,
};

/// The largest distance of a found corner from the corner that it is, whichever is named first.
fn off_px(found: &FoundCard, truth: &[PixelPoint; 4]) -> f64 {
    let nearest = |corner: &PixelPoint| {
        found.corners.iter().map(|own| own.distance(*corner)).fold(f64::INFINITY, f64::min)
    };
    truth.iter().map(nearest).fold(0.0, f64::max)
}

/// Milliseconds that this thread was on a processor, by the count of Linux; elsewhere those that went by.
fn processor_ms() -> f64 {
    static BEGIN: LazyLock<Instant> = LazyLock::new(Instant::now);
    let counted = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let nanoseconds = counted.and_then(|text| text.split(' ').next()?.parse::<f64>().ok());
    nanoseconds.map_or_else(|| BEGIN.elapsed().as_secs_f64() * 1e3, |count| count / 1e6)
}

/// What was found in pictures of one kind.
#[derive(Default)]
struct Tally {
    off: Vec<f64>,
    wrong: usize,
    not_found: usize,
    several: usize,
    slowest_ms: f64,
    /// Errors of lengths from corners that were found and ends tapped with 3 px, and how many intervals hold the truth.
    lengths: Vec<f64>,
    held: usize,
}

/// A corner farther from the truth is wrong: it would be seen by nobody who looks quickly, and makes 1 % of a length.
const WRONG_PX: f64 = 6.0;

fn tally(shot: &CardShot, pictures: u64, seed: u64) -> Tally {
    let mut tally = Tally::default();
    for at in 0..pictures {
        let mut rng = StdRng::seed_from_u64(seed * 10_000 + at);
        let seen = carded(shot, &mut rng);
        let begin = processor_ms();
        let found = find_card(&seen.picture);
        tally.slowest_ms = tally.slowest_ms.max(processor_ms() - begin);
        match found {
            Err(CardSearchFault::Several) => tally.several += 1,
            Err(_) => tally.not_found += 1,
            Ok(_) if shot.cards == 0 => tally.wrong += 1,
            Ok(found) if off_px(&found, &seen.corners) > WRONG_PX => tally.wrong += 1,
            Ok(found) => {
                tally.off.push(off_px(&found, &seen.corners));
                tally.measure(&found, &seen, &mut rng);
            }
        }
    }
    tally
}

impl Tally {
    fn measure(&mut self, found: &FoundCard, seen: &CardPicture, rng: &mut StdRng) {
        let ends = seen.ends.map(|end| {
            PixelPoint::new(
                end.x + TapError::USUAL.sd_px * normal(rng),
                end.y + TapError::USUAL.sd_px * normal(rng),
            )
        });
        // As a page has them: whole pixels.
        let corners = found.corners.map(|corner| PixelPoint::new(corner.x.round(), corner.y.round()));
        let scale = CardScale::of(&corners, SIZE, TapError::FOUND).unwrap();
        let length = scale.length(ends[0], ends[1], TapError::USUAL).unwrap();
        let error = (length.mm - seen.length_mm).abs();
        self.held += usize::from(error <= length.error_mm);
        self.lengths.push(error);
    }

    fn row(&mut self, what: &str, pictures: u64) {
        let of = |values: &mut Vec<f64>, share: f64| match values.is_empty() {
            true => "–".to_owned(),
            false => format!("{:.1}", quantile(values, share)),
        };
        println!(
            "| {what} | {pictures} | {} | {} | {} | {} | {} | {} | {} | {} | {} |",
            self.off.len(),
            self.wrong,
            self.not_found,
            self.several,
            of(&mut self.off, 0.5),
            of(&mut self.off, 0.95),
            of(&mut self.lengths, 0.95),
            match self.lengths.len() {
                0 => "–".to_owned(),
                count => (100 * self.held / count).to_string(),
            },
            self.slowest_ms.round()
        );
    }
}

fn head() {
    println!(
        "| picture | n | found | wrong | not found | several | corner off, px, median | 95 % | length off, mm, 95 % | interval holds, % | slowest, ms of processor |"
    );
    println!("|---|---|---|---|---|---|---|---|---|---|---|");
}

fn kinds() -> Vec<(&'static str, CardShot)> {
    vec![
        ("plain", PLAIN),
        ("plain, tilt 15°", CardShot { tilt_deg: 15.0, ..PLAIN }),
        ("plain, tilt 30°", CardShot { tilt_deg: 30.0, ..PLAIN }),
        ("blur 3 px", CardShot { blur_px: 3.0, ..PLAIN }),
        ("noise 10", CardShot { noise: 10.0, ..PLAIN }),
        ("stripes", CardShot { behind: Behind::Stripes, tilt_deg: 10.0, ..PLAIN }),
        ("tiles", CardShot { behind: Behind::Tiles, tilt_deg: 10.0, ..PLAIN }),
        ("weave", CardShot { behind: Behind::Weave, tilt_deg: 10.0, ..PLAIN }),
        ("held by a thumb", CardShot { thumb: true, tilt_deg: 10.0, ..PLAIN }),
        ("another flat thing", CardShot { other: true, tilt_deg: 10.0, ..PLAIN }),
        (
            "tiles, thumb, another thing, tilt 20°, blur 2, noise 6",
            CardShot {
                behind: Behind::Tiles,
                thumb: true,
                other: true,
                tilt_deg: 20.0,
                blur_px: 2.0,
                noise: 6.0,
                ..PLAIN
            },
        ),
        ("two cards", CardShot { cards: 2, ..PLAIN }),
        ("no card, another flat thing", CardShot { cards: 0, other: true, tilt_deg: 15.0, ..PLAIN }),
        (
            "no card, another thing on tiles",
            CardShot { cards: 0, other: true, behind: Behind::Tiles, tilt_deg: 25.0, ..PLAIN },
        ),
    ]
}

/// Pictures of each kind in the table: drawing one takes a second of a processor.
const MANY: u64 = 15;

/// The table of `docs/photographs.md`.
#[test]
#[ignore = "takes minutes"]
fn cards_of_many_pictures() {
    head();
    for (number, (what, shot)) in kinds().iter().enumerate() {
        tally(shot, MANY, 100 + number as u64).row(what, MANY);
    }
}

/// A small part of that table, with bounds.
#[test]
fn a_card_is_found_or_left_to_the_person_and_hardly_ever_wrong() {
    head();
    let (mut found, mut wrong) = (0, 0);
    let kinds = kinds();
    for at in [0, 2, 6, 8] {
        let (what, shot) = &kinds[at];
        let mut tally = tally(shot, 4, 200 + at as u64);
        found += tally.off.len();
        wrong += tally.wrong;
        tally.row(what, 4);
    }
    assert!(found >= 10 && wrong == 0, "of 16 pictures: found {found}, wrong {wrong}");
    for (what, shot) in kinds.iter().skip(11) {
        let mut tally = tally(shot, 3, 300);
        tally.row(what, 3);
        assert_eq!(tally.off.len() + tally.wrong, 0, "{what}");
    }
}

/// Lines are fitted, so the rounding of the corners does not shorten the card.
#[test]
fn found_corners_are_where_the_edges_would_meet() {
    let shot = CardShot { tilt_deg: 0.0, noise: 1.0, ..PLAIN };
    let mut tally = tally(&shot, 4, 400);
    // At some 7 pixels a millimetre the rounding of a corner ends 1.3 mm or 9 pixels inside of where the edges meet.
    assert!(tally.off.len() >= 3 && quantile(&mut tally.off, 1.0) < 2.0, "{:?}", tally.off);
}

/// Noise, grey, and a picture of one pixel: no card, no panic, and soon.
#[test]
fn pictures_without_anything_have_no_card() {
    let mut rng = StdRng::seed_from_u64(9);
    for (width, height) in [(1, 1), (3, 200), (7, 7), (640, 480), (1999, 3)] {
        for noisy in [false, true] {
            let mut shade = |_| if noisy { rng.random_range(0..=255) } else { 90 };
            let picture =
                GreyPlane::new(width, height, (0..width * height).map(&mut shade).collect()).unwrap();
            assert_eq!(find_card(&picture), Err(CardSearchFault::NotFound), "{width} × {height}");
        }
    }
}

/// The search is bounded also where there are more edges than in any photograph: lines in both directions.
#[test]
fn a_picture_full_of_lines_is_left_soon() {
    let shade = |at: usize| {
        let (x, y) = (at % 2000, at / 2000);
        if (x / 24 + y / 17) % 2 == 0 { 60 } else { 190 }
    };
    let picture = GreyPlane::new(2000, 1500, (0..3_000_000).map(shade).collect()).unwrap();
    let begin = Instant::now();
    assert!(find_card(&picture).is_err());
    // A generous bound for a busy computer; the table has the usual time.
    assert!(begin.elapsed().as_secs() < 5, "{:?}", begin.elapsed());
}
