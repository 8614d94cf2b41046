// Independent parts of a computation: side by side where the work has a crew, else one after another, with the same answer.
import { partOfWork, type Share, type Work } from './work.ts';

/** One of a list of shares that take different things. */
export type AnyShare = Share<never, never, unknown>;

/** Outputs in the order of the inputs. `common` is what all of them read; put the longest input first: threads take them in turn.
 *  Cost: with a crew, one copy of `common` and of every input, and of each output that another thread made. */
export function runShares<Common, Input, Output>(
  work: Work,
  share: Share<Common, Input, Output>,
  common: Common,
  inputs: readonly Input[],
): Output[] {
  if (work.crew !== undefined && inputs.length > 1) return work.crew.run(share, common, inputs, work);
  const num = inputs.length;
  return inputs.map((input, i) => share.run(common, input, partOfWork(work, i / num, (i + 1) / num)));
}

/** `num` things in at most so many runs of neighbours, about as many in each. */
export function evenRuns(num: number, mostRuns: number): { readonly from: number; readonly to: number }[] {
  const runs = Math.max(1, Math.min(num, mostRuns));
  return Array.from({ length: runs }, (_, i) => ({
    from: Math.floor((num * i) / runs),
    to: Math.floor((num * (i + 1)) / runs),
  }));
}
