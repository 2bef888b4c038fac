//! What common tasks cost a person: taps, swipes, keys and pages, counted while the real pages are driven.
//!
//! A tap is one press on a link, button, answer or field. A swipe is one screen of scrolling to something that
//! is out of sight or covered. A key is one typed character; a day takes eight. A page is one that is loaded.
//! `docs/taps.md` has the results. Everything is found by its role and its words, which are listed in [`words`],
//! so that the count survives a change of the pages.

use crate::{
    TODAY,
    clinic::Clinic,
    run, stops,
    tab::{Browsing, Finger, Tab},
};
use record::{Side, Sign};
use serde::Deserialize;
use std::fmt;

/// What the pages call things, the present words first.
mod words {
    pub const ARRIVED: &[&str] = &["Arrived"];
    pub const MISSED: &[&str] = &["Did not come"];
    pub const RECORD_VISIT: &[&str] = &["Record a visit", "Record visit"];
    pub const SAVE_VISIT: &[&str] = &["Save visit"];
    pub const FIND: &[&str] = &["Find a child"];
    pub const CORRECT: &[&str] = &["Correct this entry"];
    pub const SAVE_CORRECTION: &[&str] = &["Save correction"];
    /// One step for a whole visit; absent where each entry is withdrawn by itself.
    pub const WHOLE_VISIT: &[&str] = &["whole visit"];
    pub const WRONG_FOOT: &[&str] = &["Wrong foot"];
    pub const EXCHANGE: &[&str] = &["Exchange the feet for"];
    pub const WITHDRAW: &[&str] = &["Withdraw this entry"];
    /// One form for a call; absent where contact and appointment are recorded apart.
    pub const TELEPHONE: &[&str] = &["Call the family"];
    pub const SAVE_CALL: &[&str] = &["Save call for"];
    pub const CONTACT: &[&str] = &["Contact the family", "Contact with the family"];
    pub const APPOINTMENT: &[&str] = &["Make an appointment"];
    pub const SAVE: &[&str] = &["Save"];
    pub const BRACE: &[&str] = &["Measure and fit brace", "Brace fitting"];
    pub const SAVE_MEASURES: &[&str] = &["Save measurements"];
    pub const SAVE_SETTINGS: &[&str] = &["Save the settings"];
}

/// Roles as selectors.
const TO_PRESS: &str = "main :is(a[href], button, summary)";
const LINKS_ABOVE: &str = "header :is(a[href], summary)";
const PHONE: (u32, u32) = (390, 844);
const TABLET: (u32, u32) = (820, 1180);

/// What a task cost.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
struct Cost {
    taps: usize,
    swipes: usize,
    keys: usize,
    pages: usize,
}

impl fmt::Display for Cost {
    fn fmt(&self, text: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(text, "| {} | {} | {} | {} |", self.taps, self.swipes, self.keys, self.pages)
    }
}

impl Cost {
    const fn of(taps: usize, swipes: usize, keys: usize, pages: usize) -> Self {
        Self { taps, swipes, keys, pages }
    }

    const fn all(self) -> usize {
        self.taps + self.swipes + self.keys + self.pages
    }
}

/// A person at a tab.
struct Person<'a> {
    tab: &'a Tab,
    cost: Cost,
}

/// Something on the page that was looked for.
#[derive(Debug, Deserialize)]
struct Spot {
    /// Screens of scrolling to it.
    swipes: usize,
    /// Whether something folded has to be opened first.
    folded: bool,
}

/// Finds by words, marks what was found, and says how far away it is. The first words that fit count; a whole
/// name before its beginning, and its beginning before any part of it.
const LOOK: &str = "(() => {
    document.querySelectorAll('[data-meant]').forEach((e) => e.removeAttribute('data-meant'));
    const name = (e) => (e.getAttribute('aria-label') ?? e.textContent).replace(/\\s+/g, ' ').trim();
    const folded = (e) => e.parentElement?.closest('details:not([open])') && !(e.matches('summary') && !e.parentElement.parentElement.closest('details:not([open])'));
    const drawn = (e) => e.checkVisibility() || folded(e);
    const all = [...document.querySelectorAll(SELECTOR)].filter(drawn).filter((e) => !BESIDE || (e.closest('li, tr, section') ?? document.body).textContent.includes(BESIDE));
    const fits = WORDS.length ? WORDS.flatMap((word) => [(n) => n === word, (n) => n.startsWith(word), (n) => n.includes(word)]) : [() => true];
    let found = null;
    for (const fit of fits) { found ??= all.find((e) => fit(name(e)) && !folded(e)) ?? all.find((e) => fit(name(e))); }
    if (!found) return null;
    const details = folded(found) ? [...document.querySelectorAll('details:not([open])')].filter((d) => d.contains(found)) : [];
    const next = details.length ? details[0].querySelector(':scope > summary') : found;
    next.setAttribute('data-meant', '');
    const box = next.getBoundingClientRect();
    const hit = document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2);
    const seen = box.top >= 0 && box.bottom <= innerHeight && hit !== null && (next.contains(hit) || hit.contains(next) || next.control === hit);
    const most = document.documentElement.scrollHeight - innerHeight;
    const target = Math.min(most, Math.max(0, scrollY + box.top + box.height / 2 - innerHeight / 2));
    return { swipes: seen ? 0 : Math.max(1, Math.ceil(Math.abs(target - scrollY) / innerHeight)), folded: details.length > 0 };
})()";

