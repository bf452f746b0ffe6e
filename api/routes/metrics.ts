import type { Router } from "express";
import { endpoints } from "../contract/endpoints.ts";
import { metricsOf } from "../metrics.ts";
import type { ApiParts } from "../parts.ts";
import { serve } from "../serve.ts";

export function metricsRoute(router: Router, parts: ApiParts): void {
  const registry = metricsOf(parts);
  serve(router, endpoints.metrics, async (_input, response) => {
    response.set({ "Content-Type": registry.contentType, "Cache-Control": "no-store" });
    response.send(await registry.metrics());
  });
}
