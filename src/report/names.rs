//! Names of files and sheets that are made from texts of a schedule: safe wherever they are opened, and
//! each once.

use std::collections::HashSet;

/// Units of UTF-16 that the name of a sheet holds.
const SHEET_LIMIT: usize = 31;
/// Characters of a name of a file: with an ending of the usual length in four bytes each, it fits.
const FILE_LIMIT: usize = 50;
/// Characters that no sheet may have in its name.
const NOT_IN_SHEETS: [char; 7] = ['[', ']', ':', '*', '?', '/', '\\'];

/// Names that were given, so that none is given twice: case makes no difference, as on most systems.
#[derive(Default)]
pub struct Given(HashSet<String>);

impl Given {
    /// The name of a sheet: `lead`, then the text in capitals.
    pub fn sheet(&mut self, lead: &str, text: &str) -> String {
        let safe: String = text.to_uppercase().chars().map(in_sheet).collect();
        let whole = format!("{lead} {}", safe.trim());
        self.unique(|more| {
            let mut name = cut(&whole, SHEET_LIMIT - more.len()).trim_end().to_owned();
            while name.ends_with('\'') {
                name.pop();
            }
            name + more
        })
    }

    /// The name of a file: the text, then `ending`. Letters and digits of any script stay; whatever
    /// parts folders, hides a file or means something to a system becomes a hyphen. With an ending
    /// that begins with a hyphen it is none of the reserved names of devices.
    pub fn file(&mut self, text: &str, ending: &str) -> String {
        let mut safe = String::new();
        for one in text.chars() {
            if one.is_alphanumeric() {
                safe.push(one);
            } else if !safe.is_empty() && !safe.ends_with('-') {
                safe.push('-');
            }
        }
        let safe: String = safe.chars().take(FILE_LIMIT).collect();
        let safe = safe.trim_end_matches('-');
        let safe = if safe.is_empty() { "unnamed" } else { safe };
        self.unique(|more| {
            let more = more.trim_matches([' ', '(', ')']);
            let hyphen = if more.is_empty() { "" } else { "-" };
            format!("{safe}{hyphen}{more}{ending}")
        })
    }

    /// The first of the names that was not given before: without more, then with ` (2)` and so on.
    fn unique(&mut self, name: impl Fn(&str) -> String) -> String {
        let more = (1..).map(|number: u32| match number {
            1 => String::new(),
            _ => format!(" ({number})"),
        });
        let mut names = more.map(|more| name(&more));
        let free = names.find(|name| self.0.insert(name.to_lowercase()));
        free.unwrap_or_default()
    }
}

fn in_sheet(one: char) -> char {
    match one {
        one if NOT_IN_SHEETS.contains(&one) => '-',
        one if one.is_control() || one == '\u{fffe}' || one == '\u{ffff}' => ' ',
        one => one,
    }
}

/// The name of a further part of a sheet.
pub fn sheet_part(name: &str, part: u32) -> String {
    let number = format!(" {part}");
    cut(name, SHEET_LIMIT - number.len()).trim_end().to_owned() + &number
}

/// The start of a text that fits into so many units of UTF-16.
fn cut(text: &str, limit: usize) -> &str {
    let mut used = 0;
    let end = text.char_indices().find(|(_, one)| {
        used += one.len_utf16();
        used > limit
    });
    end.map_or(text, |(end, _)| &text[..end])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_of_sheets_have_no_forbidden_character_and_their_length() {
        let mut given = Given::default();
        assert_eq!(given.sheet("Corrections", "Power"), "Corrections POWER");
        assert_eq!(given.sheet("Corrections", "power"), "Corrections POWER (2)");
        assert_eq!(given.sheet("Corrections", "A/V [low: \\*?]"), "Corrections A-V -LOW- ----");
        assert_eq!(given.sheet("Corrections", "Joiners'"), "Corrections JOINERS");
        assert_eq!(given.sheet("Corrections", "a\tb"), "Corrections A B");
        let long = "Medical equipment and its gases";
        assert_eq!(given.sheet("Corrections", long), "Corrections MEDICAL EQUIPMENT A");
        assert_eq!(
            given.sheet("Corrections", &format!("{long} 2")),
            "Corrections MEDICAL EQUIPME (2)"
        );
        assert_eq!(sheet_part("Violations", 2), "Violations 2");
        let full = "Corrections MEDICAL EQUIPMENT A";
        assert_eq!(sheet_part(full, 12), "Corrections MEDICAL EQUIPMEN 12");
        let wide = given.sheet("Corrections", &"\u{1F50C}".repeat(40));
        assert!(wide.encode_utf16().count() <= 31, "{wide}");
    }

    #[test]
    fn names_of_files_stay_in_their_folder_and_are_each_once() {
        let mut given = Given::default();
        let mut name = |text: &str| given.file(text, "-corrections.xlsx");
        assert_eq!(name("Power"), "Power-corrections.xlsx");
        assert_eq!(name("POWER"), "POWER-2-corrections.xlsx");
        assert_eq!(name("../etc/passwd"), "etc-passwd-corrections.xlsx");
        assert_eq!(name("..\\..\\C:Power "), "C-Power-corrections.xlsx");
        assert_eq!(name("Électricité & fils"), "Électricité-fils-corrections.xlsx");
        assert_eq!(name("CON"), "CON-corrections.xlsx");
        assert_eq!(name(" \u{0}"), "unnamed-corrections.xlsx");
        assert_eq!(name("…"), "unnamed-2-corrections.xlsx");
        let long = name(&"\u{20BB7}".repeat(500));
        assert!(long.len() <= 255, "{}", long.len());
    }
}
