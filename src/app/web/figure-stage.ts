// The figure's scene: surfaces and strokes of every piece, and the three passes that turn them into a drawing.
import {
  BufferAttribute,
  BufferGeometry,
  DepthTexture,
  DoubleSide,
  FloatType,
  FrontSide,
  GLSL3,
  InstancedBufferAttribute,
  InstancedBufferGeometry,
  InstancedInterleavedBuffer,
  InterleavedBufferAttribute,
  type Matrix4,
  Mesh,
  NearestFilter,
  NoBlending,
  OrthographicCamera,
  RawShaderMaterial,
  Scene,
  UnsignedIntType,
  Vector2,
  Vector3,
  WebGLRenderer,
  WebGLRenderTarget,
} from 'three';
import type { FigurePart } from '../api/figure-codec.ts';
import { isAsRead } from './figure-arrangement.ts';
import { drawnCreases } from './figure-creases.ts';
import { cornerGeometry } from './figure-geometry.ts';
import {
  LINES_FRAGMENT,
  PICK_FRAGMENT,
  PICK_VERTEX,
  SCREEN_VERTEX,
  STROKE_FRAGMENT,
  STROKE_VERTEX,
  SURFACE_FRAGMENT,
  SURFACE_VERTEX,
} from './figure-shaders.ts';
import type { FigureTones, Tone } from './figure-tones.ts';

export interface StagePart {
  readonly surface: Mesh<BufferGeometry, RawShaderMaterial>;
  readonly pick: RawShaderMaterial;
  readonly strokes: readonly Mesh<InstancedBufferGeometry, RawShaderMaterial>[];
  setMatrix(matrix: Matrix4): void;
  setBack(share: number): void;
  show(wanted: 'shown' | 'away'): void;
}

export interface Stage {
  readonly canvas: HTMLCanvasElement;
  readonly camera: OrthographicCamera;
  readonly parts: readonly StagePart[];
  /** Segments (xyz xyz) of the broken lines, where the pieces stand now. */
  setWays(segments: Float32Array): void;
  setTones(tones: FigureTones): void;
  /** Strokes of hatching stand square to `axes`, one for each piece in its own space, `mm` apart. */
  setHatch(hatch: { readonly axes: readonly Tone[]; readonly mm: number }): void;
  resize(widthPx: number, heightPx: number): void;
  draw(mmPerPx: number): void;
  /** The small picture for the labels: the piece's number and its own point at every pixel. */
  pick(width: number, height: number): Float32Array;
  dispose(): void;
}

/** Stroke widths in CSS px: outline, what lies before something else, seam, where a surface ends, crease, way. */
const WIDTHS = { heavy: 1.9, fine: 1.05, seam: 1.5, rim: 2.2, crease: 0.6, way: 0.7 } as const;
/** Where a surface ends there is always a fold; the red line lies over its ink. */
const RIM_LIFT_MM = 2;
const DASH_PX = 7;
const CORNER_PX = 22;

export interface StageScene {
  readonly surfaces: readonly FigurePart[];
  readonly sizeMm: readonly [number, number, number];
}

