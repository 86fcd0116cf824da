//! The mapping files of the folder `mappings/`, built into the program.

use super::MappingFile;
use crate::mapping::error::MappingError;

macro_rules! shipped {
    ($($name:literal),* $(,)?) => {
        /// The built-in files: their paths and texts, by name.
        const SHIPPED: &[(&str, &str)] = &[$((
            concat!("mappings/", $name),
            include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/mappings/", $name)),
        ),)*];
    };
}

shipped![
    "bilingual-device-list.toml",
    "electrical-device-schedule.toml",
    "harbrisk-works.toml",
    "lighting-controls.toml",
    "ondravell-clinic-power.toml",
    "quennifold-house.toml",
];

/// The mapping files that are built in, in the order of their names.
pub fn shipped() -> Result<Vec<MappingFile>, Vec<MappingError>> {
    let mut files = Vec::new();
    let mut errors = Vec::new();
    for (path, text) in SHIPPED {
        match MappingFile::parse(path, text) {
            Ok(file) => files.push(file),
            Err(more) => errors.extend(more),
        }
    }
    if errors.is_empty() { Ok(files) } else { Err(errors) }
}

#[cfg(test)]
#[expect(clippy::disallowed_methods, reason = "the test compares the list with the folder")]
mod tests {
    use super::*;

    #[test]
    fn every_file_of_the_folder_is_built_in_and_sound() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/mappings");
        let mut paths: Vec<_> = std::fs::read_dir(folder)
            .unwrap()
            .map(|entry| entry.unwrap().path())
            .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
            .map(|path| format!("mappings/{}", path.file_name().unwrap().display()))
            .collect();
        paths.sort();
        assert_eq!(SHIPPED.iter().map(|file| file.0).collect::<Vec<_>>(), paths);
        for file in shipped().unwrap_or_else(|errors| panic!("{}", errors[0])) {
            let path = &file.source.path;
            assert!(!file.recognise.headers.is_empty(), "{path} would take any sheet");
        }
    }
}
