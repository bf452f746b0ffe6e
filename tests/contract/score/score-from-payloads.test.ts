import { expect, test } from "vitest";
import { plantScore } from "../../score/plant-score.ts";
import { pooled } from "../../score/pooled.ts";

// The other share of the score, at full depth: from what gateways send. Beside the run model's, so that both run at once.

/** A minute on a machine of its own, many on one that is shared. */
const patient = 1_500_000;

test(
  "four hours from payloads: runs are cut where they were, nothing is refused, and faults are found beside a twin",
  async () => {
    const score = await plantScore({ seed: 65, days: 4 / 24, faults: "random", depth: "full" });
    expect(score.door?.quarantined).toBe(0);
    expect(score.borders).toMatchObject({ missing: 0, extra: 0, right: score.borders?.true });
    expect(score.borders?.true).toBeGreaterThan(400);
    const { summary } = pooled([score]);
    expect(summary.injected).toBeGreaterThan(2);
    expect(summary.found).toBeGreaterThan(0.7 * summary.injected);
    expect(summary.processAsSensor).toBe(0);
    // A stuck transmitter is never called process.
    for (const { fault, called } of score.faultRows) {
      if (fault === "stuck-pressure" || fault === "stuck") expect(called).not.toBe("process");
    }
    const { links } = score;
    expect(links?.claimedTrue).toBeGreaterThan(0.9 * (links?.claimed as number));
  },
  patient,
);
