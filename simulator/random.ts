/** A stream of random numbers that is the same wherever and whenever it is asked for. */
export interface Random {
  /** Uniform over [0, 1). */
  uniform(): number;
  /** Standard normal. */
  normal(): number;
}

/**
 * The stream for one purpose in one run of one station. Nothing before it needs to be drawn first, so any day of the
 * plant's life can be made without the days before it.
 */
export function randomAt(seed: number, station: string, run: number, purpose: string): Random {
  return smallFastCounting(keyHash(`${seed}/${station}/${run}/${purpose}`));
}

/** Four words out of a key: FNV-1a for the text, the finaliser of MurmurHash3 to spread it (both from memory). */
function keyHash(key: string): [number, number, number, number] {
  let h = 0x811c9dc5;
  for (let i = 0; i < key.length; i += 1) h = Math.imul(h ^ key.charCodeAt(i), 0x01000193);
  const word = (salt: number): number => {
    let x = h ^ salt;
    x = Math.imul(x ^ (x >>> 16), 0x85ebca6b);
    x = Math.imul(x ^ (x >>> 13), 0xc2b2ae35);
    return (x ^ (x >>> 16)) >>> 0;
  };
  return [word(0x9e3779b9), word(0x243f6a88), word(0xb7e15162), word(0x6a09e667) ^ key.length];
}

/** Chris Doty-Humphrey's sfc32 (public domain, from memory): 128 bits of state, quick, good enough for a plant. */
function smallFastCounting([a0, b0, c0, d0]: [number, number, number, number]): Random {
  let a = a0 | 0;
  let b = b0 | 0;
  let c = c0 | 0;
  let d = d0 | 0;
  const uniform = (): number => {
    const t = (((a + b) | 0) + d) | 0;
    d = (d + 1) | 0;
    a = b ^ (b >>> 9);
    b = (c + (c << 3)) | 0;
    c = ((c << 21) | (c >>> 11)) + t;
    c |= 0;
    return (t >>> 0) / 4294967296;
  };
  for (let i = 0; i < 12; i += 1) uniform();
  let spare: number | null = null;
  const normal = (): number => {
    if (spare !== null) {
      const kept = spare;
      spare = null;
      return kept;
    }
    // Box-Muller; 1 - u keeps the logarithm off zero.
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
  return { uniform, normal };
}

const tableLength = 1 << 20;
let table: Float32Array | null = null;

/**
 * A million normal numbers, drawn once. Vibration needs 88 million a simulated day: reading a table from a random
 * place costs a tenth of drawing them.
 */
export function normalTable(): Float32Array {
  if (table === null) {
    const random = randomAt(0, "table", 0, "normal");
    table = Float32Array.from({ length: tableLength }, () => random.normal());
  }
  return table;
}

/** Normal numbers read on from a random place of the table: for noise, of which there is much. */
export function quickNormal(random: Random): () => number {
  const numbers = normalTable();
  let at = Math.floor(random.uniform() * tableLength);
  return () => {
    at = (at + 1) & (tableLength - 1);
    return numbers[at] as number;
  };
}
