import { readFileSync, readlinkSync } from "node:fs";

/** Enough to find a process again, and nothing else in its place. */
export interface Holder {
  readonly name: string;
  readonly pid: number;
  /** Of the kernel: this start of the machine, the space that the pid counts in, and when the process began in it. */
  readonly boot: string | null;
  readonly space: string | null;
  readonly began: string | null;
}

export function thisProcess(name: string): Holder {
  return { name, pid: process.pid, boot: bootId(), space: pidSpace(), began: beganOf(process.pid) };
}

export function readHolder(text: string): Holder | null {
  try {
    return JSON.parse(text) as Holder;
  } catch {
    // None is written down.
    return null;
  }
}

/** Ends a process that hangs, for good. False where it cannot be told from here that it is that one, or we may not. */
export function endHung({ pid, boot, space, began }: Holder): boolean {
  // In a container of its own, on another machine, after a restart of the machine: that number is somebody else's.
  if (boot === null || space === null || began === null) return false;
  if (boot !== bootId() || space !== pidSpace() || began !== beganOf(pid) || pid === process.pid) return false;
  try {
    process.kill(pid, "SIGKILL");
    return true;
  } catch {
    // Another user's, or gone meanwhile: its lock says so.
    return false;
  }
}

function bootId(): string | null {
  return ofKernel(() => readFileSync("/proc/sys/kernel/random/boot_id", "utf8").trim());
}

function pidSpace(): string | null {
  return ofKernel(() => readlinkSync("/proc/self/ns/pid"));
}

/** In ticks since the machine started: field 22 of proc(5), counted after the name, which may hold anything. */
function beganOf(pid: number): string | null {
  return ofKernel(() => {
    const stat = readFileSync(`/proc/${pid}/stat`, "utf8");
    return stat.slice(stat.lastIndexOf(")") + 2).split(" ")[19] ?? null;
  });
}

function ofKernel(read: () => string | null): string | null {
  try {
    return read();
  } catch {
    // No such process, or a system without /proc.
    return null;
  }
}