const MEANT: &str = "[data-meant]";

impl Person<'_> {
    async fn look(&self, selector: &str, words: &[&str], beside: &str) -> Option<Spot> {
        let expression = LOOK
            .replace("SELECTOR", &serde_json::to_string(selector).unwrap())
            .replace("WORDS", &serde_json::to_string(words).unwrap())
            .replace("BESIDE", &serde_json::to_string(beside).unwrap());
        self.tab.eval(&expression).await
    }

    /// Brings something into sight, opening what is folded round it.
    async fn reach(&mut self, selector: &str, words: &[&str], beside: &str) {
        loop {
            let Some(spot) = self.look(selector, words, beside).await else {
                panic!("nothing at {selector} has the words {words:?}:\n{}", self.tab.text().await)
            };
            self.cost.swipes += spot.swipes;
            if !spot.folded {
                return;
            }
            self.cost.taps += 1;
            self.tab.press(Finger::Touch, MEANT).await;
            self.tab
                .until("the fold to open", "document.querySelector('[data-meant]').parentElement.open")
                .await;
            self.tab.settle().await;
        }
    }

    async fn is_there(&self, selector: &str, words: &[&str]) -> bool {
        self.look(selector, words, "").await.is_some()
    }

    async fn tap(&mut self, selector: &str, words: &[&str]) {
        self.reach(selector, words, "").await;
        self.cost.taps += 1;
        self.tab.press(Finger::Touch, MEANT).await;
        self.tab.settle().await;
    }

    /// Taps what leads to another page.
    async fn tap_on(&mut self, selector: &str, words: &[&str]) {
        self.tap_on_beside(selector, words, "").await;
    }

    /// The same in the row of a list that has some text.
    async fn tap_on_beside(&mut self, selector: &str, words: &[&str], beside: &str) {
        self.reach(selector, words, beside).await;
        self.cost.taps += 1;
        self.cost.pages += 1;
        self.tab.press_on(Finger::Touch, MEANT).await;
        self.tab.settle().await;
    }

    /// Taps an answer of a form.
    async fn answer(&mut self, name: &str, value: &str) {
        let input = format!("input[name='{name}'][value='{value}']");
        self.tap(&format!("{input} + label"), &[]).await;
        self.tab
            .until(&format!("{name} to be {value}"), &format!("document.querySelector({input:?}).checked"))
            .await;
    }

    async fn write(&mut self, selector: &str, text: &str) {
        self.reach(selector, &[], "").await;
        self.cost.taps += 1;
        self.cost.keys += text.chars().count();
        self.tab.type_into(MEANT, text).await;
    }

    async fn write_day(&mut self, selector: &str, day: &str) {
        self.reach(selector, &[], "").await;
        self.cost.taps += 1;
        self.cost.keys += 8;
        self.tab.type_day(selector, day).await;
    }

    /// Goes to a child by its number, from any page.
    async fn find(&mut self, number: u32) {
        let typed = format!("SK{}", 20_000 + number);
        let above = "header input[type=search]";
        if self.is_there(above, &[]).await {
            self.write(above, &typed).await;
        } else {
            self.tap_on(LINKS_ABOVE, words::FIND).await;
            // The page places the cursor in its field.
            self.cost.keys += typed.len();
            self.tab.type_into("#q", &typed).await;
        }
        let hit = ":is(#found, #found-above) .who-name";
        self.tab.until("the child", &format!("document.querySelectorAll({hit:?}).length === 1")).await;
        self.tap_on(hit, &[]).await;
    }
}

/// A task, what it cost when it was first counted, and what it costs now.
struct Row {
    task: &'static str,
    window: (u32, u32),
    before: Cost,
    /// The most that it may cost in all.
    most: usize,
    cost: Cost,
}

/// The name of a child by its number in the invented clinic; looked up behind the person's back.
async fn name_of(tab: &Tab, number: u32) -> String {
    let path = stops::child(tab, number).await;
    let expression = format!(
        "fetch('{path}').then((answer) => answer.text()).then((text) => new DOMParser().parseFromString(text, 'text/html').querySelector('.band-name').textContent)"
    );
    tab.eval(&expression).await
}

