import { timingSafeEqual } from "node:crypto";
import { isLinkTopic } from "../link/link-messages.ts";
import type { BrokerUsers } from "./broker-users.ts";

/** Whom the processes of a split product say they are to our own broker. */
export const LINK_USER = "steadypour-link";

/** The users of a site, and the processes of the product: those on the topics of the link alone, all others nowhere near. */
export function linkUsers(users: BrokerUsers, linkKey: string): BrokerUsers {
  const key = Buffer.from(linkKey);
  return {
    admits: (name, password) => {
      if (name !== LINK_USER) return users.admits(name, password);
      return Promise.resolve(password?.length === key.length && timingSafeEqual(password, key));
    },
    maySend: (name, topic) =>
      name === LINK_USER || isLinkTopic(topic) ? name === LINK_USER && isLinkTopic(topic) : users.maySend(name, topic),
    mayHear: (name, filter) =>
      name === LINK_USER || isLinkTopic(filter)
        ? name === LINK_USER && isLinkTopic(filter)
        : users.mayHear(name, filter),
  };
}
