// What the Wearer chapter hands on: the shell at the size it will be worn.

import type { Plane } from '../../geometry/plane.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import type { MeshId } from '../../mesh/mesh-store.ts';

export interface WearerRecord {
  readonly kind: 'wearer';
  readonly version: 2;
  /** Model space at worn size, mm. */
  readonly mesh: MeshId;
  /** Worn size over the size of the file. */
  readonly scale: number;
  readonly sizeMm: Vec3;
  readonly volumeMm3: number;
  readonly areaMm2: number;
  /** Middle wall (area-weighted p50) at worn size. */
  readonly wallMm: number;
  /** The wall was brought to a thickness of its own instead of growing with the model. */
  readonly wallKept: boolean;
  readonly symmetry: Plane | null;
  /** Closed inner outline at brow height, when the shell has a hollow there. */
  readonly girth: {
    readonly browMm: number;
    readonly innerMm: number;
    /** Head circumference that fits with the stated clearance all round. */
    readonly headMm: number;
    readonly clearanceMm: number;
  } | null;
}
