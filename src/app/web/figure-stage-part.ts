// One piece on the figure's stage: its surface at two levels, its strokes, and how both are coloured and moved.
import {
  BufferAttribute,
  BufferGeometry,
  DoubleSide,
  FrontSide,
  GLSL3,
  type Matrix4,
  Mesh,
  NoBlending,
  RawShaderMaterial,
  Vector2,
  Vector3,
} from 'three';
import { type FigurePart, type FigureShape, SEGMENT_LOOKS } from '../api/figure-codec.ts';
import { isAsRead, roughShape } from './figure-arrangement.ts';
import { drawnCreases } from './figure-creases.ts';
import { cornerGeometry } from './figure-geometry.ts';
import type { Level } from './figure-pace.ts';
import {
  PICK_FRAGMENT,
  PICK_VERTEX,
  STROKE_FRAGMENT,
  STROKE_VERTEX,
  SURFACE_FRAGMENT,
  SURFACE_VERTEX,
} from './figure-shaders.ts';
import type { Hatched } from './figure-shown.ts';
import type { FigureTones, Tone } from './figure-tones.ts';

export type StrokeMesh = Mesh<BufferGeometry, RawShaderMaterial>;

export interface StagePart {
  readonly surface: Mesh<BufferGeometry, RawShaderMaterial>;
  /** Creases, seams, outlines of areas kept clear, and what is marked on it. */
  readonly strokes: readonly [StrokeMesh, StrokeMesh, StrokeMesh, StrokeMesh];
  setMatrix(matrix: Matrix4): void;
  setBack(share: number): void;
  show(wanted: 'shown' | 'away'): void;
  /** Coarse until the full level has been made. */
  setLevel(level: Level): void;
  /** How deep the tone is where nobody looks: a factor, 1 for none. */
  setHidden(step: number): void;
  /** What is marked; nothing at first. Strokes are made when they are first wanted. */
  setHatched(wanted: Hatched): void;
  /** Makes the full level, if it is not there; about 0.1 s for 35 thousand triangles. */
  refine(): void;
  readonly isRefined: boolean;
  /** Draws numbers for the labels instead of tones, or tones again. */
  draws(what: 'tones' | 'numbers'): void;
  dispose(): void;
}

/** Where a surface ends there is always a fold; the red line lies over its ink. */
const RIM_LIFT_MM = 2;
const SEAM_LIFT_MM = 0.8;
const CREASE_LIFT_MM = 0.45;

/** Over the few triangles, which lie a little beside it. */
const COARSE_CREASE_LIFT_MM = 1.6;
/** On those only the long creases are drawn, from the full level: the fold between two of few triangles is no crease. */
const LONG_CREASE_MM = 45;

/** A surface ready to be drawn. */
interface Drawable {
  readonly surface: BufferGeometry;
  readonly creases: BufferGeometry;
}

/** hollow: what faces it is the inside. outlines: of areas kept clear on the part, segments xyz xyz. */
export interface PartLook {
  readonly hollow: Vector3;
  readonly outlines: Float32Array;
}

