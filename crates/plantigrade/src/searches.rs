//! What people searched for. The text of a search is remembered here for some hours, and the address of the page that
//! shows what was found holds only a random token for it: addresses are kept in histories, logs and bookmarks, and
//! names, numbers and telephones of a family do not belong there.

use crate::{
    auth::{ShortLived, Token},
    clock::Clock,
};
use record::UserId;

/// How long a search can be gone back to: a working day.
const REMEMBERED_SECONDS: i64 = 12 * 3600;
/// The most searches remembered, of all people together.
const MOST: usize = 4000;

/// Searches by person and token.
pub struct Searches(ShortLived<(UserId, String), String>);

/// What an address asks for.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct AskedSearch {
    /// The text; `None` where nothing is searched.
    pub text: Option<String>,
    /// Whether it asks for a search that is not remembered, or was made by somebody else.
    pub is_over: bool,
}

impl Default for Searches {
    fn default() -> Self {
        Self(ShortLived::new(REMEMBERED_SECONDS, MOST))
    }
}

impl Searches {
    /// Remembers a text under the token that it had so far, or under a new one; returns the token.
    pub fn remember(&self, user: UserId, token: &str, text: &str) -> String {
        let now = Clock::machine_seconds();
        let known = Some((user, token.to_owned())).filter(|key| self.0.get(key, now).is_some());
        let key = known.unwrap_or_else(|| (user, Token::new().text().chars().take(TOKEN_CHARS).collect()));
        self.0.put(key.clone(), text.to_owned(), now);
        key.1
    }

    /// The search of a person that an address asks for.
    #[must_use]
    pub fn asked(&self, user: UserId, token: Option<&str>) -> AskedSearch {
        let Some(token) = token.filter(|token| !token.is_empty()) else { return AskedSearch::default() };
        let text = self.0.get(&(user, token.to_owned()), Clock::machine_seconds());
        AskedSearch { is_over: text.is_none(), text }
    }
}

/// Characters of a token: 96 random bits, and of no use to anybody else.
const TOKEN_CHARS: usize = 24;

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_search_is_remembered_for_its_person_only() {
        let searches = Searches::default();
        let [ida, tove] = [1, 2].map(|n| UserId::new(uuid::Uuid::from_u128(n)));
        let token = searches.remember(ida, "", "vester");
        assert_eq!(searches.asked(ida, Some(&token)).text.as_deref(), Some("vester"));
        assert_eq!(searches.remember(ida, &token, "vesterholt"), token, "typed on");
        assert_eq!(searches.asked(ida, Some(&token)).text.as_deref(), Some("vesterholt"));
        let other = searches.asked(tove, Some(&token));
        assert_eq!(other, AskedSearch { text: None, is_over: true });
        assert_ne!(searches.remember(tove, &token, "x"), token, "nobody writes over that of another");
        assert_eq!(searches.asked(ida, None), AskedSearch::default());
        assert_eq!(searches.asked(ida, Some("")), AskedSearch::default());
    }
}
