// The version of the solid kernel: part of every fingerprint, since another one may cut another way.
import { readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export function kernelVersion(): string {
  const entry = fileURLToPath(import.meta.resolve('manifold-3d'));
  const { version } = JSON.parse(readFileSync(join(dirname(entry), 'package.json'), 'utf8')) as { version: string };
  return version;
}
