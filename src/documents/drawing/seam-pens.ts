// How seams are drawn, so that the line itself tells what hides them: its weight, stitches where a crease does, dots where nobody looks.

/** fine to heavy: an open line, the heavier the more it is looked at. crease: it lies in a crease. unseen: hardly seen from anywhere. */
export type SeamPen = 'fine' | 'middle' | 'heavy' | 'crease' | 'unseen';
export const SEAM_PENS: readonly SeamPen[] = ['heavy', 'middle', 'fine', 'crease', 'unseen'];

export interface PenStroke {
  readonly widthMm: number;
  /** Stroke and gap along the line, mm; null: unbroken. A stroke of nothing under round ends is a dot. */
  readonly dashMm: readonly [number, number] | null;
}

export const PEN_STROKES: Readonly<Record<SeamPen, PenStroke>> = {
  heavy: { widthMm: 1, dashMm: null },
  middle: { widthMm: 0.65, dashMm: null },
  fine: { widthMm: 0.35, dashMm: null },
  crease: { widthMm: 0.28, dashMm: null },
  unseen: { widthMm: 0.65, dashMm: [0, 1.3] },
};

/** From one stitch to the next, and from end to end of one, paper mm. */
const STITCH_PITCH_MM = 1.8;
const STITCH_MM = 1.9;
/** A shorter line than this gets one stitch, in its middle. */
const SHORTEST_MM = STITCH_PITCH_MM;

/** Strokes across a line at even distances: x y x y ... in and out, paper mm. Cost: O(points). */
export function stitchesOf(line: Float32Array): Float32Array[] {
  const total = lengthOf(line);
  const count = Math.max(1, Math.round(total / STITCH_PITCH_MM));
  const pitch = total < SHORTEST_MM ? total : total / count;
  const out: Float32Array[] = [];
  let along = 0;
  for (let i = 2; i < line.length; i += 2) {
    const [x, y] = [line[i - 2]!, line[i - 1]!];
    const [dx, dy] = [line[i]! - x, line[i + 1]! - y];
    const step = Math.hypot(dx, dy);
    if (step === 0) continue;
    for (let k = out.length; k < count && (k + 0.5) * pitch <= along + step; k++) {
      const share = ((k + 0.5) * pitch - along) / step;
      const [cx, cy] = [x + share * dx, y + share * dy];
      const [ux, uy] = [(-dy / step) * (STITCH_MM / 2), (dx / step) * (STITCH_MM / 2)];
      out.push(Float32Array.of(cx - ux, cy - uy, cx + ux, cy + uy));
    }
    along += step;
  }
  return out;
}

function lengthOf(line: Float32Array): number {
  let mm = 0;
  for (let i = 2; i < line.length; i += 2) mm += Math.hypot(line[i]! - line[i - 2]!, line[i + 1]! - line[i - 1]!);
  return mm;
}

const SAMPLE_MM = { wide: 12, high: 3 } as const;

/** A short line of a pen as SVG, for the key beside a drawing; `color`: any CSS colour. */
export function penSample(pen: SeamPen, color: string): string {
  const { wide, high } = SAMPLE_MM;
  const line = Float32Array.of(0.8, high / 2, wide - 0.8, high / 2);
  const lines = pen === 'crease' ? [line, ...stitchesOf(line)] : [line];
  const d = lines.map(([x, y, ...to]) => `M${short(x!)} ${short(y!)}L${to.map(short).join(' ')}`).join('');
  const { widthMm, dashMm } = PEN_STROKES[pen];
  const dash = dashMm === null ? '' : ` stroke-dasharray="${dashMm.join(' ')}"`;
  return `<svg xmlns="http://www.w3.org/2000/svg" width="${wide}mm" height="${high}mm" viewBox="0 0 ${wide} ${high}" aria-hidden="true" fill="none" stroke-linecap="round"><path stroke="${color}" stroke-width="${widthMm}"${dash} d="${d}"/></svg>`;
}

function short(mm: number): string {
  return String(Math.round(mm * 100) / 100);
}
