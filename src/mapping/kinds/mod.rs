//! Kinds of device: what a text of a schedule names, told by its words.
//!
//! Owns telling a receptacle or a switch from what only shares a word with it: telephone outlets,
//! switchboards, waste receptacles, duplex apartments. The words stand in `words`; to teach the
//! program one, add it there with a line in a test table. It must not read facts: that is the business
//! of `describe`.
//!
//! What is told is a reason as much as an answer, so that a row that is left out can be counted by it.
//! Common practice of the trade in five languages, no published source.

mod words;

use crate::outlet::words::Device;

use words::{Class, phrases_at};

/// What a text says of the kind of device.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Kind {
    /// A device of the model.
    Device(Device),
    /// Something else, named for people: `telephone, data or network outlet`.
    Other(&'static str),
    /// It may be a device or not, for this reason.
    Either(&'static str),
    /// No word that the tables know.
    Unsaid,
}

/// A kind, and the word of the tables that decided it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Told {
    /// The kind.
    pub kind: Kind,
    /// The word as the tables spell it; empty where there is none.
    pub word: &'static str,
    /// Whether the text spells that word otherwise: `Outloot`.
    pub misspelt: bool,
}

const EXCLUDED: &str = "names a device only to say that there is none";
const RECEPTACLE_AND_SWITCH: &str = "names a receptacle and a switch; give each its row";
const TWO_DEVICES: &str = "names several kinds of device; give each its row";
const DEVICE_AND_OTHER: &str = "names a device and something else; give each its row";
const FOR_A_DEVICE: &str = "names a device only as what something is for";
const DOUBTED: &str = "its own question mark doubts it";
const SIGNAL_OR_POWER: &str = "an outlet for power or for a signal; say which";

/// What a text tells.
///
/// ```
/// use yokecheck::mapping::kinds::{Kind, told};
/// use yokecheck::outlet::words::Device;
/// assert_eq!(told("Doppelsteckdose, unterputz").kind, Kind::Device(Device::Receptacle));
/// assert_eq!(told("Telophone Outlet").kind, Kind::Other("telephone, data or network outlet"));
/// assert_eq!(told("Dishwasher").kind, Kind::Unsaid);
/// ```
pub fn told(text: &str) -> Told {
    let told = without_doubt(text);
    match told.kind {
        Kind::Device(_) if text.trim_end().ends_with('?') => {
            Told { kind: Kind::Either(DOUBTED), ..told }
        }
        _ => told,
    }
}

fn without_doubt(text: &str) -> Told {
    let tokens = tokens(text);
    let items = items(&tokens);
    let head = items.iter().position(|item| item.class == Class::Purpose).unwrap_or(items.len());
    let (front, back) = items.split_at(head);
    let is_device = |item: &&Item| matches!(item.class, Class::Strong(_) | Class::Weak(_));
    if front.iter().any(|item| matches!(item.class, Class::Strong(_))) {
        return decide(front);
    }
    if !back.is_empty() && back.iter().any(|item| is_device(&item)) {
        // A word for a device stands only behind "for".
        let mut front = front.iter().filter(is_device);
        if front.next().is_none() {
            let item = back.iter().find(is_device);
            return item.map_or(UNSAID, |item| item.says(Kind::Either(FOR_A_DEVICE)));
        }
    }
    decide(&items)
}

const UNSAID: Told = Told { kind: Kind::Unsaid, word: "", misspelt: false };

/// A word of the tables as it was found.
#[derive(Clone, Copy, Debug)]
struct Item {
    class: Class,
    word: &'static str,
    misspelt: bool,
    /// The first of its tokens in the text, and the one behind its last.
    place: (usize, usize),
}

impl Item {
    const fn says(self, kind: Kind) -> Told {
        Told { kind, word: self.word, misspelt: self.misspelt }
    }
}

