//! An opening: anything a person or vehicle passes.

use dw_core::{Metres, Minutes, Ohms, OpeningId, Seconds, SpaceId, SquareMm, StoreyId};

use crate::text::{record, section, words};

words! {
    /// What kind of opening it is.
    pub enum OpeningKind {
        /// One hinged leaf.
        Single "single",
        /// Two hinged leaves.
        Pair "pair",
        /// Sliding door.
        Sliding "sliding",
        /// Revolving door.
        Revolving "revolving",
        /// Pedestrian gate in a fence.
        Gate "gate",
        /// Turnstile lane of ordinary width.
        TurnstileLane "turnstile-lane",
        /// Wide lane for wheelchairs, prams, goods.
        WideLane "wide-lane",
        /// Vehicle barrier arm.
        VehicleBarrier "vehicle-barrier",
        /// Vehicle gate, swinging or sliding.
        VehicleGate "vehicle-gate",
        /// Lift car with floor selection under control.
        LiftCar "lift-car",
        /// Roof or floor hatch.
        Hatch "hatch",
    }
}

words! {
    /// What a leaf or frame is made of.
    pub enum Material {
        /// Timber.
        Timber "timber",
        /// Hollow metal.
        HollowMetal "hollow-metal",
        /// Aluminium section.
        Aluminium "aluminium",
        /// Frameless glass.
        Glass "glass",
        /// Solid steel.
        Steel "steel",
        /// Plastic section.
        Plastic "plastic",
    }
}

words! {
    /// What fills a frame section where hardware is cut in.
    pub enum FrameFill {
        /// Nothing.
        Empty "empty",
        /// Mortar or grout.
        Grout "grout",
        /// Insulation.
        Insulation "insulation",
        /// Timber.
        Solid "solid",
    }
}

words! {
    /// Hand of a door, seen from outside the room it secures.
    pub enum Handing {
        /// Hinges left, opens away.
        Left "left",
        /// Hinges right, opens away.
        Right "right",
        /// Hinges left, opens towards.
        LeftReverse "left-reverse",
        /// Hinges right, opens towards.
        RightReverse "right-reverse",
    }
}

words! {
    /// What a door has been prepared for.
    pub enum Preparation {
        /// Nothing is cut.
        None "none",
        /// Cut for an electric strike.
        Strike "strike",
        /// Cut for a mortise lock.
        Mortise "mortise",
        /// Drilled for a rim exit device.
        ExitDevice "exit-device",
        /// Header takes an electromagnetic lock.
        Magnet "magnet",
    }
}

words! {
    /// What a door has for taking power to its leaf.
    pub enum TransferPreparation {
        /// Nothing.
        None "none",
        /// Cut for a concealed power transfer.
        Concealed "concealed",
        /// Hinge position free for a power hinge.
        Hinge "hinge",
        /// Surface loop can be fitted.
        Loop "loop",
    }
}

words! {
    /// What the inside handle does.
    pub enum InsideHandle {
        /// Always retracts the latch.
        Free "free",
        /// Fixed, no way out by hand.
        Fixed "fixed",
        /// Push bar of a panic or exit device.
        PushBar "push-bar",
    }
}

