//! A device of the catalogue: one record form for every kind, each kind using the parts that matter to it.

use dw_core::{AmpHours, Amps, Celsius, DeviceId, Hours, Metres, Money, OhmsPerMetre, Seconds, SquareMm, Volts, Watts};

use crate::model::{Factor, FailMode, Material, OpeningKind, Preparation, ReaderPlace, TransferPreparation};
use crate::text::{record, section, words};

words! {
    /// What kind of device it is.
    pub enum DeviceKind {
        /// Decides for the openings wired to its ports.
        Controller "controller",
        /// Decides by itself at the opening, or acts as a reader.
        StandaloneUnit "standalone-unit",
        /// Takes proof and sends it to a controller.
        Reader "reader",
        /// Reads number plates.
        PlateCamera "plate-camera",
        /// Turnstile body with its lanes.
        Turnstile "turnstile",
        /// Vehicle barrier or gate drive.
        VehicleDrive "vehicle-drive",
        /// Walk-through metal detector.
        WalkThroughDetector "walk-through-detector",
        /// Hand-held metal detector.
        HandHeldDetector "hand-held-detector",
        /// Visitor desk with its software.
        VisitorDesk "visitor-desk",
        /// Prints badges.
        BadgePrinter "badge-printer",
        /// Controls floor selection of a lift car.
        LiftController "lift-controller",
        /// Interface to a video system.
        VideoInterface "video-interface",
        /// Electric lock.
        Lock "lock",
        /// Takes power from frame to leaf.
        PowerTransfer "power-transfer",
        /// Request to exit.
        ExitRequest "exit-request",
        /// Emergency release that breaks lock power.
        EmergencyRelease "emergency-release",
        /// Door position switch.
        DoorContact "door-contact",
        /// Sounder at the door.
        Sounder "sounder",
        /// Expands inputs and outputs.
        Expander "expander",
        /// Power supply and charger.
        PowerSupply "power-supply",
        /// Standby battery.
        Battery "battery",
        /// Enclosure.
        Enclosure "enclosure",
        /// Controller, enclosure and supply in one.
        Kit "kit",
        /// Turns network power into low voltage.
        Splitter "splitter",
        /// Radio bridge, a pair of ends.
        RadioBridge "radio-bridge",
        /// Network switch.
        Switch "switch",
        /// Surge protector for a line between buildings.
        SurgeProtector "surge-protector",
        /// Cable, priced by the metre.
        Cable "cable",
        /// Enrolment station.
        EnrolmentStation "enrolment-station",
        /// Head-end.
        HeadEnd "head-end",
        /// Licence by opening count.
        Licence "licence",
        /// Card or other token.
        Credential "credential",
    }
}

words! {
    /// How a device talks to what it serves.
    pub enum Interface {
        /// Two data lines, one reader a port.
        DataLines "data-lines",
        /// Multidrop bus (RS-485).
        Multidrop "multidrop",
        /// Four-wire RS-485 to finger readers without their own database.
        FingerBus "finger-bus",
        /// Network.
        Network "network",
        /// Contact closure.
        Contact "contact",
    }
}

words! {
    /// Lock kinds of the trade, and drives that stand in for a lock.
    pub enum LockKind {
        /// Electric strike.
        ElectricStrike "electric-strike",
        /// Electromagnetic lock.
        ElectromagneticLock "electromagnetic-lock",
        /// Electrified mortise lock.
        ElectrifiedMortiseLock "electrified-mortise-lock",
        /// Latch retraction exit device.
        LatchRetraction "latch-retraction",
        /// Motor lock.
        MotorLock "motor-lock",
    }
}

words! {
    /// What a load does when its voltage falls.
    pub enum Draws {
        /// The same current.
        Current "constant-current",
        /// Less, as a coil does.
        Resistance "resistance",
        /// More, as what regulates does.
        Power "constant-power",
    }
}

words! {
    /// What a cable is for.
    pub enum CableUse {
        /// Reader data and power.
        Reader "reader",
        /// Lock power.
        Lock "lock",
        /// Door contact.
        Contact "contact",
        /// Request to exit.
        ExitRequest "exit-request",
        /// Network.
        Network "network",
        /// All conductors of an opening under one sheath.
        Composite "composite",
        /// Optical fibre between telecom rooms; a core is a fibre.
        Fibre "fibre",
    }
}

section! {
    /// Hours of labour for one device.
    pub struct DeviceLabour {
        /// Fitting.
        fit: Option<Hours>,
        /// Setting to work and testing.
        commission: Option<Hours>,
    }
}

