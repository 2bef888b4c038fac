//! The part on examining a foot: how to look for each sign and how to take each measurement, with drawings.

use super::{
    drawing::{self, Measured},
    levels::seen,
    text,
};
use maud::{Markup, html};
use record::{AngleItem, DimeglioSign, HalfPoint, Sign, SubScore};

/// The anchor of a sign on the page.
pub(crate) fn anchor(sign: Sign) -> String {
    sign.key().replace('_', "-")
}

/// How the child lies or sits, and what the hands do.
const fn hands(sign: Sign) -> (&'static str, &'static str) {
    match sign {
        Sign::LateralBorder => (
            "The child lies on its back or on the carer's lap. The foot rests; do not correct it.",
            "Look at the sole. Lay a straight edge, such as a card, along the outer border of the heel and see where the border of the foot leaves it.",
        ),
        Sign::MedialCrease => (
            "The child lies on its back, calm; a bottle or a finger to suck helps.",
            "Hold the foot gently in the best position it takes without force, and look at the inner side of the arch.",
        ),
        Sign::TalarHead => (
            "The child lies on its back, the knee bent and relaxed.",
            "Put a thumb on the head of the talus: the round bone at the outer side, in front of the outer ankle. With the other hand turn the foot outwards and feel whether the navicular slides over the head.",
        ),
        Sign::PosteriorCrease => (
            "The child lies on its front, or on its back with the leg lifted, so that you see the heel from behind.",
            "Hold the foot gently in the best position it takes without force, and look at the skin above the heel.",
        ),
        Sign::RigidEquinus => (
            "The child lies on its back with the knee straight.",
            "Steady the leg with one hand, and with the flat of the other bring the whole foot up as far as it goes without force. Judge the outer border of the foot against the leg.",
        ),
        Sign::EmptyHeel => (
            "The child lies on its back; the foot is held gently brought up.",
            "Press one fingertip gently on the corner of the heel, where the sole meets the back, and feel for the heel bone.",
        ),
    }
}

const SOURCES: &str = "Scale and grouping: Dyer & Davis 2006, 10.1302/0301-620X.88B8.17482 (0 no, 0.5 moderate, 1 severe abnormality). The words for each level and the way of looking are from memory and common practice, no source: check them against your own training. Two people who score the same foot differ by about half a point to one (Cosma & Vasilescu 2015; Flynn 1998).";

/// The page's contents.
pub(super) fn body() -> Markup {
    html! {
        p { "All drawings show a right foot. In a child of this age two examiners often differ by half a point; what matters is that you look at every sign in the same way at every visit." }
        p.caution { "This is a reminder for people who have been trained, not a training. Your local training and protocol take precedence, and the treating clinician decides. Never force a foot to score it." }
        section id="pirani" aria-labelledby="pirani-head" {
            h2 id="pirani-head" { "The Pirani score: six signs" }
            p { "Each sign is 0, 0.5 or 1. A sign that you did not look at stays " em { "not assessed" } ": it never counts as 0, and the total then stays open." }
            @for part in [SubScore::Midfoot, SubScore::Hindfoot] {
                h3.help-group { (part.name()) }
                @for sign in Sign::ALL.into_iter().filter(|sign| sign.part() == part) { (one(sign)) }
            }
            p.help-source { (SOURCES) }
        }
        (measurements())
        (dimeglio())
        (atypical())
        (walking())
    }
}

fn one(sign: Sign) -> Markup {
    let (position, hands) = hands(sign);
    html! {
        article.help-sign id=(anchor(sign)) aria-labelledby={ (anchor(sign)) "-head" } {
            h4 id={ (anchor(sign)) "-head" } { (sign.name()) }
            p { strong { "Position. " } (position) }
            p { strong { "Hands. " } (hands) }
            div.help-levels { @for point in HalfPoint::ALL {
                figure {
                    (drawing::of_sign(sign, point))
                    figcaption { strong { (point.text()) } " " span.help-short { (sign.meaning(point)) } span.help-seen { (seen(sign, point)) } }
                }
            } }
        }
    }
}

/// Drawings side by side, each with its words.
fn levels(all: &[(Measured, &str, &str)]) -> Markup {
    html! {
        div.help-levels { @for (measured, value, words) in all {
            figure { (measured.drawn()) figcaption { strong { (value) } span.help-seen { (words) } } }
        } }
    }
}

