//! The diary as it is printed, filled in by an invented family, photographed badly, and read.
//!
//! The sheet is taken from the page itself (its rectangles and its code), so that drawing and reader are held together.

use crate::children::{BRACE, with};
use letters::{
    DiaryCode, DiaryReading, DiaryUnread, GreyPicture, Language, RowReading,
    html::{PageFrame, page},
    read_diary, wear_diary,
};
use record::Day;
use scraper::{ElementRef, Html, Selector};

/// Pixels for a millimetre of the sheet as it is drawn here, before it is photographed.
const FINE: f64 = 12.0;
const WIDTH_MM: f64 = 182.0;

/// A sheet in fine pixels, 1 for ink.
#[derive(Clone)]
struct Paper {
    width: usize,
    height: usize,
    ink: Vec<f32>,
    /// The left upper corners of the boxes of the rows, in millimetres.
    rows: Vec<Vec<(f64, f64)>>,
    code: DiaryCode,
}

fn numbers(element: ElementRef<'_>, names: [&str; 4]) -> [f64; 4] {
    names.map(|name| element.value().attr(name).unwrap().parse().unwrap())
}

impl Paper {
    /// The diary of a child in the brace, as its page draws it.
    fn printed(language: Language) -> Self {
        let made = with(BRACE, "2024-11-11", |facts| wear_diary(&facts.unwrap()).unwrap());
        let frame = PageFrame { style: "letters.css", above: None };
        let html = Html::parse_document(&page(&made, language, frame).unwrap().into_string());
        let find = |selector: &str| Selector::parse(selector).unwrap();
        let sheet = html.select(&find(".diary-sheet")).next().unwrap();
        let view: Vec<f64> = sheet
            .value()
            .attr("viewbox")
            .or(sheet.value().attr("viewBox"))
            .unwrap()
            .split(' ')
            .map(|n| n.parse().unwrap())
            .collect();
        assert!((view[2] - WIDTH_MM).abs() < 1e-9);
        let (width, height) = ((view[2] * FINE) as usize, (view[3] * FINE) as usize);
        let code = with(BRACE, "2024-11-11", |facts| {
            let facts = facts.unwrap();
            DiaryCode { child: facts.course.child, from: facts.today, weeks: 4 }
        });
        let mut paper = Self { width, height, ink: vec![0.0; width * height], rows: Vec::new(), code };
        let mut boxes = Vec::new();
        for rect in sheet.select(&find("rect")) {
            let [x, y, wide, high] = numbers(rect, ["x", "y", "width", "height"]);
            if rect.value().attr("class") == Some("box") {
                let line: f64 = rect.value().attr("stroke-width").unwrap().parse().unwrap();
                paper.outline((x, y), wide, line);
                boxes.push((x, y));
            } else {
                paper.fill((x, y), (wide, high));
            }
        }
        // The example comes first; then 26 boxes for each day, the last for the skin.
        paper.rows = boxes[21..].chunks(26).map(|row| row[..25].to_vec()).collect();
        assert_eq!(paper.rows.len(), 28);
        let qr = sheet.select(&find("path.code")).next().unwrap();
        let transform = qr.value().attr("transform").unwrap();
        let of: Vec<f64> = transform
            .split(|c: char| !(c.is_ascii_digit() || c == '.'))
            .filter(|part| !part.is_empty())
            .map(|part| part.parse().unwrap())
            .collect();
        for module in qr.value().attr("d").unwrap().split('M').skip(1) {
            let at: Vec<f64> =
                module.trim_end_matches("h1v1h-1z").split(' ').map(|n| n.parse().unwrap()).collect();
            paper.fill((of[0] + at[0] * of[2], of[1] + at[1] * of[2]), (of[2], of[2]));
        }
        paper
    }

    fn fill(&mut self, (x, y): (f64, f64), (wide, high): (f64, f64)) {
        for row in (y * FINE).round() as usize..((y + high) * FINE).round() as usize {
            for column in (x * FINE).round() as usize..((x + wide) * FINE).round() as usize {
                self.ink[row * self.width + column] = 1.0;
            }
        }
    }

    fn outline(&mut self, (x, y): (f64, f64), side: f64, line: f64) {
        let half = line / 2.0;
        self.fill((x - half, y - half), (side + line, line));
        self.fill((x - half, y + side - half), (side + line, line));
        self.fill((x - half, y - half), (line, side + line));
        self.fill((x + side - half, y - half), (line, side + line));
    }

