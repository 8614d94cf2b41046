// Laws of the division on random domes, two of this seed.
import { describeRandomDomes } from '../support/pieces/random-domes.ts';

describeRandomDomes(21);
