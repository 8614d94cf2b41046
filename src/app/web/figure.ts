// The figure: the pieces as a technical drawing that can be turned, pulled apart and laid out; drawn only when asked.
import { Vector3 } from 'three';
import type { FigureData } from '../api/figure-codec.ts';
import { type Anchor, labelAnchors } from './figure-anchors.ts';
import {
  betweenPoses,
  isAsRead,
  LAID_ELEVATION_DEG,
  type PartShape,
  type PiecePose,
  partShape,
  poseMatrix,
  posesOf,
  surfacesOf,
} from './figure-arrangement.ts';
import { fitView, type ViewFit } from './figure-fit.ts';
import { type LabelPlace, labelLayer } from './figure-labels.ts';
import { orbitBy, type View } from './figure-orbit.ts';
import { listenForPlaces } from './figure-pointing.ts';
import { nearestHit } from './figure-ray.ts';
import { type Arrangement, arrangementOf } from './figure-shown.ts';
import { openStage } from './figure-stage.ts';
import { FIGURE_TONES, type FigureTheme, type Tone } from './figure-tones.ts';
import { waysBetween } from './figure-ways.ts';
import { figureWords } from './figure-words.ts';

export interface Figure {
  /** 0: together; 1: as far as each piece's own way says. */
  setApart(share: number): void;
  /** 'model', 'wearer', 'pieces', 'printing', 'as-read'; anything else shows the pieces apart. */
  setChapter(name: string): void;
  /** Sets all other pieces back; null: none. */
  hold(partId: string | null): void;
  setTheme(theme: FigureTheme): void;
  /** Numbers beside the figure with lines to their places; seen when the model stands together, mended or as it came. */
  setMarks(marks: readonly ShownMark[]): void;
  /** While there is a listener, a click, a tap, or Enter for the middle of the view points at a place of the surface. */
  point(onPlace: ((at: Tone) => void) | null): void;
  dispose(): void;
}

export interface ShownMark {
  readonly id: string;
  readonly name: string;
  /** The figure's space, mm. */
  readonly at: readonly [number, number, number];
  readonly tone: 'so' | 'yours';
}

export interface FigureOptions {
  readonly theme: FigureTheme;
  /** What it shows from the beginning, see setChapter and setApart. */
  readonly chapter?: string;
  readonly apart?: number;
}

/** The view each arrangement begins with, as long as the reader has not turned it. */
const VIEWS: Readonly<Record<Arrangement, Omit<View, 'zoom'>>> = {
  together: { azimuthDeg: 32, elevationDeg: 14 },
  apart: { azimuthDeg: 32, elevationDeg: 14 },
  laid: { azimuthDeg: 12, elevationDeg: LAID_ELEVATION_DEG },
  'as-read': { azimuthDeg: 32, elevationDeg: 14 },
};
const MOVE_MS = 650;
const SETTLE_MS = 120;
/** Long side of the small picture that the labels look at. */
const PICK_PX = 150;
const HATCH_PX = 3.4;
/** Hatching runs across the form, leaning a little, as a pen would. */
const HATCH_AXIS: Tone = [0.32, -0.2, 0.926];

