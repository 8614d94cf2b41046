// Reads glTF, binary or JSON: every mesh of the default scene where its nodes put it, in millimetres.
import { done, type Finding, finding, type Outcome, type Refusal, refuse } from '../../base/findings.ts';
import { QUIET_WORK, type Work } from '../../base/work.ts';
import { meshOf } from '../../mesh/mesh.ts';
import type { Transform } from '../../mesh/transform.ts';
import type { ReadMesh } from '../face-collector.ts';
import { leaveOutNotFinite } from '../leave-out.ts';
import { harmless } from '../text/text-place.ts';
import {
  type Accessor,
  type AccessorSource,
  accessorAt,
  entryOf,
  type Numbers,
  readAccessor,
} from './gltf-accessors.ts';
import { bufferBytes, type Resources } from './gltf-buffers.ts';
import { broken, GLTF_WHERE, isObject, type JsonObject, openGltf } from './gltf-container.ts';
import { determinant, type PlacedMesh, type SceneWalk, walkScene } from './gltf-scene.ts';

export interface GltfLimits {
  readonly maxTriangles: number;
  /** Triangles or vertices placed beyond one for each byte: room for meshes placed many times. */
  readonly maxCopied: number;
  /** Primitives over all placed meshes. */
  readonly maxPlaced: number;
}

export const GLTF_LIMITS: GltfLimits = { maxTriangles: 20_000_000, maxCopied: 4_000_000, maxPlaced: 200_000 };

/** Reads the default scene: node transforms (mirrors turn the triangles round), shared meshes, strips and fans, sparse and quantised
 *  numbers; metres become millimetres. `resources` gives files beside a .gltf by plain name. Materials and pictures are passed over.
 *  All counts, ranges and the total are checked before a coordinate is read.
 *  Cost: about 0.1 s per million triangles; memory 24 bytes a vertex and 36 a triangle.
 *  Findings: MOTION_IGNORED, ELEMENTS_IGNORED, CORNERS_NOT_FINITE, TRAILING_BYTES.
 *  Refuses: FILE_MALFORMED, FILE_TRUNCATED, FILE_TOO_LARGE, FILE_KIND_UNKNOWN, GLTF_NEEDS_EXTENSION, RESOURCE_REFUSED,
 *  RESOURCE_MISSING, COORDINATE_NOT_FINITE.  Source: glTF 2.0 specification (Khronos); docs/methods/gltf.md.
 *  Weak: skins and morphs are read at rest, without their bones. */
export function readGltf(
  bytes: Uint8Array,
  options: { readonly resources?: Resources; readonly limits?: GltfLimits } = {},
  work: Work = QUIET_WORK,
): Outcome<ReadMesh> {
  const opened = openGltf(bytes);
  if (!opened.ok) return opened;
  const { json, bin } = opened.value;
  const strange = strangeExtension(json);
  if (strange !== null) return strange;
  const walk = walkScene(json);
  if ('ok' in walk) return walk;
  const buffers = new Map<number, Uint8Array | Refusal>();
  const source: AccessorSource = {
    json,
    maxEmpty: bytes.length,
    buffer: (index) => {
      let found = buffers.get(index);
      if (found === undefined) {
        const buffer = entryOf(json, 'buffers', index);
        found =
          buffer === null
            ? broken(`Buffer ${index} is used but not defined.`)
            : bufferBytes(buffer, index, { bin, resources: options.resources ?? (() => null) });
        buffers.set(index, found);
      }
      return found;
    },
  };
  const limits = options.limits ?? GLTF_LIMITS;
  const planned = planOf(source, walk.placed, limits);
  if ('ok' in planned) return planned;
  const known = [...buffers.values()].reduce((sum, b) => sum + (b instanceof Uint8Array ? b.length : 0), bytes.length);
  const trouble = checkTotal(planned, limits, known);
  if (trouble !== null) return trouble;
  const filled = fill(planned, work);
  if ('ok' in filled) return filled;
  const kept = leaveOutNotFinite(meshOf(filled.positions, filled.triangles), { path: 'gltf', first: '' });
  if (!kept.ok) return kept;
  const findings = [...opened.findings, ...sceneFindings(walk, planned), ...kept.findings];
  return done({ mesh: kept.value, parts: Math.max(1, planned.numParts) }, findings);
}

const MM_PER_METRE = 1000;
// Extensions that do not change the shape, or whose change is read (quantised numbers).
const HARMLESS =
  /^(KHR_materials_\w+|(KHR|EXT)_texture_\w+|EXT_materials_\w+|KHR_lights_punctual|KHR_mesh_quantization|KHR_xmp\w*|KHR_animation_pointer|MSFT_texture_dds)$/;

