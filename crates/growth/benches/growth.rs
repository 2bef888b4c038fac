//! Growth of one child, as the list of those who need attention asks it: the curves from twelve
//! measurements, and the windows of two boots and a bar.
#![allow(clippy::unwrap_used, clippy::expect_used)]

use criterion::{Criterion, criterion_group, criterion_main};
use growth::{Growing, GrowingFoot, Growth, Posture, published};
use record::{Day, EntryId, ShoulderWidth, Side};
use std::{hint::black_box, time::Instant};

fn child(visits: i32, offset: i32) -> Growing {
    let born: Day = "2022-03-01".parse().unwrap();
    let (mut feet, mut shoulders) = (Vec::new(), Vec::new());
    for visit in 0..visits {
        let on = born + 80 + 91 * visit;
        let months = f64::from(on - born) / published::DAYS_PER_MONTH;
        for (n, side) in Side::BOTH.into_iter().enumerate() {
            let number = (visit * 3) as u128 + n as u128 + 1;
            let mean = published::foot_mm(months, None, Posture::at(months));
            let mm = (mean - 4.0 * n as f64 + f64::from(offset)).round();
            feet.push(GrowingFoot { entry: EntryId::new(uuid::Uuid::from_u128(number)), on, side, mm });
        }
        let width = ShoulderWidth::Bideltoid;
        let entry = EntryId::new(uuid::Uuid::from_u128((visit * 3) as u128 + 3));
        shoulders.push((entry, on, published::shoulder_mm(months, None, width), width));
    }
    Growing { born, early_days: 0, sex: None, affected: vec![Side::Left], feet, shoulders }
}

/// What three attention rules ask of a child.
fn asked(child: Growing) -> [bool; 3] {
    let (right, left) = (child.feet[child.feet.len() - 2].mm, child.feet[child.feet.len() - 1].mm);
    let growth = Growth::of(child);
    [
        growth.foot_beyond(Side::Right, right + 7.0).is_some(),
        growth.foot_beyond(Side::Left, left + 7.0).is_some(),
        growth.shoulders_beyond(ShoulderWidth::Bideltoid, 240.0).is_some(),
    ]
}

fn bench(criterion: &mut Criterion) {
    for visits in [4, 8, 12] {
        let child = child(visits, 0);
        assert_eq!(asked(child.clone()), [true; 3], "three windows are found");
        let name = format!("curves and three windows from {} measurements", visits * 3);
        criterion.bench_function(&name, |bencher| bencher.iter(|| asked(black_box(child.clone()))));
    }
    let children: Vec<Growing> = (0..100_000).map(|n| child(4 + n % 5, n % 7 - 3)).collect();
    let began = Instant::now();
    let found = children.into_iter().filter(|child| asked(child.clone()).contains(&true)).count();
    let spent = began.elapsed();
    println!(
        "100,000 children, 12 to 24 measurements each, one thread: {:.2} s, {:.1} µs a child ({found} with a window)",
        spent.as_secs_f64(),
        spent.as_secs_f64() * 10.0
    );
}

criterion_group!(benches, bench);
criterion_main!(benches);
