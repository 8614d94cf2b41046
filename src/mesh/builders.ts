// Closed solids of simple shape, for demonstrations, tests and benchmarks. All face outward; sizes in mm.
import { type Mesh, meshOf, type Vec3 } from './mesh.ts';
import { turnedInsideOut } from './topology.ts';

/** A box between two opposite corners: 8 vertices, 12 triangles. */
export function box(lowMm: Vec3, highMm: Vec3): Mesh {
  const positions = new Float64Array(24);
  for (let v = 0; v < 8; v++) for (let k = 0; k < 3; k++) positions[v * 3 + k] = (v >> k) & 1 ? highMm[k]! : lowMm[k]!;
  const triangles = [
    0, 2, 1, 1, 2, 3, 4, 5, 6, 5, 7, 6, 0, 1, 4, 1, 5, 4, 2, 6, 3, 3, 6, 7, 0, 4, 2, 2, 4, 6, 1, 3, 5, 3, 7, 5,
  ];
  return meshOf(positions, Uint32Array.from(triangles));
}

/** A ball about the origin with poles on z: `rings` steps from pole to pole, twice as many round; 4 * rings * (rings - 1)
 *  triangles. Vertices lie on the sphere. */
export function uvSphere(radiusMm: number, rings: number): Mesh {
  return turned(arc({ radiusMm, fromRad: -Math.PI / 2, toRad: Math.PI / 2, steps: rings }), { around: rings * 2 });
}

/** A ball about the origin from an icosahedron whose triangles are quartered `levels` times: 20 * 4^levels triangles of nearly
 *  equal size. Vertices lie on the sphere. */
export function icoSphere(radiusMm: number, levels: number): Mesh {
  let mesh = icosahedron();
  for (let level = 0; level < levels; level++) mesh = quartered(mesh);
  const p = mesh.positions;
  for (let i = 0; i < p.length; i += 3) {
    const scale = radiusMm / Math.hypot(p[i]!, p[i + 1]!, p[i + 2]!);
    for (let k = 0; k < 3; k++) p[i + k] = p[i + k]! * scale;
  }
  return mesh;
}

/** Standing on z = 0 about the z axis, with a vertex at the middle of both ends. */
export function cylinder(radiusMm: number, heightMm: number, around: number): Mesh {
  return turned([0, 0, radiusMm, 0, radiusMm, heightMm, 0, heightMm], { around });
}

/** Standing on z = 0, tip up. */
export function cone(radiusMm: number, heightMm: number, around: number): Mesh {
  return turned([0, 0, radiusMm, 0, 0, heightMm], { around });
}

/** About the z axis, in the plane z = 0; `around` steps round the axis, `tube` round the tube; one handle. */
export function torus(
  size: { readonly majorMm: number; readonly minorMm: number },
  around: number,
  tube: number,
): Mesh {
  const profile: number[] = [];
  for (let i = 0; i < tube; i++) {
    const angle = (2 * Math.PI * i) / tube;
    profile.push(size.majorMm + size.minorMm * Math.cos(angle), size.minorMm * Math.sin(angle));
  }
  return turned(profile, { around, ends: 'joined' });
}

/** A hollow cylinder standing on z = 0, open at both ends, its wall between two radii; one handle. `steps` along its height. */
export function tube(
  size: { readonly outerMm: number; readonly wallMm: number; readonly heightMm: number },
  around: number,
  steps = 1,
): Mesh {
  const profile: number[] = [];
  const inner = size.outerMm - size.wallMm;
  for (let i = 0; i <= steps; i++) profile.push(size.outerMm, (size.heightMm * i) / steps);
  for (let i = steps; i >= 0; i--) profile.push(inner, (size.heightMm * i) / steps);
  return turned(profile, { around, ends: 'joined' });
}

/** A double-walled half sphere, opening down to z = 0, with a flat rim there: the simplest helmet. One shell, no handle.
 *  `rings` steps from rim to crown, four times as many round. */
export function bowl(size: { readonly outerMm: number; readonly wallMm: number }, rings: number): Mesh {
  const up = { fromRad: 0, toRad: Math.PI / 2, steps: rings };
  const outer = arc({ radiusMm: size.outerMm, ...up });
  const inner = arc({ radiusMm: size.outerMm - size.wallMm, ...up, fromRad: Math.PI / 2, toRad: 0 });
  return turned([...outer, ...inner], { around: rings * 4, ends: 'joined' });
}

/** A ball with a hollow ball inside: two shells, the inner one facing its middle. */
export function hollowBall(size: { readonly outerMm: number; readonly wallMm: number }, levels: number): Mesh {
  const inner = icoSphere(size.outerMm - size.wallMm, levels);
  return together([icoSphere(size.outerMm, levels), turnedInsideOut(inner)]);
}