section! {
    /// The door itself.
    pub struct Door {
        /// Leaf material.
        leaf: Option<Material>,
        /// Frame material.
        frame: Option<Material>,
        /// Hand.
        handing: Option<Handing>,
        /// Leaf thickness.
        leaf_thickness: Option<Metres>,
        /// Stile width.
        stile_width: Option<Metres>,
        /// Face width of the frame section.
        frame_section: Option<Metres>,
        /// What fills the frame section.
        frame_fill: Option<FrameFill>,
        /// Depth of the header.
        header_depth: Option<Metres>,
        /// Clear width when open.
        clear_width: Option<Metres>,
        /// Fire resistance of the door set.
        fire_rating: Option<Minutes>,
        /// Lock case, in words.
        lock_case: Option<String>,
        /// Backset of the lock case.
        backset: Option<Metres>,
        /// What leaf and frame are prepared for.
        preparation: Option<Preparation>,
        /// Hinges, in words.
        hinges: Option<String>,
        /// How power can reach the leaf.
        power_transfer: Option<TransferPreparation>,
        /// Cores of the power transfer.
        transfer_cores: Option<u32>,
        /// Resistance of one core of the power transfer.
        transfer: Option<Ohms>,
        /// Whether it has a closer.
        closer: Option<bool>,
        /// Whether it latches without help.
        latches_unaided: Option<bool>,
        /// Powered operator, in words.
        operator: Option<String>,
        /// Who owns the operator.
        operator_owner: Option<String>,
        /// Where a cable enters, in words.
        cable_entry: Option<String>,
        /// Whether the ceiling above can be opened.
        ceiling_access: Option<bool>,
        /// Cylinder, in words.
        cylinder: Option<String>,
        /// What the inside handle does.
        inside_handle: Option<InsideHandle>,
        /// Active leaf of a pair: left or right, in words.
        active_leaf: Option<String>,
        /// Flush bolts of a pair, in words.
        flush_bolts: Option<String>,
        /// Whether a pair has an astragal.
        astragal: Option<bool>,
        /// Closing sequence of a pair, in words.
        closing_sequence: Option<String>,
    }
}

words! {
    /// What weather and use do to devices at the opening.
    pub enum Exposure {
        /// Heated and dry.
        Indoors "indoors",
        /// Outdoors under a roof.
        Sheltered "sheltered",
        /// Outdoors.
        Outdoors "outdoors",
        /// Sun shines on the reader or behind the user.
        DirectSun "direct-sun",
        /// Cleaned with water.
        WashDown "wash-down",
        /// Dusty.
        Dust "dust",
        /// Knocked by loads or by people who mean it.
        Knocks "knocks",
    }
}

words! {
    /// The part an opening plays in escape.
    pub enum EscapeDuty {
        /// No part.
        None "none",
        /// A door on the way out.
        Route "route",
        /// A final or emergency exit.
        Exit "exit",
    }
}

words! {
    /// Where a reader can sit.
    pub enum ReaderPlace {
        /// On a narrow frame or mullion.
        Mullion "mullion",
        /// On a wall box of one gang.
        WallBox "wall-box",
        /// On a post or pedestal.
        Post "post",
        /// Inside a lane or lift car.
        BuiltIn "built-in",
    }
}

words! {
    /// A factor or modality that proves who somebody is.
    pub enum Factor {
        /// Card or other token.
        Card "card",
        /// Number known by heart.
        Pin "pin",
        /// Finger.
        Finger "finger",
        /// Face.
        Face "face",
        /// Vein of finger or palm.
        Vein "vein",
        /// Number plate of a vehicle.
        Plate "plate",
    }
}

section! {
    /// Proof demanded, and the reader that takes it.
    pub struct Proof {
        /// Factors demanded on the way in; 0 for none. The zone level decides when absent.
        factors_in: Option<u32>,
        /// Factors demanded on the way out; 0 for free.
        factors_out: Option<u32>,
        /// Factors that must be among them.
        demanded: Vec<Factor>,
        /// Factors the customer will not have here.
        refused: Vec<Factor>,
        /// Where the reader can sit.
        place: Option<ReaderPlace>,
        /// Width there.
        width: Option<Metres>,
        /// Whether a picture is taken at each passage.
        picture: Option<bool>,
    }
}

words! {
    /// How people inside ask to leave.
    pub enum ExitRequest {
        /// They do not: the handle is free, or they read out.
        None "none",
        /// Push button.
        Button "button",
        /// Motion sensor.
        Sensor "sensor",
        /// Switch in the handle or bar.
        HandleSwitch "handle-switch",
    }
}

section! {
    /// What is watched at the opening.
    pub struct Monitoring {
        /// Whether the position of the leaf is watched.
        position: Option<bool>,
        /// Whether each input tells normal, alarm, open and short apart.
        four_state: Option<bool>,
        /// Tamper contacts to wire; each takes an input.
        tampers: Option<u32>,
        /// Time a door may stand open.
        held_open: Option<Seconds>,
        /// Whether a forced door raises an alarm.
        forced: Option<bool>,
        /// Whether a sounder tells at the door.
        sounder: Option<bool>,
    }
}

