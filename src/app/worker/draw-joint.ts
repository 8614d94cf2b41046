// The section through one key of a joint: both pieces as they meet, the outside above.
import { type SectionPart, sectionDrawing } from '../../documents/drawing/section-drawing.ts';
import { sectionByPlane } from '../../geometry/plane-section.ts';
import { dot } from '../../geometry/three-by-three.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import type { Joint, Key } from '../../workshop/process/joints-record.ts';

/** Paper over model. */
export const JOINT_SCALE = 2;
/** Shown beside the key's reach, and about the wall. */
const BESIDE_MM = 12;
const ABOUT_MM = 6;

/** `meshOf`: the keyed pieces and loose parts, by their id. Round keys are cut along their axis, flat ones through their middle. */
export function drawJoint(joint: Joint, parts: readonly { readonly id: string; readonly mesh: Mesh }[]): string {
  const key = joint.keys[Math.floor(joint.keys.length / 2)]!;
  const { atMm, along, into } = key;
  // the carrier lies to the left, the outside above
  const up: Vec3 = [-key.inward[0], -key.inward[1], -key.inward[2]];
  const reach = key.reachMm + BESIDE_MM;
  const deep = joint.wallMm + ABOUT_MM;
  const minMm = [-reach, -ABOUT_MM - key.thickMm] as const;
  const maxMm = [reach, deep] as const;
  const shown = parts.map(({ id, mesh }): SectionPart => {
    const { outlines } = sectionByPlane(mesh, { normal: along, offsetMm: dot(along, atMm) });
    const loops = outlines.map((outline) => flattened(outline, atMm, { into, up }));
    return { id, loops, ...hatchOf(id, key) };
  });
  const middleMm = Math.min(deep, joint.wallMm) / 2;
  return sectionDrawing(shown, {
    minMm,
    maxMm,
    scale: JOINT_SCALE,
    title: `Section through a key of ${joint.seam}: ${key.carrier} to the left, ${key.receiver} to the right, the outside above`,
    names: [
      { text: key.carrier, x: -reach + 4, y: middleMm },
      { text: key.receiver, x: reach - 4, y: middleMm },
      { text: 'outside', x: 0, y: deep - 1.5, quiet: true },
      { text: 'inside', x: -reach + 5, y: minMm[1] + 1.5, quiet: true },
    ],
  });
}

function flattened(
  outline: Float64Array,
  from: Vec3,
  { into, up }: { readonly into: Vec3; readonly up: Vec3 },
): Float64Array {
  const flat = new Float64Array((outline.length / 3) * 2);
  for (let i = 0, j = 0; i < outline.length; i += 3, j += 2) {
    const p: Vec3 = [outline[i]! - from[0], outline[i + 1]! - from[1], outline[i + 2]! - from[2]];
    flat[j] = dot(p, into);
    flat[j + 1] = dot(p, up);
  }
  return flat;
}

function hatchOf(id: string, { carrier, receiver }: Key): Pick<SectionPart, 'hatchDeg' | 'hatchMm'> {
  if (id === carrier) return { hatchDeg: 45, hatchMm: 1.1 };
  return id === receiver ? { hatchDeg: -45, hatchMm: 1.1 } : { hatchDeg: 45, hatchMm: 0.5 };
}
