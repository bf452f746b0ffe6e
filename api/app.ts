import express, { type Express } from "express";
import { leaveToTheLine } from "./central/at-the-line.ts";
import { endpoints } from "./contract/endpoints.ts";
import { guardHost } from "./hosts.ts";
import type { ApiParts } from "./parts.ts";
import { guardNamed, guardRoutes, tellCaller } from "./people/guard.ts";
import { people } from "./people/people.ts";
import { tellRefusals } from "./people/tell-refusals.ts";
import { Problem, problems } from "./problem.ts";
import { accountRoutes } from "./routes/accounts.ts";
import { benchRoutes } from "./routes/bench.ts";
import { handRoutes } from "./routes/by-hand.ts";
import { characteristicRoutes } from "./routes/characteristics.ts";
import { controlPlanRoute } from "./routes/control-plan.ts";
import { flagRoutes } from "./routes/flags.ts";
import { floorRoute } from "./routes/floor.ts";
import { healthRoutes } from "./routes/health.ts";
import { instrumentRoutes } from "./routes/instruments.ts";
import { keyRoutes } from "./routes/keys.ts";
import { limitRoutes } from "./routes/limits.ts";
import { messageRoutes } from "./routes/messages.ts";
import { metricsRoute } from "./routes/metrics.ts";
import { openApiRoute } from "./routes/openapi.ts";
import { peopleRoute } from "./routes/people.ts";
import { proposalRoutes } from "./routes/proposals.ts";
import { readingRoutes } from "./routes/readings.ts";
import { recomputeRoutes } from "./routes/recompute.ts";
import { recordRoutes } from "./routes/record.ts";
import { runRoutes } from "./routes/runs.ts";
import { sessionRoutes } from "./routes/session.ts";
import { setUpRoutes } from "./routes/set-ups.ts";
import { subscriptionRoutes } from "./routes/subscriptions.ts";
import { takeReadings } from "./routes/take-readings.ts";
import { guardChanges } from "./same-origin.ts";
import { securityHeaders } from "./security-headers.ts";
import { refuseOtherMethods } from "./serve.ts";
import { webPages } from "./web.ts";

/** A note may have 2,000 characters, each of up to four bytes. */
const largestBody = "16kb";

/** The whole HTTP side: the api, then the built pages, then 404; every error is a problem document. */
export function createApp(parts: ApiParts): Express {
  const app = express();
  app.disable("x-powered-by");
  app.use(securityHeaders());
  app.use(guardHost(parts.access.knowsHost));
  app.use(guardChanges);
  app.use(tellCaller(parts.access.identify, parts.access.sessions, parts.clock));
  // Before anybody is asked who they are: nobody may here, whoever they are.
  if (parts.central === true) leaveToTheLine(app);
  guardRoutes(app);
  takeReadings(app, parts);
  app.use(express.json({ limit: largestBody, type: "application/json" }));
  guardNamed(app);
  healthRoutes(app, parts);
  metricsRoute(app, parts);
  openApiRoute(app, parts);
  floorRoute(app, parts);
  characteristicRoutes(app, parts);
  const known = people(parts.access.people);
  flagRoutes(app, parts, known);
  benchRoutes(app, parts);
  limitRoutes(app, parts);
  instrumentRoutes(app, parts);
  handRoutes(app, parts, known);
  setUpRoutes(app, parts, known);
  recomputeRoutes(app, parts, known);
  controlPlanRoute(app, parts);
  peopleRoute(app, known);
  proposalRoutes(app, parts, known);
  subscriptionRoutes(app, parts, known);
  messageRoutes(app, parts);
  sessionRoutes(app, parts);
  accountRoutes(app, parts);
  keyRoutes(app, parts);
  recordRoutes(app, parts);
  runRoutes(app, parts);
  readingRoutes(app, parts);
  refuseOtherMethods(app, Object.values(endpoints));
  app.use("/api", nothingHere);
  app.use(webPages(parts.webFolder));
  app.use(nothingHere);
  app.use(
    problems(
      parts.report,
      tellRefusals(parts.access, () => parts.clock.nowMs()),
    ),
  );
  return app;
}

function nothingHere(request: express.Request): never {
  throw new Problem(404, "no-such-path", `nothing is at ${request.baseUrl}${request.path}`);
}