    /// A stroke of a pen from one place to another, in millimetres.
    fn stroke(&mut self, from: (f64, f64), to: (f64, f64), thick: f64, dark: f32) {
        let steps = ((to.0 - from.0).hypot(to.1 - from.1) * FINE * 2.0) as usize;
        let radius = thick / 2.0 * FINE;
        for step in 0..=steps {
            let part = step as f64 / steps.max(1) as f64;
            let (x, y) = ((from.0 + (to.0 - from.0) * part) * FINE, (from.1 + (to.1 - from.1) * part) * FINE);
            for row in (y - radius) as usize..=(y + radius) as usize {
                for column in (x - radius) as usize..=(x + radius) as usize {
                    if (column as f64 - x).hypot(row as f64 - y) <= radius
                        && column < self.width
                        && row < self.height
                    {
                        let ink = &mut self.ink[row * self.width + column];
                        *ink = ink.max(dark);
                    }
                }
            }
        }
    }

    fn cross(&mut self, row: usize, hours: usize) {
        let (x, y) = self.rows[row][hours];
        self.stroke((x + 0.3, y + 0.4), (x + 3.6, y + 3.7), 0.45, 0.85);
        self.stroke((x + 3.7, y + 0.3), (x + 0.4, y + 3.6), 0.45, 0.85);
    }

    fn tick(&mut self, row: usize, hours: usize) {
        let (x, y) = self.rows[row][hours];
        self.stroke((x + 0.7, y + 2.2), (x + 1.7, y + 3.4), 0.5, 0.8);
        self.stroke((x + 1.7, y + 3.4), (x + 4.0, y + 0.2), 0.5, 0.8);
    }

    fn scribble(&mut self, row: usize, hours: usize) {
        let (x, y) = self.rows[row][hours];
        for n in 0..9 {
            let at = y + 0.2 + f64::from(n) * 0.45;
            self.stroke((x + 0.1, at), (x + 3.9, at + 0.2), 0.5, 0.85);
        }
    }

    fn at(&self, x: f64, y: f64) -> f64 {
        let (x, y) = (x * FINE, y * FINE);
        if x < 0.0 || y < 0.0 || x >= self.width as f64 || y >= self.height as f64 {
            return 0.0;
        }
        f64::from(self.ink[y as usize * self.width + x as usize])
    }
}

/// How it is photographed.
#[derive(Clone, Copy)]
struct Camera {
    pixels_per_mm: f64,
    turned_deg: f64,
    /// How much smaller the far end is.
    tilt: f64,
    /// How far the paper is bent sideways, in millimetres.
    bend: f64,
    /// The light at the dark side as a share of that at the bright one.
    shade: f64,
    noise: f64,
    /// Pixels over which it is blurred, on the right half only.
    blur: usize,
}

const GOOD: Camera =
    Camera { pixels_per_mm: 7.0, turned_deg: 0.0, tilt: 0.0, bend: 0.0, shade: 1.0, noise: 0.0, blur: 0 };
/// A kitchen table in the evening.
const POOR: Camera =
    Camera { pixels_per_mm: 7.5, turned_deg: 3.0, tilt: 0.08, bend: 0.6, shade: 0.45, noise: 9.0, blur: 1 };

/// Random numbers that are the same each time (a linear congruential generator, numbers of Knuth's MMIX, from memory).
struct Luck(u64);

impl Luck {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn below(&mut self, most: usize) -> usize {
        (self.next() * most as f64) as usize
    }
}

fn photo(paper: &Paper, camera: Camera, seed: u64) -> GreyPicture {
    let (wide_mm, high_mm) = (WIDTH_MM, paper.height as f64 / FINE);
    let angle = camera.turned_deg.to_radians();
    // Large enough for the sheet turned by any angle.
    let span_x = (wide_mm * angle.cos().abs() + high_mm * angle.sin().abs() + 24.0) * camera.pixels_per_mm;
    let span_y = (high_mm * angle.cos().abs() + wide_mm * angle.sin().abs() + 24.0) * camera.pixels_per_mm;
    let (width, height) = (span_x as usize, span_y as usize);
    let mut luck = Luck(seed);
    let mut shades = vec![0.0_f64; width * height];
    for row in 0..height {
        for column in 0..width {
            let mut ink = 0.0;
            for (dx, dy) in [(0.25, 0.25), (0.75, 0.25), (0.25, 0.75), (0.75, 0.75)] {
                let u = (column as f64 + dx - width as f64 / 2.0) / camera.pixels_per_mm;
                let v = (row as f64 + dy - height as f64 / 2.0) / camera.pixels_per_mm;
                let depth = 1.0 + camera.tilt * v / high_mm;
                let (u, v) = (u * depth, v * depth);
                let x = u * angle.cos() + v * angle.sin() + wide_mm / 2.0;
                let y = v * angle.cos() - u * angle.sin() + high_mm / 2.0;
                let x = x + camera.bend * (y / high_mm * std::f64::consts::PI).sin();
                ink += paper.at(x, y) / 4.0;
            }
            let light = 1.0 - (1.0 - camera.shade) * column as f64 / width as f64;
            shades[row * width + column] = (235.0 - 200.0 * ink) * light;
        }
    }
    let blurred = if camera.blur > 0 { blur(&shades, width, height, camera.blur) } else { shades };
    let grains = blurred.into_iter().map(|shade| {
        let grain = (0..4).map(|_| luck.next() - 0.5).sum::<f64>() * camera.noise * 1.7;
        (shade + grain).clamp(0.0, 255.0) as u8
    });
    GreyPicture::new(width, height, grains.collect()).unwrap()
}

