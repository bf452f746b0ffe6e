/**
 * What is measured in the plant, and of which dimension it is. Two of one dimension are two quantities where nobody would
 * draw them on one chart: steam and vacuum, oven and pour.
 */
export const dimensionOfQuantity = {
  "steam-pressure": "pressure",
  "mold-vacuum": "pressure",
  "flask-vacuum": "pressure",
  "clamp-pressure": "pressure",
  "filter-pressure": "pressure",
  "ambient-pressure": "pressure",
  "oven-temperature": "temperature",
  "pour-temperature": "temperature",
  "ambient-temperature": "temperature",
  "vessel-temperature": "temperature",
  "chamber-temperature": "temperature",
  "tool-temperature": "temperature",
  "water-temperature": "temperature",
  "glue-temperature": "temperature",
  "slurry-temperature": "temperature",
  "furnace-temperature": "temperature",
  "dip-temperature": "temperature",
  "sand-temperature": "temperature",
  "casting-temperature": "temperature",
  "dryer-temperature": "temperature",
  "dew-point": "temperature",
  "dryer-humidity": "ratio",
  "relative-humidity": "ratio",
  "valve-position": "ratio",
  "tank-level": "ratio",
  content: "ratio",
  count: "ratio",
  "grain-number": "ratio",
  "vibration-acceleration": "acceleration",
  "motor-current": "electric-current",
  "press-force": "force",
  "slurry-density": "density",
  "bulk-density": "density",
  "rotation-speed": "frequency",
  "drive-frequency": "frequency",
  "cluster-mass": "mass",
  "coat-mass": "mass",
  "witness-mass": "mass",
  "flask-mass": "mass",
  "poured-mass": "mass",
  "slice-weight": "mass",
  "glue-mass": "mass",
  "air-mass-flow": "mass-flow",
  "coat-weight": "mass-on-area",
  "flow-cup-time": "time",
  duration: "time",
} as const;

export type Quantity = keyof typeof dimensionOfQuantity;

/** All of them, for the schemas at the borders. */
export const quantities: readonly [Quantity, ...Quantity[]] = Object.keys(dimensionOfQuantity) as [
  Quantity,
  ...Quantity[],
];
