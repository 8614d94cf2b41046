// Whether a day is dry enough to spray: the temperature below which water settles on the piece.

/** Constants of the Magnus formula over water, as the World Meteorological Organization gives them. */
const B = 17.62;
const C_DEG = 243.12;

/** Degrees Celsius at which air of this temperature and relative humidity (percent, over 0) is saturated: c g / (b - g), g = ln(RH / 100) + b T / (c + T).
 *  Within a tenth of a degree from -45 to 60. */
export function dewPointC(airC: number, humidityPercent: number): number {
  const g = Math.log(humidityPercent / 100) + (B * airC) / (C_DEG + airC);
  return (C_DEG * g) / (B - g);
}
