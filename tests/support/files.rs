//! Inputs and mapping files that a test makes, and what is read from them.

use std::path::PathBuf;

use rust_xlsxwriter::Workbook;
use yokecheck::ingest::find;
use yokecheck::mapping::{LoadOptions, Loaded, MappingError, load};
use yokecheck::outlet::{Fact, Key, Text};

/// A folder of inputs, and one of mapping files.
pub(crate) struct Files {
    pub(crate) inputs: tempfile::TempDir,
    pub(crate) mappings: tempfile::TempDir,
    pub(crate) named: Vec<PathBuf>,
}

impl Files {
    pub(crate) fn new() -> Self {
        let folder = || tempfile::tempdir().unwrap();
        Self { inputs: folder(), mappings: folder(), named: Vec::new() }
    }

    pub(crate) fn with(self, name: &str, text: &str) -> Self {
        std::fs::write(self.inputs.path().join(name), text).unwrap();
        self
    }

    pub(crate) fn workbook(self, name: &str, make: impl FnOnce(&mut Workbook)) -> Self {
        let mut book = Workbook::new();
        make(&mut book);
        book.save(self.inputs.path().join(name)).unwrap();
        self
    }

    pub(crate) fn mapping(mut self, text: &str) -> Self {
        let name = format!("mapping-{}.toml", self.named.len() + 1);
        let path = self.mappings.path().join(name);
        std::fs::write(&path, text).unwrap();
        self.named.push(path);
        self
    }

    pub(crate) fn try_load(&self) -> Result<Loaded, Vec<MappingError>> {
        let found = find(&[self.inputs.path().to_path_buf()]);
        load(&found, &LoadOptions { mappings: &self.named, progress: &|_| {} })
    }

    pub(crate) fn load(&self) -> Loaded {
        self.try_load().unwrap_or_else(|errors| panic!("{}", errors[0]))
    }
}

/// The texts of a field, row by row; `-` for a blank, `?` for an unreadable one, `.` for an absent one.
pub(crate) fn texts(loaded: &Loaded, key: Key<Text>) -> Vec<String> {
    let shown = |fact| match fact {
        Fact::Known(text) => loaded.texts.get(text).to_owned(),
        Fact::Blank => "-".to_owned(),
        Fact::Unreadable => "?".to_owned(),
        Fact::Absent => ".".to_owned(),
    };
    loaded.outlets.iter().map(|outlet| shown(outlet.get(key))).collect()
}
