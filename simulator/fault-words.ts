import type { FaultKind } from "./faults/kind.ts";
import { type Fault, faultKinds } from "./faults.ts";
import { lengthMs } from "./time-words.ts";

export type ReadFault = { readonly ok: true; readonly fault: Fault } | { readonly ok: false; readonly mistake: string };

/** Reads NAME@PLACE[@START[+DURATION][*SIZE]]; START counts from the plant's first instant. */
export function readFault(text: string, firstMs: number): ReadFault {
  const [sized, size, ...sizes] = text.split("*");
  const [name = "", station = "", when = "0", ...rest] = (sized as string).split("@");
  const kind = faultKinds.find((k) => k.name === name);
  if (kind === undefined) {
    return wrong(text, `no fault is called ${name || "nothing"}`, `one of ${faultKinds.map((k) => k.name).join(", ")}`);
  }
  if (!kind.at.test(station)) return wrong(text, `${name} cannot be at ${station || "no station"}`, kind.where);
  const times = size === undefined ? 1 : Number(size);
  if (sizes.length > 0 || size === "" || !(times > 0 && Number.isFinite(times))) {
    return wrong(text, `cannot read the size ${[size, ...sizes].join("*")}`, "a number above 0, such as *0.5");
  }
  if (size !== undefined && kind.size === null) return wrong(text, `${name} has no size`, "no *SIZE");
  const [start = "", lasts, ...more] = when.split("+");
  const startMs = lengthMs(start);
  const lastsMs = lasts === undefined ? lengthOf(kind) : lengthMs(lasts);
  if (rest.length + more.length > 0 || startMs === undefined || lastsMs === undefined || lastsMs === 0) {
    return wrong(
      text,
      `cannot read the time ${[when, ...rest].join("@")}`,
      "START or START+DURATION such as 20min+1h30min",
    );
  }
  const fault = { name, station, fromMs: firstMs + startMs, toMs: firstMs + startMs + lastsMs };
  return { ok: true, fault: size === undefined ? fault : { ...fault, size: times } };
}

function lengthOf(kind: FaultKind): number {
  return kind.lastsMs ?? Number.POSITIVE_INFINITY;
}

function wrong(text: string, found: string, expected: string): ReadFault {
  return { ok: false, mistake: `--fault ${text}: ${found}, expected ${expected}` };
}

/** What `--help` says of the faults. */
export function faultList(): string {
  const width = Math.max(...faultKinds.map((k) => k.name.length)) + 2;
  return faultKinds
    .map(({ name, where, says, lastsMs, size }) => {
      const lasts = lastsMs === null ? "to the end" : `${lastsMs / 60_000} min`;
      const pad = " ".repeat(width + 2);
      const sized = size === null ? "" : `; size 1 is ${size}`;
      return `  ${name.padEnd(width)}at ${where}; lasts ${lasts} unless told${sized}\n${pad}${says}`;
    })
    .join("\n");
}
