//! What must stand together in a room, and how it is packed into enclosures.

use std::collections::BTreeMap;

use dw_core::{Money, OpeningId, RoomId, Volts};
use dw_job::catalogue::{Device, DeviceKind};

use super::battery;
use super::figures::Figures;
use super::loads::{self, Block, OpeningLoads, Totals};
use super::plan::Load;
use super::supply::{Demand, Fault, Offer, Selection, Supply, select};
use crate::equip::{ControlNeed, Equipment, Role};
use crate::place::Placement;
use crate::survey::{Settings, Survey, SurveyedRoom};

/// Blocks of every room, those with controllers first, in the order of the placement; then those of openings.
pub(super) fn blocks<'a>(
    figures: &mut Figures<'a>,
    survey: &Survey,
    equipment: &Equipment,
    placement: &Placement,
    systems: &[u32],
) -> BTreeMap<RoomId, Vec<Block>> {
    let mut rooms: BTreeMap<RoomId, Vec<Block>> = BTreeMap::new();
    let preferred = survey.settings.lock_voltage_v;
    let mut apart: Vec<(RoomId, Block)> = Vec::new();
    for (index, placed) in placement.controllers.iter().enumerate() {
        let Some(device) = figures.device(&placed.device) else { continue };
        let mut marks: Vec<&OpeningId> = placed.ports.iter().flatten().collect();
        marks.sort();
        marks.dedup();
        let served: Vec<(&OpeningId, OpeningLoads<'a>)> = marks
            .into_iter()
            .filter_map(|mark| {
                Some((mark, loads::of_opening(figures, equipment.opening(mark)?, survey.opening(mark)?)))
            })
            .collect();
        let locks: Vec<&Device> = served.iter().filter_map(|row| Some(row.1.lock.as_ref()?.device)).collect();
        let kit = Some(device).filter(|device| device.kind == Some(DeviceKind::Kit));
        // A kit's voltage is its supply's.
        let fixed = kit.and_then(Supply::of).map(|supply| supply.nominal);
        let nominal = fixed.unwrap_or_else(|| loads::common_voltage(figures, device, &locks, systems, preferred));
        let mut block = Block {
            controller: Some(index),
            opening: None,
            units: device.control.enclosure_units.unwrap_or(1).clamp(1, 1000),
            nominal,
            kit: kit.map(|kit| kit.id.clone()),
            loads: Vec::new(),
        };
        if let Some(draw) = figures.draw(device) {
            let item = loads::Item { device, count: 1, role: Role::Other, draw };
            block.loads.push(loads::load(&item, None));
        }
        for (mark, of_opening) in &served {
            block.loads.extend(of_opening.electronics.iter().map(|item| loads::load(item, Some(mark))));
            let Some(lock) = &of_opening.lock else { continue };
            if figures.accepts(lock.device, Volts::new(f64::from(nominal))) {
                block.loads.push(loads::load(lock, Some(mark)));
            } else if let Some(nominal) = loads::lock_voltage(figures, lock.device) {
                apart.push((placed.room.clone(), opening_block(mark, nominal, vec![loads::load(lock, Some(mark))])));
            }
        }
        rooms.entry(placed.room.clone()).or_default().push(block);
    }
    for equipped in &equipment.openings {
        let ControlNeed::OwnUnit { unit } = &equipped.control else { continue };
        let (Some(served), Some(surveyed)) = (placement.of(&equipped.mark), survey.opening(&equipped.mark)) else {
            continue;
        };
        if equipped.in_role(Role::Splitter).is_some() {
            continue;
        }
        let of_opening = loads::of_opening(figures, equipped, surveyed);
        let items = of_opening.electronics.iter().chain(&of_opening.lock);
        let loads: Vec<Load> = items.map(|item| loads::load(item, Some(&equipped.mark))).collect();
        let Some(unit) = figures.device(unit).filter(|_| !loads.is_empty()) else { continue };
        let locks: Vec<&Device> = of_opening.lock.iter().map(|lock| lock.device).collect();
        let nominal = loads::common_voltage(figures, unit, &locks, systems, preferred);
        apart.push((served.room.clone(), opening_block(&equipped.mark, nominal, loads)));
    }
    apart.sort_by(|a, b| a.1.opening.cmp(&b.1.opening));
    for (room, block) in apart {
        rooms.entry(room).or_default().push(block);
    }
    rooms
}

fn opening_block(mark: &OpeningId, nominal: u32, loads: Vec<Load>) -> Block {
    Block { controller: None, opening: Some(mark.clone()), units: 0, nominal, kit: None, loads }
}

/// Blocks that share an enclosure, with the supply and battery that carry them.
#[derive(Clone, Debug)]
pub(super) struct Group<'a> {
    pub blocks: Vec<Block>,
    pub units: u32,
    pub totals: Totals,
    pub enclosure: Option<&'a Device>,
    pub selection: Selection<'a>,
    pub nominal: u32,
}

