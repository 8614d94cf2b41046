// One piece on the figure's stage: its surface at two levels, its strokes, and how both are coloured and moved.
import {
  BufferAttribute,
  BufferGeometry,
  DoubleSide,
  FrontSide,
  GLSL3,
  InstancedBufferAttribute,
  InstancedBufferGeometry,
  InstancedInterleavedBuffer,
  InterleavedBufferAttribute,
  type Matrix4,
  Mesh,
  NoBlending,
  RawShaderMaterial,
  Vector2,
  Vector3,
} from 'three';
import type { FigurePart, FigureShape } from '../api/figure-codec.ts';
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
import type { FigureTones, Tone } from './figure-tones.ts';

export type StrokeMesh = Mesh<InstancedBufferGeometry, RawShaderMaterial>;

export interface StagePart {
  readonly surface: Mesh<BufferGeometry, RawShaderMaterial>;
  /** Creases, then seams. */
  readonly strokes: readonly [StrokeMesh, StrokeMesh];
  setMatrix(matrix: Matrix4): void;
  setBack(share: number): void;
  show(wanted: 'shown' | 'away'): void;
  /** Coarse until the full level has been made. */
  setLevel(level: Level): void;
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

/** A surface ready to be drawn. */
interface Drawable {
  readonly surface: BufferGeometry;
  readonly creases: InstancedBufferGeometry;
}

/** The model as it came may be open: then its back is seen as well. */
export function stagePart(part: FigurePart, index: number, hollow: Vector3): StagePart {
  const open = isAsRead(part);
  const coarse = drawable(roughShape(part), part.seams);
  let full = part.coarse === null ? coarse : null;
  let level: Level = 'full';
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
  const seams = strokeMesh(strokeGeometry(part.seams), { liftMm: open ? RIM_LIFT_MM : SEAM_LIFT_MM, dash: 0 });
  const all = [surface, creases, seams];
  for (const each of all) each.matrixAutoUpdate = false;
  surface.frustumCulled = false;
  const choose = (): void => {
    const shown = level === 'full' ? (full ?? coarse) : coarse;
    surface.geometry = shown.surface;
    creases.geometry = shown.creases;
  };
  return {
    surface,
    strokes: [creases, seams],
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
      for (const each of all) each.visible = wanted === 'shown';
    },
    setLevel(next) {
      level = next;
      choose();
    },
    refine() {
      full ??= drawable(part, part.seams);
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
      for (const each of [material, numbers, creases.material, seams.material]) each.dispose();
    },
  };
}

function drawable(shape: FigureShape, seams: Float32Array): Drawable {
  const corners = cornerGeometry(shape);
  const surface = new BufferGeometry();
  surface.setAttribute('position', new BufferAttribute(corners.positions, 3));
  surface.setAttribute('normal', new BufferAttribute(corners.normals, 3));
  return { surface, creases: strokeGeometry(drawnCreases(shape.creases, seams)) };
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
      paper: { value: new Vector3() },
      setBack: { value: 0 },
      id: { value: of.id },
      twoSided: { value: of.open ? 1 : 0 },
      hollow: { value: of.hollow },
    },
  });
}

export function strokeMesh(geometry: InstancedBufferGeometry, look: { liftMm: number; dash: number }): StrokeMesh {
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

export function strokeGeometry(segments: Float32Array): InstancedBufferGeometry {
  const geometry = new InstancedBufferGeometry();
  const quad = new Float32Array([0, -1, 0, 1, -1, 0, 1, 1, 0, 0, 1, 0]);
  geometry.setAttribute('position', new BufferAttribute(quad, 3));
  geometry.setIndex([0, 1, 2, 0, 2, 3]);
  setSegments(geometry, segments);
  return geometry;
}

export function setSegments(geometry: InstancedBufferGeometry, segments: Float32Array): void {
  geometry.instanceCount = segments.length / 6;
  if (segments.length === 0) {
    for (const name of ['from', 'to'])
      geometry.setAttribute(name, new InstancedBufferAttribute(new Float32Array(3), 3));
    return;
  }
  const buffer = new InstancedInterleavedBuffer(segments, 6);
  geometry.setAttribute('from', new InterleavedBufferAttribute(buffer, 3, 0));
  geometry.setAttribute('to', new InterleavedBufferAttribute(buffer, 3, 3));
}

export function tint(part: StagePart, tones: FigureTones, tone: Tone): void {
  const { material } = part.surface;
  setTone(material, 'tone', tone);
  setTone(material, 'steps', tones.steps);
  setTone(material, 'hatch', tones.hatch);
  setTone(material, 'paper', tones.paper);
  material.uniforms.hatchStrength!.value = tones.hatchStrength;
  const [crease, seam] = part.strokes;
  setTone(crease.material, 'colour', tones.crease);
  setTone(seam.material, 'colour', tones.seam);
  for (const stroke of part.strokes) setTone(stroke.material, 'paper', tones.paper);
}

export function setTone(material: RawShaderMaterial, name: string, tone: Tone): void {
  (material.uniforms[name]!.value as Vector3).set(...tone);
}
