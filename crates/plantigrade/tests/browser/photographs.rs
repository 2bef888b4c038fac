//! Photographs on a phone: consent, five views of both feet sent at once, named, two angles measured, the consent taken
//! back, and everything gone.

use crate::{
    TODAY,
    clinic::Clinic,
    run, screens,
    stops::child,
    tab::{Browsing, Finger, Tab},
};
use image::{Rgb, RgbImage};
use record::{PhotographView, Side, ViewFeet};

const PHONE: (u32, u32) = (390, 844);
/// A child in casts with both feet.
const IN_CASTS: u32 = 3;
/// Width and height of the pictures, in pixels.
const SIZE: (u32, u32) = (1200, 1600);

/// A heel, a forefoot and a background, different for each number, as a file of JPEG.
fn picture(folder: &std::path::Path, number: u32) -> String {
    let round = |x: u32, y: u32, at: (f64, f64), radius: f64| {
        (f64::from(x) - at.0).hypot(f64::from(y) - at.1) < radius
    };
    let drawn = RgbImage::from_fn(SIZE.0, SIZE.1, |x, y| {
        let foot = round(x, y, (600.0, 1250.0), 240.0) || round(x, y, (600.0, 700.0), 330.0);
        if foot {
            Rgb([206, 158, 132])
        } else {
            Rgb([90, 110 + (number * 11) as u8, 140 + ((x / 9 + y / 9) % 2 * 30) as u8])
        }
    });
    let path = folder.join(format!("picture-{number}.jpg"));
    drawn.save(&path).unwrap();
    path.to_str().unwrap().to_owned()
}

async fn fits(tab: &Tab) {
    let over: i32 = tab.eval("document.documentElement.scrollWidth - innerWidth").await;
    assert!(over <= 0, "{} is {over} px wider than the phone", tab.path().await);
}

async fn answer(tab: &Tab, summary: &str, button: &str) {
    tab.press(Finger::Touch, &tab.named(summary).await).await;
    tab.type_into("#f-relation", "mother").await;
    tab.press_on(Finger::Touch, &tab.named(button).await).await;
}

/// Every foot with each of its views.
fn wanted() -> Vec<(Side, PhotographView)> {
    let views = PhotographView::ALL.iter().copied().filter(|view| view.feet() == ViewFeet::One);
    let views: Vec<PhotographView> = views.filter(|view| *view != PhotographView::ThighAndFoot).collect();
    assert_eq!(views.len(), 5);
    Side::BOTH
        .into_iter()
        .flat_map(|side| views.iter().map(move |view| (side, *view)).collect::<Vec<_>>())
        .collect()
}

async fn sent_and_named(tab: &Tab, folder: &std::path::Path) {
    let wanted = wanted();
    let paths = (0..wanted.len()).map(|number| picture(folder, number as u32)).collect();
    tab.choose_files("#f-photographs", paths).await;
    tab.press(Finger::Touch, &tab.named("Send the pictures of").await).await;
    tab.until("the pictures to arrive", "location.pathname.includes('/photographs/upload/')").await;
    tab.says("Which foot or feet").await;
    fits(tab).await;
    screens::keep("photograph-names-phone.png", &tab.whole_picture(PHONE).await);
    for (number, (side, view)) in wanted.iter().enumerate() {
        let choose = format!(
            "(() => {{ for (const [name, value] of [['feet', '{side}'], ['view', '{}']]) {{
                const menu = document.querySelector(`[name=${{name}}_{}]`);
                menu.value = value;
                menu.dispatchEvent(new Event('change', {{ bubbles: true }})); }} return null; }})()",
            view.key(),
            number + 1
        );
        tab.eval::<()>(&choose).await;
    }
    tab.type_day("#f-on", TODAY).await;
    tab.press_on(Finger::Touch, &tab.named("Save for").await).await;
    tab.says("The photographs are saved.").await;
}

/// How many pictures of the page are loaded.
async fn loaded(tab: &Tab) -> usize {
    tab.eval::<()>(
        "document.querySelectorAll('.photograph-strip img').forEach((img) => { img.loading = 'eager'; })",
    )
    .await;
    tab.until(
        "every picture to load",
        "[...document.querySelectorAll('.photograph-strip img')].every((img) => img.complete)",
    )
    .await;
    tab.eval("[...document.querySelectorAll('.photograph-strip img')].filter((img) => img.naturalWidth > 0).length").await
}

