//! Brace fitting with all measurements and with none, the sheet, the stock, and problems with the brace.

use super::{children, frame, today};
use course::Course;
use growth::{Growing, Growth};
use guidance::Protocol;
use guidance::brace::{BraceFit, ChildNeed, Needs, Outgrowing, Stock};
use guidance::brace_problem::AdviceTally;
use maud::Markup;
use pages::{
    BraceFittingView, BraceProblemsView, DayChoice, Here, LengthOnPhotograph, StockReturn, StockView,
    fields::Filled, parts::Who,
};
use record::{
    Assessment, BodyMeasured, Boot, Brace, BraceFitted, DayRange, Helped, Problem, ProblemKind,
    ShoulderWidth, Side,
};

const LIST: &str = "[[boots]]\nlabel = \"boot A\"\ninner_mm = 105\nin_store = 1\n[[bars]]\nlabel = \"short\"\nfrom_mm = 150\nto_mm = 220";

fn measured() -> Course {
    let mut child = children::in_brace();
    for (side, mm) in [(Side::Right, 92), (Side::Left, 90)] {
        child.wrote("2024-04-30", Assessment { foot_length_mm: Some(mm), ..Assessment::of(side) });
    }
    let (shoulder_mm, shoulder_width) = (Some(172), Some(ShoulderWidth::Bideltoid));
    child.wrote("2024-04-30", BodyMeasured { shoulder_mm, shoulder_width, note: None });
    let boots =
        Side::BOTH.map(|side| Boot { length_mm: Some(104), abduction_deg: Some(60), ..Boot::of(side) });
    let brace = Brace { boots: boots.to_vec(), bar_mm: Some(170), ..Brace::default() };
    child.wrote("2024-04-30", BraceFitted { brace, hours_prescribed: Some(12), ..BraceFitted::default() });
    let heel = Problem {
        side: Some(Side::Left),
        advised: Some("heel-strap-first".into()),
        ..Problem::of(ProblemKind::HeelSlipsOut)
    };
    child.wrote("2024-04-30", heel);
    let note = Some("<b>sore</b> heel".into());
    child.wrote(
        "2024-04-30",
        Problem {
            note,
            helped: Some(Helped::No),
            advised: Some("own words & more".into()),
            ..Problem::of(ProblemKind::SkinBroken)
        },
    );
    child.outlook().course
}

fn fitting(course: &Course, stock: &Stock) -> [Markup; 2] {
    let protocol = Protocol::built_in();
    let fit = BraceFit::of(course, &protocol, stock);
    let outgrowing = Outgrowing::of(course, &protocol);
    let growing = Growing::of(course).filter(|child| !child.feet.is_empty());
    let view = BraceFittingView {
        on_photographs: vec![LengthOnPhotograph {
            side: Side::Left,
            on: today() - 7,
            words: "92 mm ± 2 mm".into(),
        }],
        who: Who::of(course),
        course,
        fit: &fit,
        outgrowing: outgrowing.as_ref(),
        curves: growing.map(|child| Growth::of(child).curves()),
        stock,
        days: vec![DayChoice {
            day: today() + 7,
            purpose: record::Purpose::Review,
            why: "first check of the brace".into(),
            places: pages::DayPlaces { booked: 3, ..pages::DayPlaces::default() },
        }],
        measures: Filled::default()
            .with("right.foot_length_mm", "9")
            .wrong("right.foot_length_mm", "foot length 9 mm cannot be right."),
        settings: Filled::default().with("brace", "size"),
        once: ["one".into(), "two".into()],
    };
    let frame = frame(Here::Elsewhere);
    [pages::brace_fitting(&frame, &view), pages::brace_sheet(&frame, &view)]
}

fn returned(course: &Course) -> StockReturn {
    StockReturn {
        who: Who::of(course),
        entry: record::EntryId::new(uuid::Uuid::from_u128(7)),
        lines: vec!["boot A: 1 pair taken out of stock; 1 pair in stock now.".into()],
    }
}

fn stock_page(stock: Stock, course: Option<&Course>) -> Markup {
    let protocol = Protocol::built_in();
    let window = DayRange::new(today(), today() + 91);
    let mut needs = Needs::default();
    if let Some(course) = course {
        needs.add(ChildNeed::of(Outgrowing::of(course, &protocol).as_ref(), window, &protocol, &stock));
    }
    needs.add(ChildNeed::of(None, window, &protocol, &stock));
    let view = StockView {
        filled: pages::stock::filled(&stock).wrong("list", "Line 3: inner_mm is missing."),
        rows: pages::stock::rows::of_list(&stock)
            .wrong("boot.0.inner_mm", "The length inside the boot is missing."),
        new_row: None,
        seen: "seen".into(),
        changed: Some("Last changed by Ida & co.".into()),
        clash: course.map(|_| vec!["boot A: 4 in stock; below: 3 in stock".into()]),
        warning: None,
        boots: needs.boots(&stock),
        bars: needs.bars(),
        children: (Vec::new(), 0),
        counted: (needs.counted, needs.unmeasured),
        returns: course.map(returned).into_iter().collect(),
        stock,
        window,
    };
    pages::stock(&frame(Here::Stock), &view)
}

/// The pages.
pub fn pages() -> Vec<(&'static str, Markup)> {
    let (course, bare) = (measured(), children::just_registered().outlook().course);
    let stock = Stock::read(LIST).unwrap();
    let [full, sheet] = fitting(&course, &stock);
    let [empty, no_sheet] = fitting(&bare, &Stock::default());
    let mut tally = AdviceTally::default();
    tally.add(&course.problems);
    let problems = |child, here| {
        pages::brace_problems(&frame(here), &BraceProblemsView { child, tally: &tally, once: "once".into() })
    };
    vec![
        ("brace-fitting", full),
        ("brace-fitting-nothing-measured", empty),
        ("brace-sheet", sheet),
        ("brace-sheet-nothing-set", no_sheet),
        ("stock", stock_page(stock, Some(&course))),
        ("stock-no-list", stock_page(Stock::default(), None)),
        ("brace-problems", problems(None, Here::BraceProblems)),
        (
            "brace-problems-of-child",
            problems(Some((Who::of(&course), course.problems.as_slice())), Here::Elsewhere),
        ),
    ]
}