export function openStage({ surfaces: given, sizeMm }: StageScene): Stage {
  const renderer = new WebGLRenderer({ antialias: false, alpha: true, powerPreference: 'high-performance' });
  renderer.autoClear = false;
  renderer.setClearColor(0x000000, 0);
  // Two texels a pixel at least: lines found in a picture are only as smooth as the picture is fine.
  const density = Math.min(3, Math.max(2, window.devicePixelRatio * 1.25));
  renderer.setPixelRatio(density);
  const camera = new OrthographicCamera();
  const hollow = new Vector3(0, 0, sizeMm[2] * 0.45);
  const parts = given.map((part, index) => stagePart(part, index, hollow));
  const ways = strokeMesh(new Float32Array(), { liftMm: 0, dash: DASH_PX * density });
  const surfaces = new Scene();
  surfaces.add(...parts.map((part) => part.surface));
  const strokes = new Scene();
  strokes.add(ways, ...parts.flatMap((part) => part.strokes));
  const picture = new WebGLRenderTarget(4, 4, {
    count: 2,
    minFilter: NearestFilter,
    magFilter: NearestFilter,
    depthTexture: new DepthTexture(4, 4, UnsignedIntType),
  });
  const picks = new WebGLRenderTarget(4, 4, { type: FloatType, minFilter: NearestFilter, magFilter: NearestFilter });
  const lines = linesPass(picture);
  const everyStroke = [ways, ...parts.flatMap((part) => part.strokes)];

  return {
    canvas: renderer.domElement,
    camera,
    parts,
    setWays(segments) {
      setSegments(ways.geometry, segments);
    },
    setTones(tones) {
      for (const [index, part] of parts.entries()) {
        // The model as it came has the tone of the first piece, so that it compares with the shell.
        const tone = isAsRead(given[index]!) ? 0 : index % tones.pieces.length;
        tint(part, tones, tones.pieces[tone]!);
      }
      setTone(ways.material, 'colour', tones.way);
      setTone(ways.material, 'paper', tones.paper);
      setTone(lines.material, 'ink', tones.outline);
    },
    setHatch({ axes, mm }) {
      for (const [index, { surface }] of parts.entries()) {
        (surface.material.uniforms.hatchAxis!.value as Vector3).set(...axes[index]!);
        surface.material.uniforms.hatchMm!.value = mm;
      }
    },
    resize(widthPx, heightPx) {
      renderer.setSize(widthPx, heightPx, false);
      const size = renderer.getDrawingBufferSize(new Vector2());
      picture.setSize(size.x, size.y);
      (lines.material.uniforms.texel!.value as Vector2).set(1 / size.x, 1 / size.y);
      for (const { material } of everyStroke)
        (material.uniforms.halfSize!.value as Vector2).set(size.x / 2, size.y / 2);
    },
    draw(mmPerPx) {
      const { uniforms } = lines.material;
      uniforms.depthMm!.value = camera.far - camera.near;
      uniforms.mmPerTexel!.value = mmPerPx / density;
      uniforms.heavy!.value = WIDTHS.heavy * density;
      uniforms.fine!.value = WIDTHS.fine * density;
      uniforms.corner!.value = CORNER_PX * density;
      for (const [index, part] of parts.entries()) {
        const [crease, seam] = part.strokes;
        const seamWidth = isAsRead(given[index]!) ? WIDTHS.rim : WIDTHS.seam;
        crease!.material.uniforms.width!.value = WIDTHS.crease * density;
        seam!.material.uniforms.width!.value = seamWidth * density;
      }
      ways.material.uniforms.width!.value = WIDTHS.way * density;
      renderer.setRenderTarget(picture);
      renderer.clear();
      renderer.render(surfaces, camera);
      renderer.setRenderTarget(null);
      renderer.clear();
      renderer.render(lines.scene, camera);
      renderer.render(strokes, camera);
    },
    pick(width, height) {
      picks.setSize(width, height);
      const usual = parts.map((part) => part.surface.material);
      for (const part of parts) part.surface.material = part.pick;
      renderer.setRenderTarget(picks);
      renderer.clear();
      renderer.render(surfaces, camera);
      for (const [index, part] of parts.entries()) part.surface.material = usual[index]!;
      const pixels = new Float32Array(width * height * 4);
      renderer.readRenderTargetPixels(picks, 0, 0, width, height, pixels);
      renderer.setRenderTarget(null);
      return pixels;
    },
    dispose() {
      for (const each of [...parts.map((part) => part.surface), ...everyStroke, lines.mesh]) {
        each.geometry.dispose();
        each.material.dispose();
      }
      for (const part of parts) part.pick.dispose();
      picture.dispose();
      picks.dispose();
      renderer.dispose();
      renderer.forceContextLoss();
    },
  };
}

