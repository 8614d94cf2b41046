// The figure's scene, and the three passes that turn surfaces and strokes of every piece into a drawing.
import {
  BufferAttribute,
  BufferGeometry,
  DepthTexture,
  FloatType,
  GLSL3,
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
import type { FigureName, FigurePart } from '../api/figure-codec.ts';
import { isAsRead } from './figure-arrangement.ts';
import type { Level } from './figure-pace.ts';
import { linesFragment, SCREEN_VERTEX } from './figure-shaders.ts';
import type { Hatched } from './figure-shown.ts';
import {
  type StagePart,
  setSegments,
  setTone,
  stagePart,
  strokeGeometry,
  strokeMesh,
  tint,
  tintMarked,
} from './figure-stage-part.ts';
import type { FigureTones, Tone } from './figure-tones.ts';

export interface Stage {
  readonly canvas: HTMLCanvasElement;
  readonly camera: OrthographicCamera;
  readonly parts: readonly StagePart[];
  /** Segments (xyz xyz) of the broken lines, where the pieces stand now. */
  setWays(segments: Float32Array): void;
  /** Segments of a line that is the reader's own, where the model stands together. */
  setYours(segments: Float32Array): void;
  setTones(tones: FigureTones): void;
  /** Whether the tone grows deeper where few look; all pieces then have the same one, so that nothing else is told by it. */
  setHidden(wanted: 'shown' | 'away'): void;
  /** What is marked: scars of support, or a map of the surface. */
  setHatched(wanted: Hatched): void;
  /** Strokes of hatching stand square to `axes`, one for each piece in its own space, `mm` apart. */
  setHatch(hatch: { readonly axes: readonly Tone[]; readonly mm: number }): void;
  resize(widthPx: number, heightPx: number): void;
  /** Below full: few triangles, few texels, no shade in corners. */
  setLevel(level: Level): void;
  /** Draws; `onDone` hears when the last pixel is there. */
  draw(seen: DrawnView, onDone: () => void): void;
  /** The small picture for the labels: the piece's number and its own point at every pixel. */
  pick(width: number, height: number): Float32Array;
  dispose(): void;
}

/** What the view needs to know of itself. */
export interface DrawnView {
  readonly mmPerPx: number;
  /** Nothing is drawn outside of it, px from the top left of the room. */
  readonly boxPx: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number };
}

/** Stroke widths in CSS px: outline, what lies before something else, seam, the reader's own line, an area's outline, where a surface ends, crease, way. */
const WIDTHS = {
  heavy: 1.9,
  fine: 1.05,
  seam: 1.5,
  yours: 2.4,
  area: 1.6,
  rim: 2.2,
  crease: 0.6,
  way: 0.7,
} as const;
/** Of what is marked, the heavier the less of it there is. */
const MARKED_WIDTHS: Readonly<Record<Hatched, number>> = {
  none: 0.8,
  scars: 0.8,
  rings: 0.9,
  filling: 1,
  reach: 0.75,
  warm: 1.3,
};
const DASH_PX = 7;
/** It lies on the thinned outside, which stands a little beside what is drawn. */
const YOURS_LIFT_MM = 2.5;
const CORNER_PX = 22;

export interface StageScene {
  readonly surfaces: readonly FigurePart[];
  readonly sizeMm: readonly [number, number, number];
  readonly creases: 'drawn' | 'none';
  readonly named: readonly FigureName[];
}

