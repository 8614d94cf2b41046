// What every reader of indexed faces collects into: vertices, polygons by corner, and at the end one mesh of triangles.
import { done, type Finding, finding, type Outcome, refuse, type Where } from '../base/findings.ts';
import { invariant } from '../base/invariant.ts';
import type { Work } from '../base/work.ts';
import { type Mesh, meshOf } from '../mesh/mesh.ts';
import { GrowingFloats, GrowingIndices } from './growing.ts';
import { leaveOutNotFinite } from './leave-out.ts';
import { CUT_TESTS, type CutBudget, cutPolygon } from './polygon/cut-polygon.ts';

/** What a reader of any format gives: file units, vertices as they stand in the file, not welded. */
export interface ReadMesh {
  readonly mesh: Mesh;
  /** Objects, items or solids the file tells apart; at least 1. */
  readonly parts: number;
}

export interface CollectorOptions {
  /** Name of the format, for messages. */
  readonly path: string;
  /** Says in words where a byte is: "line 12" or "byte 300". */
  readonly placeOf: (at: number) => string;
  /** What becomes of faces that name a vertex the file does not hold. */
  readonly badFaces: 'left out' | 'refused';
}

/** No vertex has this handle: a face with it counts as broken. */
export const NO_VERTEX = 0xffffffff;

/** Lives as long as one file is read. Vertices may come after the faces that name them. */
export class FaceCollector {
  numVerts = 0;
  numFaces = 0;
  /** Faces of one or two corners, which are no faces. */
  numThin = 0;
  private readonly options: CollectorOptions;
  private readonly positions = new GrowingFloats();
  private readonly corners = new GrowingIndices();
  private readonly ends = new GrowingIndices();
  private faceFrom = 0;
  private isAllTriangles = true;
  private notFiniteAt = -1;
  private isDoubtful = false;
  /** Faces that named a vertex not yet read: number and place of the first thousand. */
  private readonly doubtful: { readonly face: number; readonly at: number }[] = [];

  constructor(options: CollectorOptions) {
    this.options = options;
  }

  /** `at` is the byte where the vertex stands. */
  addVertex(x: number, y: number, z: number, at: number): void {
    if (this.notFiniteAt < 0 && (x - x !== 0 || y - y !== 0 || z - z !== 0)) this.notFiniteAt = at;
    this.positions.push3(x, y, z);
    this.numVerts++;
  }

  addCorner(vert: number): void {
    if (vert >= this.numVerts) this.isDoubtful = true;
    this.corners.push(vert);
  }

  /** Closes the face whose corners were added since the last one. */
  endFace(at: number): void {
    const size = this.corners.used - this.faceFrom;
    if (size < 3) {
      if (size > 0) this.numThin++;
      this.corners.cutTo(this.faceFrom);
    } else {
      if (size > 3) this.isAllTriangles = false;
      if (this.isDoubtful && this.doubtful.length < 1000) this.doubtful.push({ face: this.numFaces, at });
      this.ends.push(this.corners.used);
      this.faceFrom = this.corners.used;
      this.numFaces++;
    }
    this.isDoubtful = false;
  }

  /** All faces as triangles, in order.  Findings: FACES_LEFT_OUT, FACES_TANGLED, CORNERS_NOT_FINITE, ELEMENTS_IGNORED.
   *  Refuses: FILE_MALFORMED (a vertex that is not there), FILE_TOO_LARGE (polygons beyond the budget), COORDINATE_NOT_FINITE. */
  finish(about: { parts: number; numIgnored: number }, work: Work): Outcome<ReadMesh> {
    const findings: Finding[] = [];
    const positions = this.positions.taken();
    let corners = this.corners.taken();
    const broken = this.brokenFaces(corners);
    if (broken !== null) {
      const say = this.brokenText(broken, corners);
      if (this.options.badFaces === 'refused' || broken.count * 2 > this.numFaces)
        return refuse('FILE_MALFORMED', `${say}.`, { where: this.where });
      corners = this.withoutBroken(corners);
      findings.push(this.note('FACES_LEFT_OUT', `${say}; ${broken.count} faces were left out.`, broken.count));
    }
    const triangles = this.isAllTriangles ? corners : this.cut({ positions, corners, findings }, work);
    if (triangles === null)
      return refuse('FILE_TOO_LARGE', 'Faces of very many corners would take too long to cut into triangles.', {
        where: this.where,
        tryThis: 'Export the model with triangles only.',
      });
    const numIgnored = about.numIgnored + this.numThin;
    if (numIgnored > 0)
      findings.push(
        this.note(
          'ELEMENTS_IGNORED',
          `${numIgnored} points, lines, curves or unknown lines were passed over.`,
          numIgnored,
        ),
      );
    const first = this.notFiniteAt < 0 ? '' : this.options.placeOf(this.notFiniteAt);
    const kept = leaveOutNotFinite(meshOf(positions, triangles), { path: this.options.path, first });
    if (!kept.ok) return kept;
    return done({ mesh: kept.value, parts: Math.max(1, about.parts) }, [...findings, ...kept.findings]);
  }

