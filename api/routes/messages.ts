import { timingSafeEqual } from "node:crypto";
import type { Response, Router } from "express";
import { messageEntry } from "../../collector/store/entries.ts";
import { endpoints } from "../contract/endpoints.ts";
import type { WireMessage } from "../contract/message-wire.ts";
import { defaultLimit } from "../contract/query.ts";
import { cursor, cursorNumber, page } from "../paging.ts";
import type { ApiParts } from "../parts.ts";
import { Problem } from "../problem.ts";
import { rateLimit } from "../rate-limit.ts";
import { wireMessage } from "../read-model/messages.ts";
import { instant } from "../read-model/wire-form.ts";
import { serve } from "../serve.ts";
import { mustBeOn, unknownDevice } from "./subscriptions.ts";

const TESTS_A_MINUTE = 6;
const REPORTS_A_MINUTE = 120;

/** The ledger, a trial of one's own phone, and what phones report. */
export function messageRoutes(router: Router, parts: ApiParts): void {
  const { site, journal, bus, clock, model, messages } = parts;
  const { book } = messages;
  const tests = rateLimit(TESTS_A_MINUTE, "a phone is tried");
  const reports = rateLimit(REPORTS_A_MINUTE, "an address reports");
  const find = (id: string) => {
    const entry = journal.find(`message/${id}`);
    if (entry?.kind !== "message") throw new Problem(404, "unknown-message", `no message is named ${id}`);
    return entry.body;
  };
  const wire = (message: ReturnType<typeof find>): WireMessage =>
    wireMessage(message, book.ofMessages([message.id]), { site, device: book.device, flag: model.flag });

  serve(router, endpoints.messages, ({ query: { flag, after, limit = defaultLimit } }) => {
    const found = journal.read({
      ...{ kinds: ["message"], newestFirst: true, limit: limit + 1 },
      ...(flag === undefined ? {} : { subject: flag }),
      ...(after === undefined ? {} : { beforeSeq: cursorNumber(after) }),
    });
    const { items, next } = page(found, limit, ({ seq }) => cursor(seq));
    return { items: items.flatMap((one) => (one.kind === "message" ? [wire(one.body)] : [])), next };
  });
  serve(router, endpoints.message, ({ params: { id } }) => wire(find(id)));

  serve(router, endpoints.testMessage, ({ body: { device: id, secret } }, response) => {
    mustBeOn(messages);
    const device = book.device(id);
    if (device === undefined) throw unknownDevice(id);
    if (!same(secret, device.secret)) throw new Problem(403, "not-your-device", "that is not this device's secret");
    if (device.address === null) {
      throw new Problem(409, "device-gone", "nothing is sent to that device any more: set it up again");
    }
    tests.ask(id, clock.nowMs(), response);
    const message = messages.trial(device, clock.nowMs());
    journal.append([messageEntry("", message)]);
    bus.announce("journal");
    return wire(message);
  });

  const report = (what: "shown" | "opened", id: string, by: { device: string; token: string }, response: Response) => {
    const nowMs = clock.nowMs();
    reports.ask(response.req.ip ?? "", nowMs, response);
    const device = book.device(by.device);
    // One answer for all that does not fit: nobody learns which devices there are.
    const fits = device !== undefined && same(by.token, messages.token(device, id));
    if (!fits || !book.reported(id, by.device, what, nowMs)) {
      throw new Problem(403, "wrong-token", "that token belongs to no message on that device");
    }
    const one = book.ofMessages([id]).find((delivery) => delivery.device === by.device);
    const at = (ms: number | null | undefined): string | null => (ms == null ? null : instant(ms));
    return { shownAt: at(one?.shownMs), openedAt: at(one?.openedMs) };
  };
  serve(router, endpoints.messageShown, ({ params: { id }, body }, response) => report("shown", id, body, response));
  serve(router, endpoints.messageOpened, ({ params: { id }, body }, response) => report("opened", id, body, response));
}

/** In the same time, whatever differs. */
function same(one: string, other: string): boolean {
  const [a, b] = [Buffer.from(one), Buffer.from(other)];
  return a.length === b.length && timingSafeEqual(a, b);
}