export function openStage({ surfaces, sizeMm, creases, named }: StageScene): Stage {
  const given = creases === 'drawn' ? surfaces : surfaces.map((part) => ({ ...part, creases: new Float32Array() }));
  const renderer = new WebGLRenderer({ antialias: false, alpha: true, powerPreference: 'high-performance' });
  renderer.autoClear = false;
  // Depth decides what is seen; strokes have no sphere to be sorted by.
  renderer.sortObjects = false;
  renderer.setClearColor(0x000000, 0);
  // Two texels a pixel at least: lines found in a picture are only as smooth as the picture is fine.
  const densities: Readonly<Record<Level, number>> = {
    full: Math.min(3, Math.max(2, window.devicePixelRatio * 1.25)),
    coarse: 1,
    sketch: 0.55,
  };
  let level: Level = 'full';
  let sizePx = { width: 1, height: 1 };
  let hidden: 'shown' | 'away' = 'away';
  let hatched: Hatched = 'none';
  let tonesNow: FigureTones | null = null;
  const camera = new OrthographicCamera();
  const hollow = new Vector3(0, 0, sizeMm[2] * 0.45);
  const parts = given.map((part, index) => {
    const outlines = named.flatMap(({ piece, outline }) => (piece === part.id ? outline : []));
    return stagePart(part, index, { hollow, outlines: Float32Array.from(outlines) });
  });
  const ways = strokeMesh(strokeGeometry(new Float32Array()), { liftMm: 0, dash: DASH_PX * densities.full });
  const yours = strokeMesh(strokeGeometry(new Float32Array()), { liftMm: YOURS_LIFT_MM, dash: 0 });
  const toned = new Scene();
  toned.add(...parts.map((part) => part.surface));
  const strokes = new Scene();
  strokes.add(ways, yours, ...parts.flatMap((part) => part.strokes));
  const picture = new WebGLRenderTarget(4, 4, {
    count: 2,
    minFilter: NearestFilter,
    magFilter: NearestFilter,
    depthTexture: new DepthTexture(4, 4, UnsignedIntType),
  });
  const picks = new WebGLRenderTarget(4, 4, { type: FloatType, minFilter: NearestFilter, magFilter: NearestFilter });
  const passes = { careful: linesPass(picture, 'careful'), quick: linesPass(picture, 'quick') };
  const linesNow = (): LinesPass => (level === 'full' ? passes.careful : passes.quick);
  const everyStroke = [ways, yours, ...parts.flatMap((part) => part.strokes)];
  const setSizes = (): void => {
    renderer.setDrawingBufferSize(sizePx.width, sizePx.height, densities[level]);
    const size = renderer.getDrawingBufferSize(new Vector2());
    picture.setSize(size.x, size.y);
    for (const { material } of Object.values(passes))
      (material.uniforms.texel!.value as Vector2).set(1 / size.x, 1 / size.y);
    for (const { material } of everyStroke) (material.uniforms.halfSize!.value as Vector2).set(size.x / 2, size.y / 2);
  };
  const tintAll = (): void => {
    if (tonesNow === null) return;
    for (const [index, part] of parts.entries()) {
      // The model as it came has the tone of the first piece, so that it compares with the shell.
      const tone = isAsRead(given[index]!) || hidden === 'shown' ? 0 : index % tonesNow.pieces.length;
      tint(part, tonesNow, tonesNow.pieces[tone]!);
      tintMarked(part, tonesNow, hatched);
      part.setHidden(hidden === 'shown' ? tonesNow.hidden : 1);
    }
  };
  const setWidths = (density: number): void => {
    for (const [
      index,
      {
        strokes: [crease, seam, area, marked],
      },
    ] of parts.entries()) {
      crease.material.uniforms.width!.value = strokeTexels(WIDTHS.crease, density);
      marked.material.uniforms.width!.value = strokeTexels(MARKED_WIDTHS[hatched], density);
      area.material.uniforms.width!.value = strokeTexels(WIDTHS.area, density);
      seam.material.uniforms.width!.value = strokeTexels(isAsRead(given[index]!) ? WIDTHS.rim : WIDTHS.seam, density);
    }
    ways.material.uniforms.width!.value = strokeTexels(WIDTHS.way, density);
    yours.material.uniforms.width!.value = strokeTexels(WIDTHS.yours, density);
    ways.material.uniforms.dash!.value = DASH_PX * density;
  };

  return {
    canvas: renderer.domElement,
    camera,
    parts,
    setWays(segments) {
      setSegments(ways.geometry, segments);
    },
    setYours(segments) {
      setSegments(yours.geometry, segments);
    },
    setTones(tones) {
      tonesNow = tones;
      tintAll();
      setTone(ways.material, 'colour', tones.way);
      setTone(yours.material, 'colour', tones.yours);
      setTone(yours.material, 'paper', tones.paper);
      setTone(ways.material, 'paper', tones.paper);
      for (const { material } of Object.values(passes)) setTone(material, 'ink', tones.outline);
    },
    setHidden(wanted) {
      hidden = wanted;
      tintAll();
    },
    setHatched(wanted) {
      hatched = wanted;
      for (const part of parts) part.setHatched(wanted);
      tintAll();
    },
    setHatch({ axes, mm }) {
      for (const [index, { surface }] of parts.entries()) {
        (surface.material.uniforms.hatchAxis!.value as Vector3).set(...axes[index]!);
        surface.material.uniforms.hatchMm!.value = mm;
      }
    },
    resize(widthPx, heightPx) {
      sizePx = { width: widthPx, height: heightPx };
      setSizes();
    },
    setLevel(next) {
      for (const part of parts) part.setLevel(next);
      if (next === level) return;
      level = next;
      setSizes();
    },
    draw({ mmPerPx, boxPx }, onDone) {
      const density = densities[level];
      const lines = linesNow();
      const { uniforms } = lines.material;
      uniforms.depthMm!.value = camera.far - camera.near;
      uniforms.mmPerTexel!.value = mmPerPx / density;
      uniforms.heavy!.value = WIDTHS.heavy * density;
      uniforms.fine!.value = WIDTHS.fine * density;
      uniforms.corner!.value = CORNER_PX * density;
      setWidths(density);
      renderer.setRenderTarget(picture);
      renderer.clear();
      renderer.render(toned, camera);
      renderer.setRenderTarget(null);
      renderer.clear();
      // Lines are looked for only where there is something.
      const { left, right, top, bottom } = boxPx;
      renderer.setScissor(left, sizePx.height - bottom, right - left, bottom - top);
      renderer.setScissorTest(true);
      renderer.render(lines.scene, camera);
      renderer.setScissorTest(false);
      renderer.render(strokes, camera);
      whenDone(renderer.getContext() as WebGL2RenderingContext, onDone);
    },
    pick(width, height) {
      picks.setSize(width, height);
      for (const part of parts) {
        part.draws('numbers');
        part.setLevel('coarse');
      }
      renderer.setRenderTarget(picks);
      renderer.clear();
      renderer.render(toned, camera);
      for (const part of parts) {
        part.draws('tones');
        part.setLevel(level);
      }
      const pixels = new Float32Array(width * height * 4);
      renderer.readRenderTargetPixels(picks, 0, 0, width, height, pixels);
      renderer.setRenderTarget(null);
      return pixels;
    },
    dispose() {
      for (const part of parts) part.dispose();
      for (const each of [ways, yours, passes.careful.mesh, passes.quick.mesh]) {
        each.geometry.dispose();
        each.material.dispose();
      }
      picture.dispose();
      picks.dispose();
      renderer.dispose();
      renderer.forceContextLoss();
    },
  };
}

