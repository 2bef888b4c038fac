//! Sheets of clinics with habits of their own, brought in by pointing alone: the meaning of a column and of a
//! word is chosen in the preview, on a tablet, with scripts and without. Afterwards the export holds what
//! the sheet said, fact by fact. All children are invented.

use crate::{
    TODAY,
    clinic::Clinic,
    journey::make_the_account,
    run,
    stops::choose,
    tab::{Browsing, Finger, Key, Tab},
};
use std::{collections::BTreeSet, path::Path, process::Command};

/// A foot at a visit: number, day, side, six signs in the order of the sheet, cast number, tenotomy.
type FootFacts = (&'static str, &'static str, &'static str, [&'static str; 6], &'static str, bool);

/// The headings of the export under which the six signs stand, in the order of the sheets here.
const SIGNS: [&str; 6] = [
    "Curved lateral border",
    "Medial crease",
    "Lateral head of talus",
    "Posterior crease",
    "Rigid equinus",
    "Empty heel",
];

/// A sheet, what a clinician of that clinic would point at, and what it says.
struct Habit {
    file: &'static str,
    sheet: String,
    /// Heading, and the meaning and the foot that it has.
    columns: &'static [(&'static str, &'static str, &'static str)],
    /// Words of a question, and the words of the answer.
    answers: &'static [(&'static str, &'static str)],
    truth: &'static [FootFacts],
}

const FRENCH_FEET: &[FootFacts] = &[
    ("24-2001", "2024-01-15", "right", ["1", "0.5", "1", "1", "0.5", "1"], "1", false),
    ("24-2001", "2024-01-22", "right", ["0.5", "1", "1", "0.5", "0.5", "1"], "2", false),
    ("24-2001", "2024-01-29", "right", ["0", "0.5", "0", "1", "1", "0.5"], "3", true),
    ("24-2002", "2024-01-16", "right", ["1", "1", "1", "1", "1", "0.5"], "1", false),
    ("24-2002", "2024-01-16", "left", ["0.5", "0.5", "1", "1", "1", "1"], "1", false),
    ("24-2002", "2024-01-23", "right", ["0.5", "1", "0.5", "1", "1", "0.5"], "2", false),
    ("24-2002", "2024-01-23", "left", ["0.5", "0", "0.5", "1", "1", "1"], "2", false),
    ("24-2003", "2024-02-19", "left", ["1", "0.5", "1", "1", "1", "1"], "1", false),
    ("24-2003", "2024-02-26", "left", ["0.5", "0.5", "0.5", "0.5", "1", "1"], "2", false),
];

const ARABIC_FEET: &[FootFacts] = &[
    ("61204", "2024-03-04", "right", ["1", "0.5", "1", "1", "1", "1"], "1", false),
    ("61204", "2024-03-04", "left", ["1", "1", "0.5", "0.5", "1", "1"], "1", false),
    ("61204", "2024-03-11", "right", ["0.5", "1", "1", "1", "1", "1"], "2", false),
    ("61204", "2024-03-11", "left", ["0.5", "1", "0.5", "1", "1", "1"], "2", false),
    ("61207", "2024-03-18", "left", ["0.5", "0.5", "1", "1", "0.5", "1"], "1", false),
    ("61207", "2024-03-25", "left", ["0", "0.5", "0", "1", "1", "0.5"], "2", true),
];

/// Points with a decimal comma, as some of the sheets write them.
fn comma(points: &str) -> String {
    points.replace('.', ",")
}

fn total(signs: &[&str; 6]) -> String {
    let sum: f64 = signs.iter().map(|points| points.parse::<f64>().unwrap()).sum();
    format!("{sum}")
}

/// "2024-01-15" as "15/01/2024".
fn day_first(day: &str) -> String {
    let parts: Vec<&str> = day.split('-').collect();
    format!("{}/{}/{}", parts[2], parts[1], parts[0])
}

