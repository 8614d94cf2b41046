// How long prints take that share a bed: layer by layer together, with one start, waiting together, and the way from one to the next.
import type { PrintingMachine } from '../process/machine.ts';
import { moveSeconds } from '../process/motion-time.ts';

/** Seconds of every layer, bottom first, with waiting. */
export interface SharedTime {
  /** Start-up included. */
  readonly printS: number;
  readonly layerS: Float64Array;
}

/** `prints`: seconds of each layer of each print, without waiting. `hopMm`: from one print to the next, in the mean; they are gone round once a layer.
 *  Layers of all prints are equally high, so that they lie side by side. Cost: O(prints x layers). */
export function sharedTime(prints: readonly Float64Array[], hopMm: number, machine: PrintingMachine): SharedTime {
  const limits = { speedMmS: machine.travelSpeedMmS, accelerationMmS2: machine.travelAccelerationMmS2 };
  const hopS = moveSeconds(hopMm, limits) + machine.retractionS;
  const layerS = new Float64Array(Math.max(...prints.map(({ length }) => length)));
  let printS = machine.startUpS;
  for (let k = 0; k < layerS.length; k++) {
    let [busyS, num] = [0, 0];
    for (const layers of prints) {
      if (k >= layers.length) continue;
      busyS += layers[k]!;
      num++;
    }
    if (num > 1) busyS += num * hopS;
    layerS[k] = Math.max(busyS, machine.shortestLayerS);
    printS += layerS[k]!;
  }
  return { printS, layerS };
}

/** Mean way from place to place, going round them in their order, mm. */
export function meanHopMm(middles: readonly (readonly [number, number])[]): number {
  if (middles.length < 2) return 0;
  const round = middles.reduce((sum, [x, y], i) => {
    const [nextX, nextY] = middles[(i + 1) % middles.length]!;
    return sum + Math.hypot(nextX - x, nextY - y);
  }, 0);
  return round / middles.length;
}