section! {
    /// Who does what: one party's name a field.
    pub struct Duty {
        /// Who does all four, unless said otherwise.
        all: Option<String>,
        /// Who supplies.
        supply: Option<String>,
        /// Who fits.
        fit: Option<String>,
        /// Who wires.
        wire: Option<String>,
        /// Who tests.
        test: Option<String>,
    }
}

section! {
    /// Split of works.
    pub struct Works {
        /// Lock.
        lock: Duty,
        /// Power transfer.
        power_transfer: Duty,
        /// Closer.
        closer: Duty,
        /// Operator.
        operator: Duty,
        /// Containment.
        containment: Duty,
        /// Mains spur.
        mains_spur: Duty,
        /// Fire contact.
        fire_contact: Duty,
        /// Network port.
        network_port: Duty,
    }
}

section! {
    /// A cable that is in the wall already.
    pub struct ExistingCable {
        /// Cores.
        cores: Option<u32>,
        /// Cross-section of a core.
        area: Option<SquareMm>,
        /// Gauge of a core (AWG), instead of the cross-section.
        awg: Option<u32>,
        /// Length.
        length: Option<Metres>,
        /// Room it ends in.
        room: Option<dw_core::RoomId>,
        /// Whether it may be used again.
        reuse: Option<bool>,
    }
}

words! {
    /// How far along an opening is.
    pub enum Status {
        /// Surveyed.
        Surveyed "surveyed",
        /// Approved by the customer.
        Approved "approved",
        /// Ordered.
        Ordered "ordered",
        /// Installed.
        Installed "installed",
        /// Tested.
        Tested "tested",
        /// Witnessed by the customer.
        Witnessed "witnessed",
    }
}

words! {
    /// What a lock does when its power is lost.
    pub enum FailMode {
        /// Unlocks when power is lost.
        Safe "fail-safe",
        /// Stays locked when power is lost.
        Secure "fail-secure",
    }
}

words! {
    /// What sort of work the opening is, for labour.
    pub enum WorkKind {
        /// New door, ways open.
        New "new",
        /// Door in use, finished walls.
        Retrofit "retrofit",
        /// Devices or cable taken over.
        Takeover "takeover",
    }
}

record! {
    /// An opening: anything a person or vehicle passes.
    pub struct Opening: "opening" by mark: OpeningId {
        /// Mark on drawings and labels.
        id,
        /// Name in words.
        name: Option<String>,
        /// Storey.
        storey: Option<StoreyId>,
        /// East of the plan's origin.
        x: Option<Metres>,
        /// North of the plan's origin.
        y: Option<Metres>,
        /// What kind it is.
        kind: Option<OpeningKind>,
        /// Space one comes from when entering.
        from: Option<SpaceId>,
        /// Space one enters: the secure side.
        to: Option<SpaceId>,
        /// What sort of work it is.
        work: Option<WorkKind>,
        /// How far along it is.
        status: Option<Status>,
        /// The door.
        door: Door,
        /// Weather and use, all that apply.
        exposure: Vec<Exposure>,
        /// Part in escape.
        escape: Option<EscapeDuty>,
        /// People who would use it to escape.
        occupant_load: Option<u32>,
        /// Whether the fire alarm must release it.
        fire_release: Option<bool>,
        /// What the lock must do when power is lost, when the customer has said so.
        fail_mode: Option<FailMode>,
        /// Proof.
        proof: Proof,
        /// How people inside ask to leave.
        exit_request: Option<ExitRequest>,
        /// What is watched.
        monitoring: Monitoring,
        /// Hardware already there, in words.
        existing_hardware: Option<String>,
        /// Cable already there.
        existing_cable: ExistingCable,
        /// Split of works; the policy's split counts where nothing is said.
        works: Works,
        /// People an hour at the busiest.
        peak_flow: Option<u32>,
        /// Whether work is only possible out of hours.
        out_of_hours: Option<bool>,
        /// Remarks.
        notes: Option<String>,
    }
}
