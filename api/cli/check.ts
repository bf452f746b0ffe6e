import { siteOf } from "./command-site.ts";
import { commandLine, oneFile, type Verb } from "./verb.ts";

export const check: Verb = {
  form: "FILE",
  summary: "reads a settings file and lists all its mistakes",
  help: "Reads FILE as `npm start` would and starts nothing. Exit 0 when it is right; exit 2 with one line a mistake:\nfile:line:column, what was found, what was expected.",
  run: async (args, io) => {
    const file = oneFile(commandLine(args, {}).words);
    const site = siteOf(file);
    const characteristics = site.stations.reduce((count, { plans }) => count + plans.length, 0);
    io.print(`${file}: right. ${site.name}: ${site.stations.length} stations, ${characteristics} features charted`);
  },
};