section! {
    /// How much a device holds or serves. Absent means: not stated, which is a finding where it matters.
    pub struct Limits {
        /// Cards.
        cards: Option<u32>,
        /// Finger templates.
        fingers: Option<u32>,
        /// Face templates.
        faces: Option<u32>,
        /// Vein templates.
        veins: Option<u32>,
        /// Plates.
        plates: Option<u32>,
        /// Events kept without the network.
        events: Option<u32>,
        /// Openings served.
        openings: Option<u32>,
        /// Readers served for each opening.
        readers: Option<u32>,
        /// Supervised inputs for each opening.
        inputs: Option<u32>,
        /// Persons a minute through one lane.
        persons_per_minute: Option<u32>,
    }
}

section! {
    /// Electrical figures.
    pub struct Electrical {
        /// Nominal voltage.
        nominal: Option<Volts>,
        /// Least voltage it works at.
        min: Option<Volts>,
        /// Highest voltage it bears.
        max: Option<Volts>,
        /// Current at rest (a lock: while it holds its usual state).
        standby: Option<Amps>,
        /// Current at work (a lock: while energised).
        active: Option<Amps>,
        /// Current when switched on.
        inrush: Option<Amps>,
        /// How long the inrush lasts.
        inrush_time: Option<Seconds>,
        /// What it draws when its voltage falls; by its kind where nothing is stated.
        draws: Option<Draws>,
        /// Power it takes from the network cable, at the device.
        network_power: Option<Watts>,
        /// Power it takes from the mains.
        mains: Option<Watts>,
    }
}

section! {
    /// What a device bears.
    pub struct Environment {
        /// Ingress code digits (IEC 60529), 65 for IP65.
        ip: Option<u32>,
        /// Impact code (IEC 62262), 8 for IK08.
        ik: Option<u32>,
        /// Lowest temperature.
        temperature_min: Option<Celsius>,
        /// Highest temperature.
        temperature_max: Option<Celsius>,
        /// Whether direct sun on it or behind the user does no harm.
        sun: Option<bool>,
    }
}

section! {
    /// Size.
    pub struct Size {
        /// Width.
        width: Option<Metres>,
        /// Height.
        height: Option<Metres>,
        /// Depth.
        depth: Option<Metres>,
    }
}

section! {
    /// Figures of a reader or standalone unit.
    pub struct Reading {
        /// Factors it can take.
        factors: Vec<Factor>,
        /// Most factors it asks for at one passage.
        max_factors: Option<u32>,
        /// Where it can sit.
        places: Vec<ReaderPlace>,
        /// Time of one passage.
        passage: Option<Seconds>,
        /// False match rate of one comparison.
        false_match_rate: Option<f64>,
        /// Whether it searches everybody enrolled rather than checking one claimed identity.
        searches: Option<bool>,
        /// Whether it takes a picture.
        picture: Option<bool>,
    }
}

section! {
    /// Figures of a controller.
    pub struct Control {
        /// Openings it has ports for.
        ports: Option<u32>,
        /// Interfaces its ports have.
        interfaces: Vec<Interface>,
        /// Whether it matches fingers on board.
        matches_fingers: Option<bool>,
        /// Places it takes in an enclosure, in units of one opening's controller.
        enclosure_units: Option<u32>,
        /// Highest current its lock outputs switch, each.
        output: Option<Amps>,
    }
}

section! {
    /// Figures of a lock.
    pub struct Lock {
        /// Kind.
        kind: Option<LockKind>,
        /// What it can do when power is lost.
        fail_modes: Vec<FailMode>,
        /// Openings it suits.
        suits: Vec<OpeningKind>,
        /// Leaf materials it suits; any when none is named.
        leaves: Vec<Material>,
        /// Preparation it needs in leaf or frame.
        preparation: Option<Preparation>,
        /// Whether power must reach the leaf.
        on_leaf: Option<bool>,
        /// Whether it is listed for fire doors in the fail mode stated last.
        fire_rated: Option<bool>,
        /// Whether the inside handle or bar always frees the way out mechanically.
        free_exit: Option<bool>,
        /// Whether it tells its state.
        monitored: Option<bool>,
    }
}

section! {
    /// Figures of a power supply, splitter or kit.
    pub struct Supply {
        /// Output voltage on mains.
        output_voltage: Option<Volts>,
        /// Output current, charger included.
        output: Option<Amps>,
        /// Efficiency, percent.
        efficiency_percent: Option<f64>,
        /// Highest charging current.
        charger: Option<Amps>,
        /// Largest battery.
        max_battery: Option<AmpHours>,
        /// Fused outputs; one where none are stated.
        outputs: Option<u32>,
        /// Rating of each fused output; that of the whole supply where none is stated.
        output_rating: Option<Amps>,
        /// Whether each output, battery behind it, is listed as a class 2 source.
        class_2: Option<bool>,
    }
}

section! {
    /// Figures of a battery.
    pub struct BatteryData {
        /// Rated capacity.
        capacity: Option<AmpHours>,
        /// Duration of the rating.
        rated: Option<Hours>,
        /// Nominal voltage.
        nominal: Option<Volts>,
        /// Voltage at which discharge ends.
        end: Option<Volts>,
        /// Peukert exponent.
        peukert: Option<f64>,
    }
}

