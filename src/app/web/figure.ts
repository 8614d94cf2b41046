// The figure: the pieces as a technical drawing that can be turned, pulled apart and laid out; drawn only when asked.
import { Vector3 } from 'three';
import type { FigureData } from '../api/figure-codec.ts';
import { type Anchor, labelAnchors } from './figure-anchors.ts';
import {
  type Arrangement,
  arrangementOf,
  betweenPoses,
  LAID_ELEVATION_DEG,
  type PiecePose,
  partShape,
  poseMatrix,
  posesOf,
} from './figure-arrangement.ts';
import { fitView, type ViewFit } from './figure-fit.ts';
import { labelLayer } from './figure-labels.ts';
import { orbitBy, type View } from './figure-orbit.ts';
import { openStage } from './figure-stage.ts';
import { FIGURE_TONES, type FigureTheme, type Tone } from './figure-tones.ts';
import { waysBetween } from './figure-ways.ts';
import { figureWords } from './figure-words.ts';

export interface Figure {
  /** 0: together; 1: as far as each piece's own way says. */
  setApart(share: number): void;
  /** 'model', 'wearer', 'pieces', 'printing'; anything else shows the pieces apart. */
  setChapter(name: string): void;
  /** Sets all other pieces back; null: none. */
  hold(partId: string | null): void;
  setTheme(theme: FigureTheme): void;
  dispose(): void;
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
  const stage = openStage(data);
  stage.canvas.className = 'figure-canvas';
  element.append(stage.canvas);
  element.tabIndex = 0;
  element.setAttribute('role', 'img');
  element.setAttribute('aria-label', figureWords(data, 'mm'));
  const labels = labelLayer(element);
  const shapes = data.parts.map(partShape);
  const ways = waysBetween(data.parts);
  const acrossAxes = data.parts.map(() => HATCH_AXIS);
  const layerAxes = data.parts.map(
    ({ toLaid }): Tone => (toLaid === null ? HATCH_AXIS : [toLaid[2]!, toLaid[5]!, toLaid[8]!]),
  );
  const still = matchMedia('(prefers-reduced-motion: reduce)');
  let arrangement = arrangementOf(options.chapter ?? 'front', data);
  let apart = options.apart ?? 0.6;
  let held: string | null = null;
  let poses = posesOf(shapes, arrangement, apart);
  let move: { from: PiecePose[]; to: PiecePose[]; view: View; start: number } | null = null;
  let anchors: readonly Anchor[] = [];
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
      if (data.parts.length < 2 || size.width === 0) return;
      const scale = PICK_PX / Math.max(size.width, size.height);
      const [w, h] = [Math.max(8, Math.round(size.width * scale)), Math.max(8, Math.round(size.height * scale))];
      anchors = labelAnchors(stage.pick(w, h), w, h);
      placeLabels(look());
    }, SETTLE_MS);
  };

  const look = (): ViewFit =>
    fitView({ shapes, poses, view: orbit.view, size, labelled: data.parts.length > 1, camera: stage.camera });

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
    for (const [index, part] of stage.parts.entries()) part.setMatrix(poseMatrix(poses[index]!, shapes[index]!));
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
    const places = anchors.map(({ part, at }) => {
      const { id, name } = data.parts[part]!;
      const point = new Vector3(...at).applyMatrix4(stage.parts[part]!.surface.matrix);
      return { id, name, ...seen.toPx(point), setBack: held !== null && held !== id };
    });
    labels.place(places, { ...size, left: seen.leftPx, right: seen.rightPx });
  };

  const waySegments = (): Float32Array => {
    if (arrangement === 'laid' || move !== null) return new Float32Array();
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
    arrangement = next;
    if (still.matches || size.width === 0) {
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
    ask();
  });
  resizing.observe(element);
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
        part.setBack(held === null || data.parts[index]!.id === held ? 0 : 1);
      ask();
    },
    setTheme(theme) {
      stage.setTones(FIGURE_TONES[theme]);
      ask();
    },
    dispose() {
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
