//! Closed lists of words, and the nearest word to a mistyped one.

/// The candidate nearest to `written`, when near enough to be meant.
pub fn nearest<'a>(written: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    if written.len() > 200 {
        return None;
    }
    let scored = candidates.into_iter().map(|candidate| (strsim::jaro_winkler(written, candidate), candidate));
    scored
        .filter(|(score, _)| *score >= 0.8)
        .max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.cmp(a.1)))
        .map(|(_, word)| word)
}

/// Defines a closed list of words: an enum, its spelling in jobs, its explanation.
macro_rules! words {
    ($(#[$meta:meta])* pub enum $name:ident { $($(#[doc = $doc:literal])+ $variant:ident $word:literal),* $(,)? }) => {
        $(#[$meta])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, schemars::JsonSchema)]
        pub enum $name { $($(#[doc = $doc])+ #[serde(rename = $word)] $variant),* }

        impl $name {
            /// Every word with its value and explanation.
            pub const ALL: &'static [(&'static str, Self, &'static str)] = &[$(($word, Self::$variant, concat!($($doc),+))),*];

            /// The word as written in jobs and catalogues.
            pub fn word(self) -> &'static str {
                Self::ALL.iter().find(|row| row.1 == self).map_or("", |row| row.0)
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(self.word())
            }
        }

        impl $crate::text::Scalar for $name {
            fn from_scalar(node: &$crate::text::ScalarNode) -> Result<Self, String> {
                let written = node.shown();
                let plain = written.trim().to_lowercase().replace([' ', '_'], "-");
                if let Some(row) = Self::ALL.iter().find(|row| row.0 == plain) {
                    return Ok(row.1);
                }
                let words: Vec<&str> = Self::ALL.iter().map(|row| row.0).collect();
                let meant = $crate::text::nearest(&plain, words.iter().copied());
                let hint = meant.map(|word| format!("; did you mean \"{word}\"?")).unwrap_or_default();
                Err(format!("one of {}{hint}", words.join(", ")))
            }
            fn shown(&self) -> toml_edit::Value {
                self.word().into()
            }
            fn schema() -> serde_json::Value {
                let words: Vec<&str> = Self::ALL.iter().map(|row| row.0).collect();
                serde_json::json!({ "enum": words })
            }
        }
    };
}
pub(crate) use words;

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn a_mistyped_word_finds_its_neighbour_and_nonsense_finds_none() {
        assert_eq!(nearest("fire_ratng", ["fire_rating", "leaf", "frame"]), Some("fire_rating"));
        assert_eq!(nearest("zzz", ["fire_rating", "leaf"]), None);
    }
}
