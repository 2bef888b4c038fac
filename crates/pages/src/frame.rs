//! The frame of every page: head, search, navigation by what a person is doing, message, footer.

use crate::{
    HelpTopic, assets,
    fields::{DISCARD, DRAFT, Filled, SEARCH_PATH},
    in_language::PageLanguage,
    ink, words,
};
use maud::{DOCTYPE, Markup, html};
use record::{Day, Right, Rights};

/// That the clinic is invented, so that nobody takes it for a real one.
pub(crate) const INVENTED: &str = "Invented clinic: no child here is real. Do not enter real children.";

/// What every page needs to know.
#[derive(Debug, Clone)]
pub struct Frame {
    /// Name of the person signed in; `None` before signing in, and then there is no navigation.
    pub user: Option<String>,
    /// What that person may do; the page shows no way to anything else.
    pub rights: Rights,
    /// Today's date, given by the caller, because pages read no clock.
    pub today: Day,
    /// The CSRF token, which every form that changes data sends back.
    pub csrf: String,
    /// Name of the clinic.
    pub clinic_name: String,
    /// The page, as the navigation knows it.
    pub here: Here,
    /// A message at the top of the page.
    pub message: Option<Message>,
    /// Whether the clinic is invented; the page then says so, so that nobody takes it for a real one.
    pub invented: bool,
    /// What a lead has to be told on every page.
    pub notices: FrameNotices,
    /// The id of the person signed in; empty before signing in. The script compares it after a switch of person.
    pub person: String,
    /// How many forms the person filled in and did not save.
    pub drafts: usize,
    /// The drafts that were filled into the forms of this page.
    pub restored: Vec<RestoredDraft>,
    /// What everybody must know about the records before trusting or saving anything.
    pub standing: Vec<StandingNotice>,
    /// Whether this build of the program cannot encrypt; every page then says that the records are not encrypted.
    pub cannot_encrypt: bool,
    /// The language in which the person reads pages that are translated.
    pub language: PageLanguage,
    /// How the log of the records ends, so that a printed page can be compared with them later.
    pub mark: Option<String>,
}

/// A notice that is on every page for as long as it is true.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StandingNotice {
    /// One or two sentences.
    pub text: String,
    /// The page that says more.
    pub href: &'static str,
}

/// What a lead is told on every page until it is settled.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FrameNotices {
    /// How many openings of restricted records the person has not acknowledged.
    pub restricted_openings: usize,
    /// Why what is opened cannot be noted in the access log, one sentence; `None` while it can.
    pub log_trouble: Option<String>,
    /// Whether the records are not encrypted, and could be.
    pub offers_encryption: bool,
}

/// A draft that was filled into a form of the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RestoredDraft {
    /// The name of the form.
    pub form: String,
    /// What it is and what to check, one sentence each. The first says when it was saved.
    pub words: Vec<String>,
    /// Whether it can hold for another day or record than now; it is then shown as a warning.
    pub doubtful: bool,
    /// What was filled in or chosen. The page says which of it has no place in the form any more, such as a day that
    /// is not offered now.
    pub values: Vec<String>,
}

impl Frame {
    /// Whether a form of the page was filled with a draft.
    #[must_use]
    pub fn is_restored(&self, filled: &Filled) -> bool {
        filled.given(DRAFT).is_some_and(|name| self.restored.iter().any(|draft| draft.form == name))
    }

    /// Whether the page says how many drafts the person has: the first pages and the lists do.
    const fn lists_drafts(&self) -> bool {
        use Here::{Account, Attention, Day, Find, Results, Theatre};
        matches!(self.here, Account | Attention | Day | Find | Results | Theatre)
    }

    /// Whether the person signed in has a right.
    #[must_use]
    pub const fn may(&self, right: Right) -> bool {
        self.rights.has(right)
    }
}

/// The three places to be, by what a person is doing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Place {
    /// Seeing the children who come today.
    Day,
    /// Looking for a child, or for children who need something.
    Children,
    /// Looking at the clinic as a whole and keeping it running.
    Service,
}

