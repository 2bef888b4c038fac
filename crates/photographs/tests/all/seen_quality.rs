//! What is found wrong with drawn pictures of which it is known.

use crate::world::drawn::{DrawnFoot, Shot, finished, in_light};
use photographs::*;
use rand::{RngExt, SeedableRng, rngs::StdRng};
use rayon::prelude::*;

const VIEWS: [PhotographView; 4] =
    [PhotographView::Sole, PhotographView::Behind, PhotographView::OuterSide, PhotographView::Front];
/// Few, because drawing them takes long; the tables are made of many.
const PICTURES: u64 = 10;
const MANY: u64 = 60;
const SIZE: (u32, u32) = (1000, 750);

/// For each change of a shot, how many of the same feet have a finding.
fn counts<C: Sync>(
    pictures: u64,
    finding: PictureFinding,
    seed: u64,
    changes: &[C],
    change: impl Fn(&C, &mut Shot) + Sync,
) -> Vec<u64> {
    let found = (0..pictures).into_par_iter().map(|at| {
        let mut rng = StdRng::seed_from_u64(seed * 1000 + at);
        let foot = DrawnFoot::any(&mut rng);
        let shot = Shot::by_guide(VIEWS[rng.random_range(0..4)], SIZE, &mut rng);
        let shades = in_light(&foot, &shot, &mut rng);
        let mut finds = |one: &C| {
            let mut shot = shot;
            change(one, &mut shot);
            u64::from(quality(&finished(&shades, &shot, &mut rng)).contains(&finding))
        };
        changes.iter().map(&mut finds).collect::<Vec<_>>()
    });
    let sum = |one: Vec<u64>, other: Vec<u64>| one.iter().zip(&other).map(|(a, b)| a + b).collect();
    found.reduce(|| vec![0; changes.len()], sum)
}

/// How many are called blurred, by noise and blur.
fn blur(pictures: u64) -> Vec<((f64, f64), u64)> {
    let blurs = [0.5, 1.0, 2.0, 3.0, 5.0, 8.0];
    let changes: Vec<(f64, f64)> =
        [1.0, 3.0, 6.0].into_iter().flat_map(|noise| blurs.map(|blur| (noise, blur))).collect();
    let set = |change: &(f64, f64), shot: &mut Shot| (shot.noise, shot.blur_px) = *change;
    let counts = counts(pictures, PictureFinding::Blurred, 31, &changes, set);
    println!("| noise, shades | blur, px of 1,000 | called blurred, of {pictures} |");
    changes.iter().zip(&counts).for_each(|((noise, blur), count)| println!("| {noise} | {blur} | {count} |"));
    changes.into_iter().zip(counts).collect()
}

/// How many are called dark and bright, by exposure.
fn light(pictures: u64) -> Vec<(f64, u64, u64)> {
    let exposures = [0.15, 0.3, 0.5, 0.8, 1.0, 1.2, 2.0, 4.0];
    let set = |exposure: &f64, shot: &mut Shot| shot.exposure = *exposure;
    let counts = |finding| counts(pictures, finding, 32, &exposures, set);
    let (dark, bright) = (counts(PictureFinding::Dark), counts(PictureFinding::Bright));
    let rows = exposures
        .into_iter()
        .zip(dark.into_iter().zip(bright))
        .map(|(at, (dark, bright))| (at, dark, bright));
    let rows: Vec<_> = rows.collect();
    println!("| exposure | called dark, of {pictures} | called bright |");
    rows.iter().for_each(|(exposure, dark, bright)| println!("| {exposure} | {dark} | {bright} |"));
    rows
}

/// The tables of `docs/photographs.md`.
#[test]
#[ignore = "takes minutes"]
fn quality_of_many_pictures() {
    blur(MANY);
    light(MANY);
}

/// Three pixels of a thousand are called blurred, two are not.
#[test]
fn blur_is_found_and_sharp_pictures_are_not_called_blurred() {
    for ((noise, blur_px), count) in blur(PICTURES) {
        let right = if blur_px > 2.5 { count } else { PICTURES - count };
        assert!(right * 5 >= PICTURES * 4, "noise {noise}, blur {blur_px}: {count} of {PICTURES}");
    }
}

/// What is exposed about right is called neither, what is far off is called so.
#[test]
fn light_is_judged() {
    for (exposure, dark, bright) in light(PICTURES) {
        let usual = (0.75..1.25).contains(&exposure);
        assert!(!usual || dark + bright <= PICTURES / 10, "{exposure}: {dark} and {bright}");
        assert!(exposure > 0.2 || dark * 10 >= PICTURES * 9, "{exposure}: {dark}");
        assert!(exposure < 3.0 || bright * 10 >= PICTURES * 9, "{exposure}: {bright}");
    }
}

/// The blur of one edge is measured, whatever its contrast and direction.
#[test]
fn the_blur_of_a_single_edge_is_measured() {
    for (blur_px, contrast, turn_deg) in
        [(1.0, 100.0, 0.0_f64), (2.0, 40.0, 30.0), (4.0, 150.0, 75.0), (7.0, 100.0, 45.0)]
    {
        let (sine, cosine) = turn_deg.to_radians().sin_cos();
        let shade = |at: usize| {
            let (x, y) = ((at % 1000) as f64 - 500.0, (at / 1000) as f64 - 375.0);
            // The normal curve summed up, by the logistic curve that is nearest to it (within 0.01).
            let off = (x * cosine + y * sine) / blur_px;
            (60.0 + contrast / (1.0 + (-1.702 * off).exp())) as u8
        };
        let picture = GreyPlane::new(1000, 750, (0..750_000).map(shade).collect()).unwrap();
        let found = edge_blur_px(&picture).unwrap();
        println!("blur {blur_px}: {found:.2}");
        assert!((found - blur_px).abs() < 0.2 * blur_px + 0.4, "{blur_px}: {found}");
    }
    assert_eq!(edge_blur_px(&GreyPlane::new(40, 20, vec![9; 800]).unwrap()), None);
}

#[test]
fn small_and_empty_pictures_are_named() {
    let grey = GreyPlane::new(999, 500, vec![128; 999 * 500]).unwrap();
    assert_eq!(quality(&grey), [PictureFinding::Small { longer_side: 999 }, PictureFinding::NoContrast]);
    assert_eq!(GreyPlane::new(3, 3, vec![0; 8]), None);
    assert_eq!(GreyPlane::new(0, 0, vec![]), None);
    for finding in [
        PictureFinding::Small { longer_side: 999 },
        PictureFinding::Blurred,
        PictureFinding::Dark,
        PictureFinding::Bright,
        PictureFinding::NoContrast,
    ] {
        assert!(finding.sentence().ends_with('.'), "{finding:?}");
    }
}
