// What a machine is called in sentences: its bed may be changed in place, so its size is no part of its name.
import type { Machine } from '../process/machine.ts';
import type { Build } from './build-file.ts';

export function machineWords(build: Build, index: number): string {
  return build.machines.length === 1 ? 'machine' : `machine ${index + 1}`;
}

/** Its own name after "the machine is": without saying machine twice, and with a word when the bed it is named for was changed. */
export function machineLabel({ name, bedMm }: Machine): string {
  const named = /(\d+) x (\d+) x (\d+) mm/.exec(name);
  const isAsNamed = named === null || bedMm.every((side, axis) => Math.round(side) === Number(named[axis + 1]));
  const plain = name.replace(/(?<=\S) machine$/, '');
  return isAsNamed ? plain : `${plain}, its bed changed`;
}
