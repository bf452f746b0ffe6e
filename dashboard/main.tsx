import { render } from "preact";
import { startPalette } from "./client/palette.ts";
import { startPicture } from "./client/picture-store.ts";
import { amend, startRoutes } from "./client/route.ts";
import { startSession } from "./client/session.ts";
import { App } from "./views/shell/app.tsx";

startPalette();
startRoutes();
const page = document.getElementById("page");
if (page === null) throw new TypeError("index.html has no element with the id page");
void startSession().then(({ kind, page: own, rights }) => {
  // A display shows its one page, whatever its address says.
  if (kind === "display" && own !== null && location.pathname !== own && location.pathname !== "/display") amend(own);
  if (rights.includes("read")) startPicture();
});
render(<App />, page);
