/**
 * What goes wrong on the demo's first day, in the words of `--fault`; times count from the plant's first instant. A
 * handful: the plant mostly runs well. The dryer's fault spans one whole load of DR-2, whose first load after the first
 * instant starts 40 minutes in (give or take three) and leaves some six and a half hours later.
 */
export const firstDayFaults: readonly string[] = [
  "cold-metal@PO-A@20min+25min",
  "weak-air@DR-2@30min+6h50min",
  "boiler-sag@BO-1@13h10min+17min",
  "loose-clamp@CT-F2@21h30min+1h10min",
];
