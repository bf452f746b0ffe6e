import { basename } from "node:path";
import { studyForm, studyHelp } from "./study/help.ts";
import { resultJson } from "./study/json-output.ts";
import { load } from "./study/load.ts";
import { studyCommand } from "./study/options.ts";
import { writeAll } from "./study/standard-output.ts";
import { lookOf, terminalText } from "./study/terminal.ts";
import { writeWhole } from "./study/write-whole.ts";
import type { Verb } from "./verb.ts";

export const study: Verb = {
  form: studyForm,
  summary: "charts a CSV file and says what its limits rest on and which points are out",
  help: studyHelp,
  run: async (args, io) => {
    const command = studyCommand(args);
    const { rows, data, baseline, cautions } = load(command);
    // Loaded when the file has been read: a file that is wrong is told of at once.
    const { study: studied } = await import("../../spc/study/study.ts");
    const found = studied({ ...command.options, rows, data, baseline });
    const result = { ...found, cautions: [...cautions, ...found.cautions] };
    const title = basename(command.file);
    if (command.svg !== null || command.html !== null) {
      // Only a command that draws a picture loads what draws it.
      const { studyPage, studySvg } = await import("./study/page.tsx");
      if (command.svg !== null) writeWhole("svg", command.svg, studySvg(result, title));
      if (command.html !== null) writeWhole("html", command.html, studyPage(result, title));
      for (const file of [command.svg, command.html]) if (file !== null) io.warn(`${file}: written`);
    }
    const pieces = command.json ? resultJson(result) : terminalText(result, lookOf(process.stdout, process.env));
    await writeAll(process.stdout, pieces);
  },
};