fn decide(items: &[Item]) -> Told {
    let device = |item: &Item| match item.class {
        Class::Strong(device) | Class::Weak(device) => Some(device),
        _ => None,
    };
    // "Room no. 5 outlet" excludes nothing: the word has to stand before the device.
    let excluded = |at: usize| {
        let before = at.checked_sub(1).map(|before| &items[before]);
        before.is_some_and(|it| it.class == Class::Negation && it.place.1 == items[at].place.0)
    };
    let places: Vec<usize> = (0..items.len()).filter(|at| device(&items[*at]).is_some()).collect();
    let named: Vec<usize> = places.iter().copied().filter(|at| !excluded(*at)).collect();
    let other = items.iter().find_map(|item| match item.class {
        Class::Qualifier(reason) | Class::Thing(reason) | Class::Part(reason) => {
            Some(item.says(Kind::Other(reason)))
        }
        Class::Doubt(why) => Some(item.says(Kind::Either(why))),
        _ => None,
    });
    let Some(first) = named.first().copied() else {
        let excluded = places.first().map(|at| items[*at].says(Kind::Other(EXCLUDED)));
        return excluded.or(other).unwrap_or(UNSAID);
    };
    if let Some(told) = beside(items, &named) {
        return told;
    }
    let devices: Vec<Device> = named.iter().filter_map(|at| device(&items[*at])).collect();
    // The word that says most decides, not the first.
    let strong = named.iter().find(|at| matches!(items[**at].class, Class::Strong(_)));
    items[*strong.unwrap_or(&first)].says(together(&devices))
}

/// What a word for something else makes of the devices beside it; none where it changes nothing.
fn beside(items: &[Item], named: &[usize]) -> Option<Told> {
    let first = named[0];
    let weak = named.iter().all(|at| matches!(items[*at].class, Class::Weak(_)));
    let joined = |one: usize, other: usize| {
        let (low, high) = (one.min(other), one.max(other));
        items[low..high].iter().any(|item| item.class == Class::Joint)
    };
    for (at, item) in items.iter().enumerate() {
        let told = match item.class {
            Class::Qualifier(reason) if weak && named.len() == 1 => Kind::Other(reason),
            Class::Qualifier(reason) if at < first && !joined(at, first) => Kind::Other(reason),
            Class::Signal if weak => Kind::Either(SIGNAL_OR_POWER),
            Class::Qualifier(_) | Class::Thing(_) if joined(at, first) => {
                Kind::Either(DEVICE_AND_OTHER)
            }
            _ => continue,
        };
        return Some(item.says(told));
    }
    None
}

/// The kind of several words for devices in one text.
fn together(devices: &[Device]) -> Kind {
    use Device::{Combination, Dimmer, Other, PilotLight, Receptacle, Sensor, Switch};
    let has = |device| devices.contains(&device);
    let alone = |allowed: &[Device]| devices.iter().all(|device| allowed.contains(device));
    Kind::Device(match () {
        () if has(Combination) && alone(&[Combination, Receptacle, Switch, PilotLight]) => {
            Combination
        }
        () if has(Receptacle) && alone(&[Receptacle, PilotLight]) => Receptacle,
        () if has(Sensor) && alone(&[Sensor, Switch, Dimmer]) => Sensor,
        () if has(Dimmer) && alone(&[Dimmer, Switch, PilotLight]) => Dimmer,
        () if has(Switch) && alone(&[Switch, PilotLight]) => Switch,
        () if alone(&[PilotLight]) => PilotLight,
        () if alone(&[Other]) => Other,
        () if has(Receptacle) && has(Switch) => return Kind::Either(RECEPTACLE_AND_SWITCH),
        () => return Kind::Either(TWO_DEVICES),
    })
}

