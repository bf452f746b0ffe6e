import type { Pushed } from "../../../spc/model/pushed.ts";

/** Reads what a push brought; null when it is none of ours. A worker must show something even then. */
export function pushedOf(content: unknown): Pushed["notification"] | null {
  const notification = group(group(content)["notification"]);
  const data = group(notification["data"]);
  const texts = [notification["title"], notification["body"], notification["tag"], data["message"], data["token"]];
  if (!texts.every((text) => typeof text === "string") || typeof data["card"] !== "object") return null;
  return notification as unknown as Pushed["notification"];
}

function group(value: unknown): Readonly<Record<string, unknown>> {
  return typeof value === "object" && value !== null ? (value as Record<string, unknown>) : {};
}
