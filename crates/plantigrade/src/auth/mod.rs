//! Sign-in: passwords, second factors, PINs, sessions, tokens, the devices of the clinic's network, and the check that a form comes from this program.

mod attempts;
mod code;
mod common;
mod devices;
mod guard;
mod open_steps;
pub mod passkey;
mod passphrase;
mod password;
mod pin;
mod recovery;
mod session;
mod short_lived;
mod sign_in;
mod throttle;
mod time_code;
mod token;

pub use attempts::{
    ATTEMPTS_FILE, AttemptFrom, BURST, BURST_PER_ADDRESS, EVERY_SECONDS, KNOWN_FAILURES, Throttle,
};
pub use code::EnrolmentCode;
pub use devices::{AdmittedDevice, CODE_MINUTES, DEVICE_IDLE_DAYS, KnownDevices, is_current};
pub use guard::same_origin;
pub use open_steps::{CODE_TRIES, CONFIRMED_SECONDS, OpenSteps, PasskeyPurpose, WaitingSignIn};
pub use passphrase::{PASSPHRASE_HINT, PassphraseError, judge_passphrase};
pub use password::{
    PASSWORD_HINT, PROGRAM_WORDS, PasswordError, check as check_password, hash as hash_password,
    judge as judge_password,
};
pub use pin::{PIN_HINT, PIN_TRIES, PinError, judge_pin, pin_digits};
pub use recovery::{RECOVERY_CODES, TypedCode, new_recovery_codes};
pub use session::{LONGEST_SECONDS, SessionState, SessionTimes, Sessions, SignedIn};
pub use short_lived::ShortLived;
pub use sign_in::{FAILURES_AT_MOST, SignInCheck, SignInResult, authenticate, is_locked, second_step};
pub use throttle::{CodeThrottle, REQUEST_BURST, REQUESTS_PER_SECOND, RequestRate};
pub use time_code::{
    CODE_DIGITS, CodeHash, SKEW_STEPS, STEP_SECONDS, counter_code, matching_step, new_secret, secret_address,
    secret_words, step_of,
};
pub use token::{Token, one_time_password, same};
