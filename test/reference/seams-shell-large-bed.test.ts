// Seams of the smooth shared shell on the 220 bed; limits as asked with the task of the seams.
import { describeSeams } from '../support/pieces/seams-hide.ts';

describeSeams('shell', [{ bedMm: [220, 220, 250], most: 70, pieces: 'fewer than the grid' }]);
