//! A picture of a diary fills the form, is asked about, and never taken for another child's.

use crate::clinic::{AMINA, Browser, Clinic, Page, TODAY, day};
use axum::{
    body::Body,
    http::{Request, StatusCode, header},
};
use letters::{ClinicContact, FamilyFacts, Language, html, wear_diary};
use png::{BitDepth, ColorType, Encoder};
use record::{BraceFitted, ChildId, Day, Entry, EntryId};
use scraper::{Html, Selector};

/// Pixels for a millimetre of the pictures here.
const PER_MM: f64 = 7.0;
/// The white around the sheet, in millimetres.
const RIM: f64 = 12.0;

async fn in_brace(clinic: &Clinic, browser: &mut Browser, fields: &[(&str, &str)]) -> ChildId {
    let child = clinic.child(browser, fields).await;
    let like = clinic.entries(child).remove(0);
    let id = EntryId::new(uuid::Uuid::now_v7());
    let fitted = Entry { id, body: BraceFitted::default().into(), on: day("2025-02-20"), ..like };
    clinic.app.records.append(vec![Entry { follows: None, ..fitted }]).unwrap();
    child
}

/// The sheet of a diary from a day on as its page draws it, with crosses in these boxes (row, hours), as PNG.
fn photo(clinic: &Clinic, child: ChildId, from: Day, crosses: &[(usize, usize)]) -> Vec<u8> {
    let known = clinic.app.known(child, day(TODAY)).unwrap();
    let contact = ClinicContact::default();
    let facts = FamilyFacts::of(&known.outlook, &clinic.app.protocol(), &contact, &[], from).unwrap();
    let frame = html::PageFrame { style: "", above: None };
    let page = html::page(&wear_diary(&facts).unwrap(), Language::English, frame).unwrap().into_string();
    drawn(&Html::parse_document(&page), crosses)
}

fn drawn(page: &Html, crosses: &[(usize, usize)]) -> Vec<u8> {
    let find = |selector: &str| Selector::parse(selector).unwrap();
    let (width, height) = (((182.0 + 2.0 * RIM) * PER_MM) as usize, ((230.0 + 2.0 * RIM) * PER_MM) as usize);
    let mut shades = vec![235_u8; width * height];
    let mut fill = |x: f64, y: f64, wide: f64, high: f64| {
        let at = |mm: f64| ((mm + RIM) * PER_MM).round() as usize;
        for row in at(y)..at(y + high).max(at(y) + 1) {
            for column in at(x)..at(x + wide).max(at(x) + 1) {
                shades[row * width + column] = 30;
            }
        }
    };
    let mut boxes = Vec::new();
    for rect in page.select(&find(".diary-sheet rect")) {
        let [x, y, side] =
            ["x", "y", "width"].map(|name| rect.value().attr(name).unwrap().parse::<f64>().unwrap());
        if rect.value().attr("class") == Some("box") {
            boxes.push((x, y));
            for (x, y, wide, high) in
                [(x, y, side, 0.3), (x, y + side, side, 0.3), (x, y, 0.3, side), (x + side, y, 0.3, side)]
            {
                fill(x - 0.15, y - 0.15, wide, high);
            }
        } else {
            fill(x, y, side, side);
        }
    }
    for (row, hours) in crosses {
        let (x, y) = boxes[21 + row * 26 + hours];
        for n in 0..34 {
            let along = 0.3 + f64::from(n) * 0.1;
            fill(x + along, y + along, 0.4, 0.3);
            fill(x + along, y + 3.7 - along, 0.4, 0.3);
        }
    }
    let code = page.select(&find("path.code")).next().unwrap();
    let numbers = |text: &str| -> Vec<f64> {
        text.split(|c: char| !(c.is_ascii_digit() || c == '.')).filter_map(|part| part.parse().ok()).collect()
    };
    let of = numbers(code.value().attr("transform").unwrap());
    for module in code.value().attr("d").unwrap().split('M').skip(1) {
        let at = numbers(module);
        fill(of[0] + at[0] * of[2], of[1] + at[1] * of[2], of[2], of[2]);
    }
    let mut out = Vec::new();
    let mut encoder = Encoder::new(&mut out, width as u32, height as u32);
    encoder.set_color(ColorType::Grayscale);
    encoder.set_depth(BitDepth::Eight);
    encoder.write_header().unwrap().write_image_data(&shades).unwrap();
    out
}