/// Packs the blocks of one room.
pub(super) struct Packer<'p, 'a> {
    pub offer: &'p Offer<'a>,
    pub settings: &'p Settings,
    pub room: &'p SurveyedRoom,
}

/// How many enclosures begun last are tried before a new one is begun; bounds the work in a large room.
const TRIED: usize = 8;

impl<'a> Packer<'_, 'a> {
    /// Packs the blocks of the room: a kit stands alone, the rest by voltage, with the enclosure size that costs least.
    pub(super) fn pack(&self, figures: &Figures<'a>, blocks: Vec<Block>) -> Vec<Group<'a>> {
        let mut groups = Vec::new();
        let mut by_voltage: BTreeMap<u32, Vec<Block>> = BTreeMap::new();
        for block in blocks {
            match block.kit.as_ref().and_then(|kit| figures.device(kit)) {
                Some(kit) => groups.push(self.kit(block, kit)),
                None => self.split(block).into_iter().for_each(|block| {
                    by_voltage.entry(block.nominal).or_default().push(block);
                }),
            }
        }
        for blocks in by_voltage.into_values() {
            groups.extend(self.cheapest(&blocks));
        }
        let first = |group: &Group<'a>| {
            let controller = group.blocks.iter().filter_map(|block| block.controller).min().unwrap_or(usize::MAX);
            (controller, group.blocks.iter().filter_map(|block| block.opening.clone()).min())
        };
        groups.sort_by_cached_key(first);
        groups
    }

    fn kit(&self, block: Block, kit: &'a Device) -> Group<'a> {
        let nominal = block.nominal;
        let mut group = self.group(nominal, vec![block]);
        let supplies: Vec<Supply<'a>> = Supply::of(kit).into_iter().collect();
        group.selection = select(&self.demand(nominal, group.totals), &supplies, &self.offer.batteries);
        group.enclosure = Some(kit);
        group
    }

    /// A controller whose locks are too much for any supply is fed apart from its locks when that helps.
    fn split(&self, block: Block) -> Vec<Block> {
        let whole = loads::totals(&block.loads);
        if block.controller.is_none() || self.select(block.nominal, whole).fault <= Fault::RechargeSlow {
            return vec![block];
        }
        let mut rest = block.clone();
        let mut parts: BTreeMap<OpeningId, Vec<Load>> = BTreeMap::new();
        for load in rest.loads.extract_if(.., |load| self.is_lock(load)) {
            if let Some(mark) = load.opening.clone() {
                parts.entry(mark).or_default().push(load);
            }
        }
        if self.select(block.nominal, loads::totals(&rest.loads)).fault > Fault::RechargeSlow {
            return vec![block];
        }
        let nominal = block.nominal;
        std::iter::once(rest)
            .chain(parts.into_iter().map(|(mark, loads)| opening_block(&mark, nominal, loads)))
            .collect()
    }

    fn is_lock(&self, load: &Load) -> bool {
        self.offer.locks.binary_search(&&load.device).is_ok()
    }

    fn cheapest(&self, blocks: &[Block]) -> Vec<Group<'a>> {
        let mut sizes: Vec<u32> = self.offer.enclosures.iter().filter_map(|device| device.enclosure_units).collect();
        sizes.sort_unstable();
        sizes.dedup();
        if sizes.is_empty() {
            sizes.push(1);
        }
        let packed = sizes.into_iter().map(|size| self.first_fit(blocks, size));
        let cost = |groups: &Vec<Group<'a>>| {
            let faults = groups.iter().filter(|group| group.selection.fault != Fault::None).count();
            let price: Money = groups.iter().map(|group| group.selection.price + enclosure_price(group)).sum();
            (faults, price, groups.len())
        };
        packed.min_by(|a, b| cost(a).cmp(&cost(b))).unwrap_or_default()
    }

    /// Puts each block into the first of the enclosures begun last that has places and whose supply still carries it.
    fn first_fit(&self, blocks: &[Block], size: u32) -> Vec<Group<'a>> {
        let Some(nominal) = blocks.first().map(|block| block.nominal) else { return Vec::new() };
        let mut bins: Vec<(Vec<Block>, u32, Totals)> = Vec::new();
        for block in blocks {
            let own = loads::totals(&block.loads);
            // A fault the block has by itself is no reason to give it an enclosure of its own.
            let borne = self.select(nominal, own).fault;
            let tried = bins.len().saturating_sub(TRIED);
            let bin = bins[tried..].iter_mut().find(|(_, units, totals)| {
                let places = units.saturating_add(block.units) <= size;
                places && borne < Fault::NoBattery && self.select(nominal, joined(*totals, own)).fault <= borne
            });
            match bin {
                Some((blocks, units, totals)) => {
                    *units += block.units;
                    *totals = joined(*totals, own);
                    blocks.push(block.clone());
                }
                None => bins.push((vec![block.clone()], block.units, own)),
            }
        }
        bins.into_iter().map(|(blocks, ..)| self.group(nominal, blocks)).collect()
    }

    fn group(&self, nominal: u32, blocks: Vec<Block>) -> Group<'a> {
        let totals = loads::totals(blocks.iter().flat_map(|block| &block.loads));
        let units = blocks.iter().map(|block| block.units).sum();
        let fits = |device: &&&Device| device.enclosure_units.is_some_and(|has| has >= units);
        let price = |device: &Device| (device.price.unwrap_or(Money::ZERO), device.enclosure_units);
        let enclosure = self.offer.enclosures.iter().filter(fits).min_by(|a, b| price(a).cmp(&price(b))).copied();
        Group { blocks, units, totals, enclosure, selection: self.select(nominal, totals), nominal }
    }

    /// What the blocks ask of a supply and battery in this room.
    pub(super) fn demand(&self, nominal: u32, totals: Totals) -> Demand<'_> {
        let coldest = battery::temperature_factor(self.room.temperature_min_c);
        let temperature_factor = coldest.unwrap_or(battery::TEMPERATURE_TABLE[0].1);
        Demand { nominal, totals, temperature_factor, settings: self.settings }
    }

    fn select(&self, nominal: u32, totals: Totals) -> Selection<'a> {
        select(&self.demand(nominal, totals), &self.offer.supplies, &self.offer.batteries)
    }
}

fn joined(a: Totals, b: Totals) -> Totals {
    let excess = (a.peak - a.active).max(b.peak - b.active);
    let active = a.active + b.active;
    Totals { standby: a.standby + b.standby, active, peak: active + excess }
}

fn enclosure_price(group: &Group<'_>) -> Money {
    group.enclosure.and_then(|enclosure| enclosure.price).unwrap_or(Money::ZERO)
}
