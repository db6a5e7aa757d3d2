//! Reasons against a device, and the choice among what is left.
//!
//! A hard reason excludes; a soft one only ranks a device behind those without it. The choice is then the least
//! whole-life cost in the best rank, ties broken by device id.

use std::sync::Arc;

use dw_core::{DeviceId, Money};
use dw_job::catalogue::Device;

use super::plan::{Choice, Exclusion, Role, RunnerUp};
use super::situation::Surroundings;
use super::whole_life::WholeLife;

/// What speaks against a device.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Ground {
    Refused,
    OtherKind,
    Suits,
    Lanes,
    Leaf,
    Preparation,
    Room,
    Place,
    Width,
    Ingress,
    Impact,
    Temperature,
    Sun,
    Hands,
    Factors,
    Picture,
    Capacity,
    /// Inputs of a controller, unit or expander.
    Inputs,
    /// Current a release breaks or a splitter gives.
    Current,
    /// Cores of a power transfer.
    Cores,
    FalseMatch,
    Passage,
    Control,
    Voltage,
    FireListing,
    FireLatch,
    FireStrike,
    FailMode,
    FailSecureOnEscape,
    HoldsEscape,
    Panic,
    AttackSide,
    Preference,
    Output,
    FigureMissing,
    PriceMissing,
}

impl Ground {
    /// The demand in words, for a finding that says what binds.
    pub(super) fn demand(self) -> &'static str {
        match self {
            Self::Refused => "the policy's refused devices",
            Self::OtherKind => "the kind of device",
            Self::Suits => "the kind of opening",
            Self::Lanes => "the lanes that stand side by side",
            Self::Leaf => "the leaf material",
            Self::Preparation => "what leaf and frame are prepared for",
            Self::Room => "the room in leaf, frame and header",
            Self::Place => "where the reader can sit",
            Self::Width => "the width at the reader",
            Self::Ingress => "the ingress code wanted there",
            Self::Impact => "the impact code wanted there",
            Self::Temperature => "the temperatures there",
            Self::Sun => "the direct sun",
            Self::Hands => "the hands of the people there",
            Self::Factors => "the factors demanded",
            Self::Picture => "the picture at each passage",
            Self::Capacity => "the planned number of people",
            Self::Inputs => "the number of inputs wired there",
            Self::Current => "the current drawn there",
            Self::Cores => "the cores wired to the leaf",
            Self::FalseMatch => "the limit on false matches",
            Self::Passage => "the peak flow",
            Self::Control => "a controller or network that can serve it",
            Self::Voltage => "the voltage",
            Self::FireListing | Self::FireLatch | Self::FireStrike => "the fire rating",
            Self::FailMode => "the fail mode",
            Self::FailSecureOnEscape | Self::HoldsEscape => "the escape duty",
            Self::Panic => "panic hardware",
            Self::AttackSide => "the protection level",
            Self::Preference => "the firm's preference",
            Self::Output => "the current a controller output switches",
            Self::FigureMissing => "a figure the catalogue does not state",
            Self::PriceMissing => "a price in the catalogue",
        }
    }
}

/// One reason against a device, worded so that it follows the device's name.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Reason {
    pub ground: Ground,
    /// "is 82 mm wide, the place takes 45 mm".
    pub text: String,
    /// 0 excludes; anything else only ranks behind.
    pub weight: u32,
    /// The catalogue figure that is missing, for [`Ground::FigureMissing`].
    pub figure: Option<&'static str>,
}

impl Reason {
    pub(super) fn hard(ground: Ground, text: impl Into<String>) -> Self {
        Self { ground, text: text.into(), weight: 0, figure: None }
    }

    pub(super) fn soft(ground: Ground, weight: u32, text: impl Into<String>) -> Self {
        Self { ground, text: text.into(), weight: weight.max(1), figure: None }
    }

    /// A figure that is not stated: the device ranks behind those that state it.
    pub(super) fn missing(figure: &'static str) -> Self {
        Self { ground: Ground::FigureMissing, text: format!("states no {figure}"), weight: 1, figure: Some(figure) }
    }

    pub(super) fn excludes(&self) -> bool {
        self.weight == 0
    }
}

/// A device looked at for a part, with everything that speaks against it.
#[derive(Clone, Debug)]
pub(super) struct Candidate<'a, T> {
    pub device: &'a Device,
    pub cost: WholeLife,
    /// What it costs elsewhere: ports, cable, splitter, or the devices it drags along.
    pub beside: Money,
    pub reasons: Vec<Reason>,
    /// What the part needs to remember about it.
    pub detail: T,
}