fn measurements() -> Markup {
    html! {
        section id="measurements" aria-labelledby="measurements-head" {
            h2 id="measurements-head" { "Movement and length" }
            p { "Angles are in degrees and may be below zero. Leave a field empty if you did not measure; 0 is a measurement." }
            article.help-sign id="dorsiflexion" aria-labelledby="dorsiflexion-head" {
                h3 id="dorsiflexion-head" { "Dorsiflexion" }
                p { strong { "Position. " } "On the back, the knee straight." }
                p { strong { "Hands. " } "Bring the whole foot up gently with the flat hand. Read the angle between the outer border of the foot and the leg: a right angle is 0." }
                (levels(&[
                    (Measured::DorsiflexionPast, "20°", "Past the right angle: above zero."),
                    (Measured::DorsiflexionNeutral, "0°", "At the right angle."),
                    (Measured::DorsiflexionShort, "−20°", "Short of the right angle: below zero. Press ± to change the sign."),
                ]))
            }
            article.help-sign id="abduction" aria-labelledby="abduction-head" {
                h3 id="abduction-head" { "Abduction" }
                p { strong { "Position. " } "On the back, the knee bent and pointing straight up." }
                p { strong { "Hands. " } "Counter-pressure with the thumb on the head of the talus; turn the whole foot outwards under it, without turning the sole. Read the angle between the line of the leg and the line of the foot." }
                (levels(&[
                    (Measured::AbductionOut, "50°", "Turned out: above zero."),
                    (Measured::AbductionStraight, "0°", "In the line of the leg."),
                    (Measured::AbductionIn, "−30°", "Lies turned in: below zero. Press ± to change the sign."),
                ]))
            }
            article.help-sign id="foot-length" aria-labelledby="foot-length-head" {
                h3 id="foot-length-head" { "Foot length" }
                p { strong { "Position. " } "The foot gently straightened, the sole against a measuring board or a card." }
                p { strong { "Hands. " } "From the end of the heel to the end of the longest toe, in millimetres, without a sock. The size of the boots follows from it, so measure twice." }
                (levels(&[(Measured::FootLength, "mm", "Heel to the end of the longest toe, whichever it is.")]))
            }
            p.help-source { "Definitions of the angles: " a href="/help/words" { "words" } ". How to hold the foot: common practice, no source." }
        }
    }
}

fn dimeglio() -> Markup {
    let shown = |item: AngleItem| match item {
        AngleItem::Equinus => "40°",
        AngleItem::Varus => "25°",
        AngleItem::Derotation | AngleItem::Adduction => "35°",
    };
    html! {
        section id="dimeglio" aria-labelledby="dimeglio-head" {
            h2 id="dimeglio-head" { "The Dimeglio score" }
            p { "Four angles of deformity that remain when the foot is gently corrected, each worth 0 to 4 points, and four signs worth one point each. Here a larger angle is a worse foot: 40° of equinus is 40° short of the right angle, and −10° is past it." }
            div.help-levels { @for item in AngleItem::ALL {
                figure { (Measured::Deformity(item).drawn()) figcaption { strong { (item.name()) ", " (shown(item)) } span.help-seen { (item.how()) "." } } }
            } }
            dl.help-list { @for sign in DimeglioSign::ALL { dt { (sign.name()) } dd { (sign.how()) ". One point if present." } } }
            p { "Points of an angle: 45° or more 4, 20° or more 3, 0° or more 2, −20° or more 1, beyond that 0. An angle on an edge counts in the more severe band: that is this program's own rule." }
            p.help-source { "Bands and signs: from memory; that there are four parameters of 0–4 and extra points was read in Flynn 1998." }
        }
    }
}

fn atypical() -> Markup {
    html! {
        section id="atypical" aria-labelledby="atypical-head" {
            h2 id="atypical-head" { "Atypical or complex foot" }
            p { "Look for it at the first visit and again whenever a cast has slipped or the foot is swollen. It is cast and braced in its own way, so ask someone with experience before the next cast." }
            (levels(&[
                (Measured::AtypicalSide, "From the outer side", "A short, stiff foot in equinus; all metatarsals bent steeply down; the great toe short and bent up; a deep fold above the heel."),
                (Measured::AtypicalSole, "The sole", "Short and broad; one deep fold from edge to edge; the great toe short."),
            ]))
            p { "Record it in " em { (record::Kind::Diagnosis.spec().form.map_or("Diagnosis", |form| form.title)) } " on the child's page." }
            p.help-source { "Signs: Ponseti and others 2006, 10.1097/01.blo.0000224062.39990.48." }
        }
    }
}

fn walking() -> Markup {
    html! {
        section id="walking" aria-labelledby="walking-head" {
            h2 id="walking-head" { "Once the child walks" }
            (text::blocks("- **Dynamic supination**: watch the child walk towards you, barefoot. The front of the foot turns up and in as the leg swings forward, and the outer border meets the ground first.\n- **Early heel rise**: watch from the side. The heel leaves the ground too soon in a step.\n- **Heel in varus**: watch from behind as the child stands. The heel is turned in under the leg.\n- The score at walking age asks for the position of the ankle, pain, the shoes of choice and the carer's satisfaction. Ask the carer, and leave empty what was not asked."))
            p.help-source { "Dynamic supination: panel of 15 surgeons, 10.1097/bpo.0000000000002119. Score at walking age: Smythe 2019, 10.1186/s13047-019-0323-4. Early heel rise and varus: common usage, no source." }
        }
    }
}
