//! Renders every page with invented data into a folder, for viewing in a browser.
//!
//! `cargo run -p pages --example gallery -- FOLDER`

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../tests/all/sample/mod.rs"]
mod sample;

use std::{fs, path::PathBuf};

fn main() {
    let folder = PathBuf::from(std::env::args().nth(1).expect("name a folder to write to"));
    fs::create_dir_all(folder.join("assets")).unwrap();
    fs::write(folder.join("assets/app.css"), pages::APP_CSS).unwrap();
    fs::write(folder.join("assets/app.js"), pages::APP_JS).unwrap();
    for (name, markup) in sample::every_page() {
        for theme in ["light", "dark"] {
            // A page opened from a file has no server, so URLs are made relative and the theme is set.
            let html = markup
                .0
                .replace("\"/assets/", "\"assets/")
                .replace("<html lang=\"en\">", &format!("<html lang=\"en\" data-theme=\"{theme}\">"));
            fs::write(folder.join(format!("{name}-{theme}.html")), html).unwrap();
        }
    }
    println!("{}", folder.display());
}
