import { BlockList, isIP } from "node:net";

const own = new BlockList();
own.addSubnet("127.0.0.0", 8, "ipv4");
own.addAddress("::1", "ipv6");

/** Whether nothing but this machine reaches what listens there. */
export function isLoopback(host: string): boolean {
  if (host === "localhost") return true;
  const family = isIP(host);
  return family !== 0 && own.check(host, family === 6 ? "ipv6" : "ipv4");
}
