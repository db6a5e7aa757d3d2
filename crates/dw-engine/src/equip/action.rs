//! What happens at an opening in normal use, on fire and on loss of power, in plain sentences.

use dw_job::model::{ExitRequest, Factor, FailMode};

use super::plan::Action;

/// Where the lock, body or drive takes its power from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) enum Feed {
    /// A supply with its battery, over the lock's cable.
    #[default]
    Supply,
    /// A network port, over a splitter at the opening.
    Network,
    /// A mains spur of its own; it is told over a release pair, and nothing in the design backs it up.
    Spur,
}

/// How the opening behaves as built, as far as the sentences need it.
#[derive(Clone, Debug, Default)]
pub(super) struct Behaviour {
    pub factors_in: Vec<Factor>,
    pub factors_out: Vec<Factor>,
    /// Whether a lock, body or drive is there.
    pub locked: bool,
    pub feed: Feed,
    pub fail_mode: Option<FailMode>,
    pub free_exit: bool,
    pub exit: Option<ExitRequest>,
    pub emergency_release: bool,
    pub fire_release: bool,
    pub fire_door: bool,
    /// Whether a latch still holds the leaf once the lock is released: not so with a strike or magnet.
    pub latch_stays: bool,
    pub lane: bool,
    pub vehicle: bool,
    pub lift: bool,
    pub watched: bool,
}

impl Behaviour {
    /// The three sentences.
    pub(super) fn action(&self) -> Action {
        Action { normal: self.normal(), fire: self.fire(), power_loss: self.power_loss() }
    }

    fn normal(&self) -> String {
        let enter = match (self.factors_in.is_empty(), self.lift) {
            (true, _) if !self.locked && self.watched => {
                return "Not locked by this system; its position is watched".to_owned();
            }
            (true, _) if !self.locked => return "Not under control of this system".to_owned(),
            (true, _) => "Locked from outside".to_owned(),
            (false, true) => format!("{} to choose a floor", listed(&self.factors_in)),
            (false, false) => format!("{} to enter", listed(&self.factors_in)),
        };
        if self.lift {
            return enter;
        }
        format!("{enter}; {}", self.way_out())
    }

    fn way_out(&self) -> String {
        let reads = named(&self.factors_out);
        match (self.factors_out.is_empty(), self.free_exit) {
            (false, true) => format!("{reads} to leave, and inside handle always free"),
            (false, false) => format!("{reads} to leave"),
            (true, true) => "inside handle always free".to_owned(),
            (true, false) => match self.exit {
                Some(ExitRequest::Button) => "exit button to leave".to_owned(),
                Some(ExitRequest::Sensor) => "exit sensor releases it to leave".to_owned(),
                Some(ExitRequest::HandleSwitch) => "switch in the inside handle releases it to leave".to_owned(),
                _ if self.lane => "passes freely on the way out".to_owned(),
                _ if self.vehicle => "opens by itself for vehicles leaving".to_owned(),
                _ => "no way out is asked for here".to_owned(),
            },
        }
    }

    fn fire(&self) -> String {
        if self.lift {
            return "Left to the lift's own fire control".to_owned();
        }
        if !self.locked {
            return "No lock of this system acts".to_owned();
        }
        match (self.fail_mode, self.feed) {
            (None, _) => self.with_way_out("What it does is not stated by its maker"),
            (Some(FailMode::Safe), _) => self.fire_without_power(),
            (Some(FailMode::Secure), Feed::Spur) => self.fire_on_spur(),
            (Some(FailMode::Secure), _) => self.stays_locked(),
        }
    }

    /// A lock that opens without power is released by whatever breaks it.
    fn fire_without_power(&self) -> String {
        let alarm = "the fire alarm contact";
        let breaks = if self.feed == Feed::Spur || self.free_exit { "" } else { ", which breaks its power" };
        let by = match (self.fire_release, self.emergency_release) {
            (true, true) => format!("{alarm}{breaks}, or by the emergency release"),
            (true, false) => format!("{alarm}{breaks}"),
            (false, true) => "the emergency release; the fire alarm does not act on it".to_owned(),
            (false, false) => return self.stays_locked(),
        };
        let released = match (self.fire_door, self.latch_stays, self.free_exit) {
            (true, true, true) => format!("Outside handle released by {by}; the latch stays"),
            (true, true, false) => format!("Released by {by}; the latch stays"),
            (true, false, _) => format!("Released by {by}; no latch then holds the fire door"),
            (false, ..) => format!("Released by {by}"),
        };
        self.with_way_out(&released)
    }

    /// A driven body that stays closed without power has to be told, and needs its power to obey.
    fn fire_on_spur(&self) -> String {
        let by = match (self.fire_release, self.emergency_release) {
            (true, true) => "the fire alarm contact or the emergency release",
            (true, false) => "the fire alarm contact",
            (false, true) => "the emergency release",
            (false, false) => return self.stays_locked(),
        };
        self.with_way_out(&format!("Told to open by {by}; it needs its mains spur for that"))
    }

