//! What is seen or felt at each level of each sign: the words beside a drawing, and its text alternative.

use record::{
    HalfPoint::{self, Half, One, Zero},
    Sign,
};

/// What the examiner sees or feels at a level.
pub(super) const fn seen(sign: Sign, point: HalfPoint) -> &'static str {
    match (sign, point) {
        (Sign::LateralBorder, Zero) => {
            "The outer border is straight: it lies along the edge from heel to little toe."
        }
        (Sign::LateralBorder, Half) => "The border leaves the edge near the toes; the bend is mild.",
        (Sign::LateralBorder, One) => {
            "The border leaves the edge at mid-foot; the whole front of the foot bends in."
        }
        (Sign::MedialCrease, Zero) => "Several fine lines; the contour of the arch is smooth.",
        (Sign::MedialCrease, Half) => "One or two deep folds; the contour of the arch is not changed.",
        (Sign::MedialCrease, One) => "A deep fold that draws in the contour of the arch.",
        (Sign::TalarHead, Zero) => {
            "The navicular slides over the head, which is no longer felt under the thumb."
        }
        (Sign::TalarHead, Half) => {
            "The navicular covers a part of the head; the rest is felt under the thumb."
        }
        (Sign::TalarHead, One) => {
            "The navicular stays at the inner side; the whole head is felt under the thumb."
        }
        (Sign::PosteriorCrease, Zero) => "Several fine lines; the contour of the heel is smooth.",
        (Sign::PosteriorCrease, Half) => "One or two deep folds; the contour of the heel is not changed.",
        (Sign::PosteriorCrease, One) => "A deep fold that draws in the contour above the heel.",
        (Sign::RigidEquinus, Zero) => "The foot comes up well past the right angle.",
        (Sign::RigidEquinus, Half) => "The foot comes up to the right angle or just past it.",
        (Sign::RigidEquinus, One) => "The foot stays short of the right angle.",
        (Sign::EmptyHeel, Zero) => "The heel bone is felt at once, close under the skin.",
        (Sign::EmptyHeel, Half) => "The heel bone is felt, but deep, through a soft pad.",
        (Sign::EmptyHeel, One) => "No bone is felt under the fingertip, only the soft pad.",
    }
}
