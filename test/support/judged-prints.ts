// Learning from five measured prints and foretelling ten others, judged by a separate simulator with hidden machines.
import { randomStream } from '../../src/base/random.ts';
import { QUIET_WORK } from '../../src/base/work.ts';
import { supportColumns } from '../../src/geometry/support-columns.ts';
import type { Mesh } from '../../src/mesh/mesh.ts';
import { ordinaryMachine } from '../../src/workshop/facts/machines.ts';
import { layOutLayers } from '../../src/workshop/printing/layer-lines.ts';
import { learnFrom, plusMinusS } from '../../src/workshop/printing/learnt-prints.ts';
import { printTime } from '../../src/workshop/printing/print-time.ts';
import { type MeasuredPrint, TIME_PARTS, type TimeParts } from '../../src/workshop/process/measured-print.ts';
import { PrintSettings } from '../../src/workshop/process/print-settings.ts';
import { hiddenMachine, scatter } from './hidden-machine.ts';
import { kernelModule } from './kernel.ts';
import { pathsOf, secondsOf } from './piece-simulator.ts';

export const JUDGED_PRINT = PrintSettings.parse({ layerMm: 0.3, firstLayerMm: 0.3, closingLayers: 3 });
export const JUDGED_MACHINE = ordinaryMachine([300, 300, 300]);
const LEARN = 5;
const FORETELL = 10;
/** Two prints of one piece differ by so much, one standard deviation. */
const SCATTER = 0.015;

/** A piece as estimated, and what each hidden machine took for it. */
export interface JudgedPiece {
  readonly parts: TimeParts;
  readonly estimatedS: number;
  readonly tookS: readonly number[];
}

/** Pieces standing on z = 0, printed on as many hidden machines as asked. */
export async function judgedPieces(pieces: readonly Mesh[], seed: number, machines: number): Promise<JudgedPiece[]> {
  const module = await kernelModule();
  const hidden = Array.from({ length: machines }, (_, i) =>
    hiddenMachine(JUDGED_MACHINE, randomStream(seed + 100 + i)),
  );
  const random = randomStream(seed);
  return pieces.map((mesh) => {
    const columns = supportColumns(mesh, { limitDeg: JUDGED_PRINT.overhangLimitDeg }, QUIET_WORK);
    const lines = layOutLayers(mesh, JUDGED_PRINT, QUIET_WORK, columns);
    const { parts, printS } = printTime(lines, JUDGED_MACHINE, JUDGED_PRINT, QUIET_WORK);
    const paths = pathsOf(mesh, JUDGED_PRINT, module);
    const tookS = hidden.map((one) => secondsOf(paths, JUDGED_PRINT, one) * scatter(SCATTER, random));
    return { parts, estimatedS: printS, tookS };
  });
}

export interface Judgement {
  /** Shares of the true hours: over all prints foretold; and the median over the sets of the largest of each set. */
  readonly median: number;
  readonly most: number;
  readonly usualMost: number;
  /** Share of prints that came out within the plus-minus, and its mean as a share of the hours. */
  readonly covered: number;
  readonly plusMinus: number;
  /** Share of sets whose ten prints together came out within theirs. */
  readonly setsCovered: number;
  /** The same without any measured print. */
  readonly before: { readonly median: number; readonly most: number; readonly covered: number };
}

/** On every machine, `sets` times: five pieces drawn to learn from, ten others to foretell. */
export function judged(pieces: readonly JudgedPiece[], seed: number, sets: number): Judgement {
  const random = randomStream(seed);
  const errors: number[] = [];
  const mosts: number[] = [];
  const widths: number[] = [];
  const plain: number[] = [];
  let [within, plainWithin, setsWithin, numSets] = [0, 0, 0, 0];
  const unlearnt = learnFrom([]);
  for (let machine = 0; machine < pieces[0]!.tookS.length; machine++)
    for (let set = 0; set < sets; set++) {
      const order = shuffled(pieces, random);
      const learnt = learnFrom(order.slice(0, LEARN).map((piece) => measuredOn(piece, machine)));
      const others = order.slice(LEARN, LEARN + FORETELL);
      const foretold = others.map(({ parts }) =>
        TIME_PARTS.reduce((sum, part) => sum + parts[part] * learnt.factors[part], 0),
      );
      const offs = others.map(({ parts, estimatedS, tookS }, i) => {
        const took = tookS[machine]!;
        const off = plusMinusS(learnt, [parts]);
        widths.push(off / foretold[i]!);
        if (Math.abs(foretold[i]! - took) <= off) within++;
        if (Math.abs(estimatedS - took) <= plusMinusS(unlearnt, [parts])) plainWithin++;
        plain.push(Math.abs(estimatedS / took - 1));
        return Math.abs(foretold[i]! / took - 1);
      });
      errors.push(...offs);
      mosts.push(Math.max(...offs));
      const sum = (of: readonly number[]): number => of.reduce((total, each) => total + each, 0);
      const together = plusMinusS(
        learnt,
        others.map(({ parts }) => parts),
      );
      if (Math.abs(sum(foretold) - sum(others.map(({ tookS }) => tookS[machine]!))) <= together) setsWithin++;
      numSets++;
    }
  return {
    median: middle(errors),
    most: Math.max(...errors),
    usualMost: middle(mosts),
    covered: within / errors.length,
    plusMinus: widths.reduce((sum, each) => sum + each, 0) / widths.length,
    setsCovered: setsWithin / numSets,
    before: { median: middle(plain), most: Math.max(...plain), covered: plainWithin / plain.length },
  };
}

/** "median 1.9, usually at most 4.6, most 8.2 percent; plus-minus 5.5 percent covers 96; ..." */
export function judgementWords(of: Judgement): string {
  const percent = (share: number): string => (share * 100).toFixed(1);
  return [
    `learnt from ${LEARN}: median ${percent(of.median)}, usually at most ${percent(of.usualMost)}, most ${percent(of.most)} percent`,
    `plus-minus ${percent(of.plusMinus)} percent covers ${percent(of.covered)}, of all ten together ${percent(of.setsCovered)}`,
    `unlearnt: median ${percent(of.before.median)}, most ${percent(of.before.most)}, covered ${percent(of.before.covered)}`,
  ].join('; ');
}

function measuredOn({ parts, tookS }: JudgedPiece, machine: number): MeasuredPrint {
  return { name: 'piece', parts, estimatedG: 1, material: 'pla', tookS: tookS[machine]!, weighedG: null };
}

function shuffled<T>(list: readonly T[], random: () => number): T[] {
  const out = [...list];
  for (let i = out.length - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [out[i], out[j]] = [out[j]!, out[i]!];
  }
  return out;
}

function middle(list: readonly number[]): number {
  return [...list].sort((a, b) => a - b)[list.length >> 1]!;
}
