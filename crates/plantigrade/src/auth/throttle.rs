//! Slows down guessing of passwords: a few attempts per name and address, then a wait.

use governor::{DefaultKeyedRateLimiter, Quota, RateLimiter};
use std::{net::IpAddr, num::NonZeroU32, time::Duration};

/// Attempts in a row before waiting.
pub const BURST: u32 = 8;
/// Seconds between attempts after that.
pub const EVERY_SECONDS: u64 = 20;
/// Attempts in a row from one address over all names.
pub const BURST_PER_ADDRESS: u32 = 60;

/// Counts attempts to sign in.
pub struct Throttle {
    per_name: DefaultKeyedRateLimiter<(String, Option<IpAddr>)>,
    per_address: DefaultKeyedRateLimiter<Option<IpAddr>>,
}

impl Default for Throttle {
    fn default() -> Self {
        Self {
            per_name: RateLimiter::keyed(quota(BURST)),
            per_address: RateLimiter::keyed(quota(BURST_PER_ADDRESS)),
        }
    }
}

fn quota(burst: u32) -> Quota {
    let burst = NonZeroU32::new(burst).unwrap_or(NonZeroU32::MIN);
    // Only a period of zero is refused.
    Quota::with_period(Duration::from_secs(EVERY_SECONDS))
        .unwrap_or(Quota::per_minute(NonZeroU32::MIN))
        .allow_burst(burst)
}

impl Throttle {
    /// Whether this attempt is allowed.
    #[must_use]
    pub fn allows(&self, name: &str, from: Option<IpAddr>) -> bool {
        self.forget_old();
        let key = (name.trim().to_lowercase().chars().take(200).collect(), from);
        self.per_address.check_key(&from).is_ok() && self.per_name.check_key(&key).is_ok()
    }

    /// Limits the memory used for attempts.
    fn forget_old(&self) {
        if self.per_name.len() > 10_000 {
            self.per_name.retain_recent();
            self.per_address.retain_recent();
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn some_tries_then_a_wait_for_that_name_only() {
        let throttle = Throttle::default();
        assert!((0..BURST).all(|_| throttle.allows("marielle", None)));
        assert!(!throttle.allows("marielle", None));
        assert!(!throttle.allows(" MARIELLE ", None), "the same name however it is typed");
        assert!(throttle.allows("henk", None));
    }

    #[test]
    fn one_address_cannot_try_name_after_name_without_end() {
        let throttle = Throttle::default();
        let allowed = (0..200).filter(|n| throttle.allows(&format!("name{n}"), None)).count();
        assert_eq!(allowed, BURST_PER_ADDRESS as usize);
    }
}
