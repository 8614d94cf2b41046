// Loads the solid kernel for tests and benchmarks, once per process.
import { readFileSync } from 'node:fs';
import Module, { type ManifoldToplevel } from 'manifold-3d';
import { openSolidKernel, type SolidKernel } from '../../src/geometry/solid/solid.ts';

let module: Promise<ManifoldToplevel> | undefined;
let loaded: Promise<SolidKernel> | undefined;

/** The kernel's own calls, for judges that share nothing with the program. */
export function kernelModule(): Promise<ManifoldToplevel> {
  module ??= Module().then((ready) => {
    ready.setup();
    return ready;
  });
  return module;
}

export function testKernel(): Promise<SolidKernel> {
  loaded ??= kernelModule().then((module) => {
    const { version } = JSON.parse(readFileSync('node_modules/manifold-3d/package.json', 'utf8')) as {
      version: string;
    };
    return openSolidKernel(module, version);
  });
  return loaded;
}
