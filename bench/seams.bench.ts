// How well seams hide: the program's divisions beside the best grids, a published search and divisions set by hand, as a table.
// npx tsx bench/seams.bench.ts [--triangles 50000|200000] [--only TEXT] [--no-search]; judged by test/support/seam-evaluator.

import { handDivisions, ownDivision, SEAM_PAIRS } from '../test/support/pieces/seam-comparison.ts';
import { type SeamModel, type SeamModelName, seamModel } from '../test/support/pieces/seam-models.ts';
import { roomOf } from '../test/support/seam-evaluator/fit.ts';
import { type PricedModel, pricedModel } from '../test/support/seam-evaluator/priced-model.ts';
import { publishedDivision } from '../test/support/seam-evaluator/published-search.ts';
import { bestGrids, betterGrid } from '../test/support/seam-evaluator/uniform-grid.ts';

const argv = process.argv.slice(2);
const after = (name: string): string | undefined => argv[argv.indexOf(name) + 1];
const triangles = argv.includes('--triangles') && after('--triangles') === '200000' ? 200_000 : 50_000;
const only = argv.includes('--only') ? after('--only')! : '';

const known = new Map<SeamModelName, { model: SeamModel; priced: PricedModel }>();
const ratios: number[] = [];
console.log(
  '| model, bed | ours | of grid % | own grid | turned grid | cheapest grid | published | by hand: usual | by hand: hidden | sound | s |',
);
console.log('|---|---|---|---|---|---|---|---|---|---|---|');
for (const { model: name, bedMm } of SEAM_PAIRS) {
  const title = `${name}, ${bedMm.join(' x ')}`;
  if (!title.includes(only)) continue;
  if (!known.has(name)) {
    const model = await seamModel(name, triangles);
    known.set(name, { model, priced: pricedModel(model.mesh) });
  }
  const { model, priced } = known.get(name)!;
  const room = roomOf(bedMm);
  const grids = bestGrids(priced, room);
  const grid = betterGrid(grids);
  const hands = handDivisions(priced, name, bedMm);
  const published = argv.includes('--no-search')
    ? null
    : publishedDivision(priced, room, { estimateMm: grids.own.costMm });
  const said = (one: { pieces: number; costMm: number }): string => `${one.pieces} / ${one.costMm.toFixed(0)}`;
  const cells = [said(grids.own), said(grids.turned), said(grids.cheapest)];
  cells.push(published === null ? '' : `${published.pieces.length} / ${published.costMm.toFixed(0)}`);
  for (const { pieces, costMm } of hands) cells.push(`${pieces.length} / ${costMm.toFixed(0)}`);
  try {
    const ours = await ownDivision(priced, model, { bedMm });
    const ratio = (100 * ours.costMm) / grid.costMm;
    ratios.push(ratio);
    const sound = `${ours.badEdges} open, ${ours.crossings} crossings, volume ${ours.volumeOff.toExponential(0)}, out ${ours.standsOutMm.toFixed(2)}`;
    console.log(
      `| ${[title, `${said(ours)} (says ${ours.saidCostMm.toFixed(0)})`, ratio.toFixed(0), ...cells, sound, ours.seconds.toFixed(1)].join(' | ')} |`,
    );
  } catch (error) {
    console.log(`| ${[title, `refused: ${(error as Error).message}`, '', ...cells, '', ''].join(' | ')} |`);
  }
}
ratios.sort((a, b) => a - b);
console.log(
  `\nMedian of ${ratios.length}: ${ratios[Math.floor(ratios.length / 2)]?.toFixed(0)} percent of the better grid; never above ${ratios.at(-1)?.toFixed(0)}.`,
);
