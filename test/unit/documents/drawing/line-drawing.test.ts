// What is drawn of simple bodies whose picture is known: a ball, a cube, two boxes side by side and one behind another.
import { describe, expect, it } from 'vitest';
import { randomStream } from '../../../../src/base/random.ts';
import {
  type DrawingPart,
  type LineDrawing,
  type LineKind,
  lineDrawing,
} from '../../../../src/documents/drawing/line-drawing.ts';
import { SVG_DEFAULTS, svgOf } from '../../../../src/documents/drawing/svg.ts';
import { scanXml } from '../../../../src/documents/xml/xml-scanner.ts';
import { type Mesh, meshOf } from '../../../../src/mesh/mesh.ts';
import { transformMesh } from '../../../../src/mesh/transform.ts';

function box(size: readonly [number, number, number], at: readonly [number, number, number] = [0, 0, 0]): Mesh {
  const positions = new Float64Array(24);
  for (let v = 0; v < 8; v++) for (let c = 0; c < 3; c++) positions[v * 3 + c] = at[c]! + ((v >> c) & 1) * size[c]!;
  const quads = [0, 2, 3, 1, 4, 5, 7, 6, 0, 1, 5, 4, 2, 6, 7, 3, 0, 4, 6, 2, 1, 3, 7, 5];
  const triangles: number[] = [];
  for (let q = 0; q < 24; q += 4)
    triangles.push(quads[q]!, quads[q + 1]!, quads[q + 2]!, quads[q]!, quads[q + 2]!, quads[q + 3]!);
  return meshOf(positions, Uint32Array.from(triangles));
}

function ball(radius: number, rings: number, noise = 0): Mesh {
  const random = randomStream(7);
  const around = rings * 2;
  const positions: number[] = [];
  for (let i = 0; i <= rings; i++)
    for (let j = 0; j < around; j++) {
      const a = (Math.PI * i) / rings;
      const b = (2 * Math.PI * j) / around;
      const r = radius + noise * (random() - 0.5);
      positions.push(r * Math.sin(a) * Math.cos(b), r * Math.sin(a) * Math.sin(b), r * Math.cos(a));
    }
  const triangles: number[] = [];
  for (let i = 0; i < rings; i++)
    for (let j = 0; j < around; j++) {
      const next = (j + 1) % around;
      const [p, q, s, t] = [i * around + j, i * around + next, (i + 1) * around + j, (i + 1) * around + next];
      triangles.push(p, s, t, p, t, q);
    }
  return meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
}

/** Sums over all lines of a kind: how many, how long, and the box they fill. */
function measured(drawing: LineDrawing, kind: LineKind, hidden = false) {
  let lines = 0;
  let length = 0;
  const xs: number[] = [];
  const ys: number[] = [];
  for (const path of drawing.paths.filter((p) => p.kind === kind && p.hidden === hidden))
    for (const one of path.d.split('M').slice(1)) {
      const numbers = (one.match(/-?\d*\.?\d+/g) ?? []).map(Number);
      let [x, y] = [numbers[0]!, numbers[1]!];
      const [startX, startY] = [x, y];
      lines++;
      xs.push(x);
      ys.push(y);
      for (let i = 2; i < numbers.length; i += 2) {
        length += Math.hypot(numbers[i]!, numbers[i + 1]!);
        x += numbers[i]!;
        y += numbers[i + 1]!;
        xs.push(x);
        ys.push(y);
      }
      if (one.endsWith('z')) length += Math.hypot(x - startX, y - startY);
    }
  return { lines, length, width: Math.max(...xs) - Math.min(...xs), height: Math.max(...ys) - Math.min(...ys) };
}

const one = (mesh: Mesh): DrawingPart[] => [{ id: 'A', mesh }];
const FRONT = { viewDir: [0, 1, 0], up: [0, 0, 1] } as const;
const CORNER = { viewDir: [-1, 1, -1], up: [0, 0, 1] } as const;
const DEG = Math.PI / 180;

