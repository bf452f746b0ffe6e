import { hashPin } from "../../../api/people/pin.ts";
import type { PushService } from "./push-service.ts";

/** Of the person who gets messages. */
export const pin = "1234";

/** Those settings with one person who gets messages, others who get none, and a push service inside the plant. */
export async function messageSettings(
  settings: string,
  service: PushService,
  others: readonly string[] = [],
): Promise<string> {
  // The settings' own persons and messages, if there are any, are another matter.
  const plant = settings.replace(/^persons:\n(?:[ #].*\n)*/m, "").replace(/^messages:.*\n(?:[ #].*\n)*/m, "");
  const lead = `{ id: lead, name: Early lead, role: shift-lead, pin: "${await hashPin(pin)}", labels: [act-now, look] }`;
  const persons = [lead, ...others].map((one) => `  - ${one}\n`).join("");
  const messages = `{ contact: "mailto:process@ostrimvale.example", services: ["${service.host}"] }`;
  return `${plant}\npersons:\n${persons}messages: ${messages}\n`;
}
