// The plain peer of the packing: bounding rectangles in rows, the deepest first, each in the first row of the first bed that has room.

export interface ShelfItem {
  readonly wideMm: number;
  readonly deepMm: number;
}

/** How many beds first-fit shelf packing takes (decreasing depth, each lying on its longer side); items that fit no bed are an error. */
export function shelfBeds(
  items: readonly ShelfItem[],
  bed: { readonly widthMm: number; readonly depthMm: number },
  gapMm: number,
): number {
  const lying = items
    .map(({ wideMm, deepMm }) => {
      const [wide, deep] = [Math.max(wideMm, deepMm), Math.min(wideMm, deepMm)];
      return wide <= bed.widthMm && deep <= bed.depthMm ? [wide, deep] : [deep, wide];
    })
    .sort((one, other) => other[1]! - one[1]!);
  const beds: { usedMm: number; rows: { deepMm: number; usedMm: number }[] }[] = [];
  for (const [wide, deep] of lying as [number, number][]) {
    if (wide > bed.widthMm || deep > bed.depthMm) throw new Error('does not fit any bed');
    const place = (): boolean => {
      for (const { rows } of beds)
        for (const row of rows)
          if (deep <= row.deepMm && row.usedMm + gapMm + wide <= bed.widthMm) {
            row.usedMm += gapMm + wide;
            return true;
          }
      for (const each of beds)
        if (each.usedMm + gapMm + deep <= bed.depthMm) {
          each.usedMm += gapMm + deep;
          each.rows.push({ deepMm: deep, usedMm: wide });
          return true;
        }
      return false;
    };
    if (!place()) beds.push({ usedMm: deep, rows: [{ deepMm: deep, usedMm: wide }] });
  }
  return beds.length;
}
