//! Sign-in: passwords, PINs, sessions, tokens, the devices of the clinic's network, and the check that a form comes from this program.

mod code;
mod common;
mod devices;
mod guard;
mod password;
mod pin;
mod session;
mod sign_in;
mod throttle;
mod token;

pub use code::EnrolmentCode;
pub use devices::{AdmittedDevice, CODE_MINUTES, DEVICE_IDLE_DAYS, KnownDevices, is_current};
pub use guard::same_origin;
pub use password::{
    PASSWORD_HINT, PROGRAM_WORDS, PasswordError, check as check_password, hash as hash_password,
    judge as judge_password,
};
pub use pin::{PIN_HINT, PIN_TRIES, PinError, judge_pin, pin_digits};
pub use session::{LONGEST_SECONDS, SessionState, SessionTimes, Sessions, SignedIn};
pub use sign_in::{Credentials, SignInOutcome, check_credentials};
pub use throttle::{BURST, CodeThrottle, Throttle};
pub use token::{Token, one_time_password, same};
