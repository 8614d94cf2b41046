// The figure: the pieces as a technical drawing that can be turned, pulled apart and laid out; drawn only when asked.
import { Vector3 } from 'three';
import type { FigureData } from '../api/figure-codec.ts';
import { type Anchor, labelAnchors } from './figure-anchors.ts';
import {
  isAsRead,
  LAID_ELEVATION_DEG,
  type PartShape,
  type PiecePose,
  partShape,
  poseMatrix,
  posesOf,
  roughShape,
  surfacesOf,
} from './figure-arrangement.ts';
import { aimAtMarks } from './figure-facing.ts';
import { fitView, type ViewFit } from './figure-fit.ts';
import { type Grip, listenForPulls } from './figure-grip.ts';
import { type LabelPlace, labelLayer } from './figure-labels.ts';
import { clearestWay, facingAt, partAt, type ShownMark } from './figure-marks.ts';
import { orbitBy, type View } from './figure-orbit.ts';
import { type Level, paceOfFrames } from './figure-pace.ts';
import { listenForPlaces } from './figure-pointing.ts';
import { type Arrangement, arrangementOf, hatchedIn, showsHidden } from './figure-shown.ts';
import { isClear, nearestPlace, type Standing, standingOf } from './figure-sight.ts';
import { openStage } from './figure-stage.ts';
import { FIGURE_TONES, type FigureTheme, type Tone } from './figure-tones.ts';
import { type Aim, aimAlong, type Move, momentOf } from './figure-turn.ts';
import { waysBetween } from './figure-ways.ts';
import { figureWords, labelName } from './figure-words.ts';
import type { SurfaceMap } from './surface-maps.ts';

export interface Figure {
  /** 0: together; 1: as far as each piece's own way says. */
  setApart(share: number): void;
  /** 'model', 'wearer', 'pieces', 'joints', 'printing', 'beds', 'assembly', 'surface', 'as-read'; anything else shows the pieces apart. */
  setChapter(name: string): void;
  /** What is marked on it while the surface is read. */
  setMap(map: SurfaceMap): void;
  /** Sets all other pieces back; null: none. */
  hold(partId: string | null): void;
  setTheme(theme: FigureTheme): void;
  /** Numbers and letters beside the figure with lines to their places, which go with the pieces they lie on. */
  setMarks(marks: readonly ShownMark[]): void;
  /** Lifts one mark out from the others; null: none. */
  raise(markId: string | null): void;
  /** Turns so that the place of a mark faces the reader; an unknown mark turns nothing. */
  face(markId: string): void;
  /** While there is a listener, a click, a tap, or Enter for what lies under the cross points at a place of the surface. */
  point(onPlace: ((at: Tone, normal: Tone) => void) | null): void;
  /** A line of the reader's own, drawn while the model stands together, which can be taken hold of and pulled; null: none. */
  setGrip(grip: Grip | null): void;
  /** How the reader has turned it; null when they have not. */
  view(): View | null;
  dispose(): void;
}

export interface FigureOptions {
  readonly theme: FigureTheme;
  /** What it shows from the beginning, see setChapter, setMap and setApart. */
  readonly chapter?: string;
  readonly map?: SurfaceMap;
  readonly apart?: number;
  /** A draft is thinned so far that its folds say nothing: it is drawn without creases. */
  readonly is?: 'draft' | 'whole';
  /** As another figure was turned, see Figure.view. */
  readonly view?: View | null;
  /** Hears of every frame, with the time from its first command to its last pixel. */
  readonly onFrame?: (frame: { readonly level: Level; readonly ms: number; readonly isWhole: boolean }) => void;
}

/** The view each arrangement begins with, as long as the reader has not turned it. */
const VIEWS: Readonly<Record<Arrangement, Aim>> = {
  together: { azimuthDeg: 32, elevationDeg: 14 },
  apart: { azimuthDeg: 32, elevationDeg: 14 },
  'by-joins': { azimuthDeg: 32, elevationDeg: 14 },
  laid: { azimuthDeg: 12, elevationDeg: LAID_ELEVATION_DEG },
  'as-read': { azimuthDeg: 32, elevationDeg: 14 },
};
/** Without movement for so long it stands still. */
const SETTLE_MS = 140;
/** Long side of the small picture that the labels look at. */
const PICK_PX = 150;
const HATCH_PX = 3.4;
/** Hatching runs across the form, leaning a little, as a pen would. */
const HATCH_AXIS: Tone = [0.32, -0.2, 0.926];