impl<T> Candidate<'_, T> {
    pub(super) fn whole_life(&self) -> Money {
        self.cost.total() + self.beside
    }

    pub(super) fn excluded(&self) -> bool {
        self.reasons.iter().any(Reason::excludes)
    }

    pub(super) fn rank(&self) -> u32 {
        self.reasons.iter().map(|reason| reason.weight).sum()
    }

    fn order(&self) -> (bool, u32, Money, DeviceId) {
        (self.excluded(), self.rank(), self.whole_life(), self.device.id.clone())
    }

    /// What speaks against it, as far as it matters: a lock for other openings need not say more, and a device that
    /// is excluded need not say where it would have ranked.
    fn objection(&self) -> String {
        let elsewhere = |reason: &&Reason| matches!(reason.ground, Ground::OtherKind | Ground::Suits);
        if let Some(reason) = self.reasons.iter().find(elsewhere) {
            return reason.text.clone();
        }
        let excluded = self.excluded();
        let telling = self.reasons.iter().filter(|reason| reason.excludes() || !excluded);
        telling.map(|reason| reason.text.as_str()).collect::<Vec<_>>().join("; ")
    }
}

/// A device somebody or something has settled already.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Settled {
    /// Pinned by the engineer: wins, and every rule it breaks is reported.
    Pinned(DeviceId),
    /// On site already: used unless something excludes it.
    Kept(DeviceId),
}

/// Why nothing fits.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Nothing {
    pub looked_at: usize,
    pub binding: Option<Ground>,
    /// How many devices nothing else excludes.
    pub freed: usize,
}

/// The outcome of a choice.
#[derive(Clone, Debug)]
pub(super) struct Picked<'a, T> {
    pub choice: Arc<Choice>,
    pub chosen: Option<Candidate<'a, T>>,
    pub kept: bool,
    pub nothing: Option<Nothing>,
    /// Why a device on site cannot stay.
    pub turned_out: Vec<Reason>,
}

impl<'a, T> Picked<'a, T> {
    pub(super) fn device(&self) -> Option<&'a Device> {
        self.chosen.as_ref().map(|candidate| candidate.device)
    }
}

/// Chooses the candidate of the least whole-life cost in the best rank, unless one is settled.
pub(super) fn pick<'a, T: Clone>(
    role: Role,
    mut candidates: Vec<Candidate<'a, T>>,
    settled: Option<&Settled>,
) -> Picked<'a, T> {
    candidates.sort_by_cached_key(Candidate::order);
    let find = |id: &DeviceId| candidates.iter().position(|candidate| candidate.device.id == *id);
    let mut turned_out = Vec::new();
    let (mut pinned, mut kept) = (false, false);
    let mut position = None;
    match settled {
        Some(Settled::Pinned(id)) => {
            position = find(id);
            pinned = position.is_some();
        }
        Some(Settled::Kept(id)) => {
            position = find(id);
            let hard: Vec<Reason> = position
                .map(|idx| candidates[idx].reasons.iter().filter(|reason| reason.excludes()).cloned().collect())
                .unwrap_or_default();
            kept = position.is_some() && hard.is_empty();
            if !kept {
                position = None;
                turned_out = hard;
            }
        }
        None => {}
    }
    let position = position.or_else(|| candidates.iter().position(|candidate| !candidate.excluded()));
    let nothing = position.is_none().then(|| why_nothing(&candidates));
    let (choice, chosen) = describe(role, &candidates, position, pinned);
    Picked { choice: Arc::new(choice), chosen, kept, nothing, turned_out }
}

fn describe<'a, T: Clone>(
    role: Role,
    candidates: &[Candidate<'a, T>],
    position: Option<usize>,
    pinned: bool,
) -> (Choice, Option<Candidate<'a, T>>) {
    let chosen = position.map(|idx| candidates[idx].clone());
    let best_rank = chosen.as_ref().map(|candidate| if candidate.excluded() { u32::MAX } else { candidate.rank() });
    let others = || candidates.iter().enumerate().filter(|(idx, _)| Some(*idx) != position).map(|(_, other)| other);
    let behind = |other: &Candidate<'_, T>| other.excluded() || best_rank.is_none_or(|rank| other.rank() > rank);
    let runner_up = others()
        .find(|other| !other.excluded())
        .map(|other| RunnerUp { device: other.device.id.clone(), whole_life: other.whole_life() });
    let mut excluded: Vec<Exclusion> = others()
        .filter(|other| behind(other))
        .map(|other| Exclusion { device: other.device.id.clone(), reason: other.objection() })
        .collect();
    excluded.sort_by(|a, b| a.device.cmp(&b.device));
    let choice = Choice {
        role,
        chosen: chosen.as_ref().map(|candidate| candidate.device.id.clone()),
        whole_life: chosen.as_ref().map_or(Money::ZERO, Candidate::whole_life),
        pinned,
        runner_up,
        excluded,
        factors: Vec::new(),
    };
    (choice, chosen)
}

