//! The packed file in which XLSX and ODS keep their parts.

use super::{
    budget::{Budget, WorkbookFault},
    xml::{FaultSlot, PartXml},
};
use memchr::memmem;
use std::{
    collections::HashMap,
    io::{self, Cursor, Read},
    rc::Rc,
};
use zip::{ZipArchive, read::ZipFile, result::ZipError};

/// Most parts of a package. Each costs memory before anything of it is read.
const MOST_PARTS: usize = 10_000;
/// How the list of parts begins each of its entries.
const ENTRY_MARK: &[u8] = b"PK\x01\x02";

/// A packed workbook.
pub(super) struct Package<'a> {
    archive: ZipArchive<Cursor<&'a [u8]>>,
    /// Parts by name: lower case, forward slashes, none in front.
    parts: HashMap<String, usize>,
    budget: &'a Budget,
}

impl<'a> Package<'a> {
    pub(super) fn open(bytes: &'a [u8], budget: &'a Budget) -> Result<Self, WorkbookFault> {
        if memmem::find_iter(bytes, ENTRY_MARK).take(MOST_PARTS + 1).count() > MOST_PARTS {
            return Err(WorkbookFault::TooLarge(format!("it has more than {MOST_PARTS} parts")));
        }
        let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(of_zip)?;
        if archive.has_overlapping_entries().map_err(of_zip)? {
            return Err(WorkbookFault::broken("its parts lie over each other"));
        }
        let mut parts = HashMap::new();
        for index in 0..archive.len() {
            let part = archive.by_index_raw(index).map_err(of_zip)?;
            let name = part.name().map_err(of_zip)?.into_owned();
            if parts.insert(plain_name(&name), index).is_some() {
                return Err(WorkbookFault::broken(format!("it has two parts named {name}")));
            }
        }
        Ok(Self { archive, parts, budget })
    }

    /// A part as XML; `None` where there is none of this name.
    pub(super) fn part(&mut self, name: &str) -> Result<Option<PartXml<CountedPart<'_, 'a>>>, WorkbookFault> {
        let Some(&index) = self.parts.get(&plain_name(name)) else { return Ok(None) };
        let file = self.archive.by_index(index).map_err(of_zip)?;
        self.budget.declared(file.size())?;
        let fault = FaultSlot::default();
        let (declared, packed) = (file.size(), file.compressed_size());
        let counted =
            CountedPart { file, budget: self.budget, declared, packed, read: 0, fault: Rc::clone(&fault) };
        Ok(Some(PartXml::new(counted, name, fault)))
    }
}

fn plain_name(name: &str) -> String {
    name.replace('\\', "/").trim_start_matches('/').to_lowercase()
}

fn of_zip(error: ZipError) -> WorkbookFault {
    match error {
        ZipError::InvalidPassword => WorkbookFault::Locked,
        ZipError::UnsupportedArchive(why) if why == ZipError::PASSWORD_REQUIRED => WorkbookFault::Locked,
        error => WorkbookFault::Broken(error.to_string()),
    }
}

/// A part while it is unpacked: what comes out is counted, whatever was declared.
pub(super) struct CountedPart<'p, 'a> {
    file: ZipFile<'p, Cursor<&'a [u8]>>,
    budget: &'a Budget,
    declared: u64,
    packed: u64,
    read: u64,
    fault: FaultSlot,
}

impl Read for CountedPart<'_, '_> {
    fn read(&mut self, buf: &mut [u8]) -> io::Result<usize> {
        let bytes = self.file.read(buf)?;
        self.read += bytes as u64;
        let more = self.read > self.declared;
        let checked = if more {
            Err(WorkbookFault::broken("a part of it holds more than it declares"))
        } else {
            self.budget.unpack(bytes, self.read, self.packed)
        };
        match checked {
            Ok(()) => Ok(bytes),
            Err(fault) => {
                *self.fault.borrow_mut() = Some(fault);
                Err(io::ErrorKind::InvalidData.into())
            }
        }
    }
}
