// Points the camera and fits the pieces into the room there is, with margins for the letters.
import { type OrthographicCamera, Vector3 } from 'three';
import { type PartShape, type PiecePose, poseMatrix } from './figure-arrangement.ts';
import type { View } from './figure-orbit.ts';

export interface ViewFit {
  readonly mmPerPx: number;
  /** Sides of what is drawn, px from the left, kept clear of labels. */
  readonly leftPx: number;
  readonly rightPx: number;
  /** All that is drawn lies within, px from the top left. */
  readonly boxPx: { readonly left: number; readonly right: number; readonly top: number; readonly bottom: number };
  toPx(point: Vector3): { readonly x: number; readonly y: number };
  /** The line of sight through a place of the view: where it begins, before everything, and its unit direction. */
  sight(px: { readonly x: number; readonly y: number }): { readonly origin: Vector3; readonly way: Vector3 };
}

export interface FitInput {
  readonly shapes: readonly PartShape[];
  readonly poses: readonly PiecePose[];
  readonly view: View;
  readonly size: { readonly width: number; readonly height: number };
  readonly labelled: boolean;
  readonly camera: OrthographicCamera;
}

const EDGE_PX = 18;
/** The points that the fit looks at miss the rim by a little, and the outline lies outside of it. */
const STRAY_PX = 10;
/** Room for a letter, and for the name of a piece when there is plenty. */
const LETTER_PX = 44;
const NAME_PX = 84;

/** Sets the camera. No perspective: a drawing keeps lengths. */
export function fitView({ shapes, poses, view, size, labelled, camera }: FitInput): ViewFit {
  const { right, up, back } = axes(view);
  const box = { left: Infinity, right: -Infinity, low: Infinity, high: -Infinity, near: -Infinity, far: Infinity };
  const point = new Vector3();
  for (const [index, shape] of shapes.entries()) {
    const matrix = poseMatrix(poses[index]!, shape);
    for (let i = 0; i < shape.sample.length; i += 3) {
      point.fromArray(shape.sample, i).applyMatrix4(matrix);
      const x = point.dot(right);
      const y = point.dot(up);
      const z = point.dot(back);
      box.left = Math.min(box.left, x);
      box.right = Math.max(box.right, x);
      box.low = Math.min(box.low, y);
      box.high = Math.max(box.high, y);
      box.near = Math.max(box.near, z);
      box.far = Math.min(box.far, z);
    }
  }
  const side = labelled ? (size.width < 420 ? LETTER_PX : NAME_PX) : EDGE_PX;
  const fits = Math.max(
    (box.right - box.left) / Math.max(40, size.width - 2 * side),
    (box.high - box.low) / Math.max(40, size.height - 2 * EDGE_PX),
    0.01,
  );
  const mmPerPx = fits / view.zoom;
  const x = (box.left + box.right) / 2;
  const y = (box.low + box.high) / 2;
  const spare = 20;
  camera.left = (-size.width / 2) * mmPerPx;
  camera.right = (size.width / 2) * mmPerPx;
  camera.top = (size.height / 2) * mmPerPx;
  camera.bottom = (-size.height / 2) * mmPerPx;
  camera.near = 0;
  camera.far = box.near - box.far + 2 * spare;
  camera.position
    .copy(right)
    .multiplyScalar(x)
    .addScaledVector(up, y)
    .addScaledVector(back, box.near + spare);
  camera.up.copy(up);
  camera.lookAt(point.copy(camera.position).sub(back));
  camera.updateProjectionMatrix();
  camera.updateMatrixWorld();
  const half = (box.right - box.left) / 2 / mmPerPx;
  const tall = (box.high - box.low) / 2 / mmPerPx;
  return {
    mmPerPx,
    boxPx: {
      left: Math.max(0, size.width / 2 - half - STRAY_PX),
      right: Math.min(size.width, size.width / 2 + half + STRAY_PX),
      top: Math.max(0, size.height / 2 - tall - STRAY_PX),
      bottom: Math.min(size.height, size.height / 2 + tall + STRAY_PX),
    },
    leftPx: Math.max(side - 12, size.width / 2 - half),
    rightPx: Math.min(size.width - side + 12, size.width / 2 + half),
    toPx: (of) => ({
      x: size.width / 2 + (of.dot(right) - x) / mmPerPx,
      y: size.height / 2 - (of.dot(up) - y) / mmPerPx,
    }),
    sight: (px) => ({
      origin: right
        .clone()
        .multiplyScalar(x + (px.x - size.width / 2) * mmPerPx)
        .addScaledVector(up, y + (size.height / 2 - px.y) * mmPerPx)
        .addScaledVector(back, box.near + spare),
      way: back.clone().negate(),
    }),
  };
}

/** X points to the wearer's left, Y to the back, Z up; azimuth 0 looks the wearer in the face. */
function axes({ azimuthDeg, elevationDeg }: View): { right: Vector3; up: Vector3; back: Vector3 } {
  const turn = (azimuthDeg * Math.PI) / 180;
  const rise = (elevationDeg * Math.PI) / 180;
  const back = new Vector3(Math.sin(turn) * Math.cos(rise), -Math.cos(turn) * Math.cos(rise), Math.sin(rise));
  const right = new Vector3(Math.cos(turn), Math.sin(turn), 0);
  return { right, up: new Vector3().crossVectors(back, right), back };
}
