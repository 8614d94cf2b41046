// What a job asks before it makes a picture or a part of one: it may have been made before.

/** Gives what is kept under the key, or makes it and keeps it. The key names everything that the result depends on. */
export type Kept = <T>(key: string, make: () => T) => T;

/** Makes everything anew. */
export const NOTHING_KEPT: Kept = (_key, make) => make();
