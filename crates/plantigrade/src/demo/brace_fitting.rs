//! Stories of children measured for boots and bar, of problems with the brace, and of signs of relapse.

use super::{
    bracing::braced,
    story::{Story, StoryWriter},
};
use record::{
    Assessment, BodyMeasured, Boot, Brace, BraceChange, BraceChanged, Day, Deformity, Evertors, Helped,
    Problem, ProblemKind, Purpose, RelapseSigns, ShoulderWidth, Side,
};

/// The stories of this file.
pub const STORIES: &[Story] = &[outgrowing, waiting_for_a_size, signs_of_relapse];

/// Shoulder width over the arms.
fn shoulders(t: &mut StoryWriter<'_>, on: Day, mm: u16) {
    let shoulder_width = Some(ShoulderWidth::Bideltoid);
    t.write(on, BodyMeasured { shoulder_mm: Some(mm), shoulder_width, note: None });
}

/// The lengths of both feet, right and left.
fn lengths(t: &mut StoryWriter<'_>, on: Day, mm: [u16; 2]) {
    for (side, mm) in Side::BOTH.into_iter().zip(mm) {
        t.write(on, Assessment { foot_length_mm: Some(mm), ..Assessment::of(side) });
    }
}

fn boots(t: &mut StoryWriter<'_>, on: Day, inner_mm: u16, bar_mm: u16) {
    let affected = t.sides();
    let boot = |side: Side| Boot {
        abduction_deg: Some(if affected.contains(&side) { 60 } else { 35 }),
        dorsiflexion_deg: Some(10),
        length_mm: Some(inner_mm),
        ..Boot::of(side)
    };
    let brace = Brace { boots: Side::BOTH.map(boot).to_vec(), bar_mm: Some(bar_mm), ..Brace::default() };
    t.write(on, BraceChanged { brace: Some(brace), ..BraceChanged::of(BraceChange::Size) });
}

/// Boots fitted five months ago and outgrown, the shoulders wider than the bar.
pub fn outgrowing(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 330);
    t.reviews_until(fitted_on, t.today - 150);
    lengths(t, t.today - 148, [112, 110]);
    shoulders(t, t.today - 148, 190);
    boots(t, t.today - 148, 122, 190);
    lengths(t, t.today - 8, [124, 121]);
    shoulders(t, t.today - 8, 212);
    t.appoint(t.today - 8, t.today + 20, Purpose::BraceReview);
}

/// Boots not yet outgrown, but due to be ordered; the heel slips and the advice did not help.
pub fn waiting_for_a_size(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 210);
    t.reviews_until(fitted_on, t.today - 40);
    lengths(t, t.today - 38, [104, 101]);
    shoulders(t, t.today - 38, 182);
    boots(t, t.today - 38, 112, 190);
    let heel = |helped| Problem {
        side: Some(Side::Left),
        advised: Some("heel-strap-first".to_owned()),
        helped,
        ..Problem::of(ProblemKind::HeelSlipsOut)
    };
    let advised = t.write(t.today - 12, heel(None));
    t.write_after(t.today - 5, heel(Some(Helped::No)), Some(advised));
    t.appoint(t.today - 38, t.today + 9, Purpose::BraceReview);
}

/// Three years old, dorsiflexion maintained, and the forefoot supinates in swing.
pub fn signs_of_relapse(t: &mut StoryWriter<'_>) {
    let fitted_on = braced(t, 1_050);
    t.reviews_until(fitted_on, t.today - 60);
    let on = t.today - 16;
    t.visit(on);
    let signs = RelapseSigns {
        heel_varus: Some(Deformity::Absent),
        adductus: Some(Deformity::Flexible),
        dynamic_supination: Some(true),
        early_heel_rise: Some(false),
        evertors: Some(Evertors::Weak),
        lateral_cuneiform_ossified: Some(true),
        ..RelapseSigns::default()
    };
    let side = t.sides()[0];
    t.write(on, Assessment { signs, ..Assessment::of(side) });
    t.appoint(on, t.today + 14, Purpose::BraceReview);
}