describe('lineDrawing', () => {
  it('a ball is one circle', () => {
    const drawing = lineDrawing(one(ball(50, 90)), { ...FRONT, widthMm: 102, marginMm: 1 });
    const outline = measured(drawing, 'outline');
    expect(outline.lines).toBe(1);
    expect(outline.length).toBeGreaterThan(Math.PI * 100 * 0.99);
    expect(outline.length).toBeLessThan(Math.PI * 100 * 1.01);
    expect(drawing.paths.map((path) => path.kind)).toEqual(['outline']);
    expect(drawing.scale).toBeCloseTo(1, 2);
  });
  it('a box from the front is its rectangle, true to scale, and nothing inside', () => {
    const drawing = lineDrawing(one(box([80, 40, 50])), { ...FRONT, widthMm: 82 });
    const outline = measured(drawing, 'outline');
    expect(Math.abs(outline.width - 80)).toBeLessThan(0.2);
    expect(Math.abs(outline.height - 50)).toBeLessThan(0.2);
    expect(drawing.paths.length).toBe(1);
    expect([drawing.widthMm, drawing.heightMm]).toEqual([expect.closeTo(82, 6), expect.closeTo(52, 6)]);
  });
  it('a cube over its corner is a hexagon with three edges inside, and three more hidden', () => {
    const drawing = lineDrawing(one(box([60, 60, 60])), { ...CORNER, hiddenLines: 'keep', widthMm: 100 });
    const edge = 60 * drawing.scale * Math.sqrt(2 / 3);
    expect(Math.abs(measured(drawing, 'outline').length - 6 * edge)).toBeLessThan(1.5);
    expect(measured(drawing, 'crease').lines).toBe(3);
    expect(Math.abs(measured(drawing, 'crease').length - 3 * edge)).toBeLessThan(3);
    expect(Math.abs(measured(drawing, 'crease', true).length - 3 * edge)).toBeLessThan(3);
    const without = lineDrawing(one(box([60, 60, 60])), { ...CORNER, widthMm: 100 });
    expect(without.paths.some((path) => path.hidden)).toBe(false);
  });
  it('a fold that hides a part of the same body is a silhouette', () => {
    const step = meshOf(
      Float64Array.of(...box([80, 10, 30]).positions, ...box([30, 10, 60], [20, -40, 5]).positions),
      Uint32Array.of(...box([1, 1, 1]).triangles, ...box([1, 1, 1]).triangles.map((v) => v + 8)),
    );
    const drawing = lineDrawing(one(step), { ...FRONT, widthMm: 82 });
    expect(Math.abs(measured(drawing, 'silhouette').length - (25 + 30 + 25))).toBeLessThan(2);
  });
  it('two parts that touch have a seam between them; one behind the other has an outline', () => {
    const left = { id: 'L', mesh: box([40, 40, 50]) };
    const touching = lineDrawing([left, { id: 'R', mesh: box([40, 40, 50], [40, 0, 0]) }], { ...FRONT, widthMm: 82 });
    const seam = measured(touching, 'seam');
    expect([seam.lines, Math.round(seam.length)]).toEqual([1, 50]);
    const behind = lineDrawing([left, { id: 'R', mesh: box([40, 40, 50], [30, 60, 0]) }], { ...FRONT, widthMm: 72 });
    expect(measured(behind, 'seam').lines).toBe(0);
    const around = behind.paths.filter((path) => path.kind === 'outline').map((path) => path.partId);
    expect(around.sort()).toEqual(['L', 'R']);
  });
  it('seams that are given are drawn where they are seen', () => {
    const loop = Float32Array.of(10, 0, 20, 70, 0, 20, 70, 40, 20, 10, 40, 20);
    const drawing = lineDrawing([{ id: 'A', mesh: box([80, 40, 50]), seams: [loop] }], {
      ...FRONT,
      widthMm: 82,
      hiddenLines: 'keep',
    });
    expect(Math.abs(measured(drawing, 'seam').length - 60)).toBeLessThan(1);
    expect(Math.abs(measured(drawing, 'seam', true).length - 60)).toBeLessThan(1);
  });
  it('weighted seams are drawn in their weight, along outlines as well', () => {
    const points = Float32Array.of(0, 0, 50, 40, 0, 50, 80, 0, 50);
    const given = { id: 'A', mesh: box([80, 40, 50]) };
    const drawing = lineDrawing(
      [
        {
          ...given,
          weighted: [
            { points: points.slice(0, 6), pen: 'fine' },
            { points: points.slice(3), pen: 'heavy' },
          ],
        },
      ],
      { ...FRONT, widthMm: 82 },
    );
    expect(Math.abs(measured(drawing, 'seam-fine').length - 40)).toBeLessThan(1);
    expect(Math.abs(measured(drawing, 'seam-heavy').length - 40)).toBeLessThan(1);
    expect(measured(drawing, 'seam-middle').lines).toBe(0);
  });
  it('tracks are drawn in dashes where they are seen, along outlines as well', () => {
    const tracks = [Float32Array.of(0, 0, 0, 0, 0, 50), Float32Array.of(40, 40, 0, 40, 40, 50)];
    const drawing = lineDrawing([{ id: 'A', mesh: box([80, 40, 50]), tracks }], { ...FRONT, widthMm: 82 });
    const track = measured(drawing, 'track');
    expect([track.lines, Math.round(track.length)]).toEqual([1, 50]);
    expect(svgOf(drawing)).toMatch(/class="track"[^>]*><path data-part="A" stroke-dasharray=/);
  });
  it('shades only what turns away from the light', () => {
    const drawing = lineDrawing(one(ball(50, 90)), { ...FRONT, widthMm: 102, shade: 'lines' });
    const dark = drawing.paths.filter((path) => path.kind === 'shade').flatMap((path) => path.d.split('M').slice(1));
    expect(dark.length).toBeGreaterThan(10);
    const starts = dark.map((d) => (d.match(/-?\d*\.?\d+/g) ?? []).map(Number));
    for (const [x, y] of starts) expect(x! + y!).toBeGreaterThan(60);
  });
  it('is the same when body and eye turn together', () => {
    const [c, s] = [Math.cos(33 * DEG), Math.sin(33 * DEG)];
    const turned = transformMesh([c, s, 0, -s, c, 0, 0, 0, 1, 5, 6, 7], box([60, 50, 40]));
    const a = lineDrawing(one(box([60, 50, 40])), { ...CORNER, widthMm: 80 });
    const b = lineDrawing(one(turned), { viewDir: [-c - s, -s + c, -1], up: [0, 0, 1], widthMm: 80 });
    for (const kind of ['outline', 'crease'] as const) {
      expect(measured(b, kind).lines).toBe(measured(a, kind).lines);
      expect(Math.abs(measured(b, kind).length - measured(a, kind).length)).toBeLessThan(1);
    }
  });
  it('stays within the bytes allowed on a rough surface, and gives the same text twice', () => {
    const rough = one(ball(50, 150, 3));
    const options = { ...FRONT, widthMm: 102, shade: 'lines', creaseDeg: 20, maxBytes: 60_000 } as const;
    const drawing = lineDrawing(rough, options);
    expect(drawing.paths.reduce((sum, path) => sum + path.d.length, 0)).toBeLessThanOrEqual(60_000);
    expect(lineDrawing(rough, options)).toEqual(drawing);
  });
  it('draws nothing of nothing', () => {
    expect(lineDrawing(one(meshOf(new Float64Array(0), new Uint32Array(0)))).paths).toEqual([]);
  });
});

describe('svgOf', () => {
  it('is well-formed, in millimetres, with the caller\u2019s strokes and title', () => {
    const drawing = lineDrawing([{ id: 'A<1>', mesh: box([60, 60, 60]) }], { ...CORNER, widthMm: 40 });
    const outline = { widthMm: 0.7, color: 'var(--ink)' };
    const svg = svgOf(drawing, {
      title: 'Piece "A" & more',
      strokes: { ...SVG_DEFAULTS.strokes, outline, silhouette: outline, crease: outline },
    });
    expect(scanXml(new TextEncoder().encode(svg), { open: () => null, close: () => null })).toBeNull();
    expect(svg).toMatch(/^<svg [^>]*width="40mm"/);
    expect(Number(/^<svg [^>]*data-scale="([\d.]+)"/.exec(svg)?.[1])).toBeCloseTo(drawing.scale, 5);
    expect(svg).toContain('stroke="var(--ink)" stroke-width="0.7"');
    expect(svg).toContain('<title>Piece &quot;A&quot; &amp; more</title>');
    expect(svg).toContain('data-part="A&lt;1&gt;"');
  });
});