/// The pages that the navigation knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Here {
    /// The clinic's day.
    Day,
    /// Needs attention.
    Attention,
    /// Find a child.
    Find,
    /// Register a child.
    Register,
    /// A page about one child.
    Child,
    /// Import of a file.
    Import,
    /// Devices on the clinic's network.
    Devices,
    /// Capacity planning.
    Capacity,
    /// Boots and bars in stock.
    Stock,
    /// Problems with the brace.
    BraceProblems,
    /// Results of the service.
    Results,
    /// Learning to score, and scoring alike.
    Practice,
    /// The protocol in force.
    Protocol,
    /// Booked tenotomies.
    Theatre,
    /// People and their roles.
    People,
    /// The own account.
    Account,
    /// The clinic's settings.
    Settings,
    /// The access log.
    AccessLog,
    /// Restricted records, erasure and retention.
    Protection,
    /// None of them.
    Elsewhere,
}

impl Place {
    /// Every place, in the order of the navigation.
    pub const ALL: [Self; 3] = [Self::Day, Self::Children, Self::Service];

    /// Its pages; the first is the one that its link leads to.
    #[must_use]
    pub const fn pages(self) -> &'static [Here] {
        match self {
            Self::Day => &[Here::Day],
            Self::Children => &[Here::Find, Here::Attention, Here::Theatre, Here::Register],
            Self::Service => &[
                Here::Results,
                Here::Practice,
                Here::Capacity,
                Here::Stock,
                Here::BraceProblems,
                Here::Protocol,
                Here::Import,
                Here::People,
                Here::Devices,
                Here::Settings,
                Here::AccessLog,
                Here::Protection,
            ],
        }
    }

    /// Its name, shown with an article where there is room.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Day => "day",
            Self::Children => "children",
            Self::Service => "service",
        }
    }

    /// The pages of it that somebody with these rights may open.
    fn open_to(self, rights: Rights) -> impl Iterator<Item = Here> {
        self.pages().iter().copied().filter(move |page| page.is_open_to(rights))
    }
}

/// A message at the top of a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Message {
    /// An action succeeded.
    Done(String),
    /// Information.
    Note(String),
    /// A warning to check before continuing.
    Warning(String),
}

impl Message {
    /// The same with more sentences.
    #[must_use]
    pub fn with(self, more: &str) -> Self {
        let joined = |text: String| if more.is_empty() { text } else { format!("{text} {more}") };
        match self {
            Self::Done(text) => Self::Done(joined(text)),
            Self::Note(text) => Self::Note(joined(text)),
            Self::Warning(text) => Self::Warning(joined(text)),
        }
    }
}

impl Here {
    /// The place to which the page belongs; `None` for a page of no place.
    #[must_use]
    pub fn place(self) -> Option<Place> {
        match self {
            Self::Child => Some(Place::Children),
            page => Place::ALL.into_iter().find(|place| place.pages().contains(&page)),
        }
    }

    /// URL of the page.
    #[must_use]
    pub const fn href(self) -> &'static str {
        match self {
            Self::Day => "/day",
            Self::Attention => "/attention",
            Self::Find => "/find",
            Self::Register => "/register",
            Self::Import => "/import",
            Self::Devices => "/devices",
            Self::Capacity => "/capacity",
            Self::Stock => "/stock",
            Self::BraceProblems => "/trouble",
            Self::Results => "/results",
            Self::Practice => LEARN_PATH,
            Self::Protocol => "/protocol",
            Self::Theatre => "/theatre",
            Self::People => "/people",
            Self::Account => "/account",
            Self::Settings => "/settings",
            Self::AccessLog => "/access-log",
            Self::Protection => "/restricted",
            Self::Child | Self::Elsewhere => "/",
        }
    }

    /// The right that is needed to open the page; `None` where everybody who is signed in may.
    #[must_use]
    pub const fn needs(self) -> Option<Right> {
        match self {
            Self::Day | Self::Find | Self::Child => Some(Right::SeeChildren),
            Self::Attention | Self::BraceProblems => Some(Right::SeeClinical),
            Self::Register => Some(Right::RecordContact),
            Self::Theatre => Some(Right::SeeTheatreList),
            Self::Import => Some(Right::CareForRecords),
            Self::Capacity => Some(Right::SeeCapacity),
            Self::Stock => Some(Right::KeepStock),
            Self::Results => Some(Right::SeeResults),
            Self::People | Self::Devices => Some(Right::ManagePeople),
            Self::Settings => Some(Right::ChangeSettings),
            Self::AccessLog => Some(Right::SeeAccessLog),
            Self::Protection => Some(Right::ProtectRecords),
            Self::Practice | Self::Protocol | Self::Account | Self::Elsewhere => None,
        }
    }

    fn is_open_to(self, rights: Rights) -> bool {
        self.needs().is_none_or(|right| rights.has(right))
    }

    /// Text of the link.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Day => "The day",
            Self::Attention => "Needs attention",
            Self::Find => "Find a child",
            Self::Register => "New child",
            Self::Import => "Import",
            Self::Devices => "Devices",
            Self::Capacity => "Capacity",
            Self::Stock => "Stock",
            Self::BraceProblems => "Brace problems",
            Self::Results => "Results",
            Self::Practice => "Learn to score",
            Self::Protocol => "Protocol",
            Self::Theatre => "Tenotomies",
            Self::People => "People",
            Self::Account => "Your account",
            Self::Settings => "Settings",
            Self::AccessLog => "Access log",
            Self::Protection => "Protection",
            Self::Child | Self::Elsewhere => "",
        }
    }
}

