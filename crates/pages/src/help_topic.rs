//! What each page is about, as the manual has it: the one list from which links, anchors and contents are made.

/// A part of the manual, a page of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum HelpPart {
    /// What is where.
    Contents,
    /// Signing in, the first account and enrolling a device; open to everybody.
    SignIn,
    /// The day, telephone calls, appointments.
    Day,
    /// Finding, registering and reading about a child.
    Children,
    /// Recording a visit and single entries.
    Visit,
    /// How to look for each sign.
    Signs,
    /// What each mark of the pictures means.
    Picture,
    /// Putting right what was recorded wrongly.
    Wrong,
    /// Brace, stock and wear.
    Brace,
    /// The attention list.
    Attention,
    /// Results, forecasts and protocol.
    Results,
    /// Capacity planning.
    Capacity,
    /// Importing a spreadsheet.
    Import,
    /// Backup, people, devices, settings, and what messages mean.
    Running,
    /// The glossary.
    Words,
}

impl HelpPart {
    /// Every part, in the order of the contents.
    pub const ALL: [Self; 15] = [
        Self::Contents,
        Self::SignIn,
        Self::Day,
        Self::Children,
        Self::Visit,
        Self::Signs,
        Self::Picture,
        Self::Wrong,
        Self::Brace,
        Self::Attention,
        Self::Results,
        Self::Capacity,
        Self::Import,
        Self::Running,
        Self::Words,
    ];

    /// Its key in the URL.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Contents => "",
            Self::SignIn => "sign-in",
            Self::Day => "day",
            Self::Children => "children",
            Self::Visit => "visit",
            Self::Signs => "signs",
            Self::Picture => "picture",
            Self::Wrong => "putting-right",
            Self::Brace => "brace",
            Self::Attention => "attention",
            Self::Results => "results",
            Self::Capacity => "capacity",
            Self::Import => "import",
            Self::Running => "running",
            Self::Words => "words",
        }
    }

    /// The part with a key from the URL; the contents have none.
    #[must_use]
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|part| part.key() == key && *part != Self::Contents)
    }

    /// Its title.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Contents => "Help",
            Self::SignIn => "Signing in",
            Self::Day => "The day",
            Self::Children => "The children",
            Self::Visit => "Recording a visit",
            Self::Signs => "How to look for each sign",
            Self::Picture => "What each mark of the pictures means",
            Self::Wrong => "Putting right what is wrong",
            Self::Brace => "Tenotomy, brace, stock and wear",
            Self::Attention => "Needs attention",
            Self::Results => "Results, forecasts and protocol",
            Self::Capacity => "Capacity",
            Self::Import => "Importing a spreadsheet",
            Self::Running => "Backup, people, devices, settings and messages",
            Self::Words => "Words",
        }
    }

    /// URL of the part.
    #[must_use]
    pub fn href(self) -> String {
        match self {
            Self::Contents => "/help".to_owned(),
            part => format!("/help/{}", part.key()),
        }
    }

    /// Whether it may be read without signing in: it says nothing but how to come in.
    #[must_use]
    pub const fn is_open(self) -> bool {
        matches!(self, Self::SignIn)
    }
}