async fn signs(person: &mut Person<'_>, side: Side) {
    for sign in Sign::ALL {
        person.answer(&format!("{side}.{}", sign.key()), "0.5").await;
    }
}

/// Taps the first proposed day of the next appointment.
async fn next_day(person: &mut Person<'_>) {
    let proposed = "fieldset#f-next-day .tile:not(.none) input:not([value='other']) + label";
    person.tap(proposed, &[]).await;
}

/// A newborn with two feet: arrived, twelve signs, two casts, next appointment.
async fn first_visit(person: &mut Person<'_>) {
    let name = name_of(person.tab, 0).await;
    person.tap_on_beside(TO_PRESS, words::ARRIVED, &name).await;
    person.tap_on_beside(TO_PRESS, words::RECORD_VISIT, &name).await;
    for side in Side::BOTH {
        signs(person, side).await;
        person.answer(&format!("{side}.cast"), "correction").await;
    }
    person.tab.part_says("#preview", "Next step if saved now").await;
    next_day(person).await;
    person.tap_on(TO_PRESS, words::SAVE_VISIT).await;
    person.tab.says("The visit is saved.").await;
}

/// One foot in casts: arrived, cast off, six signs, next cast, next appointment.
async fn later_visit(person: &mut Person<'_>) {
    let name = name_of(person.tab, 2).await;
    person.tap_on_beside(TO_PRESS, words::ARRIVED, &name).await;
    person.tap_on_beside(TO_PRESS, words::RECORD_VISIT, &name).await;
    // In the order of the form: the signs, then what was done.
    signs(person, Side::Right).await;
    person.answer("right.cast_off", "planned").await;
    person.answer("right.cast", "correction").await;
    next_day(person).await;
    person.tap_on(TO_PRESS, words::SAVE_VISIT).await;
    person.tab.says("The visit is saved.").await;
}

/// One sign of the visit before was mistyped.
async fn correction(person: &mut Person<'_>) {
    let name = name_of(person.tab, 2).await;
    person.tap_on("main .who-name", &[&name]).await;
    // The score of the foot leads to its entry; without such a link the entry is in the list below.
    if person.is_there(".foot-facts a", &["of 6"]).await {
        person.tap_on(".foot-facts a", &["of 6"]).await;
    } else {
        person.tap_on(".timeline .entry a", &["Right foot: Pirani"]).await;
    }
    // The form is open where the page has no fold for it.
    if person.is_there("main :is(summary, a, button)", words::CORRECT).await {
        person.tap("main :is(summary, a, button)", words::CORRECT).await;
    }
    person.answer("pirani.medial_crease", "1").await;
    person.answer("correct_why", "value").await;
    person.tap_on(TO_PRESS, words::SAVE_CORRECTION).await;
    person.tab.says("The correction is saved.").await;
}

/// The first visit was recorded for the wrong feet and is withdrawn as a whole.
async fn wrong_side(person: &mut Person<'_>) {
    let name = name_of(person.tab, 0).await;
    person.tap_on("main .who-name", &[&name]).await;
    if person.is_there(TO_PRESS, words::WHOLE_VISIT).await {
        person.tap_on(TO_PRESS, words::WHOLE_VISIT).await;
        person.tap_on(TO_PRESS, words::WRONG_FOOT).await;
        // The reason is filled in already.
        person.tap_on("main button", words::EXCHANGE).await;
        return person.tab.says("Right and left of the visit are exchanged.").await;
    }
    while visit_stands(person).await {
        person.tap_on(OF_THE_VISIT, &[]).await;
        person.tap("main summary", words::WITHDRAW).await;
        person.write("#f-withdraw-reason", "wrong side").await;
        person.tap_on("main button", words::WITHDRAW).await;
        person.tab.says("The entry is withdrawn.").await;
    }
}

/// The entries of today's visit that still hold. Scores and casts count; arrival and next appointment are as
/// right for the other foot.
const OF_THE_VISIT: &str =
    ".days > .day-of:first-child .entry:not(.withdrawn, .amends) a:first-child:not([data-other])";

async fn visit_stands(person: &Person<'_>) -> bool {
    person.tab.eval::<()>("document.querySelectorAll('.days > .day-of:first-child .entry a').forEach((e) => { if (!/Pirani|cast/i.test(e.textContent)) e.dataset.other = ''; })").await;
    person.is_there(OF_THE_VISIT, &[]).await
}

/// The mother rings: the cast has slipped. Found by number, recorded with a new day in one form.
async fn cast_slipped(person: &mut Person<'_>) {
    person.find(3).await;
    person.tap_on(TO_PRESS, words::TELEPHONE).await;
    person.answer("reached", "yes").await;
    person.answer("problem", "cast_slipped").await;
    person.answer("problem_side", "right").await;
    person.answer("day", "2024-05-15").await;
    person.tap_on("main button", words::SAVE_CALL).await;
    person.tab.says("The call is saved.").await;
    person.tab.says("15 May 2024").await;
    person.tab.says("cast slipped").await;
}

