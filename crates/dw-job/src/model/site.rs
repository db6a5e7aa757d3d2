//! The site: buildings, storeys, spaces, zones, telecom rooms, cable ways.

use dw_core::{
    BlockedAreaId, BuildingId, CableWayId, Celsius, DeviceId, Metres, RoomId, SpaceId, SquareMm, StoreyId, Watts,
    ZoneId,
};

use crate::text::{record, section, words};

record! {
    /// A building of the site.
    pub struct Building: "building" by id: BuildingId {
        /// Short name used by storeys.
        id,
        /// Name on paper.
        name: Option<String>,
        /// Where cables to other buildings leave, east of the origin.
        entry_x: Option<Metres>,
        /// Where cables to other buildings leave, north of the origin.
        entry_y: Option<Metres>,
    }
}

section! {
    /// A plan image under a storey.
    pub struct Plan {
        /// File name beside the job.
        image: Option<String>,
        /// Metres on site for one metre on the image at its own resolution, as `length of one pixel`.
        pixel: Option<Metres>,
    }
}

record! {
    /// A storey of a building.
    pub struct Storey: "storey" by id: StoreyId {
        /// Short name used everywhere else.
        id,
        /// The building it belongs to.
        building: Option<BuildingId>,
        /// Name on paper.
        name: Option<String>,
        /// Height of its floor above the site's datum.
        elevation: Option<Metres>,
        /// Floor to floor height.
        height: Option<Metres>,
        /// The plan image.
        plan: Plan,
    }
}

record! {
    /// A set of spaces with one protection level.
    pub struct Zone: "zone" by id: ZoneId {
        /// Short name.
        id,
        /// Name on paper.
        name: Option<String>,
        /// Protection level, 0 (public) to 4 (highest).
        level: Option<u32>,
    }
}

record! {
    /// A space: a room, a hall, a yard, or the outside.
    pub struct Space: "space" by id: SpaceId {
        /// Short name.
        id,
        /// Name on paper.
        name: Option<String>,
        /// The storey it lies on.
        storey: Option<StoreyId>,
        /// The zone it belongs to.
        zone: Option<ZoneId>,
        /// Most people in it at once.
        occupants: Option<u32>,
    }
}

record! {
    /// A telecom room: where controllers, supplies and switches stand.
    pub struct Room: "room" by id: RoomId {
        /// Short name.
        id,
        /// Name on paper.
        name: Option<String>,
        /// The storey it lies on.
        storey: Option<StoreyId>,
        /// East of the plan's origin.
        x: Option<Metres>,
        /// North of the plan's origin.
        y: Option<Metres>,
        /// Most controllers the room may hold.
        max_controllers: Option<u32>,
        /// Free wall or rack places for enclosures.
        enclosure_places: Option<u32>,
        /// Free network ports on the customer's switches.
        network_ports: Option<u32>,
        /// Power left for devices fed over the network.
        network_power: Option<Watts>,
        /// Whether mains is there.
        mains: Option<bool>,
        /// Highest temperature of the room in use.
        temperature_max: Option<Celsius>,
        /// Lowest temperature of the room in use.
        temperature_min: Option<Celsius>,
        /// Whether its network comes over a radio bridge or through a trench, and from which room.
        bridge_from: Option<RoomId>,
        /// Distance of the radio bridge.
        bridge_length: Option<Metres>,
        /// Length of a trench with duct that would bring the network from the same room by fibre cable instead.
        trench_length: Option<Metres>,
        /// Height of the bridge's antenna here above the site's datum.
        antenna: Option<Metres>,
        /// Height of the bridge's antenna at the other room above the site's datum.
        antenna_from: Option<Metres>,
        /// Remarks.
        notes: Option<String>,
    }
}

words! {
    /// What kind of way a cable way is.
    pub enum CableWayKind {
        /// Open tray or basket.
        Tray "tray",
        /// Closed conduit or trunking.
        Conduit "conduit",
        /// Vertical riser between storeys.
        Riser "riser",
        /// Buried duct.
        Duct "duct",
        /// Cable in the air between masts or buildings.
        Span "span",
    }
}

record! {
    /// A drawn cable way: a straight piece between two points, which may lie on two storeys.
    pub struct CableWay: "cable_way" by id: CableWayId {
        /// Short name.
        id,
        /// What kind it is.
        kind: Option<CableWayKind>,
        /// Storey of its first end.
        storey: Option<StoreyId>,
        /// First end, east.
        x1: Option<Metres>,
        /// First end, north.
        y1: Option<Metres>,
        /// Storey of its second end, when another one.
        to_storey: Option<StoreyId>,
        /// Second end, east.
        x2: Option<Metres>,
        /// Second end, north.
        y2: Option<Metres>,
        /// Length, when it is not the straight distance.
        length: Option<Metres>,
        /// Cross-section inside.
        area: Option<SquareMm>,
        /// Share of the cross-section already taken, percent.
        filled_percent: Option<f64>,
        /// Whether cables may not use it.
        blocked: Option<bool>,
        /// Whether a carrying wire bears the cables of a span.
        carried: Option<bool>,
        /// Whether it still has to be built.
        new: Option<bool>,
        /// What it may still take, for the engineer to remember.
        notes: Option<String>,
    }
}

record! {
    /// A rectangle on a storey that no cable may cross; several side by side make any shape.
    pub struct BlockedArea: "blocked_area" by id: BlockedAreaId {
        /// Short name.
        id,
        /// The storey it lies on.
        storey: Option<StoreyId>,
        /// One corner, east.
        x1: Option<Metres>,
        /// One corner, north.
        y1: Option<Metres>,
        /// The corner across, east.
        x2: Option<Metres>,
        /// The corner across, north.
        y2: Option<Metres>,
        /// Why no cable may cross it.
        notes: Option<String>,
    }
}

words! {
    /// What happens to equipment that is already there.
    pub enum Keep {
        /// Stays and is used as it is.
        Kept "kept",
        /// Stays after work on it.
        Adapted "adapted",
        /// Goes.
        Replaced "replaced",
    }
}

record! {
    /// Equipment already on site.
    pub struct Existing: "existing" by id: dw_core::ExistingId {
        /// Short name.
        id,
        /// The catalogue device it is, when it is one.
        device: Option<DeviceId>,
        /// What it is, in words.
        description: Option<String>,
        /// How many.
        count: Option<u32>,
        /// The room it stands in.
        room: Option<RoomId>,
        /// The opening it serves.
        opening: Option<dw_core::OpeningId>,
        /// What happens to it.
        decision: Option<Keep>,
        /// Hours to adapt each one.
        adapt: Option<dw_core::Hours>,
    }
}
