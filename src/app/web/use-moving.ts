// Moving a seam that is held: where it would stand, what it would cost there, told at once; the build is changed when it is let go.
import { useCallback, useEffect, useMemo, useRef, useState } from 'react';
import { lineOnTriangles, type SurfaceLine } from '../../geometry/line-on-triangles.ts';
import type { Plane } from '../../geometry/plane.ts';
import { dot, minus, plus, scaled } from '../../geometry/three-by-three.ts';
import type { Vec3 } from '../../mesh/mesh.ts';
import { wornBoundOf, wornPlaneOf } from '../../workshop/process/asked-plane.ts';
import type { AskedSeam } from '../../workshop/process/asked-seams.ts';
import type { FigureOutside } from '../api/figure-codec.ts';
import type { Editing, MovedSeam, Moving, PlaneSpan } from './reader.ts';

export interface MovingState extends Moving {
  /** Somebody is about to move a seam: the figure's data are wanted, whether the figure is shown or not. */
  readonly isPrepared: boolean;
}

export function useMoving(editing: Editing, outside: FigureOutside | null): MovingState {
  const [now, setNow] = useState<MovedSeam | null>(null);
  const [isPrepared, setPrepared] = useState(false);
  const latest = useRef({ now, editing, outside });
  latest.current = { now, editing, outside };
  const put = useCallback((next: MovedSeam | null) => {
    latest.current.now = next;
    setNow(next);
  }, []);
  const prepare = useCallback(() => setPrepared(true), []);
  const show = useCallback(
    (span: PlaneSpan, plane: Plane, isDragged: boolean) => {
      const { editing: edits, outside: surface } = latest.current;
      const line = surface === null ? null : lineOnTriangles(surface, plane, { sides: sidesOf(edits, span) });
      put({ span, plane, line, isDragged });
    },
    [put],
  );
  // What was moved before the surface had come is told of as soon as it is there.
  useEffect(() => {
    const { now: at } = latest.current;
    if (outside !== null && at !== null && at.line === null) show(at.span, at.plane, at.isDragged);
  }, [outside, show]);
  const move = useCallback(
    (span: PlaneSpan, plane: Plane) => {
      const { now: at } = latest.current;
      show(span, plane, at?.span.path === span.path && at.isDragged);
    },
    [show],
  );
  const drag = useCallback(
    (span: PlaneSpan) => {
      setPrepared(true);
      show(span, standingPlane(latest.current.editing, span), true);
    },
    [show],
  );
  const set = useCallback(() => {
    const { now: at, editing: edits } = latest.current;
    put(null);
    if (at === null) return;
    const stands = edits.valueAt(at.span.path) as AskedSeam | undefined;
    const was = standingPlane(edits, at.span);
    if (stands === undefined || (sameWay(was, at.plane) && at.plane.offsetMm === was.offsetMm)) return;
    edits.set(at.span.path, movedSeam(stands, at), at.span.follows);
  }, [put]);
  const giveUp = useCallback(() => put(null), [put]);
  return useMemo(
    () => ({ now, isPrepared, prepare, move, drag, set, giveUp }),
    [now, isPrepared, prepare, move, drag, set, giveUp],
  );
}

/** The plane as the build has it now, which may be newer than the text. */
export function standingPlane(editing: Editing, span: PlaneSpan): Plane {
  const seam = editing.valueAt(span.path) as AskedSeam | undefined;
  const written = JSON.parse(span.entry) as AskedSeam;
  const isAsWritten =
    seam === undefined ||
    (JSON.stringify(seam.points) === JSON.stringify(written.points) &&
      JSON.stringify(seam.normal) === JSON.stringify(written.normal));
  const plane = isAsWritten ? null : wornPlaneOf(seam, span.scale);
  return plane ?? { normal: span.normal, offsetMm: span.offsetMm };
}

function sameWay(a: Plane, b: Plane): boolean {
  return a.normal.every((v, c) => v === b.normal[c]);
}

/** A seam ends where one asked for before it has cut: only what lies on its side of that counts. */
function sidesOf(editing: Editing, span: PlaneSpan): { readonly plane: Plane; readonly sign: 1 | -1 }[] {
  const [list, index] = [span.path.slice(0, span.path.lastIndexOf('.')), Number(span.path.split('.').at(-1))];
  const seams = (editing.valueAt(list) ?? []) as readonly AskedSeam[];
  const first = seams[index]?.points[0];
  if (first === undefined) return [];
  const at = scaled(first.atMm, span.scale);
  const before = [
    ...seams.slice(0, index).map((seam) => wornPlaneOf(seam, span.scale)),
    ...(seams[index]?.within ?? []).map((bound) => wornBoundOf(bound, span.scale)),
  ];
  return before.flatMap((plane) => {
    return plane === null ? [] : [{ plane, sign: dot(plane.normal, at) < plane.offsetMm ? -1 : 1 } as const];
  });
}

/** The seam in its new place: its first point goes to the nearest of its new line, so that it still lies on the surface. */
function movedSeam(seam: AskedSeam, { span, plane, line }: MovedSeam): AskedSeam {
  const first = seam.points[0]!;
  const was = scaled(first.atMm, span.scale);
  const onPlane = plus(was, scaled(plane.normal, plane.offsetMm - dot(plane.normal, was)));
  const at = (line === null ? null : nearestOn(line, was)) ?? onPlane;
  // what is told of the plane must be told of the point too: it is put into the plane to the last digit
  const inPlane = plus(at, scaled(plane.normal, plane.offsetMm - dot(plane.normal, at)));
  const atMm = scaled(inPlane, 1 / span.scale);
  return {
    name: seam.name,
    points: [{ atMm: [atMm[0], atMm[1], atMm[2]], normal: first.normal }],
    normal: [plane.normal[0], plane.normal[1], plane.normal[2]],
    within: seam.within,
  };
}

function nearestOn({ steps }: SurfaceLine, to: Vec3): Vec3 | null {
  let nearest = Infinity;
  let found: Vec3 | null = null;
  for (let i = 0; i < steps.length; i += 3) {
    const at: Vec3 = [steps[i]!, steps[i + 1]!, steps[i + 2]!];
    const away = Math.hypot(...minus(at, to));
    if (away < nearest) [nearest, found] = [away, at];
  }
  return found;
}
