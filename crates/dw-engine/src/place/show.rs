//! Workings of placement: cost, bound, gap, and the ports of every room.

use std::collections::BTreeMap;

use dw_core::{FigureId, Id, Input, RoomId, Working};

use super::solve::Solution;
use super::statement::Statement;
use super::ways::Way;
use super::{Architecture, OtherArchitecture, Placement};
use crate::Cx;
use crate::equip::arrangement_words;
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
        title: "Cost of cable, rooms, controllers and arrangements, as placement counts it",
        value: placement.cost.into(),
        unit: "",
        formula: "cable with labour and waste + rooms in use + controllers with labour + devices at openings beyond their cheapest arrangement + network ports where short; devices over the years counted",
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
    if let Some(architecture) = &placement.architecture {
        show_architecture(cx, placement, architecture);
    }
    show_rooms(cx, survey, placement);
}

const OTHERS: &str = "each other one: the cheapest plan found with that arrangement wherever an opening admits it, the rest planned around it; docs/calculations/place.md";

/// Shows the architecture beside the others, and what makes the runner-up dearer.
fn show_architecture(cx: &mut Cx<'_>, placement: &Placement, architecture: &Architecture) {
    let figure = |name| FigureId::new("job", "", name);
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    let other = |other: &OtherArchitecture| {
        let name = arrangement_words(other.arrangement);
        match other.unserved {
            0 => Input::new(name, other.cost, ""),
            n => Input::new(name, format!("not to be compared, {n} openings unserved"), ""),
        }
    };
    let mut inputs = vec![
        Input::new("openings_with_a_choice", count(architecture.open_openings), ""),
        Input::new("cost", placement.cost, ""),
    ];
    inputs.extend(architecture.others.iter().map(other));
    cx.sink.show(Working {
        figure: figure("architecture"),
        title: "How the openings that left a choice are arranged",
        value: architecture.name.as_str().into(),
        unit: "",
        formula: "least cost of any mix of arrangements, over the years counted",
        inputs,
        source: OTHERS,
    });
    let Some(runner_up) = architecture.runner_up() else { return };
    let mut inputs = vec![
        Input::new("runner_up", arrangement_words(runner_up.arrangement), ""),
        Input::new("openings_arranged_otherwise", count(runner_up.openings_differ), ""),
    ];
    inputs.extend(runner_up.parts.iter().map(|part| Input::new(part.what, part.there - part.here, "")));
    cx.sink.show(Working {
        figure: figure("architecture_more"),
        title: "What the runner-up architecture costs more",
        value: runner_up.more.into(),
        unit: "",
        formula: "cost of the runner-up - cost of the plan, the sum of its parts",
        inputs,
        source: OTHERS,
    });
}

/// Shows how each opening that left a choice is arranged, and the least each way costs beside controllers and rooms.
pub(super) fn show_arrangements(cx: &mut Cx<'_>, survey: &Survey, statement: &Statement, solution: &Solution) {
    for (customer, ways) in statement.ways.iter().enumerate().filter(|it| it.1.len() > 1) {
        let Some(choice) = solution.assignment[customer] else { continue };
        let cheapest = |way: &Way| {
            let least = way.legs().iter().map(|leg| leg.cost.total()).min()?;
            Some(Input::new(arrangement_words(way.kind), least, ""))
        };
        let mut inputs: Vec<Input> = ways.iter().filter_map(cheapest).collect();
        if let Some(leg) = statement.leg(customer, choice) {
            let parts = [("cable", leg.cost.cable), ("devices", leg.cost.at_opening), ("network", leg.cost.network)];
            inputs.extend(parts.map(|(name, cost)| Input::new(name, cost, "")));
        }
        cx.sink.show(Working {
            figure: FigureId::new("opening", survey.openings[statement.openings[customer]].mark.text(), "arrangement"),
            title: "How the opening is arranged",
            value: arrangement_words(ways[choice.variant].kind).into(),
            unit: "",
            formula: "part of the plan of least cost; cable + devices beyond the cheapest + share of network ports",
            inputs,
            source: SOURCE,
        });
    }
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
