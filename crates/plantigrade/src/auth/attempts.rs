//! Slows down guessing of passwords: a few attempts for a name from wherever they come, and a few from an address for
//! whatever name, then a wait. Nobody can lock a person out by guessing: a device at which the person signed in before
//! has an allowance of its own. What was counted outlives a restart.

use ring::hmac;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::{
    collections::HashMap,
    fs,
    io::{ErrorKind, Result, Write as _},
    net::IpAddr,
    path::{Path, PathBuf},
    sync::{Mutex, MutexGuard, PoisonError},
};

/// Attempts in a row before waiting.
pub const BURST: u32 = 8;
/// Seconds between attempts after that.
pub const EVERY_SECONDS: u64 = 20;
/// Attempts in a row from one address over all names.
pub const BURST_PER_ADDRESS: u32 = 60;
/// Failures in a row after which a device is known no longer: it may have been stolen.
pub const KNOWN_FAILURES: u32 = 20;
/// The most devices that are remembered, of all people together.
const MOST_KNOWN: usize = 2000;
/// The most names and addresses that are counted at a time.
const MOST_COUNTED: usize = 10_000;
/// The file within the data folder.
pub const ATTEMPTS_FILE: &str = "sign-in-attempts.json";

/// From where an attempt comes.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct AttemptFrom {
    /// The address, if it is known.
    pub address: Option<IpAddr>,
    /// The device, as the hash by which PINs and sessions know it; `None` for one that shows no cookie.
    pub place: Option<[u8; 32]>,
}

/// A name, an address or a device, as it is stored: a keyed hash, so that the file tells no name.
type Counted = String;

/// What is counted, as it is stored.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default)]
struct Counts {
    /// Until when the allowance of each is used up, in seconds since 1970: every attempt moves it on.
    used_until: HashMap<Counted, i64>,
    /// The devices at which somebody signed in before: failures in a row, and when it was used last.
    known: HashMap<Counted, (u32, i64)>,
}

/// Counts attempts to sign in.
pub struct Throttle {
    counts: Mutex<Counts>,
    key: hmac::Key,
    /// Where the counts are stored; `None` for a throttle in memory.
    file: Option<PathBuf>,
}

impl Default for Throttle {
    fn default() -> Self {
        let mut key = [0; 32];
        rand::fill(&mut key[..]);
        Self { counts: Mutex::default(), key: hmac::Key::new(hmac::HMAC_SHA256, &key), file: None }
    }
}

impl Throttle {
    /// The throttle of a data folder, with what was counted before. A file that cannot be read counts as none: a
    /// clinic has to be able to sign in.
    #[must_use]
    pub fn open(dir: &Path, key: &[u8; 32]) -> Self {
        let file = dir.join(ATTEMPTS_FILE);
        let counts = match fs::read(&file) {
            Ok(bytes) => serde_json::from_slice(&bytes).unwrap_or_else(|error| {
                tracing::warn!("{ATTEMPTS_FILE} cannot be used: {error}");
                Counts::default()
            }),
            Err(_) => Counts::default(),
        };
        let key = hmac::Key::new(hmac::HMAC_SHA256, key);
        Self { counts: Mutex::new(counts), key, file: Some(file) }
    }

    /// Whether this attempt is allowed; it is counted. `now` is in seconds since 1970.
    #[must_use]
    pub fn allows(&self, name: &str, from: AttemptFrom, now: i64) -> bool {
        let device = from.place.map(|place| self.hash("device", &[&folded(name), &place]));
        let mut counts = self.locked();
        let known = device.filter(|device| counts.known.contains_key(device));
        let allowed = match known {
            Some(device) => counts.takes(&device, BURST, now),
            None => {
                let name = self.hash("name", &[&folded(name)]);
                let address = from.address.map(|address| self.hash("address", &[&network(address)]));
                // Both are counted, so that trying many names from many addresses is slow too.
                let by_address = address.is_none_or(|key| counts.takes(&key, BURST_PER_ADDRESS, now));
                by_address && counts.takes(&name, BURST, now)
            }
        };
        self.write(&mut counts, now);
        allowed
    }

