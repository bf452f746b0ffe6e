import { isIPv6 } from "node:net";

/** The network that an address is counted by: /24 of IPv4, /64 of IPv6, since one household or host has all of it. */
export function subnetOf(address: string | undefined): string {
  const plain = (address ?? "").replace(/^::ffff:(?=\d+\.)/, "");
  if (!isIPv6(plain)) return plain.split(".").slice(0, 3).join(".");
  const [head = "", tail = ""] = plain.split("%")[0]!.split("::");
  const left = head.split(":").filter((part) => part !== "");
  const right = tail.split(":").filter((part) => part !== "");
  const zeros = Array.from({ length: Math.max(0, 8 - left.length - right.length) }, () => "0");
  return [...left, ...zeros, ...right].slice(0, 4).join(":");
}