/// Both feet side by side, a title above the headings, "sain" for a foot that is not affected, a dash for one
/// that was not looked at.
fn french() -> Habit {
    let who = |number: &str| match number {
        "24-2001" => "LORMIER;Anaïs;29/12/2023;F;D",
        "24-2002" => "PASTOUREL;Théo;14/12/2023;M;bilat.",
        _ => "GRÉMILLON;Zoé;30/01/2024;F;G",
    };
    let mut sheet =
        "Consultation pied bot varus équin\n\nN° dossier;NOM;Prénom;Né(e) le;Sexe;Côté;Date consult.;\
        Bord lat. Dt;Pli méd. Dt;Tête talus Dt;Pli post. Dt;Équin Dt;Talon vide Dt;Pirani Dt;\
        Bord lat. Gche;Pli méd. Gche;Tête talus Gche;Pli post. Gche;Équin Gche;Talon vide Gche;Pirani Gche;\
        Plâtre n° Dt;Plâtre n° Gche;Geste;Observations\n"
            .to_owned();
    let mut visits: Vec<(&str, &str)> = FRENCH_FEET.iter().map(|foot| (foot.0, foot.1)).collect();
    visits.dedup();
    for (n, (number, day)) in visits.into_iter().enumerate() {
        let at = |side: &str| FRENCH_FEET.iter().find(|foot| (foot.0, foot.1, foot.2) == (number, day, side));
        let blank = if n.is_multiple_of(2) { "sain" } else { "–" };
        let scores = |side: &str| match at(side) {
            Some((.., signs, _, _)) => signs.map(comma).join(";") + ";" + &comma(&total(signs)),
            None => [blank; 7].join(";"),
        };
        let cast = |side: &str| at(side).map_or("", |foot| foot.4);
        let done = if at("right").is_some_and(|foot| foot.5) { "ténotomie + plâtre" } else { "plâtre" };
        let cells = [
            number.to_owned(),
            who(number).to_owned(),
            day_first(day),
            scores("right"),
            scores("left"),
            cast("right").to_owned(),
            cast("left").to_owned(),
            done.to_owned(),
            "bonne tolérance".to_owned(),
        ];
        sheet += &(cells.join(";") + "\n");
    }
    Habit {
        file: "consultations.csv",
        sheet,
        columns: &[
            ("N° dossier", "number", ""),
            ("NOM", "family_name", ""),
            ("Prénom", "given_name", ""),
            ("Né(e) le", "born", ""),
            ("Sexe", "sex", ""),
            ("Côté", "side", ""),
            ("Date consult.", "visit_date", ""),
            ("Bord lat. Dt", "lateral_border", "right"),
            ("Pli méd. Dt", "medial_crease", "right"),
            ("Tête talus Dt", "talar_head", "right"),
            ("Pli post. Dt", "posterior_crease", "right"),
            ("Équin Dt", "rigid_equinus", "right"),
            ("Talon vide Dt", "empty_heel", "right"),
            ("Pirani Dt", "total", "right"),
            ("Bord lat. Gche", "lateral_border", "left"),
            ("Pli méd. Gche", "medial_crease", "left"),
            ("Tête talus Gche", "talar_head", "left"),
            ("Pli post. Gche", "posterior_crease", "left"),
            ("Équin Gche", "rigid_equinus", "left"),
            ("Talon vide Gche", "empty_heel", "left"),
            ("Pirani Gche", "total", "left"),
            ("Plâtre n° Dt", "cast_number", "right"),
            ("Plâtre n° Gche", "cast_number", "left"),
            ("Geste", "done", ""),
            ("Observations", "remarks", ""),
        ],
        answers: &[("“sain”", "the foot is not affected")],
        truth: FRENCH_FEET,
    }
}

