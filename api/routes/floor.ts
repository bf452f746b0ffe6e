import type { Router } from "express";
import { endpoints } from "../contract/endpoints.ts";
import type { ApiParts } from "../parts.ts";
import { floor } from "../read-model/floor.ts";
import { serve } from "../serve.ts";

export function floorRoute(router: Router, parts: ApiParts): void {
  serve(router, endpoints.floor, () => floor(parts, parts.clock.nowMs()));
}