/// A drawing of a foot flat on the ground, for the browser's tab.
const ICON: &str = "data:image/svg+xml,%3Csvg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 32 32'%3E%3Crect width='32' height='32' rx='7' fill='%232a2420'/%3E%3Cpath d='M10 6v11c0 2 6 2 13 6v2H8V6z' fill='%23f3e6cf'/%3E%3C/svg%3E";

/// The page on which the records are encrypted.
pub const ENCRYPTION_PATH: &str = "/settings/encryption";

/// The page on which learning to score begins.
pub const LEARN_PATH: &str = "/practice";
/// The page of scoring alike in the clinic.
pub const TOGETHER_PATH: &str = "/practice/together";
/// The page on which a clinic confirms translations.
pub const DOCUMENT_LANGUAGES_PATH: &str = "/documents/languages";

/// The place on a page where a person chooses the language.
const LANGUAGE_PATH: &str = "/account#language";

/// Estimated size of a page without its body, in bytes; generous.
const FRAME_BYTES: usize = 6_000;

/// A whole page. `topic` is the section of the manual that the page links to, `title` is shown in the browser's tab;
/// `body` must contain exactly one `h1`.
#[must_use]
pub fn page(frame: &Frame, topic: HelpTopic, title: &str, body: &Markup) -> Markup {
    ink::markup_of(body.0.len() + FRAME_BYTES, |ink| {
        ink.markup(&DOCTYPE).tag("<html lang=\"en\">").markup(&head(frame, title));
        ink.tag("<body data-person=\"").text(&frame.person).tag("\">");
        ink.markup(&skip(None)).markup(&top(frame, topic, None));
        ink.tag("<main id=\"main\" tabindex=\"-1\">");
        ink.markup(&about_records(frame));
        if let Some(message) = &frame.message {
            ink.markup(&message_box(PageLanguage::English, message));
        }
        for draft in &frame.restored {
            ink.markup(&restored(frame, draft, &lost_values(draft, body)));
        }
        ink.markup(body).tag("</main>").markup(&foot(frame, None)).tag("</body></html>");
    })
}

/// A whole page whose body, title and message are in the language of the reader. The frame is in English and says so;
/// what is not translated within the body has to be marked by whoever draws it. No form of such a page keeps a draft.
#[must_use]
pub(crate) fn translated_page(frame: &Frame, topic: HelpTopic, title: &str, body: &Markup) -> Markup {
    let language = frame.language;
    let Some(english) = language.untranslated() else { return page(frame, topic, title, body) };
    html! {
        (DOCTYPE)
        html lang=(language.tag()) dir=(language.direction()) {
            (head(frame, title))
            body data-person=(frame.person) {
                (skip(Some(english)))
                (top(frame, topic, Some(english)))
                main id="main" tabindex="-1" {
                    @let about = about_records(frame);
                    @if !about.0.is_empty() { div lang=(english) dir="ltr" { (about) } }
                    @if let Some(message) = &frame.message { (message_box(language, message)) }
                    (body)
                    @if language.language().awaits_review() { (awaits_review(language)) }
                }
                (foot(frame, Some(english)))
            }
        }
    }
}

/// Says that the translation awaits its review, and leads to the choice of the language.
fn awaits_review(language: PageLanguage) -> Markup {
    html! {
        p.hint.translation {
            (language.named("translation-awaits-review")) " " a href=(LANGUAGE_PATH) { (language.named("translation-change")) }
        }
    }
}

/// Past the frame, for keyboards. `english` marks it as English in a page that is not.
fn skip(english: Option<&str>) -> Markup {
    html! { a.skip href="#main" lang=[english] { "Skip to content" } }
}

/// What everybody, and what a lead, must know about the records.
fn about_records(frame: &Frame) -> Markup {
    html! { (standing(frame)) (notices(&frame.notices)) }
}

