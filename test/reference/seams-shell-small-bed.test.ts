// Seams of the smooth shared shell on the 180 cube; limits as asked with the task of the seams.
import { describeSeams } from '../support/pieces/seams-hide.ts';

describeSeams('shell', [{ bedMm: [180, 180, 180], most: 85, pieces: 'no more than the grid' }]);