section! {
    /// A reel beside the usual one.
    pub struct OtherReel {
        /// Length on it.
        length: Option<Metres>,
        /// Price of it; that of its metres where none is stated.
        price: Option<Money>,
    }
}

section! {
    /// Figures of a cable.
    pub struct CableData {
        /// What it is for, all that apply.
        uses: Vec<CableUse>,
        /// Family, as the policy names it.
        family: Option<String>,
        /// Cores.
        cores: Option<u32>,
        /// Cross-section of a core.
        area: Option<SquareMm>,
        /// Gauge of a core (AWG).
        awg: Option<u32>,
        /// Resistance of a core at 20 °C.
        resistance: Option<OhmsPerMetre>,
        /// Outside diameter.
        diameter: Option<Metres>,
        /// Longest run its signal bears.
        max_length: Option<Metres>,
        /// Length of a reel.
        reel: Option<Metres>,
        /// Price of a reel; that of its metres where none is stated.
        reel_price: Option<Money>,
        /// A shorter reel or coil it is also sold on.
        short_reel: OtherReel,
        /// A longer reel or drum it is also sold on.
        long_reel: OtherReel,
        /// Labour for one metre.
        labour_per_metre: Option<Hours>,
        /// Whether it may lie outdoors.
        outdoor: Option<bool>,
    }
}

section! {
    /// Figures of a switch or radio bridge.
    pub struct NetworkData {
        /// Ports.
        ports: Option<u32>,
        /// Power for all devices together, at the source.
        power_budget: Option<Watts>,
        /// Highest power class of a port (IEEE 802.3).
        class: Option<u32>,
        /// Longest radio path.
        range: Option<Metres>,
        /// Frequency of a radio bridge, MHz.
        frequency_mhz: Option<f64>,
        /// Power of its transmitter, dBm.
        transmit_dbm: Option<f64>,
        /// Gain of the antenna at each end, dBi.
        antenna_dbi: Option<f64>,
        /// Loss of cable and plugs at each end, dB.
        antenna_loss_db: Option<f64>,
        /// Width of its channel, MHz: 20, 40, 80 or 160.
        channel_mhz: Option<u32>,
    }
}

section! {
    /// How a device speaks: on a bus, over two data lines, on the network.
    pub struct LinkData {
        /// Unit loads it puts on a bus (TIA-485-A).
        unit_load: Option<f64>,
        /// Highest bit rate on a bus, bit/s.
        highest_bit_per_s: Option<f64>,
        /// Whether it speaks over a secure channel on a bus (IEC 60839-11-5).
        secure: Option<bool>,
        /// Buses of a controller, apart from each other.
        buses: Option<u32>,
        /// Rise time of a controller's bus driver, ns.
        rise_ns: Option<f64>,
        /// Width of its pulses on two data lines, us.
        pulse_us: Option<f64>,
        /// Time from pulse to pulse on two data lines, us.
        interval_us: Option<f64>,
        /// Whether it opens every connection itself, so that nothing must find it by its address.
        outbound: Option<bool>,
    }
}

record! {
    /// A device of the catalogue.
    pub struct Device: "device" by id: DeviceId {
        /// Model name.
        id,
        /// Kind.
        kind: Option<DeviceKind>,
        /// What it is, in a line.
        description: Option<String>,
        /// Price of one, or of a metre of cable.
        price: Option<Money>,
        /// What it costs a year to keep, licence or maintenance.
        yearly_cost: Option<Money>,
        /// Years until it is replaced.
        life_years: Option<f64>,
        /// Labour.
        labour: DeviceLabour,
        /// Limits.
        limits: Limits,
        /// Electrical.
        electrical: Electrical,
        /// Interfaces it speaks to its controller or network.
        interfaces: Vec<Interface>,
        /// Environment.
        environment: Environment,
        /// Size.
        size: Size,
        /// Readers and standalone units.
        reading: Reading,
        /// Controllers and kits.
        control: Control,
        /// Locks.
        lock: Lock,
        /// Supplies, splitters and kits.
        supply: Supply,
        /// Batteries.
        battery: BatteryData,
        /// Enclosures: units of controllers they take.
        enclosure_units: Option<u32>,
        /// Cables.
        cable: CableData,
        /// Switches and radio bridges.
        network: NetworkData,
        /// How it speaks.
        link: LinkData,
        /// Openings a turnstile, drive or lift controller suits.
        suits: Vec<OpeningKind>,
        /// Lanes of a turnstile.
        lanes: Option<u32>,
        /// How a power transfer reaches the leaf.
        transfer: Option<TransferPreparation>,
        /// What a kit is made of.
        contains: Vec<DeviceId>,
        /// Who runs this head-end.
        head_end: Option<crate::model::HeadEndKind>,
    }
}
