// Collects the places where the two pieces of a key meet.
import type { Contacts } from '../../../geometry/contact-play.ts';
import { minus, unit } from '../../../geometry/three-by-three.ts';
import type { Vec3 } from '../../../mesh/mesh.ts';

export class ContactList {
  private readonly points: number[] = [];
  private readonly normals: number[] = [];
  private readonly gaps: number[] = [];

  /** The moving body meets something there when it moves along `normal` by more than the gap. */
  add(place: Vec3, normal: Vec3, gapMm: number): void {
    this.points.push(...place);
    this.normals.push(...normal);
    this.gaps.push(gapMm);
  }

  /** A place on the moving body and the nearest of the fixed one. */
  addBetween(place: Vec3, nearest: Vec3): void {
    const way = minus(nearest, place);
    this.add(place, unit(way), Math.hypot(way[0], way[1], way[2]));
  }

  contacts(): Contacts {
    return {
      points: Float64Array.from(this.points),
      normals: Float64Array.from(this.normals),
      gapMm: Float64Array.from(this.gaps),
    };
  }
}