/** Throws when the browser cannot draw it. Shows the coarse level first and the full one within a second; while it moves, whichever
 *  the machine keeps up with (see figure-pace.ts). */
export function mountFigure(element: HTMLElement, data: FigureData, options: FigureOptions): Figure {
  const surfaces = surfacesOf(data);
  const stage = openStage({
    surfaces,
    sizeMm: data.sizeMm,
    creases: options.is === 'draft' ? 'none' : 'drawn',
    named: data.named ?? [],
  });
  stage.canvas.className = 'figure-canvas';
  element.append(stage.canvas);
  element.tabIndex = 0;
  element.setAttribute('role', 'img');
  element.setAttribute('aria-label', figureWords(data, 'mm'));
  const labels = labelLayer(element);
  const shapes = surfaces.map(partShape);
  const sameFrame = asReadFits(shapes, data);
  const ways = waysBetween(data.parts);
  const longestMm = Math.max(...data.sizeMm);
  const acrossAxes = surfaces.map(() => HATCH_AXIS);
  const layerAxes = surfaces.map(
    ({ toLaid }): Tone => (toLaid === null ? HATCH_AXIS : [toLaid[2]!, toLaid[5]!, toLaid[8]!]),
  );
  const still = matchMedia('(prefers-reduced-motion: reduce)');
  const pace = paceOfFrames();
  let arrangement = arrangementOf(options.chapter ?? 'front', data);
  let apart = options.apart ?? 0.6;
  let held: string | null = null;
  let pointing: ((at: Tone, normal: Tone) => void) | null = null;
  let poses: readonly PiecePose[] = posesOf(shapes, arrangement, apart);
  let move: Move | null = null;
  let waysFor: readonly PiecePose[] | null = null;
  let anchors: readonly Anchor[] = [];
  let marks: readonly (ShownMark & { readonly part: number })[] = [];
  let behind: readonly boolean[] = [];
  let raised: string | null = null;
  let size = { width: 0, height: 0 };
  let asked = 0;
  let settling = 0;
  let refining = 0;
  /** Being drawn; the next frame waits for it, so that none is ever late by more than one. */
  let inWork = false;
  let askedAgain = false;
  let moving = false;
  let gone = false;
  /** The next frame also sends geometry or makes shaders: its time says nothing about the others. */
  let isFirst = true;

  let grip: Grip | null = null;
  // Before the view: what is taken hold of does not turn the figure.
  const pulls = listenForPulls(element, { grip: () => (stands() ? grip : null), look: () => look() });
  const orbit = orbitBy(element, { ...VIEWS[arrangement], zoom: 1, ...options.view }, () => {
    if (move !== null) move.viewTo = null;
    moving = true;
    ask();
  });
  if (options.view) orbit.touch();
  const ask = (): void => {
    if (gone) return;
    if (inWork) askedAgain = true;
    else if (asked === 0) asked = requestAnimationFrame(frame);
  };
  const settle = (): void => {
    clearTimeout(settling);
    settling = window.setTimeout(() => {
      if (size.width === 0) return;
      if (inWork || asked !== 0) return settle();
      if (moving) {
        moving = false;
        return ask();
      }
      const seen = look();
      if (lettered()) {
        const scale = PICK_PX / Math.max(size.width, size.height);
        const [w, h] = [Math.max(8, Math.round(size.width * scale)), Math.max(8, Math.round(size.height * scale))];
        anchors = labelAnchors(stage.pick(w, h), w, h);
      }
      const toEye = seen.sight({ x: 0, y: 0 }).way.negate();
      const rough = standing('rough');
      behind = marks.map((mark) => !isClear({ origin: standsAt(mark), way: toEye }, rough, longestMm));
      placeLabels(seen);
      refineSoon();
    }, SETTLE_MS);
  };
  /** Makes the full level, a part at a time, so that the page never stops for long. */
  const refineSoon = (): void => {
    clearTimeout(refining);
    refining = window.setTimeout(() => {
      if (moving || inWork) return refineSoon();
      const waiting = stage.parts.filter((part) => !part.isRefined);
      const next = waiting.find((part) => part.surface.visible) ?? waiting[0];
      if (next === undefined) return;
      next.refine();
      isFirst = true;
      if (waiting.length === 1 || !waiting.some((part) => part !== next && part.surface.visible)) ask();
      if (waiting.length > 1) refineSoon();
    });
  };
  const lettered = (): boolean => data.parts.length > 1 && arrangement !== 'as-read' && pointing === null;
  const stands = (): boolean => arrangement === 'together' || arrangement === 'as-read';
  const isShown = (index: number): boolean => isAsRead(surfaces[index]!) === (arrangement === 'as-read');
  const standing = (how: 'rough' | 'exact'): readonly Standing[] =>
    surfaces.flatMap((surface, index) =>
      isShown(index)
        ? [standingOf(how === 'rough' ? roughShape(surface) : surface, poses[index]!, shapes[index]!)]
        : [],
    );
  const partOf = (mark: ShownMark): number => {
    const asRead = surfaces.findIndex(isAsRead);
    return arrangement === 'as-read' && asRead >= 0 ? asRead : partAt(mark, surfaces);
  };
  const standsAt = ({ at, part }: ShownMark & { readonly part: number }): Vector3 => {
    const point = new Vector3(...at);
    return part < 0 ? point : point.applyMatrix4(poseMatrix(poses[part]!, shapes[part]!));
  };

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

  const frame = (now: number): void => {
    asked = 0;
    if (size.width === 0 || gone) return;
    if (move !== null) {
      const moment = momentOf(move, now);
      poses = moment.poses;
      Object.assign(orbit.view, moment.view);
      moving = true;
      if (moment.isEnd) move = null;
      askedAgain = true;
    }
    for (const [index, part] of stage.parts.entries()) {
      part.setMatrix(poseMatrix(poses[index]!, shapes[index]!));
      part.show(isShown(index) ? 'shown' : 'away');
    }
    if (waysFor !== poses) {
      stage.setWays(waySegments());
      drawGrip();
    }
    waysFor = poses;
    const seen = look();
    // Steps of the square root of two, so that hatching does not swim while the view breathes.
    const pitch = 2 ** (Math.round(Math.log2(seen.mmPerPx * HATCH_PX) * 2) / 2);
    stage.setHatch({ axes: arrangement === 'laid' ? layerAxes : acrossAxes, mm: pitch });
    draw(seen);
    placeLabels(seen);
    settle();
  };

  const draw = (seen: ViewFit): void => {
    const level = moving ? pace.whileMoving : 'full';
    const counts = !isFirst;
    const from = performance.now();
    isFirst = false;
    inWork = true;
    stage.setLevel(level);
    stage.draw(seen, () => {
      inWork = false;
      if (gone) return;
      const ms = performance.now() - from;
      if (counts) pace.heard(level, ms);
      options.onFrame?.({ level, ms, isWhole: stage.parts.every((part) => part.isRefined) });
      if (!askedAgain) return;
      askedAgain = false;
      ask();
    });
  };

  const placeLabels = (seen: ViewFit): void => {
    const letters = (lettered() ? anchors : []).map(({ part, at }): LabelPlace => {
      const { id } = data.parts[part]!;
      const name = labelName(data.parts[part]!, arrangement);
      const point = new Vector3(...at).applyMatrix4(stage.parts[part]!.surface.matrix);
      const setBack = held !== null && held !== id;
      return { id, name, ...seen.toPx(point), setBack, tone: 'piece', isBehind: false, isRaised: held === id };
    });
    const numbers = marks.map((mark, index): LabelPlace => {
      const { id, name, tone } = mark;
      const at = seen.toPx(standsAt(mark));
      return { id, name, ...at, setBack: false, tone, isBehind: behind[index] === true, isRaised: raised === id };
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

  /** The line lies where the pieces are, so it shows only while they stand together. */
  const drawGrip = (): void =>
    stage.setYours(grip === null || !stands() || move !== null ? new Float32Array() : grip.steps);

  const goTo = (to: readonly PiecePose[], viewTo: Aim | null, how: 'moving' | 'at once'): void => {
    if (how === 'at once' || still.matches || size.width === 0) {
      move = null;
      poses = to;
      Object.assign(orbit.view, viewTo);
    } else move = { from: poses, to, viewFrom: { ...orbit.view }, viewTo, startMs: performance.now() };
    ask();
  };

  const fitRoom = (): void => {
    const { clientWidth: width, clientHeight: height } = element;
    if (width === 0 || height === 0 || (width === size.width && height === size.height)) return;
    size = { width, height };
    stage.resize(width, height);
    isFirst = true;
    // At once: resizing has emptied the canvas.
    cancelAnimationFrame(asked);
    frame(performance.now());
  };
  const resizing = new ResizeObserver(fitRoom);
  resizing.observe(element);
  const places = listenForPlaces(element, {
    isOn: () => pointing !== null,
    onPlace: (px) => {
      if (pointing === null) return;
      // the words under the figure may have changed its room just now, before the browser has told
      fitRoom();
      const place = nearestPlace(standing('exact'), look().sight(px));
      if (place !== null) pointing(place.at.toArray(), place.normal.toArray());
    },
  });
  stage.setTones(FIGURE_TONES[options.theme]);
  let shown = { chapter: options.chapter ?? 'front', map: options.map ?? 'rings' };
  const tell = (next: Partial<typeof shown>): void => {
    shown = { ...shown, ...next };
    stage.setHidden(showsHidden(shown.chapter, data) ? 'shown' : 'away');
    const hatched = hatchedIn(shown.chapter, data, shown.map);
    stage.setHatched(hatched);
    element.dataset.marked = hatched;
  };
  tell({});
  /** What is marked may all lie at the back. */
  const viewOf = (next: Arrangement): Aim => {
    const hatched = hatchedIn(shown.chapter, data, shown.map);
    const marks = hatched === 'none' || hatched === 'scars' ? null : aimAtMarks(data.parts, hatched, VIEWS[next]);
    return marks ?? VIEWS[next];
  };

  return {
    setApart(share) {
      apart = share;
      const to = posesOf(shapes, arrangement, apart);
      if (move === null) poses = to;
      else move.to = to;
      ask();
    },
    setChapter(name) {
      tell({ chapter: name });
      const next = arrangementOf(name, data);
      if (next === arrangement) return ask();
      // From the model as it came to its pieces there is no way to go: one is put in place of the other.
      const how = next === 'as-read' || arrangement === 'as-read' ? 'at once' : 'moving';
      arrangement = next;
      marks = marks.map((mark) => ({ ...mark, part: partOf(mark) }));
      behind = [];
      goTo(posesOf(shapes, next, apart), orbit.touched() ? null : viewOf(next), how);
    },
    setMap(map) {
      if (map === shown.map) return;
      tell({ map });
      goTo(move?.to ?? poses, orbit.touched() ? null : viewOf(arrangement), 'moving');
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
      marks = next.map((mark) => ({ ...mark, part: partOf(mark) }));
      behind = [];
      ask();
    },
    raise(markId) {
      raised = markId;
      if (size.width > 0) placeLabels(look());
    },
    face(markId) {
      const mark = marks.find(({ id }) => id === markId);
      const surface = mark === undefined ? undefined : surfaces[mark.part];
      if (mark === undefined || surface === undefined) return;
      const to = move?.to ?? poses;
      poses = to;
      const facing = facingAt(roughShape(surface), mark.at).applyQuaternion(to[mark.part]!.turn);
      orbit.touch();
      goTo(to, aimAlong(clearestWay(standsAt(mark), facing, standing('rough'), longestMm)), 'moving');
    },
    point(onPlace) {
      if (pointing === null && onPlace !== null) places.centre();
      pointing = onPlace;
      ask();
    },
    setGrip(next) {
      grip = next;
      drawGrip();
      ask();
    },
    view: () => (orbit.touched() ? { ...orbit.view } : null),
    dispose() {
      gone = true;
      places.stop();
      pulls.stop();
      cancelAnimationFrame(asked);
      clearTimeout(settling);
      clearTimeout(refining);
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
