// Small closed meshes and checks for the tests of sections and splits.
import { existsSync, readFileSync } from 'node:fs';
import { type Mesh, meshOf, type Vec3 } from '../../src/mesh/mesh.ts';

/** A binary STL as a mesh, vertices joined by equal bits. */
export function readShell(path: string): Mesh {
  const bytes = readFileSync(path);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const count = view.getUint32(80, true);
  const handles = new Map<string, number>();
  const positions: number[] = [];
  const triangles = new Uint32Array(count * 3);
  for (let t = 0; t < count; t++) {
    for (let c = 0; c < 3; c++) {
      const at = 84 + t * 50 + 12 + c * 12;
      const p = [view.getFloat32(at, true), view.getFloat32(at + 4, true), view.getFloat32(at + 8, true)] as const;
      const key = p.join();
      let vert = handles.get(key);
      if (vert === undefined) {
        vert = positions.length / 3;
        positions.push(...p);
        handles.set(key, vert);
      }
      triangles[t * 3 + c] = vert;
    }
  }
  return meshOf(Float64Array.from(positions), triangles);
}

export const REFERENCE = '../shared/reference';
export const hasReference = existsSync(`${REFERENCE}/values.json`);

/** Box with corners low and high, 12 triangles. */
export function box(low: Vec3, high: Vec3): Mesh {
  const positions = new Float64Array(24);
  for (let v = 0; v < 8; v++) for (let k = 0; k < 3; k++) positions[v * 3 + k] = (v >> k) & 1 ? high[k]! : low[k]!;
  const triangles = Uint32Array.from([
    0, 2, 1, 1, 2, 3, 4, 5, 6, 5, 7, 6, 0, 1, 4, 1, 5, 4, 2, 6, 3, 3, 6, 7, 0, 4, 2, 2, 4, 6, 1, 3, 5, 3, 7, 5,
  ]);
  return meshOf(positions, triangles);
}

/** A surface of revolution about z through profile points (radius, z), bottom to top; a radius of 0 makes a pole. */
export function turned(profile: readonly (readonly [number, number])[], around: number): Mesh {
  const positions: number[] = [];
  const rings = profile.map(([r, z]) => {
    const first = positions.length / 3;
    const count = r === 0 ? 1 : around;
    for (let i = 0; i < count; i++) {
      const angle = (2 * Math.PI * i) / around;
      positions.push(r * Math.cos(angle), r * Math.sin(angle), z);
    }
    return { first, count };
  });
  const triangles: number[] = [];
  for (let j = 0; j + 1 < rings.length; j++) {
    const low = rings[j]!;
    const high = rings[j + 1]!;
    for (let i = 0; i < around; i++) {
      const a = low.first + (i % low.count);
      const b = low.first + ((i + 1) % low.count);
      const c = high.first + (i % high.count);
      const d = high.first + ((i + 1) % high.count);
      if (low.count > 1) triangles.push(a, b, d);
      if (high.count > 1) triangles.push(a, d, c);
    }
  }
  return meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
}

export function ball(radius: number, around: number): Mesh {
  const steps = around >> 1;
  const profile = Array.from({ length: steps + 1 }, (_, j): [number, number] => {
    const polar = (Math.PI * j) / steps;
    return [j === 0 || j === steps ? 0 : radius * Math.sin(polar), -radius * Math.cos(polar)];
  });
  return turned(profile, around);
}

/** Torus about z. */
export function ring(major: number, minor: number, around: number, tube: number): Mesh {
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let i = 0; i < around; i++)
    for (let j = 0; j < tube; j++) {
      const a = (2 * Math.PI * i) / around;
      const b = (2 * Math.PI * j) / tube;
      const r = major + minor * Math.cos(b);
      positions.push(r * Math.cos(a), r * Math.sin(a), minor * Math.sin(b));
      const p = (di: number, dj: number): number => ((i + di) % around) * tube + ((j + dj) % tube);
      triangles.push(p(0, 0), p(1, 0), p(1, 1), p(0, 0), p(1, 1), p(0, 1));
    }
  return meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
}