/** The model as it came may be open: then its back is seen as well. */
export function stagePart(part: FigurePart, index: number, look: PartLook): StagePart {
  const { hollow, outlines } = look;
  const open = isAsRead(part);
  const isOneLevel = part.coarse === null;
  const coarse: Drawable = {
    surface: surfaceGeometry(roughShape(part), isOneLevel ? part.exposure?.hidden : part.exposure?.coarseHidden),
    creases: strokeGeometry(drawnCreases(part.creases, part.seams, isOneLevel ? undefined : LONG_CREASE_MM)),
  };
  let full = isOneLevel ? coarse : null;
  let level: Level = 'full';
  let isShown = true;
  const material = surfaceMaterial({ id: index + 1, open, hollow });
  const numbers = new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: PICK_VERTEX,
    fragmentShader: PICK_FRAGMENT,
    blending: NoBlending,
    uniforms: { id: { value: index + 1 } },
  });
  const surface = new Mesh(coarse.surface, material);
  const creases = strokeMesh(coarse.creases, { liftMm: CREASE_LIFT_MM, dash: 0 });
  const seams = strokeMesh(seamGeometry(part), { liftMm: open ? RIM_LIFT_MM : SEAM_LIFT_MM, dash: 0 });
  const areas = strokeMesh(strokeGeometry(outlines), { liftMm: SEAM_LIFT_MM, dash: 0 });
  const nothing = strokeGeometry(new Float32Array());
  const marked = strokeMesh(nothing, { liftMm: SEAM_LIFT_MM, dash: 0 });
  const made = new Map<Hatched, BufferGeometry>([['none', nothing]]);
  let hatched: Hatched = 'none';
  const all = [surface, creases, seams, areas, marked];
  for (const each of all) each.matrixAutoUpdate = false;
  surface.frustumCulled = false;
  const choose = (): void => {
    const shown = (level === 'full' ? full : null) ?? coarse;
    surface.geometry = shown.surface;
    creases.geometry = shown.creases;
    creases.material.uniforms.liftMm!.value = shown === full ? CREASE_LIFT_MM : COARSE_CREASE_LIFT_MM;
    for (const each of all) each.visible = isShown;
    // Tens of thousands of strokes take a software renderer as long as all else together.
    if (level === 'sketch') creases.visible = false;
    marked.visible = isShown && hatched !== 'none' && level !== 'sketch';
  };
  choose();
  return {
    surface,
    strokes: [creases, seams, areas, marked],
    get isRefined() {
      return full !== null;
    },
    setMatrix(matrix) {
      for (const each of all) {
        each.matrix.copy(matrix);
        each.matrixWorldNeedsUpdate = true;
      }
    },
    setBack(share) {
      for (const each of all) (each.material as RawShaderMaterial).uniforms.setBack!.value = share;
    },
    show(wanted) {
      isShown = wanted === 'shown';
      choose();
    },
    setLevel(next) {
      level = next;
      choose();
    },
    setHidden(step) {
      material.uniforms.hiddenStep!.value = step;
    },
    setHatched(wanted) {
      hatched = wanted;
      marked.geometry =
        made.get(wanted) ?? strokeGeometry((wanted === 'none' ? undefined : part[wanted]) ?? new Float32Array());
      made.set(wanted, marked.geometry);
      choose();
    },
    refine() {
      full ??= {
        surface: surfaceGeometry(part, part.exposure?.hidden),
        creases: strokeGeometry(drawnCreases(part.creases, part.seams)),
      };
      choose();
    },
    draws(what) {
      surface.material = what === 'tones' ? material : numbers;
    },
    dispose() {
      for (const each of new Set([coarse, full ?? coarse])) {
        each.surface.dispose();
        each.creases.dispose();
      }
      seams.geometry.dispose();
      areas.geometry.dispose();
      for (const geometry of made.values()) geometry.dispose();
      for (const each of [material, numbers, ...[creases, seams, areas, marked].map((stroke) => stroke.material)])
        each.dispose();
    },
  };
}

/** hidden: a number a vertex, 0 to 255; none where nothing is known. */
function surfaceGeometry(shape: FigureShape, hidden?: Uint8Array): BufferGeometry {
  const corners = cornerGeometry(shape);
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(corners.positions, 3));
  geometry.setAttribute('normal', new BufferAttribute(corners.normals, 3));
  if (hidden !== undefined) {
    const ofCorners = Uint8Array.from(shape.triangles, (vert) => hidden[vert]!);
    geometry.setAttribute('hidden', new BufferAttribute(ofCorners, 1, true));
  }
  return geometry;
}

function surfaceMaterial(of: { id: number; open: boolean; hollow: Vector3 }): RawShaderMaterial {
  return new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: SURFACE_VERTEX,
    fragmentShader: SURFACE_FRAGMENT,
    blending: NoBlending,
    side: of.open ? DoubleSide : FrontSide,
    uniforms: {
      tone: { value: new Vector3() },
      steps: { value: new Vector3() },
      hatch: { value: new Vector3() },
      hatchStrength: { value: 0 },
      hatchAxis: { value: new Vector3(0, 0, 1) },
      hatchMm: { value: 3 },
      hiddenStep: { value: 1 },
      paper: { value: new Vector3() },
      setBack: { value: 0 },
      id: { value: of.id },
      twoSided: { value: of.open ? 1 : 0 },
      hollow: { value: of.hollow },
    },
  });
}

export function strokeMesh(geometry: BufferGeometry, look: { liftMm: number; dash: number }): StrokeMesh {
  const material = new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: STROKE_VERTEX,
    fragmentShader: STROKE_FRAGMENT,
    blending: NoBlending,
    depthWrite: false,
    uniforms: {
      colour: { value: new Vector3() },
      paper: { value: new Vector3() },
      setBack: { value: 0 },
      halfSize: { value: new Vector2(1, 1) },
      width: { value: 1 },
      liftMm: { value: look.liftMm },
      dash: { value: look.dash },
    },
  });
  const mesh = new Mesh(geometry, material);
  mesh.frustumCulled = false;
  return mesh;
}

