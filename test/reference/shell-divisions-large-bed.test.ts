// The shared reference shell on a bed of 300 x 300 x 400: a file of its own, since each division takes some seconds.
import { describeShellDivisions } from '../support/pieces/shell-division.ts';

describeShellDivisions(2, 3);