    /// The same for what names nobody, such as a passkey: counted by the address alone.
    #[must_use]
    pub fn allows_address(&self, from: AttemptFrom, now: i64) -> bool {
        let mut counts = self.locked();
        let address = from.address.map(|address| self.hash("address", &[&network(address)]));
        let allowed = address.is_none_or(|key| counts.takes(&key, BURST_PER_ADDRESS, now));
        self.write(&mut counts, now);
        allowed
    }

    /// The same for what is possible on one device only, such as a PIN: counted by the person and the device.
    #[must_use]
    pub fn allows_at_device(&self, person: &str, from: AttemptFrom, now: i64) -> bool {
        let place = from.place.unwrap_or_default();
        let key = self.hash("at device", &[person.as_bytes(), &place]);
        let mut counts = self.locked();
        let allowed = counts.takes(&key, BURST, now);
        self.write(&mut counts, now);
        allowed
    }

    /// The same was right: the allowance is whole again.
    pub fn was_right_at_device(&self, person: &str, from: AttemptFrom, now: i64) {
        let place = from.place.unwrap_or_default();
        let key = self.hash("at device", &[person.as_bytes(), &place]);
        let mut counts = self.locked();
        if counts.used_until.remove(&key).is_some() {
            self.write(&mut counts, now);
        }
    }

    /// Whether a person signed in at this device before.
    #[must_use]
    pub fn is_known(&self, name: &str, from: AttemptFrom) -> bool {
        let device = from.place.map(|place| self.hash("device", &[&folded(name), &place]));
        device.is_some_and(|device| self.locked().known.contains_key(&device))
    }

    /// Remembers that a person signed in at a device, whose allowance is whole again.
    pub fn signed_in(&self, name: &str, place: &[u8; 32], now: i64) {
        let device = self.hash("device", &[&folded(name), place]);
        let mut counts = self.locked();
        counts.used_until.remove(&device);
        counts.known.insert(device, (0, now));
        if counts.known.len() > MOST_KNOWN {
            let oldest = counts.known.iter().min_by_key(|(_, (_, last))| *last).map(|(key, _)| key.clone());
            oldest.and_then(|key| counts.known.remove(&key));
        }
        self.write(&mut counts, now);
    }

    /// Notes that a sign-in failed. After some failures in a row a device is known no longer.
    pub fn failed(&self, name: &str, from: AttemptFrom, now: i64) {
        let Some(place) = from.place else { return };
        let device = self.hash("device", &[&folded(name), &place]);
        let mut counts = self.locked();
        let Some((failures, last)) = counts.known.get_mut(&device) else { return };
        (*failures, *last) = (*failures + 1, now);
        if *failures >= KNOWN_FAILURES {
            counts.known.remove(&device);
        }
        self.write(&mut counts, now);
    }

    fn locked(&self) -> MutexGuard<'_, Counts> {
        self.counts.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn hash(&self, what: &str, parts: &[&[u8]]) -> Counted {
        let mut context = hmac::Context::with_key(&self.key);
        context.update(what.as_bytes());
        for part in parts {
            // Hashed first, so that no two lists of parts are one text.
            context.update(&Sha256::digest(part));
        }
        context.sign().as_ref().iter().take(16).map(|byte| format!("{byte:02x}")).collect()
    }

    /// Stores what is counted. It need not be on the disk at once: a restart of the program is outlived, and a power
    /// cut gives an attacker a few attempts.
    fn write(&self, counts: &mut Counts, now: i64) {
        counts.forget(now);
        let Some(file) = &self.file else { return };
        if let Err(error) = written(file, counts) {
            tracing::warn!("{ATTEMPTS_FILE} cannot be written: {error}");
        }
    }
}

