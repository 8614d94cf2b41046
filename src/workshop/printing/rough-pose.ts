// What a pose would cost, roughly and quickly: from samples of the surface, for directions by the hundred.

import type { Work } from '../../base/work.ts';
import { planeFrame } from '../../geometry/plane.ts';
import { type SurfaceSamples, surfaceSamples } from '../../geometry/surface-patches.ts';
import { volume } from '../../mesh/measure.ts';
import { NONE, type Vec3 } from '../../mesh/mesh.ts';
import type { PoseBody, PoseSettings } from './pose-choice.ts';
import { poseScore, slendernessOn, terraceSlopes, unsteadiness } from './pose-score.ts';
import { JOINT, SHOWN } from './surface-kinds.ts';

/** Samples of a piece; twice as many of a wall whose sides share cells. */
const NUM_SAMPLES = 1500;
/** Lower above the lowest place than this lies on the bed, mm. */
const REST_MM = 0.3;
/** Looking up by less than this nothing stands on it. */
const LEAST_UP = 0.1;
/** Ways in which tipping is looked at. */
const NUM_WAYS = 12;
/** Filled regions and contours to which the nozzle travels in a layer, roughly. */
const TRAVELS_A_LAYER = 4;

export interface RoughBody {
  readonly samples: SurfaceSamples;
  /** Of each sample. */
  readonly kinds: Uint8Array;
  readonly volumeMm3: number;
  readonly centreMm: Vec3;
  /** Points whose hull is that of the piece, n x 3. */
  readonly outer: Float64Array;
}

/** Cost: some 1 s a million triangles. */
export function roughBody(body: PoseBody, outer: Float64Array, work: Work): RoughBody {
  const samples = surfaceSamples(body.mesh, work, { aimNum: NUM_SAMPLES });
  const kinds = Uint8Array.from({ length: samples.num }, (_, i) => body.kinds[samples.sampleTri[i]!]!);
  return { samples, kinds, volumeMm3: volume(body.mesh), centreMm: body.centreMm, outer };
}

/** The score of a way up (unit, model space) in seconds, as poseScore counts, on the first of the machines: contours by the facets' slopes (the
 *  length of all contours is the surface times the sine of its slope over the layer height), what they leave by volume, support in cells of the bed.
 *  Cost: O(samples), about 0.1 ms. Weak: corners, travel and waiting are told by the layer only; for choosing what is measured in full. */
export function roughScore(rough: RoughBody, up: Vec3, settings: PoseSettings): number {
  const { print, material } = settings;
  const machine = settings.machines[0]!;
  const { low, high } = reach(rough.outer, up);
  const tally = tallied(rough, up, { low, settings });
  const heightMm = high - low;
  const layers = Math.max(1, heightMm / print.layerMm);
  const lineArea = print.lineMm * print.layerMm;
  const allMm = rough.volumeMm3 / lineArea;
  const aroundMm = tally.steepMm2 / print.layerMm;
  const outerMm = Math.min(allMm, aroundMm);
  const innerMm = Math.min(allMm - outerMm, aroundMm * (print.contourPasses - 1));
  const leftMm = allMm - outerMm - innerMm;
  const closingMm = Math.min(leftMm, (tally.flatMm2 * print.closingLayers) / print.lineMm);
  const infillMm = ((leftMm - closingMm) * print.infillPercent) / 100;
  const plasticMm3 = (tally.underMm3 * print.supportPercent) / 100;
  const busyS =
    outerMm / speed(machine.outerWallSpeedMmS) +
    innerMm / speed(machine.wallSpeedMmS) +
    closingMm / speed(machine.closingSpeedMmS) +
    infillMm / speed(machine.infillSpeedMmS) +
    plasticMm3 / lineArea / speed(machine.supportSpeedMmS) +
    layers * (machine.layerChangeS + TRAVELS_A_LAYER * machine.retractionS);
  const printS = machine.startUpS + Math.max(busyS, layers * machine.shortestLayerS);
  const slenderness = slendernessOn(tally, heightMm);
  return poseScore({
    printS,
    unsteady: unsteadiness({ slenderness, tipDeg: tally.tipDeg, ownFootMm2: tally.ownFootMm2 }),
    supportG: (plasticMm3 * material.densityGCm3) / 1000,
    held: tally,
    terracesMm2: tally.terracesMm2,
  });

  function speed(wantedMmS: number): number {
    return Math.min(wantedMmS, machine.maxFlowMm3S / lineArea);
  }
}

function reach(outer: Float64Array, up: Vec3): { readonly low: number; readonly high: number } {
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < outer.length; i += 3) {
    const z = outer[i]! * up[0] + outer[i + 1]! * up[1] + outer[i + 2]! * up[2];
    if (z < low) low = z;
    if (z > high) high = z;
  }
  return { low, high };
}

