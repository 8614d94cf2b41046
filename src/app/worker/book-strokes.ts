// The strokes of the book's drawings. Colours are left to the page, so that one drawing serves paper and slate.
import type { LineKind } from '../../documents/drawing/line-drawing.ts';
import { type Stroke, seamStrokes } from '../../documents/drawing/svg.ts';

export const STROKES: Readonly<Record<LineKind, Stroke>> = {
  outline: { widthMm: 0.5, color: 'var(--ink, #1c1b1a)' },
  silhouette: { widthMm: 0.32, color: 'var(--ink, #1c1b1a)' },
  crease: { widthMm: 0.16, color: 'var(--ink, #1c1b1a)' },
  seam: { widthMm: 0.2, color: 'var(--seam, #a8421f)' },
  ...seamStrokes('var(--seam, #a8421f)'),
  shade: { widthMm: 0.09, color: 'var(--shade, #6b6864)' },
  rim: { widthMm: 0.5, color: 'var(--seam, #a8421f)' },
  hatch: { widthMm: 0.16, color: 'var(--seam, #a8421f)' },
  track: { widthMm: 0.7, color: 'var(--seam, #a8421f)' },
  way: { widthMm: 0.25, color: 'var(--ink, #1c1b1a)' },
};
