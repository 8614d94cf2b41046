// Reads how long a print took as a maker writes it down: "7 h 12", "7:12", "7.2", "7 h", "432 min".
import { showDuration } from './format.ts';
import type { Reading } from './read-number.ts';

const HOURS_MINUTES = /^(\d{1,4})\s*(?:h|:)\s*(?:(\d{1,2})\s*(?:min|m)?)?$/i;
const MINUTES = /^(\d{1,5})\s*(?:min|m)$/i;
const HOURS = /^(\d{1,4}(?:[.,]\d+)?)\s*h?$/i;

/** Seconds, or a sentence saying why not. A bare number is hours. */
export function readHours(typed: string, [least, most]: readonly [number, number]): Reading {
  const words = typed.replace(/[\u202f\u00a0]/g, ' ').trim();
  const seconds = secondsIn(words);
  if (seconds === null) return { ok: false, say: 'Hours and minutes are wanted, such as 7 h 12 or 7.2.' };
  if (seconds < least || seconds > most)
    return { ok: false, say: `A print takes between ${showDuration(least)} and ${showDuration(most)}.` };
  return { ok: true, value: seconds };
}

function secondsIn(words: string): number | null {
  const both = HOURS_MINUTES.exec(words);
  if (both !== null) {
    const minutes = Number(both[2] ?? 0);
    return minutes < 60 ? Number(both[1]) * 3600 + minutes * 60 : null;
  }
  const minutes = MINUTES.exec(words);
  if (minutes !== null) return Number(minutes[1]) * 60;
  const hours = HOURS.exec(words);
  return hours === null ? null : Math.round(Number(hours[1]!.replace(',', '.')) * 3600);
}
