//! Rules: the struct with a rule's figures, its permanent code, its manual page and its wording.

use crate::{Place, Severity};

/// What is fixed about a rule for all time.
#[derive(Clone, Copy, Debug)]
pub struct RuleInfo {
    /// Permanent code, such as `POW-014`.
    pub code: &'static str,
    /// The fault in kebab case, such as `lock-under-voltage`.
    pub name: &'static str,
    /// How grave the fault is.
    pub severity: Severity,
    /// The version that brought the rule.
    pub since: &'static str,
    /// Where the rule is in its life.
    pub life: Life,
    /// The manual page: the doc comment of the rule's struct, in Markdown.
    pub page: &'static str,
}

/// Where a rule is in its life. Codes are never used again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Life {
    /// May still change its figures.
    Preview,
    /// Changes only with a note in the change log.
    Stable,
    /// No longer raised; the page stays.
    Retired,
}

/// A broken rule with the figures of one case; made by [`rule!`](crate::rule!).
pub trait Rule {
    /// Code, name, severity and page.
    const INFO: RuleInfo;

    /// The object and field it is about.
    fn place(&self) -> Place;

    /// One line that makes sense alone: the object, both figures with units, no advice, no full stop.
    fn headline(&self) -> String;

    /// The working and the reason.
    fn notes(&self) -> Vec<String> {
        Vec::new()
    }

    /// Ways out, cheapest or likeliest first.
    fn help(&self) -> Vec<String>;

    /// Other objects that take part.
    fn related(&self) -> Vec<Place> {
        Vec::new()
    }
}

/// Defines a rule: its doc comment is the manual page that `explain CODE` prints.
///
/// ```
/// use dw_core::{rule, OpeningId, Place, Rule, Severity, Volts};
///
/// rule! {
///     /// ## What it checks
///     /// The voltage at a lock.
///     pub struct LockUnderVoltage: "POW-014" "lock-under-voltage" Stop since "0.1" {
///         /// The opening.
///         pub opening: OpeningId,
///         /// Voltage at the lock.
///         pub at_lock: Volts,
///     }
///     place(it) { Place::of(&it.opening) }
///     headline(it) { format!("{}: {:.1} at the lock", it.opening, it.at_lock) }
///     help(_it) { vec!["Use a thicker conductor".to_owned()] }
/// }
/// assert_eq!(LockUnderVoltage::INFO.severity, Severity::Stop);
/// assert!(LockUnderVoltage::INFO.page.contains("What it checks"));
/// ```
#[macro_export]
macro_rules! rule {
    (
        $(#[doc = $page:literal])*
        pub struct $name:ident: $code:literal $kebab:literal $severity:ident since $since:literal {
            $($(#[$fdoc:meta])* pub $field:ident: $ty:ty),* $(,)?
        }
        $($method:ident($it:ident) $body:block)*
    ) => {
        $(#[doc = $page])*
        #[derive(Clone, Debug)]
        pub struct $name { $($(#[$fdoc])* pub $field: $ty),* }

        impl $crate::Rule for $name {
            const INFO: $crate::RuleInfo = $crate::RuleInfo {
                code: $code,
                name: $kebab,
                severity: $crate::Severity::$severity,
                since: $since,
                life: $crate::Life::Stable,
                page: concat!($($page, "\n"),*),
            };
            $($crate::rule!(@method $method $it $body);)*
        }
    };
    (@method place $it:ident $body:block) => { fn place(&self) -> $crate::Place { let $it = self; $body } };
    (@method headline $it:ident $body:block) => { fn headline(&self) -> String { let $it = self; $body } };
    (@method notes $it:ident $body:block) => { fn notes(&self) -> Vec<String> { let $it = self; $body } };
    (@method help $it:ident $body:block) => { fn help(&self) -> Vec<String> { let $it = self; $body } };
    (@method related $it:ident $body:block) => { fn related(&self) -> Vec<$crate::Place> { let $it = self; $body } };
}