/// One row a foot and visit, headings and names in Arabic script, Arabic-Indic digits.
fn arabic() -> Habit {
    let digits = |text: &str| {
        text.chars()
            .map(|c| match c {
                '0'..='9' => char::from_u32(0x0660 + c.to_digit(10).unwrap()).unwrap(),
                '.' => '٫',
                other => other,
            })
            .collect::<String>()
    };
    let mut sheet = "رقم الملف,اسم الطفل,تاريخ الميلاد,الجنس,تاريخ الزيارة,القدم,الحافة الوحشية,التجعد الإنسي,\
        رأس الكاحل,التجعد الخلفي,قفد صلب,كعب فارغ,المجموع,رقم الجبيرة,الإجراء,ملاحظات\n"
        .to_owned();
    for (number, day, side, signs, cast, tenotomy) in ARABIC_FEET {
        let who = if *number == "61204" {
            ["مروان البحيري", "١٢/٠١/٢٠٢٤", "ذكر"]
        } else {
            ["سلمى الدروبي", "٢٣/٠١/٢٠٢٤", "أنثى"]
        };
        let foot = if *side == "right" { "يمين" } else { "يسار" };
        // Names of this clinic's own, which no word list knows.
        let done = if *tenotomy { "بند ب" } else { "بند أ" };
        let mut cells = vec![digits(number)];
        cells.extend(who.map(str::to_owned));
        cells.extend([digits(&day_first(day)), foot.to_owned()]);
        cells.extend(signs.map(&digits));
        cells.extend([digits(&total(signs)), digits(cast), done.to_owned(), "الجلد سليم".to_owned()]);
        sheet += &(cells.join(",") + "\n");
    }
    Habit {
        file: "المراجعات.csv",
        sheet,
        columns: &[
            ("رقم الملف", "number", ""),
            ("اسم الطفل", "name", ""),
            ("تاريخ الميلاد", "born", ""),
            ("الجنس", "sex", ""),
            ("تاريخ الزيارة", "visit_date", ""),
            ("القدم", "side", ""),
            ("الحافة الوحشية", "lateral_border", ""),
            ("التجعد الإنسي", "medial_crease", ""),
            ("رأس الكاحل", "talar_head", ""),
            ("التجعد الخلفي", "posterior_crease", ""),
            ("قفد صلب", "rigid_equinus", ""),
            ("كعب فارغ", "empty_heel", ""),
            ("المجموع", "total", ""),
            ("رقم الجبيرة", "cast_number", ""),
            ("الإجراء", "done", ""),
            ("ملاحظات", "remarks", ""),
        ],
        answers: &[("“بند ب”", "tenotomy and cast"), ("“بند أ”", "cast")],
        truth: ARABIC_FEET,
    }
}

/// How a clinician points.
#[derive(Clone, Copy, PartialEq, Eq)]
enum By {
    Touch,
    TouchWithoutScripts,
    Keyboard,
}

impl By {
    fn has_scripts(self) -> bool {
        self != Self::TouchWithoutScripts
    }
}

#[test]
fn a_french_sheet_comes_in_by_pointing() {
    run(bring_in(french(), By::Touch));
}

#[test]
fn an_arabic_sheet_comes_in_by_pointing_without_scripts() {
    run(bring_in(arabic(), By::TouchWithoutScripts));
}

#[test]
fn a_french_sheet_comes_in_by_keyboard_alone() {
    run(bring_in(french(), By::Keyboard));
}

async fn bring_in(habit: Habit, by: By) {
    let data = tempfile::tempdir().unwrap();
    let clinic = Clinic::serve(data.path(), TODAY);
    let browsing = Browsing::start().await;
    let tab = browsing.tab().await;
    tab.size(820, 1180).await;
    tab.touch().await;
    if !by.has_scripts() {
        tab.without_scripts().await;
    }
    make_the_account(&tab, &clinic).await;

    upload(&tab, &clinic, &habit).await;
    settle_columns(&tab, &habit, by).await;
    answer_questions(&tab, &habit, by).await;
    confirm(&tab, by).await;
    tab.says("Your choices are saved for the next sheet with these headings.").await;

    upload(&tab, &clinic, &habit).await;
    tab.says("The choices that this clinic saved for sheets with these headings are used").await;
    tab.says("There is nothing new in this file.").await;
    let open: usize = tab.eval("document.querySelectorAll('.ask:not(.settled)').length").await;
    assert_eq!(open, 0, "the saved choices answer every question: {}", tab.text().await);

    assert!(tab.troubles().is_empty(), "the browser complains: {:?}", tab.troubles());
    browsing.close().await;
    drop(clinic);
    assert_eq!(exported(data.path()), said_by(habit.truth));
}

async fn upload(tab: &Tab, clinic: &Clinic, habit: &Habit) {
    tab.go(&clinic.at("/import")).await;
    choose(tab, "input[name=file]", habit.file, &habit.sheet).await;
    tab.click_on(&tab.named("Read the file").await).await;
    tab.says("nothing is saved yet").await;
}

async fn confirm(tab: &Tab, by: By) {
    let ticks: usize = tab.eval("document.querySelectorAll('.held-back input').length").await;
    assert_eq!(ticks, 0, "something is left open: {}", tab.text().await);
    if by == By::Keyboard {
        tab.tab_to("the button to import", "e.matches('#confirm button.primary')").await;
        tab.enter_on().await;
    } else {
        tab.press_on(Finger::Touch, "#confirm button.primary").await;
    }
    tab.says("Import finished").await;
}

