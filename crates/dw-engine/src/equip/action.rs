//! What happens at an opening in normal use, on fire and on loss of power, in plain sentences.

use dw_job::model::{ExitRequest, Factor, FailMode};

use super::plan::Action;

/// The arrangement as built, as far as the sentences need it.
#[derive(Clone, Debug, Default)]
pub(super) struct Arrangement {
    pub factors_in: Vec<Factor>,
    pub factors_out: Vec<Factor>,
    /// Whether a lock, body or drive is there.
    pub locked: bool,
    pub fail_mode: Option<FailMode>,
    pub free_exit: bool,
    pub exit: Option<ExitRequest>,
    pub emergency_release: bool,
    pub fire_release: bool,
    pub fire_door: bool,
    pub lane: bool,
    pub vehicle: bool,
    pub lift: bool,
    pub watched: bool,
}

impl Arrangement {
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
        let releases = self.fire_release && self.fail_mode == Some(FailMode::Safe);
        let by_hand = if self.emergency_release { ", or by the emergency release" } else { "" };
        match (releases, self.free_exit) {
            (true, true) if self.fire_door => {
                format!(
                    "Outside handle released by the fire alarm contact{by_hand}; the latch stays; inside handle always free"
                )
            }
            (true, true) => format!("Released by the fire alarm contact{by_hand}; inside handle always free"),
            (true, false) => format!("Released by the fire alarm contact, which breaks its power{by_hand}"),
            (false, true) if self.fire_door => "Stays latched against the fire; inside handle always free".to_owned(),
            (false, true) => "Stays locked from outside; inside handle always free".to_owned(),
            (false, false) if self.emergency_release => {
                "Released by the emergency release; the fire alarm does not act on it".to_owned()
            }
            (false, false) => "Stays as it is; the fire alarm does not act on it".to_owned(),
        }
    }

    fn power_loss(&self) -> String {
        if self.lift {
            return "Floors stay closed until power returns; the lift's own controls are left alone".to_owned();
        }
        if !self.locked {
            return "Nothing changes".to_owned();
        }
        let battery = "When mains and battery are lost";
        match (self.fail_mode, self.free_exit) {
            (Some(FailMode::Safe), _) if self.lane => format!("{battery}, the lane turns or opens freely"),
            (Some(FailMode::Safe), _) if self.vehicle => format!("{battery}, the way opens or can be opened by hand"),
            (Some(FailMode::Safe), true) => format!("{battery}, unlocked from outside; inside handle always free"),
            (Some(FailMode::Safe), false) => format!("{battery}, unlocked both ways"),
            (Some(FailMode::Secure), true) => "Stays locked from outside; inside handle always free".to_owned(),
            (Some(FailMode::Secure), false) if self.vehicle => {
                "Stays closed; opened by hand with key or crank".to_owned()
            }
            (Some(FailMode::Secure), false) => "Stays locked both ways; key from outside".to_owned(),
            (None, _) => "What it does is not stated by its maker".to_owned(),
        }
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
        let action = Arrangement {
            factors_in: vec![Factor::Card, Factor::Pin],
            locked: true,
            fail_mode: Some(FailMode::Secure),
            free_exit: true,
            ..Arrangement::default()
        }
        .action();
        assert_eq!(action.normal, "Card and PIN to enter; inside handle always free");
        assert_eq!(action.fire, "Stays locked from outside; inside handle always free");
        assert_eq!(action.power_loss, "Stays locked from outside; inside handle always free");
    }

    #[test]
    fn a_magnet_on_a_way_of_escape_is_released_by_the_fire_alarm_contact() {
        let action = Arrangement {
            factors_in: vec![Factor::Card],
            locked: true,
            fail_mode: Some(FailMode::Safe),
            exit: Some(ExitRequest::Sensor),
            emergency_release: true,
            fire_release: true,
            ..Arrangement::default()
        }
        .action();
        assert_eq!(action.normal, "Card to enter; exit sensor releases it to leave");
        assert_eq!(
            action.fire,
            "Released by the fire alarm contact, which breaks its power, or by the emergency release"
        );
        assert_eq!(action.power_loss, "When mains and battery are lost, unlocked both ways");
    }
}
