// Small closed shapes standing on the bed, for tests of layers, support and time.
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';

type Vec2 = readonly [number, number];

/** Upright prism over closed outlines (outer counter-clockwise, hole clockwise; both with equally many points). */
export function ring(outer: readonly Vec2[], hole: readonly Vec2[], heightMm: number): Mesh {
  const n = outer.length;
  const positions: number[] = [];
  for (const z of [0, heightMm]) for (const loop of [outer, hole]) for (const [x, y] of loop) positions.push(x, y, z);
  const at = (level: number, loop: number, i: number): number => level * 2 * n + loop * n + (i % n);
  const tris: number[] = [];
  const quad = (a: number, b: number, c: number, d: number): void => {
    tris.push(a, b, c, a, c, d);
  };
  for (let i = 0; i < n; i++) {
    quad(at(0, 0, i), at(0, 0, i + 1), at(1, 0, i + 1), at(1, 0, i));
    quad(at(0, 1, i + 1), at(0, 1, i), at(1, 1, i), at(1, 1, i + 1));
    quad(at(1, 0, i), at(1, 0, i + 1), at(1, 1, i + 1), at(1, 1, i));
    quad(at(0, 0, i + 1), at(0, 0, i), at(0, 1, i), at(0, 1, i + 1));
  }
  return meshOf(Float64Array.from(positions), Uint32Array.from(tris));
}

export function circle(radiusMm: number, n: number): Vec2[] {
  return Array.from({ length: n }, (_, i) => {
    const a = (2 * Math.PI * i) / n;
    return [radiusMm * Math.cos(a), radiusMm * Math.sin(a)] as const;
  });
}

export function tube(outerMm: number, innerMm: number, heightMm: number, n = 256): Mesh {
  return ring(circle(outerMm, n), circle(innerMm, n), heightMm);
}

export function rectangle(width: number, depth: number): Vec2[] {
  return [
    [-width / 2, -depth / 2],
    [width / 2, -depth / 2],
    [width / 2, depth / 2],
    [-width / 2, depth / 2],
  ];
}

/** Box with its foot at height `at`. */
export function box(width: number, depth: number, height: number, at = 0): Mesh {
  const positions = new Float64Array(24);
  for (let v = 0; v < 8; v++) {
    positions[v * 3] = v & 1 ? width / 2 : -width / 2;
    positions[v * 3 + 1] = v & 2 ? depth / 2 : -depth / 2;
    positions[v * 3 + 2] = at + (v & 4 ? height : 0);
  }
  const quads = [
    [0, 2, 3, 1],
    [4, 5, 7, 6],
    [0, 1, 5, 4],
    [2, 6, 7, 3],
    [0, 4, 6, 2],
    [1, 3, 7, 5],
  ];
  return meshOf(positions, Uint32Array.from(quads.flatMap(([a, b, c, d]) => [a!, b!, c!, a!, c!, d!])));
}

/** Sphere on its pole, foot at z = 0. */
export function sphere(radiusMm: number, rows: number, columns: number): Mesh {
  const positions: number[] = [0, 0, 0];
  for (let r = 1; r < rows; r++) {
    const polar = (Math.PI * r) / rows;
    for (let c = 0; c < columns; c++) {
      const a = (2 * Math.PI * c) / columns;
      positions.push(
        radiusMm * Math.sin(polar) * Math.cos(a),
        radiusMm * Math.sin(polar) * Math.sin(a),
        radiusMm * (1 - Math.cos(polar)),
      );
    }
  }
  positions.push(0, 0, 2 * radiusMm);
  const at = (r: number, c: number): number => 1 + (r - 1) * columns + (c % columns);
  const top = positions.length / 3 - 1;
  const tris: number[] = [];
  for (let c = 0; c < columns; c++) {
    tris.push(0, at(1, c + 1), at(1, c), top, at(rows - 1, c), at(rows - 1, c + 1));
    for (let r = 1; r < rows - 1; r++)
      tris.push(at(r, c), at(r, c + 1), at(r + 1, c + 1), at(r, c), at(r + 1, c + 1), at(r + 1, c));
  }
  return meshOf(Float64Array.from(positions), Uint32Array.from(tris));
}

export function joinMeshes(a: Mesh, b: Mesh): Mesh {
  const positions = new Float64Array(a.positions.length + b.positions.length);
  positions.set(a.positions);
  positions.set(b.positions, a.positions.length);
  const triangles = new Uint32Array(a.triangles.length + b.triangles.length);
  triangles.set(a.triangles);
  triangles.set(
    b.triangles.map((v) => v + a.positions.length / 3),
    a.triangles.length,
  );
  return meshOf(positions, triangles);
}

export function turnedAboutZ(mesh: Mesh, deg: number): Mesh {
  const c = Math.cos((deg * Math.PI) / 180);
  const s = Math.sin((deg * Math.PI) / 180);
  const positions = mesh.positions.slice();
  for (let i = 0; i < positions.length; i += 3) {
    const x = mesh.positions[i]!;
    const y = mesh.positions[i + 1]!;
    positions[i] = c * x - s * y;
    positions[i + 1] = s * x + c * y;
  }
  return meshOf(positions, mesh.triangles);
}
