import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { expect, test } from "vitest";
import { influxQuery } from "../../../collector/store/influx/influx-query.ts";
import { InfluxTrouble } from "../../../collector/store/influx/influx-trouble.ts";
import { influxWriter } from "../../../collector/store/influx/influx-writer.ts";
import { accessTo } from "./forward-rig.ts";

test.each([301, 302, 307, 308])(
  "a redirect, %i, is trouble, and nobody goes after it with what we hold",
  async (status) => {
    const paths: (string | undefined)[] = [];
    const server = createServer((request, response) => {
      paths.push(request.url);
      request.resume();
      response.writeHead(status, { Location: "/elsewhere" }).end();
    });
    await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
    const access = accessTo(`http://127.0.0.1:${(server.address() as AddressInfo).port}`, { authorization: "Token t" });
    const [writer, query] = [influxWriter(access), influxQuery(access)];
    try {
      await expect(writer.write(["reading,series=a,site=b mark=0i 1"])).rejects.toBeInstanceOf(InfluxTrouble);
      await expect(query.ask("SHOW DATABASES")).rejects.toBeInstanceOf(InfluxTrouble);
      expect(paths).toHaveLength(2);
      expect(paths).not.toContain("/elsewhere");
    } finally {
      writer.close();
      query.close();
      server.closeAllConnections();
      server.close();
    }
  },
);
