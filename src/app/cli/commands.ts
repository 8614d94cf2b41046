// The four commands. Each returns its exit code.
import { join } from 'node:path';
import type { Outcome } from '../../base/findings.ts';
import { Cancelled } from '../../base/work.ts';
import type { Plan } from '../../workshop/book/plan-record.ts';
import { DEMO_SHAPES, type DemoShape, demoTitle } from '../../workshop/demo/demo.ts';
import { DATA_FOLDER, ENGINE_SCRIPT, KERNEL_LIMIT_S, WEB_ASSETS } from '../installed.ts';
import { type Engine, openEngine } from '../worker/engine-host.ts';
import type { Answer } from '../worker/protocol.ts';
import type { Arguments } from './arguments.ts';
import { findingsOf, reportLines } from './check-report.ts';
import { EXIT } from './exit-codes.ts';
import { type Input, inputOf, readInput } from './input.ts';
import { clearProgress, duration, progressHooks, sayRefusal } from './terminal.ts';
import { inTheWay, isFree, writeKit } from './write-kit.ts';

export async function runCommand(args: Arguments): Promise<number> {
  if (args.command === 'serve') {
    const { serveStore, withStore } = await serving();
    return withStore(args, (store) => serveStore(store, args));
  }
  const engine = openEngine({
    cacheFolder: args.data === null && !args.serve ? null : join(args.data ?? DATA_FOLDER, 'cache'),
    script: ENGINE_SCRIPT,
    webAssets: WEB_ASSETS,
    kernelLimitS: KERNEL_LIMIT_S,
  });
  const stop = (): void => engine.cancel();
  process.on('SIGINT', stop);
  process.on('SIGTERM', stop);
  try {
    if (args.command === 'check') return await check(args, engine);
    if (args.command === 'plan') return await plan(args, engine, readInput(args));
    return await demo(args, engine);
  } catch (error) {
    if (!(error instanceof Cancelled)) throw error;
    clearProgress();
    process.stderr.write('cancelled; nothing was written\n');
    return EXIT.cancelled;
  } finally {
    process.off('SIGINT', stop);
    process.off('SIGTERM', stop);
    await engine.close();
  }
}

/** Server and database are loaded only by who serves: they take longer to load than all the rest of the command. */
function serving(): Promise<typeof import('./serve.ts')> {
  return import('./serve.ts');
}

async function check(args: Arguments, engine: Engine): Promise<number> {
  const input = readInput(args);
  if (!input.ok) return sayRefusal(input, args);
  const answer = await engine.run({ ...input.value, want: 'check' }, progressHooks());
  clearProgress();
  if ('ok' in answer) return sayRefusal(answer, args);
  if (args.json) process.stdout.write(`${JSON.stringify(answer.text.chapters.slice(0, 2), null, 2)}\n`);
  else process.stdout.write(`${reportLines(answer.text)}\n`);
  const remaining = answer.refusal !== null || findingsOf(answer.text).some(({ severity }) => severity !== 'note');
  return answer.refusal !== null || (args.strict && remaining) ? EXIT.refused : EXIT.done;
}

async function plan(args: Arguments, engine: Engine, input: Outcome<Input>): Promise<number> {
  if (!input.ok) return sayRefusal(input, args);
  const out = args.out ?? `${slug(input.value.build.name)}-kit`;
  if (!isFree(out)) return sayRefusal(inTheWay(out), args);
  const answer = await engine.run({ ...input.value, want: 'kit' }, progressHooks());
  clearProgress();
  if ('ok' in answer) return sayRefusal(answer, args);
  if (answer.refusal !== null) return sayRefusal(answer.refusal, args);
  const written = writeKit(out, answer.files);
  if (!written.ok) return sayRefusal(written, args);
  process.stdout.write(args.json ? `${JSON.stringify(answer.plan, null, 2)}\n` : `${summary(answer, out)}\n`);
  return EXIT.done;
}

/** With --serve the data folder is opened first: that it is in use is said before the long work, not after it. */
async function demo(args: Arguments, engine: Engine): Promise<number> {
  if (!isDemoShape(args.shape)) {
    process.stderr.write(`there is no demo shape "${args.shape}"; there are ${DEMO_SHAPES.join(', ')}\n`);
    return EXIT.usage;
  }
  if (!args.serve) return (await demoKit(args, args.shape, engine)).code;
  const { shape } = args;
  const { serveStore, withStore } = await serving();
  return withStore(args, async (store) => {
    const { code, input } = await demoKit(args, shape, engine);
    if (code !== EXIT.done || !input.ok) return code;
    await engine.close();
    return serveStore(store, args, input.value);
  });
}

async function demoKit(
  args: Arguments,
  shape: DemoShape,
  engine: Engine,
): Promise<{ readonly code: number; readonly input: Outcome<Input> }> {
  const model = await engine.makeDemo({ shape, triangles: args.triangles }, progressHooks());
  const input = inputOf({ name: demoTitle(shape), file: `${shape}.stl`, model }, args);
  return { code: await plan({ ...args, out: args.out ?? `${shape}-kit` }, engine, input), input };
}

function summary(answer: Answer, out: string): string {
  const { pieces, totals, seams, splices } = answer.plan as Plan;
  const row = (words: string, print: { readonly printS: number; readonly filamentG: number }): string =>
    `  ${words.padEnd(31)} ${duration(print.printS).padStart(12)} ${print.filamentG.toFixed(0).padStart(6)} g`;
  const rows = [
    ...pieces.map((piece) => row(`${piece.id}  ${piece.name}`, piece)),
    ...(splices === null ? [] : [row(`   ${splices.count} splices, together`, splices)]),
  ];
  return [
    `${pieces.length} piece${pieces.length === 1 ? '' : 's'}, ${seams.length} seam${seams.length === 1 ? '' : 's'}, ${duration(totals.printS)}, ${totals.filamentG.toFixed(0)} g and ${totals.supportG.toFixed(0)} g of support:`,
    ...rows,
    ...cautionLines(answer.plan as Plan),
    `Written to ${out}: book.html, kit.3mf, pieces/, ${splices === null ? '' : 'splices/, '}plan.json, build.json.`,
  ].join('\n');
}

/** What the maker should look at before printing; the book says it at its place. */
function cautionLines({ model }: Plan): readonly string[] {
  return model.findings
    .filter(({ severity }) => severity !== 'note')
    .map(({ say, code }) => `  look: ${say} (${code})`);
}

function isDemoShape(word: string): word is DemoShape {
  return (DEMO_SHAPES as readonly string[]).includes(word);
}

function slug(name: string): string {
  const words = name
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .replace(/^-|-$/g, '');
  return words === '' ? 'helmwright' : words;
}
