//! From the survey of an opening to what its lock and readers must do.

use dw_core::{Metres, Minutes};
use dw_job::model::{EscapeDuty, Factor, Opening, OpeningKind};

use super::body;
use super::control::{ReadingDemand, milliamps};
use super::exclude::Settled;
use super::flow::Flow;
use super::lock::{self, LockDemand};
use super::plan::Role;
use super::reader::Direction;
use super::register::{Pinned, Register, Staying};
use super::situation::{Stand, Surroundings, has_leaf, is_lane, millimetres, minutes, permille, thousandths};
use crate::survey::{Settings, Surveyed};

/// One opening with everything known of it.
#[derive(Clone, Copy)]
pub(super) struct Case<'c> {
    pub surveyed: &'c Surveyed,
    pub opening: &'c Opening,
    pub pinned: &'c Pinned,
    pub settings: &'c Settings,
    pub panic_load: Option<u32>,
    /// The class of its peak flow.
    pub flow: Flow,
    /// Devices on site that stay.
    pub kept: &'c [Staying],
}

impl Case<'_> {
    /// Whether somebody must prove who they are on the way in.
    pub(super) fn reads_in(&self) -> bool {
        self.surveyed.factors_in > 0 || !self.surveyed.demanded.is_empty() || self.pinned.reader.is_some()
    }

    pub(super) fn reads_out(&self) -> bool {
        self.surveyed.factors_out > 0
    }

    /// Whether the opening is locked by this system.
    pub(super) fn locked(&self) -> bool {
        let kind = self.surveyed.kind;
        // A lane or barrier is a driven body whether or not anybody reads there.
        let driven = body::has_lock(kind) && !has_leaf(kind);
        driven || has_leaf(kind) && (self.reads_in() || self.reads_out() || self.pinned.lock.is_some())
    }

    /// The load and the load from which panic hardware is wanted, when it is.
    ///
    /// A door on the way counts as an exit does: the codes speak of doors that serve the room.
    pub(super) fn panic(&self) -> Option<(u32, u32)> {
        let limit = self.panic_load?;
        let load = self.surveyed.occupant_load;
        let swings = matches!(self.surveyed.kind, OpeningKind::Single | OpeningKind::Pair);
        (swings && self.surveyed.escape != EscapeDuty::None && load >= limit && load > 0).then_some((load, limit))
    }

    /// What decides the lock.
    pub(super) fn lock(&self, register: &Register<'_>) -> LockDemand {
        let (surveyed, door) = (self.surveyed, &self.opening.door);
        let kept = register.staying(&surveyed.mark, Role::Lock).next();
        let stand = match surveyed.kind {
            OpeningKind::Gate | OpeningKind::Hatch => Stand::Body,
            kind if has_leaf(kind) => Stand::Rebate,
            _ => Stand::Body,
        };
        let mm = |length: Option<Metres>| length.map(millimetres);
        LockDemand {
            kind: surveyed.kind,
            leaf: door.leaf,
            preparation: door.preparation,
            fill: door.frame_fill,
            frame_section_mm: mm(door.frame_section),
            header_depth_mm: mm(door.header_depth),
            stile_width_mm: mm(door.stile_width),
            inside: door.inside_handle,
            transfer: door.power_transfer,
            fire_min: minutes(surveyed.fire_rating_min.max(Minutes::ZERO)),
            escape: surveyed.escape,
            panic_from: self.panic().map(|(_, limit)| limit),
            release_asked: self.opening.fire_release == Some(true),
            fail_mode: self.pinned.fail_mode.or(surveyed.fail_mode),
            mode_pinned: self.pinned.fail_mode.is_some(),
            policy_mode: self.settings.fail_mode,
            around: Surroundings::of(&surveyed.exposure, stand),
            bank: register.bank(&surveyed.mark).map_or((0, 1), |bank| (bank.place, bank.lanes)),
            flow: if is_lane(surveyed.kind) { self.flow } else { Flow::Unknown },
            settled: lock::settled(self.pinned.lock.as_ref(), kept.map(|staying| &staying.device)),
            adapt: kept.and_then(|staying| staying.adapt).map(thousandths),
        }
    }

    /// What decides readers and control, once the lock's highest current is known.
    pub(super) fn reading(&self, register: &Register<'_>, lock_amps: f64, inputs: u32) -> ReadingDemand {
        let surveyed = self.surveyed;
        let kept = register.staying(&surveyed.mark, Role::ReaderIn).next();
        let kept_out = register.staying(&surveyed.mark, Role::ReaderOut).next();
        let reusable = self.opening.existing_cable.reuse == Some(true);
        ReadingDemand {
            kind: surveyed.kind,
            inward: self.reads_in().then(|| self.inward()),
            outward: self.reads_out().then(|| self.outward()),
            inputs,
            floors: register.floors(&surveyed.storey),
            level: surveyed.to_level,
            lock_ma: milliamps(lock_amps),
            existing_cores: self.opening.existing_cable.cores.filter(|_| reusable).unwrap_or(0),
            reader: lock::settled(self.pinned.reader.as_ref(), kept.map(|staying| &staying.device)),
            reader_out: kept_out.map(|staying| Settled::Kept(staying.device.clone())),
            controller: self.pinned.controller.clone(),
            arrangement: self.pinned.arrangement,
            adapt: kept.and_then(|staying| staying.adapt).map(thousandths),
        }
    }

    fn inward(&self) -> Direction {
        let surveyed = self.surveyed;
        Direction {
            factors: surveyed.factors_in,
            demanded: surveyed.demanded.clone(),
            around: Surroundings::of(&surveyed.exposure, Stand::Hand),
            around_body: Surroundings::of(&surveyed.exposure, Stand::Body),
            picture: surveyed.picture,
            ..self.direction()
        }
    }

    /// On the way out the named factors count only where as many are demanded.
    fn outward(&self) -> Direction {
        let surveyed = self.surveyed;
        let enough = surveyed.factors_out as usize >= surveyed.demanded.len();
        Direction {
            factors: surveyed.factors_out,
            demanded: if enough { surveyed.demanded.clone() } else { Vec::<Factor>::new() },
            around: Surroundings::inside(&surveyed.exposure, surveyed.kind, Stand::Hand),
            around_body: Surroundings::inside(&surveyed.exposure, surveyed.kind, Stand::Body),
            picture: false,
            ..self.direction()
        }
    }

    fn direction(&self) -> Direction {
        let surveyed = self.surveyed;
        let users = &surveyed.users;
        let unfit = 1.0 - (1.0 - users.soiled_share) * (1.0 - users.gloves_share) * (1.0 - users.chemicals_share);
        Direction {
            kind: surveyed.kind,
            factors: 0,
            demanded: Vec::new(),
            refused: surveyed.refused.clone(),
            around: Surroundings::of(&[], Stand::Hand),
            around_body: Surroundings::of(&[], Stand::Body),
            place: surveyed.reader_place,
            width_mm: surveyed.reader_width_m.map(millimetres),
            picture: false,
            fingers_unfit: permille(unfit),
            gloved: permille(users.gloves_share),
            people: users.planned,
            finger_templates: users.finger_templates,
            vehicles: users.vehicles,
            flow: self.flow,
        }
    }
}
