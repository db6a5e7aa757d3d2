//! Workings of placement: cost, bound, gap, and the ports of every room.

use std::collections::BTreeMap;

use dw_core::{FigureId, Id, Input, RoomId, Working};

use super::Placement;
use crate::Cx;
use crate::survey::Survey;

const SOURCE: &str = "single-source capacitated facility location; docs/calculations/place.md";

/// Shows how the figures of a placement come about.
pub(super) fn show(cx: &mut Cx<'_>, survey: &Survey, placement: &Placement) {
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let figure = |name| FigureId::new("job", "", name);
    let of_plan = vec![
        Input::new("openings_served", count(placement.served.len()), ""),
        Input::new("controllers", count(placement.controllers.len()), ""),
    ];
    cx.sink.show(Working {
        figure: figure("placement_cost"),
        title: "Cost of cable, rooms and controllers, as placement counts it",
        value: placement.cost.into(),
        unit: "",
        formula: "cable with labour and waste + rooms in use + controllers with labour",
        inputs: of_plan,
        source: SOURCE,
    });
    cx.sink.show(Working {
        figure: figure("placement_bound"),
        title: "No plan for this data that serves these openings costs less",
        value: placement.bound.into(),
        unit: "",
        formula: "Lagrangian relaxation of \"every opening is served once\", evaluated in whole numbers",
        inputs: Vec::new(),
        source: SOURCE,
    });
    cx.sink.show(Working {
        figure: figure("placement_gap"),
        title: "The plan is within this share of the least cost for this data",
        value: format!("within {:.2} % of the least cost for this data", placement.gap * 100.0).into(),
        unit: "",
        formula: "(cost - bound) / cost",
        inputs: vec![Input::new("cost", placement.cost, ""), Input::new("bound", placement.bound, "")],
        source: "lengths are estimates within 10 to 15 % (common practice), so the figure holds for this data only",
    });
    if let Some(more) = placement.staying_put {
        cx.sink.show(Working {
            figure: figure("staying_put"),
            title: "What holding to the issued revision costs more than a fresh plan",
            value: more.into(),
            unit: "",
            formula: "cost of the plan kept - cost of a fresh plan, not below 0",
            inputs: vec![Input::new("kept", placement.cost, "")],
            source: SOURCE,
        });
    }
    show_rooms(cx, survey, placement);
}

fn show_rooms(cx: &mut Cx<'_>, survey: &Survey, placement: &Placement) {
    let mut rooms: BTreeMap<&RoomId, (u32, u32, u32)> = BTreeMap::new();
    for controller in &placement.controllers {
        let (controllers, ports, used) = rooms.entry(&controller.room).or_default();
        *controllers += 1;
        *ports += u32::try_from(controller.ports.len()).unwrap_or(0);
        *used += u32::try_from(controller.ports.iter().flatten().count()).unwrap_or(0);
    }
    for (room, (controllers, ports, used)) in rooms {
        let figure = |name| FigureId::new("room", room.text(), name);
        cx.sink.show(Working {
            figure: figure("ports_used"),
            title: "Controller ports in use in the room",
            value: used.into(),
            unit: "",
            formula: "sum of the ports of the openings served from here",
            inputs: vec![Input::new("controllers", controllers, ""), Input::new("ports", ports, "")],
            source: "the placement",
        });
        cx.sink.show(Working {
            figure: figure("ports_spare"),
            title: "Spare controller ports in the room",
            value: (ports - used).into(),
            unit: "",
            formula: "ports - used, at least ports * spare_percent / 100 for each kind of controller",
            inputs: vec![
                Input::new("ports", ports, ""),
                Input::new("used", used, ""),
                Input::new("spare_percent", survey.settings.spare_percent, "%"),
            ],
            source: "policy of the job",
        });
    }
}
