import { readFileSync } from "node:fs";
import { systemClock } from "../../collector/platform/clock.ts";
import { readEnvironment } from "../../collector/platform/environment.ts";
import type { Site } from "../../collector/platform/settings/site.ts";
import { type JournalFile, openJournalFile } from "../../collector/store/embedded/embedded-journal.ts";
import { areaMistakes } from "../people/areas.ts";
import { makeLink } from "../people/links.ts";
import { passwordWords, whyWeak } from "../people/password.ts";
import { hashSecret } from "../people/secrets.ts";
import { hostActor, seedAccounts } from "../people/seed-accounts.ts";
import { commandSite } from "./command-site.ts";
import { UsageError } from "./usage-error.ts";
import { commandLine, type Verb } from "./verb.ts";

const device = "command on this host";

export const accountVerb: Verb = {
  form: "list | link ID --reason TEXT | areas ID [AREA ...] --reason TEXT | passwords FILE",
  summary: "lists accounts, lets somebody in again, says what they answer for, or gives accounts their first passwords",
  help: `For whoever may read and write the data folder. The product may run meanwhile.

  list                     every account with its role and areas
  link ID --reason TEXT    prints a one-time link with which its person chooses a password; it works for three days. Open
                           it at the address of the product
  areas ID [AREA ...] --reason TEXT
                           stages of the process and stations that its person answers for; none is the whole plant. A shift
                           lead reads the Change Record of them
  passwords FILE           a file with an id and a password on each line; accounts that have a password keep it

  --config, --data         default to STEADYPOUR_CONFIG and STEADYPOUR_DATA

A password has ${passwordWords}. All that is changed stands in the Change Record.`,
  run: async (args, io) => {
    const { values, words } = commandLine(args, {
      config: { type: "string" },
      data: { type: "string" },
      reason: { type: "string" },
    });
    const environment = readEnvironment(process.env);
    const site = commandSite(values.config, environment);
    const [what, word, ...rest] = words;
    if (
      (rest.length > 0 && what !== "areas") ||
      what === undefined ||
      (what === "list" ? word !== undefined : word === undefined)
    ) {
      throw new UsageError("expected list, link ID, areas ID [AREA ...], or passwords FILE");
    }
    const file = openJournalFile(values.data ?? environment.dataFolder);
    try {
      seedAccounts(file, site.persons, systemClock.nowMs());
      if (what === "list") {
        for (const { id, name, role, areas, offMs, password } of file.people.accounts()) {
          const state = offMs === null ? (password === null ? "no password" : "open") : "closed";
          io.print(`${id}\t${name}\t${role}\t${state}\t${areas.length === 0 ? "whole plant" : areas.join(", ")}`);
        }
      } else if (what === "link") {
        io.print(link(file, word ?? "", reasonOf(values.reason)));
      } else if (what === "areas") {
        io.print(setAreas(file, site, word ?? "", [...new Set(rest)], reasonOf(values.reason)));
      } else if (what === "passwords") {
        io.print(`${await passwords(file, word ?? "", site.name)} passwords set`);
      } else throw new UsageError(`found ${what}, expected list, link, areas or passwords`);
    } finally {
      file.journal.close();
    }
  },
};

function reasonOf(given: string | undefined): string {
  const reason = given?.trim() ?? "";
  if (reason.length < 3) throw new UsageError("--reason: expected a reason");
  return reason;
}

function setAreas(file: JournalFile, site: Site, id: string, areas: readonly string[], reason: string): string {
  const { journal, people, record } = file;
  const mistakes = areaMistakes(site, areas).map(({ place, found, expected }) => {
    return `${place}: found ${found}, expected ${expected}`;
  });
  if (mistakes.length > 0) throw new UsageError(mistakes);
  return journal.transaction(() => {
    const account = people.account(id);
    if (account === undefined) throw new UsageError(`found ${id}, expected an account`);
    people.putAccount({ ...account, areas });
    const change = { old: { areas: account.areas }, new: { areas } };
    record.append({ kind: "account-changed", subject: id, ...change, reason, by: hostActor(device) });
    return `${id}: ${areas.length === 0 ? "the whole plant" : areas.join(", ")}`;
  });
}

function link({ journal, people, record }: JournalFile, id: string, reason: string): string {
  const account = people.account(id);
  if (account === undefined || account.offMs !== null) throw new UsageError(`found ${id}, expected an open account`);
  return journal.transaction(() => {
    const { path, untilMs } = makeLink(people, id, systemClock.nowMs());
    const until = new Date(untilMs).toISOString();
    record.append({ kind: "link-made", subject: id, old: null, new: { until }, reason, by: hostActor(device) });
    return path;
  });
}

async function passwords({ journal, people, record }: JournalFile, name: string, site: string): Promise<number> {
  const lines = readLines(name).map((line, at) => ({ at: at + 1, given: /^(\S+)\s+(.+)$/.exec(line.trim()) }));
  const mistakes = lines.flatMap(({ at, given }) => {
    if (given === null) return [`${name}:${at}: expected an id and a password`];
    const account = people.account(given[1]!);
    if (account === undefined) return [`${name}:${at}: found ${given[1]}, expected an account`];
    const weak = whyWeak(given[2]!, [account.id, account.name, site]);
    return weak === null ? [] : [`${name}:${at}: the password is refused: ${weak}`];
  });
  if (mistakes.length > 0) throw new UsageError(mistakes);
  let set = 0;
  for (const { given } of lines) {
    const [, id = "", text = ""] = given ?? [];
    if (people.account(id)?.password !== null) continue;
    const password = await hashSecret(text);
    journal.transaction(() => {
      const account = people.account(id);
      if (account === undefined || account.password !== null) return;
      people.putAccount({ ...account, password });
      const reason = "first passwords by command";
      record.append({ kind: "password-set", subject: id, old: null, new: "set", reason, by: hostActor(device) });
      set += 1;
    });
  }
  return set;
}

function readLines(name: string): string[] {
  try {
    return readFileSync(name, "utf8")
      .split(/\r?\n/)
      .filter((line) => line.trim() !== "");
  } catch (error) {
    throw new UsageError(`${name}: cannot be read, ${(error as Error).message}`);
  }
}
