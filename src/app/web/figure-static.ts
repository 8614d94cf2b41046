// The script inside book.html: mounts the figure from the bytes in the file and lets it follow the chapter being read.
import { decodeFigure } from '../api/figure-codec.ts';
import { type Figure, mountFigure } from './figure.ts';
import { arrangementOf } from './figure-shown.ts';
import { plateCaption } from './figure-words.ts';
import { AS_READ_ALONG, chosenMap, MAP_LABELS, type MapChoice, mapChoices, type SurfaceMap } from './surface-maps.ts';
import { watchChapters, watchMaps } from './use-current-chapter.ts';

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
  const apart = document.getElementById('figure-apart');
  const mapList = listOfMaps(mapChoices('surface', figureData));
  const mapLabel = document.createElement('label');
  mapLabel.id = 'figure-map';
  mapLabel.append('Marked on it ', mapList);
  apart?.after(mapLabel);
  let chapter = 'front';
  let along: SurfaceMap = 'rings';
  const tell = (): void => {
    const choices = mapChoices(chapter, figureData);
    const map = chosenMap(choices.find((each) => each === mapList.value) ?? AS_READ_ALONG, along);
    figure.setChapter(chapter);
    figure.setMap(map);
    if (caption !== null) caption.textContent = `${plateCaption(chapter, figureData, map)} `;
    if (apart !== null) apart.hidden = !['apart', 'by-joins'].includes(arrangementOf(chapter, figureData));
    mapLabel.hidden = choices.length === 0;
  };
  mapList.addEventListener('change', tell);
  watchChapters((name) => {
    chapter = name;
    tell();
  });
  watchMaps((map) => {
    along = map;
    tell();
  });
  const slider = apart?.querySelector('input');
  slider?.addEventListener('input', () => figure.setApart(Number(slider.value) / 100));
}

function listOfMaps(choices: readonly MapChoice[]): HTMLSelectElement {
  const list = document.createElement('select');
  list.append(...choices.map((value) => new Option(MAP_LABELS[value], value)));
  return list;
}

function bytesOf(base64: string): ArrayBuffer {
  const text = atob(base64.trim());
  const bytes = new Uint8Array(text.length);
  for (let i = 0; i < text.length; i++) bytes[i] = text.charCodeAt(i);
  return bytes.buffer;
}

begin();
