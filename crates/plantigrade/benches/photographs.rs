//! Photographs at scale, through the whole server: the page of a child, the page of its photographs, and small pictures,
//! the first time and again: `cargo bench -p plantigrade --bench photographs`.
//!
//! 10,000 invented pictures are prepared and kept as uploaded ones are: 400 of one child and the others of sixty more.
//! `PHOTOGRAPHS` sets how many there are, `CHILDREN` how many invented children (200 where it is not set). `ENCRYPTED`
//! encrypts the records and the pictures (with `--features encryption`). `RECORDS` names a folder in which they are kept
//! from one run to the next; a folder that is thrown away where it is not set.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[allow(dead_code)]
#[path = "pages/server.rs"]
mod server;

use image::{ExtendedColorType, RgbImage, codecs::jpeg::JpegEncoder};
use photographs::{PictureLimits, PreparedPhotograph, prepare};
use plantigrade::{app::App, clock::Clock, demo};
use rayon::prelude::*;
use record::{
    Body, ChildId, Consent, ConsentAnswer, ConsentMatter, Day, Entry, EntryId, Photograph, PhotographAngle,
    PhotographAngleMeasured, PhotographView, PictureHash, PictureTaps, Side, Sides, UserId,
};
use server::{Built, Server, Start};
use std::{
    collections::HashMap,
    io::{BufRead, BufReader, Read, Write},
    net::{SocketAddr, TcpStream},
    path::{Path, PathBuf},
    time::{Duration, Instant},
};

/// The target of the page of a child, ms at the 95th percentile.
const CHILD_PAGE_TARGET: f64 = 100.0;
/// Photographs of the one child that has many.
const OF_ONE: usize = 400;
/// The children that share the others.
const OTHERS: usize = 60;
/// How often the server is started to ask for the page of the one child for the first time.
const STARTS: usize = 5;
/// What a person needs at least to sign in after a start, while the server reads the clinic.
const SIGNING_IN: Duration = Duration::from_secs(5);
/// How often something is asked for again.
const AGAIN: usize = 20;
/// Small pictures that are asked for, of each child.
const SMALL_OF_EACH: usize = 8;
/// Pictures that are prepared and kept at a time.
const AT_A_TIME: usize = 200;
const VIEWS: [PhotographView; 4] =
    [PhotographView::Sole, PhotographView::OuterSide, PhotographView::Front, PhotographView::Behind];

