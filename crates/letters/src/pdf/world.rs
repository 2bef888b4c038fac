//! All that the typesetting sees: the template, the text of the documents, the pictures and the typefaces. There is no
//! file, no network and no clock.

use super::{pictures, typefaces};
use std::{collections::BTreeMap, sync::LazyLock};
use typst::{
    Feature, Features, Library, LibraryExt, World,
    diag::{FileError, FileResult},
    foundations::{Bytes, Datetime, Duration},
    syntax::{FileId, Source, VirtualRoot},
    text::{Font, FontBook},
    utils::LazyHash,
};

const TEMPLATE: &str = include_str!("sheet.typ");

/// What the template reads its text from.
const TEXT: &str = "documents.json";

static LIBRARY: LazyLock<LazyHash<Library>> = LazyLock::new(|| {
    // Cells that name their row are told to a screen reader by this.
    let features: Features = [Feature::A11yExtras].into_iter().collect();
    LazyHash::new(Library::builder().with_features(features).build())
});

static MAIN: LazyLock<Source> = LazyLock::new(|| Source::detached(TEMPLATE));

static PICTURES: LazyLock<BTreeMap<String, Bytes>> = LazyLock::new(|| {
    let files = pictures::files().into_iter();
    files.map(|(name, text)| (name.to_owned(), Bytes::from_string(text))).collect()
});

/// The text of one PDF, its own pictures by the names of their files, and what is the same for all.
pub(super) struct SheetWorld {
    text: Bytes,
    pictures: BTreeMap<String, Bytes>,
}

impl SheetWorld {
    /// With the text as JSON, and the pictures that it names.
    pub(super) fn of(text: String, pictures: BTreeMap<String, Bytes>) -> Self {
        Self { text: Bytes::from_string(text), pictures }
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
        MAIN.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == MAIN.id() { Ok(MAIN.clone()) } else { Err(missing(id)) }
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