/// The number of the preview on the page.
async fn revision(tab: &Tab) -> u32 {
    let text: String = tab.eval("document.querySelector('[name=revision]').value").await;
    text.parse().unwrap()
}

/// Chooses in a menu; with scripts the page is planned again by itself.
async fn pick(tab: &Tab, id: &str, key: &str, by: By) {
    let before = revision(tab).await;
    if by == By::Keyboard {
        pick_by_keys(tab, id, key).await;
        return planned_with(tab, id, key).await;
    }
    let chosen = format!(
        "(() => {{ const menu = document.getElementById('{id}'); menu.focus(); menu.value = '{key}';
           menu.dispatchEvent(new Event('change', {{ bubbles: true }})); return menu.value; }})()"
    );
    assert_eq!(tab.eval::<String>(&chosen).await, key, "the menu {id} does not offer {key}");
    if by.has_scripts() {
        planned_again(tab, before).await;
        let place: String = tab.eval("document.activeElement.id").await;
        assert_eq!(place, id, "the place is lost");
    }
}

/// Chooses in a menu with the tab key and the arrows.
async fn pick_by_keys(tab: &Tab, id: &str, key: &str) {
    tab.tab_to(id, &format!("e.id === '{id}'")).await;
    let steps: i32 = tab
        .eval(&format!(
            "((e) => [...e.options].findIndex((option) => option.value === '{key}') - e.selectedIndex)(document.activeElement)"
        ))
        .await;
    let arrow = if steps < 0 { Key::ArrowUp } else { Key::ArrowDown };
    for _ in 0..steps.abs() {
        tab.press_key(arrow).await;
    }
    assert_eq!(tab.eval::<String>("document.activeElement.value").await, key, "the menu {id}");
}

/// Waits until the preview shows a choice as its own; passing over other choices with the arrows may have
/// made it plan in between.
async fn planned_with(tab: &Tab, id: &str, key: &str) {
    let shown = format!(
        "((e) => e.value === '{key}' && e.selectedOptions[0].defaultSelected)(document.getElementById('{id}')) && !document.querySelector('[data-import]').hasAttribute('aria-busy') && document.activeElement.id === '{id}'"
    );
    tab.until("the preview with the choice, its menu still focused", &shown).await;
}

async fn planned_again(tab: &Tab, before: u32) {
    let again = format!(
        "Number(document.querySelector('[name=revision]').value) > {before} && !document.querySelector('[data-import]').hasAttribute('aria-busy')"
    );
    tab.until("the next preview", &again).await;
}

/// Without scripts, the button that shows the preview again.
async fn show_again(tab: &Tab) {
    tab.press_on(Finger::Touch, &tab.named("Show again with these choices").await).await;
    tab.says("nothing is saved yet").await;
}

/// What the menus above a column say: its place, its meaning, its foot where a menu asks for it.
async fn menus_of(tab: &Tab, heading: &str) -> (usize, String, Option<String>) {
    let heading_in_js = serde_json::to_string(heading).unwrap();
    let found = format!(
        "(() => {{ const heads = [...document.querySelectorAll('.sheet thead th')].slice(1);
           const at = heads.findIndex((head) => head.querySelector('bdi')?.textContent === {heading_in_js});
           const cell = document.querySelectorAll('.sheet tr.menus td')[at + 1];
           const meaning = cell.querySelector('select[id^=meaning]'), foot = cell.querySelector('select[id^=foot]');
           return [Number(meaning.id.split('-')[1]), meaning.value, foot ? foot.value : null]; }})()"
    );
    tab.eval(&found).await
}

async fn settle_columns(tab: &Tab, habit: &Habit, by: By) {
    // The menu of feet appears once the meaning is one of a foot, hence two rounds.
    for round in ["meaning", "foot"] {
        let mut picked = 0;
        for (heading, meaning, foot) in habit.columns {
            let (at, now, now_foot) = menus_of(tab, heading).await;
            let (wanted, now) = match (round, now_foot) {
                ("meaning", _) => (*meaning, now),
                (_, Some(now_foot)) => (*foot, now_foot),
                (_, None) => continue,
            };
            if now != wanted {
                pick(tab, &format!("{round}-{at}"), wanted, by).await;
                picked += 1;
            }
        }
        if picked > 0 && !by.has_scripts() {
            show_again(tab).await;
        }
    }
    for (heading, meaning, foot) in habit.columns {
        let (_, now, now_foot) = menus_of(tab, heading).await;
        assert_eq!((now.as_str(), now_foot.unwrap_or_default().as_str()), (*meaning, *foot), "{heading}");
    }
}

