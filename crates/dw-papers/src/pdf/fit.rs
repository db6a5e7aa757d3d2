//! Makes words fit their place: measures text in the bundled font, shares out column widths, divides words that are
//! wider than a line, and shortens what would swallow a page.

use crate::Error;
use hypher::Lang;
use serde::Serialize;
use typst::layout::Abs;
use typst::text::{Font, FontInstance, FontVariant, FontVariations};

/// Spare width kept free in every line, because kerning and tabular figures shift a line a little from the sum of its
/// advances (*common practice*: found enough on sheets full of capitals and digits).
const SPARE: f64 = 0.04;

/// Words of letters only are divided between syllables from this length on; shorter ones are codes or abbreviations.
const SYLLABLE_WORD: usize = 6;

/// Text ready for the page. More than one piece means: the line may end after each piece.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(untagged)]
pub(super) enum Fitted {
    /// Breaks only where spaces allow.
    Whole(String),
    /// May break between the pieces.
    Pieces(Vec<String>),
}

/// The place a text must fit: width of a line, size of the type, and how many lines there may be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Place {
    pub(super) width_pt: f64,
    pub(super) size_pt: f64,
    pub(super) bold: bool,
    /// Lines after which the text is shortened; none for running text.
    pub(super) max_lines: Option<u32>,
}

/// Measures text as the bundled fonts will set it.
pub(super) struct Ruler {
    regular: FontInstance,
    bold: FontInstance,
}

impl Ruler {
    pub(super) fn new(fonts: &[Font]) -> Result<Self, Error> {
        // Neither size nor variant matters to a face without variable axes.
        let face =
            |font: &Font| font.clone().instantiate(FontVariant::default(), Abs::pt(10.0), &FontVariations::default());
        match fonts {
            [regular, bold, ..] => Ok(Self { regular: face(regular), bold: face(bold) }),
            _ => Err(Error::Font),
        }
    }

    /// Width of one line of text in points.
    pub(super) fn width_pt(&self, text: &str, size_pt: f64, bold: bool) -> f64 {
        text.chars().map(|c| self.char_pt(c, size_pt, bold)).sum()
    }

    /// A character that the main font lacks counts as a full em, about the widest a fallback glyph gets.
    fn char_pt(&self, c: char, size_pt: f64, bold: bool) -> f64 {
        let font = if bold { &self.bold } else { &self.regular };
        let advance = font.ttf().glyph_index(c).and_then(|glyph| font.ttf().glyph_hor_advance(glyph));
        size_pt * advance.map_or(1.0, |units| f64::from(units) / font.units_per_em())
    }

    /// The text, cut so that it fits the place; when it had to be shortened, it says by how much.
    pub(super) fn fit(&self, text: &str, place: Place) -> Fitted {
        self.fit_ending(text, place, |missing| format!("… ({missing} more characters)"))
    }

    /// As [`Ruler::fit`], but on as few lines as may be and with a bare ellipsis: for a place too small to say more.
    pub(super) fn fit_label(&self, text: &str, place: Place) -> Fitted {
        self.fit_ending(&text.replace(['\r', '\n'], " "), place, |_| "…".to_owned())
    }

    fn fit_ending(&self, text: &str, place: Place, ending: impl Fn(usize) -> String) -> Fitted {
        let text = printable(text);
        let Some(max_lines) = place.max_lines else { return self.broken(&text, place) };
        // No more than would fill the lines without a gap; the loop takes off what ragged lines lose.
        let mut end = self.chars_within(&text, place, place.width_pt * f64::from(max_lines));
        loop {
            let fitted = if end < text.len() {
                let missing = text[end..].chars().count();
                self.broken(&format!("{}{}", text[..end].trim_end(), ending(missing)), place)
            } else {
                self.broken(&text, place)
            };
            let n_lines = self.n_lines(&fitted, place);
            if end == 0 || n_lines <= max_lines {
                return fitted;
            }
            // Far over, straight to about one line too many; from there one character at a time.
            let kept = if n_lines > max_lines + 1 {
                (end as f64 * f64::from(max_lines + 1) / f64::from(n_lines)) as usize
            } else {
                end
            };
            end = text.floor_char_boundary(kept.min(end - 1));
        }
    }

