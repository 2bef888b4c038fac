//! Has the linker leave out the symbols of the released program. Cargo strips no program whose package has a level of
//! optimisation of its own.

use std::env;

fn main() {
    println!("cargo:rerun-if-changed=build.rs");
    let is = |name: &str, value: &str| env::var(name).is_ok_and(|is| is == value);
    if is("PROFILE", "release") && is("CARGO_CFG_TARGET_OS", "linux") {
        println!("cargo:rustc-link-arg-bins=-Wl,--strip-all");
    }
}
