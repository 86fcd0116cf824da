//! Trade sizes of metal boxes, as schedules write them, and the volumes that Table 314.16(A) gives them.
//!
//! Source of the volumes: California Electrical Code 2022 and NEC 2023 as read in a public data copy,
//! cross-read in a code forum; every count of conductors in the table follows from them.

/// A kind of box in the table.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum SizeKind {
    /// Round or octagonal.
    Octagon,
    /// Square.
    Square,
    /// Device box.
    Device,
    /// Masonry box; its volume is one of each gang.
    Masonry,
    /// Cast box, type FS; its volume is one of each gang.
    Fs,
    /// Cast box, type FD; its volume is one of each gang.
    Fd,
}

impl SizeKind {
    /// Whether the table gives the volume of each gang.
    pub const fn per_gang(self) -> bool {
        matches!(self, Self::Masonry | Self::Fs | Self::Fd)
    }
}

/// A row of the table.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct TradeSize {
    /// The kind of box.
    pub kind: SizeKind,
    /// Its dimensions in sixteenths of an inch; none for the cast types.
    pub sixteenths: &'static [u16],
    /// Its metric trade size in millimetres; none for the cast types.
    pub millimetres: &'static [u16],
    /// Whether it is the row of a cast box of several gangs.
    pub multiple: bool,
    /// Volume in tenths of a cubic inch.
    pub tenths_in3: u16,
    /// Volume in whole cubic centimetres, as printed.
    pub cm3: u16,
}

const fn row(
    kind: SizeKind,
    sixteenths: &'static [u16],
    millimetres: &'static [u16],
    tenths_in3: u16,
    cm3: u16,
) -> TradeSize {
    TradeSize { kind, sixteenths, millimetres, multiple: false, tenths_in3, cm3 }
}

const fn cast(kind: SizeKind, multiple: bool, tenths_in3: u16, cm3: u16) -> TradeSize {
    TradeSize { kind, sixteenths: &[], millimetres: &[], multiple, tenths_in3, cm3 }
}

/// Table 314.16(A).
pub const TRADE_SIZES: [TradeSize; 24] = [
    row(SizeKind::Octagon, &[64, 20], &[100, 32], 125, 205),
    row(SizeKind::Octagon, &[64, 24], &[100, 38], 155, 254),
    row(SizeKind::Octagon, &[64, 34], &[100, 54], 215, 353),
    row(SizeKind::Square, &[64, 20], &[100, 32], 180, 295),
    row(SizeKind::Square, &[64, 24], &[100, 38], 210, 344),
    row(SizeKind::Square, &[64, 34], &[100, 54], 303, 497),
    row(SizeKind::Square, &[75, 20], &[120, 32], 255, 418),
    row(SizeKind::Square, &[75, 24], &[120, 38], 295, 484),
    row(SizeKind::Square, &[75, 34], &[120, 54], 420, 689),
    row(SizeKind::Device, &[48, 32, 24], &[75, 50, 38], 75, 123),
    row(SizeKind::Device, &[48, 32, 32], &[75, 50, 50], 100, 164),
    row(SizeKind::Device, &[48, 32, 36], &[75, 50, 57], 105, 172),
    row(SizeKind::Device, &[48, 32, 40], &[75, 50, 65], 125, 205),
    row(SizeKind::Device, &[48, 32, 44], &[75, 50, 70], 140, 230),
    row(SizeKind::Device, &[48, 32, 56], &[75, 50, 90], 180, 295),
    row(SizeKind::Device, &[64, 34, 24], &[100, 54, 38], 103, 169),
    row(SizeKind::Device, &[64, 34, 30], &[100, 54, 48], 130, 213),
    row(SizeKind::Device, &[64, 34, 34], &[100, 54, 54], 145, 238),
    row(SizeKind::Masonry, &[60, 32, 40], &[95, 50, 65], 140, 230),
    row(SizeKind::Masonry, &[60, 32, 56], &[95, 50, 90], 210, 344),
    cast(SizeKind::Fs, false, 135, 221),
    cast(SizeKind::Fd, false, 180, 295),
    cast(SizeKind::Fs, true, 180, 295),
    cast(SizeKind::Fd, true, 240, 395),
];