/** Several meshes as one, in order. */
export function together(meshes: readonly Mesh[]): Mesh {
  const positions = new Float64Array(meshes.reduce((sum, mesh) => sum + mesh.positions.length, 0));
  const triangles = new Uint32Array(meshes.reduce((sum, mesh) => sum + mesh.triangles.length, 0));
  let [p, t] = [0, 0];
  for (const mesh of meshes) {
    positions.set(mesh.positions, p);
    for (let i = 0; i < mesh.triangles.length; i++) triangles[t + i] = mesh.triangles[i]! + p / 3;
    p += mesh.positions.length;
    t += mesh.triangles.length;
  }
  return meshOf(positions, triangles);
}

/** A surface of revolution about z. profile: radius and z, in turn, with the solid on its left (as seen with z up and radius to
 *  the right); a radius of 0 makes one vertex. Ends 'joined': the last point goes on to the first. */
export function turned(
  profile: readonly number[],
  options: { readonly around: number; readonly ends?: 'open' | 'joined' },
): Mesh {
  const { around } = options;
  const rings = profile.length / 2;
  const first = new Int32Array(rings);
  const positions: number[] = [];
  for (let ring = 0; ring < rings; ring++) {
    first[ring] = positions.length / 3;
    const radius = profile[ring * 2]!;
    for (let i = 0; i < (radius === 0 ? 1 : around); i++) {
      const angle = (2 * Math.PI * i) / around;
      positions.push(radius * Math.cos(angle), radius * Math.sin(angle), profile[ring * 2 + 1]!);
    }
  }
  const triangles: number[] = [];
  const vert = (ring: number, i: number): number => first[ring]! + (profile[ring * 2] === 0 ? 0 : i % around);
  const bands = options.ends === 'joined' ? rings : rings - 1;
  for (let ring = 0; ring < bands; ring++) {
    const next = (ring + 1) % rings;
    for (let i = 0; i < around; i++) {
      if (profile[ring * 2] !== 0) triangles.push(vert(ring, i), vert(ring, i + 1), vert(next, i + 1));
      if (profile[next * 2] !== 0) triangles.push(vert(ring, i), vert(next, i + 1), vert(next, i));
    }
  }
  return meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
}

/** Points of an arc about the origin as radius and z; its ends on the axis have radius 0 exactly. */
function arc(of: { radiusMm: number; fromRad: number; toRad: number; steps: number }): number[] {
  const out: number[] = [];
  for (let i = 0; i <= of.steps; i++) {
    const angle = of.fromRad + ((of.toRad - of.fromRad) * i) / of.steps;
    const onAxis = Math.abs(Math.abs(angle) - Math.PI / 2) < 1e-12;
    out.push(onAxis ? 0 : of.radiusMm * Math.cos(angle), of.radiusMm * Math.sin(angle));
  }
  return out;
}

function icosahedron(): Mesh {
  const g = (1 + Math.sqrt(5)) / 2;
  const positions = [
    -1,
    g,
    0,
    1,
    g,
    0,
    -1,
    -g,
    0,
    1,
    -g,
    0,
    0,
    -1,
    g,
    0,
    1,
    g,
    0,
    -1,
    -g,
    0,
    1,
    -g,
    g,
    0,
    -1,
    g,
    0,
    1,
    -g,
    0,
    -1,
    -g,
    0,
    1,
  ];
  const triangles = [
    0, 11, 5, 0, 5, 1, 0, 1, 7, 0, 7, 10, 0, 10, 11, 1, 5, 9, 5, 11, 4, 11, 10, 2, 10, 7, 6, 7, 1, 8, 3, 9, 4, 3, 4, 2,
    3, 2, 6, 3, 6, 8, 3, 8, 9, 4, 9, 5, 2, 4, 11, 6, 2, 10, 8, 6, 7, 9, 8, 1,
  ];
  return meshOf(Float64Array.from(positions), Uint32Array.from(triangles));
}

/** Each triangle in four, by the middles of its edges. */
function quartered(mesh: Mesh): Mesh {
  const { positions: p, triangles: t } = mesh;
  const positions = Array.from(p);
  const middles = new Map<number, number>();
  const middle = (a: number, b: number): number => {
    const key = Math.min(a, b) * p.length + Math.max(a, b);
    const known = middles.get(key);
    if (known !== undefined) return known;
    const vert = positions.length / 3;
    for (let k = 0; k < 3; k++) positions.push((p[a * 3 + k]! + p[b * 3 + k]!) / 2);
    middles.set(key, vert);
    return vert;
  };
  const triangles = new Uint32Array(t.length * 4);
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [t[i]!, t[i + 1]!, t[i + 2]!];
    const [ab, bc, ca] = [middle(a, b), middle(b, c), middle(c, a)];
    triangles.set([a, ab, ca, b, bc, ab, c, ca, bc, ab, bc, ca], i * 4);
  }
  return meshOf(Float64Array.from(positions), triangles);
}
