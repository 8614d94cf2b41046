// What a machine is called in sentences: its bed may be changed in place, so its size is no part of its name.
import type { Build } from './build-file.ts';

export function machineWords(build: Build, index: number): string {
  return build.machines.length === 1 ? 'machine' : `machine ${index + 1}`;
}
