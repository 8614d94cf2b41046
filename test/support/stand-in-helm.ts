// A plain double-walled dome with a neck and a face, made on the spot, so that tests of levelling need no file. Invented shapes.
import Module, { type Manifold, type ManifoldToplevel } from 'manifold-3d';
import { type Mesh, meshOf } from '../../src/mesh/mesh.ts';

export type StandInKind =
  | 'slot'
  | 'two eyes'
  | 'pod and vents'
  | 'long brim'
  | 'no face'
  | 'open face'
  | 'window larger than neck'
  | 'round bowl';

let loaded: Promise<ManifoldToplevel> | undefined;

/** About 250 x 300 x 290 mm, wall 3 mm, some 10,000 to 20,000 triangles; its face looks to +y, its neck to -z. */
export async function standInHelm(kind: StandInKind): Promise<Mesh> {
  loaded ??= Module().then((module) => {
    module.setup();
    return module;
  });
  const { Manifold: M } = await loaded;
  const made = shellOf(M, kind);
  const { vertProperties, triVerts, numProp } = made.getMesh();
  const positions = new Float64Array((vertProperties.length / numProp) * 3);
  for (let v = 0; v * numProp < vertProperties.length; v++)
    for (let c = 0; c < 3; c++) positions[v * 3 + c] = vertProperties[v * numProp + c]!;
  return meshOf(positions, Uint32Array.from(triVerts));
}

function shellOf(M: ManifoldToplevel['Manifold'], kind: StandInKind): Manifold {
  const dome = (grow: number): Manifold =>
    kind === 'round bowl'
      ? M.sphere(140 + grow, 96)
      : M.sphere(1, 128)
          .scale([122 + grow, 147 + grow, 150 + grow])
          .add(
            M.cylinder(90, 95 + grow, 105 + grow, 96)
              .scale([1, 1.1, 1])
              .translate([0, -8, -150]),
          );
  const block = (size: [number, number, number], at: [number, number, number]): Manifold =>
    M.cube(size, true).translate(at);
  const tube = (r: number, at: [number, number, number]): Manifold =>
    M.cylinder(200, r, r, 48).rotate([-90, 0, 0]).translate(at);
  const floor = kind === 'round bowl' ? 0 : -140;
  let outer = dome(3);
  if (kind === 'long brim')
    outer = outer.add(M.cylinder(12, 170, 150, 128).scale([0.95, 1.2, 1]).translate([0, -45, -60]));
  let helm = outer.subtract(dome(0)).subtract(block([600, 600, 400], [0, 0, floor - 200]));
  if (kind === 'long brim') {
    helm = helm.subtract(block([600, 300, 80], [0, 190, -110]).rotate([8, 0, 0]));
  }
  if (kind === 'slot' || kind === 'pod and vents' || kind === 'long brim')
    helm = helm.subtract(block([165, 200, 42], [0, 150, 10]));
  if (kind === 'two eyes') helm = helm.subtract(tube(24, [38, 0, 10])).subtract(tube(24, [-38, 0, 10]));
  if (kind === 'pod and vents') {
    helm = helm.add(M.cylinder(22, 34, 28, 48).rotate([0, 90, 0]).translate([118, -10, -20]));
    helm = helm.subtract(dome(0));
    for (const x of [-30, -10, 10, 30]) helm = helm.subtract(tube(5, [x, 0, -70]));
  }
  if (kind === 'open face') helm = helm.subtract(block([170, 200, 260], [0, 150, -80]));
  if (kind === 'window larger than neck') helm = helm.subtract(block([215, 230, 190], [0, 150, 10]));
  return helm;
}
