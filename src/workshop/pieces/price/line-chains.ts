// Short steps chained to the lines they make up.
import type { SeamLine } from '../../process/pieces-record.ts';

export interface LineStep {
  /** Both ends, xyz xyz, in either order. */
  readonly ends: readonly number[];
  readonly price: number;
  /** Index into SEAM_HIDING. */
  readonly hiding: number;
}

/** Steps joined at their ends (within a thousandth of a millimetre), each used once; lines that end somewhere first, then closed ones, which
 *  repeat their first point. Cost: O(steps). */
export function chainedSteps(steps: readonly LineStep[]): SeamLine[] {
  const joints = jointsOf(steps);
  const used = new Uint8Array(steps.length);
  const out: SeamLine[] = [];
  const startAt = (joint: Joint): void => {
    for (let first = unused(joint, used); first !== undefined; first = unused(joint, used))
      out.push(walked(steps, joints, used, first));
  };
  for (const joint of joints.values()) if (joint.length !== 2) startAt(joint);
  for (const joint of joints.values()) startAt(joint);
  return out;
}

/** End 2 s of step s is its first. */
type Joint = number[];

function jointsOf(steps: readonly LineStep[]): Map<string, Joint> {
  const joints = new Map<string, Joint>();
  for (let end = 0; end < steps.length * 2; end++) {
    const key = keyOf(steps, end);
    const known = joints.get(key);
    if (known === undefined) joints.set(key, [end]);
    else known.push(end);
  }
  return joints;
}

function keyOf(steps: readonly LineStep[], end: number): string {
  const { ends } = steps[end >> 1]!;
  const o = (end & 1) * 3;
  return `${Math.round(ends[o]! * 1e3)},${Math.round(ends[o + 1]! * 1e3)},${Math.round(ends[o + 2]! * 1e3)}`;
}

function unused(joint: Joint, used: Uint8Array): number | undefined {
  return joint.find((end) => used[end >> 1] === 0);
}

function walked(steps: readonly LineStep[], joints: Map<string, Joint>, used: Uint8Array, first: number): SeamLine {
  const points: number[] = [];
  const price: number[] = [];
  const hiding: number[] = [];
  const put = (end: number): void => {
    const o = (end & 1) * 3;
    points.push(...steps[end >> 1]!.ends.slice(o, o + 3));
  };
  put(first);
  for (let end: number | undefined = first; end !== undefined; ) {
    used[end >> 1] = 1;
    put(end ^ 1);
    price.push(steps[end >> 1]!.price);
    hiding.push(steps[end >> 1]!.hiding);
    const joint: Joint = joints.get(keyOf(steps, end ^ 1))!;
    end = joint.length === 2 ? unused(joint, used) : undefined;
  }
  return { points: Float32Array.from(points), price: Float32Array.from(price), hiding: Uint8Array.from(hiding) };
}
