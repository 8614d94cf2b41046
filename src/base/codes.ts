// The one registry of findings and refusals. docs/codes.md is written from it and a test counts that both agree.

export type Severity = 'note' | 'caution' | 'fault';

interface FindingEntry {
  readonly kind: 'finding';
  readonly severity: Severity;
  /** What it means, for docs/codes.md. */
  readonly meaning: string;
}
interface RefusalEntry {
  readonly kind: 'refusal';
  readonly meaning: string;
  /** What the maker can try; used when the place that refuses knows nothing better. */
  readonly tryThis: string;
}

const finding = (severity: Severity, meaning: string): FindingEntry => ({ kind: 'finding', severity, meaning });
const refusal = (meaning: string, tryThis: string): RefusalEntry => ({ kind: 'refusal', meaning, tryThis });

export const CODES = {
  // reading
  FILE_UNREADABLE: refusal('The file cannot be opened or is empty.', 'Check the path and that the file is not empty.'),
  FILE_KIND_UNKNOWN: refusal(
    'The bytes are no model file of a known format.',
    'Export the model as STL, OBJ, PLY, OFF, glTF or 3MF.',
  ),
  FILE_TRUNCATED: refusal('The file ends before what it announces.', 'Export or download the file again.'),
  FILE_MALFORMED: refusal(
    'The file breaks the rules of its format.',
    'Export the model again, as binary STL if in doubt.',
  ),
  FILE_TOO_LARGE: refusal(
    'The file, or what it unpacks to, is larger than the limit.',
    'Reduce the number of triangles before exporting.',
  ),
  COORDINATE_NOT_FINITE: refusal(
    'A coordinate is not a finite number.',
    'Export the model again; look for broken transforms.',
  ),
  THREEMF_NEEDS_EXTENSION: refusal(
    'The 3MF file says that it cannot be read without an extension that is not known here.',
    'Export the model as plain 3MF or as binary STL.',
  ),
  GLTF_NEEDS_EXTENSION: refusal(
    'The glTF scene says that it cannot be read without an extension that is not known here.',
    'Export the model as glTF without compression, or as binary STL.',
  ),
  RESOURCE_MISSING: refusal(
    'The model keeps its data in a second file, which was not found beside it.',
    'Put both files into one folder, or export the model as one file (.glb).',
  ),
  RESOURCE_REFUSED: refusal(
    'The model names another file by a path or an address instead of a plain name.',
    'Export the model as one file (.glb).',
  ),
  STL_COUNT_WRONG: finding('caution', 'The file announces more triangles than it holds; it may have been cut off.'),
  TRAILING_BYTES: finding('note', 'Bytes that belong to nothing follow the data and were ignored.'),
  STL_END_MISSING: finding('note', 'A text STL does not say where its solid ends.'),
  STL_SEVERAL_SOLIDS: finding('note', 'The file holds several solids; they were read as one.'),
  TRIANGLES_COLLAPSED: finding('note', 'Triangles with two corners in one place were left out.'),
  CORNERS_NOT_FINITE: finding('caution', 'Triangles with a corner that is not a finite number were left out.'),
  FACES_LEFT_OUT: finding('caution', 'Faces that name vertices the file does not hold were left out.'),
  FACES_TANGLED: finding(
    'caution',
    'Faces whose outline crosses or touches itself were cut into triangles as well as can be.',
  ),
  ELEMENTS_IGNORED: finding('note', 'Points, lines, curves or unknown parts of the file were passed over.'),
  MOTION_IGNORED: finding(
    'caution',
    'Bones and morphs were ignored; the model is read in the shape it has without them.',
  ),
  UNIT_GUESSED: finding(
    'caution',
    'The file names no unit; another one than millimetres was taken because it makes the model the size of a helmet.',
  ),
  UNIT_DOUBTFUL: finding('caution', 'In its unit the model is implausibly small or large.'),
  // mesh
  MESH_EMPTY: refusal(
    'The model has no triangle with an area.',
    'Export the model again; check that a surface was selected.',
  ),
  MESH_OPEN: refusal(
    'A surface that should be closed is not.',
    'Rebuild the surface: a choice of the Model chapter, or --rebuild.',
  ),
  MESH_SHEET: refusal(
    'The surface is a sheet with large openings: it has no thickness that could be printed.',
    'Give the sheet a wall, or close its openings with lids: a choice of the Model chapter, or --openings wall or close.',
  ),
  MESH_UNSOUND: refusal(
    'The surface could not be mended to one that bounds a solid.',
    'Rebuild the surface: a choice of the Model chapter, or --rebuild.',
  ),
  REBUILD_TOO_FINE: refusal(
    'The cells asked for would need more memory than is allowed.',
    'Take fewer cells along the longest side.',
  ),
  MODEL_SOLID: finding('caution', 'The model is a solid rather than a shell with a wall.'),
  MENDED_INSIDE_OUT: finding('note', 'All triangles faced inward and were turned round.'),
  MENDED_FLAT: finding('note', 'Triangles without an area were taken out.'),
  JOINTS_MARK: finding('note', 'The letter and arrow inside a piece are shallower than they should be, or not there.'),
  MENDED_DOUBLE: finding('note', 'Triangles that lay on others were left out.'),
  MENDED_SLITS: finding('note', 'Open slits were closed.'),
  MENDED_STEPS_IN_EDGES: finding('note', 'Edges that met two shorter ones were divided to match.'),
  MENDED_FACING: finding('note', 'Triangles that faced against their neighbours were turned round.'),
  MENDED_CROWDED: finding('note', 'Surfaces that shared an edge with more than two faces were parted.'),
  MENDED_PINCHED: finding('note', 'Surfaces that only touched in a point were parted.'),
  MENDED_HOLES: finding('note', 'Holes were filled with smooth patches.'),
  MENDED_CRUMBS: finding('note', 'Loose crumbs of surface were left out.'),
  MENDED_OVERLAPS: finding('note', 'Overlapping solids were united.'),
  MENDED_CROSSINGS: finding('note', 'Places where the surface passed through itself were opened and closed again.'),
  MENDED_SHEET: finding('caution', 'A sheet without thickness was given a wall.'),
  MENDED_REBUILT: finding('caution', 'The surface was rebuilt, and lies a measured distance from the one read.'),
  REBUILD_LOST: finding('caution', 'Parts of the surface bound nothing and are gone from the rebuilt one.'),
  MESH_CROSSES: finding('caution', 'The surface still passes through itself in places.'),
  MODEL_BODIES: finding('caution', 'The model is several solids that do not hang together.'),
  // solids
  SOLID_FAILED: refusal(
    'The solid kernel could not carry out an operation.',
    'Check the model for crossing or touching surfaces, or move the cut a little.',
  ),
  SOLID_TOO_LARGE: refusal(
    'An operation on solids would need more memory than the kernel can address.',
    'Reduce the number of triangles before exporting.',
  ),
  // pieces
  PIECES_BED_TOO_SMALL: refusal(
    'No bed leaves room for a piece once its margin is taken off.',
    'Name a larger machine or a smaller margin.',
  ),
  PIECES_TOO_MANY: refusal(
    'The shell cannot be divided into the allowed number of pieces for these beds.',
    'Name a larger machine, a smaller margin, or allow more pieces.',
  ),
  PIECES_SLIVER: refusal(
    'Every division found leaves a crumb or a strip narrower than allowed.',
    'Allow a smaller least section (--least-section), or name another machine or margin.',
  ),
  PIECES_SEAM_UNMET: refusal('A seam that was asked for cannot be made.', 'Move or tilt the seam, or take it away.'),
  PIECES_CLEAR_UNMET: refusal(
    'Every division found crosses an area that was to be kept clear of seams.',
    'Draw the area smaller, take it away, or name a larger machine.',
  ),
  PIECES_MACHINE_UNMET: refusal(
    'A piece cannot be printed on the machine that was asked for it.',
    'Ask for another machine, or take that away.',
  ),
  MARK_OFF: finding('caution', 'A mark of the maker lies off the surface of the model.'),
  JOINTS_PARTED: refusal(
    'Keys leave a piece in more than one part: a key that does not touch it, or a cut that goes through it.',
    'Ask for another kind of joint at that seam, or for none.',
  ),
  JOINT_NONE: finding('caution', 'A seam has no key: the pieces are aligned by eye there.'),
  JOINT_LOOSE: finding('caution', 'The keys of a seam leave it more room at its outer edge than filler hides easily.'),
  JOINT_UNMET: finding('caution', 'A seam could not be joined in the way that was asked for.'),
  JOINT_HELD_SHUT: finding('caution', 'A joint that is made to come apart is held shut by glue at other seams.'),
  JOINT_ASTRAY: finding('caution', 'A place where a seam was to be joined another way lies on no seam.'),
  JOINTS_CRUMBS: finding('note', 'What was cut for keys left crumbs of a piece; they were taken out.'),
  PIECES_SMALL: finding('caution', 'Some pieces are under a hundredth of the middle one.'),
  // model
  LEVEL_CONTRADICTS: refusal(
    'Up and front were given the same way.',
    'Give two directions that are square to each other.',
  ),
  UP_UNSURE: finding('caution', 'Which way is up is a guess.'),
  FRONT_UNSURE: finding('caution', 'Which way is front is a guess.'),
  SYMMETRY_NONE: finding('note', 'No plane mirrors the left of the model to its right.'),
  // wearer
  HEAD_NEEDS_HOLLOW: refusal(
    'A size by head needs a hollow that a head goes into.',
    'Give the size by its height or by a factor.',
  ),
  WALL_THIN: finding('caution', 'At the size it is worn, part of the wall is thinner than two contour passes.'),
  WALL_KEPT: finding('note', 'The inner surface was moved so that the wall has one thickness at the worn size.'),
  WALL_UNMOVED: finding('caution', 'In places the wall could not be brought to the wanted thickness.'),
  SCALE_ODD: finding('caution', 'The worn size is less than half or more than twice that of the file.'),
  // printing
  PRINT_LONG: finding('caution', 'One print runs longer than 40 hours.'),
  SUPPORT_MUCH: finding('caution', 'A print needs more than 30 percent of its own material as support.'),
  TALL_SLENDER: finding('caution', 'A print is more than four times as tall as its smaller side is wide.'),
  FOOT_SMALL: finding('caution', 'A print, with its support, stands on less than 1 cm2 of the bed.'),
  POSE_UNMET: finding('caution', 'A piece cannot lie in the way that was asked for.'),
  POSE_ASTRAY: finding('caution', 'A place by which a pose was asked for lies on no piece.'),
  LAYER_ODD: finding('caution', 'The layer height is less than 25 or more than 75 percent of the nozzle.'),
  MEASURED_ODD: finding('caution', 'A measured print is far off from what the other prints of its machine say.'),
  MEASURED_CONTRADICT: finding('caution', 'The measured prints of a machine contradict each other.'),
  // beds
  BEDS_NO_HANDS: refusal(
    'A changeover takes longer than anybody is awake in a day, so no bed after the first could be started.',
    'Widen the waking hours or shorten the changeover.',
  ),
  BED_LONG: finding(
    'caution',
    'Several pieces print together for more than 40 hours: a failure late costs all of them.',
  ),
  SPOOL_ENDS_ASLEEP: finding(
    'caution',
    'The filament of a machine runs out in the middle of a print while nobody is awake.',
  ),
  // assembly
  ASSEMBLY_BLOCKED: finding(
    'fault',
    'On its straight way to its place a piece meets another by more than contact lets pass, so the joint does not close.',
  ),
  BEAD_OUT_OF_REACH: finding('note', 'No hand reaches all of the inside of a seam, so its bead ends where reach does.'),
  GLUE_TIME_SHORT: finding('caution', 'Laying the drops of a seam takes longer than the first of them stay open.'),
  // surface
  LADDER_STEP_WIDE: finding(
    'caution',
    'From one sanding paper to the next the median grain shrinks more than twofold, or grows, so scratches stay.',
  ),
  COATS_MUST_NOT_MEET: finding(
    'caution',
    'A layer of paint goes over one of another kind that its solvent dissolves, so the lower one lifts and wrinkles.',
  ),
  SPRAY_DAY_UNFIT: finding(
    'caution',
    'Where it is to be sprayed the air is too near its dew point, too humid, too cold or too warm for primer.',
  ),
  WALL_SOFTENS: finding(
    'caution',
    'Where a powered sander reaches, the wall is so thin that the warmth of sanding could soften it.',
  ),
  // build file
  BUILD_INVALID: refusal(
    'The build file does not hold.',
    'Correct the value at the path named; docs/build.schema.json lists every range.',
  ),
  MODEL_MISSING: refusal(
    'The model file that the build names is not there, or its bytes have changed.',
    'Put the file beside the build file, or plan from the model again.',
  ),
  // running
  SOLID_NO_ANSWER: refusal(
    'A call into the solid kernel did not return in time.',
    'Reduce the number of triangles, or raise the limit.',
  ),
  OUTPUT_IN_THE_WAY: refusal(
    'The folder to write already holds something else.',
    'Name another folder with --out, or move the old one away.',
  ),
  PORT_TAKEN: refusal('The port to serve on is in use.', 'Name another port with --port, or stop the other program.'),
  NOT_FOUND: refusal('There is no such build or page.', 'Go back to the list of builds.'),
  REQUEST_REFUSED: refusal('The page asked for something the server does not do.', 'Reload the page.'),
  FOREIGN_REFUSED: refusal(
    'A page of another origin, or of another host name, asked this program for something.',
    'Open the address that the program printed when it started.',
  ),
  OUTDATED: refusal('Something changed in another window meanwhile.', 'Look at it as it is now, and change it again.'),
  DATA_FOLDER_IN_USE: refusal(
    'Another process of this program works in the data folder.',
    'Use the page it serves, stop it, or name another folder with --data.',
  ),
  DATABASE_UNREACHED: refusal(
    'The database that DATABASE_URL names does not answer or is not for this program.',
    'Check the address and that the server runs; without DATABASE_URL the data folder keeps everything.',
  ),
  STORE_NEWER: refusal(
    'The data were written by a newer version of this program.',
    'Use that version, or name another folder with --data.',
  ),
  OLD_BUILD_UNREADABLE: finding('caution', 'A build kept by an older version cannot be read; its file was left.'),
  ARCHIVE_INVALID: refusal(
    'The archive is not a whole build, or its parts do not match their hashes.',
    'Take out the build again where it was kept.',
  ),
  DISK_REFUSED: refusal(
    'The disk did not take the files.',
    'Free some space or check the rights of the folder; nothing was left half-written.',
  ),
} as const satisfies Record<string, FindingEntry | RefusalEntry>;

type CodesOfKind<K> = {
  [C in keyof typeof CODES]: (typeof CODES)[C] extends { kind: K } ? C : never;
}[keyof typeof CODES];
export type FindingCode = CodesOfKind<'finding'>;
export type RefusalCode = CodesOfKind<'refusal'>;
