//! All that the typesetter may see: one template, one data file, three fonts, and no clock.

use super::data::Document;
use crate::Error;
use std::sync::LazyLock;
use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt};

/// The look of the papers.
const TEMPLATE: &str = include_str!("../../assets/paper.typ");

/// Upright and bold for everything; the last only for characters that the first two lack.
const FONT_FILES: [&[u8]; 3] = [
    include_bytes!("../../assets/fonts/Inter-Regular.otf"),
    include_bytes!("../../assets/fonts/Inter-Bold.otf"),
    include_bytes!("../../assets/fonts/DejaVuSansCondensed.ttf"),
];

/// The bundled fonts: upright, bold, fallback.
pub(super) fn fonts() -> Result<&'static [Font], Error> {
    static FONTS: LazyLock<Vec<Font>> =
        LazyLock::new(|| FONT_FILES.iter().filter_map(|file| Font::new(Bytes::new(*file), 0)).collect());
    if FONTS.len() == FONT_FILES.len() { Ok(&FONTS) } else { Err(Error::Font) }
}

/// One document to typeset.
pub(super) struct World {
    library: LazyHash<Library>,
    book: LazyHash<FontBook>,
    fonts: &'static [Font],
    template: Source,
    data_id: FileId,
    data: Bytes,
}

impl World {
    pub(super) fn new(fonts: &'static [Font], document: &Document) -> Result<Self, Error> {
        Ok(Self {
            library: LazyHash::new(Library::default()),
            book: LazyHash::new(FontBook::from_fonts(fonts)),
            fonts,
            template: Source::new(file("/paper.typ")?, TEMPLATE.to_owned()),
            data_id: file("/data.json")?,
            data: Bytes::new(serde_json::to_vec(document)?),
        })
    }
}

fn file(path: &str) -> Result<FileId, Error> {
    let path = VirtualPath::new(path).map_err(|_| Error::Typeset(format!("{path} is not a path")))?;
    Ok(RootedPath::new(VirtualRoot::Project, path).intern())
}

impl typst::World for World {
    fn library(&self) -> &LazyHash<Library> {
        &self.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        &self.book
    }

    fn main(&self) -> FileId {
        self.template.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.template.id() { Ok(self.template.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if id == self.data_id { Ok(self.data.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.fonts.get(index).cloned()
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        None
    }
}
