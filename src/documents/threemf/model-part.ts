// Reads one model part of a 3MF into records: objects with their triangles or components, and what is to be built.
import type { Work } from '../../base/work.ts';
import type { Transform } from '../../mesh/transform.ts';
import { GrowingFloats, GrowingIndices } from '../growing.ts';
import { attributeNames, attributeOf, elementName, spells } from '../xml/xml-attribute.ts';
import { scanXml, type XmlElement, type XmlEvents, type XmlTrouble } from '../xml/xml-scanner.ts';
import { hasXmlSpace, notFinite, type PartTrouble, takeTriangle, takeVertex, transformOf } from './model-values.ts';

/** One object: positions (numVerts x 3, file units) and triangles, or components, or neither. */
export interface ModelObject {
  readonly id: string;
  readonly name: string;
  readonly type: string;
  positions: Float64Array;
  triangles: Uint32Array;
  readonly components: Placement[];
}

/** An object put somewhere: a component or a build item. `path` names another part (production extension). */
export interface Placement {
  readonly objectId: string;
  readonly path: string | undefined;
  readonly transform: Transform | undefined;
  readonly name: string;
}

export interface ModelPart {
  readonly unit: string;
  readonly requiredExtensions: readonly string[];
  readonly objects: ReadonlyMap<string, ModelObject>;
  readonly items: readonly Placement[];
  /** Where the first vertex with a number that is not finite stands, in words; empty when there is none. */
  readonly firstNotFinite: string;
}

export const CORE_NAMESPACE = 'http://schemas.microsoft.com/3dmanufacturing/core/2015/02';
export const PRODUCTION_NAMESPACE = 'http://schemas.microsoft.com/3dmanufacturing/production/2015/06';

/** Scans a model part (UTF-8).  Single precision is what 3MF coordinates mean, so they are rounded to it.
 *  Cost: about 0.5 s per million triangles. */
export function readModelPart(bytes: Uint8Array, work: Work): ModelPart | PartTrouble {
  const state = newState(work, bytes.length);
  const trouble = scanXml(bytes, eventsOf(state));
  if (trouble !== null) return trouble;
  if (!state.built) return { say: 'the model has no build element', at: bytes.length };
  const { unit, extensions: requiredExtensions, objects, items, firstNotFinite } = state;
  return { unit, requiredExtensions, objects, items, firstNotFinite };
}

interface State {
  prefix: string;
  pathAttribute: string;
  unit: string;
  extensions: string[];
  readonly objects: Map<string, ModelObject>;
  readonly items: Placement[];
  object: ModelObject | null;
  readonly vertices: GrowingFloats;
  readonly triangles: GrowingIndices;
  /** Where in the tree of core elements the scan is. Foreign elements leave it unchanged. */
  place: Place;
  built: boolean;
  /** Depth of a foreign element whose content is passed over, or -1. */
  foreignDepth: number;
  firstNotFinite: string;
  readonly work: Work;
  readonly totalBytes: number;
  /** Byte after which the next look at the clock is due. */
  tickAt: number;
}

type Place = 'start' | 'model' | 'resources' | 'object' | 'mesh' | 'vertices' | 'triangles' | 'components' | 'build';

// Children that matter, by the place they stand in. Core elements not listed here (metadata, material bases) are passed over.
const CHILDREN: Readonly<Record<Place, readonly Place[]>> = {
  start: ['model'],
  model: ['resources', 'build'],
  resources: ['object'],
  object: ['mesh', 'components'],
  mesh: ['vertices', 'triangles'],
  vertices: [],
  triangles: [],
  components: [],
  build: [],
};
const PARENT: Readonly<Record<Place, Place>> = {
  start: 'start',
  model: 'start',
  resources: 'model',
  build: 'model',
  object: 'resources',
  mesh: 'object',
  components: 'object',
  vertices: 'mesh',
  triangles: 'mesh',
};

/** About 20 ms of work. */
const TICK_BYTES = 1 << 21;

function newState(work: Work, totalBytes: number): State {
  return {
    prefix: '',
    pathAttribute: '',
    unit: 'millimeter',
    extensions: [],
    objects: new Map(),
    items: [],
    object: null,
    vertices: new GrowingFloats(),
    triangles: new GrowingIndices(),
    place: 'start',
    built: false,
    foreignDepth: -1,
    firstNotFinite: '',
    work,
    totalBytes,
    tickAt: TICK_BYTES,
  };
}

function eventsOf(state: State): XmlEvents {
  return {
    open(element) {
      if (element.nameFrom > state.tickAt) tickNow(state, element.nameFrom);
      if (state.foreignDepth >= 0) return hasXmlSpace(element);
      if (state.place === 'vertices' && isCore(state, element, 'vertex')) return addVertex(state, element);
      if (state.place === 'triangles' && isCore(state, element, 'triangle'))
        return takeTriangle(state.triangles, element);
      return hasXmlSpace(element) ?? openElement(state, element);
    },
    close(depth) {
      if (state.foreignDepth >= 0) {
        if (depth === state.foreignDepth) state.foreignDepth = -1;
        return null;
      }
      return closeElement(state, depth);
    },
  };
}

function tickNow(state: State, at: number): void {
  state.work.tick(at / state.totalBytes, 'reading the model file');
  state.tickAt = at + TICK_BYTES;
}

