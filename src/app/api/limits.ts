// How much the server takes at once; the page says so before it sends anything.

/** Largest model file: 2 million triangles of binary STL are 100 MB, of text STL about 500 MB. */
export const LARGEST_MODEL_BYTES = 800e6;

/** Largest archive of a whole build. A model is packed in it, so this is room enough. */
export const LARGEST_ARCHIVE_BYTES = 800e6;

/** Largest JSON body: a change, a machine, a name. */
export const LARGEST_JSON_BYTES = 64 * 1024;