/** Several meshes as one. */
export function together(...meshes: Mesh[]): Mesh {
  const positions: number[] = [];
  const triangles: number[] = [];
  for (const mesh of meshes) {
    const first = positions.length / 3;
    for (const p of mesh.positions) positions.push(p);
    for (const v of mesh.triangles) triangles.push(first + v);
  }
  return meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
}

/** The same mesh turned inside out. */
export function insideOut(mesh: Mesh): Mesh {
  const triangles = mesh.triangles.slice();
  for (let t = 0; t < triangles.length; t += 3) {
    triangles[t + 1] = mesh.triangles[t + 2]!;
    triangles[t + 2] = mesh.triangles[t + 1]!;
  }
  return meshOf(mesh.positions, triangles);
}

export function volumeOf(mesh: Mesh): number {
  const { positions: p, triangles } = mesh;
  let six = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t]! * 3, triangles[t + 1]! * 3, triangles[t + 2]! * 3];
    six +=
      p[a]! * (p[b + 1]! * p[c + 2]! - p[b + 2]! * p[c + 1]!) +
      p[a + 1]! * (p[b + 2]! * p[c]! - p[b]! * p[c + 2]!) +
      p[a + 2]! * (p[b]! * p[c + 1]! - p[b + 1]! * p[c]!);
  }
  return six / 6;
}

export function areaOf(mesh: Mesh): number {
  const { positions: p, triangles } = mesh;
  let twice = 0;
  for (let t = 0; t < triangles.length; t += 3) {
    const [a, b, c] = [triangles[t]! * 3, triangles[t + 1]! * 3, triangles[t + 2]! * 3];
    const u = [p[b]! - p[a]!, p[b + 1]! - p[a + 1]!, p[b + 2]! - p[a + 2]!] as const;
    const v = [p[c]! - p[a]!, p[c + 1]! - p[a + 1]!, p[c + 2]! - p[a + 2]!] as const;
    twice += Math.hypot(u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]);
  }
  return twice / 2;
}

/** Edges that are not used once in each direction. 0 for a closed two-manifold surface. */
export function numBadEdges(mesh: Mesh): number {
  const uses = new Map<number, number>();
  const { triangles } = mesh;
  const size = mesh.positions.length / 3;
  let bad = 0;
  for (let t = 0; t < triangles.length; t += 3)
    for (let c = 0; c < 3; c++) {
      const a = triangles[t + c]!;
      const b = triangles[t + ((c + 1) % 3)]!;
      if (a === b) bad++;
      const key = a * size + b;
      uses.set(key, (uses.get(key) ?? 0) + 1);
    }
  for (const [key, count] of uses) {
    const a = Math.floor(key / size);
    const b = key % size;
    if (count !== 1 || uses.get(b * size + a) !== 1) bad++;
  }
  return bad;
}

/** A double-walled bowl of about the size of a helmet (280 mm wide, 300 mm high, wall 3 mm, open below) with fine relief. */
export function bumpyShell(numTris: number): Mesh {
  const around = 2 * Math.round(Math.sqrt(numTris / 2) / 2);
  const rows = Math.round(numTris / 2 / around);
  const mesh = turned(
    Array.from({ length: rows + 1 }, (_, j): [number, number] => {
      const s = j / rows;
      const out = s < 0.5;
      const polar = ((out ? 2 * s : 2 - 2 * s) * 0.75 + 0.0) * Math.PI;
      const size = out ? 1 : 0.98;
      return [j === 0 || j === rows ? 0 : 140 * size * Math.sin(polar), 150 * size * Math.cos(polar)];
    }).reverse(),
    around,
  );
  const p = mesh.positions;
  for (let i = 0; i < p.length; i += 3) {
    const relief = 1 + 0.004 * Math.sin(p[i]! * 0.31) * Math.sin(p[i + 1]! * 0.27) * Math.sin(p[i + 2]! * 0.29);
    for (let k = 0; k < 3; k++) p[i + k]! *= relief;
  }
  return mesh;
}
