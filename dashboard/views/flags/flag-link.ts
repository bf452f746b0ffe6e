import type { WireFlag } from "../../../api/contract/wire.ts";
import { pages } from "../../client/paths.ts";

/** Where a flag's evidence stands: its points on the chart, or, for an instrument, the list that tells its story. */
export function evidenceHref(flag: WireFlag): string {
  return flag.characteristic === null ? pages.flags : pages.evidence(flag.characteristic, flag.id);
}