fn blur(shades: &[f64], width: usize, height: usize, by: usize) -> Vec<f64> {
    let mut out = shades.to_vec();
    for row in by..height - by {
        for column in (width / 2)..width - by {
            let mut sum = 0.0;
            for y in row - by..=row + by {
                for x in column - by..=column + by {
                    sum += shades[y * width + x];
                }
            }
            out[row * width + column] = sum / ((2 * by + 1) * (2 * by + 1)) as f64;
        }
    }
    out
}

fn readings(read: &DiaryReading) -> Vec<RowReading> {
    read.rows.iter().map(|row| row.reading).collect()
}

/// Every number of hours, by a cross or a tick, with three empty rows at the end.
fn filled() -> (Paper, Vec<RowReading>) {
    let mut paper = Paper::printed(Language::English);
    for hours in 0..25 {
        if hours % 2 == 0 { paper.cross(hours, hours) } else { paper.tick(hours, hours) }
    }
    let mut truth: Vec<RowReading> = (0..25).map(RowReading::Hours).collect();
    truth.resize(28, RowReading::Nothing);
    (paper, truth)
}

#[test]
fn a_good_picture_is_read_in_full() {
    let (paper, truth) = filled();
    let read = read_diary(&photo(&paper, GOOD, 1)).unwrap();
    assert_eq!(read.code, paper.code);
    assert_eq!(readings(&read), truth);
    let days: Vec<Day> = read.rows.iter().map(|row| row.day).collect();
    let first: Day = "2024-11-11".parse().unwrap();
    assert_eq!((days[0], days[27], days.len()), (first, first + 27, 28));
}

/// Turned by 3°, seen from one side, bent, in uneven light, grainy, half of it blurred.
#[test]
fn a_poor_picture_is_read_all_the_same() {
    let (paper, truth) = filled();
    let read = read_diary(&photo(&paper, POOR, 2)).unwrap();
    assert_eq!((read.code, readings(&read)), (paper.code, truth));
}

/// As telephones save pictures: on their side and upside down.
#[test]
fn a_picture_may_lie_on_its_side() {
    let (paper, truth) = filled();
    for turned_deg in [90.0, 180.0, 267.0] {
        let read = read_diary(&photo(&paper, Camera { turned_deg, ..GOOD }, 3)).unwrap();
        assert_eq!((read.code, readings(&read)), (paper.code, truth.clone()), "{turned_deg}");
    }
}

/// Two crosses, a box that was filled because it was wrong, an empty row, a faint stroke, a row under a thumb.
#[test]
fn what_cannot_be_told_is_asked() {
    for (camera, seed) in [(GOOD, 4), (POOR, 5)] {
        let mut paper = Paper::printed(Language::English);
        paper.cross(0, 10);
        paper.cross(0, 11);
        paper.scribble(1, 10);
        paper.cross(1, 12);
        paper.cross(3, 12);
        let (x, y) = paper.rows[4][7];
        paper.stroke((x + 1.0, y + 2.0), (x + 3.0, y + 2.0), 0.25, 0.85);
        let (x, y) = paper.rows[6][0];
        for n in 0..50 {
            paper.stroke((x, y + f64::from(n) * 0.08), (x + 120.0, y + f64::from(n) * 0.08), 1.0, 0.5);
        }
        let read = readings(&read_diary(&photo(&paper, camera, seed)).unwrap());
        assert_eq!(read[0], RowReading::Several);
        assert_eq!(read[1], RowReading::CrossedOut);
        assert_eq!(read[2], RowReading::Nothing);
        assert_eq!(read[3], RowReading::Hours(12));
        assert!(read[4].question().is_some(), "{:?}", read[4]);
        assert!(read[6].question().is_some(), "{:?}", read[6]);
        assert!(read[7..].iter().all(|row| *row == RowReading::Nothing), "{read:?}");
        assert!(read.iter().all(|row| row.question().is_none() == matches!(row, RowReading::Hours(_))));
    }
}