    /// Breaking the power of a lock that stays locked without it opens nothing.
    fn stays_locked(&self) -> String {
        match (self.free_exit, self.fire_door) {
            _ if self.lane || self.vehicle => {
                self.with_way_out("Stays as it is; neither fire alarm nor emergency release opens it")
            }
            (true, true) => self.with_way_out("Stays latched against the fire"),
            (true, false) => self.with_way_out("Stays locked from outside"),
            (false, _) => "Stays locked; neither fire alarm nor emergency release opens it".to_owned(),
        }
    }

    fn power_loss(&self) -> String {
        if self.lift {
            return "Floors stay closed until power returns; the lift's own controls are left alone".to_owned();
        }
        if !self.locked {
            return "Nothing changes".to_owned();
        }
        let lost = match self.feed {
            Feed::Supply => "When mains and battery are lost",
            Feed::Network => "When the power of its network port is lost",
            Feed::Spur => "When its mains spur fails",
        };
        let text = match (self.fail_mode, self.free_exit) {
            (None, _) => "What it does is not stated by its maker".to_owned(),
            (Some(FailMode::Safe), _) if self.lane => format!("{lost}, the lane turns or opens freely"),
            (Some(FailMode::Safe), _) if self.vehicle => format!("{lost}, the way opens or can be opened by hand"),
            (Some(FailMode::Safe), true) => format!("{lost}, unlocked from outside"),
            (Some(FailMode::Safe), false) => format!("{lost}, unlocked both ways"),
            (Some(FailMode::Secure), _) if self.vehicle => {
                format!("{lost}, stays closed; opened by hand with key or crank")
            }
            (Some(FailMode::Secure), _) if self.lane => format!("{lost}, the lane stays closed"),
            (Some(FailMode::Secure), true) => "Stays locked from outside".to_owned(),
            (Some(FailMode::Secure), false) => "Stays locked both ways; key from outside".to_owned(),
        };
        self.with_way_out(&text)
    }

    /// The sentence, and that a leaf's inside handle is free where it is.
    fn with_way_out(&self, text: &str) -> String {
        let leaf = !self.lane && !self.vehicle;
        if self.free_exit && leaf { format!("{text}; inside handle always free") } else { text.to_owned() }
    }
}

