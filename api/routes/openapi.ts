import type { Router } from "express";
import { endpoints } from "../contract/endpoints.ts";
import { openApiDocument } from "../openapi.ts";
import type { ApiParts } from "../parts.ts";
import { serve } from "../serve.ts";

export function openApiRoute(router: Router, { version }: ApiParts): void {
  const document = openApiDocument(endpoints, version);
  serve(router, endpoints.openapi, () => document);
}