function strangeExtension(json: JsonObject): Refusal | null {
  const required = json.extensionsRequired ?? [];
  if (!Array.isArray(required)) return broken('The required extensions are no list.');
  const strange = required.find((name: unknown) => typeof name !== 'string' || !HARMLESS.test(name)) as unknown;
  if (strange === undefined) return null;
  return refuse(
    'GLTF_NEEDS_EXTENSION',
    `The scene cannot be read without ${JSON.stringify(harmless(String(strange)))}.`,
    GLTF_WHERE,
  );
}

interface Primitive {
  readonly positions: Accessor;
  readonly indices: Accessor | null;
  /** 4 triangles, 5 strip, 6 fan. */
  readonly mode: number;
  /** First vertex of its positions in the result. */
  readonly base: number;
  readonly name: string;
}

interface Plan {
  readonly parts: { readonly transform: Transform; readonly primitives: Primitive[]; readonly blocks: Block[] }[];
  numVerts: number;
  numTris: number;
  numParts: number;
  numIgnored: number;
  numMorphs: number;
}

/** One accessor of positions, placed once. */
interface Block {
  readonly positions: Accessor;
  readonly base: number;
}

/** What will be read, how much of it, and where it goes; accessors are checked once each. */
function planOf(source: AccessorSource, placed: readonly PlacedMesh[], limits: GltfLimits): Plan | Refusal {
  let numPlaced = 0;
  const plan: Plan = { parts: [], numVerts: 0, numTris: 0, numParts: 0, numIgnored: 0, numMorphs: 0 };
  const known = new Map<number, Accessor>();
  for (const { mesh, transform } of placed) {
    const part = { transform, primitives: [] as Primitive[], blocks: [] as Block[] };
    const bases = new Map<number, number>();
    const primitives = entryOf(source.json, 'meshes', mesh)?.primitives;
    if (!Array.isArray(primitives)) return broken(`Mesh ${mesh} has no list of primitives.`);
    for (const [k, primitive] of (primitives as unknown[]).entries()) {
      const name = `primitive ${k} of mesh ${mesh}`;
      // counted while they are laid out, since nodes times primitives can be any number
      if (
        ++numPlaced > limits.maxPlaced ||
        plan.numTris > limits.maxTriangles ||
        plan.numVerts > 3 * limits.maxTriangles
      )
        return tooMuch(plan, numPlaced, limits);
      if (!isObject(primitive)) return broken(`The ${name} is no object.`);
      const mode = primitive.mode ?? 4;
      if (mode !== 4 && mode !== 5 && mode !== 6) {
        plan.numIgnored++;
        continue;
      }
      const positions = lookUp(source, known, { index: attributeOf(primitive), type: 'VEC3', name });
      if ('ok' in positions) return positions;
      const indices =
        primitive.indices === undefined
          ? null
          : lookUp(source, known, { index: primitive.indices, type: 'SCALAR', name });
      if (indices !== null && 'ok' in indices) return indices;
      if (Array.isArray(primitive.targets) && primitive.targets.length > 0) plan.numMorphs++;
      const accessor = attributeOf(primitive) as number;
      let base = bases.get(accessor);
      if (base === undefined) {
        base = plan.numVerts;
        bases.set(accessor, base);
        part.blocks.push({ positions, base });
        plan.numVerts += positions.count;
      }
      plan.numTris += trianglesOf(mode, (indices ?? positions).count);
      part.primitives.push({ positions, indices, mode, base, name });
    }
    plan.parts.push(part);
    if (part.primitives.length > 0) plan.numParts++;
  }
  return plan;
}

function tooMuch({ numTris, numVerts }: Plan, numPlaced: number, limits: GltfLimits): Refusal {
  const why = `The scene places more than ${numPlaced - 1} primitives with ${numTris} triangles and ${numVerts} vertices; the limits are ${limits.maxPlaced}, ${limits.maxTriangles} and ${3 * limits.maxTriangles}.`;
  return refuse('FILE_TOO_LARGE', why, GLTF_WHERE);
}

function attributeOf(primitive: JsonObject): unknown {
  return isObject(primitive.attributes) ? primitive.attributes.POSITION : undefined;
}

function lookUp(
  source: AccessorSource,
  known: Map<number, Accessor>,
  wanted: { index: unknown; type: 'SCALAR' | 'VEC3'; name: string },
): Accessor | Refusal {
  const { index, type, name } = wanted;
  if (typeof index !== 'number') return broken(`The ${name} names no positions or indices.`);
  const found = known.get(index);
  const accessor = found ?? accessorAt(source, index, type);
  if ('ok' in accessor) return accessor;
  if (accessor.components !== (type === 'VEC3' ? 3 : 1)) return broken(`Accessor ${index} is used as two types.`);
  known.set(index, accessor);
  return accessor;
}

