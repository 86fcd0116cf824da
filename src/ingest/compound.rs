//! Just enough of the compound file format to look at an `.xls` before it is opened.
//!
//! Source of the layout: [MS-CFB], the published specification of the format. Damage is no error
//! here: a stream that cannot be followed is as good as absent, and the reader of the workbook says
//! what is wrong with it.

use std::collections::HashSet;

/// The bytes with which a compound file begins.
pub(super) const MAGIC: [u8; 8] = [0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1];

/// Sector numbers from here on mean "no sector".
const NO_SECTOR: u32 = 0xFFFF_FFFA;
const ENTRY: usize = 128;
const SMALL_SECTOR: usize = 64;
const SMALL_STREAM: usize = 4096;

struct Entry {
    name: String,
    start: u32,
    size: usize,
}

/// A compound file held in memory.
pub(super) struct Compound<'a> {
    bytes: &'a [u8],
    sector: usize,
    table: Vec<u32>,
    entries: Vec<Entry>,
    small_table: Vec<u32>,
    small: Vec<u8>,
    /// Whether the list of allocation tables names more of them than there are sectors.
    repeats: bool,
}

impl<'a> Compound<'a> {
    /// Reads the tables and the directory; none when this is no compound file.
    pub(super) fn open(bytes: &'a [u8]) -> Option<Self> {
        if !bytes.starts_with(&MAGIC) {
            return None;
        }
        let sector = match u16_at(bytes, 30)? {
            9 => 512,
            12 => 4096,
            _ => return None,
        };
        let mut file = Self {
            bytes,
            sector,
            table: Vec::new(),
            entries: Vec::new(),
            small_table: Vec::new(),
            small: Vec::new(),
            repeats: false,
        };
        (file.table, file.repeats) = file.allocation_table()?;
        let directory = file.chain(u32_at(bytes, 48)?);
        file.entries = directory.chunks_exact(ENTRY).filter_map(entry).collect();
        file.small_table = words(&file.chain(u32_at(bytes, 60)?));
        // The first entry is the root, whose stream holds all small streams.
        file.small = file.entries.first().map(|root| file.chain(root.start)).unwrap_or_default();
        Some(file)
    }

    /// Whether there is a stream or storage of this name, whatever its case.
    pub(super) fn has(&self, name: &str) -> bool {
        self.entries.iter().any(|entry| entry.name.eq_ignore_ascii_case(name))
    }

    /// The bytes of the first stream of this name.
    pub(super) fn stream(&self, name: &str) -> Option<Vec<u8>> {
        let entry = self.entries.iter().find(|entry| entry.name.eq_ignore_ascii_case(name))?;
        let mut bytes = if entry.size < SMALL_STREAM {
            let sectors = self.small.chunks(SMALL_SECTOR).collect::<Vec<_>>();
            follow(entry.start, &self.small_table, sectors.len(), |at| sectors.get(at).copied())
        } else {
            self.chain(entry.start)
        };
        bytes.truncate(entry.size);
        Some(bytes)
    }

    /// Whether a chain that the reader of workbooks follows comes back to itself: it would follow it until
    /// all the memory is taken. Found by damaging files at random.
    pub(super) fn is_circular(&self) -> bool {
        let entry =
            |name: &str| self.entries.iter().find(|entry| entry.name.eq_ignore_ascii_case(name));
        let streams = ["Workbook", "Book"].into_iter().filter_map(entry);
        let (small, large): (Vec<_>, Vec<_>) = streams.partition(|entry| entry.size < SMALL_STREAM);
        let starts = [u32_at(self.bytes, 48), u32_at(self.bytes, 60)].into_iter().flatten();
        let starts = starts.chain(self.entries.first().map(|root| root.start));
        let mut starts = starts.chain(large.into_iter().map(|entry| entry.start));
        let mut small = small.into_iter().map(|entry| entry.start);
        let sectors = self.bytes.len() / self.sector;
        let small_sectors = self.small.len().div_ceil(SMALL_SECTOR);
        self.repeats
            || starts.any(|start| !ends(start, &self.table, sectors))
            || small.any(|start| !ends(start, &self.small_table, small_sectors))
    }

    /// The sector allocation table, whose own sectors are listed in the header and behind it; and whether
    /// the list is longer than it can be.
    fn allocation_table(&self) -> Option<(Vec<u32>, bool)> {
        let mut listed = words(self.bytes.get(76..512)?);
        let mut next = u32_at(self.bytes, 68)?;
        let mut seen = HashSet::new();
        let mut circular = false;
        while next < NO_SECTOR {
            circular |= !seen.insert(next);
            let Some(sector) = self.sector(next as usize).filter(|_| !circular) else { break };
            listed.extend(words(sector));
            next = listed.pop()?;
        }
        listed.retain(|number| *number < NO_SECTOR);
        let most = self.bytes.len() / self.sector + 1;
        let repeats = circular || listed.len() > most;
        let sectors = listed.into_iter().take(most).filter_map(|at| self.sector(at as usize));
        Some((sectors.flat_map(words).collect(), repeats))
    }

    fn sector(&self, number: usize) -> Option<&'a [u8]> {
        let start = number.checked_add(1)?.checked_mul(self.sector)?;
        let end = start.checked_add(self.sector)?.min(self.bytes.len());
        self.bytes.get(start..end)
    }

    fn chain(&self, start: u32) -> Vec<u8> {
        follow(start, &self.table, self.bytes.len() / self.sector, |at| self.sector(at))
    }
}

