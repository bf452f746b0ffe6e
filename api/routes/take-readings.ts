import express, { type Request, type Response, type Router } from "express";
import { Fault } from "../../collector/platform/fault.ts";
import { endpoints } from "../contract/endpoints.ts";
import type { WirePosted } from "../contract/wire.ts";
import type { ApiParts } from "../parts.ts";
import { Problem } from "../problem.ts";

/** As large as a message over MQTT may be. */
const LARGEST_BODY = 1_048_576;
/** Refusals that an answer tells; all are in quarantine. */
const TOLD = 20;
const AGAIN_AFTER_S = "1";

/**
 * Takes readings without a broker. Before the other routes: its body goes to the collector as it came, byte by byte,
 * so that what is wrong in it is told, kept and counted like anything wrong that a broker hands over.
 */
export function takeReadings(router: Router, { post }: Pick<ApiParts, "post">): void {
  const { path } = endpoints.postReadings;
  const body = express.raw({ limit: LARGEST_BODY, type: "application/json" });
  router.post(path, body, tooLarge, async (request: Request, response: Response) => {
    if (Object.keys(request.query).length > 0) {
      const errors = [{ place: "query", found: Object.keys(request.query).join(", "), expected: "nothing" }];
      throw new Problem(400, "bad-request", "nothing is asked for beside the body", { errors });
    }
    const payload = request.body instanceof Uint8Array ? request.body : new Uint8Array(0);
    const posted = await post(payload);
    if (posted === "full") {
      response.set("Retry-After", AGAIN_AFTER_S);
      throw new Problem(503, "too-busy", "more readings wait than are taken: send them again a little later");
    }
    if (posted instanceof Fault) {
      response.set("Retry-After", AGAIN_AFTER_S);
      const errors = [{ place: "store", found: posted.message, expected: "a store that keeps what it is given" }];
      throw new Problem(503, "not-ready", "the readings could not be kept: send them again later", { errors });
    }
    const { stored, duplicate, late, quarantined, rejections } = posted;
    if (stored + duplicate === 0) {
      const errors = rejections.slice(0, TOLD).map(({ code, place, detail }) => {
        return { place: `body${place}`, found: code, expected: detail };
      });
      throw new Problem(400, "nothing-taken", `nothing of it could be taken: ${rejections[0]?.detail ?? ""}`, {
        errors,
      });
    }
    const refused = rejections.slice(0, TOLD).map(({ code, place, detail }) => ({ code, place, detail }));
    const answer: WirePosted = { stored, duplicate, late, quarantined, refused };
    response.set("Cache-Control", "no-store").json(answer);
  });
}

/** The usual words speak of the small bodies of all other routes. */
function tooLarge(error: unknown, _request: Request, _response: Response, next: (error: unknown) => void): void {
  const { type } = error as { readonly type?: unknown };
  next(
    type === "entity.too.large"
      ? new Problem(413, "body-too-large", "the body is larger than 1 MiB: send fewer readings at once")
      : error,
  );
}