fn setting(name: &str, otherwise: usize) -> usize {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

fn main() {
    server::serve_if_told();
    let thrown_away = tempfile::tempdir().unwrap();
    let dir = std::env::var_os("RECORDS").map_or_else(|| thrown_away.path().join("records"), PathBuf::from);
    let built = server::build(&dir, setting("CHILDREN", 200));
    fill(&dir, &built.children[..=OTHERS], setting("PHOTOGRAPHS", 10_000));
    // Signed in again: a sign-in ends where nobody asks for as long as this can take.
    let built = server::build(&dir, setting("CHILDREN", 200));
    let children = &built.children[..=OTHERS];
    let encrypted = plantigrade::folder_key::is_encrypted(&dir);
    println!("records and photographs {}", if encrypted { "encrypted" } else { "not encrypted" });
    println!("ms: number of requests; median, 95th percentile, longest\n");
    child_pages(&dir, &built);
    let server = Server::start(&dir, Start::default());
    let mut asking = Asking::of(&server, &built);
    photographs_pages(&mut asking, children);
    small_pictures(&mut asking, children);
    if let Some([now, most]) = server.memory_mb() {
        println!("memory of the server: {now} MB, at most {most} MB");
    }
}

/// Keeps the pictures and writes their entries, once, and checks every one.
fn fill(dir: &Path, children: &[ChildId], all: usize) {
    let app = App::open(dir, Clock::default(), server::mode()).unwrap();
    // The invented clinic has a few of its own.
    if app.pictures().hashes().unwrap().len() < OF_ONE {
        let begun = Instant::now();
        let others = all.saturating_sub(OF_ONE);
        for (number, child) in children.iter().enumerate() {
            let share = others / OTHERS + usize::from(number <= others % OTHERS);
            let count = if number == 0 { OF_ONE } else { share };
            write(&app, *child, count, u32::try_from(number * 100_000).unwrap());
        }
        println!("prepared, kept and recorded in {:.0} s", begun.elapsed().as_secs_f64());
    }
    let begun = Instant::now();
    let report = app.records.check_pictures(&app.pictures(), app.clock.today()).unwrap();
    assert!(report.is_sound(), "{:?}", report.faults);
    let bytes = std::fs::metadata(dir.join(clinic::PICTURES_FILE)).unwrap().len();
    println!(
        "{} photographs, {} MB in the file; every one read and compared with its hash in {:.1} s",
        report.named,
        bytes >> 20,
        begun.elapsed().as_secs_f64()
    );
}

/// The consent, the photographs of one child over three hundred days, and an angle on every eighth.
fn write(app: &App, child: ChildId, count: usize, first_seed: u32) {
    let today = app.clock.today();
    let entry = |body: Body, on: Day| Entry {
        id: EntryId::new(app.clock.id()),
        child,
        body,
        on,
        at: app.clock.now(),
        by: UserId::new(demo::STAFF[0].1),
        site: app.site,
        follows: None,
    };
    let given = Consent::of(ConsentMatter::Photographs, ConsentAnswer::Given);
    let relation = Some("mother".to_owned());
    let mut entries = vec![entry(Consent { relation, ..given }.into(), today - 310)];
    let kept = (0..count).step_by(AT_A_TIME).flat_map(|from| {
        let seeds = from..(from + AT_A_TIME).min(count);
        keep(app, seeds.map(|seed| first_seed + u32::try_from(seed).unwrap()).collect())
    });
    for (number, (hash, width, height)) in kept.enumerate() {
        let on = today - i32::try_from(300 * (count - number) / count).unwrap();
        let side = if number % 2 == 0 { Side::Right } else { Side::Left };
        let view = VIEWS[number / 2 % VIEWS.len()];
        let photograph = entry(Photograph::of(Sides::from(side), view, hash, width, height).into(), on);
        let id = photograph.id;
        entries.push(photograph);
        if number % 8 == 0 {
            let taps = PictureTaps::new(vec![(400, 500), (400, 350), (430, 120)]).unwrap();
            let angle = PhotographAngle::ForefootAdduction;
            entries.push(entry(PhotographAngleMeasured::of(id, side, angle, 12.0, 2.5, taps).into(), on));
        }
    }
    app.records.import(entries, &mut |_| {}).unwrap();
}

/// Prepares pictures as those that are sent, and keeps them.
fn keep(app: &App, seeds: Vec<u32>) -> Vec<(PictureHash, u16, u16)> {
    let prepared: Vec<PreparedPhotograph> =
        seeds.into_par_iter().map(|seed| prepare(&drawn(seed), &PictureLimits::USUAL).unwrap()).collect();
    let sizes: Vec<(u16, u16)> = prepared
        .iter()
        .map(|one| (u16::try_from(one.width).unwrap(), u16::try_from(one.height).unwrap()))
        .collect();
    let new: Vec<clinic::NewPicture> = prepared
        .into_iter()
        .map(|one| clinic::NewPicture { picture: one.jpeg, thumbnail: one.thumbnail })
        .collect();
    let hashes = app.pictures().keep(app.clock.now(), &new).unwrap();
    hashes.into_iter().zip(sizes).map(|(hash, (width, height))| (hash, width, height)).collect()
}

/// A JPEG of discs on a cloth with a little noise, no two alike. Nobody's foot.
fn drawn(seed: u32) -> Vec<u8> {
    let (width, height) = (800_u32, 600_u32);
    let mix = |x: u32| x.wrapping_mul(0x9e37_79b9).rotate_left(13).wrapping_mul(0x85eb_ca6b);
    let discs: Vec<(u32, u32, u32)> = (0..9)
        .map(|n| {
            let word = mix(seed.wrapping_mul(31).wrapping_add(n));
            (word % width, word / width % height, 60 + word % 90)
        })
        .collect();
    let shade = |x: u32, y: u32| {
        let inside =
            discs.iter().filter(|(dx, dy, r)| x.abs_diff(*dx).pow(2) + y.abs_diff(*dy).pow(2) < r * r);
        let noise = mix(seed ^ (y * width + x)) % 12;
        let foot = u32::try_from(inside.count()).unwrap() * 22;
        [110 + foot, 100 + foot / 2, 120].map(|part| u8::try_from((part + noise).min(255)).unwrap())
    };
    let picture = RgbImage::from_fn(width, height, |x, y| image::Rgb(shade(x, y)));
    let mut out = Vec::new();
    JpegEncoder::new_with_quality(&mut out, 90)
        .encode(picture.as_raw(), width, height, ExtendedColorType::Rgb8)
        .unwrap();
    out
}

/// An answer with how long it took.
struct Answer {
    status: u16,
    head: HashMap<String, String>,
    body: Vec<u8>,
    ms: f64,
}

/// One person who asks, on a connection that stays open.
struct Asking {
    stream: BufReader<TcpStream>,
    cookie: String,
}

impl Asking {
    fn of(server: &Server, built: &Built) -> Self {
        Self { stream: connected(server.address), cookie: built.cookie.clone() }
    }

    fn ask(&mut self, path: &str, tag: Option<&str>) -> Answer {
        let tag = tag.map(|tag| format!("if-none-match: {tag}\r\n")).unwrap_or_default();
        let request =
            format!("GET {path} HTTP/1.1\r\nhost: localhost\r\ncookie: {}\r\n{tag}\r\n", self.cookie);
        let begun = Instant::now();
        self.stream.get_mut().write_all(request.as_bytes()).unwrap();
        let (status, head) = self.head();
        // An answer that nothing has changed has no body, whatever it says of its length.
        let length = head.get("content-length").map_or(0, |length| length.parse::<u64>().unwrap());
        let mut body = Vec::new();
        if status != 304 {
            self.stream.by_ref().take(length).read_to_end(&mut body).unwrap();
        }
        Answer { status, head, body, ms: begun.elapsed().as_secs_f64() * 1e3 }
    }

    fn head(&mut self) -> (u16, HashMap<String, String>) {
        let (mut status, mut head) = (0, HashMap::new());
        loop {
            let mut line = String::new();
            self.stream.read_line(&mut line).unwrap();
            let line = line.trim();
            if line.is_empty() {
                return (status, head);
            }
            if let Some(rest) = line.strip_prefix("HTTP/1.1 ") {
                status = rest.split(' ').next().unwrap().parse().unwrap();
            } else if let Some((name, value)) = line.split_once(": ") {
                head.insert(name.to_ascii_lowercase(), value.to_owned());
            }
        }
    }

    /// A page that must be there; how long it took and its text.
    fn page(&mut self, path: &str) -> (f64, String) {
        let answer = self.ask(path, None);
        assert_eq!(answer.status, 200, "{path}");
        (answer.ms, String::from_utf8(answer.body).unwrap())
    }
}

fn connected(address: SocketAddr) -> BufReader<TcpStream> {
    let stream = TcpStream::connect(address).unwrap();
    stream.set_nodelay(true).unwrap();
    BufReader::new(stream)
}

fn told(what: &str, mut ms: Vec<f64>, target: Option<f64>) {
    ms.sort_by(f64::total_cmp);
    let at = |share: f64| ms[((ms.len() - 1) as f64 * share).round() as usize];
    let verdict = target.map_or(String::new(), |target| {
        format!(" (target under {target}: {})", if at(0.95) < target { "met" } else { "MISSED" })
    });
    println!("{what}: {}; {:.1}, {:.1}, {:.1}{verdict}", ms.len(), at(0.5), at(0.95), at(1.0));
}

/// The addresses of the small pictures on a page.
fn small_on(page: &str) -> Vec<String> {
    let quoted = page.split("src=\"").skip(1).filter_map(|rest| rest.split('"').next());
    quoted.filter(|src| src.contains("/photographs/") && src.ends_with("/small")).map(str::to_owned).collect()
}

/// The page of a child: of every child for the first time after a start, and again from the cache; of the one child with
/// many photographs for the first time after several starts.
fn child_pages(dir: &Path, built: &Built) {
    let (one, others) = built.children[..=OTHERS].split_first().unwrap();
    let (mut first, mut again, mut at_once, mut first_of_one, mut again_of_one) =
        (vec![], vec![], vec![], vec![], vec![]);
    for start in 0..STARTS {
        let server = Server::start(dir, Start::default());
        let mut asking = Asking::of(&server, built);
        if start > 0 {
            std::thread::sleep(SIGNING_IN);
        }
        // The first page after a start reads what every page needs.
        asking.page("/day");
        let (ms, page) = asking.page(&format!("/child/{one}"));
        assert!(small_on(&page).len() >= VIEWS.len() * 2 * 6, "six of each view of each foot");
        if start == 0 { &mut at_once } else { &mut first_of_one }.push(ms);
        again_of_one.extend((0..AGAIN).map(|_| asking.page(&format!("/child/{one}")).0));
        if start == 0 {
            first.extend(others.iter().map(|child| asking.page(&format!("/child/{child}")).0));
            again.extend(others.iter().map(|child| asking.page(&format!("/child/{child}")).0));
        }
    }
    let target = Some(CHILD_PAGE_TARGET);
    told("page of a child with its photographs, first time", first, target);
    told("page of a child with its photographs, again", again, target);
    let many = format!("page of the child with {OF_ONE}, first time");
    told(&format!("{many}, at once after a start"), at_once, target);
    told(&format!("{many}, {} s after a start", SIGNING_IN.as_secs()), first_of_one, target);
    told(&format!("page of the child with {OF_ONE}, again"), again_of_one, target);
}

/// The page of all photographs of a child, which is drawn for each request.
fn photographs_pages(asking: &mut Asking, children: &[ChildId]) {
    let (one, others) = children.split_first().unwrap();
    let (ms, page) = asking.page(&format!("/child/{one}/photographs"));
    assert!(small_on(&page).len() >= OF_ONE, "all of them");
    told(&format!("page of all {OF_ONE} photographs, first time"), vec![ms], None);
    let again = (0..AGAIN).map(|_| asking.page(&format!("/child/{one}/photographs")).0).collect();
    told(&format!("page of all {OF_ONE} photographs, again"), again, None);
    let of = others.iter().map(|child| asking.page(&format!("/child/{child}/photographs")).0).collect();
    told("page of the photographs of another child", of, None);
}

/// Small pictures: for the first time, and when the browser asks whether what it has is still to be shown.
fn small_pictures(asking: &mut Asking, children: &[ChildId]) {
    let (mut first, mut again, mut bytes) = (Vec::new(), Vec::new(), 0);
    for child in children {
        let (_, page) = asking.page(&format!("/child/{child}"));
        for src in small_on(&page).into_iter().take(SMALL_OF_EACH) {
            let answer = asking.ask(&src, None);
            assert_eq!((answer.status, answer.head["cache-control"].as_str()), (200, "private, no-cache"));
            assert!(answer.body.starts_with(&[0xff, 0xd8]), "a JPEG");
            let tag = answer.head["etag"].clone();
            let unchanged = asking.ask(&src, Some(&tag));
            assert_eq!((unchanged.status, unchanged.body.len()), (304, 0), "{src}");
            first.push(answer.ms);
            again.push(unchanged.ms);
            bytes += answer.body.len();
        }
    }
    println!("a small picture has {} kB on average", bytes / first.len() / 1000);
    told("small picture, first time", first, None);
    told("small picture, asked whether it has changed", again, None);
}
