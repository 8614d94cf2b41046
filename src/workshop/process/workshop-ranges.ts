// Least and most of every number that the workshop keeps, as plain data: the schemas check by them and the page shows them.

export type NumberRange = readonly [least: number, most: number];

/** One side of the bed in `bedSideMm`; the rest are fields of Machine. */
export const MACHINE_RANGES = {
  bedSideMm: [50, 2000],
  nozzleMm: [0.1, 2],
  wallSpeedMmS: [1, 1000],
  outerWallSpeedMmS: [1, 1000],
  infillSpeedMmS: [1, 1000],
  closingSpeedMmS: [1, 1000],
  supportSpeedMmS: [1, 1000],
  firstLayerSpeedMmS: [1, 1000],
  travelSpeedMmS: [1, 2000],
  accelerationMmS2: [50, 50000],
  travelAccelerationMmS2: [50, 50000],
  junctionDeviationMm: [0.001, 0.5],
  maxFlowMm3S: [0.5, 200],
  shortestLayerS: [0, 120],
  retractionS: [0, 10],
  layerChangeS: [0, 10],
  startUpS: [0, 7200],
  clearanceMm: [0, 2],
  powerW: [0, 5000],
} as const satisfies Record<string, NumberRange>;

export const MATERIAL_RANGES = {
  densityGCm3: [0.5, 10],
  filamentMm: [1, 4],
  packG: [1, 50000],
} as const satisfies Record<string, NumberRange>;

/** Of a measured print: from a minute to eleven days, from a tenth of a gram to fifty kilograms. */
export const MEASURED_RANGES = {
  tookS: [60, 950_400],
  weighedG: [0.1, 50_000],
} as const satisfies Record<string, NumberRange>;

/** `handsOnH`: hours of one day; `hour`: an hour of the day. */
export const MAKER_RANGES = {
  handsOnH: [0, 16],
  hour: [0, 24],
} as const satisfies Record<string, NumberRange>;

/** In minor units of any currency. */
export const MONEY_RANGE: NumberRange = [0, 1e12];
