//! What to expect: a sheet for each stage, with the questions that parents ask most.

use crate::{
    document::{Block, ExpectTopic, FamilyDocument, FamilyDocumentKind},
    facts::FamilyFacts,
    parts::{Going, messages, telephone, whose},
};
use messages::Sentence;

/// The messages of a sheet.
struct Sheet {
    title: &'static str,
    paragraphs: &'static [&'static str],
    list: &'static [&'static str],
    questions: &'static [(&'static str, &'static str)],
}

/// The sheet of a topic.
#[must_use]
pub fn expect_sheet(facts: &FamilyFacts<'_>, topic: ExpectTopic) -> FamilyDocument {
    let sheet = messages_of(topic);
    let paragraph = |id: &&'static str| Block::Paragraph(messages(&[id]));
    let mut blocks: Vec<Block> = sheet.paragraphs.iter().map(paragraph).collect();
    if !sheet.list.is_empty() {
        blocks.push(Block::List(messages(sheet.list)));
    }
    if !sheet.questions.is_empty() {
        blocks.push(Block::Heading(Sentence::new("expect-questions-head")));
    }
    let question = |(question, answer): &(&'static str, &'static str)| {
        Block::Question(Sentence::new(question), Sentence::new(answer))
    };
    blocks.extend(sheet.questions.iter().map(question));
    blocks.push(Going::of(facts).and(about(topic)).emergency());
    blocks.push(telephone(facts));
    let title = Sentence::new(sheet.title).with("name", facts.name().as_str());
    FamilyDocument { kind: FamilyDocumentKind::Expect(topic), title, whose: whose(facts), blocks }
}

/// What a sheet is about: it is often given before the stage begins.
const fn about(topic: ExpectTopic) -> Going {
    match topic {
        ExpectTopic::FirstCasts => Going { casts: true, brace: false, cut: false },
        ExpectTopic::HeelCord => Going { casts: true, brace: false, cut: true },
        ExpectTopic::FirstWeekOfBrace
        | ExpectTopic::NightsAndNaps
        | ExpectTopic::Habit
        | ExpectTopic::Boots
        | ExpectTopic::Troubles
        | ExpectTopic::LastYear => Going { casts: false, brace: true, cut: false },
        ExpectTopic::TurningBack => Going { casts: false, brace: false, cut: false },
    }
}

const fn messages_of(topic: ExpectTopic) -> &'static Sheet {
    match topic {
        ExpectTopic::FirstCasts => &FIRST_CASTS,
        ExpectTopic::HeelCord => &HEEL_CORD,
        ExpectTopic::FirstWeekOfBrace => &FIRST_WEEK_OF_BRACE,
        ExpectTopic::NightsAndNaps => &NIGHTS_AND_NAPS,
        ExpectTopic::Habit => &HABIT,
        ExpectTopic::Boots => &BOOTS,
        ExpectTopic::Troubles => &TROUBLES,
        ExpectTopic::TurningBack => &TURNING_BACK,
        ExpectTopic::LastYear => &LAST_YEAR,
    }
}

const FIRST_CASTS: Sheet = Sheet {
    title: "expect-casts-title",
    paragraphs: &[
        "expect-casts-why",
        "expect-casts-how",
        "expect-casts-many",
        "expect-casts-feel",
        "expect-casts-home",
    ],
    list: &[],
    questions: &[
        ("expect-casts-q-cause", "expect-casts-a-cause"),
        ("expect-casts-q-bath", "expect-casts-a-bath"),
        ("expect-casts-q-walk", "expect-casts-a-walk"),
        ("expect-casts-q-miss", "expect-casts-a-miss"),
    ],
};

const HEEL_CORD: Sheet = Sheet {
    title: "expect-cord-title",
    paragraphs: &[
        "expect-cord-why",
        "expect-cord-before",
        "expect-cord-during",
        "expect-cord-after",
        "expect-cord-weeks",
    ],
    list: &[],
    questions: &[
        ("expect-cord-q-pain", "expect-cord-a-pain"),
        ("expect-cord-q-strength", "expect-cord-a-strength"),
        ("expect-cord-q-blood", "expect-cord-a-blood"),
        ("expect-cord-q-all", "expect-cord-a-all"),
    ],
};

const FIRST_WEEK_OF_BRACE: Sheet = Sheet {
    title: "expect-brace-title",
    paragraphs: &[
        "expect-brace-why",
        "expect-brace-hours",
        "expect-brace-first-nights",
        "expect-brace-help",
        "expect-brace-stay",
    ],
    list: &[],
    questions: &[
        ("expect-brace-q-skin", "expect-brace-a-skin"),
        ("expect-brace-q-sleep", "expect-brace-a-sleep"),
        ("expect-brace-q-hold", "expect-brace-a-hold"),
    ],
};

const NIGHTS_AND_NAPS: Sheet = Sheet {
    title: "expect-nights-title",
    paragraphs: &["expect-nights-why", "expect-nights-how", "expect-nights-note", "expect-nights-danger"],
    list: &[],
    questions: &[
        ("expect-nights-q-one", "expect-nights-a-one"),
        ("expect-nights-q-long", "expect-nights-a-long"),
        ("expect-nights-q-shoes", "expect-nights-a-shoes"),
    ],
};

const HABIT: Sheet = Sheet {
    title: "expect-habit-title",
    paragraphs: &["expect-habit-why"],
    list: &[
        "expect-habit-same",
        "expect-habit-calm",
        "expect-habit-choice",
        "expect-habit-praise",
        "expect-habit-others",
        "expect-habit-nursery",
        "expect-habit-hard",
    ],
    questions: &[("expect-habit-q-takes-off", "expect-habit-a-takes-off")],
};

const BOOTS: Sheet = Sheet {
    title: "expect-boots-title",
    paragraphs: &[
        "expect-boots-why",
        "expect-boots-sign",
        "expect-boots-early",
        "expect-boots-meanwhile",
        "expect-boots-bar",
    ],
    list: &[],
    questions: &[],
};

const TROUBLES: Sheet = Sheet {
    title: "expect-troubles-title",
    paragraphs: &["expect-troubles-why"],
    list: &[
        "expect-troubles-heel",
        "expect-troubles-red",
        "expect-troubles-blister",
        "expect-troubles-cry",
        "expect-troubles-hours",
        "expect-troubles-lost",
        "expect-troubles-together",
    ],
    questions: &[],
};

const TURNING_BACK: Sheet = Sheet {
    title: "expect-back-title",
    paragraphs: &["expect-back-why"],
    list: &[
        "expect-back-heel",
        "expect-back-brace",
        "expect-back-in",
        "expect-back-edge",
        "expect-back-squat",
        "expect-back-do",
    ],
    questions: &[("expect-back-q-fault", "expect-back-a-fault")],
};

const LAST_YEAR: Sheet = Sheet {
    title: "expect-last-title",
    paragraphs: &["expect-last-why", "expect-last-hold", "expect-last-after", "expect-last-proud"],
    list: &[],
    questions: &[],
};
