// Days and hours in words, as the pages around the books set them.

/** "today", "yesterday", "27 November"; with the year when it is another one than `now`'s. */
export function dayWords(iso: string, now: Date): string {
  const date = new Date(iso);
  if (Number.isNaN(date.getTime())) return 'an unknown day';
  const days = Math.round((startOfDay(now) - startOfDay(date)) / DAY_MS);
  if (days === 0) return 'today';
  if (days === 1) return 'yesterday';
  return fullDayWords(iso, now);
}

/** "27 November", with the year when it is another one than `now`'s. */
export function fullDayWords(iso: string, now: Date): string {
  const date = new Date(iso);
  if (Number.isNaN(date.getTime())) return 'an unknown day';
  const sameYear = date.getFullYear() === now.getFullYear();
  return date.toLocaleDateString('en-GB', {
    day: 'numeric',
    month: 'long',
    ...(sameYear ? {} : { year: 'numeric' }),
  });
}

/** "14:20". */
export function hourWords(iso: string): string {
  const date = new Date(iso);
  if (Number.isNaN(date.getTime())) return '–';
  return date.toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' });
}

/** "today, 14:20". */
export function dayAndHourWords(iso: string, now: Date): string {
  return `${dayWords(iso, now)}, ${hourWords(iso)}`;
}

const DAY_MS = 86_400_000;

function startOfDay(date: Date): number {
  return new Date(date.getFullYear(), date.getMonth(), date.getDate()).getTime();
}
