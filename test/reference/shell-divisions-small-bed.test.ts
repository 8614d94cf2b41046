// The shared reference shell on a bed of 180 cubed: a file of its own, since each division takes some seconds.
import { describeShellDivisions } from '../support/pieces/shell-division.ts';

describeShellDivisions(1, 2);
