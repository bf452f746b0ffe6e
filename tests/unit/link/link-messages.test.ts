import { expect, test } from "vitest";
import { isLinkTopic, type LinkMessage, linkTopic, opened, sealed } from "../../../collector/link/link-messages.ts";
import { brokerUsers } from "../../../collector/source/broker-users.ts";
import { LINK_USER, linkUsers } from "../../../collector/source/link-users.ts";

const key = "ab".repeat(32);
const topic = linkTopic("ostrimvale", "collector");
const message: LinkMessage = { kind: "news", topic: "journal" };

test("what one side says the other one reads", () => {
  expect(opened(key, "1.0.0", topic, sealed(key, "1.0.0", topic, message))).toEqual(message);
});

test("what somebody else says, or has altered, or played to another side, is nothing", () => {
  const bytes = sealed(key, "1.0.0", topic, message);
  const altered = Buffer.from(bytes);
  altered[altered.length - 2]! ^= 1;
  expect(opened(key, "1.0.0", topic, sealed("cd".repeat(32), "1.0.0", topic, message))).toBeNull();
  expect(opened(key, "1.0.0", topic, altered)).toBeNull();
  expect(opened(key, "1.0.0", linkTopic("ostrimvale", "api"), bytes)).toBeNull();
  for (const short of [0, 1, 31, 32]) expect(opened(key, "1.0.0", topic, bytes.subarray(0, short))).toBeNull();
});

test("another version says which it is, and no more", () => {
  expect(opened(key, "2.0.0", topic, sealed(key, "1.0.0", topic, message))).toEqual({
    kind: "other-version",
    version: "1.0.0",
  });
});

test("our own broker lets the two processes to the topics of the link, and nobody else", async () => {
  const users = linkUsers(brokerUsers([], true), key);
  expect(await users.admits(LINK_USER, Buffer.from(key))).toBe(true);
  expect(await users.admits(LINK_USER, Buffer.from("ab"))).toBe(false);
  expect(await users.admits(LINK_USER, undefined)).toBe(false);
  expect(await users.admits(undefined, undefined)).toBe(true);
  expect(isLinkTopic(topic)).toBe(true);
  expect([users.maySend(LINK_USER, topic), users.mayHear(LINK_USER, topic)]).toEqual([true, true]);
  expect([users.maySend(null, topic), users.mayHear(null, topic)]).toEqual([false, false]);
  expect([users.maySend(LINK_USER, "ostrimvale/GW-PR"), users.mayHear(LINK_USER, "#")]).toEqual([false, false]);
  expect([users.maySend(null, "ostrimvale/GW-PR"), users.mayHear(null, "#")]).toEqual([true, true]);
});