async fn sent(browser: &mut Browser, child: ChildId, photo: &[u8]) -> Page {
    let path = format!("/child/{child}/wear/scan");
    let csrf = browser.get(&path).await.form(&path)["csrf"].clone();
    let mut body = format!(
        "--edge\r\nContent-Disposition: form-data; name=\"csrf\"\r\n\r\n{csrf}\r\n--edge\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"diary.png\"\r\nContent-Type: image/png\r\n\r\n"
    )
    .into_bytes();
    body.extend_from_slice(photo);
    body.extend_from_slice(b"\r\n--edge--\r\n");
    let request = Request::post(path)
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=edge")
        .header("sec-fetch-site", "same-origin")
        .body(Body::from(body))
        .unwrap();
    browser.request(request).await
}

#[tokio::test]
async fn a_picture_fills_the_form_and_saves_nothing() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = in_brace(&clinic, &mut browser, AMINA).await;
    let before = clinic.entries(child).len();
    // From Wednesday 26 February; today is Tuesday 4 March, the seventh day.
    let crosses = [(0, 22), (1, 0), (2, 10), (2, 12), (6, 23), (10, 5)];
    let photo = photo(&clinic, child, day("2025-02-26"), &crosses);
    let page = sent(&mut browser, child, &photo).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    let wear = format!("/child/{child}/wear");
    let fields = page.form(&wear);
    let hours = |day: &str| fields.get(&format!("hours.{day}")).map(String::as_str);
    assert_eq!(
        [hours("2025-02-26"), hours("2025-02-27"), hours("2025-03-04")],
        [Some("22"), Some("0"), Some("23")]
    );
    for asked in ["2025-02-28", "2025-03-01", "2025-03-08"] {
        assert_eq!(hours(asked), Some(""), "{asked} is left open");
    }
    let errors = page.shown(".asked");
    assert!(errors.contains("28 February 2025: More than one box is ticked"), "{errors}");
    assert!(errors.contains("1 March 2025: No box is ticked"), "{errors}");
    assert!(errors.contains("8 March 2025: A box is ticked for a day in the future"), "{errors}");
    assert!(!errors.contains("12 March"), "an empty day to come is no question: {errors}");
    assert!(
        page.text.contains("Read from the picture: 3 days; asked: 5 days. Nothing is saved yet."),
        "{}",
        page.text
    );
    assert_eq!(clinic.entries(child).len(), before, "nothing is saved");
    let to_send: Vec<(&str, &str)> =
        fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    let saved = browser.post(&wear, &to_send).await;
    assert!(saved.status.is_redirection(), "{}", saved.text);
    assert_eq!(clinic.entries(child).len(), before + 3, "what was read, once a person saved it");
}

#[tokio::test]
async fn the_diary_of_another_child_is_refused_loudly() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let amina = in_brace(&clinic, &mut browser, AMINA).await;
    let fields = [
        ("family_name", "Ostwick"),
        ("given_name", "Tuva"),
        ("number", "CF-7"),
        ("born", "2025-01-03"),
        ("sides", "left"),
        ("sure", "yes"),
    ];
    let tuva = in_brace(&clinic, &mut browser, &fields).await;
    let photo = photo(&clinic, amina, day("2025-02-24"), &[(0, 22)]);
    let page = sent(&mut browser, tuva, &photo).await;
    assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
    let errors = page.shown(".errors");
    assert!(errors.contains("This is the diary of another child: Amina Vesterholt"), "{errors}");
    assert!(!page.text.contains("hours.2025-02-24"), "no form is filled in");
}

#[tokio::test]
async fn what_is_no_diary_is_refused_in_a_sentence() {
    let (clinic, mut browser) = Clinic::signed_in().await;
    let child = in_brace(&clinic, &mut browser, AMINA).await;
    for (bytes, sentence) in [
        (&b""[..], "No picture was chosen."),
        (&b"name,hours\n"[..], "This is no picture in JPEG or PNG."),
        (&b"\x89PNG\r\n\x1a\n"[..], "The picture is damaged"),
        (JPEG, "No code of a wear diary was found"),
    ] {
        let page = sent(&mut browser, child, bytes).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{sentence}");
        assert!(page.shown(".errors").contains(sentence), "{sentence}: {}", page.shown(".errors"));
    }
}

/// 16 by 16 pixels, the left half black.
const JPEG: &[u8] = include_bytes!("../data/half-black.jpg");

/// A small picture, the left half black: it is unpacked as it was.
#[test]
fn a_jpeg_is_unpacked() {
    let picture = plantigrade::diary_photo::unpacked(JPEG).unwrap();
    assert_eq!((picture.width(), picture.height()), (16, 16));
    assert!(picture.shade(2, 8) < 20 && picture.shade(13, 8) > 235);
}
