// Seams against the best uniform grid, judged by an evaluator apart from the program; the other models are in bench/seams.bench.ts.
// Limits: as asked with the task of the seams. Grids: test/support/seam-evaluator.
import { describeSeams } from '../support/pieces/seams-hide.ts';

describeSeams('goat', [
  { bedMm: [180, 180, 180], most: 85, pieces: 'no more than the grid' },
  { bedMm: [220, 220, 250], most: 70, pieces: 'fewer than the grid' },
]);
