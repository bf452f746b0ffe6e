import type { Router } from "express";
import { endpoints } from "../contract/endpoints.ts";
import type { ApiParts } from "../parts.ts";
import { instrumentList } from "../read-model/instruments.ts";
import { serve } from "../serve.ts";

export function instrumentRoutes(router: Router, parts: ApiParts): void {
  serve(router, endpoints.instruments, () => instrumentList(parts, parts.clock.nowMs()));
}
