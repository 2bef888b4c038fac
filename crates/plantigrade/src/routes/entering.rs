//! Beginning a session, however somebody came in.

use super::{
    gate,
    session::{After, entered},
};
use crate::{
    auth::Token,
    web::{PageResult, Shared, Visitor, work},
};
use record::UserId;

/// Begins a session and leaves the previous one.
pub async fn begin(app: &Shared, visitor: &Visitor, user: UserId, then: &str) -> PageResult {
    begin_as(app, visitor, user, After::own(then, false)).await
}

/// As [`begin`], with what is shown then.
pub async fn begin_as(app: &Shared, visitor: &Visitor, user: UserId, after: After<'_>) -> PageResult {
    let old = visitor.token.clone();
    // The browser of this computer is known by a token of its own, a device of the clinic's network is enrolled.
    let fresh = visitor.place.is_none().then(Token::new);
    let place = visitor.place.or_else(|| fresh.as_ref().map(Token::hash));
    let token = work(app, move |app| {
        let now = app.clock.now();
        if let Some(old) = old {
            app.sessions.leave(&old, user, now)?;
        }
        let token = app.sessions.begin_at(user, place, now)?;
        if let Some(place) = place {
            app.records.pins().was_right(user, place)?;
        }
        Ok(token)
    });
    let token = token.await?;
    let mut response = entered(app, Some(&token), user, after, Some(&token)).await?;
    if let Some(fresh) = fresh {
        gate::set_place(app, &mut response, &fresh);
    }
    Ok(response)
}