/// The form of a call: reached, and the new day in the same form.
async fn called(person: &mut Person<'_>) {
    person.answer("reached", "yes").await;
    person.answer("day", "2024-05-15").await;
    person.tap_on("main button", words::SAVE_CALL).await;
    person.tab.says("The call is saved.").await;
}

async fn new_day(person: &mut Person<'_>) {
    person.tap_on(TO_PRESS, words::APPOINTMENT).await;
    person.write_day("#f-for-day", "2024-05-15").await;
    person.answer("purpose", "cast").await;
    person.tap_on("main button", words::SAVE).await;
}

/// A child did not come: the family is called and given a new day.
async fn did_not_come(person: &mut Person<'_>) {
    let name = name_of(person.tab, 12).await;
    person.tap_on_beside(TO_PRESS, words::MISSED, &name).await;
    if person.look(TO_PRESS, words::TELEPHONE, &name).await.is_some() {
        person.tap_on_beside(TO_PRESS, words::TELEPHONE, &name).await;
        called(person).await;
        return;
    } else {
        person.tap_on_beside(TO_PRESS, words::CONTACT, &name).await;
        person.answer("way", "phone").await;
        person.answer("reached", "yes").await;
        person.tap_on("main button", words::SAVE).await;
        new_day(person).await;
    }
    person.tab.says("15 May 2024").await;
}

/// Boots and bar of a child at night-time bracing: measured, set, and a pair taken from stock. What the form has
/// chosen already, the size that suits both feet and that the size changed, costs no tap.
async fn brace_with_stock(person: &mut Person<'_>) {
    person.find(29).await;
    person.tap_on(TO_PRESS, words::BRACE).await;
    for side in Side::BOTH {
        person.write(&format!("input[name='{side}.foot_length_mm']"), "133").await;
    }
    person.write("input[name='shoulder_mm.bideltoid']", "230").await;
    person.tap_on("main button", words::SAVE_MEASURES).await;
    for chosen in [
        "input[name=brace][value=size]",
        "input[name='brace.right.size'][value='shelf 145']",
        "input[name='brace.left.size'][value='shelf 145']",
        "input[name='stock.take']",
    ] {
        let checked = format!("document.querySelector({chosen:?}).checked");
        assert!(person.tab.eval::<bool>(&checked).await, "{chosen} is not chosen");
    }
    person.tap_on("main button", words::SAVE_SETTINGS).await;
    person.tab.says("shelf 145: 1 pair taken out of stock; 1 pair in stock now.").await;
}

#[test]
fn what_common_tasks_cost() {
    run(async {
        let clinic = Clinic::demo(90, TODAY);
        let browsing = Browsing::start().await;
        let tab = browsing.tab().await;
        tab.touch().await;
        tab.go(&clinic.link).await;
        let mut rows = Vec::new();
        macro_rules! count {
            ($task:literal, $window:expr, $doing:ident, $before:expr) => {
                count!($task, $window, $doing, $before, at_most: $before.all())
            };
            ($task:literal, $window:expr, $doing:ident, $before:expr, at_most: $most:expr) => {{
                tab.size($window.0, $window.1).await;
                tab.go(&clinic.at("/day")).await;
                let mut person = Person { tab: &tab, cost: Cost::default() };
                $doing(&mut person).await;
                rows.push(Row { task: $task, window: $window, before: $before, most: $most, cost: person.cost });
            }};
        }
        count!("First visit of a newborn, both feet", TABLET, first_visit, Cost::of(18, 5, 0, 3));
        count!("Later visit, one foot", TABLET, later_visit, Cost::of(12, 2, 0, 3));
        count!("Correction of one value", TABLET, correction, Cost::of(6, 8, 10, 3), at_most: 13);
        count!("Wrong-side visit put right", TABLET, wrong_side, Cost::of(17, 17, 40, 9));
        count!("Cast slipped, call on a phone", PHONE, cast_slipped, Cost::of(14, 3, 15, 8), at_most: 20);
        count!("Did not come, new day", TABLET, did_not_come, Cost::of(9, 3, 8, 5));
        count!("Brace fitting with stock", TABLET, brace_with_stock, Cost::of(12, 3, 16, 7));
        browsing.close().await;
        report(&rows);
    });
}

fn report(rows: &[Row]) {
    println!("| task | width | taps | swipes | keys | pages |\n|---|---|---|---|---|---|");
    for Row { task, window, cost, .. } in rows {
        println!("| {task} | {} {cost}", window.0);
    }
    for Row { task, before, most, cost, .. } in rows {
        let (all, first) = (cost.all(), before.all());
        assert!(all <= *most, "{task}: {all} instead of at most {most}; {first} at first");
    }
}