/** Sums over the samples as they stand. */
function tallied(rough: RoughBody, up: Vec3, by: { readonly low: number; readonly settings: PoseSettings }) {
  const { samples, kinds, centreMm } = rough;
  const { num, middles: p, normals: n, areaMm2 } = samples;
  const { print } = by.settings;
  const { u, v } = planeFrame(up);
  const cell = 1.5 * samples.spacingMm;
  const x = new Float64Array(num);
  const y = new Float64Array(num);
  const z = new Float64Array(num);
  let lowX = Infinity;
  let lowY = Infinity;
  let highX = -Infinity;
  for (let i = 0; i < num; i++) {
    const s = i * 3;
    x[i] = p[s]! * u[0] + p[s + 1]! * u[1] + p[s + 2]! * u[2];
    y[i] = p[s]! * v[0] + p[s + 1]! * v[1] + p[s + 2]! * v[2];
    z[i] = p[s]! * up[0] + p[s + 1]! * up[1] + p[s + 2]! * up[2] - by.low;
    if (x[i]! < lowX) lowX = x[i]!;
    if (x[i]! > highX) highX = x[i]!;
    if (y[i]! < lowY) lowY = y[i]!;
  }
  const numX = Math.floor((highX - lowX) / cell) + 1;
  const head = new Map<number, number>();
  const next = new Int32Array(num);
  const cellOf = (i: number): number => Math.floor((x[i]! - lowX) / cell) + numX * Math.floor((y[i]! - lowY) / cell);
  const limit = Math.sin((print.overhangLimitDeg * Math.PI) / 180);
  const { least, most } = terraceSlopes(print);
  const bandMm = print.closingLayers * print.layerMm;
  const edgeMm = print.lineMm * print.contourPasses;
  let [steepMm2, flatMm2, terracesMm2, footMm2, ownFootMm2] = [0, 0, 0, 0, 0];
  const lean = new Float64Array(num);
  for (let i = 0; i < num; i++) {
    const s = i * 3;
    const up1 = n[s]! * up[0] + n[s + 1]! * up[1] + n[s + 2]! * up[2];
    lean[i] = up1;
    const flat = Math.abs(up1);
    const across = Math.sqrt(Math.max(0, 1 - up1 * up1));
    steepMm2 += areaMm2[i]! * across;
    if (bandMm > 0) flatMm2 += areaMm2[i]! * Math.max(0, flat - (edgeMm * across) / bandMm);
    if (kinds[i] === SHOWN && up1 >= -limit && across < most * flat && across > least * flat)
      terracesMm2 += areaMm2[i]!;
    if (up1 < LEAST_UP) continue;
    const at = cellOf(i);
    next[i] = head.get(at) ?? NONE;
    head.set(at, i);
  }
  let [underMm3, shownMm2, jointMm2, hiddenMm2] = [0, 0, 0, 0];
  const far = new Float64Array(NUM_WAYS).fill(-Infinity);
  const stand = (i: number, flatArea: number): void => {
    footMm2 += flatArea;
    for (let w = 0; w < NUM_WAYS; w++) {
      const to = x[i]! * WAYS[w * 2]! + y[i]! * WAYS[w * 2 + 1]!;
      if (to > far[w]!) far[w] = to;
    }
  };
  for (let i = 0; i < num; i++) {
    const flatArea = -lean[i]! * areaMm2[i]!;
    if (z[i]! < REST_MM && lean[i]! < 0) {
      ownFootMm2 += flatArea;
      stand(i, flatArea);
      continue;
    }
    if (lean[i]! > -limit) continue;
    let floor = 0;
    for (let k = head.get(cellOf(i)) ?? NONE; k !== NONE; k = next[k]!)
      if (z[k]! > floor && z[k]! < z[i]! - cell / 2) floor = z[k]!;
    underMm3 += flatArea * (z[i]! - floor);
    if (floor === 0) stand(i, (flatArea * print.supportPercent) / 100);
    if (kinds[i] === SHOWN) shownMm2 += flatArea;
    else if (kinds[i] === JOINT) jointMm2 += flatArea;
    else hiddenMm2 += flatArea;
  }
  const centreX = centreMm[0] * u[0] + centreMm[1] * u[1] + centreMm[2] * u[2];
  const centreY = centreMm[0] * v[0] + centreMm[1] * v[1] + centreMm[2] * v[2];
  const centreZ = centreMm[0] * up[0] + centreMm[1] * up[1] + centreMm[2] * up[2] - by.low;
  let inside = Infinity;
  for (let w = 0; w < NUM_WAYS; w++)
    inside = Math.min(inside, far[w]! - centreX * WAYS[w * 2]! - centreY * WAYS[w * 2 + 1]!);
  const tipDeg = inside === -Infinity ? -90 : (Math.atan2(inside, centreZ) * 180) / Math.PI;
  const hullMm2 = inside === -Infinity ? 0 : areaWithin(far);
  return {
    hullMm2,
    steepMm2,
    flatMm2,
    terracesMm2,
    footMm2,
    ownFootMm2,
    underMm3,
    shownMm2,
    jointMm2,
    hiddenMm2,
    tipDeg,
  };
}

/** Area of the polygon that keeps within `far` of the origin in each of the ways. */
function areaWithin(far: Float64Array): number {
  const step = (2 * Math.PI) / NUM_WAYS;
  let twice = 0;
  for (let w = 0; w < NUM_WAYS; w++) {
    const before = far[(w + NUM_WAYS - 1) % NUM_WAYS]!;
    const after = far[(w + 1) % NUM_WAYS]!;
    twice += (far[w]! * (before + after - 2 * far[w]! * Math.cos(step))) / Math.sin(step);
  }
  return twice / 2;
}

const WAYS = Float64Array.from({ length: NUM_WAYS * 2 }, (_, i) =>
  i % 2 === 0 ? Math.cos((Math.PI * i) / NUM_WAYS) : Math.sin((Math.PI * (i - 1)) / NUM_WAYS),
);