/** Throws when the browser cannot draw it. Takes up to some 200 thousand triangles with ease. */
export function mountFigure(element: HTMLElement, data: FigureData, options: FigureOptions): Figure {
  const surfaces = surfacesOf(data);
  const stage = openStage({ surfaces, sizeMm: data.sizeMm });
  stage.canvas.className = 'figure-canvas';
  element.append(stage.canvas);
  element.tabIndex = 0;
  element.setAttribute('role', 'img');
  element.setAttribute('aria-label', figureWords(data, 'mm'));
  const labels = labelLayer(element);
  const shapes = surfaces.map(partShape);
  const sameFrame = asReadFits(shapes, data);
  const ways = waysBetween(data.parts);
  const acrossAxes = surfaces.map(() => HATCH_AXIS);
  const layerAxes = surfaces.map(
    ({ toLaid }): Tone => (toLaid === null ? HATCH_AXIS : [toLaid[2]!, toLaid[5]!, toLaid[8]!]),
  );
  const still = matchMedia('(prefers-reduced-motion: reduce)');
  let arrangement = arrangementOf(options.chapter ?? 'front', data);
  let apart = options.apart ?? 0.6;
  let held: string | null = null;
  let pointing: ((at: Tone) => void) | null = null;
  let poses = posesOf(shapes, arrangement, apart);
  let move: { from: PiecePose[]; to: PiecePose[]; view: View; start: number } | null = null;
  let anchors: readonly Anchor[] = [];
  let marks: readonly ShownMark[] = [];
  let behind: readonly boolean[] = [];
  let asked = 0;
  let settling = 0;
  let size = { width: 0, height: 0 };

  const orbit = orbitBy(element, { ...VIEWS[arrangement], zoom: 1 }, () => ask());
  const ask = (): void => {
    if (asked === 0) asked = requestAnimationFrame(frame);
  };
  const settle = (): void => {
    clearTimeout(settling);
    settling = window.setTimeout(() => {
      if (size.width === 0) return;
      const seen = look();
      if (lettered()) {
        const scale = PICK_PX / Math.max(size.width, size.height);
        const [w, h] = [Math.max(8, Math.round(size.width * scale)), Math.max(8, Math.round(size.height * scale))];
        anchors = labelAnchors(stage.pick(w, h), w, h);
      }
      behind = marks.map(({ at }) => isBehind(new Vector3(...at), seen.sight({ x: 0, y: 0 }).way));
      placeLabels(seen);
    }, SETTLE_MS);
  };
  const lettered = (): boolean => data.parts.length > 1 && arrangement !== 'as-read' && pointing === null;
  const stands = (): boolean => arrangement === 'together' || arrangement === 'as-read';
  const isShown = (index: number): boolean => isAsRead(surfaces[index]!) === (arrangement === 'as-read');

  const look = (): ViewFit => {
    const fitted = (index: number): boolean => isShown(index) || (sameFrame && stands());
    return fitView({
      shapes: shapes.filter((_, index) => fitted(index)),
      poses: poses.filter((_, index) => fitted(index)),
      view: orbit.view,
      size,
      labelled: surfaces.length > 1 || marks.length > 0 || pointing !== null,
      camera: stage.camera,
    });
  };

  /** The nearest place of what is shown along a line of sight, in the model's own space. */
  const placeAlong = (sight: ReturnType<ViewFit['sight']>, fromMm = 0): Tone | null => {
    let nearest = Infinity;
    let place: Tone | null = null;
    for (const [index, surface] of surfaces.entries()) {
      if (!isShown(index)) continue;
      const back = poseMatrix(poses[index]!, shapes[index]!).invert();
      const origin = sight.origin.clone().applyMatrix4(back).toArray();
      const way = sight.way.clone().transformDirection(back).toArray();
      const away = nearestHit(surface, { origin, way }, fromMm);
      if (away >= nearest) continue;
      nearest = away;
      place = [origin[0] + way[0] * away, origin[1] + way[1] * away, origin[2] + way[2] * away];
    }
    return place;
  };
  const isBehind = (origin: Vector3, way: Vector3): boolean =>
    placeAlong({ origin, way: way.clone().negate() }, 0.008 * Math.max(...data.sizeMm)) !== null;

  const pointAt = (px: { readonly x: number; readonly y: number }): void => {
    const place = placeAlong(look().sight(px));
    if (place !== null) pointing?.(place);
  };

  const frame = (now: number): void => {
    asked = 0;
    if (size.width === 0) return;
    if (move !== null) {
      const share = Math.min(1, (now - move.start) / MOVE_MS);
      const eased = share * share * (3 - 2 * share);
      const { from, to, view } = move;
      poses = to.map((pose, index) => betweenPoses(from[index]!, pose, eased));
      if (!orbit.touched()) {
        const aim = VIEWS[arrangement];
        orbit.view.azimuthDeg = view.azimuthDeg + (aim.azimuthDeg - view.azimuthDeg) * eased;
        orbit.view.elevationDeg = view.elevationDeg + (aim.elevationDeg - view.elevationDeg) * eased;
      }
      if (share === 1) move = null;
      else ask();
    }
    for (const [index, part] of stage.parts.entries()) {
      part.setMatrix(poseMatrix(poses[index]!, shapes[index]!));
      part.show(isShown(index) ? 'shown' : 'away');
    }
    stage.setWays(waySegments());
    const seen = look();
    // Steps of the square root of two, so that hatching does not swim while the view breathes.
    const pitch = 2 ** (Math.round(Math.log2(seen.mmPerPx * HATCH_PX) * 2) / 2);
    stage.setHatch({ axes: arrangement === 'laid' ? layerAxes : acrossAxes, mm: pitch });
    stage.draw(seen.mmPerPx);
    placeLabels(seen);
    settle();
  };

  const placeLabels = (seen: ViewFit): void => {
    const letters = (lettered() ? anchors : []).map(({ part, at }): LabelPlace => {
      const { id, name } = data.parts[part]!;
      const point = new Vector3(...at).applyMatrix4(stage.parts[part]!.surface.matrix);
      const setBack = held !== null && held !== id;
      return { id, name, ...seen.toPx(point), setBack, tone: 'so', hidden: false };
    });
    const numbers = (stands() ? marks : []).map(({ id, name, at, tone }, index): LabelPlace => {
      return { id, name, ...seen.toPx(new Vector3(...at)), setBack: false, tone, hidden: behind[index] === true };
    });
    labels.place([...letters, ...numbers], { ...size, left: seen.leftPx, right: seen.rightPx });
  };

  const waySegments = (): Float32Array => {
    if (arrangement === 'laid' || arrangement === 'as-read' || move !== null) return new Float32Array();
    const out = new Float32Array(ways.length * 6);
    for (const [index, { one, other, at }] of ways.entries()) {
      for (const [end, part] of [one, other].entries()) {
        const point = new Vector3(...at).applyMatrix4(stage.parts[part]!.surface.matrix);
        point.toArray(out, index * 6 + end * 3);
      }
    }
    return out;
  };

  const goTo = (next: Arrangement): void => {
    const to = posesOf(shapes, next, apart);
    // From the model as it came to its pieces there is no way to go: one is put in place of the other.
    const jumps = still.matches || size.width === 0 || next === 'as-read' || arrangement === 'as-read';
    arrangement = next;
    if (jumps) {
      move = null;
      poses = to;
      if (!orbit.touched()) Object.assign(orbit.view, VIEWS[next]);
    } else move = { from: poses, to, view: { ...orbit.view }, start: performance.now() };
    ask();
  };

  const resizing = new ResizeObserver(() => {
    const { clientWidth: width, clientHeight: height } = element;
    if (width === 0 || height === 0 || (width === size.width && height === size.height)) return;
    size = { width, height };
    stage.resize(width, height);
    // At once: resizing has emptied the canvas.
    cancelAnimationFrame(asked);
    frame(performance.now());
  });
  resizing.observe(element);
  const stopPointing = listenForPlaces(element, (px) => {
    if (pointing !== null) pointAt(px ?? { x: size.width / 2, y: size.height / 2 });
  });
  stage.setTones(FIGURE_TONES[options.theme]);

  return {
    setApart(share) {
      apart = share;
      const to = posesOf(shapes, arrangement, apart);
      if (move === null) poses = to;
      else move.to = to;
      ask();
    },
    setChapter(name) {
      const next = arrangementOf(name, data);
      if (next !== arrangement) goTo(next);
    },
    hold(partId) {
      held = partId;
      for (const [index, part] of stage.parts.entries())
        part.setBack(held === null || surfaces[index]!.id === held || isAsRead(surfaces[index]!) ? 0 : 1);
      ask();
    },
    setTheme(theme) {
      stage.setTones(FIGURE_TONES[theme]);
      ask();
    },
    setMarks(next) {
      marks = next;
      behind = [];
      ask();
    },
    point(onPlace) {
      pointing = onPlace;
      ask();
    },
    dispose() {
      stopPointing();
      cancelAnimationFrame(asked);
      clearTimeout(settling);
      resizing.disconnect();
      orbit.dispose();
      labels.dispose();
      stage.canvas.remove();
      stage.dispose();
    },
  };
}

/** Whether the model as it came is about as large as what was made of it, so that both can be shown in one frame. */
function asReadFits(shapes: readonly PartShape[], { sizeMm }: FigureData): boolean {
  const asRead = shapes.find(({ part }) => isAsRead(part));
  if (asRead === undefined || shapes.length === 1) return false;
  const low = new Vector3(Infinity, Infinity, Infinity);
  const high = low.clone().negate();
  const point = new Vector3();
  for (let i = 0; i < asRead.sample.length; i += 3) {
    point.fromArray(asRead.sample, i);
    low.min(point);
    high.max(point);
  }
  return high
    .sub(low)
    .toArray()
    .every((side, axis) => side < 1.25 * sizeMm[axis]! + 1);
}
