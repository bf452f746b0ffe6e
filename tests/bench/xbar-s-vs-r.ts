import { execFile } from "node:child_process";
import { writeFileSync } from "node:fs";
import { promisify } from "node:util";
import { temporaryFolder } from "../temporary-folder.ts";
import { alternating, type Bench } from "./bench.ts";
import { judged, marked, pourSeries, timed } from "./xbar-s-series.ts";

const subgroups = 1_000_000;
const rounds = 3;
const repeats = 5;
const warm = 8;

/**
 * The same work in base R, whole vectors at a time: sums over windows are differences of running sums. It reads the
 * values, repeats the work, and says how many places are marked and the median of its times without start-up.
 */
const program = `
arguments <- commandArgs(trailingOnly = TRUE)
count <- as.integer(arguments[2])
x <- matrix(readBin(arguments[1], "double", 5 * count), nrow = 5)
last <- function(hit, points) {
  sums <- cumsum(hit)
  sums - c(integer(points), sums[seq_len(length(sums) - points)])
}
work <- function() {
  means <- colMeans(x)
  sds <- sqrt(colSums((x - rep(means, each = 5))^2) / 4)
  c4 <- sqrt(2 / 4) * gamma(5 / 2) / gamma(4 / 2)
  centre <- mean(means)
  s <- mean(sds)
  sigma <- s / c4
  z <- (means - centre) / (sigma / sqrt(5))
  width <- 3 * sigma * sqrt(1 - c4^2)
  above1 <- z > 1
  below1 <- z < -1
  above2 <- z > 2
  below2 <- z < -2
  steps <- diff(means)
  up <- c(FALSE, steps > 0)
  down <- c(FALSE, steps < 0)
  n <- length(z)
  turns <- c(FALSE, FALSE, (up[-(1:2)] & down[2:(n - 1)]) | (down[-(1:2)] & up[2:(n - 1)]))
  outside <- above1 | below1
  marks <- abs(z) > 3 |
    last(z > 0, 9) == 9 | last(z < 0, 9) == 9 |
    last(up, 5) == 5 | last(down, 5) == 5 |
    last(turns, 12) == 12 |
    (above2 & last(above2, 3) >= 2) | (below2 & last(below2, 3) >= 2) |
    (above1 & last(above1, 5) >= 4) | (below1 & last(below1, 5) >= 4) |
    last(abs(z) < 1, 15) == 15 |
    (last(outside, 8) == 8 & last(above1, 8) > 0 & last(below1, 8) > 0)
  spread <- sds > s + width | sds < max(0, s - width)
  sum(marks) + sum(spread)
}
found <- work()
times <- sapply(seq_len(as.integer(arguments[3])), function(i) system.time(work())[["elapsed"]])
cat(found, median(times))
`;

/** Subgroups a second, averages and s with all eight rules, against vectorised base R on the same values. */
export const xbarSVersusR: Bench = {
  name: "xbar-s-vs-r",
  run: async (note) => {
    const run = promisify(execFile);
    const version = await run("Rscript", ["--version"]).catch((error: Error) => error);
    if (version instanceof Error) {
      note(`skipped: Rscript cannot be run (${version.message}); it comes with the package r-base-core`);
      return null;
    }
    const folder = temporaryFolder();
    try {
      const data = pourSeries(subgroups);
      const values = `${folder.path}/values`;
      const source = `${folder.path}/averages.R`;
      writeFileSync(values, data.values);
      writeFileSync(source, program);
      const ourMarks = marked(judged(data));
      for (let i = 0; i < warm; i += 1) judged(data);
      const { ours, baseline, raw } = await alternating(rounds, async () => {
        const { stdout } = await run("Rscript", ["--vanilla", source, values, `${subgroups}`, `${repeats}`]);
        const [marks, seconds] = stdout.split(" ").map(Number);
        note(`places marked: ${ourMarks} by ours, ${marks} in R`);
        const times = Array.from({ length: repeats }, () => timed(() => judged(data))).sort((a, b) => a - b);
        return { ours: subgroups / (times[repeats >> 1]! / 1000), baseline: subgroups / seconds! };
      });
      note(`${(version.stdout + version.stderr).trim()}; rounds in subgroups a second: ${JSON.stringify(raw)}`);
      const ratio = ours / baseline;
      return { name: "xbar-s-vs-r", ours, baseline, unit: "subgroups/s", ratio, better: "higher", ask: 3 };
    } finally {
      folder.remove();
    }
  },
};
