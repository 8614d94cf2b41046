// Letters of the pieces and numbers of marks in two columns beside the figure, each with a line to its place.

export interface LabelPlace {
  readonly id: string;
  readonly name: string;
  /** Where the line ends, px from the top left. */
  readonly x: number;
  readonly y: number;
  readonly setBack: boolean;
  /** so: a piece, or what was done to the model; yours: a place the maker has pointed at. */
  readonly tone: 'so' | 'yours';
  /** The place lies behind something. */
  readonly hidden: boolean;
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

const SVG = 'http://www.w3.org/2000/svg';
const GAP_PX = 16;
const ROW_PX = 58;

/** Lies over the canvas and takes no pointer. Hidden from screen readers: the caption says it all. */
export function labelLayer(element: HTMLElement): LabelLayer {
  const layer = document.createElement('div');
  layer.className = 'figure-labels';
  layer.setAttribute('aria-hidden', 'true');
  const lines = document.createElementNS(SVG, 'svg');
  layer.append(lines);
  element.append(layer);
  const known = new Map<string, { text: HTMLElement; clearing: SVGElement; line: SVGElement; dot: SVGElement }>();

  const make = (label: LabelPlace) => {
    const text = document.createElement('span');
    const letter = document.createElement('b');
    letter.textContent = label.id;
    const name = document.createElement('i');
    name.textContent = label.name;
    text.append(letter, name);
    const clearing = document.createElementNS(SVG, 'polyline');
    clearing.setAttribute('class', 'clearing');
    const line = document.createElementNS(SVG, 'polyline');
    const dot = document.createElementNS(SVG, 'circle');
    dot.setAttribute('r', '2.2');
    layer.append(text);
    lines.append(clearing, line, dot);
    const made = { text, clearing, line, dot };
    known.set(keyOf(label), made);
    return made;
  };

  return {
    place(labels, room) {
      layer.classList.toggle('figure-labels-short', room.width < 420);
      const seen = new Set(labels.map(keyOf));
      for (const [id, made] of known)
        for (const each of Object.values(made)) each.toggleAttribute('hidden', !seen.has(id));
      for (const side of columns(labels, room)) {
        for (const { label, y } of side.rows) {
          const { text, clearing, line, dot } = known.get(keyOf(label)) ?? make(label);
          const { edge } = side;
          text.className = `label label-${side.side}${label.setBack ? ' label-set-back' : ''}`;
          for (const each of [text, line, dot]) each.setAttribute('data-tone', label.tone);
          for (const each of [line, dot]) each.toggleAttribute('data-behind', label.hidden);
          text.style.transform = `translate(${edge}px, ${y}px) translate(${side.side === 'left' ? '-100%' : '0'}, -0.8em)`;
          const inward = side.side === 'left' ? 1 : -1;
          const points = `${edge + 5 * inward},${y} ${edge + 12 * inward},${y} ${label.x},${label.y}`;
          for (const each of [clearing, line]) each.setAttribute('points', points);
          dot.setAttribute('cx', String(label.x));
          dot.setAttribute('cy', String(label.y));
        }
      }
    },
    dispose: () => layer.remove(),
  };
}

function keyOf({ id, tone }: LabelPlace): string {
  return `${tone} ${id}`;
}

interface Column {
  readonly side: 'left' | 'right';
  readonly edge: number;
  readonly rows: readonly { readonly label: LabelPlace; readonly y: number }[];
}

/** Half of the labels on each side, from top to bottom in the order of their points, so that no two lines cross by much. */
function columns(labels: readonly LabelPlace[], room: LabelRoom): readonly Column[] {
  const byX = [...labels].sort((a, b) => a.x - b.x);
  const middle = (room.left + room.right) / 2;
  let numLeft = byX.filter((label) => label.x < middle).length;
  const half = byX.length / 2;
  numLeft = Math.min(Math.ceil(half + 1), Math.max(Math.floor(half - 1), numLeft));
  return [
    { side: 'left', edge: Math.round(room.left - GAP_PX), rows: spread(byX.slice(0, numLeft), room.height) },
    { side: 'right', edge: Math.round(room.right + GAP_PX), rows: spread(byX.slice(numLeft), room.height) },
  ];
}

function spread(labels: readonly LabelPlace[], height: number): { label: LabelPlace; y: number }[] {
  const rows = [...labels].sort((a, b) => a.y - b.y).map((label) => ({ label, y: label.y }));
  for (let i = 1; i < rows.length; i++) rows[i]!.y = Math.max(rows[i]!.y, rows[i - 1]!.y + ROW_PX);
  const over = (rows.at(-1)?.y ?? 0) - (height - 24);
  if (over > 0) for (const row of rows) row.y -= over;
  for (let i = rows.length - 2; i >= 0; i--) rows[i]!.y = Math.min(rows[i]!.y, rows[i + 1]!.y - ROW_PX);
  return rows.map(({ label, y }) => ({ label, y: Math.round(Math.max(14, y)) }));
}
