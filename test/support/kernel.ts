// Loads the solid kernel for tests and benchmarks, once per process.
import { readFileSync } from 'node:fs';
import Module from 'manifold-3d';
import { openSolidKernel, type SolidKernel } from '../../src/geometry/solid/solid.ts';

let loaded: Promise<SolidKernel> | undefined;

export function testKernel(): Promise<SolidKernel> {
  loaded ??= Module().then((module) => {
    module.setup();
    const { version } = JSON.parse(readFileSync('node_modules/manifold-3d/package.json', 'utf8')) as {
      version: string;
    };
    return openSolidKernel(module, version);
  });
  return loaded;
}