/// Declares the topics: name, part, anchor.
macro_rules! topics {
    ($($(#[$doc:meta])+ $name:ident => $part:ident, $anchor:literal;)+) => {
        /// What a page is about: a section of the manual. Every page names its own.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum HelpTopic { $($(#[$doc])+ $name,)+ }

        impl HelpTopic {
            /// Every topic.
            pub const ALL: &'static [Self] = &[$(Self::$name,)+];

            /// The part of the manual that has it.
            #[must_use]
            pub const fn part(self) -> HelpPart {
                match self { $(Self::$name => HelpPart::$part,)+ }
            }

            /// Its anchor within the part.
            #[must_use]
            pub const fn anchor(self) -> &'static str {
                match self { $(Self::$name => $anchor,)+ }
            }
        }
    };
}

topics! {
    /// The manual itself.
    Manual => Contents, "help";
    /// Signing in.
    SignIn => SignIn, "sign-in";
    /// The second step of signing in.
    SecondStep => SignIn, "second-step";
    /// A locked device, PINs and switching to another person.
    Lock => SignIn, "lock";
    /// The first account.
    FirstAccount => SignIn, "first-account";
    /// A tablet or phone that is not enrolled yet.
    EnrolDevice => SignIn, "new-device";
    /// The day.
    Day => Day, "the-day";
    /// The list of calls and a call.
    Telephone => Day, "telephone";
    /// Moving an appointment.
    MoveAppointment => Day, "appointments";
    /// Finding a child.
    Find => Children, "finding";
    /// Registering a child.
    Register => Children, "registering";
    /// The page of a child.
    Child => Children, "child-page";
    /// Documents for the family.
    Documents => Children, "documents";
    /// Letters to colleagues.
    Letters => Children, "letters";
    /// Photographs of the feet.
    Photographs => Children, "photographs";
    /// Videos of gait.
    Videos => Children, "videos";
    /// Brothers, sisters, twins.
    Family => Children, "siblings";
    /// Recording a visit.
    Visit => Visit, "later-visit";
    /// Recording a first visit.
    FirstVisit => Visit, "first-visit";
    /// A second score.
    SecondScore => Visit, "second-score";
    /// Single entries.
    SingleEntry => Visit, "single-entries";
    /// Sheets for a power cut.
    PowerCut => Visit, "power-cut";
    /// Correcting an entry.
    Correct => Wrong, "correcting";
    /// A whole visit that was wrong.
    WholeVisit => Wrong, "wrong-child-or-side";
    /// A child registered twice.
    RegisteredTwice => Wrong, "registered-twice";
    /// Tenotomy.
    Tenotomy => Brace, "tenotomy";
    /// The list before a tenotomy, the list of a day, and ceilings of local anaesthetics.
    TenotomyChecklist => Brace, "before-tenotomy";
    /// Fitting a brace.
    BraceFitting => Brace, "fitting";
    /// Problems with the brace.
    BraceProblems => Brace, "problems";
    /// Boots and bars in stock.
    Stock => Brace, "stock";
    /// Wear of the brace.
    Wear => Brace, "wear";
    /// The attention list.
    Attention => Attention, "list";
    /// Putting calls off.
    PutOff => Attention, "put-off";
    /// The lost list.
    Lost => Attention, "lost";
    /// Results.
    Results => Results, "results";
    /// One year.
    Year => Results, "year";
    /// Agreement of raters.
    Agreement => Results, "agreement";
    /// Learning to score from drawings.
    LearnToScore => Results, "learn-to-score";
    /// Scoring alike in the clinic.
    ScoringTogether => Results, "scoring-together";
    /// Forecasts.
    Forecasts => Results, "forecasts";
    /// The protocol.
    Protocol => Results, "protocol";
    /// Capacity.
    Capacity => Capacity, "capacity";
    /// Choosing and checking a file.
    Import => Import, "import";
    /// Imports so far.
    PastImports => Import, "undo";
    /// Backup.
    Backup => Running, "backup";
    /// Backups: encrypted, on a schedule, with a drill.
    Backups => Running, "backups";
    /// Encryption of the records.
    Encryption => Running, "encryption";
    /// People and their roles.
    People => Running, "people";
    /// Devices of the clinic's network.
    Devices => Running, "devices";
    /// The own account.
    Account => Running, "account";
    /// The own second factor.
    SecondFactor => Running, "second-factor";
    /// Forms that were filled in and not saved.
    Drafts => Running, "drafts";
    /// The languages and texts of documents.
    DocumentTexts => Running, "document-texts";
    /// The letterhead.
    Letterhead => Running, "letterhead";
    /// The clinic's settings.
    Settings => Running, "settings";
    /// The access log.
    AccessLog => Running, "access-log";
    /// Restricted records.
    Restricted => Running, "restricted";
    /// Erasure on legal request, retention and the family's copy.
    Erasure => Running, "erasure";
    /// What a message means.
    Messages => Running, "messages";
    /// How to look for each sign.
    Signs => Signs, "pirani";
    /// The course picture.
    Picture => Picture, "course";
    /// The glossary.
    Words => Words, "words";
}

impl HelpTopic {
    /// URL of the section.
    #[must_use]
    pub fn href(self) -> String {
        format!("{}#{}", self.part().href(), self.anchor())
    }
}
