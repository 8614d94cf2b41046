// Sets the blocks of a chapter one under the other; drawings of single pieces that follow each other share a sheet, and the model
// as it came stands beside what was made of it.
import type { Finding } from '../../base/findings.ts';
import { penSample } from '../../documents/drawing/seam-pens.ts';
import type { Block, Drawings, LinePen } from '../../workshop/book/book-text.ts';
import { blockKeys, isPieceDrawing } from './block-keys.ts';
import { DrawingLines } from './drawing-lines.tsx';
import { useReader } from './reader.ts';
import { Spans } from './span-view.tsx';
import { StripView } from './strip-view.tsx';
import { isSurfaceMap } from './surface-maps.ts';
import { TableView } from './table-view.tsx';

type DrawingBlock = Extract<Block, { b: 'drawing' }>;

export function Blocks({ blocks, drawings }: { blocks: readonly Block[]; drawings: Drawings }) {
  const keyOf = blockKeys();
  return sheets(blocks.filter((block) => block.b !== 'drawing' || drawings[block.name] !== undefined)).map((group) => {
    const key = keyOf(group[0]!);
    if (group.length === 1) return <BlockView key={key} block={group[0]!} drawings={drawings} />;
    return (
      <div key={key} className={isPieceDrawing(group[0]!) ? 'sheet' : 'pair'}>
        {group.map((block) => (
          <BlockView key={(block as DrawingBlock).name} block={block} drawings={drawings} />
        ))}
      </div>
    );
  });
}

function BlockView({ block, drawings }: { block: Block; drawings: Drawings }) {
  const { editing } = useReader();
  switch (block.b) {
    case 'say':
      // A sentence that only asks to be pointed at something says nothing where nothing can be.
      if (editing === null && block.offers === true && block.spans.some(({ s }) => s === 'places')) return null;
      return (
        <p className={block.offers === true ? 'say say-offers' : 'say'}>
          <Spans spans={block.spans} />
        </p>
      );
    case 'table':
      return <TableView table={block} />;
    case 'finding':
      return <FindingView finding={block.finding} />;
    case 'caution':
      return (
        <div className="caution">
          <h3>{block.title}</h3>
          <p>{block.text}</p>
        </div>
      );
    case 'refusal':
      return <RefusalView refusal={block} />;
    case 'drawing':
      return <DrawingView block={block} svg={drawings[block.name]} />;
    case 'strip':
      return <StripView strip={block} />;
  }
}

const SEVERITY: Readonly<Record<Finding['severity'], string>> = { note: 'Note', caution: 'Look here', fault: 'Fault' };

/** A finding with a place carries the letter of its mark in the figure; reading it lifts the mark out. */
function FindingView({ finding }: { finding: Finding }) {
  const { places } = useReader();
  const letter = places?.letterOf(finding);
  if (places === null || letter === undefined)
    return (
      <div className={`finding finding-${finding.severity}`}>
        <h3>{SEVERITY[finding.severity]}</h3>
        <p>{finding.say}</p>
      </div>
    );
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: reading the note lifts its mark out; nothing is done that the button does not
    <div
      className={`finding finding-${finding.severity}${places.raised === letter ? ' finding-raised' : ''}`}
      onPointerEnter={() => places.raise(letter)}
      onPointerLeave={() => places.raise(null)}
      onFocus={() => places.raise(letter)}
      onBlur={() => places.raise(null)}
    >
      <h3>
        {SEVERITY[finding.severity]} <span className="mark-letter">{letter}</span>
      </h3>
      <p>
        {finding.say}{' '}
        <button type="button" className="word yours" onClick={() => places.show(letter)}>
          Show it<span className="unseen"> in the figure, place {letter}</span>
        </button>
      </p>
    </div>
  );
}

/** What was refused at a place carries the letter of its mark in the figure. */
function RefusalView({ refusal }: { refusal: Extract<Block, { b: 'refusal' }> }) {
  const { places } = useReader();
  const letter = places?.letterOf(refusal);
  return (
    <div className="refusal">
      <h3>This could not be done {letter !== undefined && <span className="mark-letter">{letter}</span>}</h3>
      <p>{refusal.why}</p>
      <p className="refusal-try">{refusal.tryThis}</p>
      {letter !== undefined && (
        <p>
          <button type="button" className="word yours" onClick={() => places?.show(letter)}>
            Show it<span className="unseen"> in the figure, place {letter}</span>
          </button>
        </p>
      )}
      <p className="code">{refusal.code}</p>
    </div>
  );
}

/** A drawing not yet made leaves no hole. */
function DrawingView({ block, svg = '' }: { block: DrawingBlock; svg: string | undefined }) {
  return (
    <figure className={`drawing drawing-${lookOf(block)}`} data-map={isSurfaceMap(block.name) ? block.name : undefined}>
      <DrawingLines svg={svg} />
      <figcaption>
        {block.caption}
        {block.pens !== undefined && (
          <span className="drawing-pens">
            {block.pens.map(({ pen, says }) => (
              <span key={pen}>
                <PenSample pen={pen} />
                {says}
              </span>
            ))}
          </span>
        )}
      </figcaption>
      {block.names !== undefined && block.names.length > 0 && (
        <ul className="drawing-names">
          {block.names.map((spans, index) => (
            // biome-ignore lint/suspicious/noArrayIndexKey: names have no identity but their order
            <li key={index}>
              <Spans spans={spans} />
            </li>
          ))}
        </ul>
      )}
    </figure>
  );
}

/** A short line of the pen; the words beside it say what it means. */
function PenSample({ pen }: { pen: LinePen }) {
  return <DrawingLines className="pen-sample" svg={penSample(pen, 'var(--seam, #a8421f)')} />;
}

function sheets(blocks: readonly Block[]): Block[][] {
  const groups: Block[][] = [];
  for (const block of blocks) {
    const last = groups.at(-1);
    if (last !== undefined && belongTogether(last[0]!, block)) last.push(block);
    else groups.push([block]);
  }
  return groups;
}

function belongTogether(first: Block, next: Block): boolean {
  if (isPieceDrawing(first)) return isPieceDrawing(next);
  return first.b === 'drawing' && first.name === 'as-read' && next.b === 'drawing' && next.name === 'whole';
}

/** What stands on the plate as well is left out beside it; pieces, sections, divisions and rings are not. */
function lookOf(block: DrawingBlock): 'piece' | 'bed' | 'section' | 'division' | 'whole' {
  if (isPieceDrawing(block)) return block.name.startsWith('bed-') ? 'bed' : 'piece';
  if (block.name.startsWith('division-') || /^(rings|filling|reach)$/.test(block.name)) return 'division';
  return block.name.startsWith('joint-') || block.name === 'bed-hours' ? 'section' : 'whole';
}
