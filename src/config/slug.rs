//! Short names in kebab-case, for addresses, message ids and calendar entries.

/// Whether a text is a short name: lower-case letters and digits, single hyphens between them.
pub(super) fn is_short(name: &str) -> bool {
    let plain = |part: &str| {
        !part.is_empty()
            && part
                .bytes()
                .all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit())
    };
    name.split('-').all(plain)
}

/// The short name that comes nearest to free text; empty when there is no letter and no digit in it.
///
/// Latin letters lose their marks; a letter of another script becomes its number, so that different names stay
/// different.
pub(super) fn slug(text: &str) -> String {
    let mut parts = vec![String::new()];
    for sign in text.chars().flat_map(char::to_lowercase) {
        match (spelled(sign), parts.last_mut()) {
            (Some(letters), Some(part)) => part.push_str(&letters),
            (None, _) if !is_mark(sign) => parts.push(String::new()),
            (Some(_), None) | (None, _) => {}
        }
    }
    parts.retain(|part| !part.is_empty());
    parts.join("-")
}

/// Signs that belong to the word around them: apostrophes and combining marks.
fn is_mark(sign: char) -> bool {
    matches!(sign, '\'' | '’' | '\u{300}'..='\u{36f}')
}

fn spelled(sign: char) -> Option<String> {
    let letters = match sign {
        'a'..='z' | '0'..='9' => return Some(sign.to_string()),
        'ä' | 'æ' => "ae",
        'ö' | 'œ' | 'ø' => "oe",
        'ü' => "ue",
        'ß' => "ss",
        'à' | 'á' | 'â' | 'ã' | 'å' | 'ă' | 'ą' => "a",
        'ç' | 'ć' | 'č' => "c",
        'ď' | 'đ' | 'ð' => "d",
        'è' | 'é' | 'ê' | 'ë' | 'ě' | 'ę' => "e",
        'ğ' => "g",
        'ì' | 'í' | 'î' | 'ï' | 'ı' => "i",
        'ł' => "l",
        'ñ' | 'ń' | 'ň' => "n",
        'ò' | 'ó' | 'ô' | 'õ' | 'ő' => "o",
        'ř' => "r",
        'ś' | 'š' | 'ş' | 'ș' => "s",
        'ť' | 'ț' | 'ţ' => "t",
        'þ' => "th",
        'ù' | 'ú' | 'û' | 'ů' | 'ű' => "u",
        'ý' | 'ÿ' => "y",
        'ź' | 'ż' | 'ž' => "z",
        other if other.is_alphanumeric() => return Some(format!("u{:x}", u32::from(other))),
        _ => return None,
    };
    Some(letters.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_name_keeps_its_letters() {
        for (text, name) in [
            ("Box edging, south", "box-edging-south"),
            ("  Mother's lilac (1962) ", "mothers-lilac-1962"),
            ("Gräser am Weiher", "graeser-am-weiher"),
            ("Plešivec – růže", "plesivec-ruze"),
            ("つげ", "u3064u3052"),
            ("!?", ""),
        ] {
            assert_eq!(slug(text), name);
        }
    }

    #[test]
    fn a_short_name_is_told_from_others() {
        assert!(is_short("museum-2"));
        for wrong in [
            "", "Museum", "museum_2", "-museum", "museum-", "a--b", "rosé",
        ] {
            assert!(!is_short(wrong), "{wrong}");
        }
    }

    proptest! {
        #[test]
        fn a_slug_is_empty_or_short(text in "\\PC{0,30}") {
            let name = slug(&text);
            prop_assert!(name.is_empty() || is_short(&name), "{}", name);
            prop_assert_eq!(slug(&name), name);
        }
    }
}
