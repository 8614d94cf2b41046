// The order of the test files: the longest first, so that no processor is left without work at the end; then what shares a process.
import { relative } from 'node:path';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** Files that run for more than half a minute, longest first. One that is missing here is only begun later. */
export const LONGEST: readonly string[] = [
  'test/browser/page.test.ts',
  'test/reference/kits.test.ts',
  'test/reference/joints-helm.test.ts',
  'test/property/levelling-shared.test.ts',
  'test/property/levelling.test.ts',
  'test/reference/seams-shell-small-bed.test.ts',
  'test/faults/killed-plan.test.ts',
  'test/faults/store-killed.test.ts',
  'test/browser/book-axe.test.ts',
  'test/unit/store/store-opening.test.ts',
  'test/property/mend-damage.test.ts',
  'test/unit/app/worker/job.test.ts',
  'test/browser/house-beside.test.ts',
  'test/unit/workshop/model/model.test.ts',
  'test/faults/cancelled-plan.test.ts',
  'test/unit/workshop/book/graph.test.ts',
  'test/reference/seam-evaluator.test.ts',
  'test/browser/figure-marks.test.ts',
  'test/browser/book-page.test.ts',
  'test/reference/seams-shell-large-bed.test.ts',
  'test/browser/figure-maps.test.ts',
  'test/faults/server-hostile.test.ts',
  'test/faults/store-full-disk.test.ts',
  'test/property/levelling-demo.test.ts',
  'test/property/asked-seams.test.ts',
];

export class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification): number => {
      const at = LONGEST.indexOf(relative(this.ctx.config.root, moduleId));
      return at < 0 ? LONGEST.length : at;
    };
    // those in a process of their own come before those that share one, as the base class sorts them
    return (await super.sort(files)).sort((a, b) => place(a) - place(b));
  }
}