/// A page without navigation, help and search, for when nothing else is served. `again` is after how many seconds
/// the browser loads it anew.
#[must_use]
pub(crate) fn bare(title: &str, clinic: &str, again: Option<u32>, body: &Markup) -> Markup {
    html! {
        (DOCTYPE)
        html lang="en" {
            (head_of(title, clinic, again))
            body {
                a.skip href="#main" { "Skip to content" }
                header.top { div.top-in { a.mark href="/" { span.mark-name { "Plantigrade" } span.mark-clinic { (clinic) } } } }
                main id="main" tabindex="-1" { (body) }
            }
        }
    }
}

fn head(frame: &Frame, title: &str) -> Markup {
    head_of(title, &frame.clinic_name, None)
}

fn head_of(title: &str, clinic: &str, again: Option<u32>) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width, initial-scale=1";
            meta name="color-scheme" content="light dark";
            meta name="referrer" content="same-origin";
            @if let Some(seconds) = again { meta http-equiv="refresh" content=(seconds); }
            title { (title) " · " (clinic) }
            link rel="icon" href=(ICON);
            link rel="stylesheet" href=(assets::css_href());
            script src=(assets::js_href()) {}
        }
    }
}

fn top(frame: &Frame, topic: HelpTopic, english: Option<&str>) -> Markup {
    html! {
        header.top lang=[english] dir=[english.map(|_| "ltr")] {
            div.top-in {
                a.mark href="/" { span.mark-name { "Plantigrade" } span.mark-clinic { (frame.clinic_name) } }
                @if let Some(user) = &frame.user {
                    // The page that finds has a larger box of its own.
                    @if frame.here != Here::Find && Here::Find.is_open_to(frame.rights) { (seek(frame)) }
                    @if frame.rights != Rights::NONE { (nav(frame)) }
                    div.top-end.signed-in { (help_link(topic)) (person(frame, user)) }
                } @else {
                    // Before signing in, only the part on signing in can be read.
                    div.top-end { (help_link(if topic.part().is_open() { topic } else { HelpTopic::SignIn })) }
                }
            }
            @if let Some(place) = frame.user.as_ref().and(frame.here.place()) { (own_pages(frame, place)) }
            @if frame.drafts > 0 && frame.lists_drafts() { p.unsaved { a href="/drafts" { (words::count(frame.drafts as i64, "draft", "drafts")) " not saved" } } }
            @if frame.cannot_encrypt { p.unencrypted { "Not encrypted: this build of the program cannot encrypt the records on this computer." } }
            @if frame.invented { p.invented { (INVENTED) } }
        }
    }
}

/// The search box of every page. What is typed is posted: no address may hold a name.
fn seek(frame: &Frame) -> Markup {
    html! {
        form.seek method="post" action=(SEARCH_PATH) role="search" aria-label="Find a child" data-seek="" {
            (crate::parts::csrf(&frame.csrf))
            label.sr for="seek" { "Find a child by any part of name, number, date of birth, carer or telephone" }
            input id="seek" name="q" type="search" placeholder="Find a child" autocomplete="off" autocapitalize="off" spellcheck="false" enterkeyhint="search";
            button type="submit" { "Find" }
            div.seek-found id="found-above" hidden {}
        }
    }
}

fn nav(frame: &Frame) -> Markup {
    let current = |place: Place| match frame.here.place() {
        Some(of) if of == place && place.open_to(frame.rights).count() == 1 => Some("page"),
        Some(of) if of == place => Some("true"),
        _ => None,
    };
    let first = |place: Place| Some((place, place.open_to(frame.rights).next()?));
    html! {
        nav.nav aria-label="Main" {
            @for (place, page) in Place::ALL.into_iter().filter_map(first) { a href=(page.href()) aria-current=[current(place)] { span.article { "The " } (place.words()) } }
        }
    }
}

/// The pages of the current place. A place with one page needs no list of them, and on a page about a child the
/// room belongs to the child.
fn own_pages(frame: &Frame, place: Place) -> Markup {
    let here = frame.here;
    let pages: Vec<Here> = place.open_to(frame.rights).collect();
    html! {
        @if pages.len() > 1 && here != Here::Child {
            nav.own-pages aria-label={ "The " (place.words()) } {
                @for page in pages { a href=(page.href()) aria-current=[(page == here).then_some("page")] { (page.words()) } }
            }
        }
    }
}

