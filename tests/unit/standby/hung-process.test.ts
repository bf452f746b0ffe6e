import { expect, test } from "vitest";
import { endHung, readHolder, thisProcess } from "../../../collector/standby/hung-process.ts";
import { start } from "../../system/running-process.ts";

const own = thisProcess("a");

test("who holds the line is written down so that it is read again, and what is no such text is nobody", () => {
  expect(readHolder(JSON.stringify(own))).toEqual(own);
  expect(readHolder("")).toBeNull();
  expect(own).toMatchObject({ name: "a", pid: process.pid });
});

test.runIf(process.platform === "linux")(
  "a process is ended only when all says that it is that one: never ourselves, another start, space or machine",
  async () => {
    const script = `console.log(require("node:fs").readFileSync("/proc/self/stat", "utf8").split(" ")[21]); setInterval(() => {}, 1000);`;
    const child = start(process.execPath, ["-e", script]);
    try {
      const [began] = await child.says(/^\d+$/m);
      const other = { ...own, pid: child.pid, began: began! };
      expect(endHung(own)).toBe(false);
      for (const wrong of [{ boot: "x" }, { space: "pid:[1]" }, { began: "1" }, { boot: null }, { pid: 0x3f_ff_ff }]) {
        expect(endHung({ ...other, ...wrong }), JSON.stringify(wrong)).toBe(false);
      }
      expect(child.ended()).toBe(false);
      expect(endHung(other)).toBe(true);
      expect(await child.exit()).toBeNull();
    } finally {
      if (!child.ended()) await child.stop();
    }
  },
);
