//! The four-item score at walking age, 0–12; 8 or less means the foot may need more treatment.
//!
//! Items, points and the cut-off are from Smythe 2019, J Foot Ankle Res 12,
//! 10.1186/s13047-019-0323-4 (table 1, CC BY 4.0), reworded. At the cut-off of 8: sensitivity 79 %,
//! specificity 100 % (68 children).

use crate::{
    bounds::WALKING_ITEM,
    field::{Answer, FieldSpec, points},
};

/// One of the four items, each 0–3 where 3 is best.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WalkingItem {
    /// How far the ankle comes up, knee straight, lying on the back.
    Ankle,
    /// Pain.
    Pain,
    /// Whether the shoes of the family's choice can be worn.
    Shoes,
    /// How content the carer is.
    Carer,
}

impl WalkingItem {
    /// In the order in which they are entered.
    pub const ALL: [Self; 4] = [Self::Ankle, Self::Pain, Self::Shoes, Self::Carer];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Ankle => "Ankle position reached",
            Self::Pain => "Pain",
            Self::Shoes => "Shoes of choice",
            Self::Carer => "Carer's satisfaction",
        }
    }

    /// Its key in forms and files.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Ankle => "ankle",
            Self::Pain => "pain",
            Self::Shoes => "shoes",
            Self::Carer => "carer",
        }
    }

    /// Its field in a form: the points, each with its meaning.
    const fn field(self) -> FieldSpec {
        const fn answers(item: WalkingItem) -> [Answer; 4] {
            let [zero, one, two, three] = item.meanings();
            [("0", zero), ("1", one), ("2", two), ("3", three)]
        }
        let answers: &'static [Answer] = match self {
            Self::Ankle => const { &answers(Self::Ankle) },
            Self::Pain => const { &answers(Self::Pain) },
            Self::Shoes => const { &answers(Self::Shoes) },
            Self::Carer => const { &answers(Self::Carer) },
        };
        points(self.name(), answers).bound(&WALKING_ITEM)
    }

    /// What 0, 1, 2 and 3 points mean, in our own words.
    #[must_use]
    pub const fn meanings(self) -> [&'static str; 4] {
        match self {
            Self::Ankle => [
                "short of neutral, with another deformity",
                "short of neutral, nothing else",
                "to neutral",
                "past neutral",
            ],
            Self::Pain => ["often limits", "sometimes limits", "there, but limits nothing", "none"],
            Self::Shoes => ["never", "sometimes", "usually", "always"],
            Self::Carer => ["very unhappy", "unhappy", "content", "very content"],
        }
    }
}

group! {
    /// The four items of one foot. An item that was not asked is `None`.
    ///
    /// ```
    /// use record::Walking;
    ///
    /// let mut foot = Walking { ankle: Some(2), pain: Some(3), shoes: Some(2), carer: None };
    /// assert_eq!(foot.total(), None); // the carer was not asked
    /// assert_eq!(foot.may_need_more(), None);
    ///
    /// foot.carer = Some(2);
    /// assert_eq!(foot.total(), Some(9)); // 2 + 3 + 2 + 2
    /// assert_eq!(foot.may_need_more(), Some(false)); // 9 is above the cut-off of 8
    /// ```
    #[derive(Copy, Default, Eq)]
    Walking;

    /// Ankle position, 0–3.
    optional ankle: Option<u8> => WalkingItem::Ankle.field();
    /// Pain, 0–3.
    optional pain: Option<u8> => WalkingItem::Pain.field();
    /// Shoes, 0–3.
    optional shoes: Option<u8> => WalkingItem::Shoes.field();
    /// Carer, 0–3.
    optional carer: Option<u8> => WalkingItem::Carer.field();
}

impl Walking {
    /// At this total or below, more treatment may be needed (Smythe 2019).
    pub const REFER_AT_OR_BELOW: u8 = 8;

    /// One item.
    #[must_use]
    pub const fn item(&self, item: WalkingItem) -> Option<u8> {
        match item {
            WalkingItem::Ankle => self.ankle,
            WalkingItem::Pain => self.pain,
            WalkingItem::Shoes => self.shoes,
            WalkingItem::Carer => self.carer,
        }
    }

    /// Sets one item.
    pub const fn set(&mut self, item: WalkingItem, points: Option<u8>) {
        match item {
            WalkingItem::Ankle => self.ankle = points,
            WalkingItem::Pain => self.pain = points,
            WalkingItem::Shoes => self.shoes = points,
            WalkingItem::Carer => self.carer = points,
        }
    }

    /// 0–12, or `None` if an item is missing or has more than 3 points.
    #[must_use]
    pub fn total(&self) -> Option<u8> {
        WalkingItem::ALL.into_iter().try_fold(0, |sum, item| {
            let points = self.item(item)?;
            (points <= 3).then(|| sum + points)
        })
    }

    /// Whether the total is at or below the cut-off; `None` if there is no total.
    #[must_use]
    pub fn may_need_more(&self) -> Option<bool> {
        self.total().map(|total| total <= Self::REFER_AT_OR_BELOW)
    }

    /// Whether nothing was asked.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
