import { expect, test } from "vitest";
import { topicSources } from "../../../collector/decode/topic-sources.ts";

/** Cases of MQTT 3.1.1, section 4.7. */
test.each([
  ["sport/tennis/player1/#", "sport/tennis/player1", true],
  ["sport/tennis/player1/#", "sport/tennis/player1/ranking", true],
  ["sport/tennis/player1/#", "sport/tennis/player1/score/wimbledon", true],
  ["sport/#", "sport", true],
  ["#", "any/thing", true],
  ["sport/tennis/+", "sport/tennis/player1", true],
  ["sport/tennis/+", "sport/tennis/player1/ranking", false],
  ["sport/+", "sport", false],
  ["sport/+", "sport/", true],
  ["+/+", "/finance", true],
  ["/+", "/finance", true],
  ["+", "/finance", false],
  ["#", "$SYS/load", false],
  ["+/monitor/Clients", "$SYS/monitor/Clients", false],
  ["$SYS/#", "$SYS/load", true],
  ["sport/a", "sport/A", false],
])("%s takes %s: %s", (filter, topic, takes) => {
  expect(topicSources([{ id: "A", topic: filter }])(topic)).toEqual(takes ? ["A"] : []);
});
