//! The one style sheet and the one script, embedded, each with a hash of its contents.
//!
//! The URL of each contains the hash, so that a browser may cache the file for ever and still fetches the
//! new one as soon as it changes.

/// The style sheet.
pub const APP_CSS: &str = concat!(
    include_str!("../assets/base.css"),
    include_str!("../assets/parts.css"),
    include_str!("../assets/lists.css"),
    include_str!("../assets/visit.css"),
    include_str!("../assets/amend.css"),
    include_str!("child/child.css"),
    include_str!("likely/likely.css"),
    include_str!("picture/picture.css"),
    include_str!("capacity/capacity.css"),
    include_str!("wear/wear.css"),
    include_str!("brace_fitting/brace_fitting.css"),
    include_str!("import/import.css"),
    include_str!("devices/devices.css"),
    include_str!("results/results.css"),
    include_str!("../assets/people.css"),
    include_str!("../assets/session.css"),
    include_str!("settings/settings.css"),
    include_str!("encryption/encryption.css"),
    include_str!("second_factor/second_factor.css"),
    include_str!("documents.css"),
    include_str!("tenotomy/tenotomy.css"),
    include_str!("photographs/photographs.css"),
    include_str!("videos/videos.css"),
    include_str!("blank_sheet/blank_sheet.css"),
    include_str!("help/help.css"),
    include_str!("practice/practice.css"),
    include_str!("../assets/print.css"),
);

/// The script: theme, live scores, steppers, the live next step, search while typing, passkeys, drafts of forms and the
/// lock. No page needs it; only passkeys do.
pub const APP_JS: &str = concat!(
    include_str!("../assets/app.js"),
    include_str!("../assets/session.js"),
    include_str!("../assets/photographs.js"),
    include_str!("../assets/videos.js"),
);

/// Hash of [`APP_CSS`].
pub const CSS_HASH: u64 = hash(APP_CSS.as_bytes());
/// Hash of [`APP_JS`].
pub const JS_HASH: u64 = hash(APP_JS.as_bytes());

/// URL of the style sheet.
#[must_use]
pub fn css_href() -> String {
    format!("/assets/app.css?v={CSS_HASH:016x}")
}

/// URL of the script.
#[must_use]
pub fn js_href() -> String {
    format!("/assets/app.js?v={JS_HASH:016x}")
}

/// FNV-1a, 64 bits: enough to distinguish the file of one build from that of another.
const fn hash(bytes: &[u8]) -> u64 {
    let mut hash = 0xcbf2_9ce4_8422_2325;
    let mut index = 0;
    while index < bytes.len() {
        hash = (hash ^ bytes[index] as u64).wrapping_mul(0x0000_0100_0000_01b3);
        index += 1;
    }
    hash
}
