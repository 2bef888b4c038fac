//! Devices on the clinic's network: enrolled with a one-time code, known by a token in a cookie.
//!
//! Every request looks the device up in the records, so that a removed one is refused at once.

use super::{EnrolmentCode, Token};
use clinic::{ArchiveError, Device, Devices, NewDevice};
use record::{DeviceId, Timestamp, UserId};

/// How long a code is valid.
pub const CODE_MINUTES: i64 = 15;
/// After so many days without use a device has to be enrolled again.
pub const DEVICE_IDLE_DAYS: i64 = 180;
/// How often the use of a device is recorded.
const NOTED_EVERY_SECONDS: i64 = 3600;
const DAY_SECONDS: i64 = 86_400;

/// A device that is admitted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AdmittedDevice {
    /// The device.
    pub device: Device,
    /// Whether this use was recorded; then its cookie is given a new end.
    pub noted: bool,
}

/// The devices that are admitted on the clinic's network.
pub struct KnownDevices(Devices);

impl KnownDevices {
    /// The devices stored with these records.
    #[must_use]
    pub const fn new(devices: Devices) -> Self {
        Self(devices)
    }

    /// Makes a one-time code for a device.
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn expect(
        &self,
        id: DeviceId,
        name: String,
        by: UserId,
        now: Timestamp,
    ) -> Result<(EnrolmentCode, Timestamp), ArchiveError> {
        let code = EnrolmentCode::new();
        let code_expires = Timestamp::from_seconds(now.seconds() + CODE_MINUTES * 60);
        let device = NewDevice { id, name, made_by: by, made_at: now, code_hash: code.hash(), code_expires };
        self.0.expect_device(device)?;
        Ok((code, code_expires))
    }

    /// Uses a code. `None` if it is wrong, expired or used.
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn enrol(
        &self,
        code: &EnrolmentCode,
        now: Timestamp,
    ) -> Result<Option<(Token, Device)>, ArchiveError> {
        let token = Token::new();
        let device = self.0.enrol(code.hash(), token.hash(), now)?;
        Ok(device.map(|device| (token, device)))
    }

    /// The device of a token, if it is admitted.
    ///
    /// # Errors
    /// When the records cannot be read or written.
    pub fn admitted(&self, token: &Token, now: Timestamp) -> Result<Option<AdmittedDevice>, ArchiveError> {
        let found = self.0.device(&token.hash())?.filter(|device| is_current(device, now));
        let Some(device) = found else { return Ok(None) };
        let idle = device.last_used.map_or(i64::MAX, |last| now.seconds() - last.seconds());
        let noted = idle >= NOTED_EVERY_SECONDS;
        if noted {
            self.0.touch(device.id, now)?;
        }
        Ok(Some(AdmittedDevice { device, noted }))
    }

    /// Removes a device. Returns whether there was one to remove.
    ///
    /// # Errors
    /// When the records cannot be written.
    pub fn remove(&self, id: DeviceId, by: UserId, now: Timestamp) -> Result<bool, ArchiveError> {
        self.0.remove(id, by, now)
    }

    /// Every device, the latest first.
    ///
    /// # Errors
    /// When the records cannot be read.
    pub fn all(&self, now: Timestamp) -> Result<Vec<Device>, ArchiveError> {
        self.0.all(now)
    }
}

/// Whether a device was used lately enough to be admitted.
#[must_use]
pub fn is_current(device: &Device, now: Timestamp) -> bool {
    let last = device.last_used.or(device.enrolled_at);
    device.removed.is_none()
        && last.is_some_and(|last| now.seconds() - last.seconds() < DEVICE_IDLE_DAYS * DAY_SECONDS)
}
