import type { Router } from "express";
import { endpoints } from "../contract/endpoints.ts";
import type { ApiParts } from "../parts.ts";
import { controlPlan } from "../read-model/control-plan.ts";
import { serve } from "../serve.ts";

export function controlPlanRoute(router: Router, { site, version, clock }: ApiParts): void {
  serve(router, endpoints.controlPlan, () => controlPlan(site, version, clock.nowMs()));
}
