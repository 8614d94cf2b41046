// The order of joins once their ways are known: a group that another one of its cut would bar from its way goes on before it.
import type { PathMeeting } from '../process/assembly-record.ts';
import type { Join } from '../process/joints-record.ts';
import type { Seam } from '../process/pieces-record.ts';

type CutSeam = Pick<Seam, 'id' | 'pieces' | 'cut'>;
/** What a join meets on its way. */
export type Replay = (join: Join) => readonly PathMeeting[];

export interface ReplayedJoin {
  readonly join: Join;
  readonly meets: readonly PathMeeting[];
}

/** The joins with what each meets. Where all that a join meets was put on by an earlier one at the same cut, they change
 *  places if both then close; a seam between the two closes with the later one. What is left blocked is so whichever comes first. Cost: one replay a join, and one for each that a change concerns. */
export function freeOrder(order: readonly Join[], seams: readonly CutSeam[], replay: Replay): readonly ReplayedJoin[] {
  let joins = order.map((join): ReplayedJoin => ({ join, meets: replay(join) }));
  // every change puts a group before one that barred it, so there are no more of them than pairs
  for (let left = order.length ** 2; left > 0; left--) {
    const changed = withOneChange(joins, seams, replay);
    if (changed === null) break;
    joins = changed;
  }
  return joins;
}

function withOneChange(
  joins: readonly ReplayedJoin[],
  seams: readonly CutSeam[],
  replay: Replay,
): ReplayedJoin[] | null {
  for (const [late, { join, meets }] of joins.entries()) {
    const early = barring(joins.slice(0, late), meets);
    if (early < 0 || !isOfOneCut(joins[early]!.join, join, seams)) continue;
    const order = joins.map((one) => one.join);
    order.splice(early, 0, ...order.splice(late, 1));
    const next = regrouped(order, seams);
    if (next === null) continue;
    const tried = next.map((one, i) => (i < early || i > late ? joins[i]! : { join: one, meets: replay(one) }));
    if (tried.slice(early, late + 1).every((one) => one.meets.length === 0)) return tried;
  }
  return null;
}

/** The join that put on all that is met; -1 where there is none. */
function barring(before: readonly ReplayedJoin[], meets: readonly PathMeeting[]): number {
  if (meets.length === 0) return -1;
  return before.findIndex(({ join }) => meets.every(({ fixed }) => join.moving.includes(fixed)));
}

function isOfOneCut(one: Join, other: Join, seams: readonly CutSeam[]): boolean {
  const cutOf = ({ seams: [first] }: Join): number | undefined => seams.find(({ id }) => id === first)?.cut;
  return cutOf(one) === cutOf(other);
}

/** The same groups moving the same ways in another order: onto whatever they are linked to by then, closing every seam to it. Null where a group
 *  is not whole by then, or would go onto nothing. */
function regrouped(order: readonly Join[], seams: readonly CutSeam[]): Join[] | null {
  const groupOf = new Map<string, readonly string[]>();
  const groupWith = (id: string): readonly string[] => groupOf.get(id) ?? [id];
  const out: Join[] = [];
  for (const { moving, onto, towards } of order) {
    if (groupWith(moving[0]!).length !== moving.length) return null;
    const linked = seams.flatMap(({ pieces: [low, high] }) => {
      if (moving.includes(low) === moving.includes(high)) return [];
      return moving.includes(low) ? [high] : [low];
    });
    const base = groupWith(onto.find((id) => linked.includes(id)) ?? '');
    const closes = seams.filter(({ pieces: [low, high] }) =>
      moving.includes(low) ? base.includes(high) : moving.includes(high) && base.includes(low),
    );
    if (closes.length === 0) return null;
    out.push({ moving, onto: base, towards, seams: closes.map(({ id }) => id) });
    const grown = [...base, ...moving];
    for (const id of grown) groupOf.set(id, grown);
  }
  return out;
}
