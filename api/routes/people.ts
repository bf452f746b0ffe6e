import type { Router } from "express";
import { endpoints } from "../contract/endpoints.ts";
import type { People } from "../people/people.ts";
import { serve } from "../serve.ts";

export function peopleRoute(router: Router, people: People): void {
  serve(router, endpoints.people, () => ({ items: people.list().map((person) => ({ ...person })) }));
}
