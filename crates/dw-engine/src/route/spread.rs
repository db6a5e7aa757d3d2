//! Leads cables round ways that are full, the least extra length first.
//!
//! A way that would be filled beyond the policy's share gives up cables one opening at a time: of all openings through its
//! fullest piece, the one whose next shortest route through ways with room is least longer. What cannot be led elsewhere
//! stays, and the fill of the way is told as it is.

use std::collections::BTreeMap;

use dw_core::CableWayId;

use super::ground::metres;
use super::net::{Net, Trace};
use super::reach::ends;
use super::rules::WayFullDetour;
use super::trace::Laid;
use crate::Cx;
use crate::survey::Survey;

/// Routes tried before the rest stays as it is: a site with full ways everywhere needs ways, not search.
const MAX_TRIES: usize = 3_000;

/// How much more of a route may lie outside drawn ways: a few steps at both ends (*common practice*).
const FARTHER_OFF_MM: u64 = 10_000;

/// What a way must be over its share to count, in mm²: less is rounding.
const OVER_MM2: f64 = 1e-6;

/// Leads cables round ways that are full. Raises `RTE-019` for each such way.
pub(super) fn spread(cx: &mut Cx<'_>, net: &Net<'_>, survey: &Survey, laid: &mut [Laid<'_>]) {
    let fill_share = survey.settings.fill_share;
    let room: Vec<Option<f64>> = (net.drawn.pieces.iter())
        .map(|piece| {
            let way = net.drawn.ways[piece.way];
            let area = way.area.filter(|area| area.get() > 0.0)?.get();
            Some((fill_share - way.filled_percent.unwrap_or(0.0) / 100.0) * area)
        })
        .collect();
    let mut spreading = Spreading { net, room, ends: ends(&survey.settings), tries: 0 };
    let mut hopeless = vec![false; net.drawn.pieces.len()];
    let mut detours: BTreeMap<&CableWayId, (usize, u64)> = BTreeMap::new();
    let mut loads = spreading.loads(laid);
    while let Some(piece) = spreading.fullest(&loads, &hopeless) {
        let Some((idx, length, trace)) = spreading.best_move(laid, &loads, piece) else {
            hopeless[piece] = true;
            continue;
        };
        let way = &net.drawn.ways[net.drawn.pieces[piece].way].id;
        let told = detours.entry(way).or_default();
        *told = (told.0 + 1, told.1 + (length - laid[idx].length));
        (laid[idx].length, laid[idx].trace) = (length, trace);
        loads = spreading.loads(laid);
    }
    for (way, (openings, more)) in detours {
        cx.sink.report(&WayFullDetour { way: way.clone(), openings, more: metres(more) });
    }
}

struct Spreading<'n, 'a> {
    net: &'n Net<'a>,
    /// Cross-section that new cables may take in each piece; `None` where it is not known.
    room: Vec<Option<f64>>,
    ends: u64,
    tries: usize,
}

impl Spreading<'_, '_> {
    /// Cross-section taken in each piece where it is fullest.
    fn loads(&self, laid: &[Laid<'_>]) -> Vec<f64> {
        let mut by_way: BTreeMap<usize, Vec<(u64, u64, f64)>> = BTreeMap::new();
        for laid in laid {
            for &(way, from, to) in &laid.trace.ways {
                by_way.entry(way).or_default().push((from.min(to), from.max(to), laid.section));
            }
        }
        let load = |piece: &super::drawn::Piece| {
            let (low, high) = (piece.start, piece.start + piece.length);
            let through = by_way.get(&piece.way).into_iter().flatten();
            let through: Vec<_> = through.filter(|part| part.0 < high && part.1 > low).collect();
            // The fullest place is where some cable begins.
            let at = |place: u64| through.iter().filter(|it| it.0 <= place && place < it.1).map(|it| it.2).sum::<f64>();
            let mut places: Vec<u64> = through.iter().map(|part| part.0.max(low)).collect();
            places.sort_unstable();
            places.dedup();
            places.into_iter().map(at).fold(0.0, f64::max)
        };
        self.net.drawn.pieces.iter().map(load).collect()
    }

    /// The piece that is filled most beyond its share, of those something may still be done about.
    fn fullest(&self, loads: &[f64], hopeless: &[bool]) -> Option<usize> {
        let over = |piece: usize| Some(loads[piece] - self.room[piece]?);
        let open = (0..loads.len()).filter(|&piece| !hopeless[piece]);
        let over = open.filter_map(|piece| Some((over(piece)?, piece))).filter(|it| it.0 > OVER_MM2);
        over.max_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1))).map(|it| it.1)
    }

    /// The opening through a piece that can be led elsewhere with the least extra length, and its route then.
    fn best_move(&mut self, laid: &[Laid<'_>], loads: &[f64], piece: usize) -> Option<(usize, u64, Trace)> {
        let mut best: Option<(u64, usize, u64, Trace)> = None;
        let through: Vec<usize> = (0..laid.len()).filter(|&idx| self.passes(&laid[idx].trace, piece)).collect();
        for idx in through {
            if self.tries >= MAX_TRIES {
                break;
            }
            self.tries += 1;
            let one = &laid[idx];
            if let Some((length, trace)) = self.elsewhere(one, loads) {
                let more = length - one.length;
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

    /// The shortest route of an opening through pieces that have room for its cables; `None` when there is none, or it is
    /// too long, or leaves the ways.
    fn elsewhere(&self, laid: &Laid<'_>, loads: &[f64]) -> Option<(u64, Trace)> {
        let is_open = |piece: usize| {
            let others = if self.passes(&laid.trace, piece) { loads[piece] - laid.section } else { loads[piece] };
            self.room[piece].is_none_or(|room| others + laid.section <= room + OVER_MM2)
        };
        let (room, door) = (laid.room.over(&is_open), laid.door.over(&is_open));
        let farthest = laid.longest.saturating_sub(self.ends);
        let ways = self.net.open_ways_from(&room, farthest, &is_open);
        let link = self.net.link(&room, &ways, &door).filter(|link| link.length <= farthest)?;
        let trace = self.net.trace(&room, &ways, &door, link);
        let stays_in_ways = trace.off <= laid.trace.off.saturating_add(FARTHER_OFF_MM);
        // A route that got shorter would mean that the first one was not the shortest.
        (stays_in_ways && link.length >= laid.length).then_some((link.length, trace))
    }
}