impl Counts {
    /// Whether an attempt is within the allowance of this key; it is then counted.
    fn takes(&mut self, key: &Counted, burst: u32, now: i64) -> bool {
        let every = i64::try_from(EVERY_SECONDS).unwrap_or(i64::MAX);
        let used_until = self.used_until.get(key).copied().unwrap_or(now).max(now);
        let allowed = used_until - now <= every * (i64::from(burst) - 1);
        if allowed {
            self.used_until.insert(key.clone(), used_until + every);
        }
        allowed
    }

    /// Forgets those whose allowance is whole again, and the first of them where there are too many.
    fn forget(&mut self, now: i64) {
        self.used_until.retain(|_, until| *until > now);
        // A clock that was set back must not keep anybody out for longer than the largest allowance takes.
        let longest =
            i64::try_from(EVERY_SECONDS).unwrap_or(i64::MAX).saturating_mul(BURST_PER_ADDRESS.into());
        self.used_until.values_mut().for_each(|until| *until = (*until).min(now + longest));
        while self.used_until.len() > MOST_COUNTED {
            let first = self.used_until.iter().min_by_key(|(_, until)| **until).map(|(key, _)| key.clone());
            match first {
                Some(key) => self.used_until.remove(&key),
                None => return,
            };
        }
    }
}

/// The name as accounts are found by it, however it is typed.
fn folded(name: &str) -> Vec<u8> {
    clinic::sign_in_key(&name.chars().take(200).collect::<String>()).into_bytes()
}

/// The part of an address that its owner cannot choose: of IPv6 the first 64 bits.
fn network(address: IpAddr) -> Vec<u8> {
    match address.to_canonical() {
        IpAddr::V4(address) => address.octets().to_vec(),
        IpAddr::V6(address) => address.octets().iter().take(8).copied().collect(),
    }
}

