//! Sign-in: passwords, sessions, tokens, and the check that a form comes from this program.

mod guard;
mod password;
mod session;
mod throttle;
mod token;

pub use guard::same_origin;
pub use password::{PasswordError, check as check_password, hash as hash_password, judge as judge_password};
pub use session::{Sessions, SignedIn};
pub use throttle::{BURST, Throttle};
pub use token::{Token, same};