interface LinesPass {
  readonly scene: Scene;
  readonly mesh: Mesh<BufferGeometry, RawShaderMaterial>;
  readonly material: RawShaderMaterial;
}

function linesPass(picture: WebGLRenderTarget, how: 'careful' | 'quick'): LinesPass {
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(new Float32Array([-1, -1, 0, 3, -1, 0, -1, 3, 0]), 3));
  const material = new RawShaderMaterial({
    glslVersion: GLSL3,
    vertexShader: SCREEN_VERTEX,
    fragmentShader: linesFragment(how),
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

/** A stroke thinner than a texel falls into crumbs. */
function strokeTexels(widthPx: number, density: number): number {
  return Math.max(1, widthPx * density);
}

/** Asks the graphics processor, without waiting for it, until it has done all it was told. */
function whenDone(gl: WebGL2RenderingContext, onDone: () => void): void {
  const sync = gl.fenceSync(gl.SYNC_GPU_COMMANDS_COMPLETE, 0);
  // A context that was lost has nothing left to do.
  if (sync === null) return void setTimeout(onDone);
  gl.flush();
  const look = (): void => {
    if (gl.getSyncParameter(sync, gl.SYNC_STATUS) === gl.UNSIGNALED) return void setTimeout(look, 2);
    gl.deleteSync(sync);
    onDone();
  };
  setTimeout(look);
}
