import type { FaultPlan } from "../faults.ts";
import { ornsteinUhlenbeck } from "../ornstein-uhlenbeck.ts";
import type { PlantKey } from "../plant-layout.ts";
import { quickNormal, randomAt } from "../random.ts";
import type { PressShot, PressStep } from "../runs/press-shot.ts";
import type { Cycle } from "../schedule.ts";
import { saturationCel } from "../steam-table.ts";

const stepSeconds = 0.05;
const whiteBar = 0.006;
const healthyLineSeconds = 0.1;
const thermocoupleSeconds = 1.5;

/** The pressure that is in the chamber, every 50 ms of the shot, without noise. */
function truePressure(shot: PressShot): { readonly bar: Float64Array; readonly step: Uint8Array } {
  const count = Math.ceil(shot.lastsMs / 50);
  const bar = new Float64Array(count);
  const steps = new Uint8Array(count);
  let pressure = 0;
  let place = 0;
  let endsMs = (shot.steps[0] as PressStep).lastsMs;
  let kept = keepOf(shot.steps[0] as PressStep);
  for (let i = 0; i < count; i += 1) {
    while (i * 50 >= endsMs) {
      place += 1;
      const next = shot.steps[place] as PressStep;
      endsMs += next.lastsMs;
      kept = keepOf(next);
    }
    const { toward, step } = shot.steps[place] as PressStep;
    pressure = toward + (pressure - toward) * kept;
    bar[i] = pressure;
    steps[i] = step;
  }
  return { bar, step: steps };
}

function keepOf({ tauSeconds }: PressStep): number {
  return Math.exp(-stepSeconds / tauSeconds);
}

/** What the pressure transmitter makes of it: its noise, its zero, and an impulse line that may be plugged. */
export function seenPressure(
  key: PlantKey,
  station: string,
  { number, startMs }: Cycle,
  shot: PressShot,
  faults: FaultPlan,
): Float64Array {
  const { bar } = truePressure(shot);
  const random = randomAt(key.seed, station, number, "trace");
  const slow = ornsteinUhlenbeck(random, 0.005, 1.5, stepSeconds);
  const white = quickNormal(randomAt(key.seed, station, number, "white"));
  const zero = 0.02 * (faults.grown("zero-drift", station, startMs) / 7);
  const plugged = faults.size("plugged-line", station, startMs);
  const keep = plugged === 0 ? 0 : Math.exp(-stepSeconds / Math.max(healthyLineSeconds, 4 * plugged));
  let seen = 0;
  for (let i = 0; i < bar.length; i += 1) {
    seen = keep * seen + (1 - keep) * ((bar[i] as number) + slow());
    bar[i] = seen + whiteBar * white() + zero;
  }
  return bar;
}

/**
 * Chamber thermocouple every 200 ms and tool every second. Steam is as warm as its share of the pressure says; while it
 * cools, the thermocouple lies in the cooling water and must show what the water has: the known state.
 */
export function chamber(
  station: string,
  startMs: number,
  shot: PressShot,
  waterCel: number,
  ambientBar: number,
  faults: FaultPlan,
): { readonly chamberCel: Float64Array; readonly toolCel: Float64Array } {
  const { bar, step } = truePressure(shot);
  const chamberCel = new Float64Array(Math.ceil(bar.length / 4) + 1);
  const toolCel = new Float64Array(Math.ceil(bar.length / 20) + 1);
  const lag = thermocoupleSeconds + 4.5 * faults.size("slow-thermocouple", station, startMs);
  const keep = Math.exp(-stepSeconds / lag);
  let seen = waterCel + 21;
  let tool = waterCel + 20;
  for (let i = 0; i < bar.length; i += 1) {
    const now = step[i] as number;
    const steam = now >= 2 && now <= 6;
    const around = steam
      ? saturationCel(((bar[i] as number) + ambientBar) * (1 - shot.air))
      : now === 7
        ? waterCel
        : tool + 1;
    tool += (around - tool) * (stepSeconds / (steam ? 12 : now === 7 ? 7 : 60));
    seen = around + (seen - around) * keep;
    if (i % 4 === 0) chamberCel[i / 4] = seen;
    if (i % 20 === 0) toolCel[i / 20] = tool;
  }
  return { chamberCel, toolCel };
}

/** Vacuum pulls in its own step and lets go after it. */
export function vacuumOf(startMs: number, { steps, vacuumBar }: PressShot): (tMs: number) => number {
  let fromMs = startMs;
  for (const { step, lastsMs } of steps) {
    if (step === 8) break;
    fromMs += lastsMs;
  }
  const toMs = fromMs + (steps.find(({ step }) => step === 8)?.lastsMs ?? 0);
  const deepest = vacuumBar * (1 - Math.exp(-(toMs - fromMs) / 2500));
  return (tMs) => {
    if (tMs < fromMs) return 0;
    if (tMs < toMs) return vacuumBar * (1 - Math.exp(-(tMs - fromMs) / 2500));
    return deepest * Math.exp(-(tMs - toMs) / 600);
  };
}
