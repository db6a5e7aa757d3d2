//! Values taken as read, gathered so that one line on paper covers all openings that share it.

use std::collections::BTreeMap;

use dw_core::{OpeningId, Place, Sink};

/// Assumptions under way.
#[derive(Default)]
pub(super) struct Taken {
    single: Vec<(Place, String, String)>,
    by_opening: BTreeMap<(&'static str, String, &'static str), Vec<OpeningId>>,
}

impl Taken {
    /// The value the job gives, or the one taken as read for a single field.
    pub(super) fn or<T: Clone>(
        &mut self,
        given: Option<&T>,
        kind: &str,
        field: &str,
        value: T,
        shown: &str,
        because: &str,
    ) -> T {
        given.cloned().unwrap_or_else(|| {
            self.single.push((Place::named(kind, "").field(field), shown.to_owned(), because.to_owned()));
            value
        })
    }

    /// Keeps an assumption about one object.
    pub(super) fn note(&mut self, place: Place, shown: String, because: &str) {
        self.single.push((place, shown, because.to_owned()));
    }

    /// Keeps an assumption about a field of an opening.
    pub(super) fn opening(&mut self, mark: &OpeningId, field: &'static str, shown: String, because: &'static str) {
        self.by_opening.entry((field, shown, because)).or_default().push(mark.clone());
    }

    /// Puts the assumptions on the list: policy first, then openings by field.
    pub(super) fn list(self, sink: &mut Sink) {
        for (place, value, because) in self.single {
            sink.assume(place, value, because);
        }
        for ((field, value, because), marks) in self.by_opening {
            let place = match marks.as_slice() {
                [only] => Place::of(only),
                many => Place::named("openings", &shortened(many)),
            };
            sink.assume(place.field(field), value, because);
        }
    }
}

/// Marks in a row, the first twelve by name.
fn shortened(marks: &[OpeningId]) -> String {
    const NAMED: usize = 12;
    let named: Vec<&str> = marks.iter().take(NAMED).map(dw_core::Id::text).collect();
    let rest = marks.len().saturating_sub(NAMED);
    if rest == 0 { named.join(", ") } else { format!("{} and {rest} more", named.join(", ")) }
}