/// Answers every open question that stands on the page; one that the clinician would not know fails the test.
async fn answer_questions(tab: &Tab, habit: &Habit, by: By) {
    for asked in 0.. {
        assert!(asked < 12, "more than twelve questions: {}", tab.text().await);
        let open = "document.querySelector('.ask:not(.settled)')";
        if tab.eval::<bool>(&format!("{open} === null")).await {
            return;
        }
        let subject: String = tab.eval(&format!("{open}.innerText")).await;
        let answer = habit.answers.iter().find(|(words, _)| subject.contains(words));
        let (_, answer) = answer.unwrap_or_else(|| panic!("nobody expects this question: {subject}"));
        let answer_in_js = serde_json::to_string(answer).unwrap();
        let id: Option<String> = tab
            .eval(&format!("[...{open}.querySelectorAll('label')].find((label) => label.innerText.trim() === {answer_in_js})?.htmlFor ?? null"))
            .await;
        let id = id.unwrap_or_else(|| panic!("{answer} is not offered: {subject}"));
        let before = revision(tab).await;
        if by == By::Keyboard {
            answer_by_keys(tab, &id).await;
        } else {
            tab.press(Finger::Touch, &format!("label[for='{id}']")).await;
        }
        if by.has_scripts() {
            planned_again(tab, before).await;
        } else {
            show_again(tab).await;
        }
    }
}

/// Chooses an answer with the tab key, the arrows and the space bar.
async fn answer_by_keys(tab: &Tab, id: &str) {
    let group = format!("e.name && e.name === document.getElementById('{id}').name");
    tab.tab_to("the question", &group).await;
    let below: usize = tab
        .eval(&format!(
            "(() => {{ const group = [...document.getElementsByName(document.activeElement.name)];
               return group.indexOf(document.getElementById('{id}')) - group.indexOf(document.activeElement); }})()"
        ))
        .await;
    if below == 0 {
        tab.press_key(Key::Space).await;
    }
    for _ in 0..below {
        tab.press_key(Key::ArrowDown).await;
    }
    assert!(tab.eval::<bool>(&format!("document.getElementById('{id}').checked")).await, "{id}");
}

/// The facts of a truth, one line each.
fn said_by(truth: &[FootFacts]) -> BTreeSet<String> {
    let mut facts = BTreeSet::new();
    for (number, day, side, signs, cast, tenotomy) in truth {
        let of = format!("{number} {day} {side}");
        facts.insert(format!("{of} signs {}", signs.join(" ")));
        facts.insert(format!("{of} cast {cast}"));
        if *tenotomy {
            facts.insert(format!("{of} tenotomy"));
        }
    }
    facts
}

/// The same facts, as the export of the records tells them.
fn exported(data: &Path) -> BTreeSet<String> {
    let file = data.join("out.csv");
    let output = Command::new(env!("CARGO_BIN_EXE_plantigrade"))
        .args(["export", file.to_str().unwrap(), "--data", data.to_str().unwrap(), "--today", TODAY])
        .output()
        .unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let table = exchange::read_table(&std::fs::read(&file).unwrap(), "out.csv", None).unwrap();
    let at = |heading: &str| table.headers.iter().position(|other| other == heading).unwrap();
    let mut facts = BTreeSet::new();
    for row in table.rows() {
        let cell = |heading: &str| table.cell(row, at(heading)).trimmed().trim_start_matches('\'').to_owned();
        let sides = match cell("Side").as_str() {
            "both" => vec!["right".to_owned(), "left".to_owned()],
            side => vec![side.to_owned()],
        };
        let (done, cast) = (cell("What was done").to_lowercase(), cell("Cast number"));
        for side in sides {
            let of = format!("{} {} {side}", cell("Hospital number"), cell("Date of visit"));
            let signs = SIGNS.map(&cell);
            if signs.iter().any(|points| !points.is_empty()) {
                facts.insert(format!("{of} signs {}", signs.join(" ")));
            }
            if !cast.is_empty() || (done.contains("cast") && !done.contains("off")) {
                facts.insert(format!("{of} cast {cast}"));
            }
            if done.contains("tenotomy") && !done.contains("booked") {
                facts.insert(format!("{of} tenotomy"));
            }
        }
    }
    facts
}