    /// The text with places to break in every word that is wider than a line.
    fn broken(&self, text: &str, place: Place) -> Fitted {
        let room = place.width_pt * (1.0 - SPARE);
        let mut pieces = Vec::new();
        let mut piece = String::new();
        for token in text.split_inclusive(char::is_whitespace) {
            let word = token.trim_end();
            if self.width_pt(word, place.size_pt, place.bold) <= room {
                piece.push_str(token);
            } else {
                self.divide(token, place, room, &mut piece, &mut pieces);
            }
        }
        if pieces.is_empty() {
            return Fitted::Whole(piece);
        }
        pieces.push(piece);
        Fitted::Pieces(pieces)
    }

    /// Lines that the text takes when each is filled before the next begins.
    fn n_lines(&self, fitted: &Fitted, place: Place) -> u32 {
        let pieces = match fitted {
            Fitted::Whole(text) => std::slice::from_ref(text),
            Fitted::Pieces(pieces) => pieces,
        };
        let (mut lines, mut used) = (1_u32, 0.0);
        for token in pieces.iter().flat_map(|piece| piece.split_inclusive(char::is_whitespace)) {
            let word = self.width_pt(token.trim_end(), place.size_pt, place.bold);
            if used > 0.0 && used + word > place.width_pt * (1.0 - SPARE) {
                lines += 1;
                used = 0.0;
            }
            used += self.width_pt(token, place.size_pt, place.bold);
            if token.ends_with('\n') {
                lines += 1;
                used = 0.0;
            }
        }
        lines
    }

    /// Cuts a word that is wider than a line into lines; what is before it stays with its first part.
    fn divide(&self, word: &str, place: Place, room: f64, piece: &mut String, pieces: &mut Vec<String>) {
        let letters = word.trim_end();
        let syllables = (letters.len() >= SYLLABLE_WORD && letters.chars().all(char::is_alphabetic))
            .then(|| syllable_ends(letters));
        let hyphen = self.char_pt('-', place.size_pt, place.bold);
        let mut rest = word;
        if !piece.is_empty() {
            pieces.push(std::mem::take(piece));
        }
        loop {
            let limit = self.chars_within(rest, place, room - if syllables.is_some() { hyphen } else { 0.0 });
            if limit >= rest.trim_end().len() {
                break;
            }
            let done = word.len() - rest.len();
            let syllable = syllables.as_ref().and_then(|ends| {
                ends.iter().rev().map(|end| end.saturating_sub(done)).find(|end| *end > 0 && *end <= limit)
            });
            // A soft hyphen shows only where the line really ends.
            if let Some(end) = syllable {
                pieces.push(format!("{}\u{ad}", &rest[..end]));
                rest = &rest[end..];
            } else {
                let end = after_punctuation(rest, limit);
                pieces.push(rest[..end].to_owned());
                rest = &rest[end..];
            }
        }
        rest.clone_into(piece);
    }

    /// How many bytes of a word fit on a line: at least one character, so that cutting always gets on.
    fn chars_within(&self, word: &str, place: Place, room: f64) -> usize {
        let mut used = 0.0;
        for (at, c) in word.char_indices() {
            used += self.char_pt(c, place.size_pt, place.bold);
            if used > room && at > 0 {
                return at;
            }
        }
        word.len()
    }
}

/// Ends of the syllables of an English word, in bytes, but for the last.
fn syllable_ends(word: &str) -> Vec<usize> {
    let mut end = 0;
    let mut ends: Vec<usize> = hypher::hyphenate(word, Lang::English)
        .map(|syllable| {
            end += syllable.len();
            end
        })
        .collect();
    ends.pop();
    ends
}

/// The last place after a punctuation mark in the second half of the line, else the end of the line.
fn after_punctuation(word: &str, limit: usize) -> usize {
    let head = &word[..limit];
    head.char_indices()
        .rev()
        .take_while(|(at, _)| *at >= limit / 2)
        .find(|(_, c)| matches!(c, '/' | '-' | '.' | '_' | ',' | ';' | ':' | '+' | '&' | '='))
        .map_or(limit, |(at, c)| at + c.len_utf8())
}

/// Line ends stay; every other control character, and the marks that reorder text around them, become spaces.
fn printable(text: &str) -> String {
    text.replace("\r\n", "\n")
        .chars()
        .map(|c| match c {
            '\n' | '\r' | '\u{2028}' | '\u{2029}' => '\n',
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => ' ',
            c if c.is_control() => ' ',
            c => c,
        })
        .collect()
}

