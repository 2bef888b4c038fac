//! The brace bench with everything measured and with nothing, the sheet, the cupboard, and trouble.

use super::{children, frame, today};
use course::Course;
use growth::{Growing, Growth};
use guidance::Protocol;
use guidance::brace::{Fit, Needs, Outgrowing, Share, Stock};
use guidance::trouble::Tally;
use maud::Markup;
use pages::{BenchView, Here, StockView, TroubleView, fields::Filled, parts::Who};
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

fn bench(course: &Course, stock: &Stock) -> [Markup; 2] {
    let protocol = Protocol::built_in();
    let fit = Fit::of(course, &protocol, stock);
    let outgrowing = Outgrowing::of(course, &protocol);
    let growing = Growing::of(course).filter(|child| !child.feet.is_empty());
    let view = BenchView {
        who: Who::of(course),
        course,
        fit: &fit,
        outgrowing: outgrowing.as_ref(),
        curves: growing.map(|child| Growth::of(child).curves()),
        has_stock: !stock.is_empty(),
        measures: Filled::default()
            .with("right.foot_length_mm", "9")
            .wrong("right.foot_length_mm", "foot length 9 mm cannot be right."),
        settings: Filled::default().with("brace", "size"),
        once: ["one".into(), "two".into()],
    };
    let frame = frame(Here::Elsewhere);
    [pages::bench(&frame, &view), pages::brace_sheet(&frame, &view)]
}

fn cupboard(stock: Stock, course: Option<&Course>) -> Markup {
    let protocol = Protocol::built_in();
    let window = DayRange::new(today(), today() + 91);
    let mut needs = Needs::default();
    if let Some(course) = course {
        needs.add(Share::of(Outgrowing::of(course, &protocol).as_ref(), window, &protocol, &stock));
    }
    needs.add(Share::of(None, window, &protocol, &stock));
    let view = StockView {
        filled: pages::stock::filled(&stock).wrong("list", "Line 3: inner_mm is missing."),
        rows: pages::stock::rows::of_list(&stock)
            .wrong("boot.0.inner_mm", "The length inside the boot is missing."),
        new_row: None,
        seen: "seen".into(),
        changed: Some("Last changed by Ida & co.".into()),
        clash: course.map(|_| vec!["boot A: 4 in the cupboard; below: 3 in the cupboard".into()]),
        trouble: None,
        boots: needs.boots(&stock),
        bars: needs.bars(),
        children: (Vec::new(), 0),
        counted: (needs.counted, needs.unmeasured),
        stock,
        window,
    };
    pages::stock(&frame(Here::Stock), &view)
}

/// The pages.
pub fn pages_of_the_bench() -> Vec<(&'static str, Markup)> {
    let (course, bare) = (measured(), children::just_registered().outlook().course);
    let stock = Stock::read(LIST).unwrap();
    let [full, sheet] = bench(&course, &stock);
    let [empty, no_sheet] = bench(&bare, &Stock::default());
    let mut tally = Tally::default();
    tally.add(&course.problems);
    let trouble = |child, here| {
        pages::troubles(&frame(here), &TroubleView { child, tally: &tally, once: "once".into() })
    };
    vec![
        ("bench", full),
        ("bench-nothing-measured", empty),
        ("brace-sheet", sheet),
        ("brace-sheet-nothing-set", no_sheet),
        ("stock", cupboard(stock, Some(&course))),
        ("stock-no-list", cupboard(Stock::default(), None)),
        ("trouble", trouble(None, Here::Trouble)),
        ("trouble-of-child", trouble(Some((Who::of(&course), course.problems.as_slice())), Here::Elsewhere)),
    ]
}
