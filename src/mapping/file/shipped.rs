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
    use super::super::keys::{TOP, names};
    use super::*;
    use crate::mapping::vocabulary;

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

    /// The tables in the order of the specification, one blank line between two, no line too long.
    #[test]
    fn every_file_is_written_in_one_way() {
        let order = names(TOP);
        for (path, text) in SHIPPED {
            assert!(text.starts_with("# "), "{path} does not say what it is for");
            assert!(text.ends_with('\n') && !text.ends_with("\n\n"), "{path}: its end");
            assert!(!text.contains("\n\n\n") && !text.contains('\t'), "{path}: its gaps");
            for (number, line) in (1..).zip(text.lines()) {
                assert_eq!(line, line.trim_end(), "{path}:{number}");
                assert!(line.chars().count() <= 120, "{path}:{number} is too long");
                let is_heading = line.starts_with('[');
                let blank = number == 1 || text.lines().nth(number - 2) == Some("");
                assert!(!is_heading || blank, "{path}:{number}: a blank line before a table");
            }
            let headings = text.lines().filter_map(|line| line.strip_prefix('['));
            let tables = headings.map(|line| line.split(['.', ']']).next().unwrap_or_default());
            let places: Vec<_> =
                tables.map(|table| order.iter().position(|key| *key == table)).collect();
            assert!(places.is_sorted(), "{path}: its tables are out of order");
        }
    }

    /// A word of a schedule may differ from the trade's, but not say the contrary of it.
    #[test]
    fn no_word_means_another_thing_than_in_the_trade() {
        for file in shipped().unwrap_or_else(|errors| panic!("{}", errors[0])) {
            let of_columns = file.columns.iter().flat_map(|line| &line.says.readings);
            let of_columns = of_columns.map(|reading| (reading.field, &reading.own_words));
            let of_fields = file.words.iter().map(|words| (words.field, &words.lines));
            for (field, lines) in of_columns.chain(of_fields) {
                for line in lines {
                    let trade = vocabulary::place_of(field, &line.word);
                    let here = vocabulary::place_of(field, &line.meaning);
                    let path = &file.source.path;
                    assert!(
                        trade.is_none() || trade == here,
                        "{path}: {}: {}",
                        field.name(),
                        line.word
                    );
                }
            }
        }
    }
}
