import { createServer } from "node:net";

/** The first port from `start` on that nobody listens on at the loopback; 0 lets the system choose. */
export async function freePort(start: number): Promise<number> {
  for (let port = start; port <= 65_535; port += 1) {
    const taken = await listened(port);
    if (taken !== null) return taken;
  }
  throw new Error(`no port from ${start} on is free`);
}

function listened(port: number): Promise<number | null> {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once("error", (error: NodeJS.ErrnoException) => {
      if (error.code === "EADDRINUSE" || error.code === "EACCES") resolve(null);
      else reject(error);
    });
    server.listen(port, "127.0.0.1", () => {
      const address = server.address();
      server.close(() => resolve(typeof address === "object" && address !== null ? address.port : null));
    });
  });
}