const QUAD = [0, -1, 1, -1, 1, 1, 0, 1] as const;
const QUAD_INDEX = [0, 1, 2, 0, 2, 3] as const;

/** A quad for each segment, all four corners written out: drawn as instances, tens of thousands of them take a software renderer ten
 *  times as long. */
export function strokeGeometry(segments: Float32Array): BufferGeometry {
  const geometry = new BufferGeometry();
  setSegments(geometry, segments);
  return geometry;
}

/** Of the width of a seam: what is not on the outside, and the cheapest and dearest of what is. Between the two by the square of the price:
 *  most seams of a good division lie in the lower half. */
const SEAM_WIDTHS = { inside: 0.5, cheapest: 0.6, dearest: 2.9, stitch: 5, fine: 0.6, dot: 1.7 } as const;

/** Seams, the wider the more they are looked at; a stitch is a short stretch so wide that it lies across. */
function seamGeometry({ seams, exposure }: FigurePart): BufferGeometry {
  const geometry = strokeGeometry(seams);
  if (exposure === null) return geometry;
  const { inside, cheapest, dearest } = SEAM_WIDTHS;
  const wider = new Float32Array((seams.length / 6) * 4);
  exposure.seamPrice.forEach((price, s) => {
    const look = SEGMENT_LOOKS[exposure.seamLook[s] ?? 0]!;
    const priced = price === 0 ? inside : cheapest + (dearest - cheapest) * ((price - 1) / 254) ** 2;
    const width = look === 'priced' ? priced : SEAM_WIDTHS[look];
    wider.fill(width - 1, s * 4, s * 4 + 4);
  });
  geometry.setAttribute('wider', new BufferAttribute(wider, 1));
  return geometry;
}

export function setSegments(geometry: BufferGeometry, segments: Float32Array): void {
  const num = segments.length / 6;
  const from = new Float32Array(num * 12);
  const to = new Float32Array(num * 12);
  const position = new Float32Array(num * 8);
  const index = new Uint32Array(num * 6);
  for (let s = 0; s < num; s++) {
    for (let corner = 0; corner < 4; corner++) {
      const at = (s * 4 + corner) * 3;
      for (let k = 0; k < 3; k++) {
        from[at + k] = segments[s * 6 + k]!;
        to[at + k] = segments[s * 6 + 3 + k]!;
      }
    }
    position.set(QUAD, s * 8);
    for (let i = 0; i < 6; i++) index[s * 6 + i] = s * 4 + QUAD_INDEX[i]!;
  }
  geometry.setAttribute('position', new BufferAttribute(position, 2));
  geometry.setAttribute('from', new BufferAttribute(from, 3));
  geometry.setAttribute('to', new BufferAttribute(to, 3));
  geometry.setIndex(new BufferAttribute(index, 1));
  geometry.setDrawRange(0, index.length);
}

export function tint(part: StagePart, tones: FigureTones, tone: Tone): void {
  const { material } = part.surface;
  setTone(material, 'tone', tone);
  setTone(material, 'steps', tones.steps);
  setTone(material, 'hatch', tones.hatch);
  setTone(material, 'paper', tones.paper);
  material.uniforms.hatchStrength!.value = tones.hatchStrength;
  const [crease, seam, area] = part.strokes;
  setTone(area.material, 'colour', tones.yours);
  setTone(crease.material, 'colour', tones.crease);
  setTone(seam.material, 'colour', tones.seam);
  for (const stroke of part.strokes) setTone(stroke.material, 'paper', tones.paper);
}

/** After tint. On a map of the surface red says only what is marked, or the seams too where they are filled; strokes that shade would be
 *  taken for marks. */
export function tintMarked({ surface, strokes }: StagePart, tones: FigureTones, hatched: Hatched): void {
  const [, seam, , marked] = strokes;
  setTone(marked.material, 'colour', hatched === 'reach' ? tones.outline : tones.seam);
  if (hatched === 'none' || hatched === 'scars') return;
  surface.material.uniforms.hatchStrength!.value = 0;
  if (hatched !== 'filling') setTone(seam.material, 'colour', tones.way);
}

export function setTone(material: RawShaderMaterial, name: string, tone: Tone): void {
  (material.uniforms[name]!.value as Vector3).set(...tone);
}