/// The link to the section of the manual about this page. It opens beside the page, because a form that is being
/// filled in would be lost.
fn help_link(topic: HelpTopic) -> Markup {
    html! {
        a.help-link href=(topic.href()) target="_blank" rel="noopener" { span aria-hidden="true" { "?" } span.sr { "Help for this page, in a new tab" } }
    }
}

/// Who is signed in, and how to leave: locked for a moment, to somebody else, or for good.
fn person(frame: &Frame, user: &str) -> Markup {
    html! {
        a.user href=(Here::Account.href()) { span.sr { "Your account: signed in as " } (user) }
        form.inline method="post" action="/session/lock" data-lock="" {
            (crate::parts::csrf(&frame.csrf))
            button.quiet type="submit" { "Lock" }
            button.quiet type="submit" name="switch" value="yes" { "Switch" span.more { " person" } }
        }
        form.inline method="post" action="/sign-out" {
            (crate::parts::csrf(&frame.csrf))
            button.quiet type="submit" { "Sign out" }
        }
    }
}

/// Above the page: a form of it was filled with a draft.
fn restored(frame: &Frame, draft: &RestoredDraft, lost: &[&str]) -> Markup {
    let doubtful = draft.doubtful || !lost.is_empty();
    let (class, word) = if doubtful { ("warning", "Warning") } else { ("note", "Note") };
    html! {
        div class={ "message restored " (class) } role="status" {
            p { strong { (word) ": " } @for (n, text) in draft.words.iter().enumerate() { @if n > 0 { " " } (text) } }
            @if !lost.is_empty() { p { "These answers of the draft are not offered any more; choose again: " strong { (lost.join(", ")) } "." } }
            form.inline method="post" action="/drafts/discard" {
                (crate::parts::csrf(&frame.csrf))
                (crate::parts::hidden(DISCARD, &draft.form))
                (crate::parts::hidden("then", "page"))
                button type="submit" { "Discard draft" }
            }
        }
    }
}

/// The values of a draft that stand nowhere in the page.
fn lost_values<'a>(draft: &'a RestoredDraft, body: &Markup) -> Vec<&'a str> {
    let escaped = |value: &str| html! { (value) }.into_string();
    // Browsers send the end of a line as two characters.
    let stands = |value: &str| value.lines().all(|line| body.0.contains(&escaped(line.trim())));
    draft.values.iter().map(String::as_str).filter(|value| !stands(value)).collect()
}

fn message_box(language: PageLanguage, message: &Message) -> Markup {
    let (class, word, text) = match message {
        Message::Done(text) => ("done", "message-done", text),
        Message::Note(text) => ("note", "message-note", text),
        Message::Warning(text) => ("warning", "message-warning", text),
    };
    html! { p class={ "message " (class) } role="status" { strong { (language.named(word)) ": " } (text) } }
}

/// The notices about the records. Before signing in there is no way to the page that says more.
fn standing(frame: &Frame) -> Markup {
    html! {
        @for notice in &frame.standing {
            div.records-notice role="alert" {
                p { strong { "Attention: " } (notice.text) }
                @if frame.user.is_some() { a.button href=(notice.href) { "The records" } }
            }
        }
    }
}

/// What a lead is told on every page.
fn notices(notices: &FrameNotices) -> Markup {
    let opened = notices.restricted_openings as i64;
    html! {
        @if opened > 0 {
            p.message.warning.no-print { strong { (words::count(opened, "restricted record was", "restricted records were")) " opened by somebody not named. " }
                a.button href="/restricted" { "Look and acknowledge" } }
        }
        @if notices.offers_encryption {
            p.message.note.no-print { strong { "The records on this computer are not encrypted. " } a.button href=(ENCRYPTION_PATH) { "Encrypt them" } }
        }
        @if let Some(why) = &notices.log_trouble { p.message.warning.no-print { strong { "The access log cannot be written. " } (why) } }
    }
}

fn foot(frame: &Frame, english: Option<&str>) -> Markup {
    html! {
        footer.foot-of-page lang=[english] dir=[english.map(|_| "ltr")] {
            p {
                (words::weekday(frame.today)) " · " (frame.clinic_name)
                @if let Some(user) = &frame.user { " · signed in as " a href=(Here::Account.href()) { (user) } }
                @if let Some(mark) = &frame.mark { span.records-mark { " · records " (mark) } }
                button.quiet.theme type="button" data-theme-toggle="" hidden { "Dark" }
            }
        }
    }
}
