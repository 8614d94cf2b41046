// Where the drops of a seam or a join are laid, in a few words.
interface Drops {
  readonly faceDrops: number;
  readonly insideDrops: number;
}

/** "from inside", "on the face", "5 on the face, 17 from inside", "not glued". */
export function laidWords({ faceDrops, insideDrops }: Drops): string {
  if (faceDrops + insideDrops === 0) return 'not glued';
  if (faceDrops === 0) return 'from inside';
  return insideDrops === 0 ? 'on the face' : dropsLaid({ faceDrops, insideDrops });
}

/** "28 from inside", "5 on the face, 17 from inside", "none". */
export function dropsLaid({ faceDrops, insideDrops }: Drops): string {
  const words = [
    ...(faceDrops > 0 ? [`${faceDrops} on the face`] : []),
    ...(insideDrops > 0 ? [`${insideDrops} from inside`] : []),
  ];
  return words.length === 0 ? 'none' : words.join(', ');
}
