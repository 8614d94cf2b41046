// The shared reference shell on a bed of 220 x 220 x 250: a file of its own, since each division takes some seconds.
import { describeShellDivisions } from '../support/pieces/shell-division.ts';

describeShellDivisions(0, 1);
