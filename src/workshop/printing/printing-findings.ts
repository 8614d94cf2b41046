// What a maker should know before starting a print: long, wasteful, tall or barely standing.
import { type Finding, finding, type Where } from '../../base/findings.ts';
import type { Mesh, Vec3 } from '../../mesh/mesh.ts';
import { middlePoint } from '../../mesh/middle-point.ts';
import type { Piece } from '../process/pieces-record.ts';
import type { PosedPrint, PoseSettings } from './pose-choice.ts';

const LONG_PRINT_S = 40 * 3600;
const MUCH_SUPPORT_SHARE = 0.3;
const TALL_TIMES = 4;
const SMALL_FOOT_MM2 = 100;
/** Layer heights that a nozzle lays well, as shares of its width; common practice. */
const LAYER_OF_NOZZLE = { least: 0.25, most: 0.75 } as const;

/** Findings about one print; limits are common practice (docs/facts.md). `mesh`: that of the piece. Their place is a point of the piece in
 *  worn space, that of a small foot a point of the foot. */
export function printFindings(piece: Piece, mesh: Mesh, chosen: PosedPrint): Finding[] {
  const found: Finding[] = [];
  const at = (atMm: Vec3): Where => ({ path: `printing.${piece.id}`, space: 'worn', atMm, piece: piece.id });
  const where = at(middlePoint(mesh));
  const hours = chosen.time.printS / 3600;
  if (chosen.time.printS > LONG_PRINT_S)
    found.push(
      finding(
        'PRINT_LONG',
        `Piece ${piece.id} prints for ${hours.toFixed(0)} hours; a failure late costs most of them. More pieces, or a higher layer, shorten it.`,
        { where, measured: hours, limit: LONG_PRINT_S / 3600, unit: 'h' },
      ),
    );
  const share = chosen.material.supportMm3 / Math.max(1e-9, chosen.material.pieceMm3);
  if (share > MUCH_SUPPORT_SHARE)
    found.push(
      finding(
        'SUPPORT_MUCH',
        `Piece ${piece.id} needs ${(share * 100).toFixed(0)} percent of its own material as support.`,
        { where, measured: share * 100, limit: MUCH_SUPPORT_SHARE * 100, unit: 'percent' },
      ),
    );
  const [width, depth, height] = chosen.pose.sizeMm;
  const times = height / Math.max(1e-9, Math.min(width, depth));
  if (times > TALL_TIMES)
    found.push(
      finding(
        'TALL_SLENDER',
        `Piece ${piece.id} stands ${times.toFixed(1)} times as tall as it is deep; it may sway and lose its footing.`,
        { where, measured: times, limit: TALL_TIMES, unit: 'times' },
      ),
    );
  if (chosen.footMm2 < SMALL_FOOT_MM2)
    found.push(
      finding(
        'FOOT_SMALL',
        `Piece ${piece.id} stands on ${chosen.footMm2.toFixed(0)} mm2 only, support included; lay a wide border of lines round its foot.`,
        { where: at(footOf(mesh, chosen)), measured: chosen.footMm2, limit: SMALL_FOOT_MM2, unit: 'mm2' },
      ),
    );
  return found;
}

/** Lower than this above the bed is foot, mm. */
const FOOT_MM = 0.3;

function footOf(mesh: Mesh, { pose }: PosedPrint): Vec3 {
  const [, , zx, , , zy, , , zz, , , shift] = pose.toLaid;
  return middlePoint(mesh, ([x, y, z]) => x * zx! + y * zy! + z * zz! + shift! < FOOT_MM);
}

/** Findings about the settings alone. */
export function settingsFindings(settings: PoseSettings): Finding[] {
  const found: Finding[] = [];
  for (const machine of settings.machines) {
    const share = settings.print.layerMm / machine.nozzleMm;
    const limit = share > LAYER_OF_NOZZLE.most ? LAYER_OF_NOZZLE.most : LAYER_OF_NOZZLE.least;
    if (share <= LAYER_OF_NOZZLE.most + 1e-9 && share >= LAYER_OF_NOZZLE.least - 1e-9) continue;
    found.push(
      finding(
        'LAYER_ODD',
        `A layer of ${settings.print.layerMm} mm is ${(share * 100).toFixed(0)} percent of the ${machine.nozzleMm} mm nozzle of the ${machine.name}; 25 to 75 percent prints well.`,
        { where: { path: 'print.layerMm' }, measured: share * 100, limit: limit * 100, unit: 'percent' },
      ),
    );
  }
  return found;
}