/** The model as it came may be open: then its back is seen as well. */
function stagePart(part: FigurePart, index: number, hollow: Vector3): StagePart {
  const open = isAsRead(part);
  const corners = cornerGeometry(part);
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(corners.positions, 3));
  geometry.setAttribute('normal', new BufferAttribute(corners.normals, 3));
  const id = index + 1;
  const material = new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: SURFACE_VERTEX,
    fragmentShader: SURFACE_FRAGMENT,
    blending: NoBlending,
    side: open ? DoubleSide : FrontSide,
    uniforms: {
      tone: { value: new Vector3() },
      steps: { value: new Vector3() },
      hatch: { value: new Vector3() },
      hatchStrength: { value: 0 },
      hatchAxis: { value: new Vector3(0, 0, 1) },
      hatchMm: { value: 3 },
      paper: { value: new Vector3() },
      setBack: { value: 0 },
      id: { value: id },
      twoSided: { value: open ? 1 : 0 },
      hollow: { value: hollow },
    },
  });
  const pick = new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: PICK_VERTEX,
    fragmentShader: PICK_FRAGMENT,
    blending: NoBlending,
    uniforms: { id: { value: id } },
  });
  const surface = new Mesh(geometry, material);
  const strokes = [
    strokeMesh(drawnCreases(part.creases, part.seams), { liftMm: 0.45, dash: 0 }),
    strokeMesh(part.seams, { liftMm: open ? RIM_LIFT_MM : 0.8, dash: 0 }),
  ];
  for (const each of [surface, ...strokes]) {
    each.matrixAutoUpdate = false;
    each.frustumCulled = false;
  }
  return {
    surface,
    pick,
    strokes,
    setMatrix(matrix) {
      for (const each of [surface, ...strokes]) {
        each.matrix.copy(matrix);
        each.matrixWorldNeedsUpdate = true;
      }
    },
    setBack(share) {
      for (const each of [surface, ...strokes]) each.material.uniforms.setBack!.value = share;
    },
    show(wanted) {
      for (const each of [surface, ...strokes]) each.visible = wanted === 'shown';
    },
  };
}

function strokeMesh(
  segments: Float32Array,
  { liftMm, dash }: { liftMm: number; dash: number },
): Mesh<InstancedBufferGeometry, RawShaderMaterial> {
  const geometry = new InstancedBufferGeometry();
  const quad = new Float32Array([0, -1, 0, 1, -1, 0, 1, 1, 0, 0, 1, 0]);
  geometry.setAttribute('position', new BufferAttribute(quad, 3));
  geometry.setIndex([0, 1, 2, 0, 2, 3]);
  setSegments(geometry, segments);
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
      liftMm: { value: liftMm },
      dash: { value: dash },
    },
  });
  const mesh = new Mesh(geometry, material);
  mesh.frustumCulled = false;
  return mesh;
}

function setSegments(geometry: InstancedBufferGeometry, segments: Float32Array): void {
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

function linesPass(picture: WebGLRenderTarget): {
  scene: Scene;
  mesh: Mesh<BufferGeometry, RawShaderMaterial>;
  material: RawShaderMaterial;
} {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(new Float32Array([-1, -1, 0, 3, -1, 0, -1, 3, 0]), 3));
  const material = new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: SCREEN_VERTEX,
    fragmentShader: LINES_FRAGMENT,
    blending: NoBlending,
    uniforms: {
      tones: { value: picture.textures[0] },
      ways: { value: picture.textures[1] },
      depths: { value: picture.depthTexture },
      texel: { value: new Vector2() },
      depthMm: { value: 1 },
      mmPerTexel: { value: 1 },
      heavy: { value: 1 },
      fine: { value: 1 },
      corner: { value: 1 },
      ink: { value: new Vector3() },
    },
  });
  const mesh = new Mesh(geometry, material);
  mesh.frustumCulled = false;
  const scene = new Scene();
  scene.add(mesh);
  return { scene, mesh, material };
}

function tint(part: StagePart, tones: FigureTones, tone: Tone): void {
  const { material } = part.surface;
  setTone(material, 'tone', tone);
  setTone(material, 'steps', tones.steps);
  setTone(material, 'hatch', tones.hatch);
  setTone(material, 'paper', tones.paper);
  material.uniforms.hatchStrength!.value = tones.hatchStrength;
  const [crease, seam] = part.strokes;
  setTone(crease!.material, 'colour', tones.crease);
  setTone(seam!.material, 'colour', tones.seam);
  for (const stroke of part.strokes) setTone(stroke.material, 'paper', tones.paper);
}

function setTone(material: RawShaderMaterial, name: string, tone: Tone): void {
  (material.uniforms[name]!.value as Vector3).set(...tone);
}
