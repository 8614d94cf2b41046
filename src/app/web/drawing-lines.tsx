// Puts a line drawing of the engine, an SVG text, into the page.

/** The engine escapes every name it writes into a drawing; nothing else is ever set this way. */
export function DrawingLines({ svg, className = '', id }: { svg: string; className?: string; id?: string }) {
  return (
    // biome-ignore lint/security/noDangerouslySetInnerHtml: the one place, see above
    <div id={id} className={`drawing-lines ${className}`.trim()} dangerouslySetInnerHTML={{ __html: svg }} />
  );
}
