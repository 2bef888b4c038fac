//! Calls about findings in a foot.

use super::dated;
use crate::{in_language::PageLanguage, words::degrees};
use guidance::{
    call_text::{ComplexHint, ContradictionText, FindingCallText, UnchangedScore},
    relapse::RelapseSignKind,
};
use messages::Sentence;
use record::{Day, HalfPoint, Halves, Pirani, RelapseGrade};

impl PageLanguage {
    /// What a call about findings says after the name of the foot.
    pub(super) fn finding_call(self, call: &FindingCallText) -> String {
        match call {
            FindingCallText::Contradiction(what) => {
                let findings = self.contradiction(*what);
                self.text(&Sentence::new("call-contradiction").with("findings", findings.as_str()))
            }
            FindingCallText::MaybeComplex(ComplexHint::CastsSlipped { casts, last }) => {
                self.text(&dated("call-casts-slipped", [("day", *last)]).with("n", *casts as i64))
            }
            FindingCallText::MaybeComplex(ComplexHint::SignsUnchanged { casts, on }) => {
                self.text(&dated("call-signs-unchanged", [("day", *on)]).with("n", *casts as i64))
            }
            FindingCallText::Unchanged { what, casts, until } => {
                let id = match what {
                    UnchangedScore::Midfoot => "call-midfoot-unchanged",
                    UnchangedScore::Total => "call-total-unchanged",
                };
                self.text(&dated(id, [("day", *until)]).with("n", *casts as i64))
            }
            FindingCallText::ShortAfterTenotomy { deg, on, cut } => {
                let sentence = dated("call-short-after-tenotomy", [("day", *on), ("cut", *cut)]);
                self.text(&sentence.with("deg", degrees(*deg).as_str()))
            }
            FindingCallText::ScoreWorse { now, on, was, before } => {
                let sentence = dated("call-score-worse", [("day", *on), ("before", *before)]);
                let (now, was) = (self.points(*now), self.points(*was));
                self.text(&sentence.with("now", now.as_str()).with("was", was.as_str()))
            }
            FindingCallText::Dorsiflexion { deg, on, best } => self.dorsiflexion(*deg, *on, *best),
            FindingCallText::RelapseSigns { signs, grade } => self.relapse_signs(signs, *grade),
            FindingCallText::WalkingScoreLow { total, on } => {
                self.text(&dated("call-walking-score-low", [("day", *on)]).with("n", i64::from(*total)))
            }
        }
    }

    fn dorsiflexion(self, deg: i16, on: Day, best: Option<(i16, Day)>) -> String {
        let sentence = match best {
            None => dated("call-dorsiflexion", [("day", on)]),
            Some((best, before)) => dated("call-dorsiflexion-fallen", [("day", on), ("before", before)])
                .with("best", degrees(best).as_str()),
        };
        self.text(&sentence.with("deg", degrees(deg).as_str()))
    }

    fn relapse_signs(self, signs: &[RelapseSignKind], grade: Option<RelapseGrade>) -> String {
        let signs: Vec<String> = signs.iter().map(|sign| self.relapse_sign(*sign)).collect();
        let signs = signs.join(", ");
        let sentence = match grade {
            None => Sentence::new("call-relapse-signs"),
            Some(grade) => {
                Sentence::new("call-relapse-signs-graded").with("grade", self.relapse_grade(grade).as_str())
            }
        };
        self.text(&sentence.with("signs", signs.as_str()))
    }

    fn contradiction(self, what: ContradictionText) -> String {
        let with_score = |id, pirani: &Pirani, on: Day, deg: i16| {
            let sentence = Sentence::new(id).with("score", self.score(pirani, on).as_str());
            self.text(&sentence.with("deg", degrees(deg).as_str()))
        };
        match what {
            ContradictionText::ScoreAndDorsiflexion { pirani, on, deg } => {
                with_score("call-contradiction-dorsiflexion", &pirani, on, deg)
            }
            ContradictionText::ScoreAndAbduction { pirani, on, deg } => {
                with_score("call-contradiction-abduction", &pirani, on, deg)
            }
            ContradictionText::EquinusAndDorsiflexion { sign, on, deg } => {
                let meaning = self.named(match sign {
                    HalfPoint::Zero => "equinus-zero",
                    HalfPoint::Half => "equinus-half",
                    HalfPoint::One => "equinus-one",
                });
                let sentence = dated("call-contradiction-equinus", [("day", on)])
                    .with("points", self.points(sign.halves()).as_str())
                    .with("meaning", meaning.as_str());
                self.text(&sentence.with("deg", degrees(deg).as_str()))
            }
            ContradictionText::TotalAndSigns { stated, on, sum } => {
                let (stated, sum) = (self.points(stated), self.points(sum));
                let sentence = dated("call-contradiction-total", [("day", on)]);
                self.text(&sentence.with("stated", stated.as_str()).with("sum", sum.as_str()))
            }
        }
    }

    /// A score with its day and the signs that were not assessed, without a full stop.
    fn score(self, pirani: &Pirani, on: Day) -> String {
        let part = |points: Option<Halves>| {
            points.map_or_else(|| self.named("score-part-incomplete"), |points| self.points(points))
        };
        let sentence = match pirani.total() {
            Some(total) => dated("score-total", [("day", on)]).with("total", self.points(total).as_str()),
            None => dated("score-incomplete", [("day", on)]),
        };
        let (hindfoot, midfoot) = (part(pirani.hindfoot()), part(pirani.midfoot()));
        let score =
            self.text(&sentence.with("hindfoot", hindfoot.as_str()).with("midfoot", midfoot.as_str()));
        let missing: Vec<String> = pirani.missing().map(|sign| self.score_sign(sign)).collect();
        if missing.is_empty() {
            return score;
        }
        let sentence = Sentence::new("score-without").with("score", score.as_str());
        self.text(&sentence.with("signs", missing.join(", ").as_str()))
    }
}