  private get where(): Where {
    return { path: this.options.path };
  }

  private note(code: Finding['code'], say: string, measured: number): Finding {
    return finding(code, say, { where: this.where, measured, limit: 0 });
  }

  private brokenFaces(corners: Uint32Array): { count: number; first: number } | null {
    let count = 0;
    let first = -1;
    // without a doubtful face all corners were there when they were named
    for (let f = 0, from = 0; f < this.numFaces && this.doubtful.length > 0; f++) {
      const to = this.ends.at(f);
      if (this.isBroken(corners, from, to)) {
        if (count++ === 0) first = f;
      }
      from = to;
    }
    return count === 0 ? null : { count, first };
  }

  private isBroken(corners: Uint32Array, from: number, to: number): boolean {
    for (let i = from; i < to; i++) if (corners[i]! >= this.numVerts) return true;
    return false;
  }

  private brokenText(broken: { count: number; first: number }, corners: Uint32Array): string {
    const { first } = broken;
    const at = this.doubtful.find((d) => d.face === first)?.at;
    const from = first === 0 ? 0 : this.ends.at(first - 1);
    const bad = corners.subarray(from, this.ends.at(first)).find((v) => v >= this.numVerts)!;
    const which = bad === NO_VERTEX ? 'a vertex that cannot be' : `vertex ${bad + 1}`;
    const place = at === undefined ? '' : ` in ${this.options.placeOf(at)}`;
    return `Face ${first + 1}${place} names ${which}, but the file holds ${this.numVerts} vertices`;
  }

  /** Takes the broken faces out of the corners and rewrites the ends. */
  private withoutBroken(corners: Uint32Array): Uint32Array {
    const ends = this.ends.taken();
    this.ends.clear();
    let used = 0;
    for (let f = 0, from = 0; f < ends.length; f++) {
      const to = ends[f]!;
      if (!this.isBroken(corners, from, to)) {
        corners.copyWithin(used, from, to);
        used += to - from;
        this.ends.push(used);
      }
      from = to;
    }
    this.numFaces = this.ends.used;
    return corners.slice(0, used);
  }

  private cut(
    soup: { positions: Float64Array; corners: Uint32Array; findings: Finding[] },
    work: Work,
  ): Uint32Array | null {
    const { positions, corners, findings } = soup;
    let face = 0;
    const tick = () => work.tick(face / this.numFaces, 'cutting faces into triangles');
    const budget: CutBudget = { testsLeft: CUT_TESTS, numTangled: 0, tick };
    const triangles = new GrowingIndices();
    for (let from = 0; face < this.numFaces; face++) {
      const to = this.ends.at(face);
      if (!cutPolygon({ positions, corners, from, to }, triangles, budget)) return null;
      from = to;
      if ((face & 0xffff) === 0xffff) tick();
    }
    invariant(triangles.used === (corners.length - 2 * this.numFaces) * 3, 'a face of n corners gives n - 2 triangles');
    if (budget.numTangled > 0)
      findings.push(
        this.note(
          'FACES_TANGLED',
          `${budget.numTangled} faces have an outline that crosses itself.`,
          budget.numTangled,
        ),
      );
    return triangles.taken();
  }
}
