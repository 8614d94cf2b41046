// How long glue stays open and how long it is held: the maker's own times, else what is usual of the grade.
import { ACTIVATED_HOLD_S, GLUE_GRADES, type GlueFacts, type GlueGrade } from '../facts/adhesives.ts';
import type { Build } from './build-file.ts';
import { valueAt } from './editable.ts';

/** Of the grade asked for; activator makes the hold shorter. */
export function usualGlue(build: Build): GlueFacts {
  const usual = GLUE_GRADES[valueAt(build, 'assembly.grade') as GlueGrade] ?? GLUE_GRADES.medium;
  const isActivated = valueAt(build, 'assembly.activator') === true;
  return isActivated ? { ...usual, holdS: Math.min(usual.holdS, ACTIVATED_HOLD_S) } : usual;
}

/** As they are worked with. */
export function glueTimes(build: Build): Pick<GlueFacts, 'openS' | 'holdS'> {
  const usual = usualGlue(build);
  const own = (key: string, missing: number): number => {
    const value = valueAt(build, `assembly.${key}`);
    return typeof value === 'number' ? value : missing;
  };
  return { openS: own('openS', usual.openS), holdS: own('holdS', usual.holdS) };
}