function trianglesOf(mode: number, count: number): number {
  return mode === 4 ? Math.floor(count / 3) : Math.max(0, count - 2);
}

function checkTotal({ numTris, numVerts }: Plan, limits: GltfLimits, knownBytes: number): Refusal | null {
  const most = Math.min(limits.maxTriangles, limits.maxCopied + knownBytes);
  const what = numTris > most ? `${numTris} triangles` : numVerts > 3 * most ? `${numVerts} vertices` : null;
  if (what === null) return null;
  return refuse(
    'FILE_TOO_LARGE',
    `The scene places ${what}; the limit for this file is ${most} triangles.`,
    GLTF_WHERE,
  );
}

function fill(plan: Plan, work: Work): { positions: Float64Array; triangles: Uint32Array } | Refusal {
  const positions = new Float64Array(plan.numVerts * 3);
  const triangles = new Uint32Array(plan.numTris * 3);
  let used = 0;
  for (const { transform, primitives, blocks } of plan.parts) {
    const isMirrored = determinant(transform) < 0;
    for (const block of blocks) {
      const values = readAccessor(block.positions);
      if ('ok' in values) return values;
      place(values, transform, positions.subarray(block.base * 3));
      work.tick(used / triangles.length, 'reading the model file');
    }
    for (const primitive of primitives) {
      const next = takeTriangles(primitive, { triangles, used, isMirrored });
      if (typeof next !== 'number') return next;
      used = next;
      work.tick(used / triangles.length, 'reading the model file');
    }
  }
  return { positions, triangles };
}

function place(from: Numbers, t: Transform, into: Float64Array): void {
  for (let i = 0; i < from.length; i += 3) {
    const x = from[i]!;
    const y = from[i + 1]!;
    const z = from[i + 2]!;
    into[i] = (x * t[0]! + y * t[3]! + z * t[6]! + t[9]!) * MM_PER_METRE;
    into[i + 1] = (x * t[1]! + y * t[4]! + z * t[7]! + t[10]!) * MM_PER_METRE;
    into[i + 2] = (x * t[2]! + y * t[5]! + z * t[8]! + t[11]!) * MM_PER_METRE;
  }
}

/** Writes the triangles of one primitive and gives the new number of indices used. */
function takeTriangles(
  primitive: Primitive,
  into: { triangles: Uint32Array; used: number; isMirrored: boolean },
): number | Refusal {
  const { positions, indices, mode, base, name } = primitive;
  const { triangles, isMirrored } = into;
  const list = indices === null ? null : readAccessor(indices);
  if (list !== null && 'ok' in list) return list;
  if (list !== null)
    for (let i = 0; i < list.length; i++)
      if (list[i]! >= positions.count)
        return broken(`Index ${i} of ${name} names vertex ${list[i]} of ${positions.count}.`);
  const count = trianglesOf(mode, (indices ?? positions).count);
  let used = into.used;
  for (let t = 0; t < count; t++) {
    const first = mode === 4 ? 3 * t : mode === 5 ? t : 0;
    const second = mode === 4 ? 3 * t + 1 : t + 1;
    const third = second + 1;
    // every second triangle of a strip runs the other way; so does every one in a mirror
    const isTurned = (mode === 5 && t % 2 === 1) !== isMirrored;
    const b = isTurned ? third : second;
    const c = isTurned ? second : third;
    triangles[used] = base + (list === null ? first : list[first]!);
    triangles[used + 1] = base + (list === null ? b : list[b]!);
    triangles[used + 2] = base + (list === null ? c : list[c]!);
    used += 3;
  }
  return used;
}

function sceneFindings({ numSkinned, numFlat }: SceneWalk, { numMorphs, numIgnored }: Plan): Finding[] {
  const findings: Finding[] = [];
  if (numSkinned + numMorphs > 0) {
    const say = `${numSkinned} meshes are bent by bones and ${numMorphs} have morphs; they were read as they are without them.`;
    findings.push(finding('MOTION_IGNORED', say, { ...GLTF_WHERE, measured: numSkinned + numMorphs, limit: 0 }));
  }
  if (numFlat + numIgnored > 0) {
    const say = `${numIgnored} sets of points or lines and ${numFlat} meshes scaled to nothing were passed over.`;
    findings.push(finding('ELEMENTS_IGNORED', say, { ...GLTF_WHERE, measured: numFlat + numIgnored, limit: 0 }));
  }
  return findings;
}
