// Trouble comes in three kinds: findings (beside a value), refusals (no value), bugs (invariant). This file holds the first two.
import { CODES, type FindingCode, type RefusalCode, type Severity } from './codes.ts';

/** 'file': as read, in mm. 'model': levelled, at the size of the file. 'worn': levelled, at the worn size; the space of shell, pieces
 *  and figure. 'laid': a piece as it lies on its machine. */
export type Space = 'file' | 'model' | 'worn' | 'laid';

/** Where something is: a chapter, file or path in words, and if it has a place on the model, that place (mm) and its space. A place on
 *  one piece names it too, so that a mark can go with the piece when the pieces stand apart. */
export interface Where {
  readonly path: string;
  readonly space?: Space;
  readonly atMm?: readonly [number, number, number];
  readonly piece?: string;
}

export interface Finding {
  readonly kind: 'finding';
  readonly code: FindingCode;
  readonly severity: Severity;
  readonly where: Where;
  readonly measured: number | null;
  readonly limit: number | null;
  readonly unit: string;
  readonly say: string;
}

export interface Refusal {
  readonly ok: false;
  readonly code: RefusalCode;
  readonly why: string;
  readonly tryThis: string;
  readonly where?: Where;
}

export interface Done<T> {
  readonly ok: true;
  readonly value: T;
  readonly findings: readonly Finding[];
}

/** The answer of anything that input can make fail: a value with all its findings, or a refusal. */
export type Outcome<T> = Done<T> | Refusal;

export function done<T>(value: T, findings: readonly Finding[] = []): Done<T> {
  return { ok: true, value, findings };
}

/** `why` says what is wrong, where, the measured value and the limit; the registry says what to try unless `tryThis` knows better. */
export function refuse(code: RefusalCode, why: string, extra: { where?: Where; tryThis?: string } = {}): Refusal {
  const tryThis = extra.tryThis ?? CODES[code].tryThis;
  return extra.where === undefined
    ? { ok: false, code, why, tryThis }
    : { ok: false, code, why, tryThis, where: extra.where };
}

export function finding(
  code: FindingCode,
  say: string,
  about: { where: Where; measured?: number; limit?: number; unit?: string },
): Finding {
  return {
    kind: 'finding',
    code,
    severity: CODES[code].severity,
    where: about.where,
    measured: about.measured ?? null,
    limit: about.limit ?? null,
    unit: about.unit ?? '',
    say,
  };
}
