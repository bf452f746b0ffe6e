import { BaseSequencer, type TestSpecification } from "vitest/node";

/**
 * Files that take longest, longest first. A clean checkout knows no times yet, and one of these begun last would keep one
 * core busy while the others wait.
 */
const longest = [
  "contract/score/score.test.ts",
  "contract/kill.test.ts",
  "contract/simulator/demo.test.ts",
  "e2e/plant.test.ts",
  "contract/disk/full-disk.test.ts",
  "contract/score/score-from-payloads.test.ts",
  "e2e/bench.test.ts",
  "e2e/pages.test.ts",
  "e2e/screen-states.test.ts",
  "e2e/demo.test.ts",
  "contract/source/product-and-broker.test.ts",
  "contract/pipeline/subgroup-kill.test.ts",
  "e2e/pocket.test.ts",
  "contract/notify/message-kill.test.ts",
  "contract/cli/record-replay.test.ts",
  "e2e/source-trouble.test.ts",
  "contract/notify/tls.test.ts",
  "e2e/limits-never-alone.test.ts",
  "contract/lines/central.test.ts",
  "contract/simulator/run-model-agrees.test.ts",
  "contract/simulator/faults-show.test.ts",
  "contract/cli-study/study-reading.test.ts",
  "contract/split/split.test.ts",
  "contract/pipeline/plant-scenes.test.ts",
  "contract/api/main.test.ts",
  "contract/disk/bad-disk.test.ts",
  "contract/cli/steadypour.test.ts",
  "contract/people/doors.test.ts",
  "contract/intake/no-room-left.test.ts",
  "contract/cli/import.test.ts",
  "contract/pipeline/plant-causes.test.ts",
  "contract/source/broker-session.test.ts",
  "contract/standby/take-over.test.ts",
  "e2e/instruments.test.ts",
  "e2e/people.test.ts",
  "contract/api/proposals.test.ts",
  "contract/api/bench.test.ts",
  "contract/pipeline/weekend.test.ts",
  "contract/split/as-compose.test.ts",
  "contract/simulator/against-truth.test.ts",
  "contract/store/sealing.test.ts",
  "contract/api/decisions.test.ts",
  "contract/people/access-matrix.test.ts",
  "contract/simulator/truth-apart.test.ts",
  "property/simulator/same-readings.test.ts",
  "property/spc/features/features.test.ts",
  "property/spc/segment/segmenters.test.ts",
  "property/spc/features/spoiled-runs.test.ts",
  "unit/simulator/five-days.test.ts",
  "unit/decode/mapped-json.test.ts",
];

export default class LongestFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const place = ({ moduleId }: TestSpecification): number => {
      const at = longest.findIndex((name) => moduleId.endsWith(`/tests/${name}`));
      return at === -1 ? longest.length : at;
    };
    return (await super.sort(files)).sort((a, b) => place(a) - place(b));
  }
}
