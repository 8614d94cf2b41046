// What a machine takes at once: every set of pieces for which a place was found on its bed, with the hours it takes and what it loses.
import type { Work } from '../../base/work.ts';
import {
  LAYING_CELL_MM,
  type LaidPlace,
  type LayableOutline,
  layableOutline,
  loopsBox,
  packBed,
  turnedLoop,
} from '../../geometry/bed-packing.ts';
import { failingShare, failureRate, hoursToSuccess } from '../process/failure-risk.ts';
import type { PrintingMachine } from '../process/machine.ts';
import type { BedItem } from './bed-items.ts';
import type { BedsSettings } from './beds-settings.ts';
import type { Counts, PlannedLoad } from './plan-problem.ts';
import { meanHopMm, type SharedTime, sharedTime } from './shared-time.ts';

export interface MachineLoad extends PlannedLoad {
  readonly machine: PrintingMachine;
  /** One place for each thing, in the order of the kinds; bed space. */
  readonly places: readonly (LaidPlace & { readonly kind: number })[];
  readonly time: SharedTime;
  readonly failingShare: number;
}

export interface MachineLoads {
  readonly loads: readonly MachineLoad[];
  /** Whether sets were left untried, because there are too many. */
  readonly cutShort: boolean;
}

/** What was found for beds of one size and turns, so that machines alike are packed once. */
export type PackedSets = Map<string, LaidPlace[] | null>;

/** Most pieces on one bed. */
const MOST_ON_BED = 12;
/** Sets that are tried on one machine. */
export const MOST_SETS = 250;

/** `counts`: how many of each kind there are. A set is tried when all sets with one thing less were found a place: what does not fit does not fit with more.
 *  Cost: up to MOST_SETS packings, milliseconds for one that fits, about a hundred for one that does not. */
export function machineLoads(
  items: readonly BedItem[],
  counts: Counts,
  machine: PrintingMachine,
  { settings, packed, work }: { readonly settings: BedsSettings; readonly packed: PackedSets; readonly work: Work },
): MachineLoads {
  const bed = {
    widthMm: machine.bedMm[0] - 2 * settings.marginMm,
    depthMm: machine.bedMm[1] - 2 * settings.marginMm,
  };
  const outlines = items.map((item) => outlineOn(item, machine, settings.gapMm));
  const sameBed = JSON.stringify([bed, outlines.map(({ turns }) => turns.map(({ turnDeg }) => turnDeg))]);
  const found = new Map<string, MachineLoad>();
  const loads: MachineLoad[] = [];
  let level: Counts[] = [];
  for (const [kind, item] of items.entries()) {
    const place = alone(item, machine, settings.marginMm);
    if (place === null) continue;
    const set = counts.map((_, other) => (other === kind ? 1 : 0));
    level.push(set);
    add(set, [place]);
  }
  let tried = 0;
  for (let size = 2; size <= MOST_ON_BED && level.length > 0; size++) {
    const next: Counts[] = [];
    for (const set of level)
      for (let kind = lastKind(set); kind < counts.length; kind++) {
        const larger = set.map((count, other) => (other === kind ? count + 1 : count));
        if (larger[kind]! > counts[kind]! || !smallerFound(larger)) continue;
        if (tried++ >= MOST_SETS) return { loads, cutShort: true };
        const fraction = tried / MOST_SETS;
        // a packing is a small step of the whole, it only has to be stopped in its middle
        const here: Work = { ...work, tick: () => work.tick(fraction, 'laying pieces on the beds') };
        const key = `${sameBed} ${larger.join()}`;
        const known = packed.get(key);
        const places =
          known === undefined
            ? packBed(
                kindsOf(larger).map((each) => outlines[each]!),
                bed,
                { cellMm: LAYING_CELL_MM, work: here },
              )
            : known;
        packed.set(key, places);
        if (places === null) continue;
        next.push(larger);
        add(
          larger,
          places.map((place) => moved(place, settings.marginMm)),
        );
      }
    level = next;
  }
  return { loads, cutShort: false };

  function smallerFound(set: Counts): boolean {
    return set.every((count, kind) => {
      if (count === 0) return true;
      const smaller = set.map((each, other) => (other === kind ? each - 1 : each));
      return found.has(smaller.join());
    });
  }

  function add(set: Counts, places: readonly LaidPlace[]): void {
    const kinds = kindsOf(set);
    const load = loadOf(
      kinds.map((kind) => items[kind]!),
      places,
      { machine, settings },
    );
    const placed = places.map((place, i) => ({ ...place, kind: kinds[i]! }));
    const whole: MachineLoad = { ...load, counts: set, machine, places: placed };
    found.set(set.join(), whole);
    loads.push(whole);
  }
}