/// Shares a width out among columns by weight, giving none less than it needs as long as the needs can be met.
///
/// `needs` and `weights` are as long as each other; weights are above zero. The result sums to `total`.
pub(super) fn share_width(total: f64, weights: &[f64], needs: &[f64]) -> Vec<f64> {
    let needed: f64 = needs.iter().sum();
    if needed >= total {
        return needs.iter().map(|need| need * total / needed).collect();
    }
    // A column below its need is fixed at it, and the others share what is left; each round fixes one or ends.
    let mut fixed = vec![false; weights.len()];
    loop {
        let open = |idx: &usize| !fixed[*idx];
        let weight: f64 = (0..weights.len()).filter(open).map(|idx| weights[idx]).sum();
        let taken: f64 = (0..weights.len()).filter(|idx| fixed[*idx]).map(|idx| needs[idx]).sum();
        let share = |idx: usize| (total - taken) * weights[idx] / weight;
        match (0..weights.len()).filter(open).find(|idx| share(*idx) < needs[*idx]) {
            Some(short) => fixed[short] = true,
            None => return (0..weights.len()).map(|idx| if fixed[idx] { needs[idx] } else { share(idx) }).collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ruler() -> Ruler {
        Ruler::new(super::super::world::fonts().unwrap()).unwrap()
    }

    fn place(width_pt: f64) -> Place {
        Place { width_pt, size_pt: 8.0, bold: false, max_lines: None }
    }

    fn pieces(text: &str, width_pt: f64) -> Vec<String> {
        match ruler().fit(text, place(width_pt)) {
            Fitted::Whole(text) => vec![text],
            Fitted::Pieces(pieces) => pieces,
        }
    }

    #[test]
    fn text_whose_words_fit_is_left_alone() {
        assert_eq!(ruler().fit("Pump house door", place(40.0)), Fitted::Whole("Pump house door".to_owned()));
    }

    #[test]
    fn no_piece_of_a_long_word_is_wider_than_the_line_and_nothing_is_lost() {
        for text in ["x".repeat(10_000), "W/".repeat(300), format!("door {} end", "electromagnetic".repeat(9))] {
            let cut = pieces(&text, 60.0);
            assert!(cut.len() > 2);
            for word in cut.iter().flat_map(|piece| piece.split_whitespace()) {
                assert!(ruler().width_pt(word, 8.0, false) <= 60.0, "{word}");
            }
            assert_eq!(cut.concat().replace('\u{ad}', ""), text);
        }
    }

    #[test]
    fn words_are_divided_between_syllables_and_codes_after_their_marks() {
        assert_eq!(pieces("electromagnetic", 45.0).concat(), "electro\u{ad}magnetic");
        assert_eq!(pieces("TR-02/PSU-01/BAT", 45.0), ["TR-02/", "PSU-01/", "BAT"]);
    }

    #[test]
    fn a_text_that_would_fill_the_page_is_shortened_and_says_by_how_much() {
        let place = Place { max_lines: Some(2), ..place(100.0) };
        let Fitted::Whole(text) = ruler().fit(&"ab ".repeat(3_000), place) else { panic!("short words need no cut") };
        assert!(text.ends_with(" more characters)") && text.len() < 120, "{text}");
    }

    #[test]
    fn a_label_never_takes_more_lines_than_its_place_has() {
        let place = Place { max_lines: Some(2), ..place(50.0) };
        let long = "x".repeat(999);
        for text in ["Main door", "Approved for construction by all", &long, &"D-01/".repeat(99), "\n\n\n", " "] {
            let fitted = ruler().fit_label(text, place);
            assert!(ruler().n_lines(&fitted, place) <= 2, "{fitted:?}");
        }
        assert_eq!(ruler().fit_label("Main door", place), Fitted::Whole("Main door".to_owned()));
        assert_eq!(
            ruler().fit_label("Approved by all who look", place),
            Fitted::Whole("Approved by all who…".to_owned())
        );
    }

    #[test]
    fn control_characters_cannot_reach_the_page() {
        assert_eq!(printable("a\u{0}b\tc\r\nd\u{202e}e"), "a b c\nd e");
    }

    #[test]
    fn widths_follow_weights_but_no_column_gets_less_than_it_needs() {
        assert_eq!(share_width(100.0, &[1.0, 3.0], &[10.0, 10.0]), [25.0, 75.0]);
        assert_eq!(share_width(100.0, &[1.0, 3.0, 1.0], &[40.0, 10.0, 0.0]), [40.0, 45.0, 15.0]);
        let tight = share_width(100.0, &[1.0, 1.0], &[150.0, 50.0]);
        assert_eq!(tight, [75.0, 25.0]);
    }
}
