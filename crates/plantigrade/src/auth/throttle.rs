//! Slows down guessing of one-time codes, and an address that asks too often.

use super::attempts::{BURST, EVERY_SECONDS};
use governor::{DefaultDirectRateLimiter, DefaultKeyedRateLimiter, Quota, RateLimiter};
use std::{net::IpAddr, num::NonZeroU32, time::Duration};

/// One-time codes in a row from all addresses together.
pub const CODE_BURST: u32 = 40;

fn quota(burst: u32) -> Quota {
    let burst = NonZeroU32::new(burst).unwrap_or(NonZeroU32::MIN);
    // Only a period of zero is refused.
    Quota::with_period(Duration::from_secs(EVERY_SECONDS))
        .unwrap_or(Quota::per_minute(NonZeroU32::MIN))
        .allow_burst(burst)
}

/// Counts attempts to enrol a device: a few from each address, and a limit for all addresses together, because
/// any device of the clinic's network can try.
pub struct CodeThrottle {
    per_address: DefaultKeyedRateLimiter<Option<IpAddr>>,
    overall: DefaultDirectRateLimiter,
}

impl Default for CodeThrottle {
    fn default() -> Self {
        Self {
            per_address: RateLimiter::keyed(quota(BURST)),
            overall: RateLimiter::direct(quota(CODE_BURST)),
        }
    }
}

impl CodeThrottle {
    /// Whether this attempt is allowed.
    #[must_use]
    pub fn allows(&self, from: Option<IpAddr>) -> bool {
        if self.per_address.len() > 10_000 {
            self.per_address.retain_recent();
        }
        self.per_address.check_key(&from).is_ok() && self.overall.check().is_ok()
    }
}

/// Requests in a row from one address: a page and what it loads are a handful.
pub const REQUEST_BURST: u32 = 400;
/// Requests of one address a second, after that.
pub const REQUESTS_PER_SECOND: u32 = 50;

/// Counts the requests of each address.
pub struct RequestRate(DefaultKeyedRateLimiter<IpAddr>);

impl Default for RequestRate {
    fn default() -> Self {
        let per_second = NonZeroU32::new(REQUESTS_PER_SECOND).unwrap_or(NonZeroU32::MIN);
        let burst = NonZeroU32::new(REQUEST_BURST).unwrap_or(NonZeroU32::MIN);
        Self(RateLimiter::keyed(Quota::per_second(per_second).allow_burst(burst)))
    }
}

impl RequestRate {
    /// Whether this request is allowed.
    #[must_use]
    pub fn allows(&self, from: IpAddr) -> bool {
        if self.0.len() > 10_000 {
            self.0.retain_recent();
        }
        self.0.check_key(&from).is_ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn codes_are_slowed_down_for_each_address_and_for_all_together() {
        let throttle = CodeThrottle::default();
        let from = |last: u8| Some(IpAddr::from([192, 168, 7, last]));
        assert!((0..BURST).all(|_| throttle.allows(from(1))));
        assert!(!throttle.allows(from(1)), "one address waits");
        assert!(throttle.allows(from(2)), "another does not yet");
        let allowed = (3..=250).filter(|last| throttle.allows(from(*last))).count();
        assert_eq!(allowed as u32, CODE_BURST - BURST - 1, "all addresses together have a limit");
    }
}
