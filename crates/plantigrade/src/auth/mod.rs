//! Sign-in: passwords, sessions, tokens, and the check that a form comes from this program.

mod common;
mod guard;
mod password;
mod session;
mod throttle;
mod token;

pub use guard::same_origin;
pub use password::{
    PASSWORD_HINT, PROGRAM_WORDS, PasswordError, check as check_password, hash as hash_password,
    judge as judge_password,
};
pub use session::{Sessions, SignedIn};
pub use throttle::{BURST, Throttle};
pub use token::{Token, one_time_password, same};
