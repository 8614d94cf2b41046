// Random meshes, points, rays and turns from a seed, and slow plain answers to hold the fast ones against.
import { randomStream } from '../../src/base/random.ts';
import { icoSphere } from '../../src/mesh/builders.ts';
import { type Mesh, meshOf, type Vec3 } from '../../src/mesh/mesh.ts';
import type { Transform } from '../../src/mesh/transform.ts';

/** Loose triangles in a cube of side 2 about the origin: some slivers, some without area, some twice, some axis-aligned. */
export function randomSoup(seed: number, numTriangles: number): Mesh {
  const random = randomStream(seed);
  const positions = new Float64Array(numTriangles * 9);
  for (let t = 0; t < numTriangles; t++) {
    const kind = Math.floor(random() * 10);
    const size = kind < 7 ? 0.05 + 0.3 * random() : 2;
    const middle = [2 * random() - 1, 2 * random() - 1, 2 * random() - 1];
    for (let i = 0; i < 9; i++) positions[t * 9 + i] = middle[i % 3]! + size * (random() - 0.5);
    if (kind === 7) for (let c = 0; c < 3; c++) positions[t * 9 + c * 3 + 2] = middle[2]!;
    if (kind === 8) positions.copyWithin(t * 9 + 6, t * 9, t * 9 + 3);
    if (kind === 9 && t > 0) positions.copyWithin(t * 9, t * 9 - 9, t * 9);
  }
  return meshOf(
    positions,
    Uint32Array.from({ length: numTriangles * 3 }, (_, i) => i),
  );
}

/** A closed ball with bumps, 20 * 4^levels triangles, radius about 1. */
export function bumpyBall(seed: number, levels: number): Mesh {
  const random = randomStream(seed);
  const mesh = icoSphere(1, levels);
  const waves = Array.from({ length: 6 }, () => [4 * random(), 4 * random(), 4 * random(), 6 * random()] as const);
  const p = mesh.positions;
  for (let i = 0; i < p.length; i += 3) {
    let radius = 1;
    for (const [x, y, z, at] of waves) radius += 0.05 * Math.sin(x * p[i]! + y * p[i + 1]! + z * p[i + 2]! + at);
    for (let k = 0; k < 3; k++) p[i + k] = p[i + k]! * radius;
  }
  return mesh;
}

/** 9 numbers a triangle. */
export function soupOf(mesh: Mesh): Float64Array {
  const out = new Float64Array(mesh.triangles.length * 3);
  for (let h = 0; h < mesh.triangles.length; h++)
    for (let k = 0; k < 3; k++) out[h * 3 + k] = mesh.positions[mesh.triangles[h]! * 3 + k]!;
  return out;
}

/** The same triangles in another order, each beginning at another corner. */
export function shuffled(mesh: Mesh, seed: number): Mesh {
  const random = randomStream(seed);
  const order = Array.from({ length: mesh.triangles.length / 3 }, (_, t) => t);
  for (let i = order.length - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [order[i], order[j]] = [order[j]!, order[i]!];
  }
  const triangles = new Uint32Array(mesh.triangles.length);
  order.forEach((t, i) => {
    const turn = Math.floor(random() * 3);
    for (let c = 0; c < 3; c++) triangles[i * 3 + c] = mesh.triangles[t * 3 + ((c + turn) % 3)]!;
  });
  return meshOf(mesh.positions, triangles);
}

export function randomDirection(random: () => number): Vec3 {
  const z = 2 * random() - 1;
  const angle = 2 * Math.PI * random();
  const r = Math.sqrt(1 - z * z);
  return [r * Math.cos(angle), r * Math.sin(angle), z];
}

/** A turn about a random axis, a uniform scale, and a shift of some times the scale. */
export function randomTransform(seed: number, scale = 1): Transform {
  const random = randomStream(seed);
  const [x, y, z] = randomDirection(random);
  const angle = 2 * Math.PI * random();
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const rows = [
    x * x * (1 - c) + c,
    y * x * (1 - c) + z * s,
    z * x * (1 - c) - y * s,
    x * y * (1 - c) - z * s,
    y * y * (1 - c) + c,
    z * y * (1 - c) + x * s,
    x * z * (1 - c) + y * s,
    y * z * (1 - c) - x * s,
    z * z * (1 - c) + c,
  ];
  return [...rows.map((v) => v * scale), ...[random(), random(), random()].map((v) => scale * (4 * v - 2))];
}

export function cornerOf(mesh: Mesh, tri: number, corner: number): Vec3 {
  const v = mesh.triangles[tri * 3 + corner]! * 3;
  return [mesh.positions[v]!, mesh.positions[v + 1]!, mesh.positions[v + 2]!];
}

/** Nearest hit over all triangles, by plane and then sides; Infinity when none. `margin` widens (or narrows) every triangle by a
 *  share of its height, so that two answers tell whether a ray grazes an edge. */
export function bruteRay(mesh: Mesh, origin: Vec3, d: Vec3, margin = 0): number {
  let best = Infinity;
  for (let tri = 0; tri < mesh.triangles.length / 3; tri++) {
    const [a, b, c] = [cornerOf(mesh, tri, 0), cornerOf(mesh, tri, 1), cornerOf(mesh, tri, 2)];
    const n = cross(minus(b, a), minus(c, a));
    const along = dot(n, d);
    if (along === 0) continue;
    const t = dot(n, minus(a, origin)) / along;
    if (!(t >= 0 && t < best)) continue;
    const p: Vec3 = [origin[0] + t * d[0], origin[1] + t * d[1], origin[2] + t * d[2]];
    const area2 = dot(n, n);
    const inside = [
      [a, b],
      [b, c],
      [c, a],
    ].every(([from, to]) => dot(n, cross(minus(to!, from!), minus(p, from!))) >= -margin * area2);
    if (inside) best = t;
  }
  return best;
}

/** Distance to the nearest of all triangles: the foot in the plane when inside, otherwise the nearest of three segments. */
export function bruteDistance(mesh: Mesh, p: Vec3): number {
  let best = Infinity;
  for (let tri = 0; tri < mesh.triangles.length / 3; tri++) {
    const corners = [cornerOf(mesh, tri, 0), cornerOf(mesh, tri, 1), cornerOf(mesh, tri, 2)] as const;
    const n = cross(minus(corners[1], corners[0]), minus(corners[2], corners[0]));
    let inside = dot(n, n) > 0;
    for (let c = 0; c < 3; c++) {
      const [from, to] = [corners[c]!, corners[(c + 1) % 3]!];
      if (dot(n, cross(minus(to, from), minus(p, from))) < 0) inside = false;
      best = Math.min(best, segmentDistance(p, from, to));
    }
    if (inside) best = Math.min(best, Math.abs(dot(n, minus(p, corners[0]))) / Math.sqrt(dot(n, n)));
  }
  return best;
}

function segmentDistance(p: Vec3, a: Vec3, b: Vec3): number {
  const ab = minus(b, a);
  const length2 = dot(ab, ab);
  const t = length2 === 0 ? 0 : Math.max(0, Math.min(1, dot(minus(p, a), ab) / length2));
  return Math.hypot(p[0] - a[0] - t * ab[0], p[1] - a[1] - t * ab[1], p[2] - a[2] - t * ab[2]);
}

function minus(a: Vec3, b: Vec3): Vec3 {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

function cross(a: Vec3, b: Vec3): Vec3 {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

function dot(a: Vec3, b: Vec3): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
