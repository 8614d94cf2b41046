// Which meshes of a glTF scene stand where: the tree of nodes walked with every number doubted, nothing read yet.
import type { Refusal } from '../../base/findings.ts';
import { refuse } from '../../base/findings.ts';
import { chainTransforms, IDENTITY, type Transform } from '../../mesh/transform.ts';
import { entryOf } from './gltf-accessors.ts';
import { broken, GLTF_WHERE, isObject, type JsonObject } from './gltf-container.ts';

export interface PlacedMesh {
  readonly mesh: number;
  /** World, in metres. */
  readonly transform: Transform;
}

export interface SceneWalk {
  readonly placed: readonly PlacedMesh[];
  /** Meshes that bones would bend. */
  readonly numSkinned: number;
  /** Meshes that their transform flattens to nothing. */
  readonly numFlat: number;
}

/** Nodes within nodes. */
export const MAX_NODE_DEPTH = 1024;

/** Walks the default scene (the first without one; all roots without any). A node may be reached once only.
 *  Refuses: FILE_MALFORMED, COORDINATE_NOT_FINITE. */
export function walkScene(json: JsonObject): SceneWalk | Refusal {
  const nodes: readonly unknown[] = Array.isArray(json.nodes) ? json.nodes : [];
  if (nodes.length === 0) return withoutNodes(json);
  const roots = rootsOf(json, nodes);
  if (!Array.isArray(roots)) return roots as Refusal;
  const seen = new Uint8Array(nodes.length);
  const placed: PlacedMesh[] = [];
  let numSkinned = 0;
  let numFlat = 0;
  const stack = roots.map((index: unknown) => ({ index, above: IDENTITY, depth: 0 })).reverse();
  for (let spot = stack.pop(); spot !== undefined; spot = stack.pop()) {
    const node = entryOf(json, 'nodes', spot.index);
    if (node === null) return broken(`Node ${String(spot.index).slice(0, 20)} is used but not defined.`);
    const index = spot.index as number;
    if (seen[index] === 1) return broken(`Node ${index} is reached twice: it has two parents or contains itself.`);
    seen[index] = 1;
    if (spot.depth > MAX_NODE_DEPTH) return broken(`Nodes are nested deeper than ${MAX_NODE_DEPTH}.`);
    const own = transformOf(node, index);
    if (!Array.isArray(own)) return own as Refusal;
    const transform = chainTransforms(own, spot.above);
    if (node.mesh !== undefined) {
      if (entryOf(json, 'meshes', node.mesh) === null) return broken(`Node ${index} names a mesh that is not there.`);
      if (node.skin !== undefined) numSkinned++;
      if (determinant(transform) === 0) numFlat++;
      else placed.push({ mesh: node.mesh as number, transform });
    }
    const children = node.children ?? [];
    if (!Array.isArray(children)) return broken(`The children of node ${index} are no list.`);
    if (children.length > nodes.length) return broken(`Node ${index} has more children than there are nodes.`);
    for (let k = children.length - 1; k >= 0; k--)
      stack.push({ index: children[k] as unknown, above: transform, depth: spot.depth + 1 });
  }
  return { placed, numSkinned, numFlat };
}

export function determinant(t: Transform): number {
  return (
    t[0]! * (t[4]! * t[8]! - t[5]! * t[7]!) -
    t[1]! * (t[3]! * t[8]! - t[5]! * t[6]!) +
    t[2]! * (t[3]! * t[7]! - t[4]! * t[6]!)
  );
}

function withoutNodes(json: JsonObject): SceneWalk {
  const meshes = Array.isArray(json.meshes) ? json.meshes : [];
  const placed = meshes.map((_, mesh) => ({ mesh, transform: IDENTITY }));
  return { placed, numSkinned: 0, numFlat: 0 };
}

function rootsOf(json: JsonObject, nodes: readonly unknown[]): unknown[] | Refusal {
  if (Array.isArray(json.scenes) && json.scenes.length > 0) {
    const scene = entryOf(json, 'scenes', json.scene ?? 0);
    if (scene === null) return broken('The default scene is not there.');
    const roots = scene.nodes ?? [];
    return Array.isArray(roots) && roots.length <= nodes.length ? roots : broken('The nodes of the scene are no list.');
  }
  const isChild = new Uint8Array(nodes.length);
  for (const node of nodes)
    if (isObject(node) && Array.isArray(node.children))
      for (const child of node.children as unknown[]) if (typeof child === 'number') isChild[child] = 1;
  const roots: number[] = [];
  for (let i = 0; i < nodes.length; i++) if (isChild[i] === 0) roots.push(i);
  return roots;
}

function transformOf(node: JsonObject, index: number): Transform | Refusal {
  if (node.matrix !== undefined) {
    const m = numbersOf(node.matrix, 16);
    if (m === null) return badTransform(index);
    // columns of glTF are rows here
    return [m[0]!, m[1]!, m[2]!, m[4]!, m[5]!, m[6]!, m[8]!, m[9]!, m[10]!, m[12]!, m[13]!, m[14]!];
  }
  const shift = numbersOf(node.translation ?? [0, 0, 0], 3);
  const turn = numbersOf(node.rotation ?? [0, 0, 0, 1], 4);
  const scale = numbersOf(node.scale ?? [1, 1, 1], 3);
  if (shift === null || turn === null || scale === null) return badTransform(index);
  const [x, y, z, w] = turn as [number, number, number, number];
  const [sx, sy, sz] = scale as [number, number, number];
  return [
    (1 - 2 * (y * y + z * z)) * sx,
    2 * (x * y + z * w) * sx,
    2 * (x * z - y * w) * sx,
    2 * (x * y - z * w) * sy,
    (1 - 2 * (x * x + z * z)) * sy,
    2 * (y * z + x * w) * sy,
    2 * (x * z + y * w) * sz,
    2 * (y * z - x * w) * sz,
    (1 - 2 * (x * x + y * y)) * sz,
    shift[0]!,
    shift[1]!,
    shift[2]!,
  ];
}

function numbersOf(value: unknown, length: number): number[] | null {
  if (!Array.isArray(value) || value.length !== length) return null;
  return value.every((v) => typeof v === 'number' && Number.isFinite(v)) ? (value as number[]) : null;
}

function badTransform(index: number): Refusal {
  return refuse('COORDINATE_NOT_FINITE', `The transform of node ${index} is not made of finite numbers.`, GLTF_WHERE);
}