/// Marks of many hands, on pictures of many kinds: what is read is what was meant, or it is asked.
#[test]
fn no_row_is_read_wrongly() {
    let mut luck = Luck(11);
    let (mut right, mut asked) = (0, 0);
    for round in 0..6_u64 {
        let mut paper = Paper::printed(Language::ALL[round as usize % Language::ALL.len()]);
        let mut meant = Vec::new();
        for row in 0..28 {
            let hours = luck.below(25);
            let (x, y) = paper.rows[row][hours];
            let (dark, thick) = (0.35 + 0.6 * luck.next() as f32, 0.2 + 0.6 * luck.next());
            let mut place =
                |x0: f64, y0: f64| (x + x0 + luck.next() * 0.8 - 0.4, y + y0 + luck.next() * 0.8 - 0.4);
            let strokes = match row % 3 {
                0 => vec![(place(0.5, 0.5), place(3.5, 3.5)), (place(3.5, 0.5), place(0.5, 3.5))],
                1 => vec![(place(0.8, 2.2), place(1.7, 3.4)), (place(1.7, 3.4), place(3.9, 0.4))],
                _ => vec![(place(0.5, 3.5), place(3.5, 0.5))],
            };
            strokes.into_iter().for_each(|(from, to)| paper.stroke(from, to, thick, dark));
            meant.push(hours);
        }
        let camera = Camera {
            pixels_per_mm: 5.0 + 4.0 * luck.next(),
            turned_deg: 14.0 * luck.next() - 7.0,
            tilt: 0.12 * luck.next(),
            bend: luck.next(),
            shade: 0.4 + 0.6 * luck.next(),
            noise: 12.0 * luck.next(),
            blur: luck.below(3),
        };
        let Ok(read) = read_diary(&photo(&paper, camera, 100 + round)) else { continue };
        for (row, meant) in readings(&read).into_iter().zip(meant) {
            match row {
                RowReading::Hours(hours) => {
                    assert_eq!(usize::from(hours), meant, "round {round}");
                    right += 1;
                }
                _ => asked += 1,
            }
        }
    }
    // No row is ever read wrongly. The share that is asked is what these pictures gave, with strokes from faint to dark;
    // some pictures are refused as a whole.
    assert!(right > 3 * asked && right > 60, "{right} read, {asked} asked");
}

#[test]
fn a_picture_without_a_whole_diary_is_refused_in_a_sentence() {
    let (paper, _) = filled();
    let blank = GreyPicture::new(800, 1000, vec![230; 800_000]).unwrap();
    assert_eq!(read_diary(&blank), Err(DiaryUnread::NoCode));
    // A thumb over a corner.
    let mut covered = paper.clone();
    for n in 0..120 {
        let x = 4.0 + f64::from(n) * 0.1;
        covered.stroke(
            (x, paper.height as f64 / FINE - 14.0),
            (x, paper.height as f64 / FINE - 1.0),
            1.0,
            0.9,
        );
    }
    assert_eq!(read_diary(&photo(&covered, GOOD, 6)), Err(DiaryUnread::NoMarks));
    let far = photo(&paper, Camera { pixels_per_mm: 2.6, ..GOOD }, 7);
    assert!(read_diary(&far).is_err());
    // Two diaries beside each other.
    let one = photo(&paper, GOOD, 8);
    let shade = |x: usize, y: usize| one.shade(x % one.width(), y);
    let (width, height) = (one.width() * 2, one.height());
    let two =
        GreyPicture::new(width, height, (0..width * height).map(|n| shade(n % width, n / width)).collect());
    assert_eq!(read_diary(&two.unwrap()), Err(DiaryUnread::SeveralCodes));
    for fault in [DiaryUnread::NoCode, DiaryUnread::NoMarks, DiaryUnread::TooSmall, DiaryUnread::OtherCode] {
        assert!(fault.to_string().ends_with('.'));
    }
    assert_eq!(GreyPicture::new(3, 3, vec![0; 8]), None);
}
