/** What the trace of one message shows, in the order in which it happened. */
export type DoorStep = "publish" | "synced" | "puback";

/**
 * Reads `strace -f -yy -xx` output: a PUBLISH read from a socket, a sync of the readings' file that has *returned*, a
 * PUBACK that *begins* to be written to a socket. Calls that other threads cut in two stand on two lines.
 */
export function doorSteps(trace: string): readonly DoorStep[] {
  const syncing = new Map<string, boolean>();
  const reading = new Set<string>();
  return trace.split("\n").flatMap((line): DoorStep[] => {
    const [, pid = "", call = ""] = /^(\d+)\s+(.*)$/.exec(line) ?? [];
    const resumed = /^<\.\.\. (\w+) resumed>/.exec(call)?.[1];
    if (/^f(data)?sync\(/.test(call)) {
      const ours = /readings\.sqlite-wal/.test(unhex(call));
      if (call.includes("<unfinished")) syncing.set(pid, ours);
      else if (ours && / = 0$/.test(call)) return ["synced"];
    } else if (resumed !== undefined && /^f(data)?sync$/.test(resumed)) {
      if (syncing.get(pid) === true && / = 0$/.test(call)) return ["synced"];
    } else if (/^(read|recvfrom)\(\d+<TCP/.test(call) && call.includes("<unfinished")) {
      reading.add(pid);
    } else if (/^(read|recvfrom)\(\d+<TCP/.test(call) || (resumed === "read" && reading.delete(pid))) {
      // 0x32: PUBLISH, QoS 1, not a repetition.
      if (/"\\x32/.test(call)) return ["publish"];
    } else if (/^(write|writev|sendto|sendmsg)\(\d+<TCP/.test(call) && sentBytes(call).startsWith("\\x40\\x02")) {
      return ["puback"];
    }
    return [];
  });
}

/** The bytes of a call, which `writev` is given in pieces. */
function sentBytes(call: string): string {
  return [...call.matchAll(/"((?:\\x[0-9a-f]{2})*)"/g)].map((match) => match[1]).join("");
}

function unhex(text: string): string {
  return text.replaceAll(/\\x([0-9a-f]{2})/g, (_, code: string) => String.fromCharCode(Number.parseInt(code, 16)));
}