function lastKind(set: Counts): number {
  return set.findLastIndex((count) => count > 0);
}

function kindsOf(set: Counts): number[] {
  return set.flatMap((count, kind) => Array.from({ length: count }, () => kind));
}

/** In the middle of the bed, in the pose that is known to fit; null where the machine does not take it. */
function alone({ on, loops }: BedItem, { id, bedMm }: PrintingMachine, marginMm: number): LaidPlace | null {
  const own = on.find(({ machine }) => machine === id);
  if (own === undefined) return null;
  // splices are laid in rows for one machine, and may be too wide for another
  const fits = [0, 1].every((axis) => own.sizeMm[axis]! <= bedMm[axis]! - 2 * marginMm + 1e-6);
  if (!fits && own !== on[0]) return null;
  const [[minX, minY], [maxX, maxY]] = loopsBox(loops.map((loop) => turnedLoop(loop, own.turnDeg)));
  return { turnDeg: own.turnDeg, atMm: [bedMm[0] / 2 - (minX + maxX) / 2, bedMm[1] / 2 - (minY + maxY) / 2] };
}

function moved({ turnDeg, atMm: [x, y] }: LaidPlace, byMm: number): LaidPlace {
  return { turnDeg, atMm: [x + byMm, y + byMm] };
}

/** Turns about the vertical that are tried: as it is known to fit, and by quarters from there; as Printing laid it, and by quarters, where that differs. */
function outlineOn({ loops, on }: BedItem, { id }: PrintingMachine, gapMm: number): LayableOutline {
  const turnDeg = on.find(({ machine }) => machine === id)?.turnDeg ?? 0;
  const quarters = [0, 90, 180, 270];
  const isQuarter = Math.abs(turnDeg / 90 - Math.round(turnDeg / 90)) < 0.01;
  const turns = isQuarter ? quarters : [...quarters.map((quarter) => turnDeg + quarter), ...quarters];
  return layableOutline(loops, turns, { gapMm, cellMm: LAYING_CELL_MM });
}

function loadOf(
  items: readonly BedItem[],
  places: readonly LaidPlace[],
  { machine, settings }: { readonly machine: PrintingMachine; readonly settings: BedsSettings },
): Pick<MachineLoad, 'seconds' | 'lostS' | 'time' | 'failingShare'> {
  const middles = places.map(({ turnDeg, atMm }, i): [number, number] => {
    const [[minX, minY], [maxX, maxY]] = loopsBox(items[i]!.loops.map((loop) => turnedLoop(loop, turnDeg)));
    return [atMm[0] + (minX + maxX) / 2, atMm[1] + (minY + maxY) / 2];
  });
  const prints = items.map(({ on }) => on.find((each) => each.machine === machine.id)!);
  const { startUpS, shortestLayerS } = prints[0]!;
  const time = sharedTime(
    prints.map(({ layerS }) => layerS),
    meanHopMm(middles),
    { ...machine, startUpS, shortestLayerS },
  );
  const unsteady = items.reduce((sum, item) => sum + item.unsteady, 0);
  const rate = failureRate(settings.print, unsteady);
  // each of them may come off the bed on its first layer
  const together = { ...rate, firstLayerShare: 1 - (1 - rate.firstLayerShare) ** items.length };
  const hours = time.printS / 3600;
  return {
    seconds: time.printS,
    time,
    failingShare: failingShare(hours, together),
    lostS: 3600 * (hoursToSuccess(hours, together) - hours) + 60 * settings.changeoverMin,
  };
}