/// The demand that, lifted alone, would free most devices; the commonest one when none frees any.
fn why_nothing<T>(candidates: &[Candidate<'_, T>]) -> Nothing {
    let mut alone: Vec<(Ground, usize)> = Vec::new();
    let mut anywhere: Vec<(Ground, usize)> = Vec::new();
    for candidate in candidates {
        let mut grounds: Vec<Ground> =
            candidate.reasons.iter().filter(|reason| reason.excludes()).map(|reason| reason.ground).collect();
        grounds.sort_unstable();
        grounds.dedup();
        // A device of another opening kind is no way out.
        if grounds.contains(&Ground::Suits) || grounds.contains(&Ground::OtherKind) {
            continue;
        }
        for ground in &grounds {
            count(&mut anywhere, *ground);
        }
        if let [only] = grounds[..] {
            count(&mut alone, only);
        }
    }
    let most =
        |counts: &[(Ground, usize)]| counts.iter().copied().max_by(|a, b| a.1.cmp(&b.1).then_with(|| b.0.cmp(&a.0)));
    let freeing = most(&alone);
    Nothing {
        looked_at: candidates.len(),
        binding: freeing.or_else(|| most(&anywhere)).map(|row| row.0),
        freed: freeing.map_or(0, |row| row.1),
    }
}

fn count(counts: &mut Vec<(Ground, usize)>, ground: Ground) {
    match counts.iter_mut().find(|row| row.0 == ground) {
        Some(row) => row.1 += 1,
        None => counts.push((ground, 1)),
    }
}

/// Reasons every device at an opening can meet: refused, no price, weather, knocks, temperature.
pub(super) fn common(device: &Device, refused: &[DeviceId], around: &Surroundings) -> Vec<Reason> {
    let mut reasons = Vec::new();
    if refused.contains(&device.id) {
        reasons.push(Reason::hard(Ground::Refused, "is refused by policy"));
    }
    if device.price.is_none() {
        reasons.push(Reason::hard(Ground::PriceMissing, "has no price in the catalogue"));
    }
    reasons.extend(weather(device, around));
    reasons
}

fn weather(device: &Device, around: &Surroundings) -> Vec<Reason> {
    let mut reasons = Vec::new();
    let environment = &device.environment;
    if around.solids > 0 || around.water > 0 {
        match environment.ip {
            None => reasons.push(Reason::missing("ingress code")),
            Some(ip) if !around.bears_ingress(ip) => reasons.push(Reason::hard(
                Ground::Ingress,
                format!("is IP{ip:02}, IP{}{} is wanted there", around.solids, around.water),
            )),
            Some(_) => {}
        }
    }
    if around.impact > 0 {
        match environment.ik {
            None => reasons.push(Reason::missing("impact code")),
            Some(ik) if ik < around.impact => reasons
                .push(Reason::hard(Ground::Impact, format!("is IK{ik:02}, IK{:02} is wanted there", around.impact))),
            Some(_) => {}
        }
    }
    reasons.extend(temperature(device, around));
    reasons
}

/// A shortfall up to this ranks behind instead of excluding: the classes go in steps and are not the site's own
/// temperatures (*common practice*).
const TEMPERATURE_NEAR_C: f64 = 5.0;
const NEAR: u32 = 4;

fn temperature(device: &Device, around: &Surroundings) -> Option<Reason> {
    let (low, high) = (f64::from(around.coldest_c), f64::from(around.hottest_c));
    let (min, max) = (device.environment.temperature_min, device.environment.temperature_max);
    if around.indoors && (min.is_none() || max.is_none()) {
        return None;
    }
    let (Some(min), Some(max)) = (min, max) else { return Some(Reason::missing("temperature range")) };
    let short = (min.get() - low).max(high - max.get());
    let text = || format!("bears {:.0} to {:.0} °C, {low:.0} to {high:.0} °C are expected there", min.get(), max.get());
    match short {
        short if short <= 0.0 => None,
        short if short <= TEMPERATURE_NEAR_C => Some(Reason::soft(Ground::Temperature, NEAR, text())),
        _ => Some(Reason::hard(Ground::Temperature, text())),
    }
}