/// Taps points of the picture, given in pixels of the kept picture.
async fn tap(tab: &Tab, points: &[(u32, u32)]) {
    for (x, y) in points {
        let tapped = format!(
            "(() => {{ const img = document.querySelector('.tapped img');
               const box = img.getBoundingClientRect();
               img.dispatchEvent(new MouseEvent('click', {{ bubbles: true,
                 clientX: box.left + {x} / {} * box.width, clientY: box.top + {y} / {} * box.height }})); return null; }})()",
            SIZE.0, SIZE.1
        );
        tab.eval::<()>(&tapped).await;
    }
}

#[test]
fn five_views_of_both_feet_are_taken_measured_and_hidden_again() {
    run(async {
        let folder = tempfile::tempdir().unwrap();
        let clinic = Clinic::demo(60, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.size(PHONE.0, PHONE.1).await;
        tab.touch().await;
        tab.go(&clinic.link).await;
        let path = child(&tab, IN_CASTS).await;
        tab.go(&clinic.at(&format!("{path}/photographs"))).await;
        tab.says("No answer of the family about photographs is recorded").await;
        answer(&tab, "Record the family’s answer", "Consent given").await;
        tab.says("The consent is recorded.").await;
        fits(&tab).await;
        sent_and_named(&tab, folder.path()).await;
        assert_eq!(loaded(&tab).await, 10);
        fits(&tab).await;
        screens::keep("photographs-phone.png", &tab.whole_picture(PHONE).await);

        // The sole by tapping: heel back, heel front, forefoot turned in.
        tab.go(&clinic.at(&format!("{path}/photographs/view/left/sole"))).await;
        tab.press_on(Finger::Touch, &tab.named("Measure an angle").await).await;
        tap(&tab, &[(600, 1460), (600, 1050), (450, 450)]).await;
        tab.press_on(Finger::Touch, &tab.named("Show the angle").await).await;
        // arctan of 150 / 600 is 14.04°.
        tab.part_says(".message.note", "left foot: 14° ±").await;
        fits(&tab).await;
        screens::keep("photograph-measure-phone.png", &tab.whole_picture(PHONE).await);
        tab.press_on(Finger::Touch, &tab.named("Save for").await).await;
        tab.part_says("figcaption", "left foot: 14° ±").await;
        // The heel of the other foot by typing.
        tab.go(&clinic.at(&format!("{path}/photographs/view/right/behind"))).await;
        tab.press_on(Finger::Touch, &tab.named("Measure an angle").await).await;
        tab.press(Finger::Touch, &tab.named("The points as numbers").await).await;
        for (field, value) in [
            ("x-1", "600"),
            ("y-1", "200"),
            ("x-2", "600"),
            ("y-2", "700"),
            ("x-3", "600"),
            ("y-3", "800"),
            ("x-4", "560"),
            ("y-4", "1300"),
        ] {
            tab.type_into(&format!("#f-{field}"), value).await;
        }
        tab.press_on(Finger::Touch, &tab.named("Show the angle").await).await;
        tab.part_says(".message.note", "right foot: ").await;
        tab.press_on(Finger::Touch, &tab.named("Save for").await).await;
        tab.go(&clinic.at(&path)).await;
        let marks: usize =
            tab.eval("document.querySelectorAll('.picture.narrow .of-photograph').length").await;
        assert_eq!(marks, 2, "one on the picture of each foot");
        assert_eq!(loaded(&tab).await, 10);
        let src: String = tab.eval("document.querySelector('.photograph-strip img').src").await;

        tab.go(&clinic.at(&format!("{path}/photographs"))).await;
        answer(&tab, "The family takes its consent back", "Consent taken back").await;
        tab.says("No photograph is shown from now on.").await;
        tab.says("10 photographs are on record and not shown.").await;
        for page in [format!("{path}/photographs"), path] {
            tab.go(&clinic.at(&page)).await;
            let shown: usize = tab.eval("document.querySelectorAll('.photograph-strip img').length").await;
            assert_eq!(shown, 0, "{page}");
        }
        let status: u16 = tab.eval(&format!("fetch('{src}').then((answer) => answer.status)")).await;
        assert_eq!(status, 404, "whoever has the address of one sees it no more");
        browsing.close().await;
    });
}
