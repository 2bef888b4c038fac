//! All that the typesetting sees: the template, the text of the documents, the pictures and the typefaces. There is no
//! file, no network and no clock.

use super::{pictures, typefaces};
use std::{
    collections::BTreeMap,
    sync::{LazyLock, OnceLock},
};
use typst::{
    Feature, Features, Library, LibraryExt, World,
    diag::{FileError, FileResult},
    foundations::{Bytes, Datetime, Duration},
    syntax::{FileId, Source, VirtualRoot},
    text::{Font, FontBook},
    utils::LazyHash,
};

/// What both templates have.
const LOOK: &str = include_str!("look.typ");
/// The name by which a template names it.
const LOOK_FILE: &str = "look.typ";
/// The same as it was read first: a name has one id, and each reading would parse it again.
static LOOK_READ: OnceLock<Source> = OnceLock::new();

/// What the template reads its text from.
const TEXT: &str = "documents.json";

static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| {
    // Cells that name their row are told to a screen reader by this.
    let features: Features = [Feature::A11yExtras].into_iter().collect();
    LazyHash::new(Library::builder().with_features(features).build())
});

/// The template of documents for families and of letters.
static SHEET: LazyLock<Source> = LazyLock::new(|| Source::detached(include_str!("sheet.typ")));
/// The template of papers of the clinic.
static PAPER: LazyLock<Source> = LazyLock::new(|| Source::detached(include_str!("paper.typ")));

static PICTURES: LazyLock<BTreeMap<String, Bytes>> = LazyLock::new(|| {
    let files = pictures::files().into_iter();
    files.map(|(name, text)| (name.to_owned(), Bytes::from_string(text))).collect()
});

/// The template and the text of one PDF, its own pictures by the names of their files, and what is the same for all.
pub(super) struct SheetWorld {
    template: &'static Source,
    text: Bytes,
    pictures: BTreeMap<String, Bytes>,
}

impl SheetWorld {
    /// With the text as JSON, and the pictures that it names.
    pub(super) fn of(text: String, pictures: BTreeMap<String, Bytes>) -> Self {
        Self { template: &SHEET, text: Bytes::from_string(text), pictures }
    }

    /// With the text of a paper of the clinic as JSON.
    pub(super) fn of_paper(text: String) -> Self {
        Self { template: &PAPER, text: Bytes::from_string(text), pictures: BTreeMap::new() }
    }
}

fn missing(id: FileId) -> FileError {
    FileError::NotFound(id.get().vpath().get_without_slash().into())
}

impl World for SheetWorld {
    fn library(&self) -> &LazyHash<Library> {
        &LIBRARY
    }

    fn book(&self) -> &LazyHash<FontBook> {
        typefaces::book()
    }

    fn main(&self) -> FileId {
        self.template.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.template.id() {
            return Ok(Source::clone(self.template));
        }
        let path = id.get();
        let is_look =
            matches!(path.root(), VirtualRoot::Project) && path.vpath().get_without_slash() == LOOK_FILE;
        let read = || LOOK_READ.get_or_init(|| Source::new(id, LOOK.to_owned()));
        if is_look { Ok(read().clone()) } else { Err(missing(id)) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        let path = id.get();
        if !matches!(path.root(), VirtualRoot::Project) {
            return Err(FileError::AccessDenied);
        }
        match path.vpath().get_without_slash() {
            TEXT => Ok(self.text.clone()),
            name => {
                let file = PICTURES.get(name).or_else(|| self.pictures.get(name));
                file.cloned().ok_or_else(|| missing(id))
            }
        }
    }

    fn font(&self, place: usize) -> Option<Font> {
        typefaces::font(place)
    }

    /// A document knows no day but the one it is given.
    fn today(&self, _offset: Option<Duration>) -> Option<Datetime> {
        None
    }
}
