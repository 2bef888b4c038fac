//! What the pages look like, compared with pictures that somebody looked at.
//!
//! The finished file is drawn, by another library than the one that wrote it, at 50 dots an inch in grey. To take what
//! is drawn now as the reference, after looking at it:
//! `PLANTIGRADE_WRITE_REFERENCES=1 cargo test --workspace --test all -- pdf::looks`.

use super::{one_of_each, printed};
use hayro::{
    RenderCache, RenderSettings, hayro_interpret::InterpreterSettings, hayro_syntax::Pdf, render,
    vello_cpu::color::palette::css::WHITE,
};
use letters::Language;
use std::{
    fs::{self, File},
    io::{BufReader, BufWriter},
    path::{Path, PathBuf},
};

/// 50 dots an inch.
const SCALE: f32 = 50.0 / 72.0;
/// The largest mean difference of a page, in levels of 255.
const MEAN: f64 = 0.6;
/// The largest share of dots that differ by more than a quarter of the levels.
const FAR: f64 = 0.002;

/// A page in grey.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GreyPage {
    pub width: usize,
    pub levels: Vec<u8>,
}

impl GreyPage {
    pub fn rows(&self) -> impl Iterator<Item = &[u8]> {
        self.levels.chunks(self.width)
    }

    /// Mean difference, and the share of dots that differ much.
    fn differs(&self, other: &Self) -> (f64, f64) {
        if (self.width, self.levels.len()) != (other.width, other.levels.len()) {
            return (255.0, 1.0);
        }
        let pairs = self.levels.iter().zip(&other.levels);
        let differences: Vec<u8> = pairs.map(|(one, two)| one.abs_diff(*two)).collect();
        let dots = differences.len() as f64;
        let sum: f64 = differences.iter().map(|difference| f64::from(*difference)).sum();
        let far = differences.iter().filter(|difference| **difference > 64).count();
        (sum / dots, far as f64 / dots)
    }
}

/// The first page of a file.
pub fn grey(bytes: &[u8], scale: f32) -> GreyPage {
    let pdf = Pdf::new(bytes.to_vec()).unwrap();
    let settings = RenderSettings { x_scale: scale, y_scale: scale, bg_color: WHITE, ..Default::default() };
    let page = pdf.pages().first().unwrap();
    let drawn = render(page, &RenderCache::new(), &InterpreterSettings::default(), &settings);
    let level = |dot: &[u8]| {
        // The weights of red, green and blue of ITU-R BT.601.
        let sum = 299 * u32::from(dot[0]) + 587 * u32::from(dot[1]) + 114 * u32::from(dot[2]);
        u8::try_from(sum / 1000).unwrap()
    };
    let levels = drawn.data_as_u8_slice().chunks(4).map(level).collect();
    GreyPage { width: drawn.width().into(), levels }
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference")
}

fn write(path: &Path, page: &GreyPage) {
    let height = page.levels.len() / page.width;
    let file = BufWriter::new(File::create(path).unwrap());
    let mut encoder =
        png::Encoder::new(file, u32::try_from(page.width).unwrap(), u32::try_from(height).unwrap());
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::High);
    encoder.write_header().unwrap().write_image_data(&page.levels).unwrap();
}

fn read(path: &Path) -> GreyPage {
    let file = File::open(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    let mut reader = png::Decoder::new(BufReader::new(file)).read_info().unwrap();
    let mut levels = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut levels).unwrap();
    levels.truncate(info.buffer_size());
    GreyPage { width: info.width.try_into().unwrap(), levels }
}

/// The documents with a reference.
const KEYS: [&str; 8] = [
    "plan",
    "cast-sheet",
    "brace-sheet",
    "first-week-of-brace",
    "appointment-letter",
    "missed-visit-letter",
    "nursery-letter",
    "wear-diary",
];

#[test]
fn the_pages_look_as_before() {
    let anew = std::env::var_os("PLANTIGRADE_WRITE_REFERENCES").is_some();
    let now = Path::new(env!("CARGO_TARGET_TMPDIR")).join("letters-pdf");
    fs::create_dir_all(&now).unwrap();
    let (mut compared, mut different) = (0, Vec::new());
    for document in one_of_each().iter().filter(|document| KEYS.contains(&document.kind.key())) {
        for language in [Language::English, Language::Arabic] {
            let bytes = printed(document, language);
            let page = grey(&bytes, SCALE);
            let name = format!("{}-{}.png", document.kind.key(), language.tag());
            write(&now.join(&name), &page);
            fs::write(now.join(&name).with_extension("pdf"), &bytes).unwrap();
            if anew {
                write(&folder().join(&name), &page);
            }
            let (mean, far) = page.differs(&read(&folder().join(&name)));
            compared += 1;
            if mean > MEAN || far > FAR {
                different.push(format!("{name}: mean {mean:.2}, far {far:.4}"));
            }
        }
    }
    assert_eq!(compared, 2 * KEYS.len());
    assert!(different.is_empty(), "look at the pages in {}: {different:#?}", now.display());
}

/// The comparison would find another document, another language, and a line that moved.
#[test]
fn the_comparison_finds_differences() {
    let all = one_of_each();
    let page = grey(&printed(&all[0], Language::English), SCALE);
    let found = |other: &GreyPage| {
        let (mean, far) = page.differs(other);
        mean > MEAN || far > FAR
    };
    assert!(!found(&page));
    assert!(found(&grey(&printed(&all[0], Language::Spanish), SCALE)));
    assert!(found(&grey(&printed(&all[1], Language::English), SCALE)));
    let mut moved = page.levels[..3 * page.width].to_vec();
    moved.extend_from_slice(&page.levels[..page.levels.len() - 3 * page.width]);
    assert!(found(&GreyPage { levels: moved, ..page.clone() }));
    // A part that is not drawn: the left half of the darkest band of 18 rows, a quarter of an inch high.
    let darkness = |top: &usize| -> usize {
        let band = &page.levels[top * page.width..(top + 18) * page.width];
        band.iter().filter(|level| **level < 128).count()
    };
    let top = (0..page.levels.len() / page.width - 18).max_by_key(darkness).unwrap();
    let mut without = page.clone();
    for row in top..top + 18 {
        without.levels[row * page.width..][..page.width / 2].fill(255);
    }
    assert!(found(&without));
}