/// Joins the sectors of a chain. One of more sectors than there are comes back to itself, and ends.
fn follow<'a>(
    start: u32,
    table: &[u32],
    sectors: usize,
    sector: impl Fn(usize) -> Option<&'a [u8]>,
) -> Vec<u8> {
    let (mut bytes, mut next, mut steps) = (Vec::new(), start, 0);
    while next < NO_SECTOR && steps < sectors {
        let Some(part) = sector(next as usize) else { break };
        bytes.extend_from_slice(part);
        next = table.get(next as usize).copied().unwrap_or(u32::MAX);
        steps += 1;
    }
    bytes
}

/// Whether a chain has no more sectors than there are.
fn ends(start: u32, table: &[u32], sectors: usize) -> bool {
    let (mut next, mut steps) = (start, 0);
    while next < NO_SECTOR && steps <= sectors {
        next = table.get(next as usize).copied().unwrap_or(u32::MAX);
        steps += 1;
    }
    steps <= sectors
}

fn entry(bytes: &[u8]) -> Option<Entry> {
    let length = usize::from(u16_at(bytes, 64)?).min(64);
    let units: Vec<u16> = bytes[..length]
        .chunks_exact(2)
        .map(|pair| u16::from_le_bytes([pair[0], pair[1]]))
        .take_while(|unit| *unit != 0)
        .collect();
    Some(Entry {
        name: String::from_utf16_lossy(&units),
        start: u32_at(bytes, 116)?,
        size: usize::try_from(u32_at(bytes, 120)?).ok()?,
    })
}

fn words(bytes: &[u8]) -> Vec<u32> {
    bytes.chunks_exact(4).filter_map(|four| u32_at(four, 0)).collect()
}

/// A little-endian 16-bit number at a place.
pub(super) fn u16_at(bytes: &[u8], at: usize) -> Option<u16> {
    let pair = bytes.get(at..at.checked_add(2)?)?;
    Some(u16::from_le_bytes(pair.try_into().ok()?))
}

/// A little-endian 32-bit number at a place.
pub(super) fn u32_at(bytes: &[u8], at: usize) -> Option<u32> {
    let four = bytes.get(at..at.checked_add(4)?)?;
    Some(u32::from_le_bytes(four.try_into().ok()?))
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    /// A compound file with one stream of at least 4096 bytes: the allocation table in its first
    /// sector, the directory in the second, the stream behind them.
    pub(in crate::ingest) fn compound_file(name: &str, stream: &[u8]) -> Vec<u8> {
        let sectors = u32::try_from(stream.len().max(SMALL_STREAM).div_ceil(512)).unwrap();
        let mut header = vec![0xFF; 512];
        header[..8].copy_from_slice(&MAGIC);
        header[8..76].fill(0);
        header[26..28].copy_from_slice(&3_u16.to_le_bytes());
        header[30..32].copy_from_slice(&9_u16.to_le_bytes());
        for (at, word) in [(44, 1), (48, 1_u32), (60, 0xFFFF_FFFE), (68, 0xFFFF_FFFE), (76, 0)] {
            header[at..at + 4].copy_from_slice(&word.to_le_bytes());
        }
        let chain = (3..sectors + 2).chain([0xFFFF_FFFE]);
        let table = [0xFFFF_FFFD, 0xFFFF_FFFE].into_iter().chain(chain);
        let mut table: Vec<u8> = table.flat_map(u32::to_le_bytes).collect();
        table.resize(512, 0xFF);
        let mut directory = entry_of("Root Entry", 5, 0xFFFF_FFFE, 0);
        directory.extend(entry_of(name, 2, 2, sectors * 512));
        directory.resize(512, 0);
        let mut content = stream.to_vec();
        content.resize(sectors as usize * 512, 0);
        [header, table, directory, content].concat()
    }

    fn entry_of(name: &str, kind: u8, start: u32, size: u32) -> Vec<u8> {
        let mut entry: Vec<u8> = name.encode_utf16().flat_map(u16::to_le_bytes).collect();
        let length = u16::try_from(entry.len() + 2).unwrap();
        entry.resize(ENTRY, 0);
        entry[64..66].copy_from_slice(&length.to_le_bytes());
        entry[66] = kind;
        entry[116..120].copy_from_slice(&start.to_le_bytes());
        entry[120..124].copy_from_slice(&size.to_le_bytes());
        entry
    }

    #[test]
    fn a_stream_is_found_by_its_name_and_followed() {
        let stream: Vec<u8> = (0..5000_u32).flat_map(u32::to_le_bytes).collect();
        let bytes = compound_file("Workbook", &stream);
        let compound = Compound::open(&bytes).unwrap();
        assert!(compound.has("WORKBOOK") && !compound.has("Book"));
        assert_eq!(compound.stream("workbook").unwrap()[..stream.len()], stream);
    }

    #[test]
    fn a_chain_that_comes_back_to_itself_ends() {
        let mut bytes = compound_file("Workbook", &[7; 5000]);
        bytes[512 + 3 * 4..512 + 4 * 4].copy_from_slice(&2_u32.to_le_bytes());
        let stream = Compound::open(&bytes).unwrap().stream("Workbook").unwrap();
        assert!(stream.len() <= bytes.len());
        assert!(Compound::open(&bytes).unwrap().is_circular());
    }

    #[test]
    fn a_directory_and_a_list_of_tables_that_come_back_to_themselves_are_told() {
        let sound = compound_file("Workbook", &[7; 5000]);
        assert!(!Compound::open(&sound).unwrap().is_circular());
        let mut directory = sound.clone();
        directory[512 + 4..512 + 8].copy_from_slice(&1_u32.to_le_bytes());
        assert!(Compound::open(&directory).unwrap().is_circular());
        let mut tables = sound;
        tables[68..72].copy_from_slice(&2_u32.to_le_bytes());
        tables[512 + 3 * 512 - 4..512 + 3 * 512].copy_from_slice(&2_u32.to_le_bytes());
        assert!(Compound::open(&tables).unwrap().is_circular());
    }
}
