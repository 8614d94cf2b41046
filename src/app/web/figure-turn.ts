// Movements of the figure: pieces from one arrangement to another, the view from one side to another, both eased.
import { betweenPoses, type PiecePose } from './figure-arrangement.ts';
import type { View } from './figure-orbit.ts';

export type Aim = Pick<View, 'azimuthDeg' | 'elevationDeg'>;

export interface Move {
  readonly from: readonly PiecePose[];
  to: readonly PiecePose[];
  readonly viewFrom: Aim;
  /** Null leaves the view to the reader. */
  viewTo: Aim | null;
  readonly startMs: number;
}

const MOVE_MS = 650;

export interface Moment {
  readonly poses: readonly PiecePose[];
  readonly view: Aim | null;
  readonly isEnd: boolean;
}

export function momentOf({ from, to, viewFrom, viewTo, startMs }: Move, nowMs: number): Moment {
  const share = Math.min(1, Math.max(0, (nowMs - startMs) / MOVE_MS));
  const eased = share * share * (3 - 2 * share);
  const view =
    viewTo === null
      ? null
      : {
          azimuthDeg: viewFrom.azimuthDeg + turnBetween(viewFrom.azimuthDeg, viewTo.azimuthDeg) * eased,
          elevationDeg: viewFrom.elevationDeg + (viewTo.elevationDeg - viewFrom.elevationDeg) * eased,
        };
  return {
    poses: share === 1 ? to : to.map((pose, index) => betweenPoses(from[index]!, pose, eased)),
    view,
    isEnd: share === 1,
  };
}

/** The shorter way round. */
function turnBetween(fromDeg: number, toDeg: number): number {
  return ((((toDeg - fromDeg + 180) % 360) + 360) % 360) - 180;
}

/** The view in which a direction points at the reader. */
export function aimAlong({ x, y, z }: { readonly x: number; readonly y: number; readonly z: number }): Aim {
  return {
    azimuthDeg: (Math.atan2(x, -y) * 180) / Math.PI,
    elevationDeg: (Math.asin(Math.min(1, Math.max(-1, z))) * 180) / Math.PI,
  };
}