/// A trade size as a schedule writes it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct WrittenSize {
    /// The kind, when the text says one.
    pub kind: Option<SizeKind>,
    /// Whether a cast box is said to be single or multiple.
    pub multiple: Option<bool>,
    /// Dimensions, in the unit that the text uses.
    dimensions: Vec<u16>,
    metric: bool,
}

impl WrittenSize {
    /// Reads a trade size: `4" sq x 2-1/8`, `4 11/16 x 1 1/2 square`, `1900 box x 2-1/8`,
    /// `3x2x2 3/4 device`, `100 x 38 mm octagon`, `FS`. Anything that cannot be read has no dimensions,
    /// and no row of the table.
    pub fn read(text: &str) -> Self {
        let text = spelled_out(text);
        let metric = words(&text).any(|word| word == "mm");
        let mut kind = words(&text).find_map(kind_of);
        let mut pieces: Vec<String> = text.split(['x', '×']).map(numbers_only).collect();
        if pieces.first().is_some_and(|piece| piece == "1900") {
            "4".clone_into(&mut pieces[0]);
            kind = Some(SizeKind::Square);
        }
        let scale = if metric { 1 } else { 16 };
        let read: Option<Vec<u16>> = pieces
            .iter()
            .filter(|piece| !piece.is_empty())
            .map(|piece| in_parts(piece, scale))
            .collect();
        let mut dimensions = read.unwrap_or_default();
        if dimensions.len() == 3 && dimensions[0] == dimensions[1] {
            dimensions.remove(1);
            kind = kind.or(Some(SizeKind::Square));
        }
        let multiple = words(&text).find_map(|word| match word {
            "single" => Some(false),
            "multiple" | "multi" => Some(true),
            _ => None,
        });
        Self { kind, multiple, dimensions, metric }
    }

    /// The row of the table for this size, of its own kind or else of the box's; `gangs` tells single
    /// from multiple cast boxes. None without a kind, and for a size that is not in the table.
    pub fn row(&self, of_box: Option<SizeKind>, gangs: u16) -> Option<&'static TradeSize> {
        let kind = self.kind.or(of_box)?;
        let of_kind = |row: &&TradeSize| row.kind == kind;
        if matches!(kind, SizeKind::Fs | SizeKind::Fd) {
            let named = self.kind.is_some() || self.dimensions.is_empty();
            let multiple = self.multiple.unwrap_or(gangs > 1);
            let rows = TRADE_SIZES.iter().filter(of_kind);
            return rows.filter(|_| named).find(|row| row.multiple == multiple);
        }
        TRADE_SIZES.iter().filter(of_kind).find(|row| {
            let printed = if self.metric { row.millimetres } else { row.sixteenths };
            printed == self.dimensions
        })
    }
}

/// Fraction characters, and fractions of raised and lowered digits, as `-1/8`; marks of inches dropped,
/// in lower case.
fn spelled_out(text: &str) -> String {
    const FRACTIONS: [(char, &str); 7] = [
        ('¼', "-1/4"),
        ('½', "-1/2"),
        ('¾', "-3/4"),
        ('⅛', "-1/8"),
        ('⅜', "-3/8"),
        ('⅝', "-5/8"),
        ('⅞', "-7/8"),
    ];
    let mut spelled = String::with_capacity(text.len());
    let mut before = ' ';
    for character in text.to_lowercase().chars() {
        if before.is_ascii_digit() && RAISED.contains(&character) {
            spelled.push('-');
        }
        before = character;
        match FRACTIONS.iter().find(|(known, _)| *known == character) {
            Some((_, fraction)) => spelled.push_str(fraction),
            None if matches!(character, '"' | '”' | '″' | '\'' | ',' | ';' | '(' | ')') => {
                spelled.push(' ');
            }
            None if character == '⁄' => spelled.push('/'),
            None if matches!(character, '‐' | '‑' | '–') => spelled.push('-'),
            None => spelled.push(plain(character)),
        }
    }
    spelled.replace(" by ", " x ").replace("- ", "-")
}

const RAISED: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
const LOWERED: [char; 10] = ['₀', '₁', '₂', '₃', '₄', '₅', '₆', '₇', '₈', '₉'];

/// The digit of a raised or lowered one; any other character as it is.
fn plain(character: char) -> char {
    let digits = RAISED.into_iter().zip('0'..='9').chain(LOWERED.into_iter().zip('0'..='9'));
    digits
        .into_iter()
        .find_map(|(one, digit)| (one == character).then_some(digit))
        .unwrap_or(character)
}

fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|character: char| !character.is_ascii_alphabetic()).filter(|word| !word.is_empty())
}

fn kind_of(word: &str) -> Option<SizeKind> {
    Some(match word {
        "square" | "sq" => SizeKind::Square,
        "octagon" | "octagonal" | "oct" | "round" | "rd" => SizeKind::Octagon,
        "device" | "switch" | "handy" | "utility" => SizeKind::Device,
        "masonry" => SizeKind::Masonry,
        "fs" => SizeKind::Fs,
        "fd" => SizeKind::Fd,
        _ => return None,
    })
}

/// The number of a piece, without the words round it.
fn numbers_only(piece: &str) -> String {
    let kept: String = piece
        .chars()
        .map(|character| if character.is_ascii_alphabetic() { ' ' } else { character })
        .collect();
    kept.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A number in so many parts of the unit: `4`, `2-1/8`, `2 1/8`, `11/16`, `1.5`.
fn in_parts(text: &str, scale: u32) -> Option<u16> {
    let text = text.trim_matches(['-', ' ', '.']);
    if let Some((whole, fraction)) = text.rsplit_once(['-', ' ']) {
        let whole = whole.trim_matches(['-', ' ']);
        return whole_parts(whole, scale)?.checked_add(fraction_parts(fraction, scale)?);
    }
    if text.contains('/') { fraction_parts(text, scale) } else { whole_parts(text, scale) }
}

fn fraction_parts(text: &str, scale: u32) -> Option<u16> {
    let (over, under) = text.split_once('/')?;
    let (over, under): (u32, u32) = (over.trim().parse().ok()?, under.trim().parse().ok()?);
    let parts = over.checked_mul(scale)?;
    (under != 0 && parts % under == 0).then(|| u16::try_from(parts / under).ok())?
}

/// A whole or decimal number in parts of the unit; a decimal must be a whole number of parts, to the
/// two decimals in which trade sizes are written.
fn whole_parts(text: &str, scale: u32) -> Option<u16> {
    let (whole, decimals) = text.split_once('.').unwrap_or((text, ""));
    if decimals.len() > 4 || !decimals.bytes().all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let whole: u32 = if whole.is_empty() { 0 } else { whole.parse().ok()? };
    let tenth_thousands: u32 = format!("{decimals:0<4}").parse().ok()?;
    let parts = tenth_thousands.checked_mul(scale)?;
    let exact = parts % 10_000 == 0;
    exact.then(|| u16::try_from(whole.checked_mul(scale)? + parts / 10_000).ok())?
}

#[cfg(test)]
mod tests {
    use super::*;

    fn volume(text: &str, of_box: Option<SizeKind>) -> Option<u16> {
        WrittenSize::read(text).row(of_box, 1).map(|row| row.tenths_in3)
    }

    /// Spellings: common practice, no published source; volumes: Table 314.16(A).
    #[test]
    fn sizes_are_read_as_schedules_write_them() {
        for (text, tenths) in [
            ("4\" sq x 2-1/8", 303),
            ("4 11/16 x 1 1/2 square", 295),
            ("4-11/16\" x 2⅛\" sq.", 420),
            ("4¹¹⁄₁₆ × 1½ square", 295),
            ("1900 box x 1-1/2", 210),
            ("3x2x2 3/4 device", 140),
            ("4 x 1-1/2 octagon", 155),
            ("4 x 4 x 1.5", 210),
            ("100 x 38 mm square", 210),
            ("3-3/4 x 2 x 3-1/2 masonry", 210),
            ("FS", 135),
            ("FD multiple", 240),
        ] {
            assert_eq!(volume(text, None), Some(tenths), "{text}");
        }
        assert_eq!(volume("3 x 2 x 3½", Some(SizeKind::Device)), Some(180));
        for text in
            ["", "3 x 2 x 3½", "4 x 1-1/2", "5 x 2 square", "1900 box", "large", "4 x 1/0 square"]
        {
            assert_eq!(volume(text, None), None, "{text}");
        }
        assert_eq!(volume("4 x 1-1/2", Some(SizeKind::Octagon)), Some(155));
        assert_eq!(volume("4 x 1-1/2 square", Some(SizeKind::Octagon)), Some(210));
    }
}
