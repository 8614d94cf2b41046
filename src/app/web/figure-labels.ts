// Letters of the pieces, and numbers and letters of marks, in two columns beside the figure, each with a line to its place.
import { type ColumnLabel, columnsOf } from './figure-columns.ts';

export interface LabelPlace {
  readonly id: string;
  readonly name: string;
  /** Where the line ends, px from the top left. */
  readonly x: number;
  readonly y: number;
  readonly setBack: boolean;
  /** piece: its letter. so: what was done to the model. care: a finding. yours: a place the maker has pointed at, or an area kept
   *  clear. seam: a seam. */
  readonly tone: 'piece' | 'so' | 'care' | 'yours' | 'seam';
  /** The place lies behind something. */
  readonly isBehind: boolean;
  /** Lifted out from the others: its note is being read. */
  readonly isRaised: boolean;
}

export interface LabelRoom {
  readonly width: number;
  readonly height: number;
  /** Sides of what is drawn, px. */
  readonly left: number;
  readonly right: number;
}

export interface LabelLayer {
  place(labels: readonly LabelPlace[], room: LabelRoom): void;
  dispose(): void;
}

interface Made {
  readonly text: HTMLElement;
  readonly clearing: SVGElement;
  readonly line: SVGElement;
  readonly dot: SVGElement;
  /** With and without its name, px. */
  readonly heights: { long: number; short: number };
}

const SVG = 'http://www.w3.org/2000/svg';
/** Under this width of the room there are letters without names. */
const SHORT_PX = 420;

/** Lies over the canvas and takes no pointer. Hidden from screen readers: the caption says it all. */
export function labelLayer(element: HTMLElement): LabelLayer {
  const layer = document.createElement('div');
  layer.className = 'figure-labels';
  layer.setAttribute('aria-hidden', 'true');
  const lines = document.createElementNS(SVG, 'svg');
  layer.append(lines);
  element.append(layer);
  const known = new Map<string, Made>();

  const make = (label: LabelPlace): Made => {
    const text = document.createElement('span');
    text.className = 'label';
    const letter = document.createElement('b');
    letter.textContent = label.id;
    const name = document.createElement('i');
    name.textContent = label.name;
    text.append(letter, name);
    const clearing = document.createElementNS(SVG, 'polyline');
    clearing.setAttribute('class', 'clearing');
    const line = document.createElementNS(SVG, 'polyline');
    const dot = document.createElementNS(SVG, 'circle');
    layer.append(text);
    lines.append(clearing, line, dot);
    const heights = { long: text.offsetHeight, short: letter.offsetHeight };
    const made = { text, clearing, line, dot, heights };
    known.set(keyOf(label), made);
    return made;
  };

  return {
    place(labels, room) {
      const all = labels.map((label) => ({ label, made: known.get(keyOf(label)) ?? make(label) }));
      const sized = (how: 'long' | 'short'): readonly ColumnLabel<(typeof all)[number]>[] =>
        all.map((each) => ({ x: each.label.x, y: each.label.y, height: each.made.heights[how], of: each }));
      const long = room.width < SHORT_PX ? null : columnsOf(sized('long'), room);
      const columns = long?.fits === true ? long : columnsOf(sized('short'), room);
      layer.classList.toggle('figure-labels-short', columns !== long);
      const seen = new Set(labels.map(keyOf));
      for (const [id, { text, clearing, line, dot }] of known)
        for (const each of [text, clearing, line, dot]) each.toggleAttribute('hidden', !seen.has(id));
      for (const { side, edge, rows } of columns.columns)
        for (const { of, y } of rows) set(of.made, of.label, { side, edge, y });
    },
    dispose: () => layer.remove(),
  };
}

function set(
  { text, clearing, line, dot }: Made,
  label: LabelPlace,
  at: { readonly side: 'left' | 'right'; readonly edge: number; readonly y: number },
): void {
  const { side, edge, y } = at;
  text.className = `label label-${side}${label.setBack ? ' label-set-back' : ''}`;
  for (const each of [text, line, dot]) {
    each.setAttribute('data-tone', label.tone);
    each.toggleAttribute('data-raised', label.isRaised);
    each.toggleAttribute('data-behind', label.isBehind);
  }
  text.style.transform = `translate(${edge}px, ${y}px) translate(${side === 'left' ? '-100%' : '0'}, -0.65rem)`;
  const inward = side === 'left' ? 1 : -1;
  const points = `${edge + 5 * inward},${y} ${edge + 12 * inward},${y} ${label.x},${label.y}`;
  for (const each of [clearing, line]) each.setAttribute('points', points);
  dot.setAttribute('r', label.isRaised ? '4.5' : label.tone === 'piece' ? '2.2' : '2.8');
  dot.setAttribute('cx', String(label.x));
  dot.setAttribute('cy', String(label.y));
}

/** With its name: along the ways of the joins a piece has another one. */
function keyOf({ id, name, tone }: LabelPlace): string {
  return `${tone} ${id} ${name}`;
}
