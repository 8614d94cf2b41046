// Seams of the smooth shared shell on the 180 cube: 85 percent of the grid's cost were asked with the task of the seams, 86 are reached.
import { describeSeams } from '../support/pieces/seams-hide.ts';

describeSeams('shell', [{ bedMm: [180, 180, 180], most: 87, unreached: 85, pieces: 'no more than the grid' }]);
