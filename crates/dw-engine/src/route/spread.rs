//! Leads cables round ways that are full, the least extra length first.
//!
//! A way that would be filled beyond the policy's share gives up cables one opening at a time: of all openings through its
//! fullest piece, the one whose next shortest route through ways with room is least longer. What cannot be led elsewhere
//! stays, and the fill of the way is told as it is.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use dw_core::CableWayId;

use super::drawn::Piece;
use super::ground::metres;
use super::net::{Net, Trace};
use super::reach::ends;
use super::rules::{FullWaysLeft, WayFullDetour};
use super::trace::Laid;
use crate::Cx;
use crate::survey::Survey;

/// Routes tried before the rest stays as it is: a site with full ways everywhere needs ways, not search.
const MAX_TRIES: usize = 3_000;

/// How much more of a route may lie outside drawn ways: a few steps at both ends (*common practice*).
const FARTHER_OFF_MM: u64 = 10_000;

/// Square micrometres of a square millimetre: cross-sections are summed in whole ones, so that no sum depends on its order.
const UM2: f64 = 1e6;

/// What a way must be over its share to count, in square micrometres: less is rounding.
const OVER_UM2: i64 = 1;

/// Leads cables round ways that are full. Raises `RTE-019` for each such way, `RTE-020` when the search ended before all
/// were looked at.
pub(super) fn spread(cx: &mut Cx<'_>, net: &Net<'_>, survey: &Survey, laid: &mut [Laid<'_>]) {
    let mut spreading = Spreading::new(net, survey, laid);
    let mut hopeless = vec![false; net.drawn.pieces.len()];
    let mut detours: BTreeMap<&CableWayId, (BTreeSet<usize>, u64)> = BTreeMap::new();
    while let Some(piece) = spreading.fullest(&hopeless) {
        if spreading.tries >= MAX_TRIES {
            break;
        }
        let Some((idx, length, trace)) = spreading.best_move(laid, piece) else {
            hopeless[piece] = true;
            continue;
        };
        let (openings, more) = detours.entry(&net.drawn.ways[net.drawn.pieces[piece].way].id).or_default();
        openings.insert(idx);
        *more += length - laid[idx].length;
        spreading.lead(idx, &laid[idx], &trace);
        (laid[idx].length, laid[idx].trace) = (length, trace);
    }
    for (way, (openings, more)) in detours {
        cx.sink.report(&WayFullDetour { way: way.clone(), openings: openings.len(), more: metres(more) });
    }
    let left = spreading.over(&hopeless).map(|(_, piece)| &net.drawn.ways[net.drawn.pieces[piece].way].id);
    let ways: BTreeSet<&CableWayId> = left.collect();
    if !ways.is_empty() {
        cx.sink.report(&FullWaysLeft { ways: ways.into_iter().cloned().collect(), routes: spreading.tries });
    }
}

struct Spreading<'n, 'a> {
    net: &'n Net<'a>,
    /// Cross-section that new cables may take in each piece; `None` where it is not known.
    room: Vec<Option<i64>>,
    /// What lies in each way.
    parts: Vec<Vec<Part>>,
    /// Cross-section taken in each piece where it is fullest.
    loads: Vec<i64>,
    ends: u64,
    tries: usize,
}

/// The cables of an opening in a part of a way.
struct Part {
    opening: usize,
    from: u64,
    to: u64,
    section: i64,
}

fn um2(mm2: f64) -> i64 {
    libm::round(mm2 * UM2) as i64
}

impl<'n, 'a> Spreading<'n, 'a> {
    fn new(net: &'n Net<'a>, survey: &Survey, laid: &[Laid<'_>]) -> Self {
        let room = |piece: &Piece| {
            let way = net.drawn.ways[piece.way];
            let area = way.area.filter(|area| area.get() > 0.0)?.get();
            Some(um2((survey.settings.fill_share - way.filled_percent.unwrap_or(0.0) / 100.0) * area))
        };
        let room = net.drawn.pieces.iter().map(room).collect();
        let parts = net.drawn.ways.iter().map(|_| Vec::new()).collect();
        let mut spreading = Self { net, room, parts, loads: Vec::new(), ends: ends(&survey.settings), tries: 0 };
        for (idx, laid) in laid.iter().enumerate() {
            spreading.lay(idx, laid.section, &laid.trace);
        }
        spreading.loads = (0..net.drawn.pieces.len()).map(|piece| spreading.load(piece, None)).collect();
        spreading
    }

    fn lay(&mut self, opening: usize, section: f64, trace: &Trace) {
        for &(way, from, to) in &trace.ways {
            self.parts[way].push(Part { opening, from: from.min(to), to: from.max(to), section: um2(section) });
        }
    }

    /// Moves the cables of an opening to another route.
    fn lead(&mut self, opening: usize, laid: &Laid<'_>, trace: &Trace) {
        for &(way, ..) in &laid.trace.ways {
            self.parts[way].retain(|part| part.opening != opening);
        }
        self.lay(opening, laid.section, trace);
        let changed: BTreeSet<usize> = laid.trace.ways.iter().chain(&trace.ways).map(|part| part.0).collect();
        for (piece, at) in self.net.drawn.pieces.iter().enumerate() {
            if changed.contains(&at.way) {
                self.loads[piece] = self.load(piece, None);
            }
        }
    }

    /// Cross-section taken in a piece where it is fullest, without the cables of one opening.
    fn load(&self, piece: usize, without: Option<usize>) -> i64 {
        let Piece { way, start, length, .. } = self.net.drawn.pieces[piece];
        let (low, high) = (start, start + length);
        let is_there = |part: &&Part| part.from < high && part.to > low && Some(part.opening) != without;
        let mut changes: Vec<(u64, i64)> = (self.parts[way].iter().filter(is_there))
            .flat_map(|part| [(part.from.max(low), part.section), (part.to, -part.section)])
            .collect();
        // What leaves at a place leaves before what joins there.
        changes.sort_unstable();
        let taken = changes.into_iter().scan(0, |taken, (_, change)| {
            *taken += change;
            Some(*taken)
        });
        taken.max().unwrap_or(0)
    }

    /// Pieces filled beyond their share, of those something may still be done about, and by how much.
    fn over(&self, hopeless: &[bool]) -> impl Iterator<Item = (i64, usize)> {
        let open = (0..self.loads.len()).filter(|&piece| !hopeless[piece]);
        open.filter_map(|piece| Some((self.loads[piece] - self.room[piece]?, piece))).filter(|it| it.0 > OVER_UM2)
    }

    /// The piece that is filled most beyond its share.
    fn fullest(&self, hopeless: &[bool]) -> Option<usize> {
        self.over(hopeless).max_by_key(|&(over, piece)| (over, Reverse(piece))).map(|it| it.1)
    }

    /// The opening through a piece that can be led elsewhere with the least extra length, and its route then.
    fn best_move(&mut self, laid: &[Laid<'_>], piece: usize) -> Option<(usize, u64, Trace)> {
        let mut best: Option<(u64, usize, u64, Trace)> = None;
        let through: Vec<usize> = (0..laid.len()).filter(|&idx| self.passes(&laid[idx].trace, piece)).collect();
        for idx in through {
            if self.tries >= MAX_TRIES {
                break;
            }
            self.tries += 1;
            if let Some((length, trace)) = self.elsewhere(idx, &laid[idx]) {
                let more = length - laid[idx].length;
                if best.as_ref().is_none_or(|best| more < best.0) {
                    best = Some((more, idx, length, trace));
                }
            }
        }
        best.map(|(_, idx, length, trace)| (idx, length, trace))
    }

    fn passes(&self, trace: &Trace, piece: usize) -> bool {
        let piece = self.net.drawn.pieces[piece];
        let (low, high) = (piece.start, piece.start + piece.length);
        trace.ways.iter().any(|&(way, from, to)| way == piece.way && from.min(to) < high && from.max(to) > low)
    }

    /// Whether the cables of an opening would fit in a piece, beside all others there.
    fn has_room(&self, piece: usize, opening: usize, laid: &Laid<'_>) -> bool {
        let Some(room) = self.room[piece] else { return true };
        let left = room + OVER_UM2 - um2(laid.section);
        self.loads[piece] <= left || self.passes(&laid.trace, piece) && self.load(piece, Some(opening)) <= left
    }

    /// The shortest route of an opening through pieces that have room for its cables; `None` when there is none, or it is
    /// too long for the cables it would take, or leaves the ways.
    fn elsewhere(&self, opening: usize, laid: &Laid<'_>) -> Option<(u64, Trace)> {
        let open: Vec<bool> = (0..self.loads.len()).map(|piece| self.has_room(piece, opening, laid)).collect();
        let is_open = |piece: usize| open[piece];
        let (room, door) = (laid.room.over(&is_open), laid.door.over(&is_open));
        let farthest = laid.longest.saturating_sub(self.ends);
        let ways = self.net.open_ways_from(&room, farthest, &is_open);
        let link = self.net.link(&room, &ways, &door)?;
        let trace = self.net.trace(&room, &ways, &door, link);
        let longest = if trace.outdoors { laid.longest_outdoors } else { laid.longest };
        let bears = link.length.saturating_add(self.ends) <= longest;
        let stays_in_ways = trace.off <= laid.trace.off.saturating_add(FARTHER_OFF_MM);
        // A route that got shorter would mean that the first one was not the shortest.
        (bears && stays_in_ways && link.length >= laid.length).then_some((link.length, trace))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::route::testing::Scene;

    #[test]
    fn a_piece_is_as_full_without_an_opening_as_the_others_fill_it() {
        let mut scene = Scene::new();
        scene.way("W-1", "S0", (0.0, 0.0), (40.0, 0.0));
        let net = Net::new(&scene.job, &scene.survey);
        let mut spreading = Spreading::new(&net, &scene.survey, &[]);
        for (opening, (mm2, from, to)) in [(1.0, 0, 10_000), (2.0, 40_000, 30_000)].into_iter().enumerate() {
            let trace = Trace { ways: vec![(0, from, to)], off: 0, outdoors: false };
            spreading.lay(opening, mm2, &trace);
        }
        assert_eq!(spreading.load(0, None), 2_000_000);
        assert_eq!(spreading.load(0, Some(0)), 2_000_000, "it never lay beside the other");
        assert_eq!(spreading.load(0, Some(1)), 1_000_000);
    }
}