/// "Card and PIN", to open a sentence.
fn listed(factors: &[Factor]) -> String {
    let text = named(factors);
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// "card and PIN".
fn named(factors: &[Factor]) -> String {
    let name = |factor: &Factor| match factor {
        Factor::Pin => "PIN".to_owned(),
        other => other.word().to_owned(),
    };
    let names: Vec<String> = factors.iter().map(name).collect();
    match names.split_last() {
        None => "nothing".to_owned(),
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_free_handle_is_told_in_all_three_sentences() {
        let action = Behaviour {
            factors_in: vec![Factor::Card, Factor::Pin],
            locked: true,
            fail_mode: Some(FailMode::Secure),
            free_exit: true,
            ..Behaviour::default()
        }
        .action();
        assert_eq!(action.normal, "Card and PIN to enter; inside handle always free");
        assert_eq!(action.fire, "Stays locked from outside; inside handle always free");
        assert_eq!(action.power_loss, "Stays locked from outside; inside handle always free");
    }

    #[test]
    fn a_magnet_on_a_way_of_escape_is_released_by_the_fire_alarm_contact() {
        let action = Behaviour {
            factors_in: vec![Factor::Card],
            locked: true,
            fail_mode: Some(FailMode::Safe),
            exit: Some(ExitRequest::Sensor),
            emergency_release: true,
            fire_release: true,
            ..Behaviour::default()
        }
        .action();
        assert_eq!(action.normal, "Card to enter; exit sensor releases it to leave");
        assert_eq!(
            action.fire,
            "Released by the fire alarm contact, which breaks its power, or by the emergency release"
        );
        assert_eq!(action.power_loss, "When mains and battery are lost, unlocked both ways");
    }

    const FED: [Feed; 3] = [Feed::Supply, Feed::Network, Feed::Spur];

    /// Every behaviour of a locked opening, one after the other.
    fn every_behaviour() -> Vec<Behaviour> {
        let modes = [None, Some(FailMode::Safe), Some(FailMode::Secure)];
        let mut all = Vec::new();
        for (fail_mode, feed) in modes.into_iter().flat_map(|mode| FED.map(|feed| (mode, feed))) {
            for bits in 0_u32..64 {
                let bit = |n: u32| bits >> n & 1 == 1;
                for (lane, vehicle) in [(false, false), (true, false), (false, true)] {
                    all.push(Behaviour {
                        locked: true,
                        feed,
                        fail_mode,
                        free_exit: bit(0),
                        emergency_release: bit(1),
                        fire_release: bit(2),
                        fire_door: bit(3) && !lane && !vehicle,
                        latch_stays: bit(4),
                        exit: bit(5).then_some(ExitRequest::Button),
                        lane,
                        vehicle,
                        ..Behaviour::default()
                    });
                }
            }
        }
        all
    }

    #[test]
    fn no_sentence_promises_what_fail_mode_and_devices_do_not_do() {
        for one in every_behaviour() {
            let Action { fire, power_loss, .. } = one.action();
            let told = one.fire_release || one.emergency_release;
            let safe = one.fail_mode == Some(FailMode::Safe);
            let told_to_open = fire.starts_with("Told to open");
            assert_eq!(fire.to_lowercase().contains("released by"), safe && told, "{one:?}: {fire}");
            assert_eq!(
                told_to_open,
                one.fail_mode == Some(FailMode::Secure) && told && one.feed == Feed::Spur,
                "{one:?}: {fire}"
            );
            if safe || told_to_open {
                assert_eq!(fire.contains("by the fire alarm contact"), one.fire_release, "{one:?}: {fire}");
                let by_hand = ["by the emergency release", "or the emergency release"];
                assert_eq!(by_hand.iter().any(|text| fire.contains(text)), one.emergency_release, "{one:?}: {fire}");
            }
            assert!(!(fire.contains("breaks its power") && one.feed == Feed::Spur), "{one:?}: {fire}");
            assert!(!fire.contains("the latch stays") || one.latch_stays, "{one:?}: {fire}");
            let feeds = [(Feed::Supply, "battery"), (Feed::Network, "network port"), (Feed::Spur, "mains spur")];
            for (feed, lost) in feeds {
                let named = power_loss.contains(lost);
                assert!(!named || one.feed == feed, "{one:?}: {power_loss}");
                assert!(named || !safe || one.feed != feed, "{one:?}: {power_loss}");
            }
            let free = one.free_exit && !one.lane && !one.vehicle;
            for text in [&fire, &power_loss] {
                assert_eq!(text.contains("inside handle always free"), free, "{one:?}: {text}");
            }
            assert_eq!(power_loss.contains("unlocked"), safe && !one.lane && !one.vehicle, "{one:?}: {power_loss}");
        }
    }

    #[test]
    fn the_sentences_of_common_arrangements_read_as_written_here() {
        use FailMode::{Safe, Secure};
        let stays = "Stays locked; neither fire alarm nor emergency release opens it";
        // Fail mode, free exit, fire contact, emergency release, fire door; fire, loss of power.
        let leaves = [
            (Secure, false, true, true, false, stays, "Stays locked both ways; key from outside"),
            (Secure, false, false, true, false, stays, "Stays locked both ways; key from outside"),
            (
                Secure,
                true,
                true,
                false,
                true,
                "Stays latched against the fire; inside handle always free",
                "Stays locked from outside; inside handle always free",
            ),
            (
                Safe,
                false,
                false,
                true,
                false,
                "Released by the emergency release; the fire alarm does not act on it",
                "When mains and battery are lost, unlocked both ways",
            ),
            (Safe, false, false, false, false, stays, "When mains and battery are lost, unlocked both ways"),
            (
                Safe,
                true,
                true,
                false,
                true,
                "Outside handle released by the fire alarm contact; the latch stays; inside handle always free",
                "When mains and battery are lost, unlocked from outside; inside handle always free",
            ),
        ];
        for (mode, free_exit, fire_release, emergency_release, fire_door, fire, power_loss) in leaves {
            let one = Behaviour {
                locked: true,
                fail_mode: Some(mode),
                free_exit,
                emergency_release,
                fire_release,
                fire_door,
                latch_stays: true,
                ..Behaviour::default()
            };
            let action = one.action();
            assert_eq!((action.fire.as_str(), action.power_loss.as_str()), (fire, power_loss), "{one:?}");
        }
    }

    #[test]
    fn a_body_on_a_mains_spur_is_told_over_its_release_pair() {
        let lane = Behaviour {
            locked: true,
            feed: Feed::Spur,
            fail_mode: Some(FailMode::Safe),
            fire_release: true,
            lane: true,
            ..Behaviour::default()
        };
        assert_eq!(lane.action().fire, "Released by the fire alarm contact");
        assert_eq!(lane.action().power_loss, "When its mains spur fails, the lane turns or opens freely");
        let barrier = Behaviour { fail_mode: Some(FailMode::Secure), lane: false, vehicle: true, ..lane };
        assert_eq!(barrier.action().fire, "Told to open by the fire alarm contact; it needs its mains spur for that");
        assert_eq!(
            barrier.action().power_loss,
            "When its mains spur fails, stays closed; opened by hand with key or crank"
        );
    }
}