fn written(file: &Path, counts: &Counts) -> Result<()> {
    let new = file.with_extension("json.new");
    let bytes = serde_json::to_vec(counts).map_err(|_| ErrorKind::InvalidData)?;
    clinic::create_private(&new)?.write_all(&bytes)?;
    fs::rename(&new, file)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    const NOW: i64 = 1_700_000_000;

    fn at(last: u8) -> AttemptFrom {
        AttemptFrom { address: Some(IpAddr::from([192, 0, 2, last])), place: None }
    }

    #[test]
    fn a_name_is_counted_however_it_is_typed_and_from_wherever() {
        let throttle = Throttle::default();
        let typed = ["zoë", " ZOE ", "Zoé", "ｚｏｅ", "zoe\u{308}", "zoE", "Zoe", "ZOË"];
        assert!((0..).zip(typed).all(|(last, name)| throttle.allows(name, at(last), NOW)));
        assert!(!throttle.allows("zoe", at(99), NOW), "from another address");
        assert!(throttle.allows("henk", at(99), NOW), "another name");
        let every = EVERY_SECONDS as i64;
        assert!(!throttle.allows("zoe", at(98), NOW + every - 1));
        assert!(throttle.allows("zoe", at(97), NOW + every));
        assert!(!throttle.allows("zoe", at(97), NOW + every), "one at a time from then on");
    }

    #[test]
    fn one_address_cannot_try_name_after_name_without_end() {
        let throttle = Throttle::default();
        let allowed = (0..200).filter(|n| throttle.allows(&format!("name{n}"), at(1), NOW)).count();
        assert_eq!(allowed, BURST_PER_ADDRESS as usize);
        assert!(throttle.allows("name199", at(2), NOW));
        let six = |last: &str| AttemptFrom {
            address: Some(format!("2001:db8::{last}").parse().unwrap()),
            place: None,
        };
        let allowed =
            (0..200).filter(|n| throttle.allows(&format!("x{n}"), six(&n.to_string()), NOW)).count();
        assert_eq!(allowed, BURST_PER_ADDRESS as usize, "addresses that one customer of a network has");
    }

    #[test]
    fn guessing_elsewhere_does_not_lock_out_a_device_at_which_the_person_signed_in_before() {
        let throttle = Throttle::default();
        let own = AttemptFrom { place: Some([7; 32]), ..at(1) };
        throttle.signed_in("zoe", &[7; 32], NOW);
        // From her own address too, as behind one router, until both allowances are used up.
        for n in 0..500 {
            let _ = throttle.allows("zoe", at(1), NOW);
            let _ = throttle.allows(&format!("other{n}"), at(1), NOW);
        }
        assert!(!throttle.allows("zoe", at(1), NOW) && !throttle.allows("zoe", at(2), NOW));
        assert!((0..BURST).all(|_| throttle.allows("Zoë", own, NOW)), "her own allowance is whole");
        assert!(!throttle.allows("zoe", own, NOW), "and it is one");
        let stranger = AttemptFrom { place: Some([8; 32]), ..at(1) };
        assert!(!throttle.allows("zoe", stranger, NOW), "a cookie of one's own making is no device of hers");
        assert!(!throttle.allows("henk", own, NOW), "nor is her device one of another person");
    }

    #[test]
    fn a_device_on_which_sign_in_fails_again_and_again_is_known_no_longer() {
        let throttle = Throttle::default();
        let own = AttemptFrom { place: Some([7; 32]), ..at(1) };
        throttle.signed_in("zoe", &[7; 32], NOW);
        (1..KNOWN_FAILURES).for_each(|_| throttle.failed("zoe", own, NOW));
        assert!(throttle.is_known("zoe", own));
        throttle.signed_in("zoe", &[7; 32], NOW);
        (1..KNOWN_FAILURES).for_each(|_| throttle.failed("zoe", own, NOW));
        assert!(throttle.is_known("zoe", own), "counted in a row");
        throttle.failed("zoe", own, NOW);
        assert!(!throttle.is_known("zoe", own));
    }

    #[test]
    fn what_was_counted_outlives_a_restart_and_the_file_tells_no_name() {
        let dir = tempfile::tempdir().unwrap();
        let open = || Throttle::open(dir.path(), &[3; 32]);
        let throttle = open();
        throttle.signed_in("zoe", &[7; 32], NOW);
        assert!((0..BURST).all(|last| throttle.allows("henkvandermeer", at(last as u8), NOW)));
        drop(throttle);
        let again = open();
        assert!(!again.allows("henkvandermeer", at(50), NOW));
        assert!(again.is_known("zoe", AttemptFrom { place: Some([7; 32]), ..at(1) }));
        let text = fs::read_to_string(dir.path().join(ATTEMPTS_FILE)).unwrap();
        for word in ["henk", "zoe", "192.0.2", "07070707"] {
            assert!(!text.contains(word), "{word}: {text}");
        }
        let other = Throttle::open(dir.path(), &[4; 32]);
        assert!(other.allows("henkvandermeer", at(50), NOW), "hashed with the key of the clinic");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = fs::metadata(dir.path().join(ATTEMPTS_FILE)).unwrap().permissions().mode();
            assert_eq!(mode & 0o777, 0o600);
        }
        fs::write(dir.path().join(ATTEMPTS_FILE), "no such file").unwrap();
        assert!(open().allows("henkvandermeer", at(50), NOW), "a file that cannot be used counts as none");
    }

    #[test]
    fn a_clock_that_was_set_back_keeps_nobody_out_for_long() {
        let throttle = Throttle::default();
        assert!((0..BURST).all(|_| throttle.allows("zoe", at(1), NOW)));
        let earlier = NOW - 86_400;
        assert!(!throttle.allows("zoe", at(1), earlier));
        assert!(throttle.allows("zoe", at(1), earlier + i64::from(BURST_PER_ADDRESS) * EVERY_SECONDS as i64));
    }
}