/// The words of a text: in lower case, without accents, parted at anything but letters and figures and
/// where a small letter meets a capital one; `+`, `&` and a stroke are words of their own.
pub(super) fn tokens(text: &str) -> Vec<String> {
    let mut tokens: Vec<String> = Vec::new();
    let (mut open, mut small) = (false, false);
    let mut characters = text.chars().peekable();
    while let Some(character) = characters.next() {
        if !character.is_alphanumeric() {
            if matches!(character, '+' | '&' | '/') {
                tokens.push(character.to_string());
            }
            // The apostrophe of "prise d'eau" parts words; a combining accent does not.
            open &= ('\u{300}'..'\u{370}').contains(&character);
            continue;
        }
        let capital = character.is_uppercase();
        let begins_word =
            capital && small && characters.peek().is_some_and(|next| next.is_lowercase());
        if !open || begins_word {
            tokens.push(String::new());
        }
        if let Some(token) = tokens.last_mut() {
            character.to_lowercase().for_each(|letter| plain(letter, token));
        }
        (open, small) = (true, character.is_lowercase());
    }
    tokens
}

/// A letter without its accent.
fn plain(letter: char, token: &mut String) {
    token.push(match letter {
        'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => 'a',
        'è' | 'é' | 'ê' | 'ë' => 'e',
        'ì' | 'í' | 'î' | 'ï' => 'i',
        'ò' | 'ó' | 'ô' | 'õ' | 'ö' => 'o',
        'ù' | 'ú' | 'û' | 'ü' => 'u',
        'ç' => 'c',
        'ñ' => 'n',
        'ß' => return token.push_str("ss"),
        '\u{300}'..'\u{370}' => return,
        other => other,
    });
}

/// The words of the tables in a text: at each place the longest phrase, no word in two of them.
fn items(tokens: &[String]) -> Vec<Item> {
    let mut items = Vec::new();
    let mut at = 0;
    while at < tokens.len() {
        let found = longest(&tokens[at..]).or_else(|| misspelt(&tokens[at]));
        let taken = found.map_or(1, |(_, taken)| taken);
        items.extend(found.map(|(item, taken)| Item { place: (at, at + taken), ..item }));
        at += taken;
    }
    items
}

/// The longest phrase that the tokens begin with, and how many of them it takes.
fn longest(tokens: &[String]) -> Option<(Item, usize)> {
    let found = phrases_at(tokens.first()?).filter(|phrase| {
        phrase.words.len() <= tokens.len()
            && phrase.words.iter().zip(tokens).all(|(word, token)| is(token, word))
    });
    let best = found.max_by_key(|phrase| (phrase.words.len(), phrase.text.len()))?;
    let item = Item { class: best.class, word: best.text, misspelt: false, place: (0, 0) };
    Some((item, best.words.len()))
}

/// Whether a token is a word, in the singular or the plural. A word with a star is the end of
/// compounds: `*steckdose`.
fn is(token: &str, word: &str) -> bool {
    let ends = |rest: &str| matches!(rest, "" | "s" | "es" | "n" | "en" | "e");
    if let Some(end) = word.strip_prefix('*') {
        let place = token.rfind(end).map(|place| place + end.len());
        return place.is_some_and(|place| matches!(&token[place..], "" | "n" | "en"));
    }
    token == word || word.len() > 3 && token.strip_prefix(word).is_some_and(ends)
}

/// The word that a token of some length spells with a slip.
fn misspelt(token: &str) -> Option<(Item, usize)> {
    let letters = token.len();
    let limit = match letters {
        0..=5 => return None,
        6 => 1,
        _ => 2,
    };
    let near = phrases_at(token).filter(|phrase| {
        let [word] = phrase.words.as_slice() else { return false };
        word.len() >= 6
            && !word.starts_with('*')
            && word.as_bytes()[0] == token.as_bytes()[0]
            && word.as_bytes().last() == token.as_bytes().last()
            && strsim::damerau_levenshtein(word, token) <= limit
    });
    let best = near.min_by_key(|phrase| strsim::damerau_levenshtein(phrase.text, token))?;
    Some((Item { class: best.class, word: best.text, misspelt: true, place: (0, 0) }, 1))
}

#[cfg(test)]
mod tests;
