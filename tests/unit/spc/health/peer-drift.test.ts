import { expect, test } from "vitest";
import { noPeers, type PeerGaps, type PeerState, peerDrift } from "../../../../spc/health/peer-drift.ts";

const plan = { within: 0.3, unit: "Cel" };

function after(runs: readonly PeerGaps[], from: PeerState = noPeers) {
  let state = from;
  let finding = null;
  for (const gaps of runs) ({ state, finding } = peerDrift(state, gaps, plan));
  return { state, finding };
}
const first = Array.from({ length: 8 }, (): PeerGaps => [0.5, -0.2]);

test("nothing is said before the first eight runs have told how the places differ", () => {
  expect(after(first).finding).toBeNull();
  expect(after([...first, [0.5, -0.2]]).finding).toMatchObject({ check: "peer-drift", verdict: "well" });
});

test("moved against both peers, which still agree, twice in a row: the instrument", () => {
  expect(after([...first, [1, 0.3]]).finding?.verdict).toBe("well");
  const { finding } = after([...first, [1, 0.3], [1, 0.25]]);
  expect(finding).toEqual({
    check: "peer-drift",
    verdict: "fault",
    says: "moved by 0.45 K against all 2 peers since the first 8 runs, 0.3 K matters; the peers agree within 0.05 K",
  });
});

test("a peer that moves is not this one's fault", () => {
  expect(after([...first, [1, -0.2], [1, -0.2]]).finding?.verdict).toBe("well");
});

test("where the peers leave each other as well, nobody knows", () => {
  expect(after([...first, [2, 0.3], [2, 0.3]]).finding?.verdict).toBe("undecided");
});

test("of two instruments either may have moved", () => {
  const two = Array.from({ length: 8 }, (): PeerGaps => [0.5]);
  const { finding } = after([...two, [1], [1]]);
  expect(finding).toMatchObject({
    verdict: "undecided",
    says: expect.stringMatching(/which of the two moved needs a third$/),
  });
});

test("other peers than before are learned anew, and a missing one is passed over", () => {
  const { state } = after(first);
  expect(after([[1]], state).state).toMatchObject({ runs: 1 });
  expect(after([[]], state)).toEqual({ state, finding: null });
});

test("the baseline stays what the first eight runs made it", () => {
  const drift = Array.from({ length: 40 }, (_, i): PeerGaps => [0.5 + 0.02 * i, -0.2 + 0.02 * i]);
  const { state, finding } = after([...first, ...drift]);
  expect(state.sums).toEqual(after(first).state.sums);
  expect(finding?.verdict).toBe("fault");
});
