import type { Router } from "express";
import { endpoints } from "../contract/endpoints.ts";
import type { ApiParts } from "../parts.ts";
import { Problem } from "../problem.ts";
import { wirePair } from "../read-model/wire-form.ts";
import { serve } from "../serve.ts";

export function healthRoutes(router: Router, { process, version }: ApiParts): void {
  serve(router, endpoints.healthz, () => ({ status: "alive" as const, version }));
  serve(router, endpoints.readyz, () => {
    const lacking = process.lacking();
    const { pair } = process.source();
    if (lacking.length === 0) {
      return { status: "ready" as const, version, ...(pair === null ? {} : { pair: wirePair(pair) }) };
    }
    const reasons = lacking.map(({ place, found }) => `${place}: ${found}`).join("; ");
    throw new Problem(503, "not-ready", `not ready: ${reasons}`, { errors: lacking });
  });
}