function addVertex(state: State, element: XmlElement): XmlTrouble | null {
  const trouble = takeVertex(state.vertices, element);
  if (trouble === null && state.firstNotFinite === '' && !state.vertices.isLastFinite())
    state.firstNotFinite = `vertex ${state.vertices.used / 3 - 1}, byte ${element.nameFrom} of the model part`;
  return trouble;
}

/** Depth of the element that each place is opened by: the tree of core elements has fixed levels. */
const LEVEL: Readonly<Record<Place, number>> = {
  start: -1,
  model: 0,
  resources: 1,
  build: 1,
  object: 2,
  mesh: 3,
  components: 3,
  vertices: 4,
  triangles: 4,
};

function openElement(state: State, element: XmlElement): XmlTrouble | null {
  if (state.place === 'start') return openModel(state, element);
  if (state.place === 'components' && isCore(state, element, 'component')) return takePlacement(state, element);
  if (state.place === 'build' && isCore(state, element, 'item')) return takePlacement(state, element);
  for (const child of CHILDREN[state.place])
    if (isCore(state, element, child)) {
      state.place = child;
      if (child === 'object') return openObject(state, element);
      if (child === 'build') state.built = true;
      return null;
    }
  state.foreignDepth = element.depth;
  return null;
}

function closeElement(state: State, depth: number): XmlTrouble | null {
  if (depth !== LEVEL[state.place]) return null; // the end of a vertex, a triangle, a component or an item
  const closing = state.place;
  state.place = PARENT[closing];
  if (closing === 'mesh') return closeMesh(state);
  if (closing === 'object' && state.object !== null) state.objects.set(state.object.id, state.object);
  return null;
}

function openModel(state: State, element: XmlElement): XmlTrouble | null {
  for (const name of attributeNames(element)) {
    if (name !== 'xmlns' && !name.startsWith('xmlns:')) continue;
    const prefix = name === 'xmlns' ? '' : `${name.slice(6)}:`;
    const space = attributeOf(element, name);
    if (space === CORE_NAMESPACE) state.prefix = prefix;
    if (space === PRODUCTION_NAMESPACE) state.pathAttribute = `${prefix}path`;
  }
  if (elementName(element) !== `${state.prefix}model`)
    return { say: 'the root is not a 3MF model', at: element.nameFrom };
  const space = attributeOf(element, state.prefix === '' ? 'xmlns' : `xmlns:${state.prefix.slice(0, -1)}`);
  if (space !== CORE_NAMESPACE) return { say: 'the model is not in the 3MF core namespace', at: element.nameFrom };
  state.unit = (attributeOf(element, 'unit') ?? 'millimeter').trim();
  const needed = (attributeOf(element, 'requiredextensions') ?? '').split(/\s+/).filter((p) => p !== '');
  state.extensions = needed.map((prefix) => attributeOf(element, `xmlns:${prefix}`) ?? prefix);
  state.place = 'model';
  return null;
}

function openObject(state: State, element: XmlElement): XmlTrouble | null {
  const id = attributeOf(element, 'id')?.trim();
  if (id === undefined || !/^[0-9]{1,10}$/.test(id)) return { say: 'an object has no valid id', at: element.nameFrom };
  if (state.objects.has(id)) return { say: `two objects have the id ${id}`, at: element.nameFrom };
  state.object = {
    id,
    name: attributeOf(element, 'name') ?? '',
    type: (attributeOf(element, 'type') ?? 'model').trim(),
    positions: new Float64Array(0),
    triangles: new Uint32Array(0),
    components: [],
  };
  state.vertices.clear();
  state.triangles.clear();
  return null;
}

function closeMesh(state: State): XmlTrouble | null {
  const object = state.object!;
  if (object.positions.length > 0) return { say: `object ${object.id} has two meshes`, at: 0 };
  object.positions = state.vertices.taken();
  object.triangles = state.triangles.taken();
  const numVerts = object.positions.length / 3;
  for (let i = 0; i < object.triangles.length; i++)
    if (object.triangles[i]! >= numVerts) {
      const say = `triangle ${Math.floor(i / 3)} of object ${object.id} names vertex ${object.triangles[i]} of ${numVerts}`;
      return { say, at: 0 };
    }
  return null;
}

function takePlacement(state: State, element: XmlElement): XmlTrouble | null {
  const objectId = attributeOf(element, 'objectid')?.trim();
  if (objectId === undefined) return { say: 'a component or build item names no object', at: element.nameFrom };
  const text = attributeOf(element, 'transform');
  const transform = text === undefined ? undefined : transformOf(text);
  if (transform === null) return { say: 'a transform is not 12 numbers', at: element.nameFrom };
  if (transform?.some((v) => !Number.isFinite(v))) return notFinite('a transform', element.nameFrom);
  const path = state.pathAttribute === '' ? undefined : attributeOf(element, state.pathAttribute);
  const placement = { objectId, path, transform, name: attributeOf(element, 'partnumber') ?? '' };
  (state.place === 'build' ? state.items : state.object!.components).push(placement);
  return null;
}

function isCore(state: State, element: XmlElement, local: string): boolean {
  const { bytes, nameFrom, nameTo } = element;
  const skip = state.prefix.length;
  if (nameTo - nameFrom !== local.length + skip) return false;
  if (skip > 0 && !spells(bytes, { from: nameFrom, to: nameFrom + skip }, state.prefix)) return false;
  return spells(bytes, { from: nameFrom + skip, to: nameTo }, local);
}
