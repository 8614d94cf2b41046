// The script inside book.html: mounts the figure from the bytes in the file and lets it follow the chapter being read.
import { decodeFigure } from '../api/figure-codec.ts';
import { type Figure, mountFigure } from './figure.ts';
import { plateCaption } from './figure-words.ts';
import { watchChapters } from './use-current-chapter.ts';

const WIDE = '(min-width: 56.25rem)';

function begin(): void {
  const data = document.getElementById('figure-data');
  const room = document.getElementById('figure-room');
  if (data === null || room === null || !matchMedia(WIDE).matches) return;
  const figureData = decodeFigure(bytesOf(data.textContent ?? ''));
  const drawing = [...room.childNodes];
  const dark = matchMedia('(prefers-color-scheme: dark)');
  const theme = (): 'light' | 'dark' => (dark.matches ? 'dark' : 'light');
  let figure: Figure;
  try {
    room.replaceChildren();
    figure = mountFigure(room, figureData, { theme: theme() });
  } catch {
    room.replaceChildren(...drawing);
    return;
  }
  room.classList.remove('drawing-lines');
  dark.addEventListener('change', () => figure.setTheme(theme()));
  const caption = document.getElementById('figure-caption');
  watchChapters((name) => {
    figure.setChapter(name);
    if (caption !== null) caption.textContent = `${plateCaption(name, figureData)} `;
  });
  const apart = document.getElementById('figure-apart');
  const slider = apart?.querySelector('input');
  if (apart === null || slider === null || slider === undefined || figureData.parts.length < 2) return;
  apart.hidden = false;
  slider.addEventListener('input', () => figure.setApart(Number(slider.value) / 100));
}

function bytesOf(base64: string): ArrayBuffer {
  const text = atob(base64.trim());
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
  return bytes.buffer;
}

begin();
